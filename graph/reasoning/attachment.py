"""What holds what, and what touches what, on the object of a case.

Structure is taken as seen: who says that a nail holds a board is not weighed. Claims
that speak of structure (held by, touches, abuts, part of, and lies over, since a layer
touches what it lies on) add to what the things list.

Parts and fixings are in contact with each other in this sense, and layers with each other.
A layer or mark touches the part that bears it whenever it came, so that contact tells
nothing: taken as telling, many layers on one body outvoted a strong "not before" on each
of them, and with it the examiner who said so.
"""

from collections.abc import Iterable

from ..record import Relation
from .case import Case

__all__ = ["contacts", "fixings"]

TOUCHING = frozenset(
    {
        Relation.TOUCHES,
        Relation.ABUTS,
        Relation.PART_OF,
        Relation.LIES_OVER,
        Relation.LIES_UNDER,
    }
)
"""Relations of things that are in contact, whatever else they say."""


def fixings(case: Case) -> dict[str, tuple[str, ...]]:
    """Present fixings of every thing: as listed with it, and as claims say.

    What itself holds something is not followed further.
    """
    held = {thing.id: set(thing.held_by) for thing in case.things}
    parts = {thing.id for thing in case.things if thing.kind.has_making}
    for claim in case.claims:
        says = claim.relation is Relation.HELD_BY and not claim.against
        if says and claim.other is not None and claim.subject in parts:
            held[claim.subject].add(claim.other)
    holding = {fixing for fixed in held.values() for fixing in fixed}
    return {
        thing: tuple(sorted(fixed)) if thing not in holding else ()
        for thing, fixed in held.items()
    }


def contacts(case: Case) -> list[tuple[str, str]]:
    """Pairs of like things that touch, each once; never a part and its own fixing."""
    made = {thing.id for thing in case.things if thing.kind.has_making}
    said: Iterable[tuple[str, str]] = (
        (claim.subject, claim.other)
        for claim in case.claims
        if claim.relation in TOUCHING and not claim.against and claim.other is not None
    )
    listed = ((thing.id, other) for thing in case.things for other in thing.touches)
    found = {(min(one, two), max(one, two)) for one, two in (*listed, *said)}
    held = fixings(case)
    return sorted(
        pair
        for pair in found
        if (pair[0] in made) == (pair[1] in made)
        and pair[0] not in held[pair[1]]
        and pair[1] not in held[pair[0]]
    )
