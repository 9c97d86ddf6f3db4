"""The first page of a report: cautions, then in plain words what a reader must know."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from typing import TYPE_CHECKING

from .layout import Lines, Pairs, Section
from .phrases import NONE, caution, counted, kept_where, listed, or_none, seen

if TYPE_CHECKING:
    from vestige.graph.answer.answer import Thing, Warned
    from vestige.graph.answer.report import ReportOf

__all__ = ["first_page"]

MOST_TAKEN = 10
MOST_NAMED = 3
NO_ADVICE = (
    "Vestige records; it does not recommend treatment. Decisions belong to a qualified "
    "conservator and the owner."
)
NO_CAUTION = (
    "No caution is recorded. That does not mean that there is none: follow local rules "
    "and ask a competent person before anything is touched."
)


def first_page(report: ReportOf) -> tuple[Section, ...]:
    """Sections of the first page; cautions come before everything."""
    cautions = tuple(caution(one) for one in _cautions(report)) or (NO_CAUTION,)
    return (
        Section("Cautions", (Lines(cautions, "caution"),)),
        Section("What it is", (Pairs(_what_it_is(report)),)),
        Section("What is original, what is later, what is open", (_original(report),)),
        Section("What was taken off, and where it is", (_taken(report),)),
        Section("What is missing", (Lines(_missing(report), "list"),)),
        Section("What to mind", (Lines(_to_mind(report), "list"),)),
    )


def _cautions(report: ReportOf) -> tuple[Warned, ...]:
    """Those of the object, then those that its parts have from where they lie."""
    found = {one.number: one for one in report.cautions}
    located = [one.located for one in report.taken]
    located += [one.located for one in report.samples]
    for place in located:
        for one in place.cautions:
            found.setdefault(one.number, one)
    return tuple(found.values())


def _what_it_is(report: ReportOf) -> tuple[tuple[str, str], ...]:
    facts = report.facts
    return (
        ("Object", f"{facts.name}, number {facts.number}"),
        ("Other numbers", "; ".join(facts.other_numbers) or NONE),
        ("Made, from the papers", or_none(facts.made)),
        ("Made where", or_none(facts.where)),
        ("Owner", or_none(facts.owner)),
        ("Held by", or_none(facts.held_by)),
        ("Record as known", report.as_known or f"{report.made}, when this report was made"),
    )


def _original(report: ReportOf) -> Lines:
    judged = len(report.assessment.verdicts)
    if not judged:
        return Lines((f"Elements with a verdict: {NONE}.",))
    lines = [
        f"{counted(judged, 'element')} can bear a verdict. The verdicts are computed from "
        "what is recorded, with the grades established, probable and possible."
    ]
    groups = (
        ("held to be original", report.original),
        ("held to be later", report.later),
        ("open", report.undecided),
        ("unexamined: nothing recorded speaks of their age", report.unexamined),
    )
    for told, things in groups:
        number = "None is" if not things else f"{len(things)} of {judged}:"
        if not things:
            lines.append(f"{number} {told}.")
            continue
        lines.append(f"{number} {told}{_grades(report, things)}: {listed(things)}.")
    return Lines(tuple(lines), "list")


def _grades(report: ReportOf, things: Sequence[Thing]) -> str:
    keys = {one.key for one in things}
    grades = Counter(
        one.grade for one in report.assessment.verdicts if one.thing.key in keys
    )
    told = [
        f"{grades[word]} {word}"
        for word in ("established", "probable", "possible")
        if grades[word]
    ]
    return f" ({', '.join(told)})" if told else ""


def _taken(report: ReportOf) -> Lines:
    if not report.taken:
        return Lines((f"Parts taken off: {NONE}.",))
    lines = [
        f"{one.located.thing.label}: {kept_where(one.located)}."
        for one in report.taken[:MOST_TAKEN]
    ]
    more = len(report.taken) - MOST_TAKEN
    if more > 0:
        lines.append(f"{counted(more, 'more thing')}: see the table of parts taken off.")
    return Lines(tuple(lines), "list")


def _missing(report: ReportOf) -> tuple[str, ...]:
    located = [one.located for one in report.taken]
    located += [one.located for one in report.samples]
    return tuple(
        f"{one.thing.label}: it ought to be somewhere and is not known to be. "
        f"Last seen: {seen(one.last_seen)}."
        for one in located
        if one.alarm
    ) or ("Nothing that is recorded as taken off or sampled lacks a place.",)


def _to_mind(report: ReportOf) -> tuple[str, ...]:
    lines = [NO_ADVICE]
    if report.contradictions:
        number = counted(len(report.contradictions), "contradiction")
        texts = "; ".join(one.text for one in report.contradictions[:MOST_NAMED])
        lines.append(f"The record holds {number}; none is resolved here. {texts}.")
    if report.questions:
        number = counted(len(report.questions), "open question")
        asked = " ".join(one.asked for one in report.questions[:MOST_NAMED])
        lines.append(f"The record holds {number}, first: {asked}")
    lines += [f"{one[:1].upper()}{one[1:]}." for one in report.assessment.warnings]
    return tuple(lines)
