from __future__ import annotations

from importlib.resources import files
from io import BytesIO

import pytest
from defusedxml.ElementTree import fromstring
from hypothesis import given, settings
from hypothesis import strategies as st
from PIL import ImageFont

from vestige.ui.drawing.svg import (
    BODY,
    NOTE,
    NOTE_BOLD,
    PAGE_WIDTH,
    SMALL,
    TITLE,
    Canvas,
    Drawing,
    Face,
    escape,
    number,
    text_width,
    wrap,
)

SVG = "{http://www.w3.org/2000/svg}"


@given(st.text(max_size=40), st.text(max_size=20))
@settings(max_examples=60, deadline=None)
def test_any_text_gives_a_well_formed_document_and_comes_back(words: str, key: str) -> None:
    canvas = Canvas("t", words)
    with canvas.part(key, words):
        canvas.text(1, 2, words)
    root = fromstring(canvas.document(10, 10, words, words))
    text = root.find(f"{SVG}g/{SVG}text")
    kept = "".join(text.itertext())
    legal = {c for c in words if c.isprintable()}
    assert legal <= set(kept)
    assert len(root.findall(".//")) == 7


def test_markup_in_a_record_stays_words() -> None:
    attack = "</text><script>alert('x')</script><text onload=\"y\">&amp;"
    canvas = Canvas("t", attack)
    with canvas.part(attack, attack):
        canvas.text(0, 0, attack)
    svg = canvas.document(10, 10, attack, attack)
    root = fromstring(svg)
    assert not root.findall(f".//{SVG}script")
    assert "<script" not in svg
    assert {a for e in root.iter() for a in e.attrib if a.startswith("on")} == set()
    assert root.find(f"{SVG}g").get("data-key") == attack


def test_what_xml_cannot_hold_becomes_a_space() -> None:
    # XML 1.0 (fifth edition), production 2: no control characters but tab and line ends,
    # no surrogates, not U+FFFE or U+FFFF.
    assert escape("a\x00b\x1bc\ud800d\ufffee") == "a b c d e"


def test_the_name_of_a_part_begins_with_the_words_seen_in_it() -> None:
    # WCAG 2.2, success criterion 2.5.3 Label in Name.
    canvas = Canvas("t", 0)
    with canvas.part("k", "More words."):
        canvas.text(0, 0, "SCR-22")
        canvas.text(0, 9, "varnish V2")
    part = fromstring(canvas.document(9, 9, "t", "d")).find(f"{SVG}g")
    assert part.get("aria-label") == "SCR-22 varnish V2. More words."


def test_two_drawings_on_a_page_share_no_id() -> None:
    def ids(data: str) -> set[str]:
        canvas = Canvas("t", data)
        canvas.paint("p", '<pattern id="ID"/>')
        root = fromstring(canvas.document(9, 9, data, data))
        return {e.get("id") for e in root.iter() if e.get("id")}

    assert len(ids("one")) == 3
    assert not ids("one") & ids("other")


@pytest.mark.parametrize(
    ("value", "words"), [(1.0, "1"), (-0.04, "0"), (2.25, "2.2"), (10.06, "10.1")]
)
def test_coordinates_are_short(value: float, words: str) -> None:
    assert number(value) == words


SAMPLES = (
    "SCR-23 overpaint OP1 on sky and hill, across A|C and C|B",
    "older material, used from the start",
    "WHEREABOUTS NOT RECORDED 1897-05",
    "Übermalung über Fehlstelle, façade à l'œil, Łódź",
)


@pytest.mark.parametrize("words", SAMPLES)
@pytest.mark.parametrize("face", [NOTE, NOTE_BOLD, BODY, TITLE])
def test_the_estimate_of_width_holds_for_the_shipped_font(words: str, face: Face) -> None:
    # Measured by FreeType (through Pillow) on Noto Sans, the font of the reports.
    name = "NotoSans-Bold.ttf" if face.bold else "NotoSans-Regular.ttf"
    font = files("vestige.ui.paper") / "fonts" / name
    if not font.is_file():
        pytest.skip("the fonts of the reports are not there")
    measured = ImageFont.truetype(BytesIO(font.read_bytes()), 1000).getlength(words)
    measured *= face.size / 1000
    assert measured <= text_width(words, face) <= 1.25 * measured


def test_wide_and_combining_characters_are_counted_as_such() -> None:
    assert text_width("芦", NOTE) == pytest.approx(SMALL * 1.08)
    assert text_width("e\u0301", NOTE) == text_width("e", NOTE) == text_width("é", NOTE)


@given(st.text(alphabet="ab cd-éx芦 ", max_size=80), st.floats(20, 200))
@settings(max_examples=80, deadline=None)
def test_wrapped_lines_fit_and_lose_nothing(words: str, width: float) -> None:
    lines = wrap(words, width, NOTE, lines=99)
    assert all(text_width(line, NOTE) <= width + 1e-9 for line in lines)
    assert "".join(lines).replace(" ", "") == words.replace(" ", "")


def test_too_many_lines_end_in_an_ellipsis() -> None:
    lines = wrap("one two three four five six seven", 40, NOTE, lines=2)
    assert len(lines) == 2
    assert lines[-1].endswith("…")
    assert text_width(lines[-1], NOTE) <= 40


def drawing(width: float, height: float, cuts: tuple[float, ...] = ()) -> Drawing:
    svg = Canvas("t", width).document(width, height, "t", "d")
    return Drawing(svg, "t", "d", ((), ()), (width, height), cuts)


def test_the_smallest_text_prints_at_seven_points() -> None:
    page = drawing(PAGE_WIDTH, 100)
    assert page.print_width_mm <= 160
    points_per_px = page.print_width_mm / 25.4 * 72 / page.width
    assert points_per_px * SMALL == pytest.approx(7)
    assert page.print_height_mm == pytest.approx(page.print_width_mm * 100 / PAGE_WIDTH)


def test_a_long_drawing_is_cut_between_its_parts() -> None:
    long = drawing(100, 350, cuts=(90, 170, 260, 340))
    pages = [fromstring(p).get("viewBox") for p in long.pages(100, 120)]
    assert pages == ["0 0 100 90", "0 90 100 80", "0 170 100 90", "0 260 100 90"]


def test_a_part_taller_than_the_page_is_cut_through_rather_than_lost() -> None:
    pages = [fromstring(p).get("viewBox") for p in drawing(100, 250).pages(100, 120)]
    assert pages == ["0 0 100 120", "0 120 100 120", "0 240 100 10"]


def test_a_short_drawing_is_one_page() -> None:
    short = drawing(100, 50, cuts=(20,))
    assert short.pages(100, 120) == (short.svg,)
