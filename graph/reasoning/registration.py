"""Registration of two faces: where one lay on the other, by the marks that meet.

What the search finds is judged here: a placement that too few marks carry is not
identifiable; one that a different placement nearly equals is ambiguous; and each mark
that lies within the other face and has no partner there is named.

How often marks would meet so well by chance is another question: see `significance`.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from enum import StrEnum
from typing import Final

import numpy as np

from .mark import Face, Floats, Handedness, Mark, MarkedFace, inside_outline
from .placement import FaceJoint, Mirror, Placement
from .placement_search import search
from .point_set import Candidate, PointSet, Target, point_set

__all__ = [
    "REFUSED_SHARE",
    "MarkPair",
    "MatchOutcome",
    "Registration",
    "ScoredPlacement",
    "allowed",
    "prepare",
    "read_right",
    "register_faces",
    "register_points",
]

# A runner-up above four fifths of the best score makes the placement ambiguous. Measured
# on simulated faces, 30 % missing: nineteen true placements in twenty had a runner-up
# below 75 % with 10 marks, 51 % with 20, 32 % with 50; of even rows of 12 and 20 nails,
# of which few are placed rightly, 78 in 80 came out as ambiguous.
REFUSED_SHARE: Final = 0.8


class MatchOutcome(StrEnum):
    """What the marks say of the placement, before chance is asked."""

    PLACED = "placed"
    AMBIGUOUS = "ambiguous"
    NOT_IDENTIFIABLE = "not identifiable"


@dataclass(frozen=True, slots=True)
class MarkPair:
    """A mark of face a and the mark of face b that it meets.

    Attributes:
        a: id of the mark on face a.
        b: id of the mark on face b.
        residual_mm: how far apart they lie in this placement.
    """

    a: str
    b: str
    residual_mm: float


@dataclass(frozen=True, slots=True)
class ScoredPlacement:
    """A placement, the pairs it makes and its score.

    Attributes:
        placement: where face a lies on face b.
        pairs: marks that meet, in the order of face a.
        score: sum of the log likelihood ratios (natural) of the pairs.
    """

    placement: Placement
    pairs: tuple[MarkPair, ...]
    score: float

    @property
    def rms_mm(self) -> float:
        """Root of the mean squared residual."""
        return float(np.sqrt(np.mean([p.residual_mm**2 for p in self.pairs])))


@dataclass(frozen=True, slots=True)
class Registration:
    """How two faces lie on each other, as far as their marks tell.

    Attributes:
        face_a: id of the face that is laid on the other.
        face_b: id of the face that stays.
        outcome: placed, ambiguous, or not identifiable.
        reason: why, in one or two sentences.
        best: the best placement; None where not two marks meet in any.
        runner_up: the best placement that clearly differs; None where there is none.
        rivals: all that reach four fifths of the best score, best first.
        lonely_a: marks of face a that lie on face b and have no partner there.
        lonely_b: the same for face b.
    """

    face_a: str
    face_b: str
    outcome: MatchOutcome
    reason: str
    best: ScoredPlacement | None = None
    runner_up: ScoredPlacement | None = None
    rivals: tuple[ScoredPlacement, ...] = ()
    lonely_a: tuple[str, ...] = ()
    lonely_b: tuple[str, ...] = ()

    @property
    def score(self) -> float:
        """Score of the best placement; 0 where no two marks meet."""
        return self.best.score if self.best else 0.0

    @property
    def runner_up_share(self) -> float:
        """Score of the runner-up as a share of the best; 0 where there is none."""
        return self.runner_up.score / self.score if self.runner_up else 0.0


def read_right(marked: MarkedFace) -> MarkedFace:
    """Return *marked* with left and right put right where it was read mirrored."""
    face = marked.face
    if face.handedness is not Handedness.MIRRORED:
        return marked
    w = face.width_mm
    corners = tuple((w - x, y) for x, y in face.outline_mm)
    marks = tuple(
        replace(m, x_mm=w - m.x_mm, angle_deg=None if m.angle_deg is None else -m.angle_deg)
        for m in marked.marks
    )
    lines = tuple(
        replace(line, points_mm=tuple((w - x, y) for x, y in line.points_mm))
        for line in marked.lines
    )
    right = replace(face, outline_mm=corners, handedness=Handedness.DIRECT)
    return MarkedFace(right, marks, lines)


def allowed(a: Face, b: Face, joint: FaceJoint) -> FaceJoint:
    """Return *joint*, with either mirror where it is not declared how a face was read."""
    if Handedness.NOT_DECLARED in (a.handedness, b.handedness):
        return replace(joint, mirror=Mirror.EITHER)
    return joint


def prepare(a: MarkedFace, b: MarkedFace, joint: FaceJoint) -> tuple[PointSet, Target]:
    """Return the marks of *a* as arrays and face *b* made ready for the search.

    Both must have been put right (`read_right`). Marks of *a* bear the kinds of the
    partners that the joint gives them.
    """
    codes: dict[str, int] = {}
    of_b = point_set(b.points, codes)
    met = tuple(replace(m, kind=joint.partner(m.kind)) for m in a.points)
    of_a = point_set(met, codes)
    sd = float(np.median(of_a.sd)) if len(of_a) else 1.0
    return of_a, Target(of_b, b.face.area_mm2, sd, max(len(codes), 1))


def register_faces(
    a: MarkedFace, b: MarkedFace, joint: FaceJoint, seed: int = 0
) -> Registration:
    """Find how face *a* lies on face *b*.

    Args:
        a: the face that is laid on the other, with its marks.
        b: the face that stays.
        joint: the mirror and turns to try (`FACE_TO_FACE`, `SAME_SIDE`, or your own).
        seed: matters only for faces with hundreds of marks, of which a sample proposes.

    Raises:
        BadValue: more than 4,000 marks on a face.
    """
    a, b = read_right(a), read_right(b)
    used = allowed(a.face, b.face, joint)
    names = (a.face.id, b.face.id)
    points, target = prepare(a, b, used)
    common = _possible(points, target.points)
    if common < 2:
        short = f"At most {common} marks of one kind could be in common."
        return Registration(*names, MatchOutcome.NOT_IDENTIFIABLE, short)
    found = [_scored(c, a, b) for c in search(points, target, used, seed)]
    if not found:
        none = "No two marks of the same kinds lie the same distance apart on both faces."
        return Registration(*names, MatchOutcome.NOT_IDENTIFIABLE, none)
    outcome, reason = _judge(found, used, common)
    if used is not joint and used.mirror is not joint.mirror:
        reason += " It is not declared how a face was read, so both mirrors were tried."
    best = found[0]
    return Registration(
        *names,
        outcome,
        reason,
        best=best,
        runner_up=found[1] if len(found) > 1 else None,
        rivals=tuple(f for f in found[1:] if f.score > REFUSED_SHARE * best.score),
        lonely_a=_lonely(a, {p.a for p in best.pairs}, b, best.placement.carry),
        lonely_b=_lonely(b, {p.b for p in best.pairs}, a, best.placement.carry_back),
    )


def register_points(
    a: Floats,
    b: Floats,
    joint: FaceJoint,
    scatter_mm: float = 2.0,
    kinds: tuple[Sequence[str], Sequence[str]] | None = None,
) -> Registration:
    """Register two arrays of points, shapes (n, 2) and (m, 2), millimetres.

    Marks are called by their row, from 0. Each face is taken to be the rectangle round
    its points, widened by the scatter.
    """
    of_a, of_b = kinds or ([""] * len(a), [""] * len(b))
    return register_faces(
        _round_points("a", a, of_a, scatter_mm),
        _round_points("b", b, of_b, scatter_mm),
        joint,
    )


def _round_points(
    name: str, points: Floats, kinds: Sequence[str], scatter_mm: float
) -> MarkedFace:
    points = np.asarray(points, dtype=np.float64).reshape(-1, 2)
    low = points.min(axis=0, initial=np.inf) - scatter_mm
    high = points.max(axis=0, initial=-np.inf) + scatter_mm
    corners = ((low[0], low[1]), (high[0], low[1]), (high[0], high[1]), (low[0], high[1]))
    marks = tuple(
        Mark(str(i), kind, float(x), float(y), scatter_mm=scatter_mm)
        for i, ((x, y), kind) in enumerate(zip(points, kinds, strict=True))
    )
    outline = tuple((float(x), float(y)) for x, y in corners) if marks else ()
    width, height = (high - low).tolist() if marks else (1.0, 1.0)
    return MarkedFace(Face(name, "", width, height, outline_mm=outline), marks)


def _possible(a: PointSet, b: PointSet) -> int:
    """Return how many marks could be in common, by their kinds alone."""
    most = int(max(a.kind.max(initial=0), b.kind.max(initial=0))) + 1
    counts = (np.bincount(s.kind, minlength=most) for s in (a, b))
    return int(np.minimum(*counts).sum())


def _scored(candidate: Candidate, a: MarkedFace, b: MarkedFace) -> ScoredPlacement:
    angle = float(np.degrees(np.angle(candidate.u)))
    shift = (candidate.t.real, candidate.t.imag)
    placement = Placement(candidate.mirrored, angle, shift, candidate.scale)
    of_a, of_b = a.points, b.points
    ends = [
        np.array([[marks[k].x_mm, marks[k].y_mm] for k in which])
        for marks, which in ((of_a, candidate.of_a), (of_b, candidate.of_b))
    ]
    apart = np.linalg.norm(placement.carry(ends[0]) - ends[1], axis=1)
    pairs = tuple(
        MarkPair(of_a[i].id, of_b[j].id, float(d))
        for i, j, d in zip(candidate.of_a, candidate.of_b, apart, strict=True)
    )
    return ScoredPlacement(placement, pairs, candidate.score)


def _judge(
    found: Sequence[ScoredPlacement], joint: FaceJoint, common: int
) -> tuple[MatchOutcome, str]:
    best = found[0]
    met = len(best.pairs)
    if met < joint.least_common:
        reason = f"{met} marks meet; below {joint.least_common} a placement is chance."
        return MatchOutcome.NOT_IDENTIFIABLE, reason
    rivals = [f for f in found[1:] if f.score > REFUSED_SHARE * best.score]
    if not rivals:
        return MatchOutcome.PLACED, f"{met} of at most {common} marks meet, none rivals it."
    told = "; ".join(_told(r, best) for r in rivals[:3])
    more = f" and {len(rivals) - 3} more" if len(rivals) > 3 else ""
    return MatchOutcome.AMBIGUOUS, f"The marks fit nearly as well otherwise: {told}{more}."


def _told(rival: ScoredPlacement, best: ScoredPlacement) -> str:
    mirror = "mirrored" if rival.placement.mirrored else "not mirrored"
    share = rival.score / best.score
    return f"{mirror}, turned {rival.placement.angle_deg:.0f}° ({share:.0%} of the score)"


def _lonely(
    marked: MarkedFace,
    met: set[str],
    other: MarkedFace,
    carry: Callable[[Floats], Floats],
) -> tuple[str, ...]:
    alone = [m for m in marked.points if m.id not in met]
    if not alone:
        return ()
    places = carry(np.array([[m.x_mm, m.y_mm] for m in alone]))
    within = inside_outline(places, other.face.corners_mm)
    return tuple(m.id for m, lies in zip(alone, within, strict=True) if lies)
