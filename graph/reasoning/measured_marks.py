"""From faces and marks as they are recorded to faces and edges that can be matched."""

from collections.abc import Callable, Mapping
from dataclasses import replace
from typing import Final

from ..record import Face as FaceRecord
from ..record import FaceReading, FaceSort, Measure, corner_of, length_in_mm
from ..record import Mark as MarkRecord
from .mark import Edge, EdgeMark, Face, Handedness, Line, Mark, MarkedFace, edge_crossings

__all__ = ["ACROSS", "USUAL_SCATTER_MM", "edge_of", "marked_face_of", "with_crossings"]

# Common practice, no source: a steel rule read by eye; the answer says where it was used.
USUAL_SCATTER_MM: Final = 2.0

READING: Final[Mapping[FaceReading, Handedness]] = {
    FaceReading.DIRECT: Handedness.DIRECT,
    FaceReading.MIRRORED: Handedness.MIRRORED,
    FaceReading.NOT_DECLARED: Handedness.NOT_DECLARED,
}

# Who stands behind a piece has its right edge at the left.
ACROSS: Final[Mapping[str, Mapping[str, str]]] = {
    "front": {"left": "left", "right": "right"},
    "back": {"left": "right", "right": "left"},
}

KindOf = Callable[[MarkRecord], str]


def marked_face_of(
    record: FaceRecord,
    marks: Mapping[str, MarkRecord],
    kind_of: KindOf,
    picture_mirrored: bool | None = None,
) -> MarkedFace:
    """Return a recorded face with its marks, by the numbers that people gave them.

    Args:
        record: the face.
        marks: the marks on it, by key.
        kind_of: under which kind a mark is matched; it keeps phases apart.
        picture_mirrored: what the picture says of itself; None where it does not.

    Raises:
        ValueError: the record lacks a measure (it is closed to the reader).
    """
    face = Face(
        record.number,
        record.element,
        _mm(record.width, "width"),
        _mm(record.height, "height"),
        str(record.side),
        tuple(corner_of(one, "outline") for one in record.outline),
        _reading(record, picture_mirrored),
    )
    ordered = sorted(marks.items(), key=lambda pair: (pair[1].number, pair[0]))
    points = tuple(
        Mark(
            one.number,
            kind_of(one),
            _mm(one.x, "x"),
            _mm(one.y, "y"),
            _mm(one.size, "size") if one.size else None,
            one.angle.in_unit("°")[0] if one.angle else None,
            scatter_of(one),
        )
        for _, one in ordered
        if one.x is not None
    )
    lines = tuple(
        Line(
            one.number,
            kind_of(one),
            tuple(corner_of(each, "points") for each in one.points),
            bool(one.closed),
            scatter_of(one),
        )
        for _, one in ordered
        if one.points
    )
    return MarkedFace(face, points, lines)


def edge_of(
    record: FaceRecord, marks: Mapping[str, MarkRecord], kind_of: KindOf, piece: str
) -> Edge:
    """Return a recorded edge of a *piece* with its marks.

    Raises:
        ValueError: the record lacks its length (it is closed to the reader).
    """
    found = tuple(
        EdgeMark(
            one.number,
            kind_of(one),
            _mm(one.height, "height"),
            _mm(one.size, "size") if one.size else None,
            scatter_of(one),
            str(one.side) if one.side else "",
        )
        for _, one in sorted(marks.items(), key=lambda pair: (pair[1].number, pair[0]))
        if one.height is not None
    )
    # Nobody said that it was looked at, and nothing is recorded: its silence says nothing.
    examined = bool(found) if record.examined is None else record.examined
    length = _mm(record.height, "height")
    return Edge(record.number, piece, str(record.side), length, found, examined)


def with_crossings(edge: Edge, faces: Mapping[str, MarkedFace]) -> Edge:
    """Return *edge* with the marks at which lines on its piece's faces run out over it.

    Args:
        edge: the left or right edge of a piece.
        faces: the front and back of that piece, by side.
    """
    added: list[EdgeMark] = []
    for side, marked in sorted(faces.items()):
        if side not in ACROSS or marked.face.handedness is not Handedness.DIRECT:
            continue
        for line in marked.lines:
            crossed = edge_crossings(line, marked.face)
            added += [
                mark
                for seen, found in crossed.items()
                if ACROSS[side].get(seen) == edge.name
                for mark in found
            ]
    if not added:
        return edge
    return replace(edge, marks=(*edge.marks, *added), examined=True)


def scatter_of(mark: MarkRecord) -> float:
    """How far a mark's reading may lie off, millimetres; the usual where nobody says."""
    if mark.scatter is not None:
        return _mm(mark.scatter, "scatter")
    measures = [one for one in (mark.x, mark.y, mark.height, *mark.points) if one]
    told = [
        size * (one.in_unit("mm")[0] / one.magnitudes[0] if one.magnitudes[0] else 1.0)
        for one in measures
        for size in one.tolerances
    ]
    return max(told) if told and max(told) > 0 else USUAL_SCATTER_MM


def _reading(record: FaceRecord, picture_mirrored: bool | None) -> Handedness:
    if record.reading is not None:
        return READING[record.reading]
    if record.picture is None:
        return Handedness.DIRECT
    if picture_mirrored is None:
        return Handedness.NOT_DECLARED
    return Handedness.MIRRORED if picture_mirrored else Handedness.DIRECT


def _mm(measure: Measure | None, head: str) -> float:
    if measure is None:
        raise ValueError(f"'{head}' is not recorded")
    return length_in_mm(measure, head, above=None)


def kind_name(mark: MarkRecord, phase: str) -> str:
    """Under what kind a mark is matched: its own, and the phase where one is recorded."""
    return f"{mark.what}, {phase}" if phase else mark.what


def is_edge(record: FaceRecord) -> bool:
    """Whether a face is known by heights alone."""
    return record.sort is FaceSort.EDGE
