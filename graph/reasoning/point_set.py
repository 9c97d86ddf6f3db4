"""Marks as arrays, and the face that stays, prepared once for many searches.

The score of a pair of marks is the logarithm of a likelihood ratio: how well the two fit
as one mark seen twice (normal scatter), against a mark of that kind at a random place.
"""

import math
from dataclasses import dataclass
from typing import Final

import numpy as np
import numpy.typing as npt
from scipy.spatial import cKDTree

from ..errors import BadValue
from .mark import SCATTER_SIGMAS, Floats, Mark
from .placement import Complexes

__all__ = [
    "MOST_MARKS",
    "Candidate",
    "Pairs",
    "PointSet",
    "Poses",
    "Target",
    "pairs_of",
    "point_set",
]

Ints = npt.NDArray[np.intp]

MOST_MARKS: Final = 4_000
RECORDED: Final = 0.8  # chance that the partner of a mark was recorded too
GATE_SIGMAS: Final = 3.0
MOST_CELLS: Final = 2e6
SIZE_SD: Final = 0.25  # of the natural logarithm of a size, two readings of one mark


@dataclass(frozen=True, slots=True)
class PointSet:
    """Marks as arrays, all of length n.

    Attributes:
        z: places as complex numbers, mm.
        kind: code of the kind.
        log_size: natural logarithm of the size, NaN where not recorded.
        angle: direction of the axis in radians, NaN where not recorded.
        sd: standard deviation of a coordinate, mm.
    """

    z: Complexes
    kind: Ints
    log_size: Floats
    angle: Floats
    sd: Floats

    def __len__(self) -> int:
        return len(self.z)

    def at(self, z: Complexes) -> "PointSet":
        """Return the same marks at other places."""
        return PointSet(z, self.kind, self.log_size, self.angle, self.sd)

    def take(self, which: Ints) -> "PointSet":
        """Return only *which* of them."""
        return PointSet(
            self.z[which],
            self.kind[which],
            self.log_size[which],
            self.angle[which],
            self.sd[which],
        )

    def beside(self, other: "PointSet") -> "PointSet":
        """Return these marks and those of *other*."""
        return PointSet(
            np.concatenate([self.z, other.z]),
            np.concatenate([self.kind, other.kind]),
            np.concatenate([self.log_size, other.log_size]),
            np.concatenate([self.angle, other.angle]),
            np.concatenate([self.sd, other.sd]),
        )


def point_set(marks: tuple[Mark, ...], codes: dict[str, int]) -> PointSet:
    """Return *marks* as arrays; kinds new to *codes* are added to it.

    Raises:
        BadValue: more than 4,000 marks.
    """
    if len(marks) > MOST_MARKS:
        raise BadValue(f"{len(marks)} marks on one face; match it in parts, at most 4,000.")
    nan = math.nan
    size = np.array([m.size_mm if m.size_mm else nan for m in marks], dtype=np.float64)
    angle = np.array([nan if m.angle_deg is None else m.angle_deg for m in marks])
    return PointSet(
        z=np.array([complex(m.x_mm, m.y_mm) for m in marks], dtype=np.complex128),
        kind=np.array([codes.setdefault(m.kind, len(codes)) for m in marks], dtype=np.intp),
        log_size=np.log(size),
        angle=np.radians(angle.astype(np.float64)),
        sd=np.array([m.scatter_mm / SCATTER_SIGMAS for m in marks], dtype=np.float64),
    )


@dataclass(frozen=True, slots=True)
class Candidate:
    """A placement with the marks it matches; indices into the two point sets."""

    mirrored: bool
    u: complex
    t: complex
    scale: float
    of_a: Ints
    of_b: Ints
    score: float


@dataclass(frozen=True, slots=True)
class Poses:
    """Many placements at once."""

    mirrored: npt.NDArray[np.bool_]
    u: Complexes
    t: Complexes
    s: Floats

    def __len__(self) -> int:
        return len(self.u)

    def take(self, which: Ints | npt.NDArray[np.bool_]) -> "Poses":
        """Return only *which* of them."""
        return Poses(self.mirrored[which], self.u[which], self.t[which], self.s[which])

    def carry(self, z: Complexes) -> Complexes:
        """Return z under each placement, shape (placements, n)."""
        turned = np.where(self.mirrored[:, None], -z.conj()[None], z[None])
        carried: Complexes = turned * (self.s * self.u)[:, None] + self.t[:, None]
        return carried


@dataclass(frozen=True, slots=True)
class Pairs:
    """Pairs of marks, the smaller kind first, with their distance."""

    first: Ints
    second: Ints
    key: Ints
    length: Floats


def pairs_of(points: PointSet, shortest: float, kinds: int) -> Pairs:
    """Return all pairs of marks farther apart than *shortest* mm, each once."""
    i, j = np.triu_indices(len(points), 1)
    length = np.abs(points.z[i] - points.z[j])
    far = length > shortest
    i, j, length = i[far], j[far], length[far]
    swap = points.kind[i] > points.kind[j]
    i, j = np.where(swap, j, i), np.where(swap, i, j)
    return Pairs(i, j, points.kind[i] * kinds + points.kind[j], length)


class Target:
    """The face that stays, prepared once for many searches.

    Args:
        points: its marks.
        area_mm2: area of its outline.
        sd: typical standard deviation of a coordinate on the other face.
        kinds: number of kinds on both faces.
    """

    def __init__(self, points: PointSet, area_mm2: float, sd: float, kinds: int) -> None:
        self.points = points
        self.kinds = kinds
        own = float(np.median(points.sd)) if len(points) else sd
        self.s = math.hypot(own, sd)  # of the difference of two readings
        counts = np.bincount(points.kind, minlength=kinds)
        # A kind that this face lacks never matches; its density only must not be 0.
        self.density: Floats = np.maximum(counts, 1) / area_mm2
        pairs = pairs_of(points, 6 * sd, kinds)
        self.step = 4.0 * float(pairs.length.max(initial=0.0)) + 1e6
        order = np.argsort(pairs.key * self.step + pairs.length)
        self.pairs = Pairs(
            pairs.first[order], pairs.second[order], pairs.key[order], pairs.length[order]
        )
        self.sorted_key = self.pairs.key * self.step + self.pairs.length
        self.tree = cKDTree(self.spaced(points.z, points.kind))
        self.field = Field(self)
        logs = points.log_size[np.isfinite(points.log_size)]
        self.size_spread = max(float(logs.std()) if len(logs) > 1 else 0.0, SIZE_SD)
        self.sized = len(logs) > 0
        self.directed = bool(np.isfinite(points.angle).any())

    @staticmethod
    def spaced(z: Complexes, kind: Ints) -> Floats:
        """Return points in space, kinds so far apart that none is near another."""
        return np.column_stack([z.real, z.imag, kind * 1e9])


class Field:
    """The best score a mark of each kind could get at each place, looked up by cell."""

    def __init__(self, target: Target) -> None:
        points = target.points
        x, y = points.z.real, points.z.imag
        width, height = (float(np.ptp(v)) if len(v) else 0.0 for v in (x, y))
        s = 1.4 * target.s  # a placement proposed by one pair is itself uncertain
        extent = (width + 8 * s) * (height + 8 * s)
        self.cell = max(s / 1.5, math.sqrt(target.kinds * extent / MOST_CELLS))
        s = max(s, self.cell)
        margin = GATE_SIGMAS * s + 2 * self.cell
        self.x0 = float(x.min(initial=np.inf if len(x) else 0.0)) - margin
        self.y0 = float(y.min(initial=np.inf if len(y) else 0.0)) - margin
        self.nx, self.ny = (int((v + 2 * margin) / self.cell) + 1 for v in (width, height))
        self.table = np.zeros((target.kinds, self.ny, self.nx), dtype=np.float32)
        self._stamp(target, s)

    def _stamp(self, target: Target, s: float) -> None:
        points = target.points
        reach = math.ceil(GATE_SIGMAS * s / self.cell)
        steps = np.arange(-reach, reach + 1)
        dx, dy = (v.ravel() for v in np.meshgrid(steps, steps))
        ix = ((points.z.real - self.x0) / self.cell).astype(np.intp)[:, None] + dx
        iy = ((points.z.imag - self.y0) / self.cell).astype(np.intp)[:, None] + dy
        d2 = ((ix + 0.5) * self.cell + self.x0 - points.z.real[:, None]) ** 2
        d2 += ((iy + 0.5) * self.cell + self.y0 - points.z.imag[:, None]) ** 2
        peak = np.log(RECORDED / (2 * np.pi * s * s * target.density))[points.kind]
        value = np.maximum(peak[:, None] - d2 / (2 * s * s), 0).astype(np.float32)
        kind = np.broadcast_to(points.kind[:, None], ix.shape)
        np.maximum.at(self.table, (kind, iy, ix), value)
        # What falls outside is looked up at the border, which must be worth nothing.
        self.table[:, [0, -1], :] = 0
        self.table[:, :, [0, -1]] = 0

    def look_up(self, z: Complexes, kind: Ints) -> Floats:
        """Return the sum over the last axis of the best scores at *z*."""
        ix = np.clip((z.real - self.x0) / self.cell, 0, self.nx - 1).astype(np.intp)
        iy = np.clip((z.imag - self.y0) / self.cell, 0, self.ny - 1).astype(np.intp)
        total: Floats = self.table[kind, iy, ix].sum(axis=-1, dtype=np.float64)
        return total
