"""Whose is this loose fragment? Places that it may come from, in order, with reasons."""

from collections.abc import Iterable
from dataclasses import dataclass

from ..record import Container, Element, Fragment
from ..state import State
from .fragment import Parentage, parentage
from .fragment_fact import Fact, Fit, facts, unit_question
from .fragment_place import Position, position
from .whereabouts import whereabouts


@dataclass(frozen=True, slots=True)
class Candidate:
    """One place that a fragment may have come from.

    Attributes:
        place: where something lacks.
        facts: every comparison, also those that could not be made.
        points: sum of the facts' points; puts candidates in order and means nothing else.
        fitting: how many facts fit.
        rejected: the facts that rule it out, in words; empty where none does.
        said: what claims say of it already.
    """

    place: Position
    facts: tuple[Fact, ...]
    points: int
    fitting: int
    rejected: tuple[str, ...]
    said: tuple[Parentage, ...]


@dataclass(frozen=True, slots=True)
class Matched:
    """The places looked at for one fragment.

    Attributes:
        candidates: places at which some fact fits and none rules them out, and places
            that a claim names; the best first.
        rejected: places that a hard fact rules out; those that a claim names or at which
            some fact fits before the others.
        silent: how many places were looked at where nothing recorded fits, and nothing
            rules them out.
        question: what must be asked of the fragment's own record first; None: nothing.
    """

    candidates: tuple[Candidate, ...]
    rejected: tuple[Candidate, ...]
    silent: int
    question: str | None


def match(state: State, fragment: str, elements: Iterable[str]) -> Matched:
    """Compare a fragment with the places where something lacks.

    Args:
        state: must hold the fragment, the elements, what these touch or belong to, their
            kept parts with their places, and the claims about the fragment.
        fragment: key of the fragment.
        elements: keys of elements to look at; others than vacant ones are passed over.
    """
    mine = state.record(fragment, Fragment)
    doubt = unit_question(mine, _holder(state, fragment))
    unused = "its unit is to be checked first" if doubt else None
    said = parentage(state, fragment)
    every = {*elements, *(one.element for one in said)}
    found = [
        one
        for key in sorted(every)
        if (one := _candidate(state, mine, key, said, unused)) is not None
    ]
    speaking = [one for one in found if one.fitting or one.said or one.rejected]
    return Matched(
        tuple(sorted((one for one in speaking if not one.rejected), key=_order)),
        tuple(sorted((one for one in speaking if one.rejected), key=_nearest)),
        len(found) - len(speaking),
        doubt,
    )


def _candidate(
    state: State,
    mine: Fragment,
    key: str,
    said: tuple[Parentage, ...],
    doubt: str | None,
) -> Candidate | None:
    if key not in state or not isinstance(state.held(key).record, Element):
        return None
    spoken = tuple(one for one in said if one.element == key)
    place = position(state, key, named=bool(spoken))
    if place is None:
        return None
    compared = facts(mine, state.record(key, Element), place, doubt)
    return Candidate(
        place,
        compared,
        sum(one.points for one in compared),
        sum(one.fit is Fit.FITS for one in compared),
        tuple(f"{one.of}: {one.words}" for one in compared if one.hard),
        spoken,
    )


def _order(one: Candidate) -> tuple[int, int, str]:
    return -one.points, -one.fitting, one.place.element


def _nearest(one: Candidate) -> tuple[bool, int, tuple[int, int, str]]:
    return not one.said, -one.fitting, _order(one)


def _holder(state: State, fragment: str) -> Container | None:
    """The nearest container that it lies in."""
    for spell in whereabouts(state, fragment).holders:
        if spell.holder in state:
            record = state.held(spell.holder).record
            return record if isinstance(record, Container) else None
    return None
