"""What every answer carries: its form, the day as known, claims and sources behind it.

An answer is plain data; it never formats and computes nothing that reasoning or keeping
has not computed. Its JSON shape is the model's, named and versioned by `form`.
"""

import datetime
from typing import ClassVar

from pydantic import BaseModel, ConfigDict

from ..record import Claim, Relation, Source, Stance
from ..state import State

NOT_RECORDED = "not recorded"


class Plain(BaseModel):
    """Base of everything in an answer: frozen plain data."""

    model_config = ConfigDict(frozen=True)


class Thing(Plain):
    """A record as an answer names it.

    Attributes:
        key: its stable id.
        number: the number people call it by.
        label: number and name.
        kind: kind of record.
    """

    key: str
    number: str
    label: str
    kind: str


class Said(Plain):
    """One claim as an answer quotes it.

    Attributes:
        text: the claim as a plain sentence.
        strength: its word on the scale named by `scale`.
        stance: "for" or "against".
        source: the source that it rests on; None where not recorded.
        origin: sources that its source copies, traced to the first.
        by: role that saw or said it; None where not recorded.
        when: date of seeing or saying, EDTF; None where not recorded.
        rival: what else could explain it; None where nobody named one.
    """

    key: str
    number: str
    text: str
    strength: str
    scale: str
    stance: str
    source: Thing | None
    origin: tuple[Thing, ...]
    by: str | None
    when: str | None
    rival: str | None
    note: str | None


class Warned(Plain):
    """A caution as every answer carries it; it never says that something may be done.

    Attributes:
        how: why it holds here, e.g. "of what it came from".
        ask: role to ask; None where not recorded.
    """

    number: str
    sort: str
    what: str
    known: str | None
    forbids: tuple[str, ...]
    basis: str | None
    authority: str | None
    ask: str | None
    review: str | None
    how: str
    via: Thing


class Answer(Plain):
    """Base of every answer.

    Attributes:
        form: name and version of the JSON shape.
        as_known: moment of the view, ISO 8601 UTC; None for now.
        cautions: hazards and restrictions of what the answer is about.
    """

    FORM: ClassVar[str]
    form: str
    as_known: str | None
    cautions: tuple[Warned, ...] = ()


def as_known(state: State) -> str | None:
    """The moment of a state as text."""
    if state.known is None:
        return None
    moment = datetime.datetime.fromtimestamp(state.known / 1000, datetime.UTC)
    return moment.isoformat(timespec="seconds")


def thing(state: State, key: str) -> Thing:
    """A record as an answer names it; a key that the state lacks names itself."""
    if key not in state:
        return Thing(key=key, number=key, label=key, kind=NOT_RECORDED)
    record = state.held(key).record
    return Thing(key=key, number=state.number(key), label=record.label(), kind=record.kind)


def said(state: State, key: str) -> Said:
    """A claim as an answer quotes it."""
    claim = state.record(key, Claim)
    return Said(
        key=key,
        number=claim.number,
        text=sentence(state, claim),
        strength=str(claim.strength),
        scale=claim.scale,
        stance=str(claim.stance),
        source=thing(state, claim.source) if claim.source else None,
        origin=tuple(thing(state, one) for one in first_sources(state, claim.source)),
        by=claim.by,
        when=str(claim.when) if claim.when else None,
        rival=claim.rival,
        note=claim.note,
    )


_TOLD: dict[Relation, str] = {
    Relation.AS_MADE: "is as made",
    Relation.ABUTS: "abuts",
    Relation.TRAPPED_IN: "is trapped in",
    Relation.CUT_BY: "is cut by",
    Relation.HELD_BY: "is held by",
    Relation.SEEN_BY: "was seen there by",
    Relation.ABSENT_ON: "was looked for and absent on",
    Relation.IMPRESSION_OF: "is an impression of",
    Relation.GHOST_OF: "is a ghost of",
    Relation.MADE_IN: "was made in",
    Relation.PLACED_IN: "was put in place in",
    Relation.NOT_BEFORE: "is not earlier than",
    Relation.NOT_AFTER: "is not later than",
    Relation.DATED: "is dated",
    Relation.ARRANGED: "was arranged as",
    Relation.COUNTED: "was counted as",
    Relation.MADE_OF: "is made of",
    Relation.SAME_STUFF: "is the same stuff as",
    Relation.SAME_HAND: "is by the same hand as",
    Relation.EARLIER_THAN: "is earlier than",
    Relation.LATER_THAN: "is later than",
    Relation.PART_OF: "is part of",
    Relation.REUSED_FROM: "was reused from",
    Relation.MOVED_FROM: "was moved from",
    Relation.COPIED_AS: "was copied as",
    Relation.NOTED: ":",
}
"""How a relation reads in a sentence, where not as its own word."""
_IN_A_PHASE = frozenset({Relation.ARRANGED, Relation.STOOD_AGAINST})


def sentence(state: State, claim: Claim) -> str:
    """A claim in plain words, e.g. "SCR-23 OP1 lies over SCR-21 varnish V1"."""
    told = _TOLD.get(claim.relation, str(claim.relation))
    denied = ["it is denied that"] if claim.stance is Stance.AGAINST else []
    words = [*denied, state.label(claim.about), told]
    if claim.other:
        words.append(state.label(claim.other))
    if claim.value:
        words.append(claim.value)
    if claim.phase:
        words.append(
            ("in " if claim.relation in _IN_A_PHASE else "") + state.label(claim.phase)
        )
    if claim.relation is Relation.NOTED and not claim.value and claim.note:
        words.append(claim.note)
    return " ".join(words).replace(" : ", ": ")


def first_sources(state: State, source: str | None) -> list[str]:
    """The sources that a source copies, followed to those that copy nothing."""
    if source is None or source not in state:
        return []
    found: list[str] = []
    met: set[str] = {source}
    todo = list(state.record(source, Source).copies)
    while todo:
        step = todo.pop(0)
        if step in met:
            continue
        met.add(step)
        further = state.record(step, Source).copies if step in state else ()
        if further:
            todo += further
        else:
            found.append(step)
    return found
