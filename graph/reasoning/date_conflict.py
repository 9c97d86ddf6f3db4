"""Dates that cannot hold together: claims, phases and happenings in one network of days.

Beside the bounds of `recorded_order.time_claims` (when a thing came to its place) a part
or fixing has a second event, its making, not later than that. A claim that names a phase
puts a thing within the days of that phase; phases follow one another. What contradicts
itself is told as a smallest set of records; nothing is set right here.
"""

from collections.abc import Iterable, Iterator
from itertools import pairwise

from ..record import (
    Claim,
    Edtf,
    Element,
    ElementSort,
    Happening,
    Phase,
    Relation,
    Stance,
)
from ..state import State
from .chronology import minimal_conflict
from .recorded_order import things_of, time_claims, weight_of
from .temporal_network import ORIGIN, TimeClaim

__all__ = ["DATED_RECORD", "RULE", "date_conflicts", "dates_of"]

RULE = "rule: "
"""Begin of the id of what holds by definition: made before placed, phases in order."""
DATED_RECORD = 3.0
"""Log odds of the date of a phase or happening, as in `recorded_order`."""
MOST = 100
"""Conflicts after which the search ends."""
MADE = " made"


def dates_of(state: State, key: str) -> tuple[TimeClaim, ...]:
    """Everything recorded of one object that bounds a day.

    Claims, phases and happenings bear the keys of their records; what holds by
    definition bears an id of its own and is never doubted.
    """
    things = things_of(state, key)
    rows = [*time_claims(state, things), *_phases(state, key)]
    weights = {row.id: row.weight for row in rows}
    made = {one for one in things if _is_made(state, one)}
    rows += [_rule(f"{one}{MADE}", one) for one in made]
    inside = set(things)
    for claim_key, claim in state.all_of(Claim):
        if claim.about in inside and claim.stance is Stance.FOR:
            weight = weights.get(claim_key, weight_of(state, claim_key))
            rows += _of_making(claim_key, claim, claim.about in made, weight)
            rows += _in_phase(state, key, claim_key, claim, weight, made)
    for thing in things:
        record = state.held(thing).record
        phase = record.phase if isinstance(record, Happening) else None
        if phase is not None and phase in state:
            rows += _within(thing, phase, thing, DATED_RECORD)
    return tuple(rows)


def date_conflicts(rows: Iterable[TimeClaim]) -> Iterator[tuple[str, ...]]:
    """Smallest sets of records whose dates contradict each other, one after another.

    After each set the record in it that costs least to doubt is left out of the search,
    so that every later set is another contradiction. At most `MOST` sets.

    Yields:
        Keys of records; by themselves, with what holds by definition, they cannot all
        be right, and without any one of them the others can.
    """
    left = list(rows)
    weights = {row.id: row.weight for row in left}
    for _ in range(MOST):
        found = [one for one in minimal_conflict(left) if not one.startswith(RULE)]
        if not found:
            return
        yield tuple(found)
        out = min(found, key=lambda one: (weights[one], one))
        left = [row for row in left if row.id != out]


def _is_made(state: State, thing: str) -> bool:
    record = state.held(thing).record
    return isinstance(record, Element) and record.sort in (
        ElementSort.PART,
        ElementSort.FIXING,
    )


def _rule(start: str, end: str) -> TimeClaim:
    return TimeClaim(f"{RULE}{start} {end}", start, end, low=0, weight=float("inf"))


def _begin(phase: str) -> str:
    return f"{phase} begins"


def _end(phase: str) -> str:
    return f"{phase} ends"


def _phases(state: State, key: str) -> list[TimeClaim]:
    """The recorded days of the phases, loosened where approximate, and their order."""
    found = sorted(state.about(key, Phase), key=lambda pair: (pair[1].order, pair[0]))
    rows = [_rule(_begin(one), _end(one)) for one, _ in found]
    rows += [_rule(_end(one), _begin(other)) for (one, _), (other, _) in pairwise(found)]
    for phase, record in found:
        rows += _dated(phase, _begin(phase), record.begins)
        rows += _dated(phase, _end(phase), record.ends)
    return rows


def _dated(phase: str, event: str, date: Edtf | None) -> list[TimeClaim]:
    if date is None:
        return []
    low = None if date.earliest is None else date.earliest - date.start_slack
    high = None if date.latest is None else date.latest + date.end_slack
    if low is None and high is None:
        return []
    return [TimeClaim(phase, ORIGIN, event, low=low, high=high, weight=DATED_RECORD)]


def _of_making(key: str, claim: Claim, is_made: bool, weight: float) -> list[TimeClaim]:
    """What a date of material or make says of the making of a part."""
    if not is_made or claim.value is None:
        return []
    if claim.relation not in (Relation.NOT_BEFORE, Relation.DATED):
        return []
    date = Edtf.parse(claim.value)
    low = date.earliest
    high = date.latest if claim.relation is Relation.DATED else None
    if low is None and high is None:
        return []
    event = f"{claim.about}{MADE}"
    return [TimeClaim(key, ORIGIN, event, low=low, high=high, weight=weight)]


def _in_phase(
    state: State, object_key: str, key: str, claim: Claim, weight: float, made: set[str]
) -> list[TimeClaim]:
    """What a claim that names a phase says of days."""
    thing, phase = claim.about, claim.phase
    if claim.relation is Relation.AS_MADE:
        phases = sorted(
            state.about(object_key, Phase), key=lambda pair: (pair[1].order, pair[0])
        )
        phase = phases[0][0] if phases else None
    if phase is None or phase not in state:
        return []
    making = f"{thing}{MADE}" if thing in made else thing
    if claim.relation in (Relation.AS_MADE, Relation.MADE_IN):
        return _within(key, phase, making, weight)
    if claim.relation is Relation.PLACED_IN:
        return _within(key, phase, thing, weight)
    if claim.relation is Relation.BELONGS_TO:  # made in it, or came to its place in it
        return [
            TimeClaim(key, _begin(phase), thing, low=0, weight=weight),
            TimeClaim(key, making, _end(phase), low=0, weight=weight),
        ]
    return []


def _within(key: str, phase: str, event: str, weight: float) -> list[TimeClaim]:
    return [
        TimeClaim(key, _begin(phase), event, low=0, weight=weight),
        TimeClaim(key, event, _end(phase), low=0, weight=weight),
    ]
