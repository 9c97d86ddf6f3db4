"""Things said to be of one batch: which go together, and which pairs repeat each other.

Who finds A like B and B like C has, in finding A like C, seen nothing new: pairs within
one batch are not independent. Of the pairs that one source joins by one relation, only a
spanning forest counts, the strongest pairs first; a pair that closes a ring repeats them.
(Reasoned, not measured.)
"""

from collections.abc import Hashable, Iterable, Mapping
from typing import Final, TypeVar

from ..record import Relation
from .case import CaseClaim
from .strength import likelihood_ratio

__all__ = ["SAMENESS", "batches", "repeated_pairs"]

T = TypeVar("T", bound=Hashable)

SAMENESS: Final = frozenset({Relation.SAME_STUFF, Relation.SAME_HAND, Relation.MATCHES})
"""Relations that join two things as of one batch, hand or make."""


def batches(things: Iterable[T], pairs: Iterable[tuple[T, T]]) -> dict[T, T]:
    """For every thing, the thing that stands for its batch.

    Args:
        things: all of them; the first of a batch in this order stands for it.
        pairs: things known to be of one batch; pairs that name others are left out.
    """
    order = {thing: place for place, thing in enumerate(things)}
    head = {thing: thing for thing in order}
    for one, two in pairs:
        if one in order and two in order:
            first, second = sorted(
                (_top(head, one), _top(head, two)), key=order.__getitem__
            )
            head[second] = first
    return {thing: _top(head, thing) for thing in order}


def repeated_pairs(claims: Iterable[CaseClaim]) -> Mapping[str, str]:
    """Claims of sameness that follow from others by the same source.

    Args:
        claims: of one case; denials and other relations are passed over.

    Returns:
        Id of a claim that adds nothing, with the id of the weakest claim on the way from
        one of its things to the other.
    """
    found: dict[str, str] = {}
    forests: dict[tuple[str, Relation], list[CaseClaim]] = {}
    for claim in sorted(_joining(claims), key=lambda one: (-_worth(one), one.id)):
        forest = forests.setdefault((claim.source, claim.relation), [])
        way = _way(forest, claim.subject, str(claim.other))
        if way:
            found[claim.id] = min(way, key=lambda one: (_worth(one), one.id)).id
        else:
            forest.append(claim)
    return found


def _joining(claims: Iterable[CaseClaim]) -> Iterable[CaseClaim]:
    return (
        one
        for one in claims
        if one.relation in SAMENESS and not one.against and one.other is not None
    )


def _worth(claim: CaseClaim) -> float:
    return likelihood_ratio(claim.strength, claim.scale)


def _way(forest: list[CaseClaim], start: str, end: str) -> list[CaseClaim]:
    """The claims between two things in a forest; none where they are not joined."""
    reached: dict[str, list[CaseClaim]] = {start: []}
    todo = [start]
    while todo and end not in reached:
        at = todo.pop(0)
        for claim in forest:
            other = str(claim.other)
            for here, there in ((claim.subject, other), (other, claim.subject)):
                if here == at and there not in reached:
                    reached[there] = [*reached[at], claim]
                    todo.append(there)
    return reached.get(end, [])


def _top(head: dict[T, T], thing: T) -> T:
    while head[thing] != thing:
        head[thing] = head[head[thing]]
        thing = head[thing]
    return thing
