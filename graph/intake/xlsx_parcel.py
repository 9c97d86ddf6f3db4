"""Open an XLSX file without trusting it: it is a parcel of XML files packed by anybody.

Checked before anything reads it: that it is one, that it unpacks to what it declares and
to no more than a museum's sheet can need, that it carries no macros and no entities. What
is unpacked here is also looked through for what the reader of values passes over:
formulas, error values and stray cells.
"""

import io
import re
import zipfile
import zlib
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Final

from ..errors import Refused
from .paper import column_number

LARGEST_FILE: Final = 50_000_000
"""Bytes of a workbook as it lies on the disk."""

LARGEST_PARCEL: Final = 250_000_000
"""Bytes of everything in it, unpacked."""

MOST_PACKED: Final = 150
"""Unpacked bytes for one packed byte; sheets reach 10 to 30, a bomb about 1,000."""

MOST_MEMBERS: Final = 2_000
MOST_CELLS: Final = 10_000_000
"""Cells between the first and the last that hold anything."""

_OLE: Final = b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1"
_SMALL: Final = 1_000_000  # bytes; packing ratios of less do no harm
_REF = re.compile(rb"\br=[\"']([A-Z]{1,3})(\d{1,7})[\"']")
_CELL = re.compile(rb"<(?:\w+:)?c\s([^>]*?)(/?)>")
_FORMULA = re.compile(rb"<(?:\w+:)?f[\s>/]")
_ERROR = re.compile(rb"\bt=[\"']e[\"']")


@dataclass(frozen=True, slots=True)
class Parcel:
    """An XLSX file unpacked.

    Attributes:
        sheets: XML of each worksheet by its name.
        data: the file as it was.
    """

    sheets: Mapping[str, bytes]
    data: bytes


def unpack(data: bytes) -> Parcel:
    """Check the parcel and take the worksheets out.

    Raises:
        Refused: it is no workbook, or one that is not read; the text says why and what
            to do.
    """
    _look_at_begin(data)
    try:
        with zipfile.ZipFile(io.BytesIO(data)) as parcel:
            members = parcel.infolist()
    except (zipfile.BadZipFile, ValueError, NotImplementedError, OSError):
        raise Refused(
            "The file is damaged: it begins like a workbook and cannot be unpacked. "
            "Copy it again from where it came, or save it again as .xlsx."
        ) from None
    _must_be_small(members)
    _must_be_plain(members)
    unpacked = {one.filename: _taken_out(data, one) for one in members if _xml(one)}
    for name, text in unpacked.items():
        if b"<!DOCTYPE" in text or b"<!ENTITY" in text:
            raise Refused(
                f"The workbook's part {name} declares entities, which no spreadsheet "
                "program writes. Do not open it; ask where it came from."
            )
    return Parcel(_sheets(unpacked), data)


def _look_at_begin(data: bytes) -> None:
    if not data:
        raise Refused("The file is empty (zero bytes). Copy it again from where it came.")
    if len(data) > LARGEST_FILE:
        raise Refused(
            f"The file has {len(data):,} bytes; at most {LARGEST_FILE:,} are read. "
            "Take pictures out of it, or divide it."
        )
    if data.startswith(_OLE):
        if "EncryptedPackage".encode("utf-16-le") in data:
            raise Refused(
                "The workbook is protected by a password. Open it, take the password off "
                "and save it again."
            )
        raise Refused(
            "The file is a workbook of the old format (.xls) under another ending. "
            "Open it and save it as .xlsx."
        )
    if not data.startswith(b"PK"):
        raise Refused(
            "The file is not a workbook, whatever its ending says. Save it as .xlsx from "
            "the spreadsheet program, or as .csv where it is a text."
        )


def _must_be_small(members: list[zipfile.ZipInfo]) -> None:
    total = sum(one.file_size for one in members)
    bombs = (
        one.file_size > _SMALL and one.file_size > MOST_PACKED * max(one.compress_size, 1)
        for one in members
    )
    if total > LARGEST_PARCEL or len(members) > MOST_MEMBERS or any(bombs):
        raise Refused(
            f"The file would unpack to {total:,} bytes in {len(members):,} parts, far more "
            "than sheets of records need (a 'zip bomb'). Copy the rows into a new "
            "workbook; if you did not make the file yourself, do not open it."
        )


def _must_be_plain(members: list[zipfile.ZipInfo]) -> None:
    names = {one.filename for one in members}
    # The reader of values finds parts whatever the case of their names: no two may differ
    # by that alone, or we would check one and it would read the other.
    if len({name.replace("\\", "/").casefold() for name in names}) < len(members):
        raise Refused(
            "The file is damaged: it holds two parts of the same name. Open it and save "
            "it again as .xlsx."
        )
    if any(name.lower().endswith("vbaproject.bin") for name in names):
        raise Refused(
            "The workbook holds macros (program code), and those are not read. "
            "Save it as .xlsx, which leaves the macros out."
        )
    if "xl/workbook.xml" not in names:
        raise Refused(
            "The file is a packed file but not a workbook. Save it as .xlsx from the "
            "spreadsheet program."
        )
    if any(one.flag_bits & 1 for one in members):
        raise Refused("The file is encrypted. Save it again without a password.")


def _xml(member: zipfile.ZipInfo) -> bool:
    return member.filename.endswith((".xml", ".rels"))


def _taken_out(data: bytes, member: zipfile.ZipInfo) -> bytes:
    """One part, unpacked to not a byte more than it declares.

    ``zipfile`` stops at the declared size and so would hide a lie from us that the reader
    of values, which does not stop there, would believe.
    """
    at = member.header_offset
    name, extra = (
        int.from_bytes(data[at + 26 : at + 28], "little"),
        int.from_bytes(data[at + 28 : at + 30], "little"),
    )
    start = at + 30 + name + extra
    packed = data[start : start + member.compress_size]
    if member.compress_type == zipfile.ZIP_STORED:
        return _as_declared(packed, member)
    if member.compress_type != zipfile.ZIP_DEFLATED:
        raise Refused(
            f"The part {member.filename} is packed in a way that spreadsheet programs do "
            "not use. Open the file and save it again as .xlsx."
        )
    try:
        text = zlib.decompressobj(-15).decompress(packed, member.file_size + 1)
    except zlib.error:
        text = b""
    return _as_declared(text, member)


def _as_declared(text: bytes, member: zipfile.ZipInfo) -> bytes:
    if len(text) != member.file_size or zlib.crc32(text) != member.CRC:
        raise Refused(
            f"The file is damaged: its part {member.filename} is not as large as it says, "
            "or was changed. Copy it again from where it came."
        )
    return text


def _sheets(unpacked: Mapping[str, bytes]) -> dict[str, bytes]:
    """XML of the worksheets by name, in the order of the workbook."""
    from defusedxml import DefusedXmlException
    from defusedxml.ElementTree import ParseError, fromstring

    try:
        links = fromstring(unpacked.get("xl/_rels/workbook.xml.rels", b"<none/>"))
        book = fromstring(unpacked["xl/workbook.xml"])
    except (ParseError, DefusedXmlException):
        raise Refused(
            "The workbook is damaged: its list of sheets cannot be read. "
            "Open it and save it again as .xlsx."
        ) from None
    targets = {one.get("Id"): one.get("Target", "") for one in links}
    sheets = {}
    # By local names: the strict and the transitional form have different namespaces.
    for one in (node for node in book.iter() if node.tag.endswith("}sheet")):
        link = next((one.get(name) for name in one.attrib if name.endswith("}id")), "")
        part = _full_name(targets.get(link, ""))
        if part not in unpacked:
            raise Refused(
                f"The workbook is damaged: its sheet '{one.get('name')}' is missing. "
                "Open it and save it again as .xlsx."
            )
        if not part.startswith("xl/chartsheets/"):
            sheets[one.get("name", "")] = unpacked[part]
    return sheets


def _full_name(target: str) -> str:
    return target[1:] if target.startswith("/") else f"xl/{target}"


def furthest_cell(sheet: bytes) -> tuple[int, int]:
    """Row and column (from 1) of the corner up to which the sheet has cells with content.

    Where all its cells, empty ones with a format too, lie within the limit, the corner of
    those is given: finer counting takes longer.
    """
    corner = _corner(_REF.findall(sheet))
    if corner[0] * corner[1] <= MOST_CELLS:
        return corner
    full = (found[1] for found in _CELL.finditer(sheet) if not found[2])
    return _corner([ref for text in full for ref in _REF.findall(text)])


def _corner(refs: list[tuple[bytes, bytes]]) -> tuple[int, int]:
    rows = {row for _, row in refs}
    columns = {letters for letters, _ in refs}
    return (
        max(map(int, rows), default=0),
        max((column_number(one.decode()) for one in columns), default=0),
    )


def faults_of(sheet: bytes) -> dict[tuple[int, int], str]:
    """Cells that hold a formula or an error value, by row and column (from 1).

    Raises:
        Refused: the sheet is no XML.
    """
    if not _FORMULA.search(sheet) and not _ERROR.search(sheet):
        return {}
    from defusedxml.ElementTree import ParseError

    try:
        return dict(_faults(sheet))
    except (ParseError, ValueError):
        raise Refused(
            "The workbook is damaged: the cells of a sheet cannot be read. Open it and "
            "save it again as .xlsx."
        ) from None


def _faults(sheet: bytes) -> Iterator[tuple[tuple[int, int], str]]:
    from defusedxml.ElementTree import iterparse

    row, column = 0, 0
    for event, element in iterparse(io.BytesIO(sheet), events=("start", "end")):
        tag = element.tag.rpartition("}")[2]
        if event == "start" and tag == "row":
            row, column = int(element.get("r", row + 1)), 0
        elif event == "start" and tag == "c":
            found = _REF.fullmatch(f'r="{element.get("r", "")}"'.encode())
            column = column_number(found[1].decode()) if found else column + 1
        elif event == "end" and tag == "c":
            if any(child.tag.rpartition("}")[2] == "f" for child in element):
                yield (row, column), "formula"
            elif element.get("t") == "e":
                yield (row, column), "error value"
            element.clear()
        elif event == "end" and tag == "row":
            element.clear()
