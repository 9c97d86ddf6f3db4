"""A report laid out: which section says what, in plain words and tables."""

from __future__ import annotations

from typing import TYPE_CHECKING

from .first_page import first_page
from .layout import Block, Figure, Lines, Paper, Section, Table
from .phrases import NONE, claim, done, kept_where, or_none, seen, some

if TYPE_CHECKING:
    from vestige.graph.answer.report import ReportOf
    from vestige.graph.answer.report_parts import ElementIn, HappeningIn, TakenIn, UsedIn

__all__ = ["ORDER_PICTURE", "VERDICT_PICTURE", "laid_out"]

ORDER_PICTURE = "order"
VERDICT_PICTURE = "verdicts"
SIGNATURES = Table(
    "For ink on a print; nothing here is signed electronically",
    ("Role", "Name and signature", "Day"),
    (3, 5, 2),
    tuple(
        (f"{role}\n\n", "", "")
        for role in ("Examined or treated by", "Checked by", "For the collection")
    ),
)
TITLE = "Examination and treatment report"
DATING = (
    "A first-availability date gives an earliest date for one region; exceptions exist."
)
ORDER_NOTE = (
    "each line is a relation that nothing else implies. Things that no relation joins "
    "stay unordered, and nearness in the list says nothing of nearness in time."
)


def laid_out(report: ReportOf) -> Paper:
    """The whole report as sections."""
    sections = (
        Section("Phases", (_phases(report),)),
        Section("Elements and verdicts", _elements(report)),
        Section("Order of layers and events", _order(report)),
        Section("What happened, and treatments", _happenings(report)),
        Section("Parts taken off", (_taken(report),)),
        Section("Samples and results", _samples(report)),
        Section("Decisions", (_decisions(report),)),
        Section("Open questions", (_questions(report),)),
        Section("Contradictions", _contradictions(report)),
        Section("Sources", (_sources(report),)),
        Section("Signatures", (SIGNATURES,)),
    )
    return Paper(
        title=TITLE,
        number=report.facts.number,
        name=report.facts.name,
        made=report.made,
        foot=f"made {report.made} from record state {report.head}",
        first=first_page(report),
        sections=sections,
    )


def _phases(report: ReportOf) -> Block:
    rows = tuple(
        (f"{one.short} {one.name}", one.span, or_none(one.begins), or_none(one.ends))
        for one in report.phases
    )
    return _table(
        "Phases of the object, the making first",
        ("Phase", "Part of its life", "From", "To"),
        (3, 2, 3, 3),
        rows,
    )


def _elements(report: ReportOf) -> tuple[Block, ...]:
    prefix = f"{report.facts.number}/"
    rows = tuple(
        (
            f"{one.thing.number} {one.name}",
            or_none(one.material),
            or_none(one.status),
            _verdict(one).replace(prefix, ""),
            "\n".join(claim(said) for said in one.observations) or NONE,
        )
        for one in report.elements
    )
    notes = [report.assessment.note, DATING]
    notes += [f"Set aside: {one}." for one in report.assessment.set_aside]
    heads = ("Element", "Material", "Status", "Verdict", "Strongest observations")
    caption = (
        "Elements, with the strongest observations about each. Which of them carry the "
        "verdict, what speaks against it and what would settle it: vestige why ELEMENT"
    )
    return (
        Figure(VERDICT_PICTURE, "Verdict on every element"),
        _table(caption, heads, (2.2, 1.6, 1.5, 2.6, 4.6), rows),
        Lines(tuple(notes)),
    )


def _verdict(one: ElementIn) -> str:
    if one.verdict is None:
        if one.looked_for_by:
            return f"looked for by {one.looked_for_by} and not seen; bears no verdict"
        return "bears no verdict"
    told = [one.verdict.text]
    if one.verdict.rival:
        told.append(f"Rival: {one.verdict.rival}.")
    if one.verdict.hangs_on and one.verdict.grade != "open":
        told.append(f"Falls if {'; or if '.join(one.verdict.hangs_on)}.")
    if one.judgement:
        told.append(f"Judged: {one.judgement}.")
    return "\n".join(told)


def _order(report: ReportOf) -> tuple[Block, ...]:
    order = report.sequence
    rows = tuple(
        (
            step.later.label,
            step.earlier.label,
            "\n".join(claim(said) for said in step.claims),
        )
        for step in order.steps
    )
    heads = ("Later", "Earlier", "Because")
    loose = some((one.label for one in order.unrelated), ", ")
    return (
        Figure(ORDER_PICTURE, "Order of layers and events, the latest above"),
        _table(f"Relations of order; {ORDER_NOTE}", heads, (2, 2, 4), rows),
        Lines((f"No relation of order is recorded of: {loose}.",)),
    )


def _happenings(report: ReportOf) -> tuple[Block, ...]:
    rows = tuple(_happening(one) for one in report.happenings)
    heads = ("What happened", "When", "By", "How and why", "Elements")
    used = tuple(_used(one, used) for one in report.happenings for used in one.used)
    named = ("Happening", "Material", "Class", "Trade name", "Mixed as")
    return (
        _table(
            "What happened, the earliest first; undated last", heads, (3, 2, 2, 3, 3), rows
        ),
        _table("Materials used, and in which happening", named, (3, 3, 2, 2, 2), used),
    )


def _happening(one: HappeningIn) -> tuple[str, ...]:
    how = [one.technique, f"why: {one.why}" if one.why else None, one.note]
    source = f"\nSource: {one.source.label}" if one.source else f"\nSource: {NONE}"
    return (
        f"{one.thing.label} ({one.sort})",
        or_none(one.when),
        or_none(one.by),
        some(how) + source,
        some((thing.label for thing in one.elements), ", "),
    )


def _used(happening: HappeningIn, used: UsedIn) -> tuple[str, ...]:
    return (
        happening.thing.label,
        f"{used.thing.number} {or_none(used.material)}",
        or_none(used.material_class),
        or_none(used.trade_name),
        or_none(used.mixed_as),
    )


def _taken(report: ReportOf) -> Block:
    heads = ("Part", "Taken off", "Why; consent", "Sat where", "Where it is", "Last seen")
    rows = tuple(_taken_row(one) for one in report.taken)
    return _table(
        "Parts taken off, where each is and who saw it last",
        heads,
        (2, 2, 2, 2, 3.2, 2.4),
        rows,
    )


def _taken_row(one: TakenIn) -> tuple[str, ...]:
    count = f" ({one.how_many} pieces)" if one.how_many is not None else ""
    if not one.recorded:
        told = f"{one.located.status}; no part is recorded for it"
        place, last = kept_where(one.located), seen(one.located.last_seen)
        return (one.located.thing.label, told, NONE, NONE, place, last)
    return (
        one.located.thing.label + count,
        done(one.removed_when, one.removed_by),
        f"why: {or_none(one.reason)}; consent: {or_none(one.consent)}",
        or_none(one.original_position),
        kept_where(one.located),
        seen(one.located.last_seen),
    )


def _samples(report: ReportOf) -> tuple[Block, ...]:
    rows = tuple(
        (
            one.located.thing.label,
            some((one.drawn_from.label, one.spot)),
            f"{done(one.taken_when, one.taken_by)}; permission: {or_none(one.permission)}",
            or_none(one.question),
            f"{or_none(one.state)}; left: {or_none(one.left)}",
            kept_where(one.located),
        )
        for one in report.samples
    )
    heads = ("Sample", "From", "Taken", "Question", "State", "Where it is")
    found = tuple(
        (
            f"{one.number}, of {one.of.label}",
            one.method,
            one.found,
            done(one.when, one.by),
            one.source.label if one.source else NONE,
        )
        for one in report.results
    )
    named = ("Result", "Method", "Found", "When and by", "Report")
    return (
        _table(
            "Samples and preparations, and what became of them",
            heads,
            (2, 2, 2.4, 2, 2, 2.6),
            rows,
        ),
        _table(
            "Results of analysis, also where nothing was found",
            named,
            (2.2, 2, 4, 2, 2),
            found,
        ),
    )


def _decisions(report: ReportOf) -> Block:
    rows = tuple(
        (
            f"{one.number}: {one.choice}",
            some((about.label for about in one.about), ", "),
            one.reason,
            some(one.consulted, ", "),
            f"{one.by}, {one.when}",
            or_none(one.assessment_said),
        )
        for one in report.decisions
    )
    heads = ("Decision", "About", "Reason", "Consulted", "By and when", "Assessment then")
    return _table("Decisions, made by people", heads, (2, 2, 3.4, 2, 2, 2), rows)


def _questions(report: ReportOf) -> Block:
    rows = tuple(
        (
            f"{one.number} {one.asked}",
            some((about.label for about in one.about), ", "),
            or_none(one.would_settle),
        )
        for one in report.questions
    )
    heads = ("Question", "About", "What would settle it")
    return _table("Questions that nobody has answered yet", heads, (4, 3, 4), rows)


def _contradictions(report: ReportOf) -> tuple[Block, ...]:
    if not report.contradictions:
        return (Lines(("No contradiction was found in what is recorded.",)),)
    rows = tuple(
        (one.text, "\n".join(claim(said) for said in one.claims))
        for one in report.contradictions
    )
    heads = ("What does not agree", "Who says what")
    caption = "Accounts that differ; all are kept, none is resolved"
    return (_table(caption, heads, (3, 5), rows),)


def _sources(report: ReportOf) -> Block:
    rows = tuple(
        (
            one.thing.label,
            one.sort,
            done(one.dated, one.by),
            or_none(one.hand),
            some((copy.label for copy in one.copies), ", ")
            if one.copies
            else "no copy recorded",
            f"restricted: ask {one.access}" if one.access else or_none(one.kept_at),
        )
        for one in report.sources
    )
    heads = ("Source", "Kind", "Date and by", "Hand", "Copies", "Kept at")
    return _table(
        "Sources named in the record; a copy adds nothing to what it copies",
        heads,
        (3, 2, 2.4, 1.6, 2, 2),
        rows,
    )


def _table(
    caption: str,
    heads: tuple[str, ...],
    widths: tuple[float, ...],
    rows: tuple[tuple[str, ...], ...],
) -> Block:
    """A table, or that nothing is recorded where it would have no rows."""
    if not rows:
        return Lines((f"{caption.replace(';', ',').split(',', maxsplit=1)[0]}: {NONE}.",))
    return Table(caption, heads, widths, rows)
