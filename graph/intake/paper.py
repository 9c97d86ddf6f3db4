"""What was read from a user's file: sheets, rows and cells, each with its place.

Nothing is understood yet but which sheet holds which kind of record and which column is
which field; what the cells mean is `draft`'s business.
"""

import datetime
import hashlib
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from enum import Enum
from pathlib import Path

from ..problem import Place, Problem, Weight
from ..record import Record


class NotRead(Enum):
    """Stands for a cell whose content could not be taken over; that was said already."""

    SAID = "said already"


Cell = str | int | float | bool | datetime.date | datetime.time | datetime.timedelta
"""A cell as the file holds it; a ``datetime`` is a ``date``."""


@dataclass(frozen=True, slots=True)
class Row:
    """One row below the head.

    Attributes:
        number: row as the spreadsheet numbers it, or line of a case file.
        cells: by field of the record; None where the column is there and the cell empty.
    """

    number: int
    cells: Mapping[str, Cell | NotRead | None]


@dataclass(frozen=True, slots=True)
class SheetRows:
    """The rows of one kind.

    Attributes:
        file: name of the file that holds it.
        name: name of the sheet as the user wrote it.
        kind: record type of its rows.
        heads: column heads as the user wrote them, by field.
        head_row: row of the head; 0 where there is none (case file).
        rows: rows that hold anything.
        misspelt: fields whose column is there by another name, already reported.
    """

    file: str
    name: str
    kind: type[Record]
    heads: Mapping[str, str]
    head_row: int
    rows: tuple[Row, ...]
    misspelt: frozenset[str] = frozenset()


@dataclass(frozen=True, slots=True)
class Paper:
    """Everything read from one file or folder.

    Attributes:
        file: its name without the folder.
        checksum: SHA-256 of its bytes, hex; "" where it could not be read.
        sheets: what was understood; none where the file cannot be read at all.
        problems: what was wrong so far.
    """

    file: str
    checksum: str
    sheets: tuple[SheetRows, ...] = ()
    problems: tuple[Problem, ...] = ()


@dataclass(frozen=True, slots=True)
class Grid:
    """A sheet before its head was found.

    Attributes:
        name: name of the sheet.
        rows: number of the row and its cells, ``""`` for empty ones; rows may be left out.
        hidden: the sheet is hidden in the workbook.
        faults: by row and column (both counted from 1): what stands instead of a value.
        merged: first and last cell of merged areas, row and column counted from 1.
        even: every row should have as many cells as the head (text files).
    """

    name: str
    rows: Sequence[tuple[int, Sequence[Cell]]]
    hidden: bool = False
    faults: Mapping[tuple[int, int], str] = field(default_factory=dict)
    merged: Sequence[tuple[tuple[int, int], tuple[int, int]]] = ()
    even: bool = False


def checksum_of(data: bytes) -> str:
    """SHA-256, hex."""
    return hashlib.sha256(data).hexdigest()


def unreadable(path: Path, code: str, wrong: str, right: str, checksum: str = "") -> Paper:
    """A paper from which nothing could be read, and why."""
    problem = Problem(code, wrong, right, Place(path.name))
    return Paper(path.name, checksum, problems=(problem,))


def query(code: str, wrong: str, right: str, place: Place) -> Problem:
    """A finding that does not stop the import, but somebody should look."""
    return Problem(code, wrong, right, place, Weight.QUERY)


def cell_name(row: int, column: int) -> str:
    """What a spreadsheet calls a cell: ``cell_name(3, 28)`` is ``"AB3"``."""
    return f"{column_letters(column)}{row}"


def column_letters(column: int) -> str:
    """Letters of a column counted from 1: 1 is A, 27 is AA."""
    letters = ""
    while column:
        column, rest = divmod(column - 1, 26)
        letters = chr(65 + rest) + letters
    return letters


def column_number(letters: str) -> int:
    """The column, counted from 1, that these letters mean."""
    number = 0
    for letter in letters:
        number = number * 26 + ord(letter) - 64
    return number
