"""Small workbooks for tests, all invented; each test changes what it is about."""

import copy
from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import Any

from vestige.graph.intake import Draft, acts, draft, origin, read_papers
from vestige.graph.record import KeyMaker
from vestige.graph.store import SqliteStore

Sheets = dict[str, list[list[Any]]]

GOOD: Sheets = {
    "Object": [
        ["number", "name", "other numbers", "made when"],
        ["ABC.1", "invented chest", "old 9", "1770~/1790~"],
    ],
    "Phases": [
        ["short name", "order", "name", "kind", "from"],
        ["P1", 1, "making", "making", "1770~"],
        ["P2", 2, "use", "use-life", "1790"],
    ],
    "Elements": [
        ["number", "name", "kind", "part of", "size", "twist", "core", "looked for by"],
        ["E-1", "carcase", "part", "", "560 mm", "", "yes", ""],
        ["E-2", "lid", "part", "E-1", "", "", "", ""],
        ["E-3", "hinge", "fixing", "E-2", "", "S(2z)", "", ""],
    ],
    "Sources": [
        ["number", "name", "kind", "dated", "copies"],
        ["S-1", "day-book", "treatment record", "1958", ""],
        ["S-2", "card", "museum record", "1960", "S-1"],
    ],
    "Observations": [
        ["number", "about", "relation", "other element", "value", "phase", "strength",
         "when", "source", "derived from"],
        ["O-1", "E-1", "made in", "", "", "P1", "strong", "2019-05-14", "S-1", ""],
        ["O-2", "E-3", "not before", "", "1936", "", "strong", "", "S-1", ""],
        ["O-3", "E-3", "lies over", "E-1", "", "", "weak", "", "S-2", "O-2"],
    ],
    "Places": [["number", "inside"], ["R-1", ""], ["R-1/2", "R-1"]],
    "Moves": [["what", "to", "when"], ["E-3", "R-1/2", "2020-02-18"]],
}  # fmt: skip


def good() -> Sheets:
    """A copy of the sheets that have nothing wrong in them, to be changed."""
    return copy.deepcopy(GOOD)


def workbook(path: Path, sheets: Mapping[str, Sequence[Sequence[Any]]]) -> Path:
    """Write sheets as they stand into an XLSX file."""
    from openpyxl import Workbook

    book = Workbook()
    del book["Sheet"]
    for name, rows in sheets.items():
        sheet = book.create_sheet(name)
        for row in rows:
            sheet.append(row)
    book.save(path)
    return path


def set_cell(sheets: Sheets, sheet: str, row: int, head: str, value: Any) -> Sheets:
    """Change one cell, the row counted as in a spreadsheet; a head is added if need be."""
    heads, *_ = rows = sheets[sheet]
    if head not in heads:
        for cells in rows:
            cells.append(head if cells is heads else "")
    rows[row - 1][heads.index(head)] = value
    return sheets


def drafted(path: Path, store: SqliteStore | None = None, seed: int = 1) -> Draft:
    """The draft of a file."""
    return draft(read_papers(path), store, KeyMaker(seed))


def imported(path: Path, store: SqliteStore, seed: int = 1) -> Draft:
    """Import a file into a store; what the draft was."""
    found = drafted(path, store, seed)
    assert found.errors == (), [str(one) for one in found.errors]
    store.append("registrar", acts(found), origin=origin(found))
    return found


def said(found: Draft) -> str:
    """All problems of a draft, one below the other."""
    return "\n".join(f"[{one.weight}] {one}" for one in found.problems)
