"""What is unknown, in words for a terminal."""

from itertools import groupby
from typing import TYPE_CHECKING

from .words import NONE, cautions, view

if TYPE_CHECKING:
    from vestige.graph.answer.unknown import ObjectUnknowns, Unknown, Unknowns

MOST = 12


def unknowns(answer: "Unknowns") -> str:
    """Words of `unknowns`: object by object, each sort together."""
    lines = [*view(answer.as_known), *cautions(answer.cautions)]
    lines += [of_object(one) for one in answer.objects]
    return "\n".join([*lines, answer.note])


def of_object(one: "ObjectUnknowns") -> str:
    """What is unknown of one object."""
    lines = [one.about.label if one.about else "boxes and loose things of no object"]
    if not one.unknowns:
        lines.append("  nothing is recorded as open; that is not to say that all is known")
    for sort, found in groupby(one.unknowns, key=lambda unknown: unknown.sort):
        lines.append(f"  {sort}:")
        for unknown in found:
            lines += _unknown(unknown)
    return "\n".join(lines)


def _unknown(one: "Unknown") -> list[str]:
    asked = one.sort.startswith("asked")
    numbers = [thing.label if len(one.things) < 3 else thing.number for thing in one.things]
    if len(numbers) > MOST:
        numbers = [*numbers[:MOST], f"and {len(numbers) - MOST} more"]
    about = "; ".join(numbers)
    if asked:
        lines = [f"  - {one.text}  [{about}]"]
        lines.append(f"      would settle it: {one.would_settle or NONE}")
    else:
        lines = [f"  - {about}: {one.text}" if about else f"  - {one.text}"]
    return lines + [f"      hangs on: {text}" for text in one.hangs_on]
