"""First availability of materials: what cannot be older than a given year.

The table is ``first_use.toml``; every year stands there with its source and with the
finds that speak against it. A first year only ever says *not before*. It says nothing of
any later phase, and it never excludes an earlier one altogether: a material may be
misidentified, carried on by contamination, or used before its time.
"""

import tomllib
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cache
from importlib.resources import files
from typing import Any

import numpy as np
import numpy.typing as npt

from ..errors import BadValue

__all__ = [
    "CounterExample",
    "FirstUse",
    "Month",
    "first_use_table",
    "form_row",
    "likelihood_by_phase",
    "regions_around",
    "row_for",
]

Month = tuple[int, int]
"""Year and month of the year, counted from 1."""


@dataclass(frozen=True, slots=True)
class CounterExample:
    """A find, or a claim of one, that speaks against a first year.

    Attributes:
        region: where.
        low, high: first and last year; None where it is told without years.
        what: what was found.
        source: who says so.
        grade: what to say of a claim within this region and these years; empty where
            the example is only to be told.
    """

    region: str
    what: str
    source: str
    low: int | None = None
    high: int | None = None
    grade: str = ""


@dataclass(frozen=True, slots=True)
class FirstUse:
    """One row of the table.

    Attributes:
        id: stable name of the row.
        words: material words that find the row; the first is its plain name.
        years: the years as the source gives them, for people to read.
        region: where the years hold.
        source: where the years come from.
        verified: "read" in that source, or "from memory".
        discovered: first known at all; None where not recorded.
        available: to be had by makers; None where not recorded.
        common: in general use; None where not recorded.
        elsewhere: "later" where the rest of the world cannot have had it earlier,
            "unknown" where it may.
        ended: year by which it was out of use in its region; a weak *not after*.
        before: grade of a claim before the first year.
        before_sale: grade of a claim between discovery and availability.
        delta: chance, in (0, 1], of the finding in something made before discovery.
        note: what else has to be said; may be empty.
        form_of: id of the row that this is a special form of; may be empty.
        form: words for that form.
        counter_examples: finds that speak against the years.
    """

    id: str
    words: tuple[str, ...]
    years: str
    region: tuple[str, ...]
    source: str
    verified: str
    discovered: Month | None = None
    available: Month | None = None
    common: Month | None = None
    elsewhere: str = "later"
    ended: int | None = None
    before: str = "conflict"
    before_sale: str = "strong warning"
    delta: float = 0.01
    note: str = ""
    form_of: str = ""
    form: tuple[str, ...] = ()
    counter_examples: tuple[CounterExample, ...] = ()

    @property
    def name(self) -> str:
        """The plain name of the material."""
        return self.words[0]

    @property
    def first(self) -> Month | None:
        """The earliest month recorded; None for a material that dates nothing."""
        return self.discovered or self.available or self.common

    @property
    def not_before(self) -> Month | None:
        """The month before which no maker can have had it, as far as the table knows."""
        return self.available if self.before_sale == "conflict" else self.first

    @property
    def general(self) -> Month | None:
        """The month from which the finding is as likely as it ever gets."""
        return self.common or self.available or self.discovered


@dataclass(frozen=True, slots=True)
class _Table:
    rows: Mapping[str, FirstUse]
    by_word: Mapping[str, FirstUse]
    parent_region: Mapping[str, str]
    region_word: Mapping[str, str]


def first_use_table() -> tuple[FirstUse, ...]:
    """Return every row, in the order of the table."""
    return tuple(_table().rows.values())


def row_for(material: str) -> FirstUse | None:
    """Return the row for a material word, or None; nothing is guessed.

    Case, hyphens and spacing do not matter.
    """
    return _table().by_word.get(_plain(material))


def form_row(row: FirstUse, form: str) -> FirstUse | None:
    """Return the row for a special *form* of the material of *row*, or None."""
    wanted = _plain(form)
    for other in _table().rows.values():
        if other.form_of == row.id and wanted in map(_plain, (*other.form, *other.words)):
            return other
    return None


def regions_around(region: str) -> tuple[str, ...]:
    """Return *region* in the words of the table and every wider region, narrowest first."""
    table = _table()
    name = _plain(region)
    name = table.region_word.get(name, name)
    found: list[str] = []
    while name:
        found.append(name)
        name = table.parent_region.get(name, "")
    return tuple(found)


def likelihood_by_phase(
    row: FirstUse, phases: Sequence[tuple[float | None, float | None]]
) -> npt.NDArray[np.float64]:
    """Return P(the material is found | the element was made in phase k), up to a factor.

    Within a phase every year is as likely as any other. In a year before discovery the
    value is the row's delta, from general use on it is 1, and between the two it rises
    in a straight line. A phase without a first or a last year has no average, and gets
    the value of its latest year: no less than the average of any part of it.

    Args:
        row: the material that was found.
        phases: begin and end of each phase in years, the end not included; None where
            open.

    Returns:
        One value in (0, 1] per phase; all 1 for a material that dates nothing.

    Raises:
        BadValue: when a phase ends before it begins.
    """
    return np.array([_in_phase(row, low, high) for low, high in phases], dtype=np.float64)


def _in_phase(row: FirstUse, low: float | None, high: float | None) -> float:
    if low is not None and high is not None and high < low:
        raise BadValue(f"a phase from {low} to {high} ends before it begins")
    if row.first is None or row.general is None or high is None:
        return 1.0
    begin, full = _decimal(row.first), _decimal(row.general)
    if low is None or low == high:
        share = (high >= full) if full == begin else (high - begin) / (full - begin)
        share = min(max(float(share), 0.0), 1.0)
    else:
        share = (_area(high, begin, full) - _area(low, begin, full)) / (high - low)
    return row.delta + (1 - row.delta) * share


def _area(year: float, begin: float, full: float) -> float:
    """Area, up to *year*, under the line that rises from 0 at *begin* to 1 at *full*."""
    if year <= begin:
        return 0.0
    if year >= full:
        return year - (begin + full) / 2
    return (year - begin) ** 2 / (2 * (full - begin))


def _decimal(month: Month) -> float:
    return month[0] + (month[1] - 1) / 12


@cache
def _table() -> _Table:
    text = files(__package__).joinpath("first_use.toml").read_text(encoding="utf-8")
    data = tomllib.loads(text)
    rows: dict[str, FirstUse] = {}
    for entry in data["row"]:
        row = _row(entry)
        if rows.setdefault(row.id, row) is not row:
            raise BadValue(f"two rows of the first-use table bear the id {row.id}")
    by_word: dict[str, FirstUse] = {}
    for row in rows.values():
        for word in row.words:
            if by_word.setdefault(_plain(word), row) is not row:
                raise BadValue(f"two rows of the first-use table claim the word {word!r}")
    return _Table(rows, by_word, data["regions"], data["region_words"])


def _row(entry: Mapping[str, Any]) -> FirstUse:
    fields = dict(entry)
    for key in ("words", "region", "form"):
        fields[key] = tuple(fields.get(key, ()))
    for key in ("discovered", "available", "common"):
        fields[key] = _month(fields.get(key))
    fields["counter_examples"] = tuple(
        CounterExample(**example) for example in fields.get("counter_examples", ())
    )
    return FirstUse(**fields)


def _month(value: int | str | None) -> Month | None:
    if value is None:
        return None
    year, _, month = str(value).partition("-")
    return int(year), int(month or 1)


def _plain(word: str) -> str:
    return " ".join(word.replace("-", " ").casefold().split())
