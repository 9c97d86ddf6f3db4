"""What goes into a drawing of two faces or edges laid on each other: nothing computed."""

from __future__ import annotations

from dataclasses import dataclass

from .svg import Point

__all__ = ["BEYOND", "LONELY", "MET", "OverlayData", "OverlayLineData", "OverlayMarkData"]

#: What became of a mark: the three words a drawing knows.
MET = "meets its partner"
LONELY = "should have met and did not"
BEYOND = "lies beyond the other face"


@dataclass(frozen=True, slots=True)
class OverlayMarkData:
    """A mark where it lies, millimetres, y upwards.

    Attributes:
        first: whether it is on the face that is laid on the other.
        number: its number.
        kind: its kind.
        at_mm: its place in the coordinates of the face that stays.
        fate: one of `MET`, `LONELY`, `BEYOND`.
        partner: number of the mark that it meets; "" for none.
        residual_mm: how far from it; None where it meets none.
    """

    first: bool
    number: str
    kind: str
    at_mm: Point
    fate: str
    partner: str = ""
    residual_mm: float | None = None


@dataclass(frozen=True, slots=True)
class OverlayLineData:
    """A line or outline where it lies."""

    first: bool
    number: str
    kind: str
    points_mm: tuple[Point, ...]
    closed: bool = False


@dataclass(frozen=True, slots=True)
class OverlayData:
    """One face laid on another, or two edges side by side.

    Attributes:
        title: heading.
        first: name of the face that is laid on the other.
        second: name of the face that stays.
        outlines_mm: corners of the first and of the second.
        notes: what is said under the heading: how it lies, how surely.
        edges: whether they are edges, drawn side by side.
        mirrored: whether the first is seen in mirror image.
    """

    title: str
    first: str
    second: str
    outlines_mm: tuple[tuple[Point, ...], tuple[Point, ...]]
    marks: tuple[OverlayMarkData, ...]
    lines: tuple[OverlayLineData, ...] = ()
    notes: tuple[str, ...] = ()
    edges: bool = False
    mirrored: bool = False
