import math
from dataclasses import replace

import numpy as np
import numpy.typing as npt
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.linalg import orthogonal_procrustes
from scipy.optimize import linear_sum_assignment
from scipy.spatial import procrustes

from vestige.graph.errors import BadValue
from vestige.graph.reasoning import (
    FACE_TO_FACE,
    SAME_SIDE,
    Face,
    FaceJoint,
    Handedness,
    Line,
    Mark,
    MarkedFace,
    MarkPair,
    MatchOutcome,
    Placement,
    Registration,
    fit_placement,
    register_faces,
    register_points,
)

Floats = npt.NDArray[np.float64]
seeds = st.integers(0, 2**32 - 1)
NAILS = np.array(
    [
        [12, 20],
        [275, 31],
        [140, 95],
        [60, 171],
        [230, 150],
        [101, 40],
        [190, 18],
        [33, 110.0],
    ]
)


def scattered(points: Floats, sd: float, seed: int = 0) -> Floats:
    moved: Floats = points + np.random.default_rng(seed).normal(0.0, sd, points.shape)
    return moved


def marks(points: Floats, kind: str = "hole") -> tuple[Mark, ...]:
    return tuple(Mark(f"m{i}", kind, float(x), float(y)) for i, (x, y) in enumerate(points))


def best(match: Registration) -> Placement:
    assert match.best is not None
    return match.best.placement


def pairs(match: Registration) -> tuple[MarkPair, ...]:
    assert match.best is not None
    return match.best.pairs


# ---- closed form -----------------------------------------------------------------------


def test_the_worked_example_of_umeyama_is_reproduced() -> None:
    # Umeyama 1991, IEEE PAMI 13(4), the numerical example of three points, from memory:
    # R = [[.832, .555], [-.555, .832]], c = .721, t = (-.8, .4).
    a = np.array([[0.0, 0.0], [1.0, 0.0], [0.0, 2.0]])
    b = np.array([[0.0, 0.0], [-1.0, 0.0], [0.0, 2.0]])
    fit = fit_placement(a, b, with_scale=True)
    turn = fit.turn / fit.scale
    assert (turn.real, turn.imag) == pytest.approx((0.832, -0.555), abs=5e-4)
    assert fit.scale == pytest.approx(0.721, abs=5e-4)
    assert fit.shift_mm == pytest.approx((-0.8, 0.4), abs=1e-9)


@given(seeds, st.booleans())
def test_the_rigid_fit_agrees_with_orthogonal_procrustes(seed: int, mirrored: bool) -> None:
    # Outside check: scipy.linalg.orthogonal_procrustes on centred points; it picks the
    # mirror itself, so it is compared where it picks the one asked for.
    rng = np.random.default_rng(seed)
    a = rng.normal(0, 100, (9, 2))
    b = scattered(Placement(mirrored, rng.uniform(-180, 180), (5, -3)).carry(a), 2.0, seed)
    rotation, _ = orthogonal_procrustes(a - a.mean(axis=0), b - b.mean(axis=0))
    assert (np.linalg.det(rotation) < 0) == mirrored
    expected = (a - a.mean(axis=0)) @ rotation + b.mean(axis=0)
    assert fit_placement(a, b, mirrored=mirrored).carry(a) == pytest.approx(
        expected, abs=1e-9
    )


@given(seeds)
def test_the_similarity_fit_leaves_the_disparity_of_procrustes(seed: int) -> None:
    # Outside check: scipy.spatial.procrustes; its disparity is the least squared distance
    # of the two shapes over the spread of the second, best mirror taken.
    rng = np.random.default_rng(seed)
    a, b = rng.normal(0, 50, (7, 2)), rng.normal(0, 50, (7, 2))
    left = min(
        float(((fit_placement(a, b, mirrored=m, with_scale=True).carry(a) - b) ** 2).sum())
        for m in (False, True)
    )
    assert left / ((b - b.mean(axis=0)) ** 2).sum() == pytest.approx(procrustes(b, a)[2])


@given(seeds, st.booleans(), st.floats(-179, 179))
def test_what_is_carried_over_comes_back(seed: int, mirrored: bool, angle: float) -> None:
    points = np.random.default_rng(seed).normal(0, 100, (5, 2))
    placement = Placement(mirrored, angle, (31.0, -7.0), 1.7)
    assert placement.carry_back(placement.carry(points)) == pytest.approx(points, abs=1e-9)


def test_a_mirror_turns_the_page() -> None:
    carried = Placement(True, 0.0, (300.0, 0.0)).carry(np.array([[10.0, 40.0]]))
    assert carried.tolist() == [[290.0, 40.0]]


@pytest.mark.parametrize(
    ("a", "b"),
    [(NAILS[:1], NAILS[:1]), (NAILS, NAILS[:3]), (np.ones((4, 2)), NAILS[:4])],
)
def test_points_from_which_no_turn_follows_are_refused(a: Floats, b: Floats) -> None:
    with pytest.raises(BadValue, match=r"placement needs|one point"):
        fit_placement(a, b)


# ---- registration ----------------------------------------------------------------------


@given(seeds, st.booleans(), st.floats(-180, 180))
@settings(max_examples=40)
def test_a_placement_is_found_whatever_the_turn_and_mirror(
    seed: int, mirrored: bool, angle: float
) -> None:
    true = Placement(mirrored, angle, (40.0, -90.0))
    found = register_points(NAILS, scattered(true.carry(NAILS), 0.7, seed), FaceJoint())
    assert found.outcome is MatchOutcome.PLACED
    assert best(found).mirrored == mirrored
    assert best(found).carry(NAILS) == pytest.approx(true.carry(NAILS), abs=5.0)
    assert all(p.a == p.b for p in pairs(found))
    assert len(pairs(found)) == len(NAILS)


def test_missing_and_spurious_marks_are_borne_and_named() -> None:
    true = Placement(True, 0.0, (300.0, 0.0))
    a = MarkedFace(Face("A", "A", 300, 200), (*marks(NAILS), Mark("new", "hole", 205, 60)))
    seen = true.carry(NAILS)[:6]
    b = MarkedFace(Face("B", "B", 300, 200), (*marks(seen), Mark("odd", "hole", 20, 20)))
    match = register_faces(a, b, FACE_TO_FACE)
    assert match.outcome is MatchOutcome.PLACED
    assert match.lonely_a == ("m6", "m7", "new")
    assert match.lonely_b == ("odd",)


def test_a_mark_beyond_the_other_face_is_not_lonely() -> None:
    small = Face("B", "B", 150, 200)
    within = NAILS[NAILS[:, 0] < 150]
    a = MarkedFace(Face("A", "A", 300, 200), marks(NAILS))
    match = register_faces(
        a, MarkedFace(small, marks(within)), replace(SAME_SIDE, least_common=4)
    )
    assert match.outcome is MatchOutcome.PLACED
    assert match.lonely_a == ()


def test_the_residuals_are_the_distances_that_remain() -> None:
    b = scattered(NAILS, 0.7)
    match = register_points(NAILS, b, SAME_SIDE)
    # Outside check: distances after scipy.linalg.orthogonal_procrustes on all pairs.
    rotation, _ = orthogonal_procrustes(NAILS - NAILS.mean(axis=0), b - b.mean(axis=0))
    left = (NAILS - NAILS.mean(axis=0)) @ rotation + b.mean(axis=0) - b
    assert match.best is not None
    assert [p.residual_mm for p in match.best.pairs] == pytest.approx(
        np.linalg.norm(left, axis=1).tolist()
    )
    assert match.best.rms_mm == pytest.approx(math.sqrt((left**2).sum() / len(NAILS)))


def test_marks_are_paired_by_the_best_assignment() -> None:
    # Two marks so close that each could be either: the sum decides, not the nearest.
    a = np.vstack([NAILS, [[140.0, 98.0]]])
    b = scattered(a, 0.9, seed=4)
    match = register_points(a, b, SAME_SIDE)
    assert match.best is not None
    carried = best(match).carry(a)
    far2 = ((carried[:, None] - b) ** 2).sum(axis=2)
    # Outside check: scipy.optimize.linear_sum_assignment on our own matrix of gains;
    # standard deviation 1 mm on each face, 0.8 and density as documented.
    area = np.prod(np.ptp(b, axis=0) + 4.0)
    gain = np.log(0.8 * area / (len(b) * 4 * np.pi)) - far2 / 4
    gain[(far2 > 18) | (gain < 0)] = 0
    rows, columns = linear_sum_assignment(gain, maximize=True)
    assert match.score == pytest.approx(gain[rows, columns].sum())
    assert [p.b for p in match.best.pairs] == [str(j) for j in columns]


def test_only_marks_of_one_kind_meet() -> None:
    kinds = ["hole", "drip"] * 4
    match = register_points(NAILS, NAILS, SAME_SIDE, kinds=(kinds, kinds[::-1]))
    met = match.best.pairs if match.best else ()
    assert all(kinds[int(p.a)] == kinds[::-1][int(p.b)] for p in met)
    assert match.outcome is not MatchOutcome.PLACED


def test_pegs_meet_holes_where_the_joint_says_so() -> None:
    joint = replace(FACE_TO_FACE, complements=(("peg", "hole"),))
    a, b = NAILS, Placement(True, 12.0, (0.0, 0.0)).carry(NAILS)
    kinds = (["peg", "hole"] * 4, ["hole", "peg"] * 4)
    assert register_points(a, b, joint, kinds=kinds).outcome is MatchOutcome.PLACED
    alike = (kinds[0], kinds[0])
    assert register_points(a, b, joint, kinds=alike).outcome is not MatchOutcome.PLACED


def test_unlike_sizes_speak_against_a_pair() -> None:
    sizes = [2.0, 30.0, 3.0, 24.0, 2.5, 19.0, 3.4, 28.0]
    first = [replace(m, size_mm=s) for m, s in zip(marks(NAILS), sizes, strict=True)]
    swapped = [
        replace(m, size_mm=s)
        for m, s in zip(marks(NAILS), sizes[1:] + sizes[:1], strict=True)
    ]
    face = Face("A", "A", 300, 200)
    same = register_faces(
        MarkedFace(face, tuple(first)), MarkedFace(face, tuple(first)), SAME_SIDE
    )
    other = register_faces(
        MarkedFace(face, tuple(first)), MarkedFace(face, tuple(swapped)), SAME_SIDE
    )
    plain = register_faces(
        MarkedFace(face, marks(NAILS)), MarkedFace(face, marks(NAILS)), SAME_SIDE
    )
    assert same.score > plain.score > other.score


def on_face(*of: Mark) -> MarkedFace:
    return MarkedFace(Face("A", "A", 300, 200), of)


def test_sizes_that_are_all_alike_say_nothing() -> None:
    plain = on_face(*marks(NAILS))
    sized = on_face(*(replace(m, size_mm=4.0) for m in marks(NAILS)))
    assert register_faces(sized, sized, SAME_SIDE).score == pytest.approx(
        register_faces(plain, plain, SAME_SIDE).score
    )


@pytest.mark.parametrize(("turned", "helps"), [(0.0, True), (180.0, True), (90.0, False)])
def test_directions_are_axes_that_must_agree(turned: float, helps: bool) -> None:
    plain = on_face(*marks(NAILS))
    one = on_face(*(replace(m, angle_deg=30.0) for m in marks(NAILS)))
    other = on_face(*(replace(m, angle_deg=30.0 + turned) for m in marks(NAILS)))
    bare = register_faces(plain, plain, replace(SAME_SIDE, turns_deg=(0.0,))).score
    score = register_faces(one, other, replace(SAME_SIDE, turns_deg=(0.0,))).score
    assert (score > bare) == helps
    # Where only one of two marks has a direction, it says nothing.
    half = register_faces(one, plain, replace(SAME_SIDE, turns_deg=(0.0,))).score
    assert half == pytest.approx(bare)


def test_directions_are_mirrored_with_the_face() -> None:
    true = Placement(True, 0.0, (300.0, 0.0))
    a = on_face(*(replace(m, angle_deg=30.0) for m in marks(NAILS)))
    b = on_face(*(replace(m, angle_deg=150.0) for m in marks(true.carry(NAILS))))
    bare = register_faces(on_face(*marks(NAILS)), b, FACE_TO_FACE).score
    assert register_faces(a, b, FACE_TO_FACE).score > bare


@pytest.mark.parametrize(("true", "allowed"), [(90.0, (0.0, 180.0)), (45.0, (0.0, 90.0))])
def test_a_turn_that_the_joint_does_not_allow_is_not_found(
    true: float, allowed: tuple[float, ...]
) -> None:
    b = Placement(False, true, (0.0, 0.0)).carry(NAILS)
    match = register_points(NAILS, b, replace(SAME_SIDE, turns_deg=allowed))
    assert match.outcome is not MatchOutcome.PLACED
    if match.best:
        off = min(abs((best(match).angle_deg - t + 180) % 360 - 180) for t in allowed)
        assert off <= 5.0 + 1e-9


def test_a_joint_that_must_mirror_does_not_find_the_same_side() -> None:
    assert register_points(NAILS, NAILS, FACE_TO_FACE).outcome is not MatchOutcome.PLACED
    assert register_points(NAILS, NAILS, SAME_SIDE).outcome is MatchOutcome.PLACED


def test_a_photograph_without_scale_is_placed_with_its_scale() -> None:
    true = Placement(False, 75.0, (5.0, 6.0), 0.4)
    joint = replace(SAME_SIDE, scale=(0.2, 3.0))
    match = register_points(NAILS, true.carry(NAILS), joint, scatter_mm=1.0)
    assert match.outcome is MatchOutcome.PLACED
    assert best(match).scale == pytest.approx(0.4, rel=1e-6)


def test_a_declared_mirrored_photograph_is_put_right_first() -> None:
    face = Face("A", "A", 300, 200)
    taken = NAILS * [-1, 1] + [300, 0]
    reversed_ = MarkedFace(replace(face, handedness=Handedness.MIRRORED), marks(taken))
    match = register_faces(reversed_, MarkedFace(face, marks(NAILS)), SAME_SIDE)
    assert match.outcome is MatchOutcome.PLACED
    assert best(match).shift_mm == pytest.approx((0.0, 0.0), abs=1e-6)


def test_a_photograph_of_undeclared_handedness_is_tried_both_ways_and_says_so() -> None:
    face = Face("A", "A", 300, 200)
    taken = NAILS * [-1, 1] + [300, 0]
    unknown = MarkedFace(replace(face, handedness=Handedness.NOT_DECLARED), marks(taken))
    match = register_faces(unknown, MarkedFace(face, marks(NAILS)), SAME_SIDE)
    assert match.outcome is MatchOutcome.PLACED
    assert best(match).mirrored
    assert "not declared" in match.reason


def test_cracks_and_outlines_take_part() -> None:
    crack = Line("c1", "crack", ((20.0, 0.0), (35.0, 90.0)))
    ghost = Line(
        "g1", "ghost", ((200.0, 50.0), (260.0, 50.0), (260.0, 70.0), (200.0, 70.0)), True
    )
    true = Placement(True, 0.0, (300.0, 0.0))
    moved = [
        replace(
            line, points_mm=tuple(map(tuple, true.carry(np.array(line.points_mm)).tolist()))
        )
        for line in (crack, ghost)
    ]
    a = MarkedFace(Face("A", "A", 300, 200), marks(NAILS[:3]), (crack, ghost))
    b = MarkedFace(
        Face("B", "B", 300, 200), marks(true.carry(NAILS[:3])), (moved[0], moved[1])
    )
    match = register_faces(a, b, FACE_TO_FACE)
    assert match.outcome is MatchOutcome.PLACED
    assert {(p.a, p.b) for p in pairs(match)} >= {("g1", "g1"), ("c1/1", "c1/1")}


# ---- degenerate input ------------------------------------------------------------------


@pytest.mark.parametrize("count", [0, 1, 2, 3, 4])
def test_too_few_marks_are_not_identifiable(count: int) -> None:
    match = register_points(NAILS[:count], NAILS, FaceJoint())
    assert match.outcome is MatchOutcome.NOT_IDENTIFIABLE
    assert match.reason


def test_a_square_of_nails_is_ambiguous_and_the_rivals_are_listed() -> None:
    square = np.array([[0, 0], [100, 0], [100, 100], [0, 100], [50, 50.0]])
    match = register_points(square, square, FaceJoint(), scatter_mm=1.0)
    assert match.outcome is MatchOutcome.AMBIGUOUS
    # The symmetry group of the square has 8 elements: one placement and seven rivals.
    assert len(match.rivals) == 7
    assert match.runner_up_share == pytest.approx(1.0)
    turns = {round(best(match).angle_deg) % 360}
    turns |= {round(r.placement.angle_deg) % 360 for r in match.rivals}
    assert turns == {0, 90, 180, 270}


def test_marks_on_a_line_do_not_tell_the_mirror() -> None:
    line = np.array([[0, 0], [30, 0], [70, 0], [150, 0], [170, 0], [260, 0.0]])
    match = register_points(line, line, FaceJoint())
    assert match.outcome is MatchOutcome.AMBIGUOUS
    assert match.runner_up is not None
    assert match.runner_up.placement.mirrored != best(match).mirrored
    assert register_points(line, line, FACE_TO_FACE).outcome is MatchOutcome.PLACED


def test_an_even_row_of_nails_slides_and_is_ambiguous() -> None:
    row = np.column_stack([np.arange(12) * 25.0, np.zeros(12)])
    assert register_points(row, row, FACE_TO_FACE).outcome is MatchOutcome.AMBIGUOUS


def test_marks_at_one_point_are_not_identifiable() -> None:
    match = register_points(np.ones((6, 2)), np.ones((6, 2)), FaceJoint())
    assert match.outcome is MatchOutcome.NOT_IDENTIFIABLE


def test_marks_of_other_kinds_altogether_are_not_identifiable() -> None:
    match = register_points(NAILS, NAILS, FaceJoint(), kinds=(["hole"] * 8, ["drip"] * 8))
    assert match.outcome is MatchOutcome.NOT_IDENTIFIABLE
    assert match.best is None


def test_a_twin_mark_is_paired_once() -> None:
    twin = np.vstack([NAILS, NAILS[:1]])
    match = register_points(twin, NAILS, SAME_SIDE)
    assert match.best is not None
    assert len({p.b for p in match.best.pairs}) == len(match.best.pairs) == 8


def test_more_marks_than_can_be_searched_are_refused() -> None:
    many = np.random.default_rng(0).uniform(0, 900, (4001, 2))
    with pytest.raises(BadValue, match="4,000"):
        register_points(many, NAILS, FaceJoint())


def test_the_same_faces_give_the_same_answer_twice() -> None:
    rng = np.random.default_rng(5)
    a = rng.uniform(0, 300, (60, 2))
    b = scattered(a, 1.0)
    assert register_points(a, b, FaceJoint()) == register_points(a, b, FaceJoint())
