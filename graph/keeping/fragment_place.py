"""Places from which a loose fragment may have come: losses, openings, lost parts."""

import re
from dataclasses import dataclass
from enum import StrEnum
from typing import Final

from ..record import Element, ElementSort, KeptPart, Measure, Status
from ..state import State
from .whereabouts import whereabouts


class Vacancy(StrEnum):
    """Why something may be lacking at an element."""

    LOSS = "loss"  # a piece of the body is gone
    OPENING = "hole, slot or socket"  # something sat in it
    LOST = "not in place and not known to be anywhere"
    PIECE = "recorded as there; a piece of it may have come off"


VACANT_WORDS: Final = (
    "loss", "losses", "lacuna", "chip", "missing", "lost", "gap",
    "hole", "slot", "socket", "mortise", "recess",
)  # fmt: skip
"""Words by which records speak of a loss or an opening; common practice, no source."""

_LOSS = re.compile(r"\b(?:loss|losses|lacuna|lacunae|chip|chips|gap|missing)\b", re.I)
_OPENING = re.compile(r"\b(?:hole|slot|socket|mortise|recess)(?:s|es)?\b", re.I)
_LOST = re.compile(r"\b(?:lost|missing)\b", re.I)
_OFF = (Status.UNDOCUMENTED, Status.UNKNOWN_PLACE)
_ENDED = (Status.CONSUMED, Status.DISCARDED, Status.TRANSFERRED)


@dataclass(frozen=True, slots=True)
class Position:
    """A place that a fragment may fill, with what is recorded of it.

    Attributes:
        element: key of the element.
        vacancy: why something may be lacking there.
        why: the reason in words.
        material: material of what is lacking; None where not recorded.
        around: material around an opening; None where not recorded or no opening.
        thickness: of what is lacking, or of the wall around a loss.
        material_of: whose material that is, in words; empty: the element's own.
        thickness_of: the same for the thickness.
    """

    element: str
    vacancy: Vacancy
    why: str
    material: str | None
    around: str | None
    thickness: Measure | None
    material_of: str
    thickness_of: str


def position(state: State, key: str, *, named: bool = False) -> Position | None:
    """The place that an element offers to a fragment; None where nothing lacks there.

    Args:
        state: must hold the element, what it touches or belongs to, and its kept parts.
        key: key of the element.
        named: True where a claim names the element, so that it is looked at whatever is
            recorded of its state.
    """
    element = state.record(key, Element)
    found = _vacancy(state, key, element)
    if found is None:
        if not named:
            return None
        found = Vacancy.PIECE, "named by a claim"
    vacancy, why = found
    body, whose = _body(state, key, element)
    lacks_body = vacancy is Vacancy.LOSS
    return Position(
        key,
        vacancy,
        why,
        element.material or (_shared(body, "material") if lacks_body else None),
        _shared(body, "material") if vacancy is Vacancy.OPENING else None,
        element.thickness or (_thickness(body) if lacks_body else None),
        "" if element.material or not lacks_body else whose,
        "" if element.thickness or not lacks_body else whose,
    )


def _vacancy(state: State, key: str, element: Element) -> tuple[Vacancy, str] | None:
    if element.status in _ENDED:
        return None
    if element.sort in (ElementSort.FEATURE, ElementSort.ABSENCE):
        if _LOSS.search(element.name):
            return Vacancy.LOSS, f"recorded as '{element.name}'"
        if _OPENING.search(element.name):
            return Vacancy.OPENING, f"recorded as '{element.name}'"
        return None
    return _lost(state, key, element)


def _lost(state: State, key: str, element: Element) -> tuple[Vacancy, str] | None:
    if element.status in _OFF:
        return Vacancy.LOST, f"recorded as '{element.status}'"
    if element.status is Status.KEPT:
        kept = [part for part, _ in state.about(key, KeptPart, "taken from")]
        gone = [state.number(one) for one in kept if whereabouts(state, one).missing]
        if gone:
            return Vacancy.LOST, f"its kept part {', '.join(gone)} has no known place"
        return None if kept else (Vacancy.LOST, "removed, and no kept part is recorded")
    if element.status is None and _LOST.search(f"{element.name} {element.note or ''}"):
        return Vacancy.LOST, "its record speaks of a loss"
    return None


def _body(state: State, key: str, element: Element) -> tuple[list[Element], str]:
    """The elements around a feature: named neighbours, or the body of the object."""
    near = [one for one in (element.part_of, *element.touches) if one and one in state]
    if near:
        labels = ", ".join(state.number(one) for one in near)
        return [state.record(one, Element) for one in near], f"of {labels} around it"
    core = [
        one
        for other, one in state.about(element.object, Element, "element of")
        if one.core and other != key
    ]
    return core, "of the body of the object"


def _shared(body: list[Element], field: str) -> str | None:
    """The one material that all of the body is recorded in; None where they differ."""
    found = {getattr(one, field) for one in body if getattr(one, field)}
    return str(found.pop()) if len(found) == 1 else None


def _thickness(body: list[Element]) -> Measure | None:
    found = {one.thickness.text: one.thickness for one in body if one.thickness}
    return next(iter(found.values())) if len(found) == 1 else None
