"""What is due, in words for a terminal."""

from typing import TYPE_CHECKING

from .words import NONE, cautions, place, view

if TYPE_CHECKING:
    from vestige.graph.answer.due import Blocking, DueOf, DueOne

_NAMED = 12


def due(answer: "DueOf") -> str:
    """Words of `due`: overdue and due, each with what blocks letting it go."""
    head = f"due by {answer.by}" + (f": {answer.about.label}" if answer.about else "")
    lines = [head, *view(answer.as_known), *cautions(answer.cautions)]
    lines.append(f"{len(answer.due) or 'nothing'} due or overdue; {answer.later} later")
    for one in answer.due:
        lines += _due(one)
    if answer.about:
        lines.append("recorded in the way of letting it go:")
        lines += [f"  {_block(one)}" for one in answer.blocks] or ["  nothing is recorded"]
    if answer.undated:
        names = ", ".join(one.number for one in answer.undated[:_NAMED])
        more = ", ..." if len(answer.undated) > _NAMED else ""
        count = len(answer.undated)
        lines.append(f"kept without a review date: {count} ({names}{more})")
    return "\n".join([*lines, answer.note])


def _due(one: "DueOne") -> list[str]:
    lines = [f"{one.standing.upper()} {one.when}  {one.thing.label}: {one.what}"]
    if one.located is None:
        lines.append(f"    of {', '.join(about.label for about in one.about)}")
        lines.append(f"    ask {one.ask or NONE}")
        return lines
    lines.append(f"    title {one.owner or NONE}; held by {one.held_by or NONE}")
    lines.append(f"    place {one.located.gone or place(one.located.place)}")
    return lines + [f"    in the way: {_block(block)}" for block in one.blocks]


def _block(one: "Blocking") -> str:
    return f"{one.sort}: {one.text}"
