"""Find the sheet's kind, its head row and its columns; say what is not understood."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from difflib import get_close_matches
from functools import cache
from itertools import product
from typing import Final

from ..problem import Place, Problem
from ..record import SHEETS, TYPES, Record
from .column import columns_of, fold_head, heads_of, must_have
from .paper import Cell, Grid, NotRead, Row, SheetRows, cell_name, column_letters, query

LOOK: Final = 10
"""Rows in which the head is looked for."""

OWN_SHEETS: Final = frozenset({"how to", "evidence", "lists"})
"""Sheets of the template that hold no records."""

_NAMED: Final = 3
_LARGEST_AREA: Final = 10_000


@dataclass(frozen=True, slots=True)
class Head:
    """Where the head stands and what its columns are.

    Attributes:
        row: row of the head.
        columns: field and head as written, by column counted from 1.
        unknown: heads as written that are not known, by column.
        misspelt: fields that a not known head probably means.
    """

    row: int
    columns: Mapping[int, tuple[str, str]]
    unknown: Mapping[int, str]
    misspelt: frozenset[str]


def read_grid(grid: Grid, file: str) -> tuple[SheetRows | None, list[Problem]]:
    """The rows of a sheet by field, and what was not understood of it.

    None where the sheet holds no records or cannot be read.
    """
    kind, problems = kind_of_sheet(grid, file)
    if kind is None:
        return None, problems
    head = find_head(grid, kind)
    if head is None:
        return None, [*problems, *_headless(grid, kind, file)]
    problems += _about_head(grid, kind, head, file)
    problems += _about_cells(grid, head, file)
    heads = dict(head.columns.values())
    rows = tuple(_rows(grid, head))
    return SheetRows(file, grid.name, kind, heads, head.row, rows, head.misspelt), problems


@cache
def _sheet_names() -> Mapping[str, type[Record]]:
    """Kinds by every name of a sheet that is understood, folded."""
    names: dict[str, type[Record]] = {}
    for kind in TYPES:
        for name in (kind.kind, f"{kind.kind}s", kind.sheet.removesuffix("s")):
            names[fold_head(name)] = kind
    return names | {fold_head(kind.sheet): kind for kind in TYPES}


def kind_of_name(name: str) -> type[Record] | None:
    """Which kind of record a sheet of this name holds; None where that is not known."""
    return _sheet_names().get(fold_head(name))


def about_name(name: str, place: Place) -> Problem:
    """What to say of a sheet whose name is not known: an error where it is misspelt."""
    close = get_close_matches(fold_head(name), list(_sheet_names()), 1, 0.75)
    if close:
        return Problem(
            "unknown sheet",
            f"There is no kind of sheet called '{name}'.",
            f"Did you mean '{_sheet_names()[close[0]].sheet}'? Then rename it.",
            place,
        )
    return query(
        "unknown sheet",
        f"The sheet '{name}' is not known and was not read.",
        f"Sheets are called {', '.join(SHEETS)}.",
        place,
    )


def kind_of_sheet(grid: Grid, file: str) -> tuple[type[Record] | None, list[Problem]]:
    """Which kind of record a sheet holds; None and a finding where that is not known."""
    place = Place(file, grid.name)
    kind = kind_of_name(grid.name)
    if kind is None:
        ours = fold_head(grid.name) in OWN_SHEETS or not grid.rows
        return None, [] if ours else [about_name(grid.name, place)]
    hidden = query(
        "hidden sheet",
        "This sheet is hidden, and it was read all the same.",
        "Show it, or delete it if it is not meant.",
        place,
    )
    return kind, [hidden] if grid.hidden and grid.rows else []


def find_head(grid: Grid, kind: type[Record]) -> Head | None:
    """The row among the first ten with the most known heads; None where none has two.

    One known head is enough where it is the only one that the row holds.
    """
    best: tuple[int, int, Sequence[Cell]] = (0, 0, ())
    for number, cells in grid.rows:
        if number > LOOK:
            break
        written = [fold_head(str(cell)) for cell in cells if str(cell).strip()]
        known = len(set(written) & heads_of(kind).keys())
        if known > best[0] and (known > 1 or len(written) == 1):
            best = (known, number, cells)
    return _head(best[1], best[2], kind) if best[0] else None


def _head(row: int, cells: Sequence[Cell], kind: type[Record]) -> Head:
    columns: dict[int, tuple[str, str]] = {}
    unknown: dict[int, str] = {}
    for at, cell in enumerate(cells, 1):
        written = " ".join(str(cell).split())
        field = heads_of(kind).get(fold_head(written))
        if field is not None:
            columns[at] = (field, written)
        elif written:
            unknown[at] = written
    there = {field for field, _ in columns.values()}
    meant = (meant_field(written, kind) for written in unknown.values())
    misspelt = frozenset(field for field in meant if field and field not in there)
    return Head(row, columns, unknown, misspelt)


def meant_field(written: str, kind: type[Record]) -> str | None:
    """The field that a head which is not known probably means."""
    heads = heads_of(kind)
    close = get_close_matches(fold_head(written), list(heads), 1, 0.75)
    return heads[close[0]] if close else None


def _headless(grid: Grid, kind: type[Record], file: str) -> list[Problem]:
    if not grid.rows:
        return []
    heads = ", ".join(one.head for one in columns_of(kind).values() if one.needed)
    return [
        Problem(
            "no head",
            f"No row with column heads was found in the first {LOOK} rows.",
            f"The sheet {kind.sheet} needs a row with the heads: {heads}.",
            Place(file, grid.name),
        )
    ]


def _about_head(grid: Grid, kind: type[Record], head: Head, file: str) -> Iterator[Problem]:
    """Heads that are not known, twice there, or missing."""
    first: dict[str, str] = {}
    for field, written in head.columns.values():
        place = Place(file, grid.name, head.row, written)
        if field in first:
            yield Problem(
                "column twice",
                f"'{written}' and '{first[field]}' are the same column.",
                "Keep one of them.",
                place,
            )
        first.setdefault(field, written)
    for written in head.unknown.values():
        yield _unknown(written, kind, head, Place(file, grid.name, head.row, written))
    for field in must_have(kind):
        if field not in first and field not in head.misspelt:
            name = columns_of(kind)[field].head
            yield Problem(
                "missing column",
                f"The column '{name}' is missing.",
                "Rows cannot be told apart without it: add it.",
                Place(file, grid.name, head.row),
            )


def _unknown(written: str, kind: type[Record], head: Head, place: Place) -> Problem:
    field = meant_field(written, kind)
    if field in head.misspelt and field is not None:
        return Problem(
            "unknown column",
            f"Column '{written}' is not known.",
            f"Did you mean '{columns_of(kind)[field].head}'? Then rename it.",
            place,
        )
    return query(
        "unknown column",
        f"Column '{written}' is not known and was not read.",
        "Put what it says into a known column, such as 'note'.",
        place,
    )


def _about_cells(grid: Grid, head: Head, file: str) -> Iterator[Problem]:
    """Merged cells, formulas and error values among the rows; cells without a head."""
    for (top, left), (bottom, right) in grid.merged:
        if bottom <= head.row or not any(left <= at <= right for at in head.columns):
            continue
        area = f"{cell_name(top, left)}:{cell_name(bottom, right)}"
        yield Problem(
            "merged cells",
            f"The cells {area} are merged: only the first holds a value.",
            "Take the merging back and write the value into every row.",
            Place(file, grid.name, top, head.columns.get(left, ("", ""))[1]),
        )
    yield from _faulty(grid, head, file)
    yield from _outside(grid, head, file)


def _faulty(grid: Grid, head: Head, file: str) -> Iterator[Problem]:
    by_column: dict[tuple[int, str], list[int]] = {}
    for (row, at), fault in sorted(grid.faults.items()):
        if row >= head.row and (at in head.columns):
            by_column.setdefault((at, fault), []).append(row)
    for (at, fault), rows in sorted(by_column.items()):
        cells = ", ".join(cell_name(row, at) for row in rows[:_NAMED])
        more = f" and {len(rows) - _NAMED} more" if len(rows) > _NAMED else ""
        yield Problem(
            fault,
            f"{cells}{more}: {fault} instead of a value.",
            "Copy the column and paste it back as values only."
            if fault == "formula"
            else "Write the value itself, or leave the cell empty.",
            Place(file, grid.name, rows[0], head.columns[at][1]),
        )


def _outside(grid: Grid, head: Head, file: str) -> Iterator[Problem]:
    """Cells that hold something in columns that have no head."""
    below = [(number, cells) for number, cells in grid.rows if number > head.row]
    widest = max((len(cells) for _, cells in below), default=0)
    last = max(head.columns.keys() | head.unknown.keys())
    if grid.even:
        yield from _too_long(below, last, Place(file, grid.name))
        widest = last
    for at in range(1, widest + 1):
        if at in head.columns or at in head.unknown:
            continue
        holds = (number for number, cells in below if not _blank_at(cells, at - 1))
        first = next(holds, None)
        if first is not None:
            letters = column_letters(at)
            yield query(
                "no head",
                f"Column {letters} holds values but has no head; it was not read.",
                "Give it a head, or empty it.",
                Place(file, grid.name, first, letters),
            )


def _too_long(
    rows: Sequence[tuple[int, Sequence[Cell]]], last: int, place: Place
) -> Iterator[Problem]:
    for number, cells in rows:
        if any(not _blank(cell) for cell in cells[last:]):
            yield Problem(
                "too many cells",
                f"The row has {len(cells)} cells, the head {last}: a "
                "separator within a text may have divided it.",
                "Put texts that hold the separator between double quotation marks.",
                replace(place, row=number),
            )


def _rows(grid: Grid, head: Head) -> Iterator[Row]:
    columns = [(at - 1, field) for at, (field, _) in head.columns.items()]
    lost = _lost(grid)
    for number, cells in grid.rows:
        if number <= head.row:
            continue
        width = len(cells)
        said: dict[str, Cell | NotRead | None] = {
            field: None if at >= width or _blank(cells[at]) else cells[at]
            for at, field in columns
        }
        said |= (
            {field: NotRead.SAID for at, field in columns if (number, at + 1) in lost}
            if lost
            else {}
        )
        if any(value is not None for value in said.values()):
            yield Row(number, said)


def _lost(grid: Grid) -> set[tuple[int, int]]:
    """Cells that hold a formula or an error, and those that merging has emptied."""
    lost = set(grid.faults)
    for (top, left), (bottom, right) in grid.merged:
        if (bottom - top + 1) * (right - left + 1) <= _LARGEST_AREA:
            area = product(range(top, bottom + 1), range(left, right + 1))
            lost |= set(area) - {(top, left)}
    return lost


def _blank_at(cells: Sequence[Cell], at: int) -> bool:
    return at >= len(cells) or _blank(cells[at])


def _blank(cell: Cell) -> bool:
    return isinstance(cell, str) and (not cell or cell.isspace())
