"""Who held a thing when: title, holder and place as spells, kept apart, with what lacks.

A spell of place ends where the next begins. Between two records nobody knows where a thing
was all the time; what is told as a gap is only what the record itself says it does not
know: a look that did not find it, a move to nowhere recorded, a begin without a date.
"""

from dataclasses import dataclass
from itertools import pairwise

from ..record import (
    Edtf,
    Happening,
    HappeningSort,
    KeptPart,
    Move,
    MuseumObject,
    Sample,
    Seen,
)
from ..state import State
from .sample import object_of
from .whereabouts import Spell, looks_for, spells


@dataclass(frozen=True, slots=True)
class Held:
    """One spell of title or of holding.

    Attributes:
        what: "title" or "holder".
        who: role or body; None where not recorded.
        how: what happened, in words.
        when: since when; None where not recorded.
        says: key of the record that says so.
    """

    what: str
    who: str | None
    how: str
    when: Edtf | None
    says: str


@dataclass(frozen=True, slots=True)
class Stay:
    """One spell in a place.

    Attributes:
        spell: the stay, with the record that says so.
        until: when the next began; None where it is the last, or the next is undated.
        last: True for the last one recorded.
    """

    spell: Spell
    until: Edtf | None
    last: bool


@dataclass(frozen=True, slots=True)
class Lack:
    """A gap or overlap in the record of where a thing was.

    Attributes:
        sort: "gap" or "overlap".
        text: what is not known, or does not agree, in words.
        says: keys of the records that show it.
        begins: when it began; None where not recorded.
        ends: when it ended; None where it has not, or that is not recorded.
    """

    sort: str
    text: str
    says: tuple[str, ...]
    begins: Edtf | None = None
    ends: Edtf | None = None


def titles(state: State, thing: str) -> tuple[Held, ...]:
    """Title and holding of the object that a thing comes from, undated ones first."""
    home = object_of(state, thing)
    if home is None or home not in state:
        return ()
    record = state.record(home, MuseumObject)
    found = [
        Held("title", record.owner, "recorded of the object", None, home),
        Held("holder", record.held_by, "recorded of the object", None, home),
    ]
    for key, one in state.about(home, Happening, "happened to"):
        if one.sort is HappeningSort.ACQUISITION:
            found.append(Held("title", None, f"changed: {one.name}", one.when, key))
        if one.sort is HappeningSort.LOAN:
            found.append(Held("holder", one.by, f"loan: {one.name}", one.when, key))
    return tuple(sorted(found, key=lambda one: (one.what != "title", _day(one.when))))


def stays(state: State, thing: str) -> tuple[Stay, ...]:
    """Every stay in a place, each with when the next began."""
    found = spells(state, thing)
    after = [spell.since for spell in found[1:]]
    return tuple(
        Stay(spell, until, False) for spell, until in zip(found[:-1], after, strict=True)
    ) + tuple(Stay(spell, None, True) for spell in found[-1:])


def lacks(state: State, thing: str) -> tuple[Lack, ...]:
    """Gaps and overlaps in the places of a thing, by date."""
    found = spells(state, thing)
    gaps = [*_begin(state, thing, found), *_not_seen(state, thing, found)]
    gaps += _to_nowhere(state, thing, found)
    every = [*gaps, *_doubles(state, found), *_from_elsewhere(state, thing, found)]
    return tuple(sorted(every, key=lambda one: (_day(one.begins), one.text)))


def _begin(state: State, thing: str, found: tuple[Spell, ...]) -> list[Lack]:
    record = state.held(thing).record
    off: Edtf | None = None
    if isinstance(record, KeptPart):
        off = record.removed_when
    elif isinstance(record, Sample):
        off = record.taken_when
    if not found:
        return [Lack("gap", "no place was ever recorded", (thing,), off)]
    first = found[0]
    if first.since is None:
        text = f"since when it was in {state.number(first.holder)} is not recorded"
        return [Lack("gap", text, (first.says,))]
    if off and off.latest is not None and _day(first.since) > off.latest:
        text = f"between being taken off ({off}) and its first place ({first.since})"
        return [Lack("gap", text, (thing, first.says), off, first.since)]
    return []


def _not_seen(state: State, thing: str, found: tuple[Spell, ...]) -> list[Lack]:
    lost = []
    for look in looks_for(state, thing):
        if look.seen is not Seen.NOT_SEEN:
            continue
        later = [one.since for one in found if _day(one.since) > _day(look.when)]
        ends = later[0] if later else None
        until = f" until {ends}" if ends else ""
        text = f"looked for on {look.when} and not seen{until}"
        lost.append(Lack("gap", text, (look.says,), look.when, ends))
    return lost


def _to_nowhere(state: State, thing: str, found: tuple[Spell, ...]) -> list[Lack]:
    lost = []
    for key, move in state.about(thing, Move, "moves"):
        if move.to is not None:
            continue
        later = [one.since for one in found if _day(one.since) > _day(move.when)]
        text = f"moved on {move.when}; where to is not recorded"
        lost.append(Lack("gap", text, (key,), move.when, later[0] if later else None))
    return lost


def _doubles(state: State, found: tuple[Spell, ...]) -> list[Lack]:
    """Two places of which the dates do not say which came first."""
    return [
        Lack(
            "overlap",
            f"{state.number(one.holder)} and {state.number(two.holder)}, both from "
            f"{two.since}: which came first is not recorded",
            (one.says, two.says),
            two.since,
        )
        for one, two in pairwise(found)
        if one.day is not None and one.day == two.day and one.holder != two.holder
    ]


def _from_elsewhere(state: State, thing: str, found: tuple[Spell, ...]) -> list[Lack]:
    """Moves out of a place where the record does not have the thing."""
    wrong = []
    for key, move in state.about(thing, Move, "moves"):
        before = [
            one for one in found if one.says != key and _day(one.since) <= _day(move.when)
        ]
        if move.origin and before and before[-1].holder != move.origin:
            text = (
                f"moved out of {state.number(move.origin)} on {move.when}, while the "
                f"record has it in {state.number(before[-1].holder)}"
            )
            wrong.append(Lack("overlap", text, (before[-1].says, key), move.when))
    return wrong


def _day(when: Edtf | None) -> int:
    """Undated stands first."""
    return -(10**9) if when is None or when.earliest is None else when.earliest
