"""The search for the placement of one set of points on another.

Pairs of marks of the same kinds and the same distance on both faces propose placements
(pose clustering; Stockman 1987, from memory); each is scored on more and more marks, the
weaker ones dropped on the way; the best are fitted in closed form to what they match,
and at the end the marks are assigned to each other one to one (`placement_refine`).
"""

import math
from typing import Final

import numpy as np
import numpy.typing as npt

from .placement import Complexes, FaceJoint, turned_page
from .placement_refine import distinct, polish, refine
from .point_set import SIZE_SD, Candidate, Ints, Pairs, PointSet, Poses, Target, pairs_of

__all__ = ["search"]

MOST_PROPOSALS: Final = 400_000
STAGES: Final = ((12, 4_000), (48, 800), (192, 200))
REFINED: Final = 40
POLISHED: Final = 12


def search(a: PointSet, target: Target, joint: FaceJoint, seed: int = 0) -> list[Candidate]:
    """Return the best placements of *a* on *target*, best first, all distinct.

    Empty where no two marks of the same kinds lie the same distance apart on both faces,
    or where no placement matches two marks. The seed matters only for faces with so many
    pairs that a sample of them must do.
    """
    rng = np.random.default_rng(seed)
    poses = _propose(a, target, joint, rng)
    if not len(poses):
        return []
    poses = _sift(poses, a, target, rng)
    poses = refine(poses, a, target, joint)
    found: list[Candidate] = []
    for k in range(len(poses)):
        if len(found) == POLISHED:
            break
        new = polish(poses.take(np.array([k])), a, target, joint)
        if new is not None and all(distinct(new, old, a, target.s) for old in found):
            found.append(new)
    return sorted(found, key=lambda c: -c.score)


def _propose(
    a: PointSet, target: Target, joint: FaceJoint, rng: np.random.Generator
) -> Poses:
    pairs = pairs_of(a, 6 * target.s, target.kinds)
    slack = 2.5 * math.sqrt(2.0) * target.s
    low, high = joint.scale
    base = pairs.key * target.step
    start = np.searchsorted(target.sorted_key, base + pairs.length * low - slack * low)
    stop = np.searchsorted(target.sorted_key, base + pairs.length * high + slack * high)
    count = stop - start
    chosen = _choose(pairs, count, len(a), rng, MOST_PROPOSALS // len(joint.mirrors) // 2)
    start, count = start[chosen], count[chosen]
    ia = np.repeat(chosen, count)
    ib = np.repeat(start - np.cumsum(count) + count, count) + np.arange(count.sum())
    a1, a2 = pairs.first[ia], pairs.second[ia]
    b1, b2 = target.pairs.first[ib], target.pairs.second[ib]
    both = a.kind[a1] == a.kind[a2]  # of one kind: either end may be either
    a1, a2 = np.concatenate([a1, a1[both]]), np.concatenate([a2, a2[both]])
    b1, b2 = np.concatenate([b1, b2[both]]), np.concatenate([b2, b1[both]])
    alike = _alike(a, a1, target, b1) & _alike(a, a2, target, b2)
    ends = (a1[alike], a2[alike], b1[alike], b2[alike])
    poses = [_two_point(a.z, target.points.z, ends, m, joint) for m in joint.mirrors]
    return Poses(
        np.concatenate([p.mirrored for p in poses]),
        np.concatenate([p.u for p in poses]),
        np.concatenate([p.t for p in poses]),
        np.concatenate([p.s for p in poses]),
    )


def _choose(
    pairs: Pairs, count: Ints, marks: int, rng: np.random.Generator, most: int
) -> Ints:
    """Return which pairs of face a propose: all, or the tellingest of a sample."""
    some = np.flatnonzero(count)
    if count.sum() <= most:
        return some
    # Marks in random order; of each, the pairs with fewest partners, until it is enough.
    rank = np.empty(marks, dtype=np.intp)
    rank[rng.permutation(marks)] = np.arange(marks)
    owner = np.minimum(rank[pairs.first[some]], rank[pairs.second[some]])
    order = np.lexsort((count[some], owner))
    some, owner = some[order], owner[order]
    begin = np.flatnonzero(np.r_[True, owner[1:] != owner[:-1]])
    nth = np.arange(len(some)) - np.repeat(begin, np.diff(np.r_[begin, len(some)]))
    order = np.lexsort((owner, nth // 4))
    some = some[order]
    enough = np.searchsorted(np.cumsum(count[some]), most)
    return np.sort(some[: max(int(enough), 1)])


def _alike(a: PointSet, i: Ints, target: Target, j: Ints) -> npt.NDArray[np.bool_]:
    off = np.abs(a.log_size[i] - target.points.log_size[j])
    return ~(off > 4 * SIZE_SD)  # a size not recorded excludes nothing


def _two_point(
    za: Complexes, zb: Complexes, ends: tuple[Ints, ...], mirrored: bool, joint: FaceJoint
) -> Poses:
    a1, a2, b1, b2 = ends
    m = turned_page(za, mirrored)
    da, db = m[a2] - m[a1], zb[b2] - zb[b1]
    u = db / da
    s = np.clip(np.abs(u), *joint.scale)
    u = u / np.abs(u)
    t = (zb[b1] + zb[b2] - s * u * (m[a1] + m[a2])) / 2
    poses = Poses(np.full(len(u), mirrored), u, t, s)
    if not joint.turns_deg:
        return poses
    # A short pair tells the turn badly; what it loosely allows is refined and clipped.
    return poses.take(np.abs(joint.off_turn(u)) <= joint.turn_tolerance_deg + 3.0)


def _sift(poses: Poses, a: PointSet, target: Target, rng: np.random.Generator) -> Poses:
    """Return the best few poses, scored on growing samples of marks, near ones once."""
    n = len(a)
    order = rng.permutation(n)
    stages = ((n, STAGES[-1][1]),) if n <= 24 else STAGES
    for size, keep in stages:
        some = order[: min(size, n)]
        score = np.empty(len(poses))
        for at in range(0, len(poses), 50_000):
            part = slice(at, at + 50_000)
            carried = poses.take(np.arange(len(poses))[part]).carry(a.z[some])
            score[part] = target.field.look_up(carried, a.kind[some])
        best = np.argsort(-score, kind="stable")[: keep * 4]
        poses = poses.take(best[_first_of_each_bin(poses.take(best), a, target.s)][:keep])
    return poses.take(np.arange(len(poses))[:REFINED])


def _first_of_each_bin(poses: Poses, a: PointSet, s: float) -> Ints:
    centre = a.z.mean()
    radius = max(float(np.abs(a.z - centre).mean()), s)
    at = poses.carry(np.array([centre]))[:, 0] / (4 * s)
    columns = (
        np.angle(poses.u) * radius / (4 * s),
        np.log(poses.s) * radius / (4 * s),
        at.real,
        at.imag,
    )
    key = poses.mirrored.astype(np.int64)
    for column in columns:
        whole = np.round(column).astype(np.int64)
        low = whole.min(initial=0)
        key = key * (whole.max(initial=0) - low + 1) + (whole - low)
    _, first = np.unique(key, return_index=True)
    return np.sort(first)
