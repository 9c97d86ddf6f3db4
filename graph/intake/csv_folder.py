"""Read a folder of CSV files named after the sheets, or one such file."""

import codecs
import csv
import io
from collections.abc import Sequence
from pathlib import Path
from typing import Final

from ..errors import Refused
from ..problem import Place, Problem
from .column import fold_head, heads_of
from .head_row import LOOK, kind_of_sheet, read_grid
from .paper import Cell, Grid, Paper, SheetRows, checksum_of, query, unreadable

LARGEST_FILE: Final = 100_000_000
"""Bytes of one CSV file."""

SEPARATORS: Final = (",", ";", "\t")
_UTF_16: Final = (codecs.BOM_UTF16_LE, codecs.BOM_UTF16_BE)
_TOO_MANY: Final = 200


def read_csv_folder(path: Path) -> Paper:
    """What the CSV files of a folder say; other files in it are left alone.

    The checksum covers the names and the contents of the files in the order of names.
    """
    files = sorted(one for one in path.iterdir() if _is_csv(one))
    if not files or len(files) > _TOO_MANY:
        return unreadable(
            path,
            "no sheets",
            f"The folder holds {len(files)} CSV files.",
            "Give a folder with one file for each sheet: Elements.csv, Observations.csv "
            "and so on.",
        )
    sheets: list[SheetRows] = []
    problems: list[Problem] = []
    said = b""
    for file in files:
        data = file.read_bytes()
        said += f"{file.name}\0{checksum_of(data)}\n".encode()
        sheet, found = _read_file(file, data)
        sheets += [sheet] if sheet else []
        problems += found
    if not sheets and all(one.code == "unknown sheet" for one in problems):
        problems.append(
            Problem(
                "no sheets",
                "No file of the folder has the name of a sheet.",
                "Name them Elements.csv, Observations.csv and so on.",
                Place(path.name),
            )
        )
    return Paper(path.name, checksum_of(said), tuple(sheets), tuple(problems))


def read_csv_file(path: Path) -> Paper:
    """What one CSV file says; its name without the ending is the name of the sheet."""
    data = path.read_bytes()
    sheet, problems = _read_file(path, data)
    if sheet is None and all(one.code == "unknown sheet" for one in problems):
        problems = [
            Problem(
                "unknown sheet",
                f"'{path.stem}' is not the name of a sheet.",
                "Name the file after its sheet: Elements.csv, Observations.csv and so on.",
                Place(path.name),
            )
        ]
    sheets = (sheet,) if sheet else ()
    return Paper(path.name, checksum_of(data), sheets, tuple(problems))


def _is_csv(path: Path) -> bool:
    hidden = path.name.startswith((".", "~"))
    return path.suffix.lower() == ".csv" and path.is_file() and not hidden


def _read_file(path: Path, data: bytes) -> tuple[SheetRows | None, list[Problem]]:
    try:
        text, problems = _decoded(data, path)
        grid = Grid(path.stem, _rows(text, path), even=True)
    except Refused as refusal:
        place = Place(path.name, path.stem)
        wrong, _, right = str(refusal).partition(". ")
        return None, [Problem("unreadable file", f"{wrong.rstrip('.')}.", right, place)]
    except _Quoted as found:
        return None, [
            Problem(
                "stray quotation mark",
                f"A double quotation mark is not closed, or text follows it ({found}).",
                "Put the whole text between double quotation marks and double those "
                'within it: "a 6"" nail".',
                Place(path.name, path.stem, found.row),
            )
        ]
    sheet, found_too = read_grid(grid, path.name)
    return sheet, problems + found_too


class _Quoted(Exception):
    """The quotation marks of a row do not match."""

    def __init__(self, row: int, why: str) -> None:
        super().__init__(why)
        self.row = row


def _decoded(data: bytes, path: Path) -> tuple[str, list[Problem]]:
    """The text, and a query where its encoding is only probable.

    Raises:
        Refused: it is no text, or of an encoding that cannot be told.
    """
    if not data.strip():
        raise Refused("The file is empty. Copy it again from where it came.")
    if len(data) > LARGEST_FILE:
        raise Refused(f"The file has more than {LARGEST_FILE:,} bytes. Divide it.")
    if data.startswith(b"PK\x03\x04"):
        raise Refused("The file is a workbook or another packed file. Name it .xlsx.")
    if data.startswith(_UTF_16):
        return _as(data, "utf-16"), []
    if b"\0" in data:
        raise Refused(
            "The file holds NUL signs, so it is no text or of an encoding that cannot be "
            "told. Save it as CSV UTF-8."
        )
    try:
        return data.decode("utf-8-sig"), []
    except UnicodeDecodeError as error:
        line = data.count(b"\n", 0, error.start) + 1
    doubt = query(
        "encoding",
        f"The file is not UTF-8 (first seen in line {line}); it was read as Windows-1252.",
        "Look at its accented letters; better save it as CSV UTF-8.",
        Place(path.name, path.stem),
    )
    return _as(data, "cp1252"), [doubt]


def _as(data: bytes, encoding: str) -> str:
    try:
        return data.decode(encoding)
    except UnicodeDecodeError as error:
        raise Refused(
            f"The file cannot be read as text (byte {error.start + 1}). "
            "Save it as CSV UTF-8."
        ) from None


def _rows(text: str, path: Path) -> Sequence[tuple[int, Sequence[Cell]]]:
    """Rows that hold anything, numbered as a spreadsheet does."""
    reader = csv.reader(
        io.StringIO(text, newline=""), delimiter=_separator(text, path), strict=True
    )
    rows: list[tuple[int, Sequence[Cell]]] = []
    number = 0
    try:
        for number, cells in enumerate(reader, 1):
            if any(cells):
                rows.append((number, [plain(cell) for cell in cells]))
    except csv.Error as error:
        raise _Quoted(number + 1, str(error)) from None
    return rows


def _separator(text: str, path: Path) -> str:
    """The separator by which most known heads are found, else the most frequent one."""
    lines = text.splitlines()[:LOOK]
    kind, _ = kind_of_sheet(Grid(path.stem, ()), path.name)
    known = heads_of(kind).keys() if kind else set()

    def heads(separator: str) -> tuple[int, int]:
        found = [
            len({fold_head(cell.strip('"')) for cell in line.split(separator)} & known)
            for line in lines
        ]
        return max(found, default=0), sum(line.count(separator) for line in lines)

    return max(SEPARATORS, key=heads)


def plain(text: str) -> str:
    """A cell without the apostrophe that keeps spreadsheets from computing it."""
    return text[1:] if text.startswith("'") and is_computed(text) else text


def is_computed(text: str) -> bool:
    """Whether a spreadsheet would compute a text, or would once an apostrophe is gone."""
    return text.lstrip("' ").startswith(COMPUTED)


COMPUTED: Final = ("=", "+", "-", "@", "\t", "\r", "\n")
"""Begins of a text that spreadsheets take for a formula, or hide one behind.

Source: OWASP, "CSV Injection" (equals, plus, minus, at, tab, carriage return)."""
