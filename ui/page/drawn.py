"""Answers as the data of drawings; what cannot be drawn is left to words."""

from typing import TYPE_CHECKING

from ..drawing import (
    ArrangementData,
    ArrangementPiece,
    ArrangementPlace,
    ArrangementState,
    VerdictData,
    VerdictGroup,
    VerdictPart,
)
from ..drawing.signs import STATUSES
from . import words

if TYPE_CHECKING:
    from vestige.graph.answer.arrangement import Account, Arrangements, Stage
    from vestige.graph.answer.assessment import AssessmentOf, VerdictOf


def verdicts_drawn(answer: "AssessmentOf", shown: "tuple[VerdictOf, ...]") -> VerdictData:
    """Verdicts grouped by kind of element."""
    sorts = list(dict.fromkeys(one.sort for one in shown))
    when = words.AS_KNOWN_ON.format(day=answer.as_known[:10]) if answer.as_known else ""
    return VerdictData(
        title=words.VERDICTS_OF.format(number=answer.about.number),
        parts=tuple(_part(one) for one in shown),
        groups=tuple(VerdictGroup(sort, words.SORTS.get(sort, sort)) for sort in sorts),
        arrangement=when,
    )


def _part(one: "VerdictOf") -> VerdictPart:
    recorded = one.status in STATUSES
    return VerdictPart(
        key=one.thing.key,
        label=one.thing.label,
        verdict=_worded(one),
        grade="unexamined" if one.word == "unexamined" else one.grade,
        group=one.sort,
        status=one.status if recorded else "in place",
        place="" if recorded else words.STATUS_LACKS,
        rival=one.rival,
    )


def _worded(one: "VerdictOf") -> str:
    """The verdict without its grade and grounds, which the drawing shows by signs."""
    text = one.text.split(": by definition", maxsplit=1)[0]
    return text.replace(f" ({one.grade})", "", 1)


def arrangements_drawn(answer: "Arrangements") -> ArrangementData | None:
    """Pieces side by side in each phase; None where no account is a row of pieces."""
    states = tuple(
        _state(stage, account, nth)
        for stage in answer.stages
        for nth, account in enumerate(_rows(stage))
    )
    letters = dict.fromkeys(place.piece for one in states for place in one.places)
    if not letters:
        return None
    return ArrangementData(
        title=words.ARRANGED_OF.format(number=answer.about.number),
        pieces=tuple(ArrangementPiece(one, one) for one in letters),
        states=states,
    )


def _rows(stage: "Stage") -> "list[Account]":
    """Accounts that somebody holds and that name a row of pieces, e.g. "A-C-B-D"."""
    return [
        one
        for one in stage.accounts
        if one.speaks_for and len(_pieces(one)) == len(set(_pieces(one))) > 1
    ]


def _pieces(account: "Account") -> list[str]:
    parts = [part.strip() for part in account.words.split("-")]
    fit = all(part and len(part) <= 4 for part in parts)
    return parts if fit and len(parts) > 1 else []


def _state(stage: "Stage", account: "Account", nth: int) -> ArrangementState:
    phase = stage.phase
    return ArrangementState(
        key=f"{phase.key if phase else ''}-{nth}",
        label=phase.label if phase else words.NO_PHASE,
        when="",
        places=tuple(ArrangementPlace(piece) for piece in _pieces(account)),
        strength=account.strength or "",
        basis=tuple(one.number for one in account.speaks_for),
        rival=nth > 0,
    )
