"""Custody in words for a terminal, and as the data of its drawing."""

from typing import TYPE_CHECKING

from vestige.ui.drawing import (
    CustodyData,
    CustodyGap,
    CustodyPlace,
    CustodySighting,
    CustodyStay,
)

from .words import NONE, cautions, place, seen, view

if TYPE_CHECKING:
    from vestige.graph.answer.custody import Custody, Dated, Holding, PlaceStay, Sighted

_KINDS = {"seen": "confirmed", "seen elsewhere": "confirmed", "not seen": "not seen"}
_YEAR = 365.2425
"""Mean length of a Gregorian year in days."""


def custody(answer: "Custody") -> str:
    """Words of `custody`: title, holder and place stand apart."""
    lines = [answer.about.label, *view(answer.as_known), *cautions(answer.cautions)]
    for head, spells in (("title", answer.title), ("holder", answer.holder)):
        lines += [f"{head}:", *([f"  {_holding(one)}" for one in spells] or [f"  {NONE}"])]
    lines += ["place:", *([f"  {_stay(one)}" for one in answer.places] or [f"  {NONE}"])]
    lines.append(f"now: {place(answer.now.place)}; last seen {seen(answer.now.last_seen)}")
    if answer.now.gone:
        lines.append(f"gone: {answer.now.gone}")
    lines.append("gaps and overlaps found in the record:")
    for one in answer.lacks:
        says = ", ".join(record.label for record in one.says)
        lines.append(f"  {one.sort.upper()} {one.text}  [{says}]")
    return "\n".join([*lines, *([] if answer.lacks else ["  none found"])])


def _holding(one: "Holding") -> str:
    return f"{_when(one.since)}: {one.who or NONE}, {one.how}  [{one.says.number}]"


def _stay(one: "PlaceStay") -> str:
    until = "the last recorded" if one.last else f"until {_when(one.until)}"
    by = f" by {one.by}" if one.by else ""
    stay = f"{one.holder.label}, {one.how}{by}, {until}"
    return f"{_when(one.since)}: {stay}  [{one.says.label}]"


def _when(date: "Dated | None") -> str:
    return date.text if date else NONE


def drawn(answer: "Custody") -> CustodyData:
    """The same answer as the data of a strip in time; what has no date is not drawn."""
    places = {one.holder.key: one.holder.label for one in answer.places}
    places |= {one.where.key: one.where.label for one in answer.looks if one.where}
    spans = [span for one in answer.places if (span := _span(one.since))]
    spans += [span for look in answer.looks if (span := _span(look.when))]
    until = max((end for _, end in spans), default=None)
    gaps = []
    for one in answer.lacks:
        begins, ends = _span(one.begins), _span(one.ends)
        if one.sort == "gap" and begins and until is not None:
            stop = ends[0] if ends else until
            gaps.append(CustodyGap(begins[0], max(stop, begins[0]), one.text))
    return CustodyData(
        title=f"{answer.about.label}: where it was",
        places=tuple(CustodyPlace(key, label) for key, label in places.items()),
        stays=tuple(stay for one in answer.places if (stay := _drawn_stay(one))),
        gaps=tuple(sorted(gaps, key=lambda gap: gap.start)),
        sightings=tuple(look for one in answer.looks if (look := _drawn_look(one))),
        until=until,
    )


def _drawn_stay(one: "PlaceStay") -> CustodyStay | None:
    begins, ends = _span(one.since), _span(one.until)
    if begins is None and ends is None:
        return None
    if begins and ends and ends[0] < begins[1]:  # overlapping uncertain dates
        ends = (max(ends[0], begins[1]), max(ends[1], begins[1]))
    until = f" to {one.until.text}" if one.until else ""
    return CustodyStay(
        key=one.says.key,
        place=one.holder.key,
        words=f"{_when(one.since)}{until}, {one.how}",
        begins=begins,
        ends=ends,
        still=one.last,
    )


def _drawn_look(one: "Sighted") -> CustodySighting | None:
    span = _span(one.when)
    if span is None or one.where is None or one.seen not in _KINDS:
        return None
    return CustodySighting(
        key=one.says.key,
        place=one.where.key,
        year=span[0],
        words=f"{one.when.text}, {one.seen}",
        kind=_KINDS[one.seen],
    )


def _span(date: "Dated | None") -> tuple[float, float] | None:
    """A date as decimal years, earliest and latest; None without both bounds."""
    if date is None or date.earliest is None or date.latest is None:
        return None
    return 1970 + date.earliest / _YEAR, 1970 + (date.latest + 1) / _YEAR
