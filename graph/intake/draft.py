"""From what was read to what would be recorded: new, changed and same records.

A draft writes nothing. It lists everything that is wrong, all at once; while anything is,
it proposes nothing. Records that the papers do not mention are left alone, and a column
that a sheet does not have says nothing: only an empty cell under a head empties a field.
"""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace

from pydantic import ValidationError
from pydantic_core import ErrorDetails

from ..ledger import State
from ..problem import Place, Problem, Weight
from ..record import KeyMaker, Record
from ..store import Store
from .amount import note_amounts
from .column import Column, columns_of
from .evidence_asked import ask_derived, fill_strength
from .lawfulness import unlawful
from .loop import note_loops
from .mark_place import note_marks
from .numbering import Numbering
from .paper import Paper
from .resolution import Resolution
from .sheet_row import SheetRow, rows_of, sentence
from .unnumbered import find_unnumbered


@dataclass(frozen=True, slots=True)
class Difference:
    """One field of a changed record.

    Attributes:
        head: head of its column.
        before: what the archive says, other records by their numbers; None: not recorded.
        after: what the papers say; None: not recorded.
    """

    head: str
    before: str | None
    after: str | None


@dataclass(frozen=True, slots=True)
class Drafted:
    """One row read as a record.

    Attributes:
        key: its key, new or that of the record in the archive.
        record: what it says.
        place: where it stands.
        replaces: version in the archive that it takes the place of; None for a new one.
        differences: for a changed one: what differs, in the order of the columns.
    """

    key: str
    record: Record
    place: Place
    replaces: int | None = None
    differences: tuple[Difference, ...] = ()


@dataclass(frozen=True, slots=True)
class Draft:
    """What an import would do.

    Attributes:
        file: name of the file or folder.
        checksum: SHA-256 of it, hex.
        new: records that the archive does not have.
        changed: records that the archive has otherwise.
        same: records that the archive has already; nothing would be done.
        problems: everything that is wrong or doubtful, in the order of the papers.
    """

    file: str
    checksum: str
    new: tuple[Drafted, ...]
    changed: tuple[Drafted, ...]
    same: tuple[Drafted, ...]
    problems: tuple[Problem, ...]

    @property
    def errors(self) -> tuple[Problem, ...]:
        """The problems that stop the import."""
        return tuple(one for one in self.problems if one.weight is Weight.ERROR)


def draft(paper: Paper, store: Store | None, keys: KeyMaker) -> Draft:
    """Read a paper against the archive.

    Args:
        paper: what was read from a file.
        store: the archive; None where there is none yet: every record is new then.
        keys: makes the keys of new records.
    """
    rows = list(rows_of(paper))
    numbering = Numbering(store)
    who = Resolution(rows, numbering, keys)
    who.resolve()
    note_loops(rows, who)
    note_amounts(rows, who)
    note_marks(rows, who)
    fill_strength(rows, who)
    ask_derived(rows, who)
    built = [(row, record) for row in rows if (record := _build(row)) is not None]
    find_unnumbered(built, numbering, keys)
    built = [(row, _again(row, record)) for row, record in built]
    problems = [*paper.problems, *_missing_columns(rows)]
    problems += [one for row in rows for one in row.problems]
    drafted = [_drafted(row, record, numbering) for row, record in built if not row.bad]
    problems += unlawful(
        [one for one in drafted if one.replaces is None or one.differences], store
    )
    return Draft(
        paper.file,
        paper.checksum,
        tuple(one for one in drafted if one.replaces is None),
        tuple(one for one in drafted if one.differences),
        tuple(one for one in drafted if one.replaces is not None and not one.differences),
        tuple(dict.fromkeys(problems)),
    )


def acts(drafted: Draft) -> list[State]:
    """What to record; nothing where the draft has an error, or where all is the same.

    Nothing is ever withdrawn by an import. A changed record takes the place of the version
    that the draft saw, so that a change made meanwhile by somebody else is a conflict.
    """
    if drafted.errors:
        return []
    new = [State(one.record.kind, one.key, one.record.body()) for one in drafted.new]
    return new + [
        State(one.record.kind, one.key, one.record.body(), one.replaces, _reason(one.place))
        for one in drafted.changed
    ]


def origin(drafted: Draft) -> dict[str, object]:
    """Where the acts came from: file, checksum, and the row of each act.

    ``rows`` lists, in the order of `acts`, runs of rows that follow each other: name of
    the sheet, first and last row.
    """
    runs: list[list[object]] = []
    for one in (*drafted.new, *drafted.changed):
        place = one.place
        last = runs[-1] if runs else ["", 0, 0]
        if last[0] == place.sheet and last[2] == place.row - 1:
            last[2] = place.row
        else:
            runs.append([place.sheet, place.row, place.row])
    return {"file": drafted.file, "checksum": drafted.checksum, "rows": runs}


def place_of(said: Mapping[str, object], nth: int) -> Place:
    """Where in its file the ``nth`` act (from 0) of a batch stood, by the batch's origin.

    Raises:
        LookupError: the origin knows of no such act.
    """
    runs = said.get("rows")
    for sheet, first, last in runs if isinstance(runs, list) else ():
        if nth <= last - first:
            return Place(str(said.get("file", "")), sheet, first + nth)
        nth -= last - first + 1
    raise LookupError(f"the batch came from no row {nth} of a file")


def _reason(place: Place) -> str:
    return f"import of {place.file}, sheet {place.sheet} row {place.row}"


def _build(row: SheetRow) -> Record | None:
    """The record that a row says; None where the row is too incomplete for one."""
    said: dict[str, object] = {}
    if row.old is not None:
        said = {name: one for name, one in row.old.body.items() if name not in row.given}
    said |= {name: one for name, one in row.values.items() if name not in row.bad}
    for name in row.bad:
        column = columns_of(row.kind)[name]
        if column.points is not None and name in row.values:
            said[name] = (f"?{name}",) if column.many else f"?{name}"
    try:
        return row.kind.model_validate(said)
    except ValidationError as error:
        for detail in error.errors(include_url=False):
            _note(row, detail)
    return None


def _again(row: SheetRow, record: Record) -> Record:
    """The record once more, now that a row without a number knows what it corrects."""
    if row.old is None or row.kind.same_by == ("number",):
        return record
    return _build(row) or record


def _note(row: SheetRow, detail: ErrorDetails) -> None:
    """A finding of the record's own check, in plain words and at its column."""
    columns = columns_of(row.kind)
    name = str(detail["loc"][0]) if detail["loc"] else ""
    if detail["type"] == "missing":
        _note_missing(row, columns[name])
        return
    said = str(detail.get("ctx", {}).get("error", "")) or detail["msg"]
    quoted = [one.field for one in columns.values() if f"'{one.head}'" in said]
    if name in row.bad or row.bad.intersection(quoted):
        return  # said already
    name = name or next(iter(quoted), "")
    place = row.at(name) if name else row.place
    right = "Correct this row."
    if name:
        verb = "Correct" if row.values.get(name) else "Fill in"
        right = f"{verb} the column '{columns[name].head}'."
    row.bad.add(name)
    row.problems.append(Problem("incomplete", sentence(said), right, place))


def _note_missing(row: SheetRow, column: Column) -> None:
    name = column.field
    if name in row.bad:
        return
    row.bad.add(name)
    if row.sheet.head_row and name not in row.sheet.heads:
        row.lacking.add(name)  # said once for the whole sheet
        return
    row.problems.append(
        Problem(
            "empty cell",
            f"'{column.head}' is empty, and the row cannot be understood without it.",
            _what_belongs(column),
            row.at(name),
        )
    )


def _missing_columns(rows: Iterable[SheetRow]) -> list[Problem]:
    """Columns that new rows cannot do without, once for each sheet."""
    found: dict[tuple[str, str, str], Problem] = {}
    for row in rows:
        sheet = row.sheet
        for name in sorted(row.lacking - sheet.misspelt - set(row.kind.same_by)):
            column = columns_of(row.kind)[name]
            found.setdefault(
                (row.place.file, sheet.name, name),
                Problem(
                    "missing column",
                    f"The column '{column.head}' is missing.",
                    _what_belongs(column),
                    replace(row.place, row=sheet.head_row),
                ),
            )
    return list(found.values())


def _what_belongs(column: Column) -> str:
    example = f"; for example: {column.example}" if column.example else ""
    return sentence(f"Here belongs: {column.note or column.head}{example}")


def _drafted(row: SheetRow, record: Record, numbering: Numbering) -> Drafted:
    if row.old is None:
        return Drafted(row.key, record, row.place)
    before, after = _body_of(row), record.body()
    differences = tuple(
        Difference(
            column.head,
            _shown(column, before.get(name), numbering),
            _shown(column, after.get(name), numbering),
        )
        for name, column in columns_of(row.kind).items()
        if before.get(name) != after.get(name)
    )
    return Drafted(row.key, record, row.place, row.old.seq, differences)


def _body_of(row: SheetRow) -> Mapping[str, object]:
    """What the archive says of a row's record, in the form of today."""
    if row.old is None:
        return {}
    try:
        return row.kind.model_validate(row.old.body).body()
    except ValidationError:
        return row.old.body


def _shown(column: Column, value: object, numbering: Numbering) -> str | None:
    if value is None:
        return None
    if isinstance(value, bool):
        return "yes" if value else "no"
    values: Sequence[object] = value if isinstance(value, (list, tuple)) else (value,)
    texts = map(str, values)
    return "; ".join(map(numbering.number_of, texts) if column.points else texts)
