"""Dates and numbers as the reader's locale writes them (Unicode CLDR, through Babel).

Only what a page shows is spoken so: CSV, JSON and sheets keep EDTF, ISO 8601 and decimal
points. In English, dates are said as everywhere in Vestige (`graph/record/edtf_words.py`).
The forms in which a date is vague come from the catalogue; what has no form of its own
there is said by its outer bounds, with the EDTF as it was written.
"""

import datetime
import re
from functools import lru_cache
from typing import TYPE_CHECKING, Final

from vestige.graph.errors import BadValue
from vestige.graph.record import Edtf
from vestige.graph.record.daycount import date_of, iso
from vestige.graph.record.edtf_reader import Point, Stretch, read

from . import words
from .catalogue import ENGLISH
from .chosen import language

if TYPE_CHECKING:
    from babel import Locale

    from vestige.graph.record import Measure

__all__ = ["date", "day", "figures", "number", "own_name", "quantity"]

_BABEL_YEARS: Final = range(1000, 10_000)
"""Years that are set by the locale's own formats; others need their era said."""
_NUMBER = re.compile(r"(?<![\d/])\d+(?:,\d{3})*[.,]\d+(?![\d/])")
"""A number with a sign in it that two countries read differently."""


@lru_cache(maxsize=64)
def _locale(code: str) -> "Locale":
    from babel import Locale
    from babel.core import UnknownLocaleError

    try:
        return Locale.parse(code)
    except (UnknownLocaleError, ValueError):  # a language that CLDR does not know
        return Locale.parse(ENGLISH)


def own_name(code: str) -> str:
    """The name of a language in that language; its code where CLDR has none.

    >>> own_name("de"), own_name("en")
    ('Deutsch', 'English')
    """
    known = _locale(code)
    if code != ENGLISH and known.language == ENGLISH:
        return code
    name = known.get_display_name(known)
    return name[:1].upper() + name[1:] if name else code


def number(value: float, decimals: int = 0) -> str:
    """A number with so many decimals, its signs those of the locale."""
    from babel.numbers import format_decimal

    places = "." + "0" * decimals if decimals else ""
    return format_decimal(value, format=f"#,##0{places}", locale=_locale(language()))


def figures(value: float, count: int = 2) -> str:
    """A number rounded to so many figures, e.g. 0.034 or 120."""
    from babel.numbers import format_decimal

    digits = "@" * count
    return format_decimal(value, format=digits, locale=_locale(language()))


def quantity(measure: "Measure | str") -> str:
    """An amount as recorded, the signs of its numbers those of the locale.

    The numbers are read as the record reads them (`graph/record/measure.py`): "1,800 mm"
    is 1800 mm there, and would be 1.8 mm to a German reader. Fractions and units stay.
    """
    text = str(measure)
    return text if language() == ENGLISH else _NUMBER.sub(_localised, text)


def _localised(found: re.Match[str]) -> str:
    from vestige.graph.record.measure import read_number

    written = found[0]
    whole = re.fullmatch(r"[1-9]\d{0,2}(,\d{3})+", written)
    decimals = 0 if whole else len(re.split(r"[.,]", written)[-1])
    return number(read_number(written), decimals)


def day(text: str) -> str:
    """A day in ISO 8601, of which answers say when something was recorded.

    The day is that of UTC, as in the record.
    """
    return date(text) if re.fullmatch(r"\d{4}-\d{2}-\d{2}", text) else text


def date(said: Edtf | str) -> str:
    """A date in EDTF as the reader's language says it; what is no EDTF stays as it is."""
    try:
        known = said if isinstance(said, Edtf) else Edtf.parse(said)
    except BadValue:
        return str(said)
    return known.in_words() if language() == ENGLISH else _said(str(known))


def _said(text: str) -> str:
    reading = read(text)
    first = reading.stretches[0]
    if reading.form == "date":
        return _point(first.start, text)
    if reading.form == "interval":
        return _interval(first, text)
    members = [_member(one, reading.form, text) for one in reading.stretches]
    form = words.ONE_OF if reading.form == "one of" else words.ALL_OF
    if reading.form == "one of" and len(members) == 1:
        return members[0]
    return form.format(dates="; ".join(members))


def _interval(one: Stretch, text: str) -> str:
    start, end = _point(one.start, text), _point(one.end, text)
    if one.start and one.end:
        return words.SPAN.format(start=start, end=end)
    if one.start:
        form = words.STILL_OPEN if one.end_kind == "open" else words.END_UNKNOWN
        return form.format(start=start)
    if one.end:
        form = words.BEGUN_OPEN if one.start_kind == "open" else words.BEGUN_UNKNOWN
        return form.format(end=end)
    return words.NEITHER_END.format(written=text)


def _member(one: Stretch, form: str, text: str) -> str:
    if one.start is one.end:
        return _point(one.start, text)
    if one.start and one.end:
        return _interval(one, text)
    both = form == "all of"
    if one.end:
        earlier = words.AND_EARLIER if both else words.OR_EARLIER
        return earlier.format(date=_point(one.end, text))
    later = words.AND_LATER if both else words.OR_LATER
    return later.format(date=_point(one.start, text))


def _point(point: Point | None, text: str) -> str:
    if point is None:
        return ""
    plain = _plain(point, text)
    marks = set(point.marks)
    if marks == {""}:
        return plain
    if len(marks) > 1:
        return words.PARTLY.format(date=plain, written=text)
    [mark] = marks
    about = words.ABOUT.format(date=plain) if mark in "~%" else plain
    return words.UNCERTAIN.format(date=about) if mark in "?%" else about


def _plain(point: Point, text: str) -> str:
    if point.estimate is not None:
        low, high = (_year(date_of(one)[0]) for one in (point.earliest, point.latest))
        return words.ESTIMATED.format(start=low, end=high, date=_year(point.estimate))
    said = (_of_year, _of_month, _of_day)[len(point.parts) - 1](point)
    return said or words.SOME_TIME.format(
        start=_bound(point.earliest), end=_bound(point.latest), written=text
    )


def _year(year: int) -> str:
    if year <= 0:
        return words.BC.format(year=1 - year)
    if year < 1000:
        return words.AD.format(year=year)
    return _set("y", year) if year in _BABEL_YEARS else str(year)


def _of_year(point: Point) -> str:
    year = point.parts[0]
    if "X" not in year:
        return _year(int(year))
    if re.fullmatch(r"[1-9]\d[1-9]X", year):
        return words.DECADE.format(year=year.replace("X", "0"))
    if year.startswith("-") or "X" in year.rstrip("X"):
        return ""
    low, high = (_year(date_of(one)[0]) for one in (point.earliest, point.latest))
    return words.SPAN.format(start=low, end=high)


def _of_month(point: Point) -> str:
    year, month = point.parts
    if "X" in year or not _fits(year):
        return ""
    if month == "XX":
        return words.SOME_MONTH.format(date=_year(int(year)))
    if "X" in month or int(month) > 24:
        return ""
    if int(month) > 20:
        return words.SEASONS[int(month) - 21].format(year=_year(int(year)))
    return _set("yMMMM", int(year), int(month))


def _of_day(point: Point) -> str:
    year, month, of_month = point.parts
    if "X" in year or not _fits(year):
        return ""
    if "X" not in month + of_month:
        said = _full(datetime.date(int(year), int(month), int(of_month)))
        return words.AT_CLOCK.format(date=said, clock=point.clock) if point.clock else said
    if of_month != "XX":
        return ""
    if month == "XX":
        return words.SOME_DAY.format(date=_year(int(year)))
    if "X" in month:
        return ""
    return words.SOME_DAY.format(date=_set("yMMMM", int(year), int(month)))


def _fits(year: str) -> bool:
    return int(year) in _BABEL_YEARS


def _set(skeleton: str, year: int, month: int = 1) -> str:
    from babel.dates import format_skeleton

    first = datetime.date(year, month, 1)
    return format_skeleton(skeleton, first, locale=_locale(language()))


def _full(one: datetime.date) -> str:
    from babel.dates import format_date

    return format_date(one, "long", locale=_locale(language()))


def _bound(of_count: int) -> str:
    """A day number; by its ISO form where the locale's formats do not reach."""
    year, month, of_month = date_of(of_count)
    if year not in _BABEL_YEARS:
        return iso(of_count)
    return _full(datetime.date(year, month, of_month))
