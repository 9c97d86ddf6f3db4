from itertools import combinations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from vestige.graph.errors import BadValue
from vestige.graph.reasoning import (
    FACE_TO_FACE,
    ChanceRuns,
    Face,
    Mark,
    MarkedFace,
    Placement,
    PossibleJoint,
    best_joinings,
    score_faces,
)


def joints(*of: tuple[str, str, float]) -> list[PossibleJoint]:
    return [PossibleJoint(*one) for one in of]


def test_each_face_meets_one_other_at_most() -> None:
    found = best_joinings(joints(("a", "b", 9.0), ("b", "c", 8.0), ("c", "d", 8.5)))
    assert [(j.a, j.b) for j in found.best[0].joints] == [("a", "b"), ("c", "d")]
    assert found.best[0].score == 17.5
    assert found.decided


def test_two_weaker_joints_may_beat_a_stronger_one() -> None:
    found = best_joinings(joints(("a", "b", 6.0), ("b", "c", 9.0), ("c", "d", 6.0)))
    assert {(j.a, j.b) for j in found.best[0].joints} == {("a", "b"), ("c", "d")}
    assert found.margins_log10[0] == pytest.approx(3 / np.log(10))
    assert not found.decided
    assert found.agreed == ()


def test_what_all_good_joinings_share_is_agreed() -> None:
    found = best_joinings(joints(("a", "b", 9.0), ("c", "d", 5.0), ("c", "e", 5.0)))
    assert not found.decided
    assert found.agreed == (("a", "b"),)


def test_refused_joints_are_listed_and_never_taken() -> None:
    shut = PossibleJoint("a", "b", 50.0, "They cannot fold.")
    found = best_joinings([shut, *joints(("a", "c", 6.0))])
    assert found.refused == (shut,)
    assert [(j.a, j.b) for j in found.best[0].joints] == [("a", "c")]


def test_without_a_joint_that_the_marks_speak_for_nothing_is_decided() -> None:
    found = best_joinings(joints(("a", "b", -2.0)))
    assert not found.decided
    assert found.best[0].joints == ()
    assert "no joint" in found.reason


@given(st.integers(0, 2**32 - 1))
@settings(max_examples=30)
def test_the_best_joinings_are_those_of_enumeration(seed: int) -> None:
    # Outside check: all subsets of joints enumerated (itertools).
    rng = np.random.default_rng(seed)
    possible = joints(
        *(
            (a, b, float(rng.uniform(0.1, 9)))
            for a, b in combinations("abcde", 2)
            if rng.random() < 0.8
        )
    )
    scores = []
    for size in range(3):
        for some in combinations(possible, size):
            ends = [e for j in some for e in (j.a, j.b)]
            if len(set(ends)) == len(ends):
                scores.append(sum(j.score for j in some))
    best = sorted(scores, reverse=True)[:5]
    assert [j.score for j in best_joinings(possible).best] == pytest.approx(best)


def test_too_many_rivals_are_refused() -> None:
    names = [f"n{i:02}" for i in range(40)]
    rng = np.random.default_rng(0)
    possible = joints(
        *((a, b, float(rng.uniform(5, 5.1))) for a, b in combinations(names, 2))
    )
    with pytest.raises(BadValue, match="rival each other"):
        best_joinings(possible)


def test_of_all_pairs_of_faces_those_that_met_stand_out() -> None:
    rng = np.random.default_rng(3)

    def face(
        name: str, xy: np.ndarray[tuple[int, int], np.dtype[np.float64]]
    ) -> MarkedFace:
        marks = tuple(
            Mark(f"{i}", "hole", float(x), float(y)) for i, (x, y) in enumerate(xy)
        )
        return MarkedFace(Face(name, name[0], 300, 200), marks)

    xy = rng.uniform((0, 0), (300, 200), (8, 2))
    laid = Placement(True, 0.0, (300.0, 0.0)).carry(xy) + rng.normal(0, 0.7, xy.shape)
    other = rng.uniform((0, 0), (300, 200), (8, 2))
    faces = [face("A top", xy), face("B under", laid), face("B top", other)]
    pairs = score_faces(faces, FACE_TO_FACE, ChanceRuns(99, enough=10))
    # Two faces of one element are no pair.
    assert [(p.match.face_a, p.match.face_b) for p in pairs] == [
        ("A top", "B under"),
        ("A top", "B top"),
    ]
    # Two pairs were tried: Šidák, 1 − (1 − 0.01)².
    assert pairs[0].p_corrected == pytest.approx(1 - 0.99**2)
    assert pairs[1].p_corrected > 0.05
