"""A list and a round under one number: what was listed, looked for and found.

A manifest and an audit are the same thing here: things are *listed from records* under a
number, and later somebody looks for them under the same number. Listing is no looking.
What came of the round is reckoned against where each thing was thought to be before it;
nothing in the record is overwritten.
"""

from dataclasses import dataclass
from enum import StrEnum

from ..record import Container, Edtf, Fragment, KeptPart, Move, Sample, Seen, Sighting
from ..state import State
from .turn import first_day
from .whereabouts import Look, Spell, Whereabouts, spells, whereabouts

ROUND_KINDS = (Container, Fragment, KeptPart, Sample)


class Outcome(StrEnum):
    """What a round found of one thing."""

    CONFIRMED = "confirmed"
    ABSENT = "absent"
    ELSEWHERE = "found elsewhere"
    AGAIN = "found again"  # it had been looked for before and not seen
    UNEXPECTED = "unexpected"
    UNIDENTIFIED = "cannot be identified"
    NOT_LOOKED_FOR = "not looked for"


@dataclass(frozen=True, slots=True)
class Finding:
    """One thing of a round.

    Attributes:
        thing: key of the thing.
        outcome: what the round found.
        look: key of the look of this round; None where nobody looked.
        when: date of that look, or of the listing where nobody looked.
        by: role that looked, or listed.
        found_in: key of the place it was looked for or found in; None where not recorded.
        thought: where the record had it before, the nearest holder first.
        seen_before: the last time that it was seen before this look.
        not_seen_before: the look that had not found it, where that was the latest news.
        listed: date on which it was listed under this number; None where it was not.
        settled: key of a later look or move that found it after all; None for none.
    """

    thing: str
    outcome: Outcome
    look: str | None
    when: Edtf | None
    by: str | None
    found_in: str | None
    thought: tuple[Spell, ...]
    seen_before: Look | None
    not_seen_before: Look | None
    listed: Edtf | None
    settled: str | None


@dataclass(frozen=True, slots=True)
class Round:
    """Everything under one number.

    Attributes:
        number: number of the list or round.
        listed: whether a list was recorded; where not, what was not looked for is
            reckoned from the places in which somebody looked.
        findings: one for each thing, in the order of their numbers.
    """

    number: str
    listed: bool
    findings: tuple[Finding, ...]


def round_of(state: State, number: str) -> Round:
    """Reckon what came of a list or round; empty where the number is nowhere recorded."""
    looks = _under(state, number)
    listed = {look.what: look for _, look in looks if look.seen is Seen.LISTED}
    last: dict[str, tuple[str, Sighting]] = {}
    for key, look in looks:
        if look.seen is not Seen.LISTED:
            last[look.what] = (key, look)
    own = {key for key, _ in looks}
    eve = State([state.held(key) for key in state if key not in own], state.known)
    findings = [
        _finding(
            state, eve, key, listed.get(state.record(key, Sighting).what), bool(listed)
        )
        for key, _ in last.values()
    ]
    unseen = set(listed) - set(last) if listed else _around(state, looks) - set(last)
    findings += [_not_looked_for(state, one, listed.get(one)) for one in unseen]
    return Round(
        number,
        bool(listed),
        tuple(sorted(findings, key=lambda one: state.number(one.thing))),
    )


def rounds(state: State) -> tuple[str, ...]:
    """Numbers of all lists and rounds, in order."""
    found = {one.audit for _, one in state.all_of(Sighting) if one.audit}
    return tuple(
        sorted(found | {one.manifest for _, one in state.all_of(Move) if one.manifest})
    )


def _under(state: State, number: str) -> list[tuple[str, Sighting]]:
    """Looks of a round by date; within a day in the order of recording."""
    found = [
        (first_day(one.when), state.held(key).seq, key, one)
        for key, one in state.all_of(Sighting)
        if one.audit == number and one.what in state
    ]
    return [(key, one) for _, _, key, one in sorted(found, key=lambda item: item[:2])]


def _finding(
    state: State, eve: State, key: str, listed: Sighting | None, any_listed: bool
) -> Finding:
    """What a look found, against the record without the looks of its round."""
    look = state.record(key, Sighting)
    before = whereabouts(eve, look.what, look.when.latest)
    outcome = _outcome(eve, look, before, listed is not None or not any_listed)
    return Finding(
        look.what,
        outcome,
        key,
        look.when,
        look.by,
        look.where,
        before.holders,
        before.last_seen,
        before.not_seen,
        listed.when if listed else None,
        _settled(eve, look) if outcome is Outcome.ABSENT else None,
    )


def _outcome(state: State, look: Sighting, before: Whereabouts, expected: bool) -> Outcome:
    if look.seen is Seen.NOT_SEEN:
        return Outcome.ABSENT
    if look.seen is Seen.UNIDENTIFIED:
        return Outcome.UNIDENTIFIED
    if before.not_seen is not None:
        return Outcome.AGAIN
    if not before.holders or not expected:
        return Outcome.UNEXPECTED
    return Outcome.CONFIRMED if _agrees(state, look, before) else Outcome.ELSEWHERE


def _agrees(state: State, look: Sighting, before: Whereabouts) -> bool:
    """Whether a look names the place on record, one around it, or one within it."""
    if look.where is None:
        return look.seen is Seen.SEEN
    if look.where in [spell.holder for spell in before.holders]:
        return True
    if look.where not in state:
        return False
    outer = whereabouts(state, look.where, look.when.latest).holders
    return before.holders[0].holder in [spell.holder for spell in outer]


def _settled(eve: State, look: Sighting) -> str | None:
    """A later record, not of this round, that has the thing in hand again."""
    for spell in spells(eve, look.what):
        if spell.how != "put" and first_day(look.when) < first_day(spell.since):
            return spell.says
    return None


def _not_looked_for(state: State, thing: str, listed: Sighting | None) -> Finding:
    where = whereabouts(state, thing)
    return Finding(
        thing,
        Outcome.NOT_LOOKED_FOR,
        None,
        listed.when if listed else None,
        listed.by if listed else None,
        None,
        where.holders,
        where.last_seen,
        where.not_seen,
        listed.when if listed else None,
        _since_listed(state, thing, listed, where) if listed else None,
    )


def _since_listed(
    state: State, thing: str, listed: Sighting, where: Whereabouts
) -> str | None:
    """A look or move of the thing itself since it was listed."""
    seen = where.last_seen
    later = seen and seen.direct and first_day(seen.when) > first_day(listed.when)
    return seen.says if seen and later else None


def _around(state: State, looks: list[tuple[str, Sighting]]) -> set[str]:
    """What the record had, on the day of the round, in the places looked in."""
    if not looks:
        return set()
    places = {look.where for _, look in looks if look.where}
    day = max((look.when.latest or first_day(look.when) for _, look in looks))
    found = set()
    for kind in ROUND_KINDS:
        for key, _ in state.all_of(kind):
            where = whereabouts(state, key, day)
            if where.gone is None and places & {one.holder for one in where.holders}:
                found.add(key)
    return found
