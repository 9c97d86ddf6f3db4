"""Whether marks lie on the faces that they are said to be on, and were entered once.

The measures of faces and marks are looked at together, those of the archive too: a face
of 5,000 m is refused, one of 50 m is asked about, and so are two marks at one point.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field, replace
from typing import Final

from pydantic import ValidationError

from ..problem import Problem, Weight
from ..reasoning import Edge, MarkedFace, validate_edge, validate_face
from ..reasoning.measured_marks import edge_of, is_edge, marked_face_of
from ..record import Face, Mark
from .resolution import Resolution
from .sheet_row import SheetRow

ON_FACE: Final = "on face"


def note_marks(rows: Sequence[SheetRow], who: Resolution) -> None:
    """Note what is wrong or doubtful about the measures of faces and of marks on them."""
    for key in dict.fromkeys(_touched(rows)):
        kind, said = who.said_of(key)
        if kind != Face.kind:
            continue
        try:
            face = Face.model_validate(said)
        except ValidationError:
            continue  # its own row says what is wrong
        marks = [row for row in rows if row.kind is Mark and row.values.get("face") == key]
        _Look(key, face, who.row_of(key), marks, who).note()


def _touched(rows: Sequence[SheetRow]) -> Iterator[str]:
    for row in rows:
        if row.kind is Face and row.key:
            yield row.key
        named = row.values.get("face")
        if row.kind is Mark and isinstance(named, str):
            yield named


@dataclass(slots=True)
class _Look:
    key: str
    face: Face
    row: SheetRow | None
    rows: Sequence[SheetRow]
    who: Resolution
    read: list[tuple[SheetRow | None, Mark]] = field(default_factory=list)

    def note(self) -> None:
        """Look at the face, at each mark on it, and at all of them together."""
        sound = self._note_face()
        self.read = [(None, mark) for mark in self._archived()]
        for row in self.rows:
            mark = self._mark_of(row)
            if mark is not None and not row.bad and sound:
                self.read.append((row, mark))
        for here, mark in self.read:
            at = self.row if here is None else here
            self._note_mark(at, mark, in_paper=here is not None)
        self._note_twins()
        self._note_crowd()

    def _note_face(self) -> bool:
        sound = True
        for one in _problems(self._measured(())):
            length = is_edge(self.face) or "height" in one.wrong
            _tell(self.row, "height" if length else "width", one)
            sound = sound and one.weight is not Weight.ERROR
        return sound

    def _archived(self) -> list[Mark]:
        """Marks on the face that the archive has and the papers do not speak of."""
        store = self.who.numbering.store
        if store is None:
            return []
        here = {row.key for row in self.rows}
        keys = [edge.src for edge in store.edges([self.key], [ON_FACE], "in")]
        stated = store.get([key for key in keys if self.who.row_of(key) is None])
        return [Mark.model_validate(one.body) for one in stated if one.key not in here]

    def _mark_of(self, row: SheetRow) -> Mark | None:
        said = self.who.said_of(row.key)[1] if row.key else dict(row.values)
        try:
            return Mark.model_validate(said)
        except ValidationError:
            return None  # its own row says what is wrong

    def _measured(self, marks: Sequence[Mark]) -> MarkedFace | Edge:
        by_number = {one.number: one for one in marks}
        if is_edge(self.face):
            return edge_of(self.face, by_number, _kind, self.face.number)
        return marked_face_of(self.face, by_number, _kind)

    def _note_mark(self, row: SheetRow | None, mark: Mark, *, in_paper: bool) -> None:
        if in_paper and mark.is_edge_mark != is_edge(self.face):
            self._note_wrong_sort(row, mark)
            return
        for one in _problems(self._measured((mark,))):
            if one.code == "unit?":
                continue  # of the face, or of all marks together
            name = "scatter" if "scatter" in one.code else _place_field(mark)
            if in_paper:
                _tell(row, name, one)
            elif one.weight is Weight.ERROR:
                _tell(row, "height", one)

    def _note_wrong_sort(self, row: SheetRow | None, mark: Mark) -> None:
        edge = is_edge(self.face)
        what = "an edge, which has heights alone" if edge else "a face, which has x and y"
        right = "Give 'height'." if edge else "Give 'x' and 'y', or 'points' of a line."
        wrong = f"{self.face.number} is {what}."
        _tell(row, _place_field(mark), Problem("wrong place", wrong, right))

    def _note_twins(self) -> None:
        seen: dict[object, str] = {}
        for row, mark in self.read:
            first = seen.setdefault(_identity(mark), mark.number)
            if first != mark.number and row is not None:
                where = self.face.number
                row.doubt(
                    _place_field(mark),
                    "same point",
                    f"Marks {first} and {mark.number} on {where} are of one kind at one"
                    " point.",
                    "Was one mark entered twice?",
                )

    def _note_crowd(self) -> None:
        marks = [mark for _, mark in self.read if mark.is_edge_mark == is_edge(self.face)]
        first = next((row for row, _ in self.read if row is not None), None)
        for one in _problems(self._measured(marks)) if first else ():
            if one.code == "unit?" and one.wrong.startswith("All marks"):
                _tell(first, _place_field(marks[-1]), one)


def _problems(measured: MarkedFace | Edge) -> tuple[Problem, ...]:
    if isinstance(measured, Edge):
        return validate_edge(measured)
    return validate_face(measured)


def _kind(mark: Mark) -> str:
    return f"{mark.what} {mark.phase or ''}"


def _identity(mark: Mark) -> object:
    places = [mark.x, mark.y, mark.height, *mark.points]
    told = tuple(tuple(round(mm, 2) for mm in one.in_unit("mm")) for one in places if one)
    return mark.what.casefold(), mark.phase, mark.side, told


def _place_field(mark: Mark) -> str:
    if mark.is_edge_mark:
        return "height"
    return "points" if mark.points else "x"


def _tell(row: SheetRow | None, name: str, problem: Problem) -> None:
    if row is None:
        return
    row.problems.append(replace(problem, place=row.at(name)))
