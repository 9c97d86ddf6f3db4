import math
from collections.abc import Mapping, Sequence
from dataclasses import replace
from itertools import permutations, product

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from vestige.graph.errors import BadValue, NotRecorded
from vestige.graph.reasoning import (
    ANY_POSE,
    DECISIVE_LOG10,
    UPRIGHT,
    Apart,
    ChanceRuns,
    Edge,
    EdgeJoint,
    EdgeMark,
    Folding,
    HeightHabit,
    Piece,
    Pose,
    RowRules,
    Standing,
    chance_of_row,
    judge_row,
    score_edges,
    search_rows,
)

# The screen of the demonstration museum, invented: hinge cuts H1 and H2, heights in mm
# with a steel rule, ±2 mm.
Cuts = Mapping[str, tuple[Sequence[float], str]]
FIRST: Cuts = {
    "A-right": ((212, 903, 1588), "front"),
    "B-left": ((212, 904, 1588), "front"),
    "B-right": ((205, 897, 1581), "back"),
    "C-left": ((206, 897, 1580), "back"),
    "C-right": ((215, 908, 1595), "front"),
    "D-left": ((215, 907, 1595), "front"),
}
SECOND: Cuts = {
    "A-right": ((300, 1500), ""),
    "C-left": ((300, 1500), ""),
    "C-right": ((296, 1504), ""),
    "B-left": ((296, 1504), ""),
    "B-right": ((303, 1497), ""),
    "D-left": ((303, 1497), ""),
}
# Where the river bank of the painted front meets the edges: within 3 mm at A|B, B|C and
# C|D, 41 mm apart at A|C.
BANK: Cuts = {
    "A-right": ((610,), "front"),
    "B-left": ((612,), "front"),
    "B-right": ((652,), "front"),
    "C-left": ((651,), "front"),
    "C-right": ((700,), "front"),
    "D-left": ((697,), "front"),
}
FOLDS = Folding(frozenset({"H1"}))


def edge(name: str, cuts: Mapping[str, Cuts]) -> Edge:
    marks = [
        EdgeMark(f"{kind}/{i}", kind, float(h), side=of[name][1])
        for kind, of in cuts.items()
        if name in of
        for i, h in enumerate(of[name][0], start=1)
    ]
    piece, side = name.split("-")
    return Edge(name, piece, side, 1800.0, tuple(marks))


def screen(cuts: Mapping[str, Cuts], leaves: str = "ABCD") -> list[Piece]:
    return [Piece(n, edge(f"{n}-left", cuts), edge(f"{n}-right", cuts)) for n in leaves]


SCREEN = screen({"H1": FIRST, "H2": SECOND, "river bank": BANK})


def rules(*kinds: str, poses: tuple[Pose, ...] = (UPRIGHT,)) -> RowRules:
    return RowRules(EdgeJoint(kinds=frozenset(kinds)), poses, (FOLDS,))


def usual(of: RowRules) -> RowRules:
    edges = tuple(e for p in SCREEN for e in (p.left, p.right))
    return replace(of, heights=HeightHabit(edges))


# ---- the screen ------------------------------------------------------------------------


@pytest.mark.parametrize("habit", [False, True])
@pytest.mark.parametrize(("kind", "order"), [("H1", "ABCD"), ("H2", "ACBD")])
def test_each_set_of_hinges_alone_tells_its_order(
    kind: str, order: str, habit: bool
) -> None:
    found = search_rows(SCREEN, usual(rules(kind)) if habit else rules(kind))
    assert found.best[0].order == tuple(order)
    assert found.decided
    assert found.margins_log10[0] > DECISIVE_LOG10
    assert found.best[0].lonely == ()


def test_the_first_hinges_refuse_the_later_order_with_the_reason() -> None:
    row = judge_row(SCREEN, [Standing(p) for p in "ACBD"], rules("H1"))
    assert row.score == -math.inf
    assert row.refused[0] == (
        "H1: A-right is cut on the front and C-left on the back;"
        " so hinged they cannot fold."
    )
    found = search_rows(SCREEN, rules("H1"))
    assert {(j.left, j.right) for j in found.refused} == {
        ("A-right", "C-left"),
        ("B-right", "D-left"),
    }
    # The later hinges, which are not cut on sides, do not refuse it.
    assert judge_row(SCREEN, [Standing(p) for p in "ACBD"], rules("H2")).refused == ()


def test_the_river_bank_runs_on_in_the_first_order_only() -> None:
    found = search_rows(SCREEN, rules("river bank"))
    assert found.best[0].order == tuple("ABCD")
    assert found.decided
    later = judge_row(SCREEN, [Standing(p) for p in "ACBD"], rules("river bank"))
    assert later.joints[0].match.pairs == ()
    assert later.score < 0


def test_each_joint_of_the_first_order_is_significant_after_all_pairings() -> None:
    edges = [e for p in SCREEN for e in (p.left, p.right)]
    joint = EdgeJoint(kinds=frozenset({"H1"}))
    pairs = score_edges(edges, joint, runs=ChanceRuns(999, enough=20))
    told = {(p.match.edge_a, p.match.edge_b) for p in pairs if p.p_corrected < 0.05}
    # 6 marked edges make 15 pairs, of which B's and C's own two edges are no pair.
    assert pairs[0].pairings == 13
    assert told >= {("A-right", "B-left"), ("B-right", "C-left"), ("C-right", "D-left")}


@pytest.mark.parametrize("kind", ["H1", "H2"])
def test_the_order_as_a_whole_is_not_chance_even_at_the_usual_heights(kind: str) -> None:
    chance = chance_of_row(SCREEN, usual(rules(kind)), ChanceRuns(99))
    assert chance.p == 0.01


def test_hinges_alike_upside_down_tell_the_order_but_not_how_leaves_stood() -> None:
    found = search_rows(SCREEN, rules("H2", poses=ANY_POSE), keep=10)
    assert not found.decided
    assert {row.order for row in found.best[:8]} == {tuple("ACBD")}
    assert found.margins_log10[0] == pytest.approx(0)
    assert "order A-C-B-D" in found.reason
    assert found.agreed == (
        ("A-right", "C-left"),
        ("B-left", "C-right"),
        ("B-right", "D-left"),
    )


def test_the_first_hinges_tell_even_how_the_leaves_stood() -> None:
    found = search_rows(SCREEN, rules("H1", poses=ANY_POSE))
    assert found.decided
    assert found.best[0].standings == tuple(Standing(p) for p in "ABCD")


def test_a_leaf_found_upside_down_is_set_right() -> None:
    # Leaf C measured upside down: its edges have changed places, its heights are counted
    # from the other end.
    c = SCREEN[2]

    def over(edge: Edge, name: str) -> Edge:
        marks = (replace(m, height_mm=1800 - m.height_mm) for m in edge.marks)
        return replace(edge, id=f"C-{name}", name=name, marks=tuple(marks))

    turned = Piece("C", over(c.right, "left"), over(c.left, "right"))
    found = search_rows([*SCREEN[:2], turned, SCREEN[3]], rules("H1", poses=ANY_POSE))
    assert found.decided
    assert found.best[0].standings[2] == Standing("C", Pose(inverted=True))
    assert [s.pose for s in found.best[0].standings].count(UPRIGHT) == 3


def test_a_leaf_turned_back_to_front_is_seen_by_the_side_of_its_cuts() -> None:
    b = SCREEN[1]
    swap = {"front": "back", "back": "front"}

    def turned(edge: Edge, name: str) -> Edge:
        marks = (replace(m, side=swap[m.side]) for m in edge.marks if m.kind == "H1")
        return replace(edge, id=f"B-{name}", name=name, marks=tuple(marks))

    other = Piece("B", turned(b.right, "left"), turned(b.left, "right"))
    found = search_rows([SCREEN[0], other, *SCREEN[2:]], rules("H1", poses=ANY_POSE))
    assert found.best[0].standings[1] == Standing("B", Pose(turned=True))


# ---- the search ------------------------------------------------------------------------


def random_pieces(seed: int, count: int) -> list[Piece]:
    rng = np.random.default_rng(seed)

    def marked(name: str) -> Edge:
        heights = rng.choice([200, 203, 206, 500, 503], rng.integers(0, 3), replace=False)
        marks = tuple(EdgeMark(f"{h}", "h", float(h)) for h in heights)
        return Edge(name, name[0], name[2:], 1000.0, marks)

    return [Piece(n, marked(f"{n}-left"), marked(f"{n}-right")) for n in "PQRST"[:count]]


@given(st.integers(0, 2**32 - 1))
@settings(max_examples=15)
def test_the_best_rows_are_those_of_enumeration(seed: int) -> None:
    # Outside check: every order enumerated (itertools) and judged one by one.
    pieces = random_pieces(seed, 4)
    found = search_rows(pieces, keep=6)
    scores = sorted(
        (
            judge_row(pieces, [Standing(p.id) for p in order]).score
            for order in permutations(pieces)
        ),
        reverse=True,
    )
    assert [row.score for row in found.best] == pytest.approx(scores[:6])


@given(st.integers(0, 2**32 - 1))
@settings(max_examples=5)
def test_in_all_poses_the_best_score_is_that_of_enumeration(seed: int) -> None:
    pieces = random_pieces(seed, 3)
    free = RowRules(poses=ANY_POSE)
    best = max(
        judge_row(
            pieces,
            [Standing(p.id, pose) for p, pose in zip(order, poses, strict=True)],
            free,
        ).score
        for order in permutations(pieces)
        for poses in product(ANY_POSE, repeat=3)
    )
    assert search_rows(pieces, free).best[0].score == pytest.approx(best)


def test_a_row_seen_from_behind_is_not_another_row() -> None:
    found = search_rows(SCREEN, rules("H1", poses=ANY_POSE), keep=40)
    seen = set()
    for row in found.best:
        behind = tuple(
            Standing(s.piece, replace(s.pose, turned=not s.pose.turned))
            for s in reversed(row.standings)
        )
        assert behind not in seen
        seen.add(row.standings)


def test_bare_pieces_decide_nothing() -> None:
    found = search_rows(screen({}))
    assert not found.decided
    assert found.agreed == ()
    assert "for no row" in found.reason


def test_a_leaf_without_marks_may_stand_at_either_end() -> None:
    found = search_rows(screen({"H1": FIRST}, "ABE"), rules("H1"))
    assert not found.decided
    assert {str(r) for r in found.best[:2]} == {"A-B-E", "E-A-B"}
    assert found.agreed == (("A-right", "B-left"),)


def test_a_hinge_cut_at_an_open_end_is_lonely_and_counts() -> None:
    row = judge_row(SCREEN, [Standing(p) for p in "AB"], rules("H1"))
    assert row.ends == ("A-left", "B-right")
    assert row.lonely == ("B-right: H1/1", "B-right: H1/2", "B-right: H1/3")
    closed = replace(SCREEN[1], right=replace(SCREEN[1].right, marks=()))
    ended = judge_row([SCREEN[0], closed], [Standing("A"), Standing("B")], rules("H1"))
    assert ended.score - row.score == pytest.approx(-3 * math.log(0.2))


def test_pieces_known_to_have_stood_apart_are_kept_apart() -> None:
    apart = replace(
        rules("H1"), forbids=(Apart("A", "B", "A photograph shows C between."),)
    )
    found = search_rows(SCREEN, apart)
    assert all(
        ("A", "B") not in zip(r.order, r.order[1:], strict=False) for r in found.best
    )
    assert {j.refused for j in found.refused} == {("A photograph shows C between.",)}


def test_where_all_is_forbidden_no_row_is_possible() -> None:
    none = replace(rules("H1"), forbids=(lambda one, other: "No.",))
    found = search_rows(SCREEN, none)
    assert found.best == ()
    assert not found.decided
    assert "No row is possible" in found.reason


@pytest.mark.parametrize(
    ("row", "error", "says"),
    [
        (["A", "X"], NotRecorded, "no piece X"),
        (["A", "A"], BadValue, "once"),
        ([], BadValue, "at least one"),
    ],
)
def test_a_row_that_cannot_be_judged_is_refused(
    row: list[str], error: type[Exception], says: str
) -> None:
    with pytest.raises(error, match=says):
        judge_row(SCREEN, [Standing(p) for p in row], rules("H1"))


def test_a_pose_outside_the_rules_is_refused() -> None:
    with pytest.raises(BadValue, match="upside down"):
        judge_row(SCREEN, [Standing("A", Pose(inverted=True))], rules("H1"))


def test_too_few_or_too_many_or_twice_named_pieces_are_refused() -> None:
    for pieces, says in (
        (SCREEN[:1], "two or more"),
        ([SCREEN[0], SCREEN[0]], "one name"),
        (screen({}, "ABCDEFGHIJKLMNO"), "too many rows"),
    ):
        with pytest.raises(BadValue, match=says):
            search_rows(pieces)


def test_a_row_without_a_pose_is_refused() -> None:
    with pytest.raises(BadValue, match="at least one pose"):
        RowRules(poses=())


def test_the_same_marks_give_the_same_rows_twice() -> None:
    first = search_rows(SCREEN, rules("H2", poses=ANY_POSE))
    assert first == search_rows(SCREEN, rules("H2", poses=ANY_POSE))
