"""Decisions whose ground has moved: what the assessment said then, and what it says now.

The decision is a person's record and is never changed here. Where a verdict about what it
is about, or a claim that it rests on, is another one now, the decision is listed to be
looked at again, with both sides.

What was known when it was decided is reckoned as of the end of its own date where the
archive then held what it is about and all that it rests on; otherwise as of the moment
at which the decision was recorded, for a view of a day on which nothing was recorded
would be empty. Each entry says which.
"""

from collections.abc import Callable
from typing import ClassVar

from ..errors import BadValue, NotRecorded, Refused
from ..record import (
    Claim,
    Decision,
    Element,
    KeptPart,
    MuseumObject,
    Relation,
    Stance,
    iso,
)
from ..state import State
from .answer import Answer, Plain, Said, Thing, as_known, said, thing
from .belonging import belonging
from .caution import warnings
from .verdict_move import VerdictMove, VerdictThen, View, moves, verdict_then, view_of

NOTE = (
    "A decision is a person's and is not changed. That it is not listed to be looked at "
    "again does not mean that it was right; only recorded things were compared. The year "
    "of asking is left out on both sides."
)
DAY_MS = 86_400_000
LOOK_AGAIN, HOLDS, UNCOMPARED = (
    "to be looked at again",
    "nothing recorded has moved",
    "could not be compared",
)
Then = Callable[[int], State | None]
"""The state around the object as known at a moment, for the same reader; None: nothing."""


class RestsOn(Plain):
    """A claim that a decision rests on.

    Attributes:
        claim: as it stands now; None where it was withdrawn.
        number: its number.
        now: "as it was", "corrected", "withdrawn" or "newly opposed".
        before: the claim as it stood then, where it is another one now.
        by: claims that oppose it and were not known then.
    """

    claim: Said | None
    number: str
    now: str
    before: Said | None
    by: tuple[Said, ...]


class DecisionOf(Plain):
    """One decision beside its ground.

    Attributes:
        standing: "to be looked at again", "nothing recorded has moved" or "could not be
            compared".
        why: the reasons in words.
        as_of: which moment the assessment then was computed for, and why that one.
        assessment_said: what the record of the decision says of it, to the letter.
        then: verdicts on what it is about, as known then, where they can be had.
        moved: verdicts that are others now.
        rests_on: the claims it rests on, each with what became of it.
    """

    thing: Thing
    about: tuple[Thing, ...]
    choice: str
    reason: str
    by: str
    when: str
    standing: str
    why: tuple[str, ...]
    as_of: str
    assessment_said: str | None
    then: tuple[tuple[Thing, VerdictThen], ...]
    moved: tuple[VerdictMove, ...]
    rests_on: tuple[RestsOn, ...]


class Decisions(Answer):
    """Answer to `vestige decisions [OBJECT]`.

    Attributes:
        about: the object asked about; None for the whole collection.
        decisions: those to be looked at again first.
    """

    FORM: ClassVar[str] = "vestige.decisions/1"
    about: Thing | None
    decisions: tuple[DecisionOf, ...]
    note: str = NOTE


def decisions_of(state: State, key: str, then: Then) -> Decisions:
    """Every decision about one object, beside its ground then and now.

    Args:
        state: the state around the object.
        key: the object's key.
        then: gives earlier states.
    """
    return Decisions(
        form=Decisions.FORM,
        as_known=as_known(state),
        cautions=warnings(state, key),
        about=thing(state, key),
        decisions=object_decisions(state, key, then),
    )


def object_decisions(state: State, key: str, then: Then) -> tuple[DecisionOf, ...]:
    """The decisions about one object, those to be looked at again first."""
    own = belonging(state, key)
    found = [one for one, _ in state.all_of(Decision) if one in own]
    views = _Views(state, key, then)
    told = [_decision(views, one) for one in found]
    rank = {LOOK_AGAIN: 0, UNCOMPARED: 1, HOLDS: 2}
    return tuple(sorted(told, key=lambda one: (rank[one.standing], one.thing.number)))


class _Views:
    """The object now and at earlier moments; each is assessed once, and only if asked."""

    def __init__(self, state: State, key: str, then: Then) -> None:
        self.state, self.key, self._then = state, key, then
        self._states: dict[int, State | None] = {}
        self._views: dict[int | None, View | str] = {}

    def at(self, moment: int) -> State | None:
        """The state then."""
        if moment not in self._states:
            self._states[moment] = self._then(moment)
        return self._states[moment]

    def same(self, moment: int) -> bool:
        """Whether nothing about the object was recorded since: no view can differ then."""
        earlier = self.at(moment)
        if earlier is None or set(earlier) != set(self.state):
            return False
        return all(earlier.held(one).seq == self.state.held(one).seq for one in earlier)

    def view(self, moment: int | None) -> View | str:
        """The object as assessed; in words why not, where it could not be."""
        if moment not in self._views:
            state = self.state if moment is None else self.at(moment)
            near = next(
                (one for one in self._views.values() if isinstance(one, View)), None
            )
            try:
                self._views[moment] = (
                    view_of(state, self.key, near) if state else "not recorded"
                )
            except (BadValue, NotRecorded, Refused) as wrong:
                self._views[moment] = str(wrong)
        return self._views[moment]


def _decision(views: _Views, key: str) -> DecisionOf:
    state, record = views.state, views.state.record(key, Decision)
    moment, as_of = _moment(views, key, record)
    things = _elements(state, views.key, record)
    before = views.at(moment)
    known = [one for one in record.rests_on if one in state or (before and one in before)]
    claims = tuple(_rests_on(state, before, one) for one in known)
    view = views.view(moment)
    told: tuple[VerdictMove, ...] = ()
    lacking = view if isinstance(view, str) else ""
    if not lacking and not views.same(moment):
        now = views.view(None)
        lacking = now if isinstance(now, str) else ""
        if isinstance(view, View) and isinstance(now, View):
            told = tuple(moves(view, now, things))
    why = _reasons(told, claims)
    standing = LOOK_AGAIN if why else UNCOMPARED if lacking else HOLDS
    return DecisionOf(
        thing=thing(state, key),
        about=tuple(thing(state, one) for one in record.about),
        choice=str(record.choice),
        reason=record.reason,
        by=record.by,
        when=str(record.when),
        standing=standing,
        why=(*why, lacking) if lacking else why,
        as_of=as_of,
        assessment_said=record.assessment_said,
        then=() if isinstance(view, str) else _then(state, view, record),
        moved=told,
        rests_on=claims,
    )


def _moment(views: _Views, key: str, record: Decision) -> tuple[int, str]:
    """The moment whose knowledge is compared with that of now, and in words why that."""
    held = views.state.held(key)
    recorded = iso(held.at // DAY_MS)
    last = record.when.latest
    decided = None if last is None else (last + 1) * DAY_MS - 1
    if decided is None or decided >= held.at:
        return held.at, f"as known when it was recorded, {recorded}"
    earlier = views.at(decided)
    wanted = [one for one in (*record.about, *record.rests_on) if one in views.state]
    if earlier is not None and all(one in earlier for one in wanted):
        return decided, f"as known at the end of its date, {record.when}"
    return held.at, (
        f"as known when it was recorded, {recorded}: at its date, {record.when}, the "
        "archive did not yet hold all that it is about and rests on"
    )


def _elements(state: State, home: str, record: Decision) -> frozenset[str]:
    """Elements whose verdicts are its ground: those it is about, or its claims are about.

    A decision about a whole object rests on the elements that its claims name; where it
    names none, on all.
    """
    found: set[str] = set()
    whole = False
    for one in record.about:
        about = state.held(one).record if one in state else None
        whole = whole or isinstance(about, MuseumObject)
        found.add(about.element if isinstance(about, KeptPart) else one)
    if whole and not record.rests_on:
        return frozenset(key for key, one in state.all_of(Element) if one.object == home)
    for claim in record.rests_on if whole else ():
        if claim in state:
            said_ = state.record(claim, Claim)
            found.update(end for end in (said_.about, said_.other) if end)
    return frozenset(found)


def _then(
    state: State, view: View, record: Decision
) -> tuple[tuple[Thing, VerdictThen], ...]:
    found = []
    for one in record.about:
        about = state.held(one).record if one in state else None
        element = about.element if isinstance(about, KeptPart) else one
        verdict = verdict_then(view.verdicts.get(element))
        if verdict is not None:
            found.append((thing(state, element), verdict))
    return tuple(found)


def _rests_on(state: State, before: State | None, claim: str) -> RestsOn:
    """What became of a claim that a decision rests on."""
    old = before if before is not None and claim in before else None
    if claim not in state:
        number = old.number(claim) if old else claim
        was = said(old, claim) if old else None
        return RestsOn(claim=None, number=number, now="withdrawn", before=was, by=())
    corrected = old is not None and old.held(claim).seq != state.held(claim).seq
    fresh = [one for one in _opposing(state, claim) if before is None or one not in before]
    now = "corrected" if corrected else "newly opposed" if fresh else "as it was"
    return RestsOn(
        claim=said(state, claim),
        number=state.number(claim),
        now=now,
        before=said(old, claim) if corrected and old is not None else None,
        by=tuple(said(state, one) for one in fresh),
    )


def _opposing(state: State, claim: str) -> list[str]:
    """Claims that oppose or dispute a claim, or deny what it says."""
    one = state.record(claim, Claim)
    found = []
    for key, other in state.all_of(Claim):
        speech = other.relation in (Relation.OPPOSES, Relation.DISPUTES)
        ends = claim in (other.about, other.other)
        against = speech and ends and other.stance is Stance.FOR
        if against or _denies(one, other):
            found.append(key)
    return found


def _denies(one: Claim, other: Claim) -> bool:
    mine, its = ((c.about, c.relation, c.other, c.value, c.phase) for c in (one, other))
    return mine == its and one.stance is not other.stance


def _reasons(told: tuple[VerdictMove, ...], claims: tuple[RestsOn, ...]) -> tuple[str, ...]:
    found = [f"the verdict on {one.thing.number} is another one now" for one in told]
    for claim in claims:
        if claim.now != "as it was":
            by = f" by {', '.join(one.number for one in claim.by)}" if claim.by else ""
            found.append(f"{claim.number}, on which it rests, is {claim.now}{by}")
    return tuple(found)
