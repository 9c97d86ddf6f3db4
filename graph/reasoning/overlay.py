"""What a picture of two registered faces is drawn from: plain shapes in millimetres."""

from dataclasses import dataclass
from enum import StrEnum

import numpy as np

from .mark import Mark, MarkedFace, Point
from .placement import Placement
from .registration import Registration, read_right

__all__ = ["Fate", "Overlay", "OverlayLine", "OverlayMark", "describe_overlay", "overlay"]


class Fate(StrEnum):
    """What became of a mark in the placement."""

    MET = "meets its partner"
    LONELY = "should have met and did not"
    OUTSIDE = "lies beyond the other face"


@dataclass(frozen=True, slots=True)
class OverlayMark:
    """A mark as it lies in the picture.

    Attributes:
        face: id of the face it is on.
        mark: its id.
        kind: its kind.
        at_mm: its place in the coordinates of face b.
        size_mm: its size, where recorded.
        fate: what became of it.
        partner: id of the mark it meets; empty where it meets none.
    """

    face: str
    mark: str
    kind: str
    at_mm: Point
    size_mm: float | None
    fate: Fate
    partner: str = ""


@dataclass(frozen=True, slots=True)
class OverlayLine:
    """A line or outline as it lies in the picture."""

    face: str
    line: str
    kind: str
    points_mm: tuple[Point, ...]
    closed: bool


@dataclass(frozen=True, slots=True)
class Overlay:
    """Face a laid on face b, all in the coordinates of face b.

    Attributes:
        outline_a_mm: outline of face a where it came to lie.
        outline_b_mm: outline of face b.
        marks: the marks of both faces, those of a first.
        lines: the lines of both faces, those of a first.
        mirrored: whether face a is seen in mirror image.
    """

    outline_a_mm: tuple[Point, ...]
    outline_b_mm: tuple[Point, ...]
    marks: tuple[OverlayMark, ...]
    lines: tuple[OverlayLine, ...]
    mirrored: bool


def overlay(a: MarkedFace, b: MarkedFace, match: Registration) -> Overlay | None:
    """Return face *a* laid on face *b* as *match* has it; None without a placement."""
    if match.best is None:
        return None
    a, b = read_right(a), read_right(b)
    placed, here = match.best.placement, Placement(False, 0.0, (0.0, 0.0))
    partner_a = {p.a: p.b for p in match.best.pairs}
    partner_b = {p.b: p.a for p in match.best.pairs}
    return Overlay(
        outline_a_mm=_carried(a.face.corners_mm.tolist(), placed),
        outline_b_mm=_carried(b.face.corners_mm.tolist(), here),
        marks=(
            *_marks(a, placed, partner_a, set(match.lonely_a)),
            *_marks(b, here, partner_b, set(match.lonely_b)),
        ),
        lines=(*_lines(a, placed), *_lines(b, here)),
        mirrored=placed.mirrored,
    )


def describe_overlay(a: MarkedFace, b: MarkedFace, match: Registration) -> str:
    """Return in words what the overlay shows, for those who do not see it."""
    if match.best is None:
        return f"{match.face_a} and {match.face_b}: no placement. {match.reason}"
    placed = match.best.placement
    laid = "in mirror image, " if placed.mirrored else ""
    met = "; ".join(f"{p.a} with {p.b} ({p.residual_mm:.1f} mm)" for p in match.best.pairs)
    lonely = [*(f"{m} of {match.face_a}" for m in match.lonely_a)]
    lonely += [f"{m} of {match.face_b}" for m in match.lonely_b]
    alone = ", ".join(lonely) if lonely else "none"
    return (
        f"{match.face_a} laid on {match.face_b} {laid}turned {placed.angle_deg:.0f}°:"
        f" {match.outcome}. {len(match.best.pairs)} marks meet, of {len(a.points)} and"
        f" {len(b.points)}: {met}. Should have met and did not: {alone}."
    )


def _carried(points: list[list[float]], placement: Placement) -> tuple[Point, ...]:
    moved = placement.carry(np.asarray(points, dtype=np.float64).reshape(-1, 2))
    return tuple((float(x), float(y)) for x, y in moved)


def _marks(
    marked: MarkedFace, placement: Placement, partner: dict[str, str], lonely: set[str]
) -> list[OverlayMark]:
    points = marked.points
    places = _carried([[m.x_mm, m.y_mm] for m in points], placement)

    def fate(mark: Mark) -> Fate:
        if mark.id in partner:
            return Fate.MET
        return Fate.LONELY if mark.id in lonely else Fate.OUTSIDE

    return [
        OverlayMark(
            marked.face.id, m.id, m.kind, at, m.size_mm, fate(m), partner.get(m.id, "")
        )
        for m, at in zip(points, places, strict=True)
    ]


def _lines(marked: MarkedFace, placement: Placement) -> list[OverlayLine]:
    return [
        OverlayLine(
            marked.face.id,
            line.id,
            line.kind,
            _carried([list(p) for p in line.points_mm], placement),
            line.closed,
        )
        for line in marked.lines
    ]
