"""Dates as historians write them: uncertain, approximate, open, or simply not known.

Dates are kept in the Extended Date/Time Format, EDTF (Library of Congress, 4 February
2019). The text stays as written; what is reckoned from it are outer bounds.

Claimed, and checked against the examples of the specification:

* Level 0, all: year, month, day; date and time with ``Z`` or a shift; intervals of dates.
* Level 1, all: long years (``Y170000002``); seasons 21-24; ``?`` ``~`` ``%`` at the end;
  ``X`` from the right (``201X``, ``2004-XX``); open ends (``..``) and unknown ends
  (left empty); years before 0.
* Level 2, all: exponential years (``Y17E7``); significant digits (``1950S2``); season
  numbers 21-41; sets ``[..]`` (one of) and ``{..}`` (all of); signs on single parts
  (``2004-06-~11``) and on groups; ``X`` anywhere (``1XXX-1X``); signed and unspecified
  parts in intervals.

Kept narrower than the specification: the time of day is kept but not reckoned with, the
day counts as written whatever the shift; hour 24 and second 60 are refused; years beyond
10^12 are refused. Kept wider: blanks around the text and behind the commas of a set, and
any date of the three levels, not only those of the same level, as the end of an interval.
Own rules where the specification is silent: an interval that cannot but end before it
begins is refused; a season is bounded so widely that either hemisphere, and the calendar
of the weather or of the sun, fits (``edtf_reader.SEASONS``).

Days are days since 1970-01-01 in the proleptic Gregorian calendar (``daycount``). A date
given in the Julian calendar has to be converted before it is entered.
"""

import datetime
import math
from collections.abc import Callable
from dataclasses import dataclass, field
from functools import lru_cache
from typing import Literal

from pydantic import GetCoreSchemaHandler
from pydantic_core import CoreSchema

from .daycount import date_of, day_of, iso
from .edtf_reader import Form, Kind, Reading, read
from .edtf_words import in_words
from .written import as_text_field

__all__ = ["Edtf", "Order", "compare", "date_of", "day_of", "iso"]

Order = Literal["before", "after", "overlaps", "unknown"]


@dataclass(frozen=True, slots=True)
class Edtf:
    """One date, interval or set of dates; equal when written alike.

    ``Edtf(text)`` and ``Edtf.parse(text)`` mean the same; the second keeps what it read.
    There is deliberately no ``<``: an approximate date must not sort as an exact one.
    Use ``compare``.

    Attributes:
        text: as written, without blanks around it.
        form: ``"date"``, ``"interval"``, ``"one of"`` or ``"all of"``.
        earliest: first day it can touch, days since 1970-01-01; None when that side is
            open or not known.
        latest: last day it can touch; None when that side is open or not known.
        start_kind, end_kind: ``"known"``, ``"open"`` (goes on: ``1985/..``) or
            ``"unknown"`` (``1985/``). The outer dots of a choice of one date
            (``[1760..]``, "1760 or later") count as unknown: nothing goes on there.
        uncertain: some part bears ``?`` or ``%``.
        approximate: some part bears ``~`` or ``%``.
        start_slack, end_slack: days by which the signs loosen each bound in comparing; 0
            for a firm bound. The bounds themselves are not widened.

    Raises:
        BadValue: the text is not EDTF; the message says what would be right.
    """

    text: str
    form: Form = field(init=False, compare=False, repr=False)
    earliest: int | None = field(init=False, compare=False, repr=False)
    latest: int | None = field(init=False, compare=False, repr=False)
    start_kind: Kind = field(init=False, compare=False, repr=False)
    end_kind: Kind = field(init=False, compare=False, repr=False)
    uncertain: bool = field(init=False, compare=False, repr=False)
    approximate: bool = field(init=False, compare=False, repr=False)
    start_slack: int = field(init=False, compare=False, repr=False)
    end_slack: int = field(init=False, compare=False, repr=False)

    def __post_init__(self) -> None:
        text = self.text.strip()
        for name, value in _facts(read(text)).items():
            object.__setattr__(self, name, value)
        object.__setattr__(self, "text", text)

    @classmethod
    def parse(cls, text: str) -> "Edtf":
        """Read a text; the last 65,536 different ones are remembered.

        Raises:
            BadValue: the text is not EDTF; the message says what would be right.
        """
        return _remembered(text)

    @classmethod
    def from_date(cls, day: datetime.date) -> "Edtf":
        """The whole day of a ``date``; of a ``datetime`` the time of day is dropped."""
        return cls.parse(f"{day.year:04d}-{day.month:02d}-{day.day:02d}")

    @property
    def soft(self) -> bool:
        """Whether some part is uncertain or approximate: the bounds are not firm."""
        return self.uncertain or self.approximate

    def in_words(self) -> str:
        """Plain English, e.g. "about 1770 to about 1790", "from 1985, end not known"."""
        return in_words(read(self.text))

    def __str__(self) -> str:
        return self.text

    @classmethod
    def __get_pydantic_core_schema__(
        cls, source: object, handler: GetCoreSchemaHandler
    ) -> CoreSchema:
        """A field of this type takes a text or an Edtf, and is written out as the text."""
        return as_text_field(cls, cls.parse)


@lru_cache(maxsize=65_536)
def _remembered(text: str) -> Edtf:
    return Edtf(text)


def _facts(reading: Reading) -> dict[str, object]:
    """What an ``Edtf`` tells about its reading, by attribute."""
    stretches = reading.stretches
    starts = [stretch.start for stretch in stretches]
    ends = [stretch.end for stretch in stretches]
    marks = {mark for point in (*starts, *ends) if point for mark in point.marks if mark}
    signs = "".join(marks)
    return {
        "form": reading.form,
        "earliest": _outermost([p.earliest if p else None for p in starts], min),
        "latest": _outermost([p.latest if p else None for p in ends], max),
        "start_kind": stretches[0].start_kind,
        "end_kind": stretches[-1].end_kind,
        "uncertain": "?" in signs or "%" in signs,
        "approximate": "~" in signs or "%" in signs,
        "start_slack": max(p.slack if p else 0 for p in starts),
        "end_slack": max(p.slack if p else 0 for p in ends),
    }


def _outermost(bounds: list[int | None], pick: Callable[[list[int]], int]) -> int | None:
    known = [bound for bound in bounds if bound is not None]
    return pick(known) if len(known) == len(bounds) else None


def compare(one: Edtf, other: Edtf) -> Order:
    """How one date lies to another in time.

    Own rule, made so that a soft date never sorts as an exact one:

    * ``"before"``: one's last day lies before the other's first day; where a bound is soft
      the days between them must be more than its slack. "About 1770" is loosened by a
      year: it is not before 1771 or 1772, it is before 1773. Slack of both sides adds up.
    * ``"after"``: the same the other way round.
    * ``"unknown"``: neither is shown, and an unknown end could decide it (``1985/``
      against 1990).
    * ``"overlaps"``: neither is shown, with all ends known or open: their days meet, or a
      soft bound comes too near to tell. An open end goes on for ever.
    """
    if _wholly_before(one, other):
        return "before"
    if _wholly_before(other, one):
        return "after"
    if _may_end_before(one, other) or _may_end_before(other, one):
        return "unknown"
    return "overlaps"


def _wholly_before(one: Edtf, other: Edtf) -> bool:
    if one.latest is None or other.earliest is None:
        return False
    slack = one.end_slack + other.start_slack
    return other.earliest - one.latest > slack + (slack > 0)


def _may_end_before(one: Edtf, other: Edtf) -> bool:
    """Whether an unknown bound leaves it possible that one lies wholly before the other."""
    if one.latest is None and one.end_kind == "open":
        return False
    if other.earliest is None and other.start_kind == "open":
        return False
    if one.latest is None and other.earliest is None:
        return True
    if one.latest is None:
        return _first_day(other) > _first_day(one)
    if other.earliest is None:
        return _last_day(one) < _last_day(other)
    return False


def _first_day(date: Edtf) -> float:
    return -math.inf if date.earliest is None else date.earliest


def _last_day(date: Edtf) -> float:
    return math.inf if date.latest is None else date.latest
