"""Reads one EDTF text into its parts and its outer bounds.

Source of the grammar: Extended Date/Time Format (EDTF) Specification, Library of
Congress, 4 February 2019 (the part of ISO 8601-2:2019 that deals with dates). Which
features are claimed is said in ``dating``.
"""

import re
from dataclasses import dataclass
from functools import lru_cache
from itertools import product
from typing import Final, Literal

from ..errors import BadValue
from .daycount import day_of, month_length
from .edtf_hints import hint

Kind = Literal["known", "open", "unknown"]
Form = Literal["date", "interval", "one of", "all of"]

_FAR = 10**12  # years beyond this are refused: no object needs them, and 1E999999999 hangs
_MARKS = "?~%"
_LEAP_YEAR = 366  # days; slack is counted in whole long years

_DATE = re.compile(
    r"([?~%]?)(-?[0-9X]{4})([?~%]?)"
    r"(?:-([?~%]?)([0-9X]{2})([?~%]?)"
    r"(?:-([?~%]?)([0-9X]{2})([?~%]?))?)?"
)
_LONG_YEAR = re.compile(
    r"([?~%]?)Y(-?[1-9][0-9]*)(?:E([1-9][0-9]*))?(?:S([1-9][0-9]*))?([?~%]?)"
)
_ROUNDED_YEAR = re.compile(r"([?~%]?)(-?[0-9]{4})()S([1-9][0-9]*)([?~%]?)")
_TIMED = re.compile(
    r"(-?[0-9]{4}-[0-9]{2}-[0-9]{2})"
    r"T((?:[01][0-9]|2[0-3]):[0-5][0-9]:[0-5][0-9])"
    r"(Z|[+-](?:[01][0-9]|2[0-3])(?::[0-5][0-9])?)?"
)

#: First and last month of each season number; above 12 the following year is meant.
#: A season without hemisphere holds both, and each holds the season by the calendar of
#: the weather (whole months) and by the sun (equinox to solstice), rounded out to months.
SEASONS: Final[dict[int, tuple[int, int]]] = {
    21: (3, 12), 22: (1, 15), 23: (3, 12), 24: (1, 15),
    25: (3, 6), 26: (6, 9), 27: (9, 12), 28: (1, 15),
    29: (9, 12), 30: (1, 15), 31: (3, 6), 32: (6, 9),
    33: (1, 3), 34: (4, 6), 35: (7, 9), 36: (10, 12),
    37: (1, 4), 38: (5, 8), 39: (9, 12),
    40: (1, 6), 41: (7, 12),
}  # fmt: skip


@dataclass(frozen=True, slots=True)
class Point:
    """One date of a text, before it is joined to an interval or a set.

    Attributes:
        earliest, latest: outer bounds, days since 1970-01-01.
        parts: year, month, day as written, shorter where not written. The "month" may be
            a season number, and a year may be in the long form (without its ``Y``).
        marks: for each part the signs that apply to it, out of ``?``, ``~``, ``%``.
        slack: days by which a sign loosens the bounds; 0 for a firm date.
        estimate: for a year with significant digits, the year as estimated.
        clock: time of day as written; empty when there is none.
    """

    earliest: int
    latest: int
    parts: tuple[str, ...]
    marks: tuple[str, ...] = ("",)
    slack: int = 0
    estimate: int | None = None
    clock: str = ""


@dataclass(frozen=True, slots=True)
class Stretch:
    """From one date to another; a single date is both its ends."""

    start: Point | None
    end: Point | None
    start_kind: Kind = "known"
    end_kind: Kind = "known"


@dataclass(frozen=True, slots=True)
class Reading:
    """An EDTF text taken apart: a date or an interval (one stretch), or a set."""

    form: Form
    stretches: tuple[Stretch, ...]


def bad(text: str, wrong: str, right: str) -> BadValue:
    """The refusal of a date, worded alike everywhere."""
    return BadValue(f"{text[:80]!r} cannot be read as a date: {wrong}; {right}")


def read(text: str) -> Reading:
    """Take an EDTF text apart.

    Raises:
        BadValue: it is not EDTF, names a day that does not exist, or ends before it starts.
    """
    if text[:1] in "[{" and text:
        return _read_set(text)
    if text.count("/") == 1:
        return Reading("interval", (_read_interval(text),))
    point = _read_point(text, text, timed=True)
    return Reading("date", (Stretch(point, point),))


def _read_interval(text: str) -> Stretch:
    left, right = text.split("/")
    if not left and not right:
        raise bad(text, "neither end is given", "leave the whole date empty")
    start, start_kind = _read_end(left, text)
    end, end_kind = _read_end(right, text)
    return _in_order(Stretch(start, end, start_kind, end_kind), text)


def _read_end(part: str, text: str) -> tuple[Point | None, Kind]:
    if part == "":
        return None, "unknown"
    if part == "..":
        return None, "open"
    return _read_point(part, text), "known"


def _in_order(stretch: Stretch, text: str) -> Stretch:
    start, end = stretch.start, stretch.end
    if start and end and start.earliest > end.latest:
        raise bad(text, "it ends before it begins", "write the earlier date first")
    return stretch


def _read_set(text: str) -> Reading:
    form: Form = "one of" if text[0] == "[" else "all of"
    closing = "]" if form == "one of" else "}"
    if text[-1] != closing or len(text) < 3:
        raise bad(text, "the bracket is not closed", f"write {text[0]}1667,1668{closing}")
    members = [member.strip(" ") for member in text[1:-1].split(",")]
    last = len(members) - 1
    # Dots without a date on one side may only stand at the outer ends of a set. In a
    # choice of one date they mean "or earlier", "or later", which is not "still going on".
    outside: Kind = "unknown" if form == "one of" else "open"
    stretches = tuple(
        _read_member(member, text, outside, (place == 0, place == last))
        for place, member in enumerate(members)
    )
    return Reading(form, stretches)


def _read_member(
    member: str, text: str, outside: Kind, outer: tuple[bool, bool]
) -> Stretch:
    left, dots, right = member.partition("..")
    if not dots:
        point = _read_point(member, text)
        return Stretch(point, point)
    if (not left and not (outer[0] and right)) or (not right and not outer[1]):
        raise bad(
            text,
            "dots without a date on one side stand only at the ends of a set",
            "write [..1760], [1760..] or [1667,1670..1672]",
        )
    start = _read_point(left, text) if left else None
    end = _read_point(right, text) if right else None
    kinds: tuple[Kind, Kind] = (
        "known" if start else outside,
        "known" if end else outside,
    )
    return _in_order(Stretch(start, end, *kinds), text)


def _read_point(part: str, text: str, *, timed: bool = False) -> Point:
    found = _DATE.fullmatch(part)
    if found:
        return _calendar_point(found, text)
    found = _LONG_YEAR.fullmatch(part) or _ROUNDED_YEAR.fullmatch(part)
    if found:
        return _long_point(found, text, long=part.lstrip(_MARKS).startswith("Y"))
    found = _TIMED.fullmatch(part)
    if found and not timed:
        raise bad(text, "intervals and sets bear no time of day", f"write {found[1]}")
    if found:
        day = _DATE.fullmatch(found[1])
        assert day is not None  # the pattern above holds this one
        point = _calendar_point(day, text)
        clock = found[2] + (found[3] or "")
        return Point(point.earliest, point.latest, point.parts, point.marks, clock=clock)
    wrong = "it is not in EDTF form" if part == text else f"{part!r} is not in EDTF form"
    raise bad(text, wrong, hint(text) if part == text else hint_in(part, text))


def hint_in(part: str, text: str) -> str:
    """The hint for the whole if there is a special one, otherwise for the part."""
    whole = hint(text)
    return hint(part) if whole == hint("?") or whole.startswith("a date holds") else whole


@lru_cache(maxsize=1024)
def _fitting(pattern: str, first: int, last: int) -> tuple[int, ...]:
    """The numbers from first to last that a pattern with ``X`` may stand for, ascending."""
    digits = pattern.lstrip("-")
    values = [
        int("".join(chosen))
        for chosen in product(*("0123456789" if d == "X" else d for d in digits))
    ]
    if pattern.startswith("-"):
        values = [-value for value in reversed(values) if value]
    return tuple(value for value in values if first <= value <= last)


def _calendar_point(found: re.Match[str], text: str) -> Point:
    year, month, day = found[2], found[5], found[8]
    if year == "-0000":
        raise bad(text, "there is no year -0000", "the year before the year 1 is 0000")
    years = _fitting(year, -9999, 9999) if "X" in year else (int(year),)
    marks = _marks(found)
    wide = _LEAP_YEAR * (years[-1] - years[0] + 1)
    if month is None:
        bounds = day_of(years[0], 1, 1), day_of(years[-1], 12, 31)
        return _marked(bounds, (year,), marks, (wide,))
    if day is None and "X" not in month and int(month) in SEASONS:
        return _season_point(years, found, marks)
    months = _fitting(month, 1, 12)
    if not months:
        raise bad(
            text,
            f"there is no month {month}",
            "months go from 01 to 12, seasons from 21 to 41"
            + (f"; for a span write {year}/{year[:-2]}{month}" if month > "41" else ""),
        )
    month_wide = 31 * (months[-1] - months[0] + 1)
    if day is None:
        bounds = (
            day_of(years[0], months[0], 1),
            day_of(years[-1], months[-1], month_length(years[-1], months[-1])),
        )
        return _marked(bounds, (year, month), marks, (wide, month_wide))
    days = _fitting(day, 1, 31)
    bounds = _day_bounds(years, months, days, text)
    day_wide = days[-1] - days[0] + 1
    return _marked(bounds, (year, month, day), marks, (wide, month_wide, day_wide))


def _season_point(
    years: tuple[int, ...], found: re.Match[str], marks: tuple[str, ...]
) -> Point:
    first, last = SEASONS[int(found[5])]
    over, of_year = divmod(last - 1, 12)
    end = years[-1] + over
    earliest = day_of(years[0], first, 1)
    latest = day_of(end, of_year + 1, month_length(end, of_year + 1))
    widths = (_LEAP_YEAR * (years[-1] - years[0] + 1), latest - earliest + 1)
    return _marked((earliest, latest), (found[2], found[5]), marks, widths)


def _day_bounds(
    years: tuple[int, ...], months: tuple[int, ...], days: tuple[int, ...], text: str
) -> tuple[int, int]:
    """First and last day that exists among the fitting years, months and days."""

    def first(backward: bool) -> int | None:
        step = -1 if backward else 1
        for year, month, day in product(years[::step], months[::step], days[::step]):
            if day <= month_length(year, month):
                return day_of(year, month, day)
        return None

    earliest, latest = first(backward=False), first(backward=True)
    if earliest is None or latest is None:
        raise bad(text, "there is no such day in the calendar", "look up day and month")
    return earliest, latest


def _marks(found: re.Match[str]) -> tuple[str, ...]:
    """Signs of each part; one behind counts for all up to it, one before for its own."""
    if not (found[1] or found[3] or found[4] or found[6] or found[7] or found[9]):
        return ("", "", "")
    behind = (found[3], found[6] or "", found[9] or "")
    before = (found[1], found[4] or "", found[7] or "")
    return tuple(
        "".join(dict.fromkeys(before[at] + "".join(behind[at:]))) for at in range(3)
    )


def _marked(
    bounds: tuple[int, int],
    parts: tuple[str, ...],
    marks: tuple[str, ...],
    widths: tuple[int, ...],
) -> Point:
    """A point with the slack of its signs.

    A sign loosens the date by the width of the finest part it was written for: "about
    1770" by a year, "about June 2004" by a month. A coarser part that bears a sign the
    finer ones do not bear loosens it by its own, larger, width.
    """
    marks = marks[: len(parts)]
    slack = 0
    for at, mark in enumerate(marks):
        finer = marks[at + 1] if at + 1 < len(marks) else ""
        if set(mark) - set(finer):
            slack = max(slack, widths[at])
    return Point(*bounds, parts, marks, slack)


def _long_point(found: re.Match[str], text: str, *, long: bool) -> Point:
    before, digits, power, rounded, behind = found.groups()
    # Length is looked at before the number is made: Y1E999999999 must not fill the memory.
    if len(digits.lstrip("-")) + int((power or "0")[:6]) > 13 or len(power or "") > 6:
        raise bad(text, "the year is too far off", f"years go up to {_FAR:,}")
    year = int(digits) * 10 ** int(power or "0")
    if long and abs(year) <= 9999:
        sign = "-" if year < 0 else ""
        raise bad(
            text,
            "Y is for years of more than four digits",
            f"write {sign}{abs(year):04d}" + (f"S{rounded}" if rounded else ""),
        )
    if digits == "-0000":
        raise bad(text, "there is no year -0000", "the year before the year 1 is 0000")
    low = high = year
    if rounded:
        low, high = _rounded(year, int(rounded[:3]))
    bounds = day_of(low, 1, 1), day_of(high, 12, 31)
    mark = "".join(dict.fromkeys(before + behind))
    point = _marked(bounds, (str(year),), (mark,), (_LEAP_YEAR * (high - low + 1),))
    if not rounded:
        return point
    return Point(*bounds, point.parts, point.marks, point.slack, estimate=year)


def _rounded(year: int, digits: int) -> tuple[int, int]:
    """First and last year that agree with a year in that many leading digits.

    More digits than the year has (``1859S5``) say no more than all of them.
    """
    step: int = 10 ** max(0, len(str(abs(year))) - digits)
    nearest = abs(year) // step * step
    if year < 0:
        return -(nearest + step - 1), -nearest
    return nearest, nearest + step - 1
