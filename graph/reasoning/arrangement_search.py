"""In what order, and which way round, pieces once stood in a row.

Every two edges that could be neighbours are scored by their marks; the rows that explain
all marks best are found exactly (dynamic programming over sets of pieces, Held & Karp
1962, from memory, keeping the best few). A mark that has no partner in a row, at an open
end too, costs the chance that its partner was lost. The result says how much better each
row is than the next, which joints all good rows share, and where the marks do not decide.
"""

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise
from typing import Final

import numpy as np

from ..errors import BadValue, NotRecorded
from .edge_registration import LONELY, EdgeRegistration, best_edge_score, register_edges
from .mark import Edge
from .point_set import Ints
from .pose import UPRIGHT, Piece, Pose, RowRules, as_placed
from .significance import Chance, ChanceRuns, play, with_heights

__all__ = [
    "DECISIVE_LOG10",
    "PieceRow",
    "RowJoint",
    "RowSearch",
    "Standing",
    "chance_of_row",
    "judge_row",
    "search_rows",
]

# A row must be a hundred times likelier than the next to be called decided. Ours, no
# source; the scores assume normal scatter and marks lost independently of each other.
DECISIVE_LOG10: Final = 2.0
MOST_STEPS: Final = 1_500_000
KEPT: Final = 16


@dataclass(frozen=True, slots=True, order=True)
class Standing:
    """A piece and how it stands."""

    piece: str
    pose: Pose = UPRIGHT


@dataclass(frozen=True, slots=True)
class RowJoint:
    """Two edges next to each other in a row.

    Attributes:
        left: id of the edge on the left of the joint (the right-hand edge of its piece).
        right: id of the edge on the right of the joint.
        match: how their marks meet.
        refused: why they cannot be joined at all; empty where they can.
    """

    left: str
    right: str
    match: EdgeRegistration
    refused: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class PieceRow:
    """Pieces in a row, from left to right, seen from the front of the row.

    Attributes:
        standings: the pieces as they stand.
        joints: the joints between them.
        score: log likelihood ratio (natural) against all pieces apart; minus infinity
            for a row that is impossible.
        ends: edges at the two open ends.
        lonely: marks without a partner, each as ``"EDGE: MARK"``.
    """

    standings: tuple[Standing, ...]
    joints: tuple[RowJoint, ...]
    score: float
    ends: tuple[str, str]
    lonely: tuple[str, ...]

    @property
    def order(self) -> tuple[str, ...]:
        """Ids of the pieces, from left to right."""
        return tuple(s.piece for s in self.standings)

    @property
    def refused(self) -> tuple[str, ...]:
        """Why this row is impossible; empty where it is possible."""
        return tuple(reason for joint in self.joints for reason in joint.refused)

    def __str__(self) -> str:
        return "-".join(self.order)


@dataclass(frozen=True, slots=True)
class RowSearch:
    """The rows that marks allow.

    Attributes:
        best: the best rows, best first, none the whole-row image of another.
        margins_log10: how much better each of them is than the next, as the decimal
            logarithm of a likelihood ratio; infinite where no row is left.
        decided: whether the first is decisively better than the second.
        reason: the answer in a sentence.
        agreed: joints with meeting marks (pairs of edge ids) that every row within the
            decisive margin has.
        refused: joints that would have been tried and are impossible, with reasons.
    """

    best: tuple[PieceRow, ...]
    margins_log10: tuple[float, ...]
    decided: bool
    reason: str
    agreed: tuple[tuple[str, str], ...]
    refused: tuple[RowJoint, ...]


class _Table:
    """Scores of all joints and ends; pieces in poses are numbered as states."""

    def __init__(
        self,
        pieces: Sequence[Piece],
        rules: RowRules,
        states: Sequence[tuple[int, Pose]] | None = None,
    ) -> None:
        self.pieces, self.rules = pieces, rules
        self.joint = replace(rules.joint, flips=(False,), same_side=True)
        every = [(p, pose) for p in range(len(pieces)) for pose in rules.poses]
        self.states = every if states is None else list(states)
        self.edges = [as_placed(pieces[p], pose, self.joint) for p, pose in self.states]
        count = len(self.states)
        self.ends = np.array([[self._open(e) for e in pair] for pair in self.edges])
        self.scores = np.full((count, count), -math.inf)
        self.refusals: dict[tuple[int, int], tuple[str, ...]] = {}
        known: dict[tuple[Edge, Edge], float] = {}
        for x in range(count):
            for y in range(count):
                if self.states[x][0] != self.states[y][0]:
                    self.scores[x, y] = self._score(x, y, known)

    def _open(self, edge: Edge) -> float:
        return LONELY * len(edge.marks)

    def _score(self, x: int, y: int, known: dict[tuple[Edge, Edge], float]) -> float:
        left, right = self.edges[x][1], self.edges[y][0]
        reasons = tuple(r for rule in self.rules.forbids if (r := rule(left, right)))
        if reasons:
            self.refusals[x, y] = reasons
            return -math.inf
        key = (left, right)
        if key not in known:
            known[key] = best_edge_score(left, right, self.joint, self.rules.heights)
        return known[key]

    def row_joint(self, x: int, y: int) -> RowJoint:
        """Return the joint of state *x* on the left with state *y* on the right."""
        left, right = self.edges[x][1], self.edges[y][0]
        match = register_edges(left, right, self.joint, self.rules.heights)
        return RowJoint(left.id, right.id, match, self.refusals.get((x, y), ()))

    def row(self, path: Sequence[int]) -> PieceRow:
        """Return the row of states *path*, from left to right."""
        joints = tuple(self.row_joint(x, y) for x, y in pairwise(path))
        first, last = self.edges[path[0]][0], self.edges[path[-1]][1]
        lonely = [f"{e.id}: {m.id}" for e in (first, last) for m in e.marks]
        for joint in joints:
            lonely += [f"{joint.left}: {m}" for m in joint.match.lonely_a]
            lonely += [f"{joint.right}: {m}" for m in joint.match.lonely_b]
        ids = [(self.pieces[p].id, pose) for p, pose in (self.states[s] for s in path)]
        return PieceRow(
            tuple(Standing(piece, pose) for piece, pose in ids),
            joints,
            self.total(path),
            (first.id, last.id),
            tuple(lonely),
        )

    def total(self, path: Sequence[int]) -> float:
        """Return the score of the row of states *path*."""
        inner = sum(float(self.scores[x, y]) for x, y in pairwise(path))
        return inner + float(self.ends[path[0], 0] + self.ends[path[-1], 1])


def search_rows(
    pieces: Sequence[Piece], rules: RowRules | None = None, keep: int = 5
) -> RowSearch:
    """Find the rows of all *pieces* that their marks allow, the best *keep* of them.

    A row and its images as a whole (seen from behind, or upside down) are one row; the
    one shown has most pieces upright and front forward.

    Raises:
        BadValue: fewer than two pieces, two of one name, or so many that the rows cannot
            all be compared (above 13 in one pose, above 9 in four).
    """
    rules = rules or RowRules()
    _check(pieces, rules)
    table = _Table(pieces, rules)
    most = max(KEPT, keep) * len(rules.poses)
    paths = _best_paths(table, most)
    cut = len(paths) == most
    paths = _distinct(paths, table)
    rows = [table.row(path) for path in paths[:keep]]
    refused = tuple(table.row_joint(x, y) for x, y in sorted(table.refusals))
    scores = [table.total(path) for path in paths]
    margins = [(a - b) / math.log(10) for a, b in pairwise([*scores, -math.inf])]
    near = [p for p, s in zip(paths, scores, strict=True) if _near(s, scores[0])]
    near_rows = [table.row(path) for path in near]
    decided = len(near) == 1 and scores[0] > 0
    return RowSearch(
        best=tuple(rows),
        margins_log10=tuple(margins[:keep]),
        decided=decided,
        reason=_reason(near_rows, scores, cut and len(near) == len(paths)),
        agreed=_agreed(near_rows),
        refused=refused,
    )


def judge_row(
    pieces: Sequence[Piece], row: Sequence[Standing], rules: RowRules | None = None
) -> PieceRow:
    """Return the given *row* with its score, its lonely marks and why it is impossible.

    Raises:
        NotRecorded: the row names a piece that is not among *pieces*.
        BadValue: a piece stands in a pose that the rules do not allow, or twice.
    """
    rules = rules or RowRules()
    _check(pieces, rules)
    at = {piece.id: k for k, piece in enumerate(pieces)}
    for standing in row:
        if standing.piece not in at:
            raise NotRecorded(f"There is no piece {standing.piece} in this search.")
        if standing.pose not in rules.poses:
            raise BadValue(f"{standing.piece} may not stand {standing.pose} by the rules.")
    if len({s.piece for s in row}) != len(row) or not row:
        raise BadValue("A row names each of its pieces once, and at least one.")
    table = _Table(pieces, rules, [(at[s.piece], s.pose) for s in row])
    return table.row(range(len(row)))


def chance_of_row(
    pieces: Sequence[Piece], rules: RowRules | None = None, runs: ChanceRuns | None = None
) -> Chance:
    """Return how often marks set by chance on all edges give a best row as good.

    The whole search runs on each play of chance, so that p needs no correction for the
    pairings and orders tried. With a `HeightHabit` as heights, chance sets the marks about
    where the workshop sets them anyway: the harder, and usually the fairer test.
    """
    rules, runs = rules or RowRules(), runs or ChanceRuns()
    _check(pieces, rules)

    def best(of: Sequence[Piece]) -> float:
        table = _Table(of, rules)
        found = _best_paths(table, 1)
        return table.total(found[0]) if found else -math.inf

    def one(rng: np.random.Generator) -> float:
        def anew(edge: Edge) -> Edge:
            marks = [m for m in edge.marks if rules.joint.counts(m)]
            return with_heights(edge, marks, rules.heights.draw(edge, marks, rng))

        return best([Piece(p.id, anew(p.left), anew(p.right)) for p in pieces])

    return play(best(pieces), one, runs)


def _check(pieces: Sequence[Piece], rules: RowRules) -> None:
    count, states = len(pieces), len(pieces) * len(rules.poses)
    if count < 2:
        raise BadValue(f"A row needs two or more pieces; there are {count}.")
    if len({p.id for p in pieces}) != count:
        raise BadValue("Two pieces bear one name; each needs its own.")
    if 2**count * states**2 > MOST_STEPS:
        raise BadValue(
            f"{count} pieces in {len(rules.poses)} poses make too many rows to compare"
            " all; search part of the object, or allow fewer poses."
        )


def _best_paths(table: _Table, keep: int) -> list[tuple[int, ...]]:
    """Return the best possible rows as paths over states, best first.

    For each set of pieces and each state at its right end, the best *keep* scores, and
    for each of them where it came from.
    """
    states, count = table.states, len(table.pieces)
    none = np.full((len(states), keep), -np.inf)
    score = {0: none}
    origin: dict[int, Ints] = {}
    for mask in range(1, 1 << count):
        here, came = none.copy(), np.full(none.shape, -1, dtype=np.intp)
        for y, (p, _) in enumerate(states):
            if mask == 1 << p:
                here[y, 0] = table.ends[y, 0]
            elif mask >> p & 1:
                grown = (score[mask ^ (1 << p)] + table.scores[:, y, None]).ravel()
                top = np.argsort(-grown, kind="stable")[:keep]
                here[y, : len(top)], came[y, : len(top)] = grown[top], top
        score[mask], origin[mask] = here, came
    whole = (1 << count) - 1
    ended = (score[whole] + table.ends[:, 1, None]).ravel()
    order = np.argsort(-ended, kind="stable")[:keep]
    return [_traced(int(k), origin, table, keep) for k in order if ended[k] > -np.inf]


def _traced(
    slot: int, origin: Mapping[int, Ints], table: _Table, keep: int
) -> tuple[int, ...]:
    """Return the path that ends in *slot* (state times *keep*, plus its rank)."""
    mask = (1 << len(table.pieces)) - 1
    path = []
    while mask:
        state, rank = divmod(slot, keep)
        path.append(state)
        slot = int(origin[mask][state, rank])
        mask ^= 1 << table.states[state][0]
    return tuple(reversed(path))


def _distinct(paths: Sequence[tuple[int, ...]], table: _Table) -> list[tuple[int, ...]]:
    """Return *paths* without those that are one row seen from behind or upside down."""
    seen: set[tuple[int, ...]] = set()
    result = []
    for path in paths:
        image = min(_images(path, table), key=lambda p: _plainness(p, table))
        if image not in seen:
            seen.add(image)
            result.append(image)
    return result


def _images(path: tuple[int, ...], table: _Table) -> list[tuple[int, ...]]:
    lengths = {e.length_mm for pair in table.edges for e in pair}
    number = {state: k for k, state in enumerate(table.states)}
    images = []
    for turned in (False, True):
        # Upside down, pieces of unequal length would hang from their tops.
        for inverted in (False, True) if len(lengths) == 1 else (False,):
            moved = [
                (p, Pose(pose.turned != turned, pose.inverted != inverted))
                for p, pose in (table.states[s] for s in path)
            ]
            if turned != inverted:
                moved.reverse()
            if all(state in number for state in moved):
                images.append(tuple(number[state] for state in moved))
    return images


def _plainness(path: Sequence[int], table: _Table) -> tuple[int, tuple[int, ...]]:
    return sum(table.states[s][1] != UPRIGHT for s in path), tuple(path)


def _near(score: float, best: float) -> bool:
    return best - score < DECISIVE_LOG10 * math.log(10)


def _agreed(rows: Sequence[PieceRow]) -> tuple[tuple[str, str], ...]:
    joined = [
        {
            (j.left, j.right) if j.left < j.right else (j.right, j.left)
            for j in row.joints
            if j.match.pairs
        }
        for row in rows
    ]
    return tuple(sorted(set.intersection(*joined))) if joined else ()


def _reason(near: Sequence[PieceRow], scores: Sequence[float], cut: bool) -> str:
    if not near:
        return "No row is possible: every one has a joint that is refused."
    if scores[0] <= 0:
        return "The marks speak for no row: fewer meet than chance would have it."
    if len(near) == 1:
        return f"The marks decide for {near[0]}."
    many = f"at least {len(near)}" if cut else str(len(near))
    if not cut and len({row.order for row in near}) == 1:
        order = f"These marks decide the order {near[0]}, not how the pieces stood in it"
        return f"{order}: {many} ways fit about as well."
    return f"These marks do not decide: {many} rows explain them about as well."
