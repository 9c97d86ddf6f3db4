"""What changed in our view, in words for a terminal."""

from collections import Counter
from typing import TYPE_CHECKING

from .words import NONE, cautions, view
from .words_decision import of_decision, verdict_move

if TYPE_CHECKING:
    from vestige.graph.answer.change import ChangesOf, ObjectChanges, RecordChange

MOST = 12
"""First statements of one kind that are listed one by one; more are only counted."""


def changes(answer: "ChangesOf") -> str:
    """Words of `changes`: object by object, records and then verdicts."""
    lines = [f"recorded after {answer.since}", *view(answer.as_known)]
    lines += cautions(answer.cautions)
    told = [of_object(one) for one in answer.objects]
    return "\n".join([*lines, *([one for one in told if one] or ["nothing"]), answer.note])


def of_object(one: "ObjectChanges") -> str:
    """What changed about one object; empty where nothing did."""
    if not one.records:
        return ""
    lines = [one.about.label if one.about else "records of no object"]
    fresh = [row for row in one.records if row.how == "stated"]
    counts = Counter(row.thing.kind for row in fresh)
    most = 0 if one.first_recorded else MOST
    if one.first_recorded:
        lines.append("  first recorded within this time; nothing to compare it with")
    many = [f"{count} {kind}" for kind, count in counts.items() if count > most]
    lines += [f"  stated, by kind of record: {', '.join(many)}"] if many else []
    few = [row for row in fresh if counts[row.thing.kind] <= most]
    lines += [line for row in few for line in _row(row)]
    lines += [line for row in one.records if row.how != "stated" for line in _row(row)]
    if one.not_assessed:
        lines.append(f"  verdicts could not be compared: {one.not_assessed}")
    elif not one.first_recorded and one.about:
        lines.append(f"  verdicts that moved: {len(one.moved) or 'none'}")
    lines += [f"    {line}" for move in one.moved for line in verdict_move(move)]
    lines += ["  decisions to be looked at again:"] if one.decisions else []
    for decision in one.decisions:
        lines += [f"    {line}" for line in of_decision(decision, brief=True).splitlines()]
    return "\n".join(lines)


def _row(row: "RecordChange") -> list[str]:
    reason = f": {row.reason}" if row.reason else ""
    label = row.thing.label[:70]
    lines = [f"  {row.how} {row.day} by {row.by}: {row.thing.kind} {label}{reason}"]
    for column in row.columns:
        before, after = column.before or NONE, column.after or NONE
        lines.append(f"    {column.column}: {before} -> {after}")
    return lines
