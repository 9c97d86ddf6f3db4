"""The turns in the life of a thing, in the order of their dates.

A turn is read from the record that says it: the removal or taking, a move, a look that
did or did not see the thing, or what it became. A list printed from records is no turn.
"""

from dataclasses import dataclass
from enum import StrEnum

from ..record import (
    Became,
    Edtf,
    Fate,
    Fragment,
    KeptPart,
    Move,
    Record,
    Sample,
    Seen,
    Sighting,
    compare,
)
from ..state import State

LONG_AGO = -(10**9)


class Sort(StrEnum):
    """What sort of turn it is."""

    BEGINS = "begins"  # it came off, was taken or was found
    MOVED = "moved"
    SEEN = "seen"
    NOT_SEEN = "not seen"
    BECAME = "became"


@dataclass(frozen=True, slots=True)
class Turn:
    """One turn.

    Attributes:
        sort: what sort it is.
        when: its date; None where not recorded.
        by: role that did or saw it; None where not recorded.
        where: key of the place or container it speaks of; None where none is named.
        says: key of the record that says it.
        became: what the thing became, where the record says so outright.
    """

    sort: Sort
    when: Edtf | None
    by: str | None
    where: str | None
    says: str
    became: Became | None = None


def turns_of(state: State, thing: str, on: int | None = None) -> tuple[Turn, ...]:
    """Every turn of a thing up to a day: undated first, then by date, then as recorded."""
    found = [*_begin(state, thing), *_moves(state, thing), *_looks(state, thing)]
    found += [
        Turn(Sort.BECAME, one.when, one.by, None, key, one.became)
        for key, one in state.about(thing, Fate, "befell")
    ]
    return tuple(
        sorted(
            (one for one in found if on is None or first_day(one.when) <= on),
            key=lambda one: (first_day(one.when), state.held(one.says).seq),
        )
    )


def begin_of(record: Record) -> Edtf | None:
    """When a thing's own life began: it came off, was taken or was found; else None."""
    if isinstance(record, KeptPart):
        return record.removed_when
    if isinstance(record, Sample):
        return record.taken_when
    return record.found_when if isinstance(record, Fragment) else None


def surely_before(one: Edtf | None, other: Edtf | None) -> bool:
    """Whether a date lies before another beyond doubt; False where one is not recorded."""
    return one is not None and other is not None and compare(one, other) == "before"


def first_day(when: Edtf | None) -> int:
    """First day of a date for sorting; the undated stands before everything dated."""
    if when is None or when.earliest is None:
        return LONG_AGO
    return when.earliest


def _begin(state: State, thing: str) -> list[Turn]:
    record = state.held(thing).record
    if not isinstance(record, (KeptPart, Sample, Fragment)):
        return []
    by = next(
        (
            getattr(record, name)
            for name in ("removed_by", "taken_by", "found_by")
            if getattr(record, name, None)
        ),
        None,
    )
    return [Turn(Sort.BEGINS, begin_of(record), by, record.container, thing)]


def _moves(state: State, thing: str) -> list[Turn]:
    return [
        Turn(Sort.MOVED, one.when, one.by, one.to, key)
        for key, one in state.about(thing, Move, "moves")
    ]


def _looks(state: State, thing: str) -> list[Turn]:
    sorts = {
        Seen.SEEN: Sort.SEEN,
        Seen.ELSEWHERE: Sort.SEEN,
        Seen.NOT_SEEN: Sort.NOT_SEEN,
    }
    return [
        Turn(sorts[one.seen], one.when, one.by, one.where, key)
        for key, one in state.about(thing, Sighting, "looks for")
        if one.seen in sorts
    ]
