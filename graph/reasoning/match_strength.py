"""What a match of marks is worth: a likelihood ratio for the assessment.

The score of a match is set against two samples of scores: those of chance
(`significance`), and those of matches that are true, played out here.
"""

import cmath
import math
from collections.abc import Sequence
from dataclasses import replace

import numpy as np
from scipy.optimize import isotonic_regression

from ..errors import BadValue
from .edge_heights import EVEN_HEIGHTS, Heights
from .edge_registration import ALIGNED, EdgeJoint, as_stood, best_edge_score
from .mark import SCATTER_SIGMAS, Edge, MarkedFace
from .placement import FaceJoint, turned_page
from .point_set import RECORDED, SIZE_SD, PointSet
from .registration import allowed, prepare, read_right
from .significance import ChanceRuns, Throw, best_face_score, with_heights

__all__ = ["match_ratio", "true_edge_scores", "true_face_scores"]


def true_face_scores(
    a: MarkedFace,
    b: MarkedFace,
    joint: FaceJoint,
    common: float = 0.5,
    runs: ChanceRuns | None = None,
) -> tuple[float, ...]:
    """Return the scores of matches that are true, played out on the marks of face *b*.

    Each mark of *b* is on the other face too with the chance *common*, moved by the
    scatter of both; random marks of the kinds of *a* make up the number found on *a*.
    Turn and shift do not matter for the score, so they are left at what the joint
    allows first. Ascending.
    """
    runs = runs or ChanceRuns(count=200)
    a, b = read_right(a), read_right(b)
    used = allowed(a.face, b.face, joint)
    points, target = prepare(a, b, used)
    throw = Throw(a, runs.spread)
    turn = cmath.rect(1.0, math.radians(used.turns_deg[0] if used.turns_deg else 0.0))
    rng = np.random.default_rng(runs.seed)
    scores = []
    for _ in range(runs.count):
        real = np.flatnonzero(rng.random(len(target.points)) < common)[: len(points)]
        seen = _seen_again(target.points.take(real), target.s, turn, used.mirrors[-1], rng)
        fill = rng.permutation(len(points))[: len(points) - len(real)]
        spurious = points.at(throw(rng)).take(fill)
        scores.append(best_face_score(seen.beside(spurious), target, used))
    return tuple(sorted(scores))


def _seen_again(
    points: PointSet, s: float, turn: complex, mirrored: bool, rng: np.random.Generator
) -> PointSet:
    """Return *points* of face b as they would be read on face a."""
    across, up = rng.normal(0.0, s, (2, len(points)))
    angle = points.angle - cmath.phase(turn)
    return PointSet(
        z=turned_page((points.z + across + 1j * up) / turn, mirrored),
        kind=points.kind,
        log_size=points.log_size + rng.normal(0.0, SIZE_SD * math.sqrt(2.0), len(points)),
        angle=np.pi - angle if mirrored else angle,
        sd=points.sd,
    )


def true_edge_scores(
    a: Edge,
    b: Edge,
    joint: EdgeJoint = ALIGNED,
    heights: Heights = EVEN_HEIGHTS,
    runs: ChanceRuns | None = None,
) -> tuple[float, ...]:
    """Return the scores of joints that are true, played out on the marks of edge *b*.

    Each mark of *b* has its partner with the chance that the score assumes; marks at
    heights of chance make up the number found on *a*. Ascending.
    """
    runs = runs or ChanceRuns(count=200)
    rng = np.random.default_rng(runs.seed)
    offset = joint.offset_mm[0] if joint.fixed else 0.0
    of_a = [m for m in a.marks if joint.counts(m)]
    of_b = [m for m in b.marks if joint.counts(m)]
    scores = []
    for _ in range(runs.count):
        real = [replace(m, side="") for m in of_b if rng.random() < RECORDED][: len(of_a)]
        drawn = of_a[: len(of_a) - len(real)]
        sd = np.array([m.scatter_mm for m in real]) * math.sqrt(2.0) / SCATTER_SIGMAS
        met = (
            np.array([m.height_mm for m in real]) - offset + sd * rng.normal(size=len(real))
        )
        at = np.concatenate([met, heights.draw(a, drawn, rng)])
        moved = as_stood(with_heights(a, [*real, *drawn], at), joint.flips[0])
        scores.append(best_edge_score(moved, b, joint, heights))
    return tuple(sorted(scores))


def match_ratio(score: float, chance: Sequence[float], true: Sequence[float]) -> float:
    """Return how many times likelier *score* is for a true match than for chance.

    The ratio is estimated from the two samples of scores without a shape, but never
    falling as the score rises (pool adjacent violators; Ayer et al. 1955, from memory),
    between pools on a straight line of its logarithm. It is capped at the number of
    chance runs and at one over the number of true ones: so few runs cannot say more.

    Raises:
        BadValue: one of the samples is empty.
    """
    if not len(chance) or not len(true):
        raise BadValue("A likelihood ratio needs runs of chance and of true matches.")
    at = np.concatenate([np.asarray(chance), np.asarray(true)])
    is_true = np.r_[np.zeros(len(chance)), np.ones(len(true))]
    # Where scores tie, the true one comes first, so that the tie is pooled.
    order = np.lexsort((-is_true, at))
    values, pools = at[order], isotonic_regression(is_true[order]).x
    share = np.clip(pools, 1e-12, 1 - 1e-12)
    raw = np.log(share / (1 - share)) + math.log(len(chance) / len(true))
    capped = np.clip(raw, -math.log(len(true)), math.log(len(chance)))
    return float(np.exp(np.interp(score, values, capped)))
