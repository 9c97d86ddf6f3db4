"""Where a removed part or a sample stands in its life, and how it came there."""

from typing import ClassVar

from ..keeping import Life, Sort, Stage, Turn, dependents, life, turns_of
from ..keeping.lawful import ONLY
from ..keeping.stage import LAWFUL
from ..record import Became, Element, KeptPart
from ..state import State
from .answer import NOT_RECORDED, Answer, Plain, Thing, as_known, thing
from .caution import warnings


class Turned(Plain):
    """One turn.

    Attributes:
        what: what happened: it began, was moved, seen, not seen, or became something.
        when: EDTF date; None where not recorded.
        stage: where it stood after it.
    """

    what: str
    when: str | None
    by: str | None
    where: Thing | None
    stage: str


class Holds(Plain):
    """Something that depends on the thing, so that it may not be let go."""

    thing: Thing
    why: str


class LifeOf(Answer):
    """Answer to `vestige life ID`.

    Attributes:
        stage: where it stands now; "not recorded" where nothing says so.
        since: EDTF date of the turn that led there; None where not recorded.
        lacks: what the record of its removal lacks; until then it is not documented.
        contradictions: what is recorded and cannot all be so.
        can_become: turns that are lawful from here.
        depends: what holds back its disposal.
    """

    FORM: ClassVar[str] = "vestige.life/1"
    about: Thing
    stage: str
    since: str | None
    lacks: tuple[str, ...]
    turns: tuple[Turned, ...]
    contradictions: tuple[str, ...]
    can_become: tuple[str, ...]
    depends: tuple[Holds, ...]


def life_of(state: State, key: str) -> LifeOf:
    """The life of a thing from the records of it."""
    found = life(state, key)
    return LifeOf(
        form=LifeOf.FORM,
        as_known=as_known(state),
        cautions=warnings(state, key),
        about=thing(state, key),
        stage=stage_word(state, key, found.stage),
        since=str(found.since) if found.since else None,
        lacks=found.lacks,
        turns=_turns(state, found),
        contradictions=found.contradictions,
        can_become=_can_become(state, found),
        depends=tuple(
            Holds(thing=thing(state, one.key), why=one.why)
            for one in dependents(state, key)
        ),
    )


def stage_word(state: State, key: str, stage: Stage | None) -> str:
    """A stage in words; only what came off an object is called removed."""
    if stage is Stage.KEPT and not isinstance(state.held(key).record, (KeptPart, Element)):
        return "kept"
    return str(stage or NOT_RECORDED)


def _can_become(state: State, found: Life) -> tuple[str, ...]:
    kind = state.held(found.thing).record.kind
    last = found.steps[-1].stage if found.steps else None
    return tuple(
        str(word)
        for word in Became
        if last in LAWFUL[word] and kind in ONLY.get(word, (kind,))
    )


_BEGAN = {"part": "came off", "sample": "taken", "fragment": "found"}


def _what(state: State, key: str, turn: Turn) -> str:
    if turn.sort is Sort.BEGINS:
        return _BEGAN[state.held(key).record.kind]
    return str(turn.became or turn.sort)


def _turns(state: State, found: Life) -> tuple[Turned, ...]:
    return tuple(
        Turned(
            what=_what(state, found.thing, turn),
            when=str(turn.when) if turn.when else None,
            by=turn.by,
            where=thing(state, turn.where) if turn.where else None,
            stage=stage_word(state, found.thing, step.stage),
        )
        for turn, step in zip(turns_of(state, found.thing), found.steps, strict=False)
    )
