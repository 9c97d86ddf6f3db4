"""Samples and what was made of them: trees of preparations, and what is left of each.

What is left is reckoned only where every amount is recorded; otherwise it is not recorded,
which is another thing than nothing left. Amounts are told in the unit of the sample; the
factors are those of the units library behind `Measure`.
"""

from collections.abc import Iterable
from dataclasses import dataclass

from ..record import Element, KeptPart, Measure, Record, Result, Sample, SampleState
from ..state import State
from .caution import came_from, parts_of
from .whereabouts import whereabouts

SLACK = 1e-9
"""Relative rounding of a conversion between units; less than any balance can tell."""

USABLE_STATES = (None, SampleState.KEPT, SampleState.PARTLY_USED, SampleState.AT_LABORATORY)


@dataclass(frozen=True, slots=True)
class Use:
    """One thing that used up some of a sample.

    Attributes:
        by: key of the result or of the preparation.
        amount: how much it used up; None where not recorded.
    """

    by: str
    amount: Measure | None


@dataclass(frozen=True, slots=True)
class Remainder:
    """What is left of a sample.

    Attributes:
        left: what is left, in the unit of the sample; None where it cannot be told.
        why: why it cannot be told; None where it can.
        over: the first use, in the order given, that is larger than what was left.
        had: what was left before that use; None where no use is too large.
        rough: True where an amount in the reckoning stands with "about" or ±.
    """

    left: Measure | None
    why: str | None = None
    over: Use | None = None
    had: Measure | None = None
    rough: bool = False


@dataclass(frozen=True, slots=True)
class Branch:
    """One sample or preparation in its tree.

    Attributes:
        sample: its key.
        depth: 0 for a sample as it was taken, or the one asked for.
    """

    sample: str
    depth: int


def remainder(amount: Measure | None, uses: Iterable[Use]) -> Remainder:
    """Take every use from an amount, in the order given.

    Where something is not recorded there is no figure, but a use that is larger than all
    there can have been is found even so.
    """
    listed = list(uses)
    if amount is None:
        return Remainder(None, "its amount is not recorded")
    if len(amount.magnitudes) != 1:
        return Remainder(None, f"its amount {amount.in_words()} is of several sizes")
    left, why, rough = amount.magnitudes[0], None, _rough(amount)
    spread = _spread(amount, amount.unit)
    for use in listed:
        used = _like(use.amount, amount)
        if used is None or use.amount is None:
            why = why or _not_told(use.amount, amount)
            continue
        rough = rough or _rough(use.amount)
        spread += _spread(use.amount, amount.unit)
        if used > left + spread + SLACK * amount.magnitudes[0]:
            return Remainder(None, why, use, _written(left, amount.unit, rough), rough)
        left = max(left - used, 0.0)
    if why is not None:
        return Remainder(None, why, rough=rough)
    if abs(left) < SLACK * amount.magnitudes[0]:
        left = 0.0
    return Remainder(_written(left, amount.unit, rough), rough=rough)


def uses_of(state: State, sample: str) -> tuple[Use, ...]:
    """What used up some of a sample, in the order in which it was recorded."""
    found = [
        (state.held(key).seq, key, Use(key, result.amount_used))
        for key, result in state.about(sample, Result, "result of")
    ]
    found += [
        (state.held(key).seq, key, Use(key, made.parent_used))
        for key, made in state.about(sample, Sample, "prepared from")
    ]
    return tuple(use for _, _, use in sorted(found, key=lambda one: one[:2]))


def left_of(state: State, sample: str) -> Remainder:
    """What is left of a sample, by its own amount and all that used some of it."""
    return remainder(state.record(sample, Sample).amount, uses_of(state, sample))


def things_sampled(state: State, thing: str) -> tuple[str, ...]:
    """A thing, and all of whose samples are its samples: its parts, on it or taken off."""
    record = state.held(thing).record
    if record.kind not in ("object", "element"):
        return (thing,)
    elements = [thing, *parts_of(state, thing)]
    kept = [part for key in elements for part, _ in state.about(key, KeptPart)]
    return tuple(dict.fromkeys([*elements, *kept]))


def sample_trees(state: State, thing: str) -> tuple[Branch, ...]:
    """Every sample of a thing, each followed by what was prepared from it.

    For a sample: the sample and what was prepared from it.
    """
    if isinstance(state.held(thing).record, Sample):
        return tuple(_branches(state, [thing], 0, set()))
    drawn = [
        key
        for one in things_sampled(state, thing)
        for key, _ in state.about(one, Sample, "drawn from")
    ]
    inside = set(drawn)
    first = [key for key in drawn if state.record(key, Sample).made_from not in inside]
    return tuple(_branches(state, dict.fromkeys(first), 0, set()))


def results_of(state: State, thing: str) -> tuple[tuple[str, Result], ...]:
    """Results that were had of a thing itself, without any sample, and of its parts."""
    return tuple(
        pair
        for one in things_sampled(state, thing)
        for pair in state.about(one, Result, "result of")
    )


def unusable(state: State, sample: str) -> str | None:
    """Why a sample can serve no further analysis, as recorded; None where nothing says so.

    That nothing speaks against it does not make it fit: what a technique needs is not in
    the record.
    """
    record: Record = state.held(sample).record
    where = whereabouts(state, sample)
    if where.gone is not None:
        return where.gone
    if isinstance(record, Sample) and record.state not in USABLE_STATES:
        return str(record.state)
    if any(one.used_up for _, one in state.about(sample, Result, "result of")):
        return "used up in an analysis"
    rest = left_of(state, sample)
    if rest.left is not None and not rest.rough and rest.left.magnitudes[0] == 0:
        return "nothing is left of it by the recorded amounts"
    if where.not_seen is not None:
        return f"looked for on {where.not_seen.when} and not seen"
    return None if where.holders else "where it is is not recorded"


def by_technique(technique: str, method: str) -> bool:
    """Whether a method is by the technique asked for: each word asked stands in it."""
    said = method.casefold()
    return all(word in said for word in technique.casefold().split())


def object_of(state: State, thing: str) -> str | None:
    """Key of the object that something comes from; None where the record does not say."""
    record = state.held(thing).record
    if record.kind == "object":
        return thing
    if isinstance(record, Element):
        return record.object
    chain = came_from(state, thing)
    return chain[-1] if chain and state.held(chain[-1]).record.kind == "object" else None


def _branches(
    state: State, keys: Iterable[str], depth: int, met: set[str]
) -> Iterable[Branch]:
    for key in keys:
        if key in met:
            continue
        met.add(key)
        yield Branch(key, depth)
        made = [one for one, _ in state.about(key, Sample, "prepared from")]
        yield from _branches(state, made, depth + 1, met)


def _like(used: Measure | None, amount: Measure) -> float | None:
    """A use in the unit of the amount; None where it is not recorded or of another kind."""
    if used is None or len(used.magnitudes) != 1 or used.kind != amount.kind:
        return None
    return used.in_unit(amount.unit)[0]


def _not_told(used: Measure | None, amount: Measure) -> str:
    if used is None:
        return "what was used of it is not recorded for every analysis and preparation"
    return f"a use of {used.in_words()} cannot be taken from {amount.in_words()}"


def _rough(amount: Measure) -> bool:
    return amount.approximate or bool(amount.tolerances)


def _spread(amount: Measure, unit: str) -> float:
    """By how much an amount may be off; a mere "about" gives no figure and so none here."""
    if not amount.tolerances:
        return 0.0
    return Measure(f"{amount.tolerances[0]:.12f} {amount.unit}").in_unit(unit)[0]


def _written(left: float, unit: str, rough: bool) -> Measure:
    plain = Measure(f"{left:.12f} {unit}").in_words()
    return Measure(f"about {plain}" if rough else plain)
