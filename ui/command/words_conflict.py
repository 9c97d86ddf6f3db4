"""Contradictions in words for a terminal."""

from itertools import groupby
from typing import TYPE_CHECKING

from .words import cautions, claim, view

if TYPE_CHECKING:
    from vestige.graph.answer.conflict import Conflict, Conflicts, ObjectConflicts


def conflicts(answer: "Conflicts") -> str:
    """Words of `conflicts`: object by object, each sort together."""
    lines = [*view(answer.as_known), *cautions(answer.cautions)]
    lines += [of_object(one) for one in answer.objects]
    return "\n".join([*lines, answer.note])


def of_object(one: "ObjectConflicts") -> str:
    """The contradictions about one object."""
    label = one.about.label if one.about else "boxes and loose things of no object"
    count = len(one.conflicts)
    lines = [f"{label}: {count or 'no'} contradiction{'' if count == 1 else 's'} found"]
    if one.not_assessed:
        lines.append(f"  its claims could not be weighed together: {one.not_assessed}")
    for sort, found in groupby(one.conflicts, key=lambda conflict: conflict.sort):
        lines.append(f"  {sort}:")
        for conflict in found:
            lines += _conflict(conflict)
    return "\n".join(lines)


def _conflict(one: "Conflict") -> list[str]:
    lines = [f"  - {one.text}"]
    if one.explained_by:
        lines.append(f"      explained if unsound: {one.explained_by.label}")
    lines += [f"      {claim(said)}" for said in one.claims]
    return lines + [f"      recorded date of {date.label}" for date in one.dates]
