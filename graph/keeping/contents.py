"""What lies in a container or place, to any depth, and what lies nowhere known."""

from dataclasses import dataclass

from ..record import (
    INSIDE,
    Container,
    Element,
    Fragment,
    KeptPart,
    Record,
    Sample,
    Sighting,
    Status,
)
from ..state import State
from .stage import gone
from .whereabouts import Whereabouts, whereabouts

KEPT_THINGS: tuple[type[Record], ...] = (KeptPart, Sample, Fragment, Container)
"""Kinds of things that ought to be somewhere."""


@dataclass(frozen=True, slots=True)
class Lying:
    """One thing and where it lies.

    Attributes:
        thing: key of the thing.
        depth: 1 for what lies directly in the container asked about.
        whereabouts: its own answer to "where is it".
    """

    thing: str
    depth: int
    whereabouts: Whereabouts


@dataclass(frozen=True, slots=True)
class Lacking:
    """Something that ought to be somewhere and is not known to be.

    Attributes:
        thing: key of the part, sample, container or element.
        reason: what is lacking, in words.
        whereabouts: last known stay; None where there never was a record of one.
    """

    thing: str
    reason: str
    whereabouts: Whereabouts | None


def contents(state: State, holder: str, on: int | None = None) -> tuple[Lying, ...]:
    """Everything that lies in a holder on a day, directly or inside what lies there."""
    found = []
    for key in _ever_within(state, holder):
        if not isinstance(state.held(key).record, (*KEPT_THINGS, Element)):
            continue
        if key == holder or gone(state, key, on) is not None:
            continue
        where = whereabouts(state, key, on)
        chain = [spell.holder for spell in where.holders]
        if holder in chain:
            found.append(Lying(key, chain.index(holder) + 1, where))
    return tuple(sorted(found, key=lambda one: _in_order(state, one)))


def _ever_within(state: State, holder: str) -> list[str]:
    """What was ever put into or seen in a holder, or in what was, at any depth."""
    found: set[str] = set()
    todo = [holder]
    while todo:
        step = todo.pop()
        near = {link.src for link, _ in state.pointing(step, INSIDE)}
        near |= {one.what for _, one in state.about(step, Sighting, "looked in")}
        fresh = {one for one in near if one in state} - found
        found |= fresh
        todo += fresh
    return sorted(found)


def missing(state: State, on: int | None = None) -> tuple[Lacking, ...]:
    """Everything that ought to be somewhere and is not known to be."""
    found = []
    for key, record in _things(state):
        if isinstance(record, KEPT_THINGS):
            where = whereabouts(state, key, on)
            if where.missing:
                found.append(Lacking(key, _reason(where), where))
    found += _undocumented(state)
    return tuple(sorted(found, key=lambda one: state.number(one.thing)))


def _things(state: State) -> list[tuple[str, Record]]:
    return [
        (key, state.held(key).record)
        for key in state
        if isinstance(state.held(key).record, (*KEPT_THINGS, Element))
    ]


def _undocumented(state: State) -> list[Lacking]:
    """Elements that are off the object without any kept part to show for it."""
    found = []
    for key, element in state.all_of(Element):
        if element.status not in (Status.UNDOCUMENTED, Status.UNKNOWN_PLACE, Status.KEPT):
            continue
        if not state.about(key, KeptPart, "taken from"):
            reason = (
                "removal not documented"
                if element.status is Status.UNDOCUMENTED
                else f"recorded as '{element.status}', and no kept part is recorded"
            )
            found.append(Lacking(key, reason, None))
    return found


def _reason(where: Whereabouts) -> str:
    if not where.holders:
        return "no place was ever recorded"
    if where.not_seen is not None:
        look = where.not_seen
        by = f" by {look.by}" if look.by else ""
        return f"looked for{by} on {look.when} and not seen"
    return "no place is known"


def _in_order(state: State, one: Lying) -> tuple[str, ...]:
    """Numbers of the holders from outside in: what lies together stands together."""
    chain = [state.number(spell.holder) for spell in one.whereabouts.holders]
    return (*reversed(chain[: one.depth - 1]), state.number(one.thing))
