"""What marks are recorded on an object, face by face, and what could not be used."""

from collections.abc import Sequence
from typing import ClassVar

from ..reasoning.marks_from_state import ObjectMarks, marks_on
from ..reasoning.measured_marks import scatter_of
from ..record import Element, Face, Mark
from ..state import State
from .answer import Answer, Plain, Thing, as_known, thing
from .caution import warnings

__all__ = ["MarkRow", "Marks", "MarksOfFace", "SetAside", "marks_of", "set_aside"]


class MarkRow(Plain):
    """One mark as it was written.

    Attributes:
        at: its place as written; empty where it is closed to the reader.
        scatter_mm: how far the reading may lie off, as it is reckoned with.
        scatter_recorded: False where nobody said and the usual was taken.
    """

    thing: Thing
    what: str
    phase: Thing | None
    at: str
    size: str | None
    side: str | None
    hinge: bool
    scatter_mm: float
    scatter_recorded: bool
    source: Thing | None


class MarksOfFace(Plain):
    """The marks of one face or edge.

    Attributes:
        piece: name of its leaf or board in arrangements.
        examined: None where nobody said whether it was looked at.
    """

    face: Thing
    element: Thing
    piece: str
    sort: str
    side: str
    size: str
    reading: str | None
    examined: bool | None
    marks: tuple[MarkRow, ...]


class SetAside(Plain):
    """A record that could not be used, and why."""

    thing: Thing
    why: str


class Marks(Answer):
    """Answer to `vestige marks`."""

    FORM: ClassVar[str] = "vestige.marks/1"
    about: Thing
    faces: tuple[MarksOfFace, ...]
    set_aside: tuple[SetAside, ...]


def marks_of(state: State, object_key: str, about: str | None = None) -> Marks:
    """The faces and marks of an object, or of one element or face of it.

    Args:
        state: what is known of the object.
        object_key: its key.
        about: key of the element or face asked for; None for the whole object.
    """
    found = marks_on(state, object_key)
    wanted = about or object_key
    faces = [
        _face(state, key, found)
        for key, record in state.all_of(Face)
        if wanted in (object_key, key, record.element)
        and _object_of(state, record) == object_key
        and key in found.piece_of  # not where its element is closed to the reader
    ]
    return Marks(
        form=Marks.FORM,
        as_known=as_known(state),
        cautions=warnings(state, object_key),
        about=thing(state, wanted),
        faces=tuple(sorted(faces, key=lambda one: (one.piece, one.sort, one.side))),
        set_aside=set_aside(state, found),
    )


def set_aside(state: State, found: ObjectMarks) -> tuple[SetAside, ...]:
    """What of the record could not be used."""
    return tuple(
        SetAside(thing=thing(state, key), why=why)
        for key, why in sorted(found.set_aside.items())
    )


def _object_of(state: State, face: Face) -> str | None:
    held = face.element in state and state.held(face.element).record
    return held.object if isinstance(held, Element) else None


def _face(state: State, key: str, found: ObjectMarks) -> MarksOfFace:
    record = state.record(key, Face)
    marks = state.about(key, Mark)
    marks.sort(key=lambda pair: (_phase_order(state, pair[1]), pair[1].what, _at(pair[1])))
    sizes = [str(one) for one in (record.width, record.height) if one]
    return MarksOfFace(
        face=thing(state, key),
        element=thing(state, record.element),
        piece=found.piece_of[key],
        sort=str(record.sort),
        side=str(record.side),
        size=" by ".join(sizes),
        reading=str(record.reading) if record.reading else None,
        examined=record.examined,
        marks=tuple(_row(state, mark_key, mark) for mark_key, mark in marks),
    )


def _row(state: State, key: str, mark: Mark) -> MarkRow:
    told = [one for one in (mark.x, mark.y, mark.height, *mark.points) if one]
    return MarkRow(
        thing=thing(state, key),
        what=mark.what,
        phase=thing(state, mark.phase) if mark.phase else None,
        at=_place(mark),
        size=str(mark.size) if mark.size else None,
        side=str(mark.side) if mark.side else None,
        hinge=bool(mark.hinge),
        scatter_mm=scatter_of(mark),
        scatter_recorded=bool(mark.scatter) or any(one.tolerances for one in told),
        source=thing(state, mark.source) if mark.source else None,
    )


def _place(mark: Mark) -> str:
    if mark.points:
        sort = "outline" if mark.closed else "line"
        return f"{sort} through {_joined([str(one) for one in mark.points])}"
    if mark.height is not None:
        return str(mark.height)
    return f"x {mark.x}, y {mark.y}" if mark.x is not None else ""


def _joined(points: Sequence[str]) -> str:
    return "; ".join(points)


def _at(mark: Mark) -> tuple[float, ...]:
    places = [mark.height, mark.x, mark.y, *mark.points]
    return tuple(one.in_unit("mm")[0] for one in places if one)


def _phase_order(state: State, mark: Mark) -> str:
    return state.number(mark.phase) if mark.phase else ""
