"""Where a removed part, a sample or a loose thing stands in its life, and what lacks.

A removal counts as documented only when reason, consent, original position, label,
container and review date are recorded (common practice, no source); until then its stage
is *removal not documented*, and what lacks is work to do.
"""

from dataclasses import dataclass
from typing import Final

from ..record import Choice, Decision, Edtf, Happening, KeptPart, Picture
from ..state import State
from .stage import ENDED, Stage, Step, comes_after, own_end, steps_of
from .turn import Sort, Turn, turns_of
from .whereabouts import whereabouts

RESTRICTED: Final = "restricted: ask"


@dataclass(frozen=True, slots=True)
class Life:
    """Where a thing stands, and how it came there.

    Attributes:
        thing: key of the thing.
        stage: where it stands; None where nothing is recorded of it (never guessed).
        since: date of the turn that led there; None where not recorded.
        says: key of the record that says so.
        lacks: what the record of the removal lacks, in words.
        steps: all turns with the stage after each, the earliest first.
        contradictions: what is recorded and cannot all be so, in words.
    """

    thing: str
    stage: Stage | None
    since: Edtf | None
    says: str
    lacks: tuple[str, ...]
    steps: tuple[Step, ...]
    contradictions: tuple[str, ...]


def life(state: State, thing: str, on: int | None = None) -> Life:
    """Where a thing stands in its life on a day, or as last recorded."""
    steps = steps_of(state, thing, on)
    last = steps[-1]
    placed = bool(whereabouts(state, thing, on).holders)
    lacks = lacking(state, thing, placed)
    stage = last.stage
    if stage is Stage.KEPT and not placed:
        stage = Stage.NOT_RECORDED
    elif stage is Stage.KEPT and lacks:
        stage = Stage.UNDOCUMENTED
    return Life(
        thing,
        stage,
        last.turn.when if last.turn else None,
        last.turn.says if last.turn else thing,
        lacks,
        steps[1:],
        _contradictions(state, thing, steps, on),
    )


def lacking(state: State, thing: str, placed: bool) -> tuple[str, ...]:
    """What the record of a removal lacks; nothing for what is no removed part.

    A decision to remove the element counts as consent, the reason of the treatment as
    reason, and a picture that shows the part as its position. Of a record that is closed
    to the reader nothing is said.
    """
    part = state.held(thing).record
    if not isinstance(part, KeptPart) or (part.name or "").startswith(RESTRICTED):
        return ()
    found = {
        "reason": part.reason or _why(state, part),
        "consent": part.consent or _decided(state, part),
        "original position": part.original_position or state.about(thing, Picture),
        "label": part.label_text,
        "container": part.container or placed,
        "review date": part.review,
    }
    return tuple(name for name, recorded in found.items() if not recorded)


def _why(state: State, part: KeptPart) -> str | None:
    if part.removed_in is None or part.removed_in not in state:
        return None
    happening = state.held(part.removed_in).record
    return happening.why if isinstance(happening, Happening) else None


def _decided(state: State, part: KeptPart) -> bool:
    return any(
        one.choice is Choice.REMOVE
        for _, one in state.about(part.element, Decision, "decides on")
    )


def _contradictions(
    state: State, thing: str, steps: tuple[Step, ...], on: int | None
) -> tuple[str, ...]:
    """Where it was seen or moved after its end, or while it was back on the object."""
    turns = turns_of(state, thing, on)
    told = []
    for before, turn in zip(steps, turns, strict=False):
        handled = turn.sort in (Sort.SEEN, Sort.MOVED) and comes_after(before, turn)
        if handled and (before.stage in ENDED or before.stage is Stage.PUT_BACK):
            told.append(_told(state, before, turn))
    end = own_end(state.held(thing).record)
    if end in ENDED and steps[-1].stage is Stage.FOUND and steps[-1].turn:
        told.append(_told(state, Step(end, None), steps[-1].turn))
    return tuple(dict.fromkeys(told))


def _told(state: State, before: Step, turn: Turn) -> str:
    since = f" on {before.turn.when}" if before.turn else ""
    where = f" in {state.number(turn.where)}" if turn.where else ""
    by = f" by {turn.by}" if turn.by else ""
    return f"recorded as {before.stage}{since}, and {turn.sort}{where}{by} on {turn.when}"
