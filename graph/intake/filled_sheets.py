"""Write records as the sheets that a user would have filled in, so that they read back."""

import re
from collections.abc import Callable, Iterable, Mapping, Sequence
from pathlib import Path
from typing import Any, Final

from ..errors import BadValue, Refused
from ..record import TYPES, MuseumObject, Phase, Record
from .cell import clean_text, join_list
from .column import Column, columns_of
from .csv_folder import COMPUTED, is_computed
from .numbering import home_of

Table = tuple[type[Record], list[list[str | int]]]
"""A kind of record, and for each record the cells under the kind's columns."""

_ESCAPE_LIKE: Final = re.compile(r"_(?=x[0-9A-Fa-f]{4}_)")
_TO_DO: Final = "save under another name, or remove it first"


def write_workbook(
    records: Mapping[str, Record],
    path: str | Path,
    numbers: Mapping[str, str] | None = None,
) -> None:
    """Write records into a new workbook, one sheet for each kind that has any.

    Args:
        records: by key.
        path: the file to make.
        numbers: numbers of further records that these name, by key.

    Raises:
        Refused: there is such a file already.
        BadValue: a text cannot stand in a cell.
        LookupError: a record is named whose number is not known.
    """
    from openpyxl import Workbook

    must_be_new(Path(path))
    book = Workbook(write_only=True)
    for kind, rows in tables(records, numbers or {}):
        sheet = book.create_sheet(kind.sheet)
        sheet.append([one.head for one in columns_of(kind).values()])
        for row in rows:
            sheet.append([_cell(sheet, value) for value in row])
    if not book.worksheets:
        book.create_sheet("Elements")
    book.save(path)


def write_csv_folder(
    records: Mapping[str, Record],
    path: str | Path,
    numbers: Mapping[str, str] | None = None,
) -> None:
    """Write records as CSV files (UTF-8 with a mark, so that spreadsheets know it).

    Raises:
        Refused: the folder holds something already.
        BadValue: a text cannot stand in a cell.
        LookupError: a record is named whose number is not known.
    """
    folder = Path(path)
    must_be_new(folder)
    found = list(tables(records, numbers or {}))
    folder.mkdir(parents=True, exist_ok=True)
    for kind, rows in found:
        write_csv(folder, kind, [one.head for one in columns_of(kind).values()], rows)


def write_csv(
    folder: Path, kind: type[Record], heads: Sequence[str], rows: Iterable[Sequence[object]]
) -> None:
    """One sheet as a CSV file."""
    import csv

    with (folder / f"{kind.sheet}.csv").open("w", encoding="utf-8-sig", newline="") as file:
        writer = csv.writer(file)
        writer.writerow(heads)
        writer.writerows([not_computed(str(cell)) for cell in row] for row in rows)


def must_be_new(path: Path) -> None:
    """Refused where something is there already."""
    if path.is_dir() and not any(path.iterdir()):
        return
    if path.exists():
        raise Refused(f"{path} is there already and was left as it is; {_TO_DO}")


def tables(records: Mapping[str, Record], numbers: Mapping[str, str]) -> Iterable[Table]:
    """The sheets of these records, in the order in which they are best filled in."""

    def named(key: str, owner: str | None) -> str:
        other = records.get(key)
        if isinstance(other, Phase) and other.object == owner:
            return other.short_name()
        number = other.own_number() if other else numbers.get(key)
        if number is None:
            raise LookupError(f"the number of the record {key} is not known")
        return number

    for kind in TYPES:
        rows = [
            [_said(record, one, owner, named) for one in columns_of(kind).values()]
            for key, record in records.items()
            if type(record) is kind
            for owner in (_object_of(key, records),)
        ]
        if rows:
            yield kind, rows


def _said(
    record: Record,
    column: Column,
    owner: str | None,
    named: Callable[[str, str | None], str],
) -> str | int:
    value = getattr(record, column.field)
    if value is None or value == ():
        return ""
    if isinstance(record, Phase) and column.field == "number":
        return record.short_name()
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, int):
        return value
    texts = tuple(map(str, value)) if isinstance(value, tuple) else (str(value),)
    if column.points is not None:
        texts = tuple(named(one, owner) for one in texts)
    text = join_list(texts) if column.many else texts[0]
    try:
        clean_text(text)
    except BadValue as error:
        raise BadValue(f"{record.label()}, {column.head}: {error}") from None
    return text


def _object_of(key: str, records: Mapping[str, Record]) -> str | None:
    """Key of the object that a record belongs to, as the import finds it."""
    waiting, seen = [key], set[str]()
    while waiting:
        key = waiting.pop(0)
        record = records.get(key)
        if record is None or key in seen:
            continue
        seen.add(key)
        if isinstance(record, MuseumObject):
            return key
        waiting += home_of(record.kind, dict(record))
    return None


def _cell(sheet: Any, value: str | int) -> object:
    if isinstance(value, int) or not value:
        return value if value != "" else None
    return text_cell(sheet, value)


def text_cell(sheet: Any, text: str) -> Any:
    """A cell that holds a text and stays one, whatever it begins with."""
    from openpyxl.cell import WriteOnlyCell

    cell = WriteOnlyCell(sheet)
    cell.value = _ESCAPE_LIKE.sub("_x005F_", text)
    cell.data_type = "s"
    cell.number_format = "@"
    cell.quotePrefix = text.startswith(COMPUTED)
    return cell


def not_computed(text: str) -> str:
    """A text with an apostrophe before it where a spreadsheet would compute it."""
    return f"'{text}" if is_computed(text) else text
