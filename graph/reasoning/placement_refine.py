"""The last steps of a search: fit each pose to what it matches, then assign one to one."""

import math
from typing import Final

import numpy as np
import numpy.typing as npt
from scipy.optimize import linear_sum_assignment

from .mark import Floats
from .placement import Complexes, FaceJoint, turned_page
from .point_set import (
    GATE_SIGMAS,
    RECORDED,
    SIZE_SD,
    Candidate,
    Ints,
    PointSet,
    Poses,
    Target,
)

__all__ = ["angle_scores", "distinct", "polish", "refine", "size_scores"]

ANGLE_SD: Final = math.radians(15.0)
ODD_ANGLE: Final = 0.05  # share of directions that are misread altogether
NEAREST: Final = 6
DENSE: Final = 2_500


class _Meeting:
    """Which marks come close to which, under many poses at once; flat, length m."""

    def __init__(self, poses: Poses, a: PointSet, target: Target) -> None:
        b = target.points
        carried = poses.carry(a.z)
        if len(a) * len(b) <= DENSE:
            far2 = np.abs(carried[:, :, None] - b.z) ** 2
            near = (far2 < (GATE_SIGMAS * target.s) ** 2) & (a.kind[:, None] == b.kind)
            self.pose, self.i, self.j = np.nonzero(near)
            d2 = far2[near]
        else:
            self.pose, self.i, self.j, d2 = _by_tree(carried, a, target)
        self.score = _scores(poses, (self.pose, self.i, self.j), d2, a, target)
        self.weight: Floats = 1.0 / (a.sd[self.i] ** 2 + b.sd[self.j] ** 2)

    def keep(self, which: npt.NDArray[np.bool_]) -> None:
        """Forget all but *which*."""
        self.pose, self.i, self.j = self.pose[which], self.i[which], self.j[which]
        self.score, self.weight = self.score[which], self.weight[which]


def _by_tree(
    carried: Complexes, a: PointSet, target: Target
) -> tuple[Ints, Ints, Ints, Floats]:
    flat = carried.ravel()
    kind = np.broadcast_to(a.kind, carried.shape).ravel()
    count = min(NEAREST, len(target.points))
    found = target.tree.query(
        target.spaced(flat, kind),
        k=range(1, count + 1),
        distance_upper_bound=GATE_SIGMAS * target.s,
    )
    far, j = np.asarray(found[0], dtype=np.float64), np.asarray(found[1], dtype=np.intp)
    near = np.isfinite(far)
    row = np.nonzero(near)[0]
    pose, i = np.divmod(row, carried.shape[1])
    return pose, i, j[near], far[near] ** 2


def _scores(
    poses: Poses,
    triple: tuple[Ints, Ints, Ints],
    d2: Floats,
    a: PointSet,
    target: Target,
) -> Floats:
    """Return the log likelihood ratio of each meeting: place, size and direction."""
    pose, i, j = triple
    b = target.points
    s2 = a.sd[i] ** 2 + b.sd[j] ** 2
    score = np.log(RECORDED / (2 * np.pi * s2 * target.density[b.kind[j]])) - d2 / (2 * s2)
    if target.sized:
        score += size_scores(a.log_size[i] - b.log_size[j], target.size_spread)
    if target.directed:
        turned = np.where(poses.mirrored[pose], np.pi - a.angle[i], a.angle[i])
        score += angle_scores(turned + np.angle(poses.u[pose]) - b.angle[j])
    return score


def size_scores(off: Floats, spread: float) -> Floats:
    """Return the log likelihood ratio of two sizes whose logarithms differ by *off*.

    Two readings of one mark against two marks of a population of that *spread*; 0 where
    a size is not recorded, and where all sizes are alike.
    """
    one = math.log(spread / SIZE_SD) - off**2 / (4 * SIZE_SD**2) + off**2 / (4 * spread**2)
    return np.nan_to_num(one, nan=0.0)


def angle_scores(off: Floats) -> Floats:
    """Return the log likelihood ratio of two axes that differ by *off* radians.

    Normal scatter with a share of misreadings, against any direction of the half turn;
    0 where a direction is not recorded.
    """
    off = (off + np.pi / 2) % np.pi - np.pi / 2
    sd = ANGLE_SD * math.sqrt(2.0)
    peak = (1 - ODD_ANGLE) * math.pi / (math.sqrt(2 * math.pi) * sd)
    ratio = np.log(ODD_ANGLE + peak * np.exp(-(off**2) / (2 * sd**2)))
    return np.nan_to_num(ratio, nan=0.0)


def _best_for_each_other(meet: _Meeting, n: int, m: int) -> npt.NDArray[np.bool_]:
    if not len(meet.pose):
        return np.zeros(0, dtype=np.bool_)
    poses = int(meet.pose.max()) + 1
    mutual = np.asarray(meet.score > 0)
    for index, size in ((meet.i, n), (meet.j, m)):
        slot = meet.pose * size + index
        top = np.full(poses * size, -np.inf)
        np.maximum.at(top, slot, meet.score)
        mutual &= meet.score == top[slot]
    return mutual


def refine(poses: Poses, a: PointSet, target: Target, joint: FaceJoint) -> Poses:
    """Return *poses* fitted to the marks that are best for each other, best first."""
    rounds = 3
    total: Floats = np.zeros(len(poses))
    for done in range(rounds + 1):
        meet = _Meeting(poses, a, target)
        meet.keep(_best_for_each_other(meet, len(a), len(target.points)))
        total = summed(meet.pose, meet.score, len(poses))
        if done < rounds:
            poses = _refit(poses, meet, a, target, joint)
    return poses.take(np.argsort(-total, kind="stable"))


def summed(slot: Ints, values: Floats, count: int) -> Floats:
    """Return the sum of *values* in each of *count* slots."""
    return np.asarray(np.bincount(slot, weights=values, minlength=count), dtype=np.float64)


def _refit(
    poses: Poses, meet: _Meeting, a: PointSet, target: Target, joint: FaceJoint
) -> Poses:
    """Return each pose fitted to its meetings; where those are fewer than two, as is.

    The closed form of `placement.closed_form`, for all poses at once.
    """
    slot, w, count = meet.pose, meet.weight, len(poses)
    za = np.where(poses.mirrored[slot], -a.z[meet.i].conj(), a.z[meet.i])
    zb = target.points.z[meet.j]
    mass = np.maximum(summed(slot, w, count), 1e-300)

    def total(values: Complexes) -> Complexes:
        real, imag = (summed(slot, w * v, count) for v in (values.real, values.imag))
        return real + 1j * imag

    ma, mb = total(za) / mass, total(zb) / mass
    off = za - ma[slot]
    together = total(off.conj() * (zb - mb[slot]))
    spread = summed(slot, w * np.abs(off) ** 2, count)
    size = np.abs(together)
    fits = (np.bincount(slot, minlength=count) >= 2) & (size > 1e-9)
    u = np.where(fits, together / np.maximum(size, 1e-300), poses.u)
    u = within_turns(u, joint)
    s = np.clip(size / np.maximum(spread, 1e-300), *joint.scale)
    s = np.where(fits, s, poses.s)
    return Poses(poses.mirrored, u, np.where(fits, mb - s * u * ma, poses.t), s)


def within_turns(u: Complexes, joint: FaceJoint) -> Complexes:
    """Return turns brought back to the nearest that *joint* allows."""
    off = joint.off_turn(u)
    over = off - np.clip(off, -joint.turn_tolerance_deg, joint.turn_tolerance_deg)
    back: Complexes = u * np.exp(-1j * np.radians(over))
    return back


def polish(pose: Poses, a: PointSet, target: Target, joint: FaceJoint) -> Candidate | None:
    """Return one pose with its marks assigned one to one and fitted to them once more.

    None where fewer than two marks meet.
    """
    for last in (False, True):
        meet = _Meeting(pose, a, target)
        meet.keep(meet.score > 0)
        meet.keep(_assigned(meet))
        if len(meet.i) < 2:
            return None
        if not last:
            pose = _refit(pose, meet, a, target, joint)
    order = np.argsort(meet.i)
    return Candidate(
        mirrored=bool(pose.mirrored[0]),
        u=complex(pose.u[0]),
        t=complex(pose.t[0]),
        scale=float(pose.s[0]),
        of_a=meet.i[order],
        of_b=meet.j[order],
        score=float(meet.score.sum()),
    )


def _assigned(meet: _Meeting) -> npt.NDArray[np.bool_]:
    """Tell which meetings the best assignment keeps (rectangular Hungarian method)."""
    rows, i = np.unique(meet.i, return_inverse=True)
    columns, j = np.unique(meet.j, return_inverse=True)
    if len(rows) == len(columns) == len(i):
        return np.ones(len(i), dtype=np.bool_)
    gain = np.zeros((len(rows), len(columns)))
    gain[i, j] = meet.score
    r, c = linear_sum_assignment(gain, maximize=True)
    taken = np.zeros(gain.shape, dtype=np.bool_)
    taken[r, c] = True
    kept: npt.NDArray[np.bool_] = taken[i, j]
    return kept


def distinct(one: Candidate, other: Candidate, a: PointSet, s: float) -> bool:
    """Tell whether two placements differ: in the mirror, or by more than the scatter."""
    if one.mirrored != other.mirrored:
        return True
    first, second = (
        c.scale * c.u * turned_page(a.z, c.mirrored) + c.t for c in (one, other)
    )
    apart = math.sqrt(float((np.abs(first - second) ** 2).mean()))
    return apart > 2 * GATE_SIGMAS * s
