"""Which acts of moving, looking and letting go contradict what is recorded.

The same rules hold for sheets and for commands. An act is unlawful only where the dates
leave no doubt of the order; in doubt it is a query. The rules are common practice (no
source) except where they follow from a thing being in one place at a time.
"""

from collections.abc import Iterator, Set
from typing import Final

from ..problem import Weight
from ..record import (
    Became,
    Container,
    Edtf,
    Element,
    Fate,
    Fragment,
    KeptPart,
    Move,
    MuseumObject,
    Place,
    Record,
    Sample,
    Seen,
    Sighting,
)
from ..state import State
from .breach import Breach
from .disposal import dependents
from .place_rules import from_elsewhere, goes_along, in_itself, same_day
from .stage import ENDED, LAWFUL, ON_OBJECT, Stage, Step, is_lawful, own_end, steps_of
from .turn import Sort, Turn, begin_of, first_day, surely_before, turns_of

ONLY: Final = {
    Became.PUT_BACK: ("part", "element"),
    Became.REMOVED_AGAIN: ("part", "element"),
    Became.MOVED_WITHIN: ("part", "element"),
    Became.DIVIDED: ("part", "sample", "fragment"),
    Became.CONSUMED: ("part", "sample", "fragment", "element"),
}
"""Kinds of things that can take a turn; where none are named, all can."""
_LIVES: Final = (Container, Fragment, KeptPart, Sample)
_MOST_NAMED: Final = 6


def breaches(state: State, fresh: Set[str]) -> tuple[Breach, ...]:
    """What is unlawful in records that are to be recorded.

    Args:
        state: what is recorded already about the things concerned and their holders,
            together with the new records.
        fresh: keys of the new records.
    """
    found: list[Breach] = []
    for key in sorted(fresh, key=lambda one: state.held(one).seq):
        record = state.held(key).record
        if isinstance(record, Move):
            found += _move(state, key, record, fresh)
        elif isinstance(record, Sighting):
            found += _sighting(state, key, record, fresh)
        elif isinstance(record, Fate):
            found += _fate(state, key, record, fresh)
        elif isinstance(record, (*_LIVES, Place)):
            found += _thing(state, key, record)
    return tuple(dict.fromkeys(found))


def _move(state: State, key: str, move: Move, fresh: Set[str]) -> Iterator[Breach]:
    for thing in filter(state.__contains__, move.what):
        yield from _too_early(state, key, thing, move.when)
        yield from _at_stage(state, key, thing, fresh)
        yield from from_elsewhere(state, key, thing, move)
        yield from goes_along(state, key, thing, move)
        yield from same_day(state, key, thing, move)
        if move.to:
            yield from in_itself(state, key, "to", thing, move.to, move.when)
    if move.to is None:
        yield Breach(
            key,
            "to",
            "no place",
            "The move does not say where the things were put; the place before goes on "
            "being shown.",
            "Write where they were put, if anybody knows.",
            Weight.QUERY,
        )


def _sighting(state: State, key: str, look: Sighting, fresh: Set[str]) -> Iterator[Breach]:
    if look.what not in state:
        return
    yield from _too_early(state, key, look.what, look.when)
    if look.seen not in (Seen.SEEN, Seen.ELSEWHERE):
        return
    yield from _at_stage(state, key, look.what, fresh)
    if look.where:
        yield from in_itself(state, key, "where", look.what, look.where, look.when)


def _fate(state: State, key: str, fate: Fate, fresh: Set[str]) -> Iterator[Breach]:
    for thing in filter(state.__contains__, fate.what):
        number = state.number(thing)
        kind = state.held(thing).record.kind
        if kind not in ONLY.get(fate.became, (kind,)):
            yield Breach(
                key,
                "what",
                "never removed" if fate.became is Became.PUT_BACK else "wrong turn",
                f"{number} is a {kind}, and no {kind} can be recorded as {fate.became}.",
                f"That can befall: {', '.join(ONLY[fate.became])}.",
            )
            continue
        yield from _too_early(state, key, thing, fate.when)
        yield from _at_stage(state, key, thing, fresh)
        if fate.became in (Became.DISCARDED, Became.CONSUMED):
            yield from _depended_on(state, key, thing, fate)


def _thing(state: State, key: str, record: Record) -> Iterator[Breach]:
    holder = getattr(record, "container", None) or getattr(record, "inside", None)
    since = begin_of(record) or getattr(record, "since", None)
    if holder:
        field = "inside" if isinstance(record, (Container, Place)) else "container"
        yield from in_itself(state, key, field, key, holder, since)
    made = _made(state, record)
    if made and surely_before(since, made):
        yield Breach(
            key,
            "removed_when" if isinstance(record, KeptPart) else "taken_when",
            "before it was made",
            f"{state.number(key)} came off on {since}, and the object was made {made}.",
            "Correct one of the dates.",
        )
    if isinstance(record, KeptPart) and record.discarded:
        held = dependents(state, key)
        if held:
            yield Breach(
                key,
                "discarded",
                "depended on",
                f"{state.number(key)} is recorded as discarded, and this depends on it: "
                f"{_named(state, [(one.key, one.why) for one in held])}.",
                "If it was let go all the same, leave it so; the record shows both.",
                Weight.QUERY,
            )


def _made(state: State, record: Record) -> Edtf | None:
    if not isinstance(record, (KeptPart, Sample)) or record.element not in state:
        return None
    element = state.held(record.element).record
    home = element.object if isinstance(element, Element) else None
    owner = state.held(home).record if home and home in state else None
    return owner.made if isinstance(owner, MuseumObject) else None


def _too_early(state: State, key: str, thing: str, when: Edtf) -> Iterator[Breach]:
    record = state.held(thing).record
    begin = record.made if isinstance(record, MuseumObject) else begin_of(record)
    if begin is None or not surely_before(when, begin):
        return
    began = "was made" if isinstance(record, MuseumObject) else "came off or was found"
    yield Breach(
        key,
        "when",
        "before it was there",
        f"{state.number(thing)} {began} on {begin}; it cannot have been moved, looked for "
        f"or changed on {when}.",
        "Correct this date or that one.",
    )


def _at_stage(state: State, key: str, thing: str, fresh: Set[str]) -> Iterator[Breach]:
    """Turns that cannot be taken from where the thing stood in its life."""
    turns, steps = turns_of(state, thing), steps_of(state, thing)
    for before, turn in zip(steps, turns, strict=False):
        cause = before.turn.says if before.turn else thing
        if key not in (turn.says, cause):
            continue
        found = _unlawful(state, thing, before, turn)
        if found is None:
            continue
        wrong, right, weight = found
        sure = _in_order(before, turn, fresh)
        yield Breach(key, _field(state, key), "not lawful then", wrong, right,
                     weight if sure else Weight.QUERY)  # fmt: skip
    yield from _after_own_end(state, key, thing, fresh)


def _unlawful(
    state: State, thing: str, before: Step, turn: Turn
) -> tuple[str, str, Weight] | None:
    """What is wrong with a turn, what would be right, and how much it weighs."""
    number, stage = state.number(thing), before.stage
    since = f" since {before.turn.when}" if before.turn and before.turn.when else ""
    stood = f"{number} is recorded as '{stage}'{since}"
    if turn.sort is Sort.BECAME and turn.became and not is_lawful(stage, turn.became):
        return (f"{stood}; it cannot become '{turn.became}' on {turn.when}.",
                _what_can(stage), Weight.ERROR)  # fmt: skip
    if turn.sort is Sort.MOVED and stage in ENDED:
        return (f"{stood}; it cannot have been moved on {turn.when}.",
                f"{_SEE_FIRST} Or correct the date.", Weight.ERROR)  # fmt: skip
    if turn.sort is Sort.MOVED and stage in ON_OBJECT:
        return (f"{stood}: it is on the object and moves with it.",
                "Move the object, or record first that it was removed again.",
                Weight.ERROR)  # fmt: skip
    if turn.sort is Sort.MOVED and stage is Stage.MISSING:
        return (f"{stood}; the move of {turn.when} says that it was there.",
                "If nobody saw it, take it off the list.", Weight.QUERY)  # fmt: skip
    if turn.sort is Sort.SEEN and (stage in ENDED or stage is Stage.PUT_BACK):
        return (f"{stood}, and was seen on {turn.when}: a contradiction.",
                "Both stay recorded; look which is so.", Weight.QUERY)  # fmt: skip
    return None


_SEE_FIRST: Final = (
    "If somebody has it in the hand, record that it was seen (vestige seen): it is then "
    "'found', and the contradiction stays visible."
)


def _what_can(stage: Stage | None) -> str:
    can = [str(word) for word, stages in LAWFUL.items() if stage in stages]
    return f"From there it can become: {', '.join(can) or 'nothing'}."


def _in_order(before: Step, turn: Turn, fresh: Set[str]) -> bool:
    """Whether the dates, or for one day the order of recording, leave no doubt."""
    cause = before.turn
    if cause is None or surely_before(cause.when, turn.when):
        return True
    if cause.sort is Sort.BEGINS:
        return not surely_before(turn.when, cause.when)
    return cause.when == turn.when and cause.says not in fresh


def _after_own_end(state: State, key: str, thing: str, fresh: Set[str]) -> Iterator[Breach]:
    """Acts on what its own record already tells to be no more, without a date."""
    end = own_end(state.held(thing).record)
    if end not in ENDED or thing in fresh:
        return
    record = state.held(key).record
    finds = isinstance(record, Sighting) or (
        isinstance(record, Fate) and record.became is Became.FOUND
    )
    yield Breach(
        key,
        "what",
        "found again" if finds else "not lawful then",
        f"{state.number(thing)} is recorded as '{end}', without a date.",
        "Both stay recorded; look which is so."
        if finds
        else f"{_SEE_FIRST} If this was before that, record when it ended in the sheet "
        f"'{Fate.sheet}'.",
        Weight.QUERY if finds else Weight.ERROR,
    )


def _depended_on(state: State, key: str, thing: str, fate: Fate) -> Iterator[Breach]:
    day = first_day(fate.when) - 1
    held = [one for one in dependents(state, thing, day) if one.key != key]
    if not held:
        return
    consumed = fate.became is Became.CONSUMED
    yield Breach(
        key,
        "what",
        "depended on",
        f"{state.number(thing)} may not be let go while this depends on it: "
        f"{_named(state, [(one.key, one.why) for one in held])}.",
        "Withdraw or supersede what depends on it first, each with its reason, or keep it.",
        Weight.QUERY if consumed else Weight.ERROR,
    )


def _named(state: State, found: list[tuple[str, str]]) -> str:
    told = [f"{state.number(key)} ({why})" for key, why in found[:_MOST_NAMED]]
    more = len(found) - _MOST_NAMED
    return "; ".join(told) + (f"; and {more} more" if more > 0 else "")


def _field(state: State, key: str) -> str:
    return "became" if isinstance(state.held(key).record, Fate) else "what"
