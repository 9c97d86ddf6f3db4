"""From recorded claims to relations of order and bounds in time.

Read from a state: which thing came after which, and on which days each can have come to
its place. Only claims for an order count; the things are elements and happenings.
"""

import math
from collections.abc import Iterable

from ..record import (
    EARLIER,
    LATER,
    Claim,
    Edtf,
    Element,
    ElementSort,
    Happening,
    Relation,
    Stance,
)
from ..state import State
from .stratigraphy import Before
from .strength import likelihood_ratio
from .temporal_network import ORIGIN, TimeClaim

LEAST = math.log(1.01)
"""Log odds of a claim that speaks neither way: doubted first, yet not without weight."""


def things_of(state: State, thing: str) -> tuple[str, ...]:
    """Elements and happenings of one object, in the order in which they were recorded."""
    elements = [key for key, one in state.all_of(Element) if one.object == thing]
    happenings = [key for key, one in state.all_of(Happening) if one.object == thing]
    return (*elements, *happenings)


def order_relations(state: State, things: Iterable[str]) -> tuple[Before, ...]:
    """Every recorded claim that one of these things came after another of them."""
    among = set(things)
    found = []
    for key, claim in state.all_of(Claim):
        pair = ordered_pair(claim)
        if pair and among.issuperset(pair):
            found.append(Before(pair[0], pair[1], key))
    return tuple(found)


def ordered_pair(claim: Claim) -> tuple[str, str] | None:
    """(later, earlier) where a claim orders two things; None where it does not."""
    if claim.other is None or claim.stance is not Stance.FOR:
        return None
    if claim.relation in LATER:
        return claim.about, claim.other
    if claim.relation in EARLIER:
        return claim.other, claim.about
    return None


def time_claims(state: State, things: Iterable[str]) -> tuple[TimeClaim, ...]:
    """Bounds in days on when each thing came to its place, from claims and dates.

    A material's date bounds only from below: an old thing can be put in place late. Of
    layers and happenings both sides count, since they come to be where they are.
    """
    among = tuple(dict.fromkeys(things))
    found = [
        TimeClaim(key, one.earlier, one.later, low=0, weight=weight_of(state, key))
        for one in order_relations(state, among)
        for key in [one.claim]
    ]
    inside = set(among)
    for key, claim in state.all_of(Claim):
        if claim.about in inside and claim.stance is Stance.FOR:
            found += _dated(state, key, claim)
    for key in among:
        record = state.held(key).record
        if isinstance(record, Happening) and record.when is not None:
            found += _between(key, key, record.when.earliest, record.when.latest, 3.0)
    return tuple(found)


def _dated(state: State, key: str, claim: Claim) -> list[TimeClaim]:
    if claim.value is None or claim.relation not in _SIDES:
        return []
    date = Edtf.parse(claim.value)
    low, high = _SIDES[claim.relation]
    earliest = date.earliest if low else None
    latest = date.latest if high else None
    if claim.relation is Relation.DATED and not _comes_to_be(state, claim.about):
        latest = None
    return _between(key, claim.about, earliest, latest, weight_of(state, key))


_SIDES: dict[Relation, tuple[bool, bool]] = {
    Relation.NOT_BEFORE: (True, False),
    Relation.NOT_AFTER: (False, True),
    Relation.DATED: (True, True),
    Relation.SEEN_BY: (False, True),
    Relation.ABSENT_ON: (True, False),
}


def _comes_to_be(state: State, thing: str) -> bool:
    record = state.held(thing).record
    if isinstance(record, Element):
        return record.sort in (ElementSort.LAYER, ElementSort.FEATURE)
    return isinstance(record, Happening)


def _between(
    claim: str, thing: str, low: int | None, high: int | None, weight: float
) -> list[TimeClaim]:
    if low is None and high is None:
        return []
    return [TimeClaim(claim, ORIGIN, thing, low=low, high=high, weight=weight)]


def weight_of(state: State, key: str) -> float:
    """Log odds that a claim holds, from its word on our own scale."""
    return max(math.log(likelihood_ratio(str(state.record(key, Claim).strength))), LEAST)
