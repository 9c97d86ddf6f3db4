"""What depends on an element, in words for a terminal."""

from typing import TYPE_CHECKING

from .words import NONE, cautions, claim, view

if TYPE_CHECKING:
    from vestige.graph.answer.dependence import Depends


def depends(answer: "Depends") -> str:
    """Words of `depends`: what stands to it how, the order, and what rests on it."""
    head = f"{answer.about.label}  ({answer.status or f'status {NONE}'})"
    lines = [head, *view(answer.as_known), *cautions(answer.cautions)]
    lines.append("as recorded, this stands to it:")
    for one in answer.bonds:
        first = "; BEFORE it" if one.first else ""
        status = one.status or f"status {NONE}"
        lines.append(
            f"  {one.other.label} {one.how} ({status}{first})  [{one.says.number}]"
        )
    lines += [] if answer.bonds else [f"  {NONE}"]
    lines.append("things would come off in this order, by the record:")
    for number, step in enumerate(answer.steps, 1):
        lines.append(f"  {number}  {'; '.join(one.label for one in step)}")
    if answer.loop:
        loop = ", ".join(one.label for one in answer.loop)
        lines.append(f"  NO ORDER: the record goes in a circle or waits on one: {loop}")
    lines.append("claims that speak of it:")
    lines += [f"  {claim(one)}" for one in answer.claims] or [f"  {NONE}"]
    for name, things in (
        ("decisions", answer.decisions),
        ("samples", answer.samples),
        ("results", answer.results),
        ("taken from it", answer.taken),
        ("open questions", answer.questions),
    ):
        lines.append(f"{name}: {'; '.join(one.label for one in things) or NONE}")
    lines += [f"OPEN {text}" for text in answer.open]
    return "\n".join([*lines, answer.note])
