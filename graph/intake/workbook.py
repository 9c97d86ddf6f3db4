"""Read a workbook (XLSX): the values of its sheets, and what stands instead of values."""

import io
from collections.abc import Sequence
from pathlib import Path
from typing import Any

from ..errors import Refused
from ..problem import Place, Problem
from .head_row import kind_of_sheet, read_grid
from .paper import Cell, Grid, Paper, SheetRows, cell_name, checksum_of, unreadable
from .xlsx_parcel import MOST_CELLS, Parcel, faults_of, furthest_cell, unpack


def read_workbook(path: Path) -> Paper:
    """Everything that a workbook says; a file that cannot be read gives a problem."""
    data = path.read_bytes()
    checksum = checksum_of(data)
    if path.suffix.lower() == ".xlsm":
        return unreadable(
            path,
            "macro file",
            "The workbook may hold macros (program code), and those are not read.",
            "Save it as .xlsx, which leaves the macros out.",
            checksum,
        )
    try:
        parcel = unpack(data)
        grids, problems = _grids(parcel, path.name)
    except Refused as refusal:
        wrong, right = _halves(str(refusal))
        return unreadable(path, "unreadable file", wrong, right, checksum)
    sheets = []
    for grid in grids:
        sheet, found = read_grid(grid, path.name)
        problems += found
        sheets += [sheet] if sheet else []
    problems += _without_sheets(sheets, problems, path.name)
    return Paper(path.name, checksum, tuple(sheets), tuple(problems))


def _grids(parcel: Parcel, file: str) -> tuple[list[Grid], list[Problem]]:
    """The sheets as cells; a sheet with far too many is a problem instead.

    Raises:
        Refused: the workbook cannot be read.
    """
    too_large = {
        name: corner
        for name, corner in (
            (name, furthest_cell(sheet)) for name, sheet in parcel.sheets.items()
        )
        if corner[0] * corner[1] > MOST_CELLS
    }
    problems = [
        Problem(
            "stray cell",
            f"The sheet reaches to the cell {cell_name(*corner)}, and that "
            "is too far to be read.",
            "Delete the rows and columns beyond the records, and save it again.",
            Place(file, name),
        )
        for name, corner in too_large.items()
    ]
    wanted = [name for name in parcel.sheets if name not in too_large]
    values = _values(parcel.data, wanted)
    return [_grid(name, parcel.sheets[name], values[name]) for name in wanted], problems


def _values(data: bytes, names: Sequence[str]) -> dict[str, Any]:
    """Sheets by name, with their values.

    Raises:
        Refused: the workbook cannot be read.
    """
    from python_calamine import CalamineError, CalamineWorkbook, SheetVisibleEnum

    damaged = Refused(
        "The workbook is damaged: its cells cannot be read. Open it and save it again "
        "as .xlsx."
    )
    try:
        with CalamineWorkbook.from_filelike(io.BytesIO(data)) as book:
            shown = SheetVisibleEnum.Visible
            hidden = {one.name for one in book.sheets_metadata if one.visible != shown}
            return {name: (book.get_sheet_by_name(name), name in hidden) for name in names}
    except CalamineError:
        raise damaged from None
    except BaseException as error:
        # The reader is written in Rust; where it stops in panic, that is no Exception.
        if type(error).__name__ != "PanicException":
            raise
        raise damaged from None


def _grid(name: str, xml: bytes, value: Any) -> Grid:
    sheet, hidden = value
    rows: list[tuple[int, Sequence[Cell]]] = [
        (number, cells)
        for number, cells in enumerate(sheet.to_python(skip_empty_area=False), 1)
        if any(cell != "" for cell in cells)
    ]
    grid = Grid(name, rows, hidden=hidden)
    if kind_of_sheet(grid, "")[0] is None:
        return grid
    merged = [
        ((top + 1, left + 1), (bottom + 1, right + 1))
        for (top, left), (bottom, right) in sheet.merged_cell_ranges or ()
    ]
    return Grid(name, rows, hidden, faults_of(xml), merged)


def _without_sheets(
    sheets: Sequence[SheetRows], problems: Sequence[Problem], file: str
) -> list[Problem]:
    """A workbook from which nothing was read needs one finding at least."""
    if sheets or any(one.code != "unknown sheet" for one in problems):
        return []
    return [
        Problem(
            "no sheets",
            "The workbook holds no sheet that is known.",
            "Name the sheets as in the template ('vestige template'): Elements, "
            "Observations and so on.",
            Place(file),
        )
    ]


def _halves(text: str) -> tuple[str, str]:
    """What is wrong, and what to do: the first sentence and the rest."""
    wrong, _, right = text.partition(". ")
    return f"{wrong.rstrip('.')}.", right
