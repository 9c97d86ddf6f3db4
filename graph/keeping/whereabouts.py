"""Where a thing is: what it lies in, who last saw it, and how surely that is known.

One record of place per thing: it lies where it was last put or last seen, and whatever
holds it carries it along. A list printed from records is no sighting.
"""

from dataclasses import dataclass, replace
from enum import StrEnum
from typing import TypeAlias

from ..record import (
    INSIDE,
    Became,
    Edtf,
    Fate,
    Move,
    Record,
    Seen,
    Sighting,
)
from ..state import State
from .stage import gone

MOST_NESTED = 32
_Known: TypeAlias = "dict[tuple[str, int | None], tuple[Spell, ...]]"


class Certainty(StrEnum):
    """How a place is known."""

    CONFIRMED = "confirmed"  # somebody saw this very thing there
    INFERRED = "inferred"  # its container was seen or moved, not the thing itself
    NOT_SEEN = "not seen there"  # somebody looked there and did not see it
    NOT_RECORDED = "not recorded"


@dataclass(frozen=True, slots=True)
class Spell:
    """One stay of a thing in a holder.

    Attributes:
        holder: key of the container or place.
        since: when it was put there; None where not recorded.
        day: first day it can have been there, days since 1970-01-01; None as above.
        by: role that put it there; None where not recorded.
        says: key of the record that says so.
        how: "put" (when it came off or was first boxed), "moved" or "seen".
    """

    holder: str
    since: Edtf | None
    day: int | None
    by: str | None
    says: str
    how: str


@dataclass(frozen=True, slots=True)
class Look:
    """A moment at which somebody saw, or looked for, a thing or what holds it.

    Attributes:
        of: key of what was looked for: the thing itself or a holder of it.
        seen: what came of it.
        where: key of the holder looked in; None where not recorded.
        when: date of the look.
        by: role that looked; None where not recorded.
        says: key of the record that says so.
        direct: True where the thing itself was looked for.
    """

    of: str
    seen: Seen
    where: str | None
    when: Edtf
    by: str | None
    says: str
    direct: bool


@dataclass(frozen=True, slots=True)
class Whereabouts:
    """Answer to "where is it": the holders from the nearest outwards.

    Attributes:
        thing: key of what was asked for.
        holders: spells, the nearest holder first, a building last; empty: not recorded.
        certainty: how the nearest place is known.
        last_seen: last time that it, or failing that its holder, was seen.
        not_seen: the look that did not find it, where that is the latest news of it.
        listed: looks that only copied a list, which nobody may take for sightings.
        gone: why it cannot be anywhere (consumed, discarded), where so.
        doubles: spells that claim another place at the same time.
    """

    thing: str
    holders: tuple[Spell, ...]
    certainty: Certainty
    last_seen: Look | None
    not_seen: Look | None
    listed: tuple[Look, ...]
    gone: str | None
    doubles: tuple[Spell, ...]

    @property
    def missing(self) -> bool:
        """Whether it ought to be somewhere and nobody can say where."""
        return self.gone is None and (not self.holders or self.not_seen is not None)


def whereabouts(state: State, thing: str, on: int | None = None) -> Whereabouts:
    """Say where a thing is.

    Args:
        state: must hold the thing, its holders, and the moves and looks that name them.
        thing: key of a part, sample, fragment, container, object or element.
        on: day asked about, days since 1970-01-01; None for the latest known.
    """
    stays = spells(state, thing, on)
    here = stays[-1] if stays and not left_since(state, stays[-1], thing, on) else None
    doubles = tuple(
        one
        for one in stays[:-1]
        if here
        and one.day is not None
        and one.day == here.day
        and one.holder != here.holder
        and not _taken_from(state, here, one)
    )
    looks = looks_for(state, thing, on)
    holders = _outwards(state, here, on, {})
    missed = _not_seen_since(state, looks, stays)
    seen = _last_seen(looks, stays, () if missed else holders)
    return Whereabouts(
        thing,
        holders,
        _certainty(here, seen, missed),
        seen,
        missed,
        tuple(look for look in looks if look.seen is Seen.LISTED),
        gone(state, thing, on),
        doubles,
    )


def spells(state: State, thing: str, on: int | None = None) -> tuple[Spell, ...]:
    """Every stay of a thing up to a day, the undated first, then by date and entry.

    A look that found it in a room while the record says which shelf of that room confirms
    the shelf; it does not make the place less exact.
    """
    return _stays(state, thing, on, {})


def _stays(state: State, thing: str, on: int | None, known: _Known) -> tuple[Spell, ...]:
    if (thing, on) in known:
        return known[thing, on]
    known[thing, on] = ()  # what lies in itself by mistake ends here
    found = [
        (_sort_day(spell.day), state.held(spell.says).seq, spell)
        for spell in _all_spells(state, thing)
        if on is None or spell.day is None or spell.day <= on
    ]
    stays: list[Spell] = []
    for _, _, spell in sorted(found, key=lambda item: item[:2]):
        before = stays[-1] if stays else None
        confirms = (
            before is not None
            and _confirms(state, spell, before, known)
            and not left_since(state, before, thing, spell.day)
        )
        stays.append(replace(spell, holder=before.holder) if before and confirms else spell)
    known[thing, on] = tuple(stays)
    return known[thing, on]


def looks_for(state: State, thing: str, on: int | None = None) -> tuple[Look, ...]:
    """Every look for a thing up to a day, the earliest first."""
    found = [
        Look(thing, look.seen, look.where, look.when, look.by, key, True)
        for key, look in state.about(thing, Sighting, "looks for")
        if on is None or _sort_day(look.when.earliest) <= on
    ]
    return tuple(
        sorted(
            found,
            key=lambda look: (_sort_day(look.when.earliest), state.held(look.says).seq),
        )
    )


def _all_spells(state: State, thing: str) -> list[Spell]:
    stays = []
    for link, says in state.said(thing, INSIDE):
        record = state.held(says).record
        if isinstance(record, Move):
            stays.append(
                Spell(link.dst, record.when, link.earliest, record.by, says, "moved")
            )
        else:
            since, by = _first_put(record)
            stays.append(Spell(link.dst, since, link.earliest, by, says, "put"))
    for key, look in state.about(thing, Sighting, "looks for"):
        if look.where and look.seen in (Seen.SEEN, Seen.ELSEWHERE):
            day = look.when.earliest
            stays.append(Spell(look.where, look.when, day, look.by, key, "seen"))
    return stays


def _first_put(record: Record) -> tuple[Edtf | None, str | None]:
    """When and by whom a thing was first put where its own record says."""
    since = next(
        (
            getattr(record, name)
            for name in ("removed_when", "taken_when", "found_when", "since")
            if getattr(record, name, None) is not None
        ),
        None,
    )
    by = next(
        (
            getattr(record, name)
            for name in ("removed_by", "taken_by", "found_by")
            if getattr(record, name, None)
        ),
        None,
    )
    return since, by


def left_since(state: State, last: Spell, thing: str, on: int | None) -> bool:
    """Whether a thing went back onto its object after its last stay: it left that place."""
    left = [
        _moment(state, one.when.earliest, key)
        for key, one in state.about(thing, Fate, "befell")
        if one.became is Became.PUT_BACK
        and (on is None or _sort_day(one.when.earliest) <= on)
    ]
    return bool(left) and max(left) > _moment(state, last.day, last.says)


def _taken_from(state: State, here: Spell, before: Spell) -> bool:
    """Whether the later of two moves of one day says that it took the thing from there."""
    record = state.held(here.says).record
    return isinstance(record, Move) and record.origin == before.holder


def _confirms(state: State, look: Spell, before: Spell, known: _Known) -> bool:
    """Whether a look names something around the place that is known already."""
    if look.how != "seen" or look.holder == before.holder:
        return False
    around = _outwards(state, before, look.day, known)
    return any(outer.holder == look.holder for outer in around)


def _outwards(
    state: State, here: Spell | None, on: int | None, known: _Known
) -> tuple[Spell, ...]:
    """The holder, its holder and so on, each where it is on the day asked about."""
    chain: list[Spell] = []
    met: set[str] = set()
    while here is not None and here.holder not in met and len(chain) < MOST_NESTED:
        chain.append(here)
        met.add(here.holder)
        further = _stays(state, here.holder, on, known) if here.holder in state else ()
        here = further[-1] if further else None
    return tuple(chain)


def _last_seen(
    looks: tuple[Look, ...], stays: tuple[Spell, ...], holders: tuple[Spell, ...]
) -> Look | None:
    direct = [look for look in looks if look.seen in (Seen.SEEN, Seen.ELSEWHERE)]
    handled = [_as_look(spell) for spell in stays if spell.how != "seen"]
    own = direct + [one for one in handled if one]
    inferred = _seen_with_holder(holders)
    return max(
        own + inferred,
        key=lambda look: (_sort_day(look.when.earliest), look.direct),
        default=None,
    )


def _as_look(spell: Spell) -> Look | None:
    """Whoever put or moved the thing itself saw it, if the day is recorded."""
    if spell.since is None:
        return None
    return Look("", Seen.SEEN, spell.holder, spell.since, spell.by, spell.says, True)


def _seen_with_holder(holders: tuple[Spell, ...]) -> list[Look]:
    """Looks at, and moves of, what holds the thing since it was put in there."""
    found = []
    since = _sort_day(holders[0].day) if holders else 0
    for outer in holders[1:]:
        if outer.since is not None and _sort_day(outer.day) >= since:
            found.append(
                Look(
                    outer.holder,
                    Seen.SEEN,
                    outer.holder,
                    outer.since,
                    outer.by,
                    outer.says,
                    False,
                )
            )
        since = max(since, _sort_day(outer.day))
    return found


def _not_seen_since(
    state: State, looks: tuple[Look, ...], stays: tuple[Spell, ...]
) -> Look | None:
    """The latest look that did not find the thing, unless it was put or seen later."""
    missed = [look for look in looks if look.seen is Seen.NOT_SEEN]
    if not missed:
        return None
    last = missed[-1]
    known = [_moment(state, one.day, one.says) for one in stays]
    known += [
        _moment(state, look.when.earliest, look.says)
        for look in looks
        if look.seen in (Seen.SEEN, Seen.ELSEWHERE)
    ]
    latest = max(known, default=None)
    missed_at = _moment(state, last.when.earliest, last.says)
    return last if latest is None or missed_at >= latest else None


def _moment(state: State, day: int | None, says: str) -> tuple[int, int]:
    """For sorting: the day, and within a day the order in which things were recorded."""
    return _sort_day(day), state.held(says).seq


def _certainty(here: Spell | None, seen: Look | None, missed: Look | None) -> Certainty:
    if here is None:
        return Certainty.NOT_RECORDED
    if missed is not None:
        return Certainty.NOT_SEEN
    if seen is not None and seen.direct:
        return Certainty.CONFIRMED
    return Certainty.INFERRED


def _sort_day(day: int | None) -> int:
    """Undated stands before everything dated."""
    return -(10**9) if day is None else day
