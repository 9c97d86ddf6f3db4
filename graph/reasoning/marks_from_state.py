"""The faces, edges and marks of one object out of a state, ready to be matched.

What cannot be used is set aside with its reason and shown. Marks of one kind that belong
to different phases become different kinds: the cuts of the first hinges never meet those
of the second.
"""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field, replace

from ..problem import Weight
from ..record import Element, FaceSide, Phase, Picture
from ..record import Face as FaceRecord
from ..record import Mark as MarkRecord
from ..state import State
from .mark import Edge, MarkedFace
from .mark_problem import validate_edge, validate_face
from .measured_marks import edge_of, is_edge, kind_name, marked_face_of, with_crossings
from .pose import Folding, Piece

__all__ = ["MarkKind", "ObjectMarks", "marks_on"]

CLOSED = "restricted:"


@dataclass(frozen=True, slots=True)
class MarkKind:
    """Marks that may meet: of one kind and one phase.

    Attributes:
        name: under what they are matched, e.g. "hinge cut, P1".
        what: the kind as written, e.g. "hinge cut".
        phase: key of their phase; None where none is recorded.
        hinge: whether leaves joined by them must be able to fold.
        sources: keys of the sources that report them.
    """

    name: str
    what: str
    phase: str | None
    hinge: bool
    sources: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class ObjectMarks:
    """What is measured on one object.

    Attributes:
        faces: faces with two coordinates, by key of the record.
        edges: edges with heights alone, by key of the record.
        piece_of: piece that each face or edge belongs to, by key of the record.
        kinds: kinds of mark, by the name under which they are matched.
        set_aside: what could not be used, with the reason, by key of the record.
    """

    faces: Mapping[str, MarkedFace]
    edges: Mapping[str, Edge]
    piece_of: Mapping[str, str]
    kinds: Mapping[str, MarkKind]
    set_aside: Mapping[str, str] = field(default_factory=dict)

    def pieces(self) -> tuple[Piece, ...]:
        """Every piece of which a left or right edge is recorded, by name.

        An edge that is not recorded is one that nobody examined.
        """
        found: dict[str, dict[str, Edge]] = {}
        for key, edge in self.edges.items():
            if edge.name in (FaceSide.LEFT, FaceSide.RIGHT):
                found.setdefault(self.piece_of[key], {})[edge.name] = edge
        return tuple(
            Piece(name, *(self._edge(name, side, known) for side in ("left", "right")))
            for name, known in sorted(found.items())
        )

    def _edge(self, piece: str, side: str, known: Mapping[str, Edge]) -> Edge:
        if side in known:
            return known[side]
        other = next(iter(known.values()))
        return Edge(f"{piece} {side}", piece, side, other.length_mm, (), examined=False)

    def folding(self) -> Folding:
        """The rule that leaves joined by hinges must be able to fold."""
        return Folding(frozenset(k.name for k in self.kinds.values() if k.hinge))

    def phases(self) -> tuple[str | None, ...]:
        """Keys of the phases that marks belong to; None where none is recorded."""
        return tuple(dict.fromkeys(kind.phase for kind in self.kinds.values()))


def marks_on(state: State, object_key: str) -> ObjectMarks:
    """Read every face, edge and mark of an object out of a *state*."""
    return _Reader(state, object_key).reading()


class _Reader:
    def __init__(self, state: State, object_key: str) -> None:
        self.state, self.object_key = state, object_key
        self.set_aside: dict[str, str] = {}
        self.faces: dict[str, MarkedFace] = {}
        self.edges: dict[str, Edge] = {}
        self.piece_of: dict[str, str] = {}
        self.kinds: dict[str, MarkKind] = {}

    def reading(self) -> ObjectMarks:
        for _, face_key, record in self._records():
            marks = self._marks(face_key, record)
            try:
                self._keep(face_key, record, marks)
            except ValueError as wrong:
                self.set_aside[face_key] = str(wrong)
        self._one_edge_a_side()
        edges = {key: self._crossed(key, edge) for key, edge in self.edges.items()}
        kinds = dict(sorted(self.kinds.items()))
        return ObjectMarks(self.faces, edges, self.piece_of, kinds, self.set_aside)

    def _records(self) -> list[tuple[str, str, FaceRecord]]:
        """Faces of elements that the reader may know, by number."""
        found = []
        for element_key, element in self.state.about(self.object_key, Element):
            for key, record in self.state.about(element_key, FaceRecord):
                if element.name.startswith(CLOSED):
                    self.set_aside[key] = element.name
                    continue
                self.piece_of[key] = record.piece_name(element.number)
                found.append((record.number, key, record))
        return sorted(found, key=lambda one: one[:2])

    def _marks(self, face_key: str, face: FaceRecord) -> dict[str, MarkRecord]:
        found = {}
        for key, mark in self.state.about(face_key, MarkRecord):
            if mark.what.startswith(CLOSED) or not (mark.points or mark.x or mark.height):
                self.set_aside[key] = "restricted" if CLOSED in mark.what else "no place"
            elif mark.is_edge_mark != is_edge(face):
                self.set_aside[key] = f"{face.number} is no face for such a mark"
            else:
                found[key] = mark
        return found

    def _keep(self, key: str, record: FaceRecord, marks: Mapping[str, MarkRecord]) -> None:
        if is_edge(record):
            edge = edge_of(record, marks, self._kind, self.piece_of[key])
            problems = validate_edge(edge)
        else:
            marked = marked_face_of(record, marks, self._kind, self._mirrored(record))
            problems = validate_face(marked)
        wrong = [one.wrong for one in problems if one.weight is Weight.ERROR]
        if wrong:
            raise ValueError(wrong[0])
        if is_edge(record):
            self.edges[key] = edge
        else:
            self.faces[key] = marked
        self._add_kinds(marks.values())

    def _kind(self, mark: MarkRecord) -> str:
        return kind_name(mark, self._short_name(mark.phase))

    def _short_name(self, phase: str | None) -> str:
        if phase is None:
            return ""
        held = phase in self.state and self.state.held(phase).record
        return held.short_name() if isinstance(held, Phase) else phase

    def _add_kinds(self, marks: Iterable[MarkRecord]) -> None:
        for mark in marks:
            name = self._kind(mark)
            known = self.kinds.setdefault(
                name, MarkKind(name, mark.what, mark.phase, False, ())
            )
            sources = {*known.sources, *((mark.source,) if mark.source else ())}
            self.kinds[name] = replace(
                known,
                hinge=known.hinge or bool(mark.hinge),
                sources=tuple(sorted(sources)),
            )
            for end in (f"{name}, end",) if mark.points and not mark.closed else ():
                self.kinds[end] = replace(self.kinds[name], name=end)

    def _mirrored(self, record: FaceRecord) -> bool | None:
        key = record.picture
        held = key is not None and key in self.state and self.state.held(key).record
        return held.mirrored if isinstance(held, Picture) else None

    def _one_edge_a_side(self) -> None:
        """Set aside an edge that is a second left (or right) edge of one piece."""
        seen: dict[tuple[str, str], str] = {}
        for key, edge in list(self.edges.items()):
            first = seen.setdefault((self.piece_of[key], edge.name), edge.id)
            if first != edge.id:
                self.set_aside[key] = (
                    f"{first} is the {edge.name} edge of {edge.piece} already; give each "
                    "leaf its own name in the column 'piece'"
                )
                del self.edges[key]

    def _crossed(self, key: str, edge: Edge) -> Edge:
        piece = self.piece_of[key]
        faces = {
            marked.face.side: marked
            for of, marked in self.faces.items()
            if self.piece_of[of] == piece
        }
        return with_crossings(edge, faces)
