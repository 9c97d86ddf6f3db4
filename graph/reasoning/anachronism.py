"""Whether a material is at odds with the years claimed for what it is part of.

First availability gives an earliest date for one region, and exceptions exist: what is
at odds may be a later addition, a misidentified material, or an exception. The finding
says so in words and names what it rests on; it decides nothing.
"""

from dataclasses import dataclass
from datetime import date
from enum import StrEnum

from ..errors import BadValue
from .first_use import CounterExample, FirstUse, Month, form_row, regions_around, row_for

__all__ = ["DatingFinding", "DatingGrade", "judge"]


class DatingGrade(StrEnum):
    """How a material and the years claimed go together."""

    CONFLICT = "conflict"
    STRONG_WARNING = "strong warning"
    DISPUTED = "warning: disputed"
    EARLY = "allowed, early"
    NO_CONFLICT = "no conflict"
    SILENT = "says nothing about date"


@dataclass(frozen=True, slots=True)
class DatingFinding:
    """What first availability says of one claim.

    Attributes:
        grade: the result in one word or two.
        text: the same in sentences, with its basis.
        row: the row of the table that it rests on; None when there is none.
        counter_example: the find that changed the grade, if one did.
    """

    grade: DatingGrade
    text: str
    row: FirstUse | None = None
    counter_example: CounterExample | None = None


def judge(
    material: str,
    earliest: int | date | None,
    latest: int | date | None,
    region: str = "",
    form: str = "",
) -> DatingFinding:
    """Say whether *material* is at odds with the years claimed for its making or placing.

    Only a window that lies wholly before the material was to be had is at odds with it;
    a window that reaches later is merely narrowed.

    Args:
        material: material word, e.g. "titanium white".
        earliest, latest: first and last day claimed; a year stands for all its days,
            None for an open end.
        region: where the thing is claimed to be made, empty where not known.
        form: special form of the material, e.g. "rutile" or "oil".

    Raises:
        BadValue: when *latest* is before *earliest*.
    """
    window = _window(earliest, latest)
    general = row_for(material)
    if general is None:
        text = f"The table of first use has no row for {material!r}."
        return DatingFinding(DatingGrade.SILENT, text)
    special = form_row(general, form) if form else None
    row = special or general
    by_years = _by_years(row, window[1])
    found, grade = None, by_years
    if by_years in _AT_ODDS:
        found, grade = _by_counter_example(row, window[1], region, by_years)
        if found is None:
            grade = _by_region(row, region, by_years)
    parts = [f"{row.name[:1].upper()}{row.name[1:]}: {row.years}."]
    if form and special is None:
        parts.append(f"The table has no years for the form {form!r}.")
    parts += _years_text(row, by_years, window, grade)
    parts += _region_text(row, region)
    parts += [row.note] if row.note else []
    told = [found] if found else [*row.counter_examples, *general.counter_examples]
    parts += [
        f"Against the years: {one.what} ({one.region}; {one.source})."
        for one in dict.fromkeys(told)
    ]
    parts.append(f"Rests on one row of the table ({row.source}; {row.verified}).")
    return DatingFinding(grade, " ".join(parts), row, found)


_AT_ODDS = (DatingGrade.CONFLICT, DatingGrade.STRONG_WARNING)
_Window = tuple[Month | None, Month | None]


def _window(earliest: int | date | None, latest: int | date | None) -> _Window:
    low = (earliest.year, earliest.month) if isinstance(earliest, date) else earliest
    high = (latest.year, latest.month) if isinstance(latest, date) else latest
    window = (
        (low, 1) if isinstance(low, int) else low,
        (high, 12) if isinstance(high, int) else high,
    )
    if window[0] and window[1] and window[1] < window[0]:
        raise BadValue(f"claimed years {earliest} to {latest} end before they begin")
    return window


def _by_years(row: FirstUse, latest: Month | None) -> DatingGrade:
    if row.first is None and row.ended is None:
        return DatingGrade.SILENT
    if row.first is None or row.general is None or latest is None or latest >= row.general:
        return DatingGrade.NO_CONFLICT
    if latest >= (row.available or row.first):
        return DatingGrade.EARLY
    if latest >= row.first:
        return DatingGrade(row.before_sale)
    return DatingGrade(row.before)


def _by_counter_example(
    row: FirstUse, latest: Month | None, region: str, grade: DatingGrade
) -> tuple[CounterExample | None, DatingGrade]:
    """Return the counter-example that bears on the claim, and the grade it leaves.

    One from the same region gives its own grade within its years, and makes a later
    claim disputed; where the region is not known, it makes the claim disputed.
    """
    for example in row.counter_examples:
        where = _where((example.region,), region)
        too_early = latest is None or example.low is None or latest[0] < example.low
        if not example.grade or too_early or where == "outside":
            continue
        within = latest is None or latest[0] <= (example.high or latest[0])
        if where == "inside" and within:
            return example, DatingGrade(example.grade)
        return example, DatingGrade.DISPUTED
    return None, grade


def _by_region(row: FirstUse, region: str, grade: DatingGrade) -> DatingGrade:
    if row.elsewhere == "later":
        return grade
    where = _where(row.region, region)
    if where == "outside":
        return DatingGrade.SILENT
    return grade if where == "inside" else DatingGrade.STRONG_WARNING


def _where(regions: tuple[str, ...], region: str) -> str:
    """Say whether *region* is "inside" one of *regions*, "outside" all, or "unknown"."""
    around = regions_around(region)
    names = [regions_around(name) for name in regions]
    if any(name[0] in around for name in names):
        return "inside"
    if not around or any(around[0] in name for name in names):
        return "unknown"
    return "outside"


_READINGS = {
    DatingGrade.NO_CONFLICT: "the exception below covers it",
    DatingGrade.SILENT: "but in the region claimed it may be older",
}


def _years_text(
    row: FirstUse, by_years: DatingGrade, window: _Window, grade: DatingGrade
) -> list[str]:
    claimed = f"Claimed: {_window_text(window)}"
    if by_years in _AT_ODDS:
        before_sale = row.available and window[1] and row.first and window[1] >= row.first
        limit = row.available if before_sale else row.not_before
        reading = _READINGS.get(
            grade, "a later addition, a material wrongly named, or an exception"
        )
        return [f"{claimed}, all of it before {_month_text(limit)}: {reading}."]
    parts: list[str] = []
    if row.first is not None:
        parts.append(f"{claimed}; the material not before {_month_text(row.not_before)}.")
    if by_years is DatingGrade.EARLY and row.general != row.first:
        parts.append(f"Early: in general use only from {_month_text(row.general)}.")
    if row.ended is not None and window[0] and window[0][0] > row.ended:
        parts.append(
            f"{claimed}; out of use by {row.ended}, a weak reason against a later date, "
            "since old stock goes on being used."
        )
    return parts


def _region_text(row: FirstUse, region: str) -> list[str]:
    if row.first is None or _where(row.region, region) == "inside":
        return []
    claimed = f"the claim names {region}" if region else "the claim names no region"
    return [f"The years are those of {' and '.join(row.region)}; {claimed}."]


def _window_text(window: _Window) -> str:
    low, high = window
    if low and high and low[0] == high[0]:
        if (low[1], high[1]) == (1, 12):
            return str(low[0])
        return f"{low[0]}-{low[1]:02d} to {high[0]}-{high[1]:02d}"
    return f"{low[0] if low else 'open'} to {high[0] if high else 'open'}"


def _month_text(month: Month | None) -> str:
    if month is None:
        return "any year recorded"
    return str(month[0]) if month[1] == 1 else f"{month[0]}-{month[1]:02d}"
