"""Relations of order between things, the chains they make, and what lies below what.

The ground that `sequence` stands on: graph work on relations that each name a claim.
"""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import TypeAlias

__all__ = ["Before", "OrderRelation", "Same", "Strata", "ends", "shortest", "steps"]


@dataclass(frozen=True, slots=True)
class Before:
    """*earlier* was there before *later* came to be.

    Attributes:
        later: the thing that came after, e.g. the layer above.
        earlier: the thing that was there already.
        claim: id of the claim that says so.
    """

    later: str
    earlier: str
    claim: str


@dataclass(frozen=True, slots=True)
class Same:
    """*a* and *b* are one and the same layer (correlated across a gap).

    Attributes:
        a, b: the two things; the order of the two means nothing.
        claim: id of the claim that says so.
    """

    a: str
    b: str
    claim: str


OrderRelation: TypeAlias = Before | Same


def ends(relation: OrderRelation) -> tuple[str, str]:
    """Return the two things that *relation* speaks of, the later one first."""
    if isinstance(relation, Before):
        return relation.later, relation.earlier
    return relation.a, relation.b


@dataclass(frozen=True, slots=True)
class Strata:
    """Things merged into nodes of an acyclic order, with everything below each node.

    Attributes:
        home: number of each thing's node; a node has a higher number than all below it.
        next_below: numbers of the nodes that a claim names as directly below.
        below: bit set of all nodes below each node.
    """

    home: Mapping[str, int]
    next_below: tuple[frozenset[int], ...]
    below: tuple[int, ...]

    @classmethod
    def of_groups(
        cls, things: Sequence[str], relations: Sequence[OrderRelation]
    ) -> "Strata":
        """Merge what is correlated or lies on one loop; order the rest."""
        home = _nodes(things, steps(things, relations))
        down: list[set[int]] = [set() for _ in range(max(home.values(), default=-1) + 1)]
        for relation in relations:
            a, b = (home[name] for name in ends(relation))
            if a != b:
                down[a].add(b)
        below: list[int] = []
        for nodes in down:  # numbered from below, so what lies below is done already
            bits = 0
            for node in nodes:
                bits |= below[node] | 1 << node
            below.append(bits)
        return cls(home, tuple(map(frozenset, down)), tuple(below))

    def later(self, a: str, b: str) -> bool:
        """Say whether *b* lies anywhere below *a*."""
        return bool(self.below[self.home[a]] >> self.home[b] & 1)

    def implied(self, relations: Iterable[Before]) -> set[Before]:
        """Return the relations that a longer chain says as well."""
        deeper = [0] * len(self.below)
        for node, nodes in enumerate(self.next_below):
            for other in nodes:
                deeper[node] |= self.below[other]
        home = self.home
        return {
            one for one in relations if deeper[home[one.later]] >> home[one.earlier] & 1
        }


def steps(
    things: Iterable[str], relations: Iterable[OrderRelation]
) -> dict[str, tuple[OrderRelation, ...]]:
    """Return for each thing the relations that lead on from it, down or across.

    A correlation stands with both of its things, turned so that it begins there.
    """
    onward: dict[str, list[OrderRelation]] = {name: [] for name in things}
    for relation in relations:
        first, second = ends(relation)
        onward[first].append(relation)
        if isinstance(relation, Same):
            onward[second].append(Same(second, first, relation.claim))
    return {name: tuple(found) for name, found in onward.items()}


def _nodes(
    things: Sequence[str], onward: Mapping[str, Sequence[OrderRelation]]
) -> dict[str, int]:
    """Number the strongly connected components, what lies below first (Kosaraju)."""
    below: dict[str, list[str]] = {name: [] for name in things}
    above: dict[str, list[str]] = {name: [] for name in things}
    for found in onward.values():
        for first, second in map(ends, found):
            below[first].append(second)
            above[second].append(first)
    home: dict[str, int] = {}
    count = 0
    for root in reversed(_left_last(things, above)):
        if root not in home:
            home[root] = count
            waiting = [root]
            while waiting:
                fresh = [name for name in below[waiting.pop()] if name not in home]
                home.update(dict.fromkeys(fresh, count))
                waiting += fresh
            count += 1
    return home


def _left_last(things: Sequence[str], onward: Mapping[str, Sequence[str]]) -> list[str]:
    """Return *things* in the order in which a depth-first walk leaves them for good."""
    met: set[str] = set()
    left: list[str] = []
    for root in things:
        path = [] if root in met else [(root, iter(onward[root]))]
        met.add(root)
        while path:
            fresh = next((name for name in path[-1][1] if name not in met), None)
            if fresh is None:
                left.append(path.pop()[0])
            else:
                met.add(fresh)
                path.append((fresh, iter(onward[fresh])))
    return left


def shortest(
    onward: Mapping[str, Sequence[OrderRelation]],
    start: str,
    goal: str,
    most: int | None = None,
) -> tuple[OrderRelation, ...] | None:
    """Return the fewest relations that lead from *start* to *goal*, at most *most*.

    Among chains of one length, the one met first in the order of *onward*.
    """
    came: dict[str, OrderRelation | None] = {start: None}
    edge, length = [start], 0
    while edge and goal not in came and (most is None or length < most):
        fresh: list[str] = []
        for name in edge:
            for step in onward[name]:
                other = ends(step)[1]
                if other not in came:
                    came[other] = step
                    fresh.append(other)
        edge, length = fresh, length + 1
    if goal not in came:
        return None
    chain: list[OrderRelation] = []
    while (last := came[goal]) is not None:
        chain.append(last)
        goal = ends(last)[0]
    return tuple(reversed(chain))
