"""One row on its way to a record: its cells read, its numbers not yet looked up."""

from collections.abc import Iterator
from dataclasses import dataclass, field, replace

from ..errors import BadValue
from ..problem import Place, Problem, Weight
from ..record import TAKES_DATE, Claim, Edtf, Record, Relation
from ..store import Stated
from .cell import read_cell
from .column import Column, columns_of
from .paper import NotRead, Paper, Row, SheetRows


@dataclass(slots=True, eq=False)
class SheetRow:
    """A row in the hand.

    Attributes:
        sheet: the sheet it stands in.
        place: where it stands.
        values: what its cells say, by field; names of records first as written, then as
            keys.
        given: fields that the paper speaks of, also where the cell is empty.
        bad: fields whose cell was found wrong; its values are not to be trusted.
        lacking: fields that are needed and whose column the sheet does not have.
        key: key of its record; "" until it is known.
        old: the version in the archive that it would take the place of.
        problems: what was found wrong or doubtful.
    """

    sheet: SheetRows
    place: Place
    values: dict[str, object] = field(default_factory=dict)
    given: frozenset[str] = frozenset()
    bad: set[str] = field(default_factory=set)
    lacking: set[str] = field(default_factory=set)
    key: str = ""
    old: Stated | None = None
    problems: list[Problem] = field(default_factory=list)

    @property
    def kind(self) -> type[Record]:
        """Its record type."""
        return self.sheet.kind

    @property
    def number(self) -> str:
        """Its number as read; "" where it bears none."""
        number = self.values.get("number")
        return number if isinstance(number, str) else ""

    def at(self, name: str) -> Place:
        """Where the cell of a field stands."""
        head = self.sheet.heads.get(name) or columns_of(self.kind)[name].head
        return replace(self.place, column=head)

    def wrong(self, name: str, code: str, wrong: str, right: str) -> None:
        """Note that a cell is wrong."""
        self.bad.add(name)
        self.problems.append(Problem(code, wrong, right, self.at(name)))

    def doubt(self, name: str, code: str, wrong: str, right: str) -> None:
        """Note that a cell may be wrong."""
        self.problems.append(Problem(code, wrong, right, self.at(name), Weight.QUERY))


def rows_of(paper: Paper) -> Iterator[SheetRow]:
    """All rows of a paper with their cells read."""
    for sheet in paper.sheets:
        for row in sheet.rows:
            yield _read_row(sheet, row, Place(sheet.file, sheet.name, row.number))


def _read_row(sheet: SheetRows, row: Row, place: Place) -> SheetRow:
    found = SheetRow(sheet, place, given=frozenset(row.cells))
    known = columns_of(sheet.kind)
    for name, cell in row.cells.items():
        if cell is None:
            continue
        if isinstance(cell, NotRead):
            found.bad.add(name)
            continue
        column = known[name]
        try:
            value, doubt = read_cell(column, cell)
        except BadValue as error:
            found.wrong(name, f"bad {column.sort}", sentence(str(error)), _example(column))
            continue
        if value not in ("", ()):
            found.values[name] = value
        if doubt:
            right = "Look at it; format the column as text if it should be otherwise."
            found.doubt(name, "changed by spreadsheet", sentence(doubt), right)
    if sheet.kind is Claim:
        _read_dated(found)
    return found


def _read_dated(row: SheetRow) -> None:
    """The value of an observation is a date where its relation word takes one."""
    value = row.values.get("value")
    if row.values.get("relation") not in TAKES_DATE or not isinstance(value, str):
        return
    try:
        Edtf.parse(value)
    except BadValue as error:
        relation = Relation(str(row.values["relation"]))
        row.wrong("value", "bad date", sentence(str(error)), f"'{relation}' takes a date.")


def sentence(text: str) -> str:
    """The text as a sentence: a capital at its begin, a full stop at its end."""
    capital = text[:1].upper() + text[1:]
    return capital if capital.endswith((".", "?", "!")) else f"{capital}."


def _example(column: Column) -> str:
    return f"For example: {column.example}" if column.example else ""
