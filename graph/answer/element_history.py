"""What is recorded of an element's comings and goings, said beside its verdict.

An assessment asks when an element first held the place that it holds. Taking it off and
putting it back changes its history and not that answer, so that the history is told from
the records, in words, and never inferred.
"""

from ..keeping import Stage, life
from ..reasoning import VerdictWord
from ..record import (
    Became,
    Claim,
    Edtf,
    Element,
    Fate,
    Happening,
    HappeningSort,
    KeptPart,
    Relation,
    Stance,
)
from ..state import State

__all__ = ["put_back_since", "reused_from", "with_history"]


def put_back_since(state: State, element: str) -> str:
    """When an element that had come off was put back, last; "" where it never was.

    A date, or the short name of a phase where no date is recorded; "at a time not
    recorded" where neither is.
    """
    found: list[tuple[int, str]] = []
    object_key = state.record(element, Element).object
    for _, one in state.about(object_key, Happening):
        if one.sort is HappeningSort.PUTTING_BACK and element in one.elements:
            phase = state.number(one.phase) if one.phase and one.phase in state else ""
            found.append(_dated(one.when, phase))
    for _, fate in state.about(element, Fate, "befell"):
        if fate.became is Became.PUT_BACK:
            found.append(_dated(fate.when, ""))
    for part, _ in state.about(element, KeptPart):
        now = life(state, part)
        if now.stage is Stage.PUT_BACK:
            found.append(_dated(now.since, ""))
    return max(found)[1] if found else ""


def _dated(when: Edtf | None, phase: str) -> tuple[int, str]:
    day = when.earliest if when and when.earliest is not None else -(10**9)
    return day, str(when) if when else phase or "a time not recorded"


def reused_from(state: State, element: str) -> tuple[str, ...]:
    """Numbers of the elements of its object that it is said to come from."""
    told = (
        claim.other
        for _, claim in state.about(element, Claim)
        if claim.about == element
        and claim.relation in (Relation.REUSED_FROM, Relation.MOVED_FROM)
        and claim.stance is Stance.FOR
    )
    return tuple(dict.fromkeys(state.number(one) for one in told if one and one in state))


def with_history(state: State, element: str, word: VerdictWord, text: str) -> str:
    """The text of a verdict, with what is recorded of putting back and re-use."""
    since = put_back_since(state, element)
    if since and word is VerdictWord.IN_PLACE:
        again = f"original, in its first place again since {since}"
        text = text.replace(str(VerdictWord.IN_PLACE), again, 1)
    elif since:
        text += f"; put back {since}"
    origins = reused_from(state, element)
    if origins and word in (VerdictWord.OLD_LATER, VerdictWord.MOVED):
        text += f"; said to come from {', '.join(origins)}"
    return text
