"""What one cell means: text, number, date, word of a list, or the numbers of records.

Spreadsheets change what people type: they turn ``1998-03`` into a day, drop the zeros of
``0417`` and ``1931.40``, and keep whole numbers as ``2019.0``. What can be put right
without guessing is; what cannot is said, as a doubt or as a mistake.
"""

import datetime
import re
import unicodedata
from collections.abc import Callable
from difflib import get_close_matches
from enum import StrEnum
from functools import lru_cache
from typing import Final

from ..errors import BadValue
from ..record import SYNONYMS, Cord, Edtf, Feature, Measure, read_word
from .column import Column
from .paper import Cell

LONGEST: Final = 32_767
"""Characters in a cell; the limit of Excel itself (Microsoft Knowledge Base 211878)."""

_YES: Final = {"yes": True, "y": True, "true": True, "x": True, "1": True}
_NO: Final = {"no": False, "n": False, "false": False, "0": False}
_NOT_IN_XML: Final = "\ufffe\uffff"  # Extensible Markup Language 1.0, production 2
_ITEM = re.compile(r"(?:\\[;\\]|[^;])+")
_ESCAPED = re.compile(r"\\([;\\])")
_WHOLE = re.compile(r"-?\d{1,15}")


def read_cell(column: Column, cell: Cell) -> tuple[object, str]:
    """The value of a cell that is not empty, and a doubt about it, "" for none.

    Names of records stay as written; several values come as a tuple without repeats.

    Raises:
        BadValue: it cannot be read; the message says what would be right.
    """
    text, doubt = (cell, "") if isinstance(cell, str) else _typed(column, cell)
    text = clean_text(text)
    if "\ufffd" in text:
        doubt = (
            "it holds the sign \ufffd, which stands for a letter lost in a wrong encoding"
        )
    read = _READERS[column.sort]
    if column.many:
        return tuple(dict.fromkeys(read(one, column) for one in split_list(text))), doubt
    return read(text, column), doubt


def clean_text(text: str) -> str:
    """Text in Unicode's composed form, with plain line ends, without blanks around it.

    Raises:
        BadValue: longer than a cell can be, or with characters that cannot be printed.
    """
    if len(text) > LONGEST:
        raise BadValue(
            f"it holds {len(text):,} characters; a cell holds at most {LONGEST:,}, "
            "divide the text"
        )
    text = text.strip()
    if text.isascii() and text.isprintable():
        return text
    text = unicodedata.normalize("NFC", text.replace("\r\n", "\n").replace("\r", "\n"))
    for sign in text:
        if sign in _NOT_IN_XML or (
            sign not in "\n\t" and unicodedata.category(sign) in ("Cc", "Cs")
        ):
            raise BadValue(
                f"it holds a character that cannot be printed (U+{ord(sign):04X}); "
                "delete it, or save the file again as UTF-8"
            )
    return text


def split_list(text: str) -> list[str]:
    r"""The values of a cell with several: separated by ``;``, a ``\;`` is part of one."""
    items = (item.strip() for item in _ITEM.findall(text))
    return [_ESCAPED.sub(r"\1", item) for item in items if item]


def join_list(items: tuple[str, ...]) -> str:
    """The cell that `split_list` reads back into these values."""
    return "; ".join(item.replace("\\", "\\\\").replace(";", "\\;") for item in items)


def _typed(column: Column, cell: Cell) -> tuple[str, str]:
    """Text of a cell that the spreadsheet kept as something else, and a doubt."""
    if isinstance(cell, bool):
        return _truth(column, cell), ""
    if isinstance(cell, (int, float)):
        return _number(column, cell)
    if isinstance(cell, datetime.date):
        return _day(column, cell)
    raise BadValue(
        f"the cell holds a time of day or a duration ({cell}); "
        "format the cell as text and write it again"
    )


def _truth(column: Column, cell: bool) -> str:
    if column.sort == "yes or no":
        return "yes" if cell else "no"
    raise BadValue(
        f"the cell holds the truth value {str(cell).upper()}; "
        "format the cell as text and write it again"
    )


def _number(column: Column, cell: float) -> tuple[str, str]:
    if isinstance(cell, int) or (cell.is_integer() and abs(cell) < 1e15):
        return str(int(cell)), ""
    text = f"{cell:.15g}"  # spreadsheets show 15 digits; the rest is noise of the format
    if column.sort == "name":
        return text, (
            f"the cell holds the decimal number {text}, and a spreadsheet drops zeros at "
            "its end"
        )
    return text, ""


def _day(column: Column, cell: datetime.date) -> tuple[str, str]:
    midnight = isinstance(cell, datetime.datetime) and cell.time() == datetime.time()
    text = cell.date().isoformat() if midnight else cell.isoformat()  # type: ignore[attr-defined]
    if column.sort == "name":
        raise BadValue(
            f"the cell holds the date {text}, but a number belongs here: the spreadsheet "
            "may have turned it into a date; format the column as text and write it again"
        )
    if column.sort != "date":
        return text, f"the cell holds the date {text}, perhaps turned into one"
    if cell.day == 1:
        return text, (
            f"the cell holds the day {text}; spreadsheets make a first day out of a month "
            "or a year"
        )
    return text, ""


def _text(text: str, column: Column) -> str:
    return text


def _name(text: str, column: Column) -> str:
    plain = " ".join(text.split())
    if ";" in plain and not column.many:
        raise BadValue(
            f"'{shorten(plain)}' holds a semicolon, but one number belongs here; "
            "write one row for each"
        )
    return plain


def _whole(text: str, column: Column) -> int:
    if _WHOLE.fullmatch(text):
        return int(text)
    raise BadValue(f"'{shorten(text)}' is not a whole number; write digits only, such as 3")


def _yes_or_no(text: str, column: Column) -> bool:
    found = (_YES | _NO).get(text.casefold())
    if found is None:
        raise BadValue(f"'{shorten(text)}' is neither yes nor no; write yes or no")
    return found


def _date(text: str, column: Column) -> Edtf:
    return Edtf.parse(text)


def _measure(text: str, column: Column) -> Measure:
    return Measure.parse(text)


def _cord(text: str, column: Column) -> Cord:
    return Cord.parse(text)


def _feature(text: str, column: Column) -> Feature:
    return Feature.parse(text)


def _word(text: str, column: Column) -> StrEnum:
    if column.words is None:
        raise TypeError(f"{column.field} has no list of words")
    return _listed(column.words, text)


@lru_cache(maxsize=4096)
def _listed(words: type[StrEnum], text: str) -> StrEnum:
    found = read_word(words, text)
    if found is not None:
        return found
    raise BadValue(
        f"'{shorten(text)}' is none of the words of this column; {near(words, text)}"
    )


def near(words: type[StrEnum], text: str) -> str:
    """What somebody probably meant who wrote ``text``, or all words of the list."""
    known = {word.value: word.value for word in words}
    known |= {said: word.value for said, word in SYNONYMS.get(words, {}).items()}
    close = get_close_matches(" ".join(text.casefold().split())[:80], list(known), 2, 0.7)
    meant = " or ".join(f"'{one}'" for one in dict.fromkeys(known[one] for one in close))
    if meant:
        return f"write {meant}, if that is meant"
    return "it knows " + ", ".join(word.value for word in words)


def shorten(text: str) -> str:
    """A value for a message: its first line, at most 60 characters of it."""
    line = text.split("\n", 1)[0]
    return line if len(line) <= 60 and line == text else f"{line[:60]}…"


_READERS: Final[dict[str, Callable[[str, Column], object]]] = {
    "text": _text,
    "name": _name,
    "whole number": _whole,
    "yes or no": _yes_or_no,
    "word": _word,
    "date": _date,
    "measure": _measure,
    "cord": _cord,
    "feature": _feature,
}
