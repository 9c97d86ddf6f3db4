"""Marks on faces and on edges: what is measured before anything is matched.

A face has its own coordinates in millimetres, x to the right and y upwards from its lower
left corner, as the face is seen by somebody who stands before it. An edge has one
coordinate, the height above its lower end. Nothing here reads a unit: values come in as
millimetres; `mark_problem.validate_face` asks where they look like another unit.
"""

import math
from dataclasses import dataclass, field
from enum import StrEnum
from typing import Final

import numpy as np
import numpy.typing as npt

Floats = npt.NDArray[np.float64]
Point = tuple[float, float]

# Common practice, no source: a figure "±2 mm" is meant to hold nearly always, so it is
# taken as two standard deviations.
SCATTER_SIGMAS: Final = 2.0


class Handedness(StrEnum):
    """Whether the coordinates of a face were read the right way round."""

    DIRECT = "direct"
    MIRRORED = "mirrored"  # from a reversed photograph, or through a transparent support
    NOT_DECLARED = "not declared"


@dataclass(frozen=True, slots=True)
class Face:
    """One face of an element.

    Attributes:
        id: name of the face.
        element: id of the element that has the face.
        width_mm: extent along x.
        height_mm: extent along y.
        side: which side of the element it is, in the user's word (front, back, top).
        outline_mm: corners of the real outline, in order, where it is no rectangle.
        handedness: whether the coordinates were read the right way round; the
            computation turns a declared mirrored face back before it matches.
    """

    id: str
    element: str
    width_mm: float
    height_mm: float
    side: str = ""
    outline_mm: tuple[Point, ...] = ()
    handedness: Handedness = Handedness.DIRECT

    @property
    def corners_mm(self) -> Floats:
        """Corners of the outline, shape (n, 2), anticlockwise for a rectangle."""
        if self.outline_mm:
            return np.asarray(self.outline_mm, dtype=np.float64)
        w, h = self.width_mm, self.height_mm
        return np.array([[0.0, 0.0], [w, 0.0], [w, h], [0.0, h]])

    @property
    def area_mm2(self) -> float:
        """Area within the outline (shoelace formula)."""
        x, y = self.corners_mm.T
        return float(abs(np.dot(x, np.roll(y, -1)) - np.dot(y, np.roll(x, -1))) / 2)


@dataclass(frozen=True, slots=True)
class Mark:
    """A mark that one point stands for: a drip, a nail hole, the centre of a ghost.

    Attributes:
        id: name of the mark, unique on its face.
        kind: what it is; only marks of one kind are ever matched with each other.
        x_mm: place along the face's x.
        y_mm: place along the face's y.
        size_mm: its size (diameter, or the side of a square of the same area).
        angle_deg: direction of its long axis, from x anticlockwise; 10 and 190 are one.
        scatter_mm: how far the reading may lie off, said as "±2 mm"; taken as two
            standard deviations.
        line: id of the line or outline that this point stands for; points of one line
            move together when marks are scattered at random.
    """

    id: str
    kind: str
    x_mm: float
    y_mm: float
    size_mm: float | None = None
    angle_deg: float | None = None
    scatter_mm: float = 2.0
    line: str = ""


@dataclass(frozen=True, slots=True)
class Line:
    """A crack, channel, tide line or other mark drawn as a polyline, or an outline.

    Attributes:
        id: name of the mark, unique on its face.
        kind: what it is.
        points_mm: places along it, in order.
        closed: whether the last point joins the first, which makes it an outline.
        scatter_mm: as for `Mark`.
    """

    id: str
    kind: str
    points_mm: tuple[Point, ...]
    closed: bool = False
    scatter_mm: float = 2.0


@dataclass(frozen=True, slots=True)
class MarkedFace:
    """A face with what is on it."""

    face: Face
    marks: tuple[Mark, ...] = ()
    lines: tuple[Line, ...] = ()

    @property
    def points(self) -> tuple[Mark, ...]:
        """The marks, and the points that stand for each line or outline."""
        stand_ins = (p for line in self.lines for p in points_of(line))
        return (*self.marks, *stand_ins)


@dataclass(frozen=True, slots=True)
class EdgeMark:
    """A mark on an edge, known by its height alone: a hinge cut, a crack that runs out.

    Attributes:
        id: name of the mark, unique on its edge.
        kind: what it is.
        height_mm: distance from the lower end of the edge.
        size_mm: its length along the edge.
        scatter_mm: as for `Mark`.
        side: face from which it is cut or on which it shows (front, back); empty where
            that is not known or does not matter.
    """

    id: str
    kind: str
    height_mm: float
    size_mm: float | None = None
    scatter_mm: float = 2.0
    side: str = ""


@dataclass(frozen=True, slots=True)
class Edge:
    """One edge of a piece, with the marks on it.

    Attributes:
        id: name of the edge, unique over the object (``"A-right"``).
        piece: id of the piece.
        name: which edge of the piece (left, right, or the user's word).
        length_mm: its length.
        marks: marks on it; none means "looked at, none seen", unless not examined.
        examined: False when nobody looked: then its silence says nothing.
        inverted: True where heights are counted from the upper end, since the piece is
            thought upside down.
    """

    id: str
    piece: str
    name: str
    length_mm: float
    marks: tuple[EdgeMark, ...] = field(default=())
    examined: bool = True
    inverted: bool = False


def points_of(line: Line) -> tuple[Mark, ...]:
    """Return the marks that stand for *line* when faces are matched.

    An outline becomes its centre, with the side of a square of the same area as size and
    the direction of its longer axis as angle (none when it is about as wide as long). An
    open line becomes its two ends, each with the direction in which the line arrives,
    and kind ``"KIND, end"``.
    """
    points = np.asarray(line.points_mm, dtype=np.float64).reshape(-1, 2)
    if len(points) < 2:
        return ()
    if line.closed and len(points) >= 3:
        return (_centre_mark(line, points),)
    ends = ((points[0], points[1]), (points[-1], points[-2]))
    return tuple(
        Mark(
            id=f"{line.id}/{number}",
            kind=f"{line.kind}, end",
            x_mm=float(end[0]),
            y_mm=float(end[1]),
            angle_deg=math.degrees(math.atan2(*(end - before)[::-1])) % 180.0,
            scatter_mm=line.scatter_mm,
            line=line.id,
        )
        for number, (end, before) in enumerate(ends, start=1)
    )


def _centre_mark(line: Line, points: Floats) -> Mark:
    x, y = points.T
    cross = x * np.roll(y, -1) - np.roll(x, -1) * y
    area = cross.sum() / 2
    if abs(area) < 1e-9:
        cx, cy = points.mean(axis=0)
        return Mark(line.id, line.kind, float(cx), float(cy), scatter_mm=line.scatter_mm)
    cx = float(((x + np.roll(x, -1)) * cross).sum() / (6 * area))
    cy = float(((y + np.roll(y, -1)) * cross).sum() / (6 * area))
    spread, axes = np.linalg.eigh(np.cov(points.T))
    # An axis is a direction only where the shape is clearly longer than wide.
    long_enough = spread[1] > 2.0 * spread[0]
    angle = math.degrees(math.atan2(axes[1, 1], axes[0, 1])) % 180.0
    return Mark(
        id=line.id,
        kind=line.kind,
        x_mm=cx,
        y_mm=cy,
        size_mm=math.sqrt(abs(float(area))),
        angle_deg=angle if long_enough else None,
        scatter_mm=line.scatter_mm,
    )


def edge_crossings(line: Line, face: Face) -> dict[str, tuple[EdgeMark, ...]]:
    """Return where *line* runs out over the edges of a rectangular *face*.

    Keys are left, right, bottom and top; each end of an open line that lies within the
    scatter of an edge becomes an `EdgeMark` at its height (left, right) or its distance
    from the left (bottom, top). This is how a crack or channel that runs on into the
    next board enters the matching of edges.
    """
    found: dict[str, list[EdgeMark]] = {"left": [], "right": [], "bottom": [], "top": []}
    ends = () if line.closed else (line.points_mm[0], line.points_mm[-1])
    for number, (x, y) in enumerate(ends, start=1):
        reach = {
            "left": (x, y),
            "right": (face.width_mm - x, y),
            "bottom": (y, x),
            "top": (face.height_mm - y, x),
        }
        for name, (distance, along) in reach.items():
            if abs(distance) <= line.scatter_mm:
                mark = EdgeMark(
                    f"{line.id}/{number}",
                    line.kind,
                    along,
                    scatter_mm=line.scatter_mm,
                    side=face.side,
                )
                found[name].append(mark)
    return {name: tuple(marks) for name, marks in found.items()}


def inside_outline(points: Floats, corners: Floats) -> npt.NDArray[np.bool_]:
    """Tell which *points*, shape (n, 2), lie within the polygon *corners* (even-odd)."""
    x, y = points[:, :1], points[:, 1:]
    x0, y0 = corners.T
    x1, y1 = np.roll(corners, -1, axis=0).T
    spans = (y0 > y) != (y1 > y)
    rise = np.where(y1 == y0, 1.0, y1 - y0)
    meets = x < (x1 - x0) * (y - y0) / rise + x0
    result: npt.NDArray[np.bool_] = (spans & meets).sum(axis=1) % 2 == 1
    return result
