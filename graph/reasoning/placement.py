"""How one face lies on another: a turn, a shift and, where the faces met, a mirror.

Inside, points are complex numbers: b = s·u·m(a) + t with |u| = 1, where m(a) is a itself
or, in mirror image, −conj(a): left and right change places, as when a page is turned.
"""

import cmath
import math
from dataclasses import dataclass
from enum import StrEnum

import numpy as np
import numpy.typing as npt

from ..errors import BadValue
from .mark import Floats

__all__ = [
    "FACE_TO_FACE",
    "SAME_SIDE",
    "FaceJoint",
    "Mirror",
    "Placement",
    "closed_form",
    "fit_placement",
    "turned_page",
]

Complexes = npt.NDArray[np.complex128]


class Mirror(StrEnum):
    """Whether the joint mirrors one face on the other."""

    MUST = "must"  # the faces lay upon each other
    NEVER = "never"  # both are seen from the same side
    EITHER = "either"


@dataclass(frozen=True, slots=True)
class FaceJoint:
    """What the joint of two faces allows.

    Attributes:
        mirror: whether one face is the mirror image of the other.
        turns_deg: the turns that the joint allows, after the mirror; empty for any.
        turn_tolerance_deg: how far a turn may differ from one of these.
        scale: smallest and largest scale of face a on face b; (1, 1) where both are
            measured, wider for a picture without a scale.
        complements: pairs of kinds that meet each other instead of their own (peg and
            hole); every other kind meets its own.
        least_common: below so many marks in common a placement is not identifiable.
            Five, for a free turn, is measured on simulated faces (see bench/marks.py).
    """

    mirror: Mirror = Mirror.EITHER
    turns_deg: tuple[float, ...] = ()
    turn_tolerance_deg: float = 5.0
    scale: tuple[float, float] = (1.0, 1.0)
    complements: tuple[tuple[str, str], ...] = ()
    least_common: int = 5

    @property
    def mirrors(self) -> tuple[bool, ...]:
        """The values of *mirrored* to try."""
        return {
            Mirror.MUST: (True,),
            Mirror.NEVER: (False,),
            Mirror.EITHER: (False, True),
        }[self.mirror]

    def partner(self, kind: str) -> str:
        """Return the kind on face b that a mark of *kind* on face a meets."""
        for one, other in self.complements:
            if kind in (one, other):
                return other if kind == one else one
        return kind

    def off_turn(self, u: Complexes) -> Floats:
        """Return how far (degrees, signed) each turn *u* is from the nearest allowed."""
        if not self.turns_deg:
            return np.zeros(u.shape)
        allowed = np.exp(1j * np.radians(self.turns_deg))
        off = np.degrees(np.angle(u[..., None] * allowed.conj()))
        nearest = np.abs(off).argmin(axis=-1)
        signed: Floats = np.take_along_axis(off, nearest[..., None], axis=-1)[..., 0]
        return signed


FACE_TO_FACE = FaceJoint(mirror=Mirror.MUST)
SAME_SIDE = FaceJoint(mirror=Mirror.NEVER)


def turned_page(z: Complexes, mirrored: bool) -> Complexes:
    """Return *z* with left and right exchanged where *mirrored*."""
    return -z.conj() if mirrored else z


@dataclass(frozen=True, slots=True)
class Placement:
    """Where face a lies on face b.

    Attributes:
        mirrored: whether left and right change places before anything else.
        angle_deg: turn anticlockwise, after the mirror, in (−180, 180].
        shift_mm: where the origin of face a comes to lie on face b.
        scale: millimetres on b for one millimetre on a; 1 where both are measured.
    """

    mirrored: bool
    angle_deg: float
    shift_mm: tuple[float, float]
    scale: float = 1.0

    @property
    def turn(self) -> complex:
        """The turn and scale as one complex factor."""
        return self.scale * cmath.exp(1j * math.radians(self.angle_deg))

    def carry(self, points: Floats) -> Floats:
        """Return *points* of face a, shape (n, 2), in the coordinates of face b."""
        z = turned_page(points[:, 0] + 1j * points[:, 1], self.mirrored)
        z = z * self.turn + complex(*self.shift_mm)
        return np.column_stack([z.real, z.imag])

    def carry_back(self, points: Floats) -> Floats:
        """Return *points* of face b, shape (n, 2), in the coordinates of face a."""
        z = (points[:, 0] + 1j * points[:, 1] - complex(*self.shift_mm)) / self.turn
        z = turned_page(z, self.mirrored)
        return np.column_stack([z.real, z.imag])


def closed_form(
    a: Complexes, b: Complexes, weights: Floats, scale: tuple[float, float] = (1.0, 1.0)
) -> tuple[Complexes, Complexes, Floats]:
    """Return turn u, shift t and scale s with b ≈ s·u·a + t, least squares, last axis.

    The closed form of Umeyama 1991 (eqs 40–42) in the plane, where the singular value
    decomposition becomes one complex sum. The scale is held within *scale*. Points that
    all coincide leave the turn undefined: u is then 1.
    """
    total = weights.sum(axis=-1, keepdims=True)
    ma = (weights * a).sum(axis=-1, keepdims=True) / total
    mb = (weights * b).sum(axis=-1, keepdims=True) / total
    ac, bc = a - ma, b - mb
    together = (weights * ac.conj() * bc).sum(axis=-1)
    size = np.abs(together)
    u = np.where(size > 1e-12, together / np.maximum(size, 1e-300), 1.0)
    spread = (weights * np.abs(ac) ** 2).sum(axis=-1)
    s = np.clip(size / np.maximum(spread, 1e-300), *scale)
    return u, mb[..., 0] - s * u * ma[..., 0], s


def fit_placement(
    a: Floats,
    b: Floats,
    weights: Floats | None = None,
    *,
    mirrored: bool = False,
    with_scale: bool = False,
) -> Placement:
    """Return the placement that carries points *a* onto *b* with least squared distance.

    Args:
        a: points on face a, shape (n, 2), row by row partners of those of *b*.
        b: points on face b, shape (n, 2).
        weights: weight of each pair, shape (n,); 1/variance for marks of unequal scatter.
        mirrored: whether the faces meet in mirror image.
        with_scale: whether the scale is fitted too (Umeyama 1991), or held at 1.

    Raises:
        BadValue: fewer than two pairs, unequal shapes, or all points of *a* at one place.
    """
    if a.shape != b.shape or a.ndim != 2 or a.shape[1] != 2 or len(a) < 2:
        raise BadValue(f"A placement needs two or more pairs; got {a.shape} and {b.shape}.")
    if np.ptp(a, axis=0).max() == 0:
        raise BadValue("All marks of the first face lie at one point; no turn follows.")
    za = turned_page(a[:, 0] + 1j * a[:, 1], mirrored)
    zb = b[:, 0] + 1j * b[:, 1]
    w = np.ones(len(a)) if weights is None else weights
    u, t, s = closed_form(za, zb, w, (1e-9, 1e9) if with_scale else (1.0, 1.0))
    angle = math.degrees(cmath.phase(complex(u)))
    return Placement(mirrored, angle, (float(t.real), float(t.imag)), float(s))
