"""What goes into a custody drawing: plain words, years and keys, nothing computed."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

__all__ = [
    "SIGHTINGS",
    "CustodyData",
    "CustodyGap",
    "CustodyPlace",
    "CustodySighting",
    "CustodyStay",
    "checked",
]

#: Kind of sighting -> what its tick says.
SIGHTINGS: Final[dict[str, str]] = {
    "confirmed": "seen",
    "inferred": "sighting inferred",
    "not seen": "looked for, not seen",
}


@dataclass(frozen=True, slots=True)
class CustodyPlace:
    """A place, container or keeper; one line of the drawing."""

    key: str
    label: str


@dataclass(frozen=True, slots=True)
class CustodyStay:
    """A time during which the thing was in one place.

    Years are decimal. A beginning or end known to the day has both years alike.

    Attributes:
        key: the record's key.
        place: key of the place.
        words: dates and reason in words.
        begins: earliest and latest year of the beginning; None where not recorded.
        ends: earliest and latest year of the end; None where not recorded.
        still: whether it is there as known today.
        inferred: whether no record says so directly.
    """

    key: str
    place: str
    words: str
    begins: tuple[float, float] | None = None
    ends: tuple[float, float] | None = None
    still: bool = False
    inferred: bool = False


@dataclass(frozen=True, slots=True)
class CustodyGap:
    """A time of which it is not recorded where the thing was.

    Attributes:
        start: first year, decimal.
        end: last year, decimal.
        words: the dates and the length in words, e.g. "1966 to 1978, 12 years".
    """

    start: float
    end: float
    words: str


@dataclass(frozen=True, slots=True)
class CustodySighting:
    """Somebody looked.

    Attributes:
        key: the record's key.
        place: key of the place where it was looked for.
        year: decimal.
        words: date and occasion in words.
        kind: one of ``SIGHTINGS``.
        named: whether its words are drawn; they are in the table in any case.
    """

    key: str
    place: str
    year: float
    words: str
    kind: str = "confirmed"
    named: bool = False


@dataclass(frozen=True, slots=True)
class CustodyData:
    """Everything in one drawing of custody.

    Attributes:
        title: heading of the drawing.
        places: from above, in the order in which they are to stand.
        stays: in the order of time.
        gaps: in the order of time.
        sightings: in the order of time.
        until: the year up to which the record is read; None for the last year given.
    """

    title: str
    places: tuple[CustodyPlace, ...]
    stays: tuple[CustodyStay, ...] = ()
    gaps: tuple[CustodyGap, ...] = ()
    sightings: tuple[CustodySighting, ...] = ()
    until: float | None = None


def checked(data: CustodyData) -> CustodyData:
    """*data* itself, if it can be drawn.

    Raises:
        ValueError: if a place is not given, a sighting is of no known kind, a time ends
            before it begins, or a stay has no year at all.
    """
    places = {p.key for p in data.places}
    placed = [(s.key, s.place) for s in data.stays]
    placed += [(s.key, s.place) for s in data.sightings]
    for key, place in placed:
        if place not in places:
            raise ValueError(f"{key}: the place {place!r} is not given")
    for sighting in data.sightings:
        if sighting.kind not in SIGHTINGS:
            known = ", ".join(SIGHTINGS)
            raise ValueError(f"{sighting.key}: {sighting.kind!r} is none of {known}")
    for gap in data.gaps:
        if gap.end < gap.start:
            raise ValueError(f"the gap {gap.words} ends before it begins")
    for stay in data.stays:
        _check_times(stay)
    return data


def _check_times(stay: CustodyStay) -> None:
    years = [*(stay.begins or ()), *(stay.ends or ())]
    if not years:
        raise ValueError(f"{stay.key}: a stay without any year cannot be drawn")
    spans = [s for s in (stay.begins, stay.ends, (years[0], years[-1])) if s]
    if any(first > last for first, last in spans):
        raise ValueError(f"{stay.key}: the stay ends before it begins")
    if stay.still and stay.ends:
        raise ValueError(f"{stay.key}: a stay that goes on has no end")
