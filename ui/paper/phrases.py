"""Phrases that a report uses in several places: dates, places, looks, claims, cautions."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import TYPE_CHECKING

from vestige.graph.errors import BadValue
from vestige.graph.record import Edtf

if TYPE_CHECKING:
    from vestige.graph.answer.answer import Said, Thing, Warned
    from vestige.graph.answer.whereabouts import LastSeen, Located

__all__ = [
    "NONE",
    "caution",
    "claim",
    "counted",
    "done",
    "kept_where",
    "listed",
    "or_none",
    "seen",
    "some",
    "when",
]

NONE = "not recorded"
HAZARD = (
    "treat as hazardous until your safety officer or a competent analyst says otherwise; "
    "follow local law"
)
NEGATIVE = "the test speaks of its own spot, method and date only"
_CERTAINTY = {
    "confirmed": "confirmed: it was seen there",
    "inferred": "inferred, not seen: only what holds it was seen or moved",
    "not seen there": "looked for there and not seen",
}


def or_none(text: str | None) -> str:
    """The text, or that nothing is recorded."""
    return text if text and text.strip() else NONE


def some(texts: Iterable[str | None], joint: str = "; ") -> str:
    """What is recorded of several things, or that nothing is."""
    return joint.join(text for text in texts if text) or NONE


def when(edtf: str | None) -> str:
    """An EDTF date in plain English; a text that is none as it stands."""
    if not edtf:
        return NONE
    try:
        return Edtf.parse(edtf).in_words()
    except BadValue:
        return edtf


def done(date: str | None, by: str | None) -> str:
    """When and by whom something was done, each as far as it is recorded."""
    if not date and not by:
        return f"when and by whom {NONE}"
    return f"{date or f'when {NONE}'}, by {by or f'whom {NONE}'}"


def counted(number: int, one: str, many: str = "") -> str:
    """A count with its noun, e.g. "1 element", "3 elements", "no element"."""
    if number == 0:
        return f"no {one}"
    return f"{number} {one if number == 1 else many or one + 's'}"


def listed(things: Sequence[Thing], most: int = 12) -> str:
    """Labels in a row; past ``most`` only how many more there are."""
    named = ", ".join(one.label for one in things[:most])
    more = len(things) - most
    return f"{named}, and {more} more (see the table)" if more > 0 else named


def seen(look: LastSeen | None) -> str:
    """When, where and by whom something was last seen."""
    if look is None:
        return NONE
    where = f" in {look.where.label}" if look.where else ""
    by = f" by {look.by}" if look.by else ", by whom not recorded"
    itself = "" if look.direct else " (what holds it, not the thing itself)"
    return f"{when(look.when)}{where}{by}{itself}"


def kept_where(located: Located) -> str:
    """Where a thing is and how that is known; an alarm where it is not known."""
    if located.gone:
        return located.gone
    told = " in ".join(stay.holder.label for stay in located.place) or f"place {NONE}"
    if located.place and located.place[0].since:
        told += f", there since {when(located.place[0].since)}"
    told += f" ({_CERTAINTY[located.certainty]})" if located.place else ""
    if located.not_seen:
        told += f"; not seen {seen(located.not_seen)}"
    for stay in located.conflict:
        told += f"; also said to be in {stay.holder.label} at that time"
    if located.listed:
        told += f"; only listed from records, not sighted: {', '.join(located.listed)}"
    return f"MISSING: {told}" if located.alarm else told


def claim(said: Said) -> str:
    """A claim with its strength, source and what else could explain it."""
    source = said.source.label if said.source else f"source {NONE}"
    if said.origin:
        source += f", a copy of {', '.join(one.number for one in said.origin)}"
    rival = f" Other explanation: {said.rival}." if said.rival else ""
    return f"{said.text} [{said.strength}; {said.number}; {source}].{rival}"


def caution(one: Warned) -> str:
    """A caution with its basis and whom to ask; never that something may be done."""
    told = [f"{one.sort.upper()}: {one.what}."]
    if one.sort == "hazard":
        told.append(f"{(one.known or NONE).capitalize()}:")
        told.append((NEGATIVE if one.known == "tested negative" else HAZARD) + ".")
    if one.forbids:
        told.append(f"Not without the authority's word: {', '.join(one.forbids)}.")
    told.append(f"Basis: {or_none(one.basis)}.")
    told += [f"Set by: {one.authority}."] if one.authority else []
    told.append(f"Ask: {or_none(one.ask)}.")
    told += [f"To be reviewed: {when(one.review)}."] if one.review else []
    if one.how != "recorded of it":
        told.append(f"It comes from {one.via.label} ({one.how}).")
    return " ".join([*told, f"({one.number})"])
