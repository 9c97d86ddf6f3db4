"""The drawings of a report, made from its own answers."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from ..drawing import (
    Drawing,
    SequenceData,
    SequenceItem,
    SequenceLoop,
    SequencePhase,
    SequenceRelation,
    draw_sequence,
)
from .report_layout import ORDER_PICTURE

if TYPE_CHECKING:
    from vestige.graph.answer.answer import Thing
    from vestige.graph.answer.report import ReportOf
    from vestige.graph.answer.sequence import Step

__all__ = ["drawings_of", "order_drawing"]


FIRM = ("established", "probable")
"""Grades of a verdict by which an element is drawn within a phase."""
ARRIVED = ("original, in place", "older material, used from the start", "added in")
"""Verdicts that name the phase in which an element came to its place."""


def drawings_of(report: ReportOf) -> dict[str, Drawing]:
    """The drawings that the report has something to draw for."""
    order = report.sequence
    return {ORDER_PICTURE: order_drawing(report)} if order.steps or order.loops else {}


def order_drawing(report: ReportOf) -> Drawing:
    """The order of layers and events; what has no order is left to the text."""
    order = report.sequence
    in_loops = [one for loop in order.loops for one in loop.things]
    shown = [one for level in order.levels for one in level]
    things = {one.key: one for one in (*shown, *in_loops)}
    return draw_sequence(
        SequenceData(
            title=f"Order of layers and events, {report.facts.number}",
            items=tuple(_item(report, one) for one in things.values()),
            relations=tuple(_relations(order.steps)),
            phases=_phases(report),
            loops=tuple(
                SequenceLoop(tuple(_relations(loop.steps))) for loop in order.loops
            ),
            left_out=order.redundant,
        )
    )


def _phases(report: ReportOf) -> tuple[SequencePhase, ...]:
    return tuple(
        SequencePhase(one.short, f"{one.short} {one.name}", _span(one.begins, one.ends))
        for one in report.phases
    )


def _span(begins: str | None, ends: str | None) -> str:
    if begins and ends:
        return f"{begins} to {ends}"
    return f"from {begins}" if begins else f"to {ends}" if ends else ""


def _item(report: ReportOf, one: Thing) -> SequenceItem:
    """A box of the drawing; only a firm verdict, or a record, puts it into a phase."""
    for happened in report.happenings:
        if happened.thing.key == one.key:
            phase = (happened.phase or "").split(" ", maxsplit=1)[0]
            told = happened.when or ""
            return SequenceItem(one.key, one.label, "happening", phase, told)
    element = next(each for each in report.elements if each.thing.key == one.key)
    verdict = element.verdict
    if verdict is None:
        return SequenceItem(one.key, one.label, element.sort)
    firm = verdict.grade in FIRM and verdict.word.startswith(ARRIVED)
    if firm and len(verdict.phases) == 1:
        return SequenceItem(one.key, one.label, element.sort, verdict.phases[0])
    words = verdict.text.replace(f"{report.facts.number}/", "")
    return SequenceItem(one.key, one.label, element.sort, phase_words=words)


def _relations(steps: tuple[Step, ...]) -> Iterator[SequenceRelation]:
    for step in steps:
        yield SequenceRelation(
            step.later.key,
            step.earlier.key,
            claims=tuple(said.number for said in step.claims),
        )
