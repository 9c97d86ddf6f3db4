"""Verdicts before and after: which moved between two views, and the claims that moved them.

A verdict has moved where its word, its grade, its phases or, for an open one, what it is
open between, is another. The year of asking would move verdicts by itself, so it is left
out of both views, as it is where `assess` is asked without a day.
"""

from collections.abc import Collection, Iterable
from dataclasses import dataclass, replace

from ..reasoning import (
    Assessment,
    CaseReading,
    Verdict,
    assess,
    assess_again,
    case_of,
    verdicts,
)
from ..reasoning.mover import movers
from ..record import Claim, Element
from ..state import State
from .answer import Plain, Said, Thing, said, thing

MOST_WEIGHED = 30
"""Changed claims that are weighed one by one; beyond, only those about what moved."""
MOST_TOLD = 5


class VerdictThen(Plain):
    """A verdict in one view."""

    word: str
    grade: str
    text: str


class Moving(Plain):
    """A claim that moved a verdict.

    Attributes:
        claim: as it stands in the view that has it.
        how: "stated", "corrected" or "withdrawn".
        shift: largest change in the probability of any statement about the element.
    """

    claim: Said
    how: str
    shift: float


class VerdictMove(Plain):
    """A verdict that is another one now.

    Attributes:
        before, after: None where the element was not, or is no more, recorded.
        because: claims that moved it, the weightiest first; empty where a change of
            phases, sources or elements did, or many small ones together.
    """

    thing: Thing
    before: VerdictThen | None
    after: VerdictThen | None
    because: tuple[Moving, ...]


@dataclass(frozen=True, slots=True)
class View:
    """One object as assessed in one state."""

    state: State
    reading: CaseReading
    assessment: Assessment
    verdicts: dict[str, Verdict]


def view_of(state: State, key: str, near: View | None = None) -> View:
    """Assess an object in one state.

    Args:
        state: what is known.
        key: key of the object.
        near: another view of the same object; where the two differ by a few claims, only
            what these touch is reckoned again.

    Raises:
        NotRecorded: where the state has no such object.
        BadValue: where its record cannot be assessed.
    """
    reading = case_of(state, key)
    reading = replace(reading, case=replace(reading.case, present=None))
    if near is None:
        assessment = assess(reading.case)
    else:
        assessment = assess_again(near.assessment, reading.case)
    found = {
        one.thing: one
        for one in verdicts(assessment)
        if isinstance(state.held(one.thing).record, Element)
    }
    return View(state, reading, assessment, found)


def moved(before: View, after: View) -> list[str]:
    """Keys of elements whose verdict is another one, in the order of recording."""
    things = dict.fromkeys([*after.verdicts, *before.verdicts])
    return [
        one
        for one in things
        if _kind(before.verdicts.get(one)) != _kind(after.verdicts.get(one))
    ]


def moves(
    before: View, after: View, only: Collection[str] | None = None
) -> list[VerdictMove]:
    """The verdicts that moved, with the claims that moved them.

    Args:
        before, after: the two views.
        only: elements asked about; None for all.
    """
    wanted = [one for one in moved(before, after) if only is None or one in only]
    if not wanted:
        return []
    told: dict[str, list[Moving]] = {one: [] for one in wanted}
    for view, other, alone in (
        (after, before, "stated"),
        (before, after, "withdrawn"),
    ):
        for one, found in _movers(view, other, alone, wanted).items():
            told[one] += found
    return [
        VerdictMove(
            thing=thing((after if one in after.state else before).state, one),
            before=verdict_then(before.verdicts.get(one)),
            after=verdict_then(after.verdicts.get(one)),
            because=_heaviest(told[one]),
        )
        for one in wanted
    ]


def verdict_then(verdict: Verdict | None) -> VerdictThen | None:
    """A verdict as it is told beside another one."""
    if verdict is None:
        return None
    return VerdictThen(word=str(verdict.word), grade=str(verdict.grade), text=verdict.text)


def _kind(verdict: Verdict | None) -> tuple[object, ...] | None:
    if verdict is None:
        return None
    between = frozenset(verdict.between)
    return verdict.word, verdict.grade, verdict.phases, between


def _movers(
    view: View, other: View, alone: str, things: list[str]
) -> dict[str, list[Moving]]:
    """What moved each thing among the claims that this view has and the other has not."""
    changed = [key for key in _claims(view) if _changed(view, other, key)]
    if len(changed) > MOST_WEIGHED:
        changed = [key for key in changed if _names(view.state, key) & set(things)]
    groups: dict[str, list[str]] = {key: [] for key in changed[:MOST_WEIGHED]}
    for claim in view.reading.case.claims:
        key = view.reading.claim_key(claim.id)
        if key in groups:
            groups[key].append(claim.id)
    here = [one for one in things if one in view.verdicts]
    found = movers(view.assessment, groups, here)
    return {
        one: [
            Moving(
                claim=said(view.state, key),
                how="corrected" if key in other.state else alone,
                shift=round(shift, 6),
            )
            for key, shift in told
        ]
        for one, told in found.items()
    }


def _claims(view: View) -> Iterable[str]:
    keys = (view.reading.claim_key(one.id) for one in view.reading.case.claims)
    return (
        key for key in dict.fromkeys(keys) if isinstance(view.state.held(key).record, Claim)
    )


def _changed(view: View, other: View, key: str) -> bool:
    if key not in other.state:
        return True
    return view.state.held(key).seq != other.state.held(key).seq


def _names(state: State, key: str) -> set[str]:
    claim = state.record(key, Claim)
    return {one for one in (claim.about, claim.other) if one}


def _heaviest(found: list[Moving]) -> tuple[Moving, ...]:
    """Each claim once, at its weightier reading; the five weightiest."""
    best: dict[str, Moving] = {}
    for one in sorted(found, key=lambda one: -one.shift):
        best.setdefault(one.claim.key, one)
    return tuple(best.values())[:MOST_TOLD]
