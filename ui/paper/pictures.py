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
    for happened in report.happenings:
        if happened.thing.key == one.key:
            return SequenceItem(one.key, one.label, "happening", when=happened.when or "")
    element = next(each for each in report.elements if each.thing.key == one.key)
    return SequenceItem(one.key, one.label, element.sort)


def _relations(steps: tuple[Step, ...]) -> Iterator[SequenceRelation]:
    for step in steps:
        yield SequenceRelation(
            step.later.key,
            step.earlier.key,
            claims=tuple(said.number for said in step.claims),
        )
