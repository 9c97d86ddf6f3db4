"""Twist, and how cords are laid up."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st
from pydantic import BaseModel, ValidationError

from vestige.graph.errors import BadValue
from vestige.graph.record import Cord, Twist, read_twist


def cords() -> st.SearchStrategy[Cord]:
    singles = st.sampled_from([Cord("S"), Cord("Z"), Cord("I")])
    plies: st.SearchStrategy[Twist] = st.sampled_from(["S", "Z"])

    def plied(inner: st.SearchStrategy[Cord]) -> st.SearchStrategy[Cord]:
        strands = st.lists(st.tuples(st.integers(2, 5), inner), min_size=1, max_size=2)
        return st.builds(Cord, plies, strands.map(tuple))

    return st.recursive(singles, plied, max_leaves=4)


def test_two_z_singles_plied_s() -> None:
    # The notation S(2z) for two z singles plied S is in use in textile studies.
    cord = Cord.parse("S(2z)")
    assert cord.final_twist == "S"
    assert cord.strands == ((2, Cord("Z")),)
    assert cord.singles == 2
    assert cord.in_words() == "2 z-spun singles plied S"
    assert cord.alternates


def test_a_cable_of_plied_strands() -> None:
    cord = Cord.parse(" Z( 3 S(2z) ) ")
    assert str(cord) == "Z(3S(2z))"
    assert (cord.final_twist, cord.singles, cord.stages) == ("Z", 6, 3)
    assert cord.in_words() == "3 strands (each 2 z-spun singles plied S) cabled Z"


def test_unlike_strands_are_joined_by_a_plus() -> None:
    cord = Cord.parse("S(2z+1s)")
    assert cord.singles == 3
    assert not cord.alternates
    assert str(Cord.parse("S(2i)")) == "S(2i)"


@given(cords())
def test_what_is_printed_is_read_again(cord: Cord) -> None:
    assert Cord.parse(str(cord)) == cord


@given(cords())
def test_the_mirror_turns_every_twist_and_turning_round_turns_none(cord: Cord) -> None:
    # Geometry: a mirror image turns a helix over, a rotation does not.
    swapped = str(cord).translate(str.maketrans("SZsz", "ZSzs"))
    assert str(cord.mirrored()) == swapped
    assert cord.mirrored().mirrored() == cord
    assert cord.turned_end_for_end() == cord


def slope(points: list[tuple[float, float, float]]) -> Twist:
    """Twist of a thread from points on it, by the stroke that faces the viewer.

    The viewer looks along -y at an upright (z) thread: on the near side (y > 0), where x
    then grows to the left, a stroke that rises to the right slopes like that of Z.
    """
    near = [(x, z) for x, y, z in points if y > 0.9]
    (x0, z0), (x1, z1) = near[0], near[1]
    rises_to_the_right = (z1 - z0) * (-(x1 - x0)) > 0
    return "Z" if rises_to_the_right else "S"


def helix(handed: int) -> list[tuple[float, float, float]]:
    steps = [step / 100 for step in range(1000)]
    return [(math.cos(t), handed * math.sin(t), t) for t in steps]


def test_s_and_z_by_the_middle_stroke_of_the_letter() -> None:
    # A right-handed helix is Z: its strands slope like the middle stroke of Z (ISO 2,
    # Textiles, Designation of the direction of twist; from memory).
    assert slope(helix(1)) == "Z"
    assert slope(helix(-1)) == "S"
    mirrored = [(-x, y, z) for x, y, z in helix(1)]
    assert slope(mirrored) == Cord("Z").mirrored().final_twist
    turned = [(x, -y, -z) for x, y, z in helix(1)]  # half a turn about x
    assert slope(turned) == Cord("Z").turned_end_for_end().final_twist


@pytest.mark.parametrize(
    "text",
    ["clockwise", "Anti-clockwise", "anticlockwise", "counter clockwise", "cw", "ccw",
     "right", "left-hand", "right-hand lay", "left laid"],
)  # fmt: skip
@pytest.mark.parametrize("read", [read_twist, Cord.parse])
def test_turning_words_are_refused(text: str, read: object) -> None:
    # Two published pages of the trade give opposite readings for S.
    assert callable(read)
    with pytest.raises(BadValue, match="middle stroke of the letter S"):
        read(text)


@pytest.mark.parametrize(
    ("text", "twist"), [("S", "S"), (" z ", "Z"), ("s", "S"), ("i", "I")]
)
def test_a_single_letter_is_a_twist(text: str, twist: str) -> None:
    assert read_twist(text) == twist


@pytest.mark.parametrize(
    ("text", "wrong"),
    [
        ("Z", "needs its strands in brackets"),
        ("S(2Z)", "needs its strands in brackets"),
        ("s(2z)", "holds no strands"),
        ("S(2z", "a bracket is open"),
        ("S(2z))", "stands behind the end"),
        ("S(z)", "one strand alone is not plied"),
        ("S(0z)", "0 strands cannot be"),
        ("2S(2z)", "a number stands before the whole"),
        ("S(2z,1s)", "join unlike strands with +"),
        ("I(3z)", "is no twist"),
        ("2zS", "is no twist"),
        ("", "something is missing"),
        ("S(" * 500, "is no twist"),
    ],
)
def test_a_refusal_says_what_is_wrong(text: str, wrong: str) -> None:
    with pytest.raises(BadValue) as caught:
        Cord.parse(text)
    assert wrong in str(caught.value)
    assert "such as S(2z)" in str(caught.value)


class Noun(BaseModel):
    made: Cord | None = None


def test_a_cord_field_takes_the_notation() -> None:
    noun = Noun.model_validate({"made": "S( 2z )"})
    assert noun.model_dump() == {"made": "S(2z)"}
    assert Noun.model_validate_json(noun.model_dump_json()) == noun
    with pytest.raises(ValidationError, match="middle stroke"):
        Noun.model_validate({"made": "clockwise"})
