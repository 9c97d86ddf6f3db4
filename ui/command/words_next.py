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
    plain = [
        on
        for on in one.elements
        if not (on.results or on.seen or on.forbidden or on.samples)
    ]
    told = [f"{on.thing.label[:40]} ({_gain(on, numbers)})" for on in plain[:MOST]]
    rest = one.others + len(plain) - len(told)
    told += [f"{rest} more, of which it tells less"] if rest > 0 else []
    lines += [f"    {'; '.join(told)}"] if told else []
    for on in one.elements:
        if on not in plain:
            lines += _on(on, numbers)
    return lines


def _gain(on: "OnElement", numbers: bool) -> str:
    if not numbers:
        return f"could tell {on.in_words}"
    over = "" if on.over_object is None else f", over the object {on.over_object:.2f}"
    return f"could tell {on.in_words}: {on.bits:.2f} bits{over}"


def _on(on: "OnElement", numbers: bool) -> list[str]:
    lines = [f"    {on.thing.label[:60]} ({_gain(on, numbers)})"]
    for one in on.forbidden:
        scopes = ", ".join(one.forbids)
        lines.append(f"      RESTRICTED ({scopes}): {one.what}; ask {one.ask}")
    for found in on.results:
        when = f", {found.when}" if found.when else ""
        said = f"{found.thing.number} {found.method}{when}: {found.found}"
        lines.append(f"      recorded already: {said}")
    if on.seen:
        numbers_seen = ", ".join(said.number for said in on.seen)
        lines.append(f"      looked at so already: {numbers_seen}")
    if on.samples:
        names = ", ".join(one.label for one in on.samples)
        lines.append(f"      samples that may serve in place of a new one: {names}")
    return lines
