import math
from collections.abc import Sequence
from dataclasses import replace
from itertools import permutations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.stats import norm

from vestige.graph.reasoning import (
    ALIGNED,
    ANYWHERE,
    Edge,
    EdgeJoint,
    EdgeMark,
    HeightHabit,
    MatchOutcome,
    register_edges,
)

LENGTH = 1800.0
FLIP = replace(ALIGNED, flips=(False, True))


def edge(name: str, *heights: float, kind: str = "hinge", side: str = "") -> Edge:
    marks = tuple(EdgeMark(f"{i}", kind, h, side=side) for i, h in enumerate(heights))
    return Edge(name, name.split("-", maxsplit=1)[0], "right", LENGTH, marks)


def by_hand(a: Sequence[float], b: Sequence[float]) -> float:
    """Best score by enumeration: every way to pair or leave the marks of two edges."""
    scores = []
    small, large = sorted((a, b), key=len)
    wide = [*large, *[math.nan] * len(small)]  # a place for each mark left alone
    for chosen in permutations(wide, len(small)):
        score = 0.0
        alone = len(small) + len(large)
        for one, other in zip(small, chosen, strict=True):
            if not math.isnan(other) and abs(one - other) <= 3 * math.sqrt(2):
                even = math.log(math.sqrt(len(a) * len(b)) / LENGTH)
                score += float(norm.logpdf(one - other, scale=math.sqrt(2))) - even
                score += math.log(0.8)
                alone -= 2
        scores.append(score + alone * math.log(0.2))
    return max(scores)


heights = st.lists(st.floats(100, 112), min_size=1, max_size=3)


@given(heights, heights)
@settings(max_examples=60)
def test_the_score_is_that_of_the_best_pairing_by_enumeration(
    a: list[float], b: list[float]
) -> None:
    # Outside check: enumeration of all pairings, densities of scipy.stats.norm; scatter
    # ±2 mm is a standard deviation of 1 mm on each edge.
    match = register_edges(edge("A-right", *a), edge("B-left", *b))
    assert match.score == pytest.approx(by_hand(a, b))


@given(heights, heights)
@settings(max_examples=30)
def test_it_does_not_matter_which_edge_comes_first(a: list[float], b: list[float]) -> None:
    one, other = edge("A-right", *a), edge("B-left", *b)
    assert register_edges(one, other).score == pytest.approx(
        register_edges(other, one).score
    )


def test_hinge_cuts_at_the_same_heights_meet() -> None:
    a = edge("A-right", 212, 903, 1588)
    b = edge("B-left", 212, 904, 1588)
    match = register_edges(a, b)
    assert match.outcome is MatchOutcome.PLACED
    assert [p.residual_mm for p in match.pairs] == [0, 1, 0]
    assert match.lonely_a == match.lonely_b == ()


def test_cuts_six_millimetres_apart_do_not_meet_on_one_floor() -> None:
    a, c = edge("A-right", 212, 903, 1588), edge("C-left", 206, 897, 1580)
    match = register_edges(a, c)
    assert match.outcome is MatchOutcome.NOT_IDENTIFIABLE
    assert match.score < 0
    assert match.lonely_a == ("0", "1", "2")


def test_an_open_offset_is_fitted() -> None:
    a, c = edge("A-right", 212, 903, 1588), edge("C-left", 206, 897, 1580)
    match = register_edges(a, c, ANYWHERE)
    assert match.outcome is MatchOutcome.PLACED
    # The mean of −6, −6 and −8: least squares, all of one scatter.
    assert match.offset_mm == pytest.approx(np.mean([-6, -6, -8]))


@given(st.floats(-40, 40), st.booleans())
def test_an_offset_within_bounds_is_found_and_one_beyond_is_not(
    offset: float, flipped: bool
) -> None:
    a = np.array([212.0, 903.0, 1502.0])
    stood = np.sort(LENGTH - a) if flipped else a
    joint = EdgeJoint(offset_mm=(-20.0, 20.0), flips=(False, True))
    match = register_edges(edge("A-right", *a), edge("B-left", *(stood + offset)), joint)
    assert -20 <= match.offset_mm <= 20
    if abs(offset) <= 20:
        assert match.flipped == flipped
        assert match.offset_mm == pytest.approx(offset, abs=1e-6)
    elif abs(offset) > 25:
        assert match.outcome is not MatchOutcome.PLACED


def test_marks_in_the_mirror_of_their_heights_do_not_tell_up_from_down() -> None:
    a = edge("A-right", 300, 1500)
    assert register_edges(a, a).outcome is MatchOutcome.PLACED
    match = register_edges(a, a, FLIP)
    assert match.outcome is MatchOutcome.AMBIGUOUS
    assert match.runner_up_share == pytest.approx(1.0)
    assert "upside down" in match.reason


def test_an_even_row_of_nails_slides() -> None:
    row = edge("A-right", *(100.0 + 150.0 * k for k in range(10)))
    match = register_edges(row, row, ANYWHERE)
    assert match.outcome is MatchOutcome.AMBIGUOUS
    assert register_edges(row, row).outcome is MatchOutcome.PLACED


@pytest.mark.parametrize(("joint", "least"), [(ALIGNED, 2), (ANYWHERE, 3)])
def test_too_few_marks_are_not_identifiable(joint: EdgeJoint, least: int) -> None:
    for count in range(4):
        a = edge("A-right", *(212.0, 903.0, 1500.0)[:count])
        found = register_edges(a, a, joint).outcome is MatchOutcome.PLACED
        assert found == (count >= least)


def test_kinds_are_kept_apart() -> None:
    first = edge("A-right", 212, 903, kind="first hinge")
    second = edge("B-left", 212, 903, kind="second hinge")
    assert register_edges(first, second).pairs == ()
    both = replace(second, marks=(*second.marks, EdgeMark("x", "first hinge", 212)))
    only = replace(ALIGNED, kinds=frozenset({"first hinge"}))
    match = register_edges(first, both, only)
    assert [p.b for p in match.pairs] == ["x"]
    assert match.lonely_b == ()


def test_cuts_on_opposite_sides_do_not_meet_unless_one_piece_is_turned() -> None:
    front = edge("A-right", 212, 903, side="front")
    back = edge("B-left", 212, 903, side="back")
    assert register_edges(front, back, replace(ALIGNED, same_side=True)).pairs == ()
    assert len(register_edges(front, back, replace(ALIGNED, same_side=False)).pairs) == 2
    assert len(register_edges(front, back).pairs) == 2


def test_a_mark_that_no_partner_meets_speaks_against_the_joint() -> None:
    a, b = edge("A-right", 212, 903, 1588), edge("B-left", 212, 903)
    assert register_edges(a, b).lonely_a == ("2",)
    assert register_edges(a, a).score > register_edges(a, b).score


def test_the_silence_of_an_edge_that_nobody_examined_says_nothing() -> None:
    a, b = edge("A-right", 212, 903), edge("B-left")
    assert register_edges(a, b).score == pytest.approx(2 * math.log(0.2))
    unseen = register_edges(a, replace(b, examined=False))
    assert unseen.score == 0
    assert unseen.lonely_a == ()


def test_two_bare_edges_say_nothing() -> None:
    match = register_edges(edge("A-left"), edge("D-right"))
    assert match.score == 0
    assert match.outcome is MatchOutcome.NOT_IDENTIFIABLE


def test_lengths_of_cuts_tell_like_from_unlike() -> None:
    a = edge("A-right", 212, 903)
    long = replace(
        a,
        marks=tuple(
            replace(m, size_mm=s) for m, s in zip(a.marks, (40.0, 90.0), strict=True)
        ),
    )
    short = replace(
        a,
        marks=tuple(
            replace(m, size_mm=s) for m, s in zip(a.marks, (90.0, 40.0), strict=True)
        ),
    )
    assert register_edges(long, long).score > register_edges(a, a).score
    assert register_edges(long, short).score < register_edges(a, a).score


def test_a_usual_height_makes_agreement_worth_less() -> None:
    leaves = [
        edge(f"{p}-right", 300 + d, 1500 - d)
        for p, d in zip("ABCDEF", (0, 3, -4, 2, -1, 5), strict=True)
    ]
    habit = HeightHabit(tuple(leaves))
    even = register_edges(leaves[0], leaves[0])
    usual = register_edges(leaves[0], leaves[0], heights=habit)
    assert usual.score < even.score / 2
    # Where hardly any mark of the kind is known, no habit is assumed.
    unknown = HeightHabit(tuple(leaves[:1]))
    assert register_edges(leaves[0], leaves[0], heights=unknown).score == even.score


def test_heights_drawn_by_habit_are_those_of_the_workshop() -> None:
    leaves = [
        edge(f"{p}-right", 300 + d, 1500 - d)
        for p, d in zip("ABCDEF", (0, 3, -4, 2, -1, 5), strict=True)
    ]
    habit = HeightHabit(tuple(leaves))
    rng = np.random.default_rng(1)
    drawn = np.array([habit.draw(leaves[0], leaves[0].marks, rng) for _ in range(200)])
    assert np.abs(np.median(drawn, axis=0) - [300, 1500]).max() < 3
    assert drawn[:, 0].max() < 330
