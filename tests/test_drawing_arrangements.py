from __future__ import annotations

from dataclasses import replace

import drawing_examples as examples
import pytest
from defusedxml.ElementTree import fromstring

from vestige.ui.drawing import (
    ArrangementData,
    ArrangementPiece,
    ArrangementPlace,
    ArrangementState,
    Drawing,
    draw_arrangements,
)

SVG = "{http://www.w3.org/2000/svg}"
PIECES = tuple(ArrangementPiece(x, x, f"leaf {x}") for x in "ABCD")


def state(key: str, letters: str, *, rival: bool = False) -> ArrangementState:
    places = tuple(ArrangementPlace(x.strip()) for x in letters)
    return ArrangementState(key, f"state {key}", "1900", places, "strong", rival=rival)


def drawn(*states: ArrangementState) -> Drawing:
    return draw_arrangements(ArrangementData("t", PIECES, states))


def order_in_row(picture: Drawing, row: int) -> str:
    """The letters of one row as they stand in the picture, from the left."""
    big = [
        t for t in fromstring(picture.svg).iter(f"{SVG}text") if t.get("font-size") == "26"
    ]
    heights = sorted({float(t.get("y", "0")) for t in big})
    line = [t for t in big if float(t.get("y", "0")) == heights[row]]
    return "".join(t.text or "" for t in sorted(line, key=lambda t: float(t.get("x", "0"))))


def test_pieces_stand_in_the_order_of_each_state() -> None:
    picture = drawn(state("1", "ABCD"), state("2", "ACBD"))
    assert [order_in_row(picture, i) for i in (0, 1)] == ["ABCD", "ACBD"]
    assert "state 1, 1900: A, B, C, D; evidence: strong." in picture.description


def test_differences_are_marked_and_said() -> None:
    picture = drawn(state("1", "ABCD"), state("2", "ACBD"))
    assert "differs: B, C" in picture.svg
    marked = [
        g.get("data-key")
        for g in fromstring(picture.svg).iter(f"{SVG}g")
        if "Differs" in g.get("aria-label", "")
    ]
    assert marked == ["C", "B"]
    assert picture.table[1][1][7] == "differs: B, C"


def test_no_difference_is_said_too() -> None:
    assert "no difference recorded" in drawn(state("1", "ABCD"), state("2", "ABCD")).svg


def test_another_reading_is_no_later_state() -> None:
    picture = drawn(state("1", "ABCD"), state("2", "ADCB", rival=True), state("3", "ABCD"))
    assert "or: state 2" in picture.svg
    assert "compared with state 1, no difference recorded" in picture.description


def test_new_joints_are_a_difference() -> None:
    one = replace(state("1", "ABCD"), joints=("H1",) * 3)
    other = replace(state("2", "ABCD"), joints=("H2",) * 3)
    assert "differs: joints" in drawn(one, other).svg
    assert "joints: H2, H2, H2" in drawn(one, other).description


def test_an_empty_place_and_a_piece_away_are_said() -> None:
    picture = drawn(replace(state("1", "AB D"), away=("C",)))
    assert "empty" in picture.svg
    assert "not in place: C" in picture.description
    assert picture.table[1][0][2] == "A, B, empty, D"


def test_strength_and_claims_stand_with_the_state() -> None:
    picture = draw_arrangements(examples.screen_arrangements())
    assert "evidence: strong" in picture.svg
    assert "claims: SV1, SV3, SV5" in picture.description


def test_many_pieces_get_narrower_first_and_the_drawing_wider_then() -> None:
    letters = "".join(chr(65 + i) for i in range(16))
    pieces = tuple(ArrangementPiece(x, x) for x in letters)
    six = draw_arrangements(ArrangementData("t", pieces, (state("1", letters[:6]),)))
    many = draw_arrangements(ArrangementData("t", pieces, (state("1", letters),)))
    assert six.width == 704
    assert many.width > 704
    assert many.print_width_mm > 160


@pytest.mark.parametrize(
    ("given", "words"),
    [
        (state("1", "AX"), "1: these pieces are not given: X"),
        (state("1", "AA"), "1: a piece stands in two places"),
        (replace(state("1", "AB"), joints=("h", "h")), "2 places have 1 joints, not 2"),
    ],
)
def test_states_that_cannot_be_are_refused(given: ArrangementState, words: str) -> None:
    with pytest.raises(ValueError, match=words):
        drawn(given)


def test_nothing_recorded_gives_a_drawing_that_says_so() -> None:
    assert "0 states" in draw_arrangements(ArrangementData("t", (), ())).description
