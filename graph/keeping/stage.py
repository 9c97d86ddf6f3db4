"""The stages in the life of a removed part, a sample or a loose thing, and their order.

The stage is read from what is recorded (the removal, moves, looks, what became of it) and
is itself written down nowhere.
"""

from dataclasses import dataclass
from enum import StrEnum
from typing import Final

from ..record import (
    Became,
    Container,
    Element,
    Fate,
    KeptPart,
    Record,
    Sample,
    SampleState,
    Status,
)
from ..state import State
from .turn import Sort, Turn, surely_before, turns_of


class Stage(StrEnum):
    """Where a thing stands in its life."""

    IN_PLACE = "in place"
    MOVED_WITHIN = "moved within the object"
    UNDOCUMENTED = "removal not documented"
    KEPT = "removed and kept"
    PUT_BACK = "put back"
    ON_LOAN = "on loan"
    AT_LABORATORY = "at the laboratory"
    DIVIDED = "divided"
    CONSUMED = "consumed"
    DISCARDED = "discarded with authority"
    DISCARDED_UNRECORDED = "discarded without record"
    NOT_RECORDED = "whereabouts not recorded"
    MISSING = "missing"
    FOUND = "found"


ON_OBJECT: Final = frozenset({Stage.IN_PLACE, Stage.MOVED_WITHIN, Stage.PUT_BACK})
AWAY: Final = frozenset({Stage.ON_LOAN, Stage.AT_LABORATORY})
ENDED: Final = frozenset(
    {Stage.DIVIDED, Stage.CONSUMED, Stage.DISCARDED, Stage.DISCARDED_UNRECORDED}
)
"""Stages after which the thing is nowhere any more."""

_HERE: Final = frozenset({Stage.KEPT, Stage.FOUND})
_LOOSE: Final = _HERE | AWAY | {Stage.MISSING, Stage.NOT_RECORDED}
LAWFUL: Final[dict[Became, frozenset[Stage]]] = {
    Became.MOVED_WITHIN: ON_OBJECT,
    Became.PUT_BACK: _HERE | {Stage.AT_LABORATORY},
    Became.REMOVED_AGAIN: ON_OBJECT,
    Became.ON_LOAN: _HERE,
    Became.AT_LABORATORY: _HERE,
    Became.RETURNED: AWAY,
    Became.DIVIDED: _HERE | {Stage.AT_LABORATORY},
    Became.CONSUMED: _HERE | {Stage.AT_LABORATORY},
    Became.DISCARDED: _HERE,
    Became.DISCARDED_UNRECORDED: _LOOSE,
    Became.MISSING: _HERE | AWAY | {Stage.NOT_RECORDED},
    Became.FOUND: ENDED | {Stage.MISSING, Stage.NOT_RECORDED},
}
"""From which stages a turn may be taken (common practice, no source)."""

_AFTER: Final = {
    Became.REMOVED_AGAIN: Stage.NOT_RECORDED,
    Became.RETURNED: Stage.KEPT,
    Became.MISSING: Stage.MISSING,
}
_STATUS: Final = {
    Status.IN_PLACE: Stage.IN_PLACE,
    Status.MOVED: Stage.MOVED_WITHIN,
    Status.KEPT: Stage.KEPT,
    Status.UNDOCUMENTED: Stage.UNDOCUMENTED,
    Status.UNKNOWN_PLACE: Stage.NOT_RECORDED,
    Status.CONSUMED: Stage.CONSUMED,
    Status.DISCARDED: Stage.DISCARDED_UNRECORDED,
}
_SAMPLE: Final = {
    SampleState.CONSUMED: Stage.CONSUMED,
    SampleState.DISCARDED: Stage.DISCARDED_UNRECORDED,
    SampleState.AT_LABORATORY: Stage.AT_LABORATORY,
    SampleState.NOT_LOCATED: Stage.MISSING,
}


@dataclass(frozen=True, slots=True)
class Step:
    """A stage and the turn that led to it.

    Attributes:
        stage: where the thing stood after the turn; None where that is not recorded.
        turn: the turn; None for what the thing's own record says without a date.
    """

    stage: Stage | None
    turn: Turn | None


def steps_of(state: State, thing: str, on: int | None = None) -> tuple[Step, ...]:
    """The stage before any turn, and the stage after each turn up to a day.

    The last step is where the thing stands, as far as stages go; `life` adds whether its
    place is recorded and its removal documented.
    """
    steps = [Step(first_stage(state.held(thing).record), None)]
    for turn in turns_of(state, thing, on):
        before = steps[-1]
        after = after_turn(before, turn)
        steps.append(Step(after, turn if after is not before.stage else before.turn))
    end = _with_own_end(state, thing, steps[-1])
    return (*steps, end) if end is not steps[-1] else tuple(steps)


def gone(state: State, thing: str, on: int | None = None) -> str | None:
    """Why a thing is nowhere any more, in words; None where it ought to be somewhere."""
    record = state.held(thing).record
    if own_end(record) is None and not state.about(thing, Fate, "befell"):
        return None
    last = steps_of(state, thing, on)[-1]
    if last.turn is None:
        return _own_words(record, last.stage)
    if last.stage in ENDED or last.stage is Stage.PUT_BACK:
        return f"{last.stage} on {last.turn.when}"
    return None


def _own_words(record: Record, stage: Stage | None) -> str | None:
    if stage not in ENDED:
        return None
    if isinstance(record, KeptPart) and record.discarded:
        return f"discarded on the authority of {record.discarded}"
    if isinstance(record, KeptPart) and record.used_up:
        return f"used up in {record.used_up}"
    return str(record.state) if isinstance(record, Sample) else str(stage)


def after_turn(before: Step, turn: Turn) -> Stage | None:
    """The stage after a turn; an unlawful turn leaves the stage as it was."""
    stage = before.stage
    if turn.sort is Sort.BEGINS:
        return Stage.KEPT if turn.where else Stage.NOT_RECORDED
    if turn.sort is Sort.BECAME:
        lawful = turn.became is not None and is_lawful(stage, turn.became)
        return _stage_of(turn.became) if lawful and turn.became else stage
    if turn.sort is Sort.MOVED:
        settles = stage in (Stage.MISSING, Stage.NOT_RECORDED, Stage.FOUND)
        return Stage.KEPT if settles and turn.where else stage
    if turn.sort is Sort.SEEN:
        late = stage in ENDED and comes_after(before, turn)
        first = stage is Stage.NOT_RECORDED and turn.where is not None
        return Stage.FOUND if late or first or stage is Stage.MISSING else stage
    return Stage.MISSING if stage in _HERE else stage


def is_lawful(stage: Stage | None, became: Became) -> bool:
    """Whether a turn may be taken from a stage; of what is not recorded all may."""
    if stage is None:
        return True
    known = Stage.KEPT if stage is Stage.UNDOCUMENTED else stage
    return known in LAWFUL[became]


def _stage_of(became: Became) -> Stage:
    return _AFTER.get(became) or Stage(became.value)


def first_stage(record: Record) -> Stage | None:
    """Where a thing stands before any turn."""
    if isinstance(record, Element):
        return _STATUS.get(record.status) if record.status else None
    if isinstance(record, Container):
        return Stage.KEPT if record.inside else Stage.NOT_RECORDED
    return None


def comes_after(before: Step, turn: Turn) -> bool:
    """Whether a turn surely came after the one that led to the stage before."""
    if before.turn is None:
        return True
    same_day = before.turn.when == turn.when
    return same_day or surely_before(before.turn.when, turn.when)


def _with_own_end(state: State, thing: str, last: Step) -> Step:
    """The end that the thing's own record tells without a date, if it tells one.

    A sighting that was recorded later than that end contradicts it: the thing was found.
    """
    end = own_end(state.held(thing).record)
    if end is None or last.stage in ENDED | ON_OBJECT:
        return last
    turn = last.turn if last.turn and last.turn.sort is not Sort.BEGINS else None
    if end not in ENDED:
        return last if turn else Step(end, None)
    seen = next(
        (one for one in reversed(turns_of(state, thing)) if one.sort is Sort.SEEN), None
    )
    if seen and state.held(seen.says).at > state.held(thing).at:
        return Step(Stage.FOUND, seen)
    return Step(end, None)


def own_end(record: Record) -> Stage | None:
    """What a part's or sample's own record says became of it, without a date."""
    if isinstance(record, KeptPart):
        if record.discarded:
            return Stage.DISCARDED
        return Stage.CONSUMED if record.used_up else None
    if isinstance(record, Sample) and record.state:
        return _SAMPLE.get(record.state)
    return None
