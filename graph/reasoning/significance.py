"""How often marks would meet so well by chance.

Chance is played out: marks as many, of the same kinds, sizes and directions, are thrown
at random on the same outline (or set along the same edge), and the same search is run on
them. The other face stays as found. The share of runs that score as well is the p value,
counted so that it is never 0 (Davison & Hinkley 1997, from memory): p = (1 + runs as
good) / (1 + runs). If the marks are indeed random, p ≤ 0.01 comes up in at most one
match of a hundred, whatever the search does.
"""

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from enum import StrEnum
from typing import Final

import numpy as np
from scipy.spatial import cKDTree

from ..errors import BadValue
from .edge_heights import EVEN_HEIGHTS, Heights
from .edge_registration import ALIGNED, EdgeJoint, best_edge_score
from .mark import Edge, EdgeMark, Floats, MarkedFace, inside_outline
from .placement import Complexes, FaceJoint
from .placement_search import search
from .point_set import PointSet, Target
from .registration import allowed, prepare, read_right

__all__ = [
    "Chance",
    "ChanceRuns",
    "MarkSpread",
    "Throw",
    "best_face_score",
    "chance_of_edges",
    "chance_of_faces",
    "with_heights",
]

TRIES: Final = 200


class MarkSpread(StrEnum):
    """Where random marks fall on a face."""

    OUTLINE = "anywhere within the outline"
    # Each near a place where a mark was found: for marks that crowd in parts of the face.
    AS_FOUND = "as crowded as found"


@dataclass(frozen=True, slots=True)
class ChanceRuns:
    """How chance is played out.

    Attributes:
        count: number of runs; the smallest p is 1 / (count + 1).
        seed: the same seed gives the same runs.
        enough: stop once so many runs are as good as the match; p is then that number
            over the runs made (Besag & Clifford 1991, from memory), still valid, and a
            match that is none is recognised early. None: make all runs.
        spread: where random marks fall on a face.
    """

    count: int = 999
    seed: int = 0
    enough: int | None = None
    spread: MarkSpread = MarkSpread.OUTLINE


@dataclass(frozen=True, slots=True)
class Chance:
    """What chance does.

    Attributes:
        score: score of the match as found.
        p: share of runs in which random marks score as well.
        runs: runs made.
        as_good: runs that score as well as the match.
        scores: scores of all runs, ascending.
    """

    score: float
    p: float
    runs: int
    as_good: int
    scores: tuple[float, ...]

    def corrected(self, pairings: int) -> float:
        """Return p after *pairings* pairings were tried (Šidák 1967: 1 − (1 − p)^m).

        Exact for independent pairings, on the safe side for the usual dependence.
        """
        return -math.expm1(pairings * math.log1p(-min(self.p, 1.0 - 1e-15)))

    def bonferroni(self, pairings: int) -> float:
        """Return p after *pairings* pairings, min(1, m·p), valid under any dependence."""
        return min(1.0, pairings * self.p)


def chance_of_faces(
    a: MarkedFace, b: MarkedFace, joint: FaceJoint, runs: ChanceRuns | None = None
) -> Chance:
    """Return how often the marks of *a*, thrown at random, meet those of *b* as well.

    The lines of a face are moved as a whole and keep their direction, since cracks run
    with the grain anyway.
    """
    runs = runs or ChanceRuns()
    a, b = read_right(a), read_right(b)
    used = allowed(a.face, b.face, joint)
    points, target = prepare(a, b, used)
    throw = Throw(a, runs.spread)

    def one(rng: np.random.Generator) -> float:
        return best_face_score(points.at(throw(rng)), target, used)

    return play(best_face_score(points, target, used), one, runs)


def chance_of_edges(
    a: Edge,
    b: Edge,
    joint: EdgeJoint = ALIGNED,
    heights: Heights = EVEN_HEIGHTS,
    runs: ChanceRuns | None = None,
) -> Chance:
    """Return how often marks set on edge *a* by chance meet those of *b* as well.

    Chance sets them as *heights* has it: anywhere along the edge, or, with a `HeightHabit`,
    about where the workshop sets them anyway. The second is the harder test.
    """
    runs = runs or ChanceRuns()
    marks = [m for m in a.marks if joint.counts(m)]

    def one(rng: np.random.Generator) -> float:
        moved = with_heights(a, marks, heights.draw(a, marks, rng))
        return best_edge_score(moved, b, joint, heights)

    return play(best_edge_score(a, b, joint, heights), one, runs)


def best_face_score(points: PointSet, target: Target, joint: FaceJoint) -> float:
    """Return the score of the best placement alone; 0 where there is none."""
    found = search(points, target, joint)
    return found[0].score if found else 0.0


def with_heights(edge: Edge, marks: Sequence[EdgeMark], heights: Floats) -> Edge:
    """Return *edge* with *marks* alone, at other heights."""
    moved = (replace(m, height_mm=float(h)) for m, h in zip(marks, heights, strict=True))
    return replace(edge, marks=tuple(moved))


def play(
    score: float, one: Callable[[np.random.Generator], float], runs: ChanceRuns
) -> Chance:
    if runs.count < 1:
        raise BadValue(f"Chance needs at least one run; {runs.count} were asked for.")
    rng = np.random.default_rng(runs.seed)
    scores: list[float] = []
    as_good = 0
    # Scores differ by rounding where the same marks are met in another order.
    bar = score - 1e-9 * max(1.0, abs(score))
    while len(scores) < runs.count:
        scores.append(one(rng))
        as_good += scores[-1] >= bar
        if runs.enough is not None and as_good >= runs.enough:
            break
    made = len(scores)
    stopped = runs.enough is not None and as_good >= runs.enough
    p = as_good / made if stopped else (as_good + 1) / (made + 1)
    return Chance(score, p, made, int(as_good), tuple(sorted(scores)))


class Throw:
    """Throws the marks of a face at random, those of one line together.

    Args:
        marked: the face, put right (`read_right`).
        spread: where marks may fall.
    """

    def __init__(self, marked: MarkedFace, spread: MarkSpread) -> None:
        points = marked.points
        self.corners = marked.face.corners_mm
        bodies: dict[str, int] = {}
        names = [f"line {m.line}" if m.line else f"mark {m.id}" for m in points]
        self.body = np.array(
            [bodies.setdefault(n, len(bodies)) for n in names], dtype=np.intp
        )
        z = np.array([complex(m.x_mm, m.y_mm) for m in points], dtype=np.complex128)
        count = np.maximum(np.bincount(self.body, minlength=len(bodies)), 1)
        self.centre: Complexes = np.zeros(len(bodies), dtype=np.complex128)
        np.add.at(self.centre, self.body, z)
        self.centre /= count
        self.off = z - self.centre[self.body]
        self.jitter = self._gap() if spread is MarkSpread.AS_FOUND else None

    def _gap(self) -> float:
        """Return the median distance of a mark to its nearest neighbour."""
        if len(self.centre) < 2:
            return math.inf
        xy = np.column_stack([self.centre.real, self.centre.imag])
        return float(np.median(cKDTree(xy).query(xy, k=[2])[0]))

    def __call__(self, rng: np.random.Generator) -> Complexes:
        """Return new places for all points, shape (n,)."""
        count = len(self.centre)
        xy = np.zeros((count, 2))
        missing = np.arange(count)
        for _ in range(TRIES):
            xy[missing] = self._somewhere(len(missing), rng)
            missing = missing[~inside_outline(xy[missing], self.corners)]
            if not len(missing):
                break
        z: Complexes = (xy[:, 0] + 1j * xy[:, 1])[self.body] + self.off
        return z

    def _somewhere(self, count: int, rng: np.random.Generator) -> Floats:
        low, high = self.corners.min(axis=0), self.corners.max(axis=0)
        if self.jitter is None or math.isinf(self.jitter):
            return rng.uniform(low, high, (count, 2))
        near = self.centre[rng.integers(len(self.centre), size=count)]
        spot = np.column_stack([near.real, near.imag])
        return spot + rng.normal(0.0, self.jitter, (count, 2))
