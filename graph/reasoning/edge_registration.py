"""Registration of two edges: the same as for faces, in one dimension.

Hinge cuts, nails along a joint and cracks that run on are known by their height alone.
Where two edges stood against each other, marks of one kind meet at the same height, up
to an offset that the joint fixes (feet on one floor) or leaves open, and up to turning
one piece upside down.

The score is the logarithm of a likelihood ratio. For each pair: one mark cut through
both edges (normal scatter), against a mark of that kind where such marks are expected
(the geometric mean of what is expected on either edge, so that neither comes first).
For each mark without a partner: the chance that its partner was lost.
"""

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from typing import Final

import numpy as np
import numpy.typing as npt
from scipy.optimize import linear_sum_assignment

from .edge_heights import EVEN_HEIGHTS, Heights
from .mark import SCATTER_SIGMAS, Edge, EdgeMark, Floats
from .placement_refine import size_scores
from .point_set import GATE_SIGMAS, RECORDED, SIZE_SD
from .registration import REFUSED_SHARE, MarkPair, MatchOutcome

__all__ = [
    "ALIGNED",
    "ANYWHERE",
    "EdgeJoint",
    "EdgeRegistration",
    "as_stood",
    "best_edge_score",
    "register_edges",
]

LONELY: Final = math.log(1.0 - RECORDED)


@dataclass(frozen=True, slots=True)
class EdgeJoint:
    """What the joint of two edges allows.

    Attributes:
        offset_mm: least and greatest height of the lower end of edge a above that of b.
        flips: whether edge a may stand as it is (False), upside down (True), or both.
        same_side: True: marks meet only on the same side of both pieces, False: only on
            opposite sides (one piece is turned back to front), None: sides are ignored.
        kinds: the kinds that count; empty for all. Marks of different phases are kept
            apart by this.
        least_common: below so many marks in common the joint is not identifiable; the
            default is 2 where the offset is fixed and 3 where it is open (ours, no
            source: one mark more than there are unknowns to fit).
    """

    offset_mm: tuple[float, float] = (0.0, 0.0)
    flips: tuple[bool, ...] = (False,)
    same_side: bool | None = None
    kinds: frozenset[str] = frozenset()
    least_common: int | None = None

    @property
    def fixed(self) -> bool:
        """Whether the offset is fixed."""
        return self.offset_mm[0] == self.offset_mm[1]

    @property
    def least(self) -> int:
        """Fewest marks in common for a joint."""
        return self.least_common or (2 if self.fixed else 3)

    def counts(self, mark: EdgeMark) -> bool:
        """Tell whether the kind of *mark* counts."""
        return not self.kinds or mark.kind in self.kinds

    def meets(self, a: EdgeMark, b: EdgeMark) -> bool:
        """Tell whether the two marks may be one: of one kind, on sides that meet."""
        if a.kind != b.kind:
            return False
        if self.same_side is None or not a.side or not b.side:
            return True
        return (a.side == b.side) == self.same_side


ALIGNED = EdgeJoint()
ANYWHERE = EdgeJoint(offset_mm=(-math.inf, math.inf))


@dataclass(frozen=True, slots=True)
class EdgeRegistration:
    """How two edges stood against each other, as far as their marks tell.

    Attributes:
        edge_a: id of the edge that is moved.
        edge_b: id of the edge that stays.
        outcome: placed, ambiguous, or not identifiable.
        reason: why, in a sentence.
        flipped: whether edge a stands upside down.
        offset_mm: height of the lower end of edge a above that of b.
        pairs: marks that meet, by height.
        score: log likelihood ratio (natural): one joint against two edges apart. Below
            0 the marks speak against the joint.
        lonely_a: marks of a that lie beside b and have no partner there.
        lonely_b: the same for b.
        runner_up_share: score of the best clearly different offset or flip, as a share
            of the best; 0 where there is none, or where the best is not above 0.
    """

    edge_a: str
    edge_b: str
    outcome: MatchOutcome
    reason: str
    flipped: bool
    offset_mm: float
    pairs: tuple[MarkPair, ...]
    score: float
    lonely_a: tuple[str, ...] = ()
    lonely_b: tuple[str, ...] = ()
    runner_up_share: float = 0.0


@dataclass(frozen=True, slots=True)
class _Stand:
    """One way in which the edges may stand, with the marks it pairs (indices)."""

    flipped: bool
    offset: float
    of_a: npt.NDArray[np.intp]
    of_b: npt.NDArray[np.intp]
    score: float


def as_stood(edge: Edge, flipped: bool) -> Edge:
    """Return *edge* as it is measured when its piece stands upside down."""
    if not flipped:
        return edge
    marks = tuple(replace(m, height_mm=edge.length_mm - m.height_mm) for m in edge.marks)
    return replace(edge, marks=marks, inverted=not edge.inverted)


class _Case:
    """Edge a as it stands, edge b, and how well each two marks would fit."""

    def __init__(self, a: Edge, b: Edge, joint: EdgeJoint, heights: Heights) -> None:
        self.a, self.b, self.joint = a, b, joint
        self.marks_a = [m for m in a.marks if joint.counts(m)]
        self.marks_b = [m for m in b.marks if joint.counts(m)]
        self.ha = np.array([m.height_mm for m in self.marks_a], dtype=np.float64)
        self.hb = np.array([m.height_mm for m in self.marks_b], dtype=np.float64)
        sd_a = np.array([m.scatter_mm for m in self.marks_a]) / SCATTER_SIGMAS
        sd_b = np.array([m.scatter_mm for m in self.marks_b]) / SCATTER_SIGMAS
        self.s2: Floats = (sd_a[:, None] ** 2 + sd_b**2).astype(np.float64)
        self.may = np.array(
            [[joint.meets(m, n) for n in self.marks_b] for m in self.marks_a],
            dtype=np.bool_,
        ).reshape(len(self.ha), len(self.hb))
        even_a = np.log(heights.density(a, self.marks_a)) / 2
        even_b = np.log(heights.density(b, self.marks_b)) / 2
        self.peak = np.log(RECORDED / np.sqrt(2 * np.pi * self.s2)) - even_b
        self.peak -= even_a[:, None]
        size_a, size_b = _log_sizes(self.marks_a), _log_sizes(self.marks_b)
        known = size_b[np.isfinite(size_b)]
        spread = max(float(known.std()) if len(known) > 1 else 0.0, SIZE_SD)
        self.peak += size_scores(size_a[:, None] - size_b, spread)

    def offsets(self) -> Floats:
        """Return the offsets to try: the fixed one, or each that makes two marks meet."""
        low, high = self.joint.offset_mm
        if self.joint.fixed:
            return np.array([low])
        meet = (self.hb - self.ha[:, None])[self.may]
        held = np.clip(meet, low, high)
        held = held[np.abs(meet - held) <= GATE_SIGMAS * np.sqrt(self.s2[self.may])]
        return np.unique([*held, min(max(0.0, low), high)])

    def gains(self, offset: float) -> Floats:
        """Return what pairing each two marks adds, against leaving both alone."""
        off2 = (self.ha[:, None] + offset - self.hb) ** 2
        alone = LONELY * (int(self.b.examined) + int(self.a.examined))
        gain = self.peak - off2 / (2 * self.s2) - alone
        return np.where(self.may & (off2 <= GATE_SIGMAS**2 * self.s2), gain, 0.0)

    def beside(self, offset: float) -> tuple[npt.NDArray[np.bool_], npt.NDArray[np.bool_]]:
        """Tell which marks of a lie beside edge b, and the reverse."""
        on_b, on_a = self.ha + offset, self.hb - offset
        return (
            (on_b >= 0) & (on_b <= self.b.length_mm) & self.b.examined,
            (on_a >= 0) & (on_a <= self.a.length_mm) & self.a.examined,
        )

    def stand(self, offset: float, flipped: bool) -> _Stand:
        """Return the best pairing at *offset*, moved where the joint lets it."""
        low, high = self.joint.offset_mm
        i, j, gain = _paired(self.gains(offset))
        for _ in range(0 if self.joint.fixed or not len(i) else 2):
            weight = 1.0 / self.s2[i, j]
            offset = float(np.average(self.hb[j] - self.ha[i], weights=weight))
            offset = min(max(offset, low), high)
            i, j, gain = _paired(self.gains(offset))
        beside_a, beside_b = self.beside(offset)
        alone = LONELY * (int(beside_a.sum()) + int(beside_b.sum()))
        return _Stand(flipped, offset, i, j, gain + alone)


def _log_sizes(marks: Sequence[EdgeMark]) -> Floats:
    sizes = [m.size_mm if m.size_mm else math.nan for m in marks]
    logs: Floats = np.log(np.array(sizes, dtype=np.float64))
    return logs


def _paired(gains: Floats) -> tuple[npt.NDArray[np.intp], npt.NDArray[np.intp], float]:
    if not gains.size or not (gains > 0).any():
        none = np.zeros(0, dtype=np.intp)
        return none, none, 0.0
    i, j = linear_sum_assignment(gains, maximize=True)
    real = gains[i, j] > 0
    return i[real], j[real], float(gains[i, j][real].sum())


def stands(
    a: Edge, b: Edge, joint: EdgeJoint, heights: Heights
) -> tuple[list[_Stand], dict[bool, _Case]]:
    """Return every stand worth a look, best first, and the case behind each flip."""
    cases = {f: _Case(as_stood(a, f), b, joint, heights) for f in joint.flips}
    found = [case.stand(float(o), f) for f, case in cases.items() for o in case.offsets()]
    return sorted(found, key=lambda s: -s.score), cases


def best_edge_score(a: Edge, b: Edge, joint: EdgeJoint, heights: Heights) -> float:
    """Return the score of the best stand alone."""
    return stands(a, b, joint, heights)[0][0].score


def register_edges(
    a: Edge, b: Edge, joint: EdgeJoint = ALIGNED, heights: Heights = EVEN_HEIGHTS
) -> EdgeRegistration:
    """Find how edge *a* stood against edge *b*.

    Args:
        a: the edge that is moved and perhaps turned upside down.
        b: the edge that stays.
        joint: the offsets and flips to try, the sides that meet, the kinds that count.
        heights: where such marks are expected anyway; even unless a `HeightHabit` is given.
    """
    found, cases = stands(a, b, joint, heights)
    best = found[0]
    case = cases[best.flipped]
    scatter = math.sqrt(float(np.median(case.s2))) if case.s2.size else 0.0
    others = [s for s in found[1:] if _differs(s, best, scatter)]
    share = others[0].score / best.score if others and best.score > 0 else 0.0
    outcome, reason = _judge(best, others, max(share, 0.0), joint)
    return EdgeRegistration(
        a.id,
        b.id,
        outcome,
        reason,
        flipped=best.flipped,
        offset_mm=best.offset,
        pairs=_pairs(best, case),
        score=best.score,
        lonely_a=_alone(case.marks_a, best.of_a, case.beside(best.offset)[0]),
        lonely_b=_alone(case.marks_b, best.of_b, case.beside(best.offset)[1]),
        runner_up_share=max(share, 0.0),
    )


def _differs(one: _Stand, other: _Stand, scatter: float) -> bool:
    far = abs(one.offset - other.offset) > 2 * GATE_SIGMAS * scatter
    return one.flipped != other.flipped or far


def _judge(
    best: _Stand, others: Sequence[_Stand], share: float, joint: EdgeJoint
) -> tuple[MatchOutcome, str]:
    met = len(best.of_a)
    if met < joint.least:
        few = f"{met} marks meet; below {joint.least} a joint is chance."
        return MatchOutcome.NOT_IDENTIFIABLE, few
    if share > REFUSED_SHARE:
        how = "upside down" if others[0].flipped else "upright"
        told = f"{how}, offset {others[0].offset:.0f} mm ({share:.0%} of the score)"
        return MatchOutcome.AMBIGUOUS, f"The marks fit nearly as well {told}."
    return MatchOutcome.PLACED, f"{met} marks meet."


def _pairs(best: _Stand, case: _Case) -> tuple[MarkPair, ...]:
    off = np.abs(case.ha[best.of_a] + best.offset - case.hb[best.of_b])
    order = np.argsort(case.hb[best.of_b], kind="stable")
    return tuple(
        MarkPair(
            case.marks_a[best.of_a[k]].id, case.marks_b[best.of_b[k]].id, float(off[k])
        )
        for k in order
    )


def _alone(
    marks: Sequence[EdgeMark],
    met: Iterable[np.intp],
    beside: npt.NDArray[np.bool_],
) -> tuple[str, ...]:
    paired = {int(k) for k in met}
    return tuple(m.id for k, m in enumerate(marks) if k not in paired and bool(beside[k]))
