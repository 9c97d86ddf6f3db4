import math
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.stats import binomtest, combine_pvalues, kstest

from vestige.graph.errors import BadValue
from vestige.graph.reasoning import (
    ALIGNED,
    ANYWHERE,
    FACE_TO_FACE,
    SAME_SIDE,
    Chance,
    ChanceRuns,
    Edge,
    EdgeMark,
    Face,
    HeightHabit,
    Line,
    Mark,
    MarkedFace,
    MarkSpread,
    Placement,
    chance_of_edges,
    chance_of_faces,
    match_ratio,
    true_edge_scores,
    true_face_scores,
)

FACE = Face("A", "A", 300, 200)


def edge(name: str, *heights: float, length: float = 1800.0) -> Edge:
    marks = tuple(EdgeMark(f"{i}", "hinge", float(h)) for i, h in enumerate(heights))
    return Edge(name, name[0], "right", length, marks)


def random_face(count: int, seed: int, kinds: int = 2) -> MarkedFace:
    rng = np.random.default_rng(seed)
    xy = rng.uniform((0, 0), (300, 200), (count, 2))
    kind = rng.integers(0, kinds, count)
    return MarkedFace(
        FACE,
        tuple(
            Mark(f"m{i}", f"k{kind[i]}", float(x), float(y)) for i, (x, y) in enumerate(xy)
        ),
    )


def laid_on(face: MarkedFace, seed: int = 1) -> MarkedFace:
    """The same marks in mirror image, each read anew."""
    rng = np.random.default_rng(seed)
    xy = np.array([[m.x_mm, m.y_mm] for m in face.marks])
    moved = Placement(True, 0.0, (300.0, 0.0)).carry(xy) + rng.normal(0, 0.7, xy.shape)
    marks = (
        replace(m, x_mm=float(x), y_mm=float(y))
        for m, (x, y) in zip(face.marks, moved, strict=True)
    )
    return MarkedFace(FACE, tuple(marks))


def test_one_mark_meets_by_chance_as_often_as_length_has_it() -> None:
    # Outside check: geometry. A mark set at random on 200 mm comes within 3 mm of one at
    # 100 mm in 6 of 200 cases; the count is held to its binomial interval (scipy.stats).
    chance = chance_of_edges(
        edge("A", 97, length=200), edge("B", 100, length=200), runs=ChanceRuns(4000)
    )
    interval = binomtest(chance.as_good, chance.runs).proportion_ci(0.999)
    assert interval.low < 6 / 200 < interval.high
    assert chance.p == (chance.as_good + 1) / (chance.runs + 1)


@pytest.mark.parametrize("joint", [ALIGNED, ANYWHERE])
def test_the_p_of_random_edges_is_even(joint: object) -> None:
    # Outside check: scipy.stats.kstest against the even distribution. Scores of edges
    # that do not meet at all tie, which can only make p larger, so the test is one-sided.
    rng = np.random.default_rng(8)
    p = [
        chance_of_edges(
            edge("A", *rng.uniform(0, 300, 4), length=300),
            edge("B", *rng.uniform(0, 300, 4), length=300),
            ANYWHERE if joint is ANYWHERE else ALIGNED,
            runs=ChanceRuns(19, seed=k),
        ).p
        for k in range(100)
    ]
    # p moves in steps of 1/20; within a step it is let be anywhere.
    within = np.array(p) - rng.uniform(0, 1 / 20, len(p))
    assert kstest(within, "uniform", alternative="greater").pvalue > 0.001
    alarms = binomtest(sum(x <= 0.05 for x in p), len(p), 0.05, alternative="greater")
    assert alarms.pvalue > 0.01


def test_random_faces_raise_no_more_alarms_than_promised() -> None:
    p = [
        chance_of_faces(
            random_face(5, 2 * k),
            random_face(5, 2 * k + 1),
            FACE_TO_FACE,
            ChanceRuns(19, k),
        ).p
        for k in range(60)
    ]
    alarms = binomtest(sum(x <= 0.05 for x in p), len(p), 0.05, alternative="greater")
    assert alarms.pvalue > 0.01
    # Outside check: Fisher's combination (scipy.stats.combine_pvalues) finds no trend.
    assert combine_pvalues(p).pvalue > 0.001


def test_faces_that_truly_met_are_told_from_chance() -> None:
    a = random_face(8, 3)
    chance = chance_of_faces(a, laid_on(a), FACE_TO_FACE, ChanceRuns(99))
    assert chance.p == 0.01
    assert max(chance.scores) < chance.score
    assert list(chance.scores) == sorted(chance.scores)


def test_the_hinge_cuts_of_one_joint_are_told_from_chance() -> None:
    a, b = edge("A", 212, 903, 1588), edge("B", 212, 904, 1588)
    assert chance_of_edges(a, b, runs=ChanceRuns(199)).p == 1 / 200


def test_usual_heights_make_chance_meet_more_often() -> None:
    rng = np.random.default_rng(2)
    leaves = [edge(n, *(np.array([300, 1500]) + rng.normal(0, 4, 2))) for n in "ABCDEFGH"]
    habit = HeightHabit(tuple(leaves))
    near = edge("X", *(m.height_mm + 1.5 for m in leaves[0].marks))
    even = chance_of_edges(near, leaves[0], runs=ChanceRuns(199))
    usual = chance_of_edges(near, leaves[0], heights=habit, runs=ChanceRuns(199))
    assert even.p == 1 / 200
    assert usual.p > 0.02


def test_a_match_that_is_none_is_recognised_early() -> None:
    a, b = edge("A", 212, 903, 1588), edge("B", 400, 1100, 1300)
    early = chance_of_edges(a, b, runs=ChanceRuns(5000, enough=20))
    assert early.runs < 200
    assert early.p == 20 / early.runs
    full = chance_of_edges(a, b, runs=ChanceRuns(300))
    assert early.p == pytest.approx(full.p, abs=0.25)


def test_the_same_seed_gives_the_same_p_and_another_seed_other_runs() -> None:
    a, b = edge("A", 212, 903), edge("B", 214, 1400)
    one, two = (chance_of_edges(a, b, runs=ChanceRuns(50, seed=s)) for s in (1, 2))
    assert one == chance_of_edges(a, b, runs=ChanceRuns(50, seed=1))
    assert one.scores != two.scores


def test_chance_without_runs_is_refused() -> None:
    with pytest.raises(BadValue, match="at least one run"):
        chance_of_edges(edge("A", 1), edge("B", 1), runs=ChanceRuns(0))


def test_two_faces_without_marks_are_explained_by_chance() -> None:
    empty = MarkedFace(FACE)
    assert chance_of_faces(empty, empty, SAME_SIDE, ChanceRuns(9)).p == 1.0


@given(st.floats(0.0005, 1), st.integers(1, 200))
def test_correction_for_pairings_is_that_of_sidak_and_bonferroni(p: float, m: int) -> None:
    # Published formulas: Šidák 1967, 1 − (1 − p)^m; Bonferroni, min(1, m·p). From memory.
    chance = Chance(1.0, p, 1999, 0, ())
    assert chance.corrected(m) == pytest.approx(1 - (1 - p) ** m, abs=1e-9)
    assert chance.bonferroni(m) == min(1.0, m * p)
    assert chance.corrected(m) <= chance.bonferroni(m) + 1e-12


def test_crowded_marks_meet_by_chance_more_often_when_thrown_as_crowded() -> None:
    rng = np.random.default_rng(4)
    xy = rng.normal((60, 60), 9, (12, 2))
    marks = tuple(Mark(f"m{i}", "hole", float(x), float(y)) for i, (x, y) in enumerate(xy))
    face = MarkedFace(FACE, marks)
    runs = ChanceRuns(40)
    even = chance_of_faces(face, face, SAME_SIDE, runs)
    crowded = chance_of_faces(
        face, face, SAME_SIDE, replace(runs, spread=MarkSpread.AS_FOUND)
    )
    assert np.median(crowded.scores) > 1.5 * np.median(even.scores)


def test_the_ends_of_a_crack_move_together() -> None:
    # A crack as long as the face is high, alone on both faces: its two ends always meet
    # two ends as far apart, so that chance scores as well and nothing is claimed.
    crack = Line("c", "crack", ((100.0, 5.0), (100.0, 195.0)))
    face = MarkedFace(FACE, (), (crack,))
    assert chance_of_faces(face, face, SAME_SIDE, ChanceRuns(30)).p == 1.0


# ---- what a match is worth -------------------------------------------------------------


def test_the_ratio_is_capped_at_the_number_of_runs() -> None:
    chance, true = list(range(100)), list(range(1000, 1200))
    assert match_ratio(1100, chance, true) == pytest.approx(100)
    assert match_ratio(5, chance, true) == pytest.approx(1 / 200)


def test_a_score_between_chance_and_truth_is_worth_something_between() -> None:
    chance, true = list(range(100)), list(range(1000, 1200))
    assert 1 / 200 < match_ratio(500, chance, true) < 100


def test_scores_that_chance_gives_as_often_are_worth_nothing() -> None:
    same = np.random.default_rng(1).normal(size=400).tolist()
    assert match_ratio(0.3, same, same) == pytest.approx(1.0)


@given(st.integers(0, 2**32 - 1))
@settings(max_examples=20)
def test_the_ratio_never_falls_as_the_score_rises(seed: int) -> None:
    rng = np.random.default_rng(seed)
    chance, true = rng.normal(0, 1, 80).tolist(), rng.normal(1, 2, 60).tolist()
    ratios = [match_ratio(s, chance, true) for s in np.linspace(-4, 6, 40)]
    assert (np.diff(ratios) >= -1e-12).all()


def test_the_ratio_of_normal_scores_is_near_the_exact_one() -> None:
    # Outside check: for N(0, 1) against N(2, 1) the log likelihood ratio is 2·s − 2.
    rng = np.random.default_rng(6)
    chance, true = rng.normal(0, 1, 20_000).tolist(), rng.normal(2, 1, 20_000).tolist()
    for score in (0.0, 1.0, 2.0):
        assert math.log(match_ratio(score, chance, true)) == pytest.approx(
            2 * score - 2, abs=0.25
        )


def test_a_ratio_without_samples_is_refused() -> None:
    with pytest.raises(BadValue, match="runs of chance"):
        match_ratio(1.0, [], [2.0])


def test_true_faces_score_above_chance() -> None:
    a = random_face(10, 7)
    b = laid_on(a)
    chance = chance_of_faces(a, b, FACE_TO_FACE, ChanceRuns(40))
    true = true_face_scores(a, b, FACE_TO_FACE, common=0.8, runs=ChanceRuns(40))
    assert np.median(true) > max(chance.scores)
    assert match_ratio(chance.score, chance.scores, true) == pytest.approx(40)


def test_true_edges_score_above_chance() -> None:
    a, b = edge("A", 212, 903, 1588), edge("B", 212, 904, 1588)
    chance = chance_of_edges(a, b, runs=ChanceRuns(99))
    true = true_edge_scores(a, b, runs=ChanceRuns(99))
    assert np.median(true) > max(chance.scores)
    # Both samples come from the same edges: a joint as found is no odd one among the true.
    assert min(true) <= chance.score
