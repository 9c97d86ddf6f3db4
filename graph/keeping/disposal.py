"""What depends on a thing, so that it may not be let go.

A claim or decision about the thing itself; claims about the element that it came from,
where that element is no longer on the object, so that the thing is all that is left of the
evidence; decisions to keep it; samples and preparations from it that are still there; a
loan; whatever lies in it. The list is common practice (no source); letting something go is
for ever, so in doubt a thing counts as depended upon.
"""

from dataclasses import dataclass
from typing import Final

from ..record import (
    INSIDE,
    Choice,
    Claim,
    Decision,
    Element,
    KeptPart,
    Record,
    Sample,
    Sighting,
    Status,
)
from ..state import State
from .stage import ENDED, ON_OBJECT, Stage, steps_of
from .whereabouts import whereabouts

LETS_GO: Final = frozenset({Choice.REMOVE, Choice.OTHER, Choice.NOTHING})
"""Choices about an element that do not ask for what was taken from it to be kept."""
_OFF: Final = frozenset({Status.KEPT, Status.UNDOCUMENTED, Status.UNKNOWN_PLACE})


@dataclass(frozen=True, slots=True)
class Depends:
    """Something that depends on a thing.

    Attributes:
        key: key of the claim, decision, sample or turn.
        why: how it depends, in words.
    """

    key: str
    why: str


def dependents(state: State, thing: str, on: int | None = None) -> tuple[Depends, ...]:
    """Everything recorded that depends on a thing being kept, each once."""
    record = state.held(thing).record
    element = _element_of(state, record)
    found = _claims(state, thing, "is about it")
    found += _decisions(state, thing, element)
    found += _samples(state, thing)
    found += _contents(state, thing)
    if element and _all_that_is_left(state, thing, element):
        left = f"is about {state.number(element)}, of which this is what is left"
        found += _claims(state, element, left)
    found += _resting_on(state, [one.key for one in found])
    last = steps_of(state, thing, on)[-1]
    if last.stage is Stage.ON_LOAN and last.turn:
        found.append(Depends(last.turn.says, f"it is on loan since {last.turn.when}"))
    once: dict[str, Depends] = {}
    for one in found:
        once.setdefault(one.key, one)
    return tuple(one for key, one in once.items() if key != thing)


def _element_of(state: State, record: Record) -> str | None:
    if isinstance(record, (KeptPart, Sample)) and record.element in state:
        home = state.held(record.element).record
        return record.element if isinstance(home, Element) else None
    return None


def _all_that_is_left(state: State, thing: str, element: str) -> bool:
    """Whether an element is off its object and no other piece of it is kept."""
    if state.record(element, Element).status not in _OFF:
        return False
    if not isinstance(state.held(thing).record, KeptPart):
        return False
    others = [key for key, _ in state.about(element, KeptPart) if key != thing]
    return all(steps_of(state, key)[-1].stage in ENDED | ON_OBJECT for key in others)


def _claims(state: State, thing: str, why: str) -> list[Depends]:
    return [Depends(key, f"claim {why}") for key, _ in state.about(thing, Claim)]


def _decisions(state: State, thing: str, element: str | None) -> list[Depends]:
    found = [
        (key, one)
        for about in (thing, element)
        if about
        for key, one in state.about(about, Decision, "decides on")
    ]
    return [
        Depends(key, f"decision of {one.when}: {one.choice}")
        for key, one in found
        if one.choice not in LETS_GO
    ]


def _samples(state: State, thing: str) -> list[Depends]:
    return [
        Depends(key, "sample of it that is still kept")
        for word in ("drawn from", "prepared from")
        for key, _ in state.about(thing, Sample, word)
        if steps_of(state, key)[-1].stage not in ENDED
    ]


def _contents(state: State, thing: str) -> list[Depends]:
    """What lies directly in it."""
    within = {link.src for link, _ in state.pointing(thing, INSIDE)}
    within |= {one.what for _, one in state.about(thing, Sighting, "looked in")}
    found = []
    for key in sorted(one for one in within if one in state):
        where = whereabouts(state, key)
        if where.gone is None and where.holders and where.holders[0].holder == thing:
            found.append(Depends(key, "lies in it"))
    return found


def _resting_on(state: State, claims: list[str]) -> list[Depends]:
    return [
        Depends(key, f"decision rests on {state.number(claim)}")
        for claim in claims
        for key, _ in state.about(claim, Decision, "rests on")
    ]
