"""The tree of cliques in which unknowns are summed out, leaves first.

Summing out a variable touches everything that still stands in a table with it: one
*bucket*. Buckets that lie whole in the one below are merged with it; what is left are the
cliques, and they form a tree, since what remains of a bucket goes on to the bucket of its
next variable (Lauritzen & Spiegelhalter 1988; Dechter 1999 for buckets; from memory).
"""

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace

from .elimination import touched

CROWD = 12
"""Most children of one clique. A variable that all speak about, such as the soundness of
a source, would collect from thousands; they report through copies of its clique instead.
So no product runs over so many messages that it could underflow."""


@dataclass(frozen=True, slots=True)
class Clique:
    """One node of the tree.

    Attributes:
        variables: axes of its table; those summed out here first, the separator last.
        summed: how many leading axes are summed out on the way to the root; 0 for a copy
            that only gathers messages.
        parent: number of the next clique towards the root; -1 for a root.
    """

    variables: tuple[int, ...]
    summed: int
    parent: int

    @property
    def separator(self) -> tuple[int, ...]:
        """The variables it shares with its parent, in the order of its own axes."""
        return self.variables[self.summed :]


@dataclass(frozen=True, slots=True)
class CliqueTree:
    """The cliques of a graph, children before their parents.

    Attributes:
        cards: states per variable.
        place: per variable, its place in the order of summing out.
        cliques: the nodes.
        at: per variable, the clique that sums it out.
    """

    cards: tuple[int, ...]
    place: tuple[int, ...]
    cliques: tuple[Clique, ...]
    at: tuple[int, ...]

    def home(self, variables: Sequence[int]) -> int:
        """The clique that takes up a table over *variables*, where there is one."""
        return self.at[min(variables, key=self.place.__getitem__)]

    def shape(self, variables: Sequence[int]) -> tuple[int, ...]:
        """States of some variables, as the shape of a table."""
        return tuple(self.cards[variable] for variable in variables)

    @property
    def entries(self) -> float:
        """Cells of all cliques together; a float, as there may be astronomically many."""
        return math.fsum(
            math.prod(float(self.cards[one]) for one in clique.variables)
            for clique in self.cliques
        )

    @property
    def width(self) -> int:
        """Variables of the largest clique, less one."""
        return max((len(clique.variables) for clique in self.cliques), default=1) - 1


def clique_tree(
    cards: Sequence[int], scopes: Sequence[Sequence[int]], orders: Iterable[Sequence[int]]
) -> CliqueTree:
    """The tree that follows from the cheapest of some orders of summing out."""
    walks = [(order, touched(order, scopes)) for order in orders]
    order, rests = min(walks, key=lambda walk: _cells_touched(cards, *walk))
    place = [0] * len(order)
    for position, variable in enumerate(order):
        place[variable] = position
    above = [min((place[one] for one in rest), default=-1) for rest in rests]
    members, joined = _merged([len(rest) for rest in rests], above)
    cliques: list[Clique] = []
    for places in members:
        first, onwards = places[0], above[places[-1]]
        rest = sorted(rests[first], key=place.__getitem__)
        parent = joined[onwards] if onwards >= 0 else -1
        cliques.append(Clique((order[first], *rest), len(places), parent))
    found, number = _in_turn(_relayed(cliques))
    at = tuple(number[joined[position]] for position in place)
    return CliqueTree(tuple(cards), tuple(place), found, at)


def _cells_touched(
    cards: Sequence[int], order: Sequence[int], rests: Sequence[frozenset[int]]
) -> float:
    """Cells of all tables that arise on the way."""
    return math.fsum(
        float(cards[variable]) * math.prod(float(cards[one]) for one in rest)
        for variable, rest in zip(order, rests, strict=True)
    )


def _merged(left: Sequence[int], above: Sequence[int]) -> tuple[list[list[int]], list[int]]:
    """Places of the order that each clique sums out, and per place its clique.

    Args:
        left: per place, how many variables its bucket leaves behind.
        above: per place, the place whose bucket takes these over; -1 for none.
    """
    members: list[list[int]] = []
    joined = [-1] * len(left)
    for place, parent in enumerate(above):
        if joined[place] < 0:
            joined[place] = len(members)
            members.append([])
        members[joined[place]].append(place)
        # A parent that holds nothing else than what is left here adds no cells of its own.
        if parent >= 0 and joined[parent] < 0 and left[parent] == left[place] - 1:
            joined[parent] = joined[place]
    return members, joined


def _relayed(cliques: Sequence[Clique]) -> list[Clique]:
    """The same tree with copies between a clique and its children, CROWD to each."""
    found = list(cliques)
    waiting = list(enumerate(_children(cliques)))
    for parent, children in waiting:  # grows: copies may need copies in their turn
        if len(children) <= CROWD:
            continue
        copies = range(len(found), len(found) + -(-len(children) // CROWD))
        for position, child in enumerate(children):
            found[child] = replace(found[child], parent=copies[position // CROWD])
        found += [Clique(cliques[parent].variables, 0, parent) for _ in copies]
        waiting.append((parent, list(copies)))
    return found


def _children(cliques: Sequence[Clique]) -> list[list[int]]:
    children: list[list[int]] = [[] for _ in cliques]
    for number, clique in enumerate(cliques):
        if clique.parent >= 0:
            children[clique.parent].append(number)
    return children


def _in_turn(cliques: Sequence[Clique]) -> tuple[tuple[Clique, ...], list[int]]:
    """Cliques with children before parents, and the new number of each."""
    children = _children(cliques)
    turn = [number for number, clique in enumerate(cliques) if clique.parent < 0]
    for number in turn:  # grows as it is walked: parents first
        turn.extend(children[number])
    turn.reverse()
    new = [0] * len(cliques)
    for position, number in enumerate(turn):
        new[number] = position
    moved = tuple(
        replace(cliques[old], parent=new[cliques[old].parent])
        if cliques[old].parent >= 0
        else cliques[old]
        for old in turn
    )
    return moved, new
