"""The empty sheets that a user fills in, with notes, lists to choose from, an example."""

from collections.abc import Iterator, Mapping, Sequence
from importlib.resources import as_file, files
from pathlib import Path
from typing import Any, Final

from ..record import TYPES, Claim, Element, Record, evidence_guide
from .case_file import read_case_file
from .column import Column, columns_of
from .filled_sheets import must_be_new, text_cell, write_csv
from .paper import SheetRows, column_letters

STARTERS: Final[tuple[type[Record], ...]] = (Element, Claim)
"""Kinds whose sheets come first: a museum may start with these."""

ORDER: Final = (*STARTERS, *(kind for kind in TYPES if kind not in STARTERS))

HOW_TO: Final = (
    "How to fill in these sheets",
    "",
    "1. Give the object one row in the sheet Object, and its phases in the sheet Phases.",
    "2. Give every part, fixing, layer, mark or absence one row in the sheet Elements.",
    "3. Give every single thing seen or said one row in the sheet Observations.",
    "4. Use the other sheets when you need them; delete or leave empty those you do not.",
    "",
    "A head with * has to be filled in for every row. Everything else may stay empty: "
    "empty means not recorded.",
    "Numbers are your own. A number belongs to one record only, whatever its sheet. Other "
    "sheets name a record by its number.",
    "Several values in one cell are separated by a semicolon ( ; ).",
    "Dates are written with the year first: 1958, 1958-03, 1958-03-07, 1770~ (about), "
    "1893? (perhaps), 1893/1911 (between), 1985/.. (still open), 189X (the nineties). "
    "This is EDTF, the Extended Date/Time Format.",
    "Sizes are written with their unit: 560 mm, 17 x 9 mm.",
    "Twist is S or Z, cords are written from the outside in: S(2z).",
    "Write values, no formulas; do not merge cells. You may leave out columns, add rows, "
    "and change the order of columns and sheets.",
    "Nothing is recorded before 'vestige check' finds no error. Importing the same file "
    "twice changes nothing; importing a corrected file shows what changed.",
    "",
)
_CASE_FILE: Final = """\
# Case file of Vestige (YAML): a section for each sheet, under it a list of entries.
# Every value is taken as it stands here: 1958, yes and 0417 stay what is written.
# Fields with * have to be there. Delete what you do not need.
"""
_WIDE: Final = {"note": 40, "name": 30}
_FILLED: Final = "FFE7E0D4"


def write_template(path: str | Path, *, example: bool = False) -> None:
    """Write empty sheets: a workbook (.xlsx), a case file (.yaml), else a CSV folder.

    Args:
        path: the file or folder to make.
        example: also fill in an invented example.

    Raises:
        Refused: there is such a file already.
    """
    file = Path(path)
    must_be_new(file)
    filled = _example() if example else {}
    if file.suffix.lower() == ".xlsx":
        _write_workbook(file, filled)
    elif file.suffix.lower() in (".yaml", ".yml"):
        file.write_text(_example_text() if example else _case_file(), encoding="utf-8")
    else:
        file.mkdir(parents=True, exist_ok=True)
        for kind in TYPES:
            columns = columns_of(kind)
            rows = _cells(kind, filled)
            write_csv(file, kind, [one.head for one in columns.values()], rows)


def _example_text() -> str:
    return (files(__package__) / "example.yaml").read_text(encoding="utf-8")


def _example() -> Mapping[type[Record], SheetRows]:
    with as_file(files(__package__) / "example.yaml") as path:
        return {sheet.kind: sheet for sheet in read_case_file(path).sheets}


def _cells(kind: type[Record], filled: Mapping[type[Record], SheetRows]) -> list[list[str]]:
    rows = filled[kind].rows if kind in filled else ()
    return [[str(row.cells.get(name) or "") for name in columns_of(kind)] for row in rows]


def _write_workbook(path: Path, filled: Mapping[type[Record], SheetRows]) -> None:
    from openpyxl import Workbook

    book = Workbook(write_only=True)
    lists = _word_lists()
    _write_how_to(book.create_sheet("How to"))
    for kind in ORDER:
        _write_sheet(book.create_sheet(kind.sheet), kind, _cells(kind, filled), lists)
    _write_evidence(book.create_sheet("Evidence"))
    _write_lists(book.create_sheet("Lists"), lists)
    book.save(path)


def _word_lists() -> dict[str, tuple[str, ...]]:
    """Every list of words by its name, in the order of the sheets."""
    return {
        one.words.__name__: tuple(word.value for word in one.words)
        for kind in TYPES
        for one in columns_of(kind).values()
        if one.words is not None
    }


def _write_how_to(sheet: Any) -> None:
    from openpyxl.styles import Font

    for letter, width in (("A", 24), ("B", 60), ("C", 70)):
        sheet.column_dimensions[letter].width = width
    for number, line in enumerate(HOW_TO):
        sheet.append([_styled(sheet, line, Font(bold=number == 0))])
    sheet.append([_styled(sheet, text, Font(bold=True)) for text in _TABLE])
    for kind in TYPES:
        needed = [one.head for one in columns_of(kind).values() if one.needed]
        sheet.append([kind.sheet, kind.meaning, ", ".join(needed)])


def _write_evidence(sheet: Any) -> None:
    """What each kind of evidence says, and how it misleads; read by people only."""
    from openpyxl.styles import Alignment, Font

    heads = ("kind of evidence", "relation words", "usual strength", "write down",
             "what else explains it", "pitfalls", "basis")  # fmt: skip
    for letter, width in zip("ABCDEFG", (30, 28, 14, 44, 44, 50, 30), strict=True):
        sheet.column_dimensions[letter].width = width
    sheet.freeze_panes = "B2"
    sheet.append([_styled(sheet, head, Font(bold=True)) for head in heads])
    for kind in evidence_guide():
        words = (*kind.relations, *kind.sources)
        cells = (kind.name, "; ".join(words), kind.usual.value, kind.asks,
                 "; ".join(kind.rivals), "; ".join(kind.pitfalls), kind.basis)  # fmt: skip
        row = [text_cell(sheet, text) for text in cells]
        for cell in row:
            cell.alignment = Alignment(wrap_text=True, vertical="top")
        sheet.append(row)


_TABLE: Final = ("sheet", "a row is", "has to be filled in")


def _write_lists(sheet: Any, lists: Mapping[str, Sequence[str]]) -> None:
    sheet.sheet_state = "hidden"
    sheet.append(list(lists))
    longest = max(len(words) for words in lists.values())
    for nth in range(longest):
        words = (one[nth] if nth < len(one) else None for one in lists.values())
        sheet.append(list(words))


def _write_sheet(
    sheet: Any,
    kind: type[Record],
    rows: Sequence[Sequence[str]],
    lists: Mapping[str, Sequence[str]],
) -> None:
    columns = list(columns_of(kind).values())
    sheet.freeze_panes = "B2"
    for at, column in enumerate(columns, 1):
        letter = column_letters(at)
        width = _WIDE.get(column.field, max(14, len(column.head) + 4))
        sheet.column_dimensions[letter].width = width
        sheet.column_dimensions[letter].number_format = "@"
        sheet.data_validations.append(_choice(column, letter, lists))
    sheet.append([_head(sheet, column) for column in columns])
    for row in rows:
        sheet.append([text_cell(sheet, text) if text else None for text in row])


def _head(sheet: Any, column: Column) -> Any:
    from openpyxl.comments import Comment
    from openpyxl.styles import Alignment, Font, PatternFill

    head = f"{column.head} *" if column.needed else column.head
    cell = _styled(sheet, head, Font(bold=True))
    cell.fill = PatternFill("solid", fgColor=_FILLED)
    cell.alignment = Alignment(wrap_text=True, vertical="top")
    cell.comment = Comment("\n".join(_notes(column)), "Vestige", height=120, width=300)
    return cell


def _notes(column: Column) -> Iterator[str]:
    if column.note:
        yield column.note
    if column.needed:
        yield "has to be filled in"
    if column.example:
        yield f"for example: {column.example}"
    if column.words is not None:
        yield "one of: " + ", ".join(word.value for word in column.words)


def _choice(column: Column, letter: str, lists: Mapping[str, Sequence[str]]) -> Any:
    """A prompt for the cells of a column, and its drop-down list where it has one.

    Other words are not refused: the import understands synonyms, and says what it does
    not understand better than a spreadsheet can.
    """
    from openpyxl.worksheet.datavalidation import DataValidation

    choice = DataValidation(
        sqref=f"{letter}2:{letter}5000",
        showInputMessage=True,
        promptTitle=column.head[:32],
        prompt="; ".join(_notes(column))[:250],
    )
    if column.sort == "yes or no":
        choice.type = "list"
        choice.formula1 = '"yes,no"'
    if column.words is not None:
        at = list(lists).index(column.words.__name__) + 1
        last = len(lists[column.words.__name__]) + 1
        letters = column_letters(at)
        choice.type = "list"
        choice.formula1 = f"Lists!${letters}$2:${letters}${last}"
    return choice


def _styled(sheet: Any, text: str, font: Any) -> Any:
    cell = text_cell(sheet, text)
    cell.font = font
    return cell


def _case_file() -> str:
    """Every section with its fields, all commented out."""
    lines = [_CASE_FILE]
    for kind in ORDER:
        lines.append(f"\n# {kind.sheet}:  # {kind.meaning}")
        mark = "-"
        for column in columns_of(kind).values():
            star = " *" if column.needed else ""
            lines.append(
                f"#   {mark} {column.head}: {column.example}  # {column.note}{star}"
            )
            mark = " "
    return "\n".join(lines) + "\n"
