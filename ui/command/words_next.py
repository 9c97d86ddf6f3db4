"""What could be looked at next, in words for a terminal."""

from itertools import groupby
from typing import TYPE_CHECKING

from .words import cautions, view

if TYPE_CHECKING:
    from vestige.graph.answer.next_examination import Next, NextExamination, OnElement

MOST = 4


def next_looks(answer: "Next", numbers: bool = False) -> str:
    """Words of `next`: what touches the object least first."""
    lines = [answer.about.label, *view(answer.as_known), *cautions(answer.cautions)]
    if not answer.examinations:
        lines.append("no examination in the list could tell more, as far as was reckoned")
    if not answer.exact:
        lines.append("the assessment is sampled: gains are about each element alone")
    for touch, found in groupby(answer.examinations, key=lambda one: one.touch):
        lines.append(f"{touch}:")
        for one in found:
            lines += _examination(one, numbers)
    return "\n".join([*lines, answer.note])


def _examination(one: "NextExamination", numbers: bool) -> list[str]:
    lines = [f"  {one.name}: {one.tells}"]
    for on in one.elements[:MOST]:
        lines += _on(on, numbers)
    rest = one.others + len(one.elements) - MOST
    return lines + ([f"    and {rest} elements of which it tells less"] if rest > 0 else [])


def _on(on: "OnElement", numbers: bool) -> list[str]:
    bits = f"  [{on.bits:.2f} bits" if numbers else ""
    if numbers and on.over_object is not None:
        bits += f", over the object {on.over_object:.2f}"
    bits += "]" if numbers else ""
    lines = [f"    {on.thing.label[:60]}: could tell {on.in_words}{bits}"]
    for one in on.forbidden:
        scopes = ", ".join(one.forbids)
        lines.append(f"      RESTRICTED ({scopes}): {one.what}; ask {one.ask}")
    for found in on.results:
        when = f", {found.when}" if found.when else ""
        lines.append(
            f"      recorded already: {found.thing.number} {found.method}{when}: {found.found}"
        )
    if on.samples:
        names = ", ".join(one.label for one in on.samples)
        lines.append(f"      samples that may serve in place of a new one: {names}")
    return lines
