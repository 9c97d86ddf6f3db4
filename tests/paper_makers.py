"""Ways to make papers that are broken in one place, for tests; all of it invented."""

import struct
import zipfile
from collections.abc import Callable
from pathlib import Path
from typing import Any

from small_papers import Sheets, good, set_cell, workbook

Make = Callable[[Path], Path]


def cell(sheet: str, row: int, head: str, value: Any) -> Make:
    """A workbook that is right but for one cell."""
    return lambda home: workbook(home / "a.xlsx", set_cell(good(), sheet, row, head, value))


def rows(sheet: str, *more: list[Any]) -> Make:
    """A workbook with further rows."""

    def make(home: Path) -> Path:
        sheets = good()
        sheets[sheet] = [*sheets.get(sheet, []), *more]
        return workbook(home / "a.xlsx", sheets)

    return make


def changed(change: Callable[[Sheets], object]) -> Make:
    """A workbook with anything changed."""

    def make(home: Path) -> Path:
        sheets = good()
        change(sheets)
        return workbook(home / "a.xlsx", sheets)

    return make


def touched(change: Callable[[Any], object]) -> Make:
    """A workbook with something changed that only a spreadsheet program can do."""

    def make(home: Path) -> Path:
        from openpyxl import load_workbook

        path = workbook(home / "a.xlsx", good())
        book = load_workbook(path)
        change(book)
        book.save(path)
        return path

    return make


def raw(name: str, data: bytes) -> Make:
    """A file with these bytes."""

    def make(home: Path) -> Path:
        (home / name).write_bytes(data)
        return home / name

    return make


def parts(change: Callable[[dict[str, bytes]], object]) -> Make:
    """A workbook whose packed parts were changed."""

    def make(home: Path) -> Path:
        path = workbook(home / "a.xlsx", good())
        with zipfile.ZipFile(path) as old:
            members = {name: old.read(name) for name in old.namelist()}
        change(members)
        with zipfile.ZipFile(path, "w", zipfile.ZIP_DEFLATED) as new:
            for name, data in members.items():
                new.writestr(name, data)
        return path

    return make


def patched(change: Callable[[bytearray], object]) -> Make:
    """A workbook whose bytes were changed."""

    def make(home: Path) -> Path:
        path = workbook(home / "a.xlsx", good())
        data = bytearray(path.read_bytes())
        change(data)
        path.write_bytes(data)
        return path

    return make


def declare_less(data: bytearray) -> None:
    """Let the directory say that the first sheet unpacks to ten bytes."""
    at = data.rindex(b"xl/worksheets/sheet1.xml") - 46
    data[at + 24 : at + 28] = struct.pack("<I", 10)


def declare_encrypted(data: bytearray) -> None:
    at = data.index(b"PK\x01\x02")
    data[at + 8] |= 1


def declare_other_packing(data: bytearray) -> None:
    at = data.rindex(b"xl/worksheets/sheet1.xml") - 46
    data[at + 10 : at + 12] = struct.pack("<H", 14)


def bomb(home: Path) -> Path:
    """200 MB of blanks in a few hundred kB."""
    path = home / "a.xlsx"
    with zipfile.ZipFile(path, "w", zipfile.ZIP_DEFLATED) as packed:
        packed.writestr("xl/workbook.xml", "<workbook/>")
        with packed.open("xl/worksheets/sheet1.xml", "w") as part:
            for _ in range(200):
                part.write(b" " * 1_000_000)
    return path


def crowd(members: dict[str, bytes]) -> None:
    members |= {f"xl/media/{at}.png": b"" for at in range(3000)}


def far_cell(members: dict[str, bytes]) -> None:
    name = "xl/worksheets/sheet3.xml"
    stray = b'<row r="1048576"><c r="XFD1048576" t="inlineStr"><is><t>x</t></is></c></row>'
    members[name] = members[name].replace(b"</sheetData>", stray + b"</sheetData>")


def entity(members: dict[str, bytes]) -> None:
    name = "xl/worksheets/sheet1.xml"
    head = b'<!DOCTYPE a [<!ENTITY b "bbbbbbbb">]>'
    members[name] = head + members[name]


def cut_xml(members: dict[str, bytes]) -> None:
    name = "xl/worksheets/sheet3.xml"
    members[name] = members[name][: len(members[name]) // 2]


def two_of_a_name(members: dict[str, bytes]) -> None:
    members["XL/workbook.xml"] = members["xl/workbook.xml"]


def strict(members: dict[str, bytes]) -> None:
    """The namespaces of the strict form (ISO/IEC 29500-1, annex A)."""
    ours = b"http://schemas.openxmlformats.org/"
    theirs = b"http://purl.oclc.org/ooxml/"
    for name in [one for one in members if one.startswith("xl/w")]:
        text = members[name].replace(
            ours + b"spreadsheetml/2006/", theirs + b"spreadsheetml/"
        )
        members[name] = text.replace(
            ours + b"officeDocument/2006/", theirs + b"officeDocument/"
        )


def sheet_gone(members: dict[str, bytes]) -> None:
    del members["xl/worksheets/sheet3.xml"]


def formula_in_rubble(members: dict[str, bytes]) -> None:
    name = "xl/worksheets/sheet3.xml"
    broken = b'<row r="x"><c r="A9"><f>1</f></c></row></sheetData>'
    members[name] = members[name].replace(b"</sheetData>", broken)


def put(name: str, at: str, value: object) -> Make:
    """A workbook with a value put into a cell by a spreadsheet program."""

    def change(book: Any) -> None:
        book[name][at] = value

    return touched(change)


def merge(book: Any) -> None:
    book["Elements"].merge_cells("C2:C3")


def error_value(book: Any) -> None:
    book["Elements"]["B3"] = "#REF!"
    book["Elements"]["B3"].data_type = "e"


def two_objects(sheets: Sheets) -> None:
    """Two objects, every row saying which, and an observation about a source."""
    sheets["Object"].append(["ABC.2", "stand", "", ""])
    for name in ("Phases", "Elements"):
        for at, row in enumerate(sheets[name]):
            row.append("ABC.1" if at else "object")
    set_cell(sheets, "Observations", 2, "about", "S-1")


def text(name: str, said: str, encoding: str = "utf-8") -> Make:
    return raw(name, said.encode(encoding))
