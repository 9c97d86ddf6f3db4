"""What holds for every drawing, whatever it shows."""

from __future__ import annotations

import re
from collections.abc import Callable

import drawing_examples as examples
import overlay_examples
import pytest
import typst
from defusedxml.ElementTree import fromstring

from vestige.ui.drawing import (
    Drawing,
    draw_arrangements,
    draw_custody,
    draw_overlay,
    draw_sequence,
    draw_verdicts,
    draw_windows,
)
from vestige.ui.drawing.svg import Face, text_width

SVG = "{http://www.w3.org/2000/svg}"
DRAWN: dict[str, Callable[[], Drawing]] = {
    "sequence": lambda: draw_sequence(examples.screen_sequence()),
    "verdicts": lambda: draw_verdicts(examples.screen_verdicts()),
    "custody": lambda: draw_custody(examples.hinge_custody()),
    "windows": lambda: draw_windows(examples.screen_windows()),
    "arrangements": lambda: draw_arrangements(examples.screen_arrangements()),
    "overlay": lambda: draw_overlay(overlay_examples.boards_overlay()),
    "edges": lambda: draw_overlay(overlay_examples.leaves_beside()),
}
every_drawing = pytest.mark.parametrize("name", DRAWN)


@every_drawing
def test_it_is_well_formed_and_refers_to_nothing_outside(name: str) -> None:
    svg = DRAWN[name]().svg
    root = fromstring(svg)
    assert root.tag == f"{SVG}svg"
    allowed = {"svg", "title", "desc", "defs", "pattern", "g"}
    allowed |= {"rect", "path", "circle", "text"}
    assert {e.tag.removeprefix(SVG) for e in root.iter()} <= allowed
    assert "href" not in svg
    assert "http" not in svg.replace("http://www.w3.org/2000/svg", "")
    ids = {e.get("id") for e in root.iter() if e.get("id")}
    assert set(re.findall(r"url\(#([^)]*)\)", svg)) <= ids


@every_drawing
def test_the_same_data_gives_the_same_bytes(name: str) -> None:
    assert DRAWN[name]().svg == DRAWN[name]().svg


@every_drawing
def test_every_part_has_a_key_and_a_name_that_begins_with_its_words(name: str) -> None:
    parts = fromstring(DRAWN[name]().svg).findall(f".//{SVG}g")
    assert parts
    for part in parts:
        seen = " ".join("".join(t.itertext()) for t in part.iter(f"{SVG}text"))
        assert part.get("data-key")
        assert part.get("role") == "img"
        assert part.get("aria-label", "").startswith(seen)
        assert part.get("aria-label")


@every_drawing
def test_no_text_is_too_small_and_all_of_it_is_ink(name: str) -> None:
    root = fromstring(DRAWN[name]().svg)
    texts = list(root.iter(f"{SVG}text"))
    assert all(float(t.get("font-size", "0")) >= 11 for t in texts)
    assert {t.get("fill") for t in texts} == {None}


@every_drawing
def test_text_stays_within_the_picture(name: str) -> None:
    drawn = DRAWN[name]()
    for t in fromstring(drawn.svg).iter(f"{SVG}text"):
        face = Face(float(t.get("font-size", "0")), bold=t.get("font-weight") == "700")
        wide = text_width("".join(t.itertext()), face)
        x, anchor = float(t.get("x", "0")), t.get("text-anchor", "start")
        left = x - {"start": 0.0, "middle": wide / 2, "end": wide}[anchor]
        assert left >= 0
        assert left + wide <= drawn.width
        assert 0 < float(t.get("y", "0")) < drawn.height


@every_drawing
def test_the_description_and_the_table_name_everything_seen(name: str) -> None:
    drawn = DRAWN[name]()
    heads, rows = drawn.table
    assert all(len(row) == len(heads) for row in rows)
    assert drawn.title in drawn.description
    assert drawn.description.endswith(".")
    for row in rows:
        assert row[0] in drawn.description


@every_drawing
def test_special_signs_are_drawn_and_never_set(name: str) -> None:
    texts = [
        t for e in fromstring(DRAWN[name]().svg).iter(f"{SVG}text") for t in e.itertext()
    ]
    # Latin letters, figures and common punctuation: what any sans-serif font has.
    assert all(ord(c) < 0x180 or c in "–—‘’“”…" for text in texts for c in text)


@every_drawing
def test_the_report_engine_reads_it(name: str) -> None:
    drawn = DRAWN[name]()
    quoted = drawn.svg.replace("\\", "\\\\").replace('"', '\\"')
    source = (
        f'#set page(width: auto, height: auto)\n#image(bytes("{quoted}"), format: "svg")'
    )
    assert typst.compile(source.encode(), format="pdf").startswith(b"%PDF")


@every_drawing
def test_no_two_words_lie_on_each_other(name: str) -> None:
    boxes = []
    for t in fromstring(DRAWN[name]().svg).iter(f"{SVG}text"):
        size = float(t.get("font-size", "0"))
        face = Face(size, bold=t.get("font-weight") == "700")
        wide = text_width("".join(t.itertext()), face) / 1.09
        anchor = t.get("text-anchor", "start")
        left = (
            float(t.get("x", "0")) - {"start": 0.0, "middle": wide / 2, "end": wide}[anchor]
        )
        base = float(t.get("y", "0"))
        boxes.append((left, base - size * 0.7, left + wide, base, "".join(t.itertext())))
    for i, a in enumerate(boxes):
        for b in boxes[:i]:
            apart = a[2] <= b[0] or b[2] <= a[0] or a[3] <= b[1] or b[3] <= a[1]
            assert apart, (a, b)
