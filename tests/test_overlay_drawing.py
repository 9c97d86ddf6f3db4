"""What the picture of two faces laid on each other shows, by shape and in words."""

from dataclasses import replace
from xml.etree.ElementTree import Element

import overlay_examples
from defusedxml.ElementTree import fromstring

from vestige.ui.drawing import Drawing, OverlayData, draw_overlay

SVG = "{http://www.w3.org/2000/svg}"
RED = "#b00020"


def part(drawn: Drawing, key: str) -> Element:
    found: Element | None = fromstring(drawn.svg).find(f".//{SVG}g[@data-key='{key}']")
    assert found is not None
    return found


def shapes(drawn: Drawing, key: str) -> list[str]:
    """What a mark's sign is made of, without the paper behind its words."""
    return [
        one.tag.removeprefix(SVG)
        for one in part(drawn, key)
        if one.get("stroke") and one.tag != f"{SVG}title"
    ]


def test_marks_are_told_apart_by_shape_and_not_by_colour_alone() -> None:
    drawn = draw_overlay(overlay_examples.boards_overlay())
    assert shapes(drawn, "a1") == ["circle"]
    assert shapes(drawn, "b1") == ["rect"]
    # The cross makes a lonely mark another shape, whatever its colour prints as.
    assert shapes(drawn, "a3") == ["circle", "path"]
    assert shapes(drawn, "b3") == ["rect", "path"]
    reds = [one for one in part(drawn, "a1") if one.get("stroke") == RED]
    assert reds == []


def test_a_mark_beyond_the_other_face_is_smaller_than_one_that_meets() -> None:
    drawn = draw_overlay(overlay_examples.boards_overlay())
    radius = {
        key: float(next(part(drawn, key).iter(f"{SVG}circle")).get("r", "0"))
        for key in ("a1", "a4")
    }
    assert radius["a4"] < radius["a1"]


def test_marks_that_meet_lie_upon_each_other_and_upwards_is_up() -> None:
    drawn = draw_overlay(overlay_examples.boards_overlay())
    low = next(part(drawn, "a1").iter(f"{SVG}circle"))
    high = next(part(drawn, "a2").iter(f"{SVG}circle"))
    assert float(high.get("cy", "0")) < float(low.get("cy", "0"))
    box = next(one for one in part(drawn, "b1").iter(f"{SVG}rect") if one.get("stroke"))
    middle = float(box.get("x", "0")) + float(box.get("width", "0")) / 2
    assert abs(middle - float(low.get("cx", "0"))) < 2


def test_the_text_tells_all_pairs_with_their_distances_and_who_is_alone() -> None:
    words = draw_overlay(overlay_examples.boards_overlay()).description
    assert "laid in mirror image on" in words
    assert "a1 with b1, 0.4 mm apart; a2 with b2, 1.2 mm apart" in words
    assert "did not: a3 on board 1 under, b3 on board 2 top" in words


def test_the_table_has_every_mark() -> None:
    data = overlay_examples.boards_overlay()
    heads, rows = draw_overlay(data).table
    assert [row[0] for row in rows] == [mark.number for mark in data.marks]
    assert all(len(row) == len(heads) for row in rows)


def test_edges_stand_side_by_side_with_each_mark_at_its_height() -> None:
    drawn = draw_overlay(overlay_examples.leaves_beside())
    heights = [
        float(next(part(drawn, key).iter(f"{SVG}circle")).get("cy", "0"))
        for key in ("A-1", "A-2", "A-3")
    ]
    assert heights == sorted(heights, reverse=True)
    words = [
        float(next(part(drawn, key).iter(f"{SVG}text")).get("y", "0"))
        for key in ("A-2", "A-3")
    ]
    # 7 mm apart on 1,800 mm: the words make room for each other.
    assert abs(words[0] - words[1]) > 12


def test_the_key_names_only_the_signs_that_are_there() -> None:
    plain = overlay_examples.leaves_beside()
    met = replace(plain, marks=tuple(m for m in plain.marks if m.partner))
    assert "should have met" not in _seen(draw_overlay(met))
    assert "should have met" in _seen(draw_overlay(plain))


def _seen(drawn: Drawing) -> str:
    return " ".join("".join(t.itertext()) for t in fromstring(drawn.svg).iter(f"{SVG}text"))


def test_faces_without_a_mark_are_drawn_as_outlines() -> None:
    outlines = overlay_examples.boards_overlay().outlines_mm
    bare = OverlayData("Bare", "one", "two", outlines, ())
    assert "Marks that meet: none" in draw_overlay(bare).description
