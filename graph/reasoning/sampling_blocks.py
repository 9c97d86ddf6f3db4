"""Which unknowns are drawn together: narrow trees that are left when others are held.

A graph too wide for exact work becomes narrow once a few of its unknowns, the *cutset*,
are held at their present values; all others can then be drawn together, exactly (cutset
sampling after Pearl 1988's cutset conditioning; blocking after Jensen, Kong & Kjærulff
1995; from memory). Several blocks with other cutsets take turns, so that every unknown
is drawn, and so that things closely tied are drawn together in one of them at least: held
in turn they would hardly move.
"""

from collections.abc import Collection, Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from .clique_tree import clique_tree
from .elimination import neighbours
from .factor_graph import FactorGraph
from .junction_tree import Plan

ROOM = 1500
"""Most cells of one table while unknowns are drawn together."""
MOST_BLOCKS = 16
"""Blocks after which ties that never were free together are left at that."""
TIRED = 3.0
"""How much less an unknown is cut for each time that it was cut before."""

Places = npt.NDArray[np.intp]


@dataclass(frozen=True)
class Block:
    """Unknowns that are drawn together, given all others.

    Attributes:
        free: the variables drawn, by their numbers in the graph.
        plan: a tree for them, numbered by their places in *free*.
        factors: per factor of the plan, the factor of the graph that it is a slice of.
        first: per cell of the plan's tables, the cell among all cells of the graph's
            tables when what is held is in state 0.
        factor_of: per such cell, the factor of the plan that it belongs to.
        held: per factor of the plan, the variables that are held in it; padded with 0.
        strides: cells from one state of these to the next; 0 where padded.
    """

    free: tuple[int, ...]
    plan: Plan
    factors: tuple[int, ...]
    first: Places
    factor_of: Places
    held: Places
    strides: Places

    def cells(self, states: Places) -> Places:
        """Which cells of the graph's tables are the plan's evidence.

        Args:
            states: of all variables, (variables, chains).

        Returns:
            (cells of the plan's tables, chains).
        """
        moved = np.zeros((len(self.held), states.shape[1]), dtype=np.intp)
        for axis in range(self.held.shape[1]):
            moved += states[self.held[:, axis]] * self.strides[:, axis, None]
        return self.first[:, None] + moved[self.factor_of]


def blocks_of(graph: FactorGraph, late: Collection[int], room: int = ROOM) -> list[Block]:
    """Blocks that together draw every variable.

    Args:
        graph: the graph.
        late: variables that speak to the whole object: what belongs together of them is
            free in one block, with as many of the others as there is room for.
        room: most cells of one table.
    """
    tired = np.zeros(len(graph.cards))
    blocks: list[Block] = []
    open_ties = {frozenset(scope) for scope in graph.scopes}
    wishes: list[frozenset[int]] = _families(graph.scopes, frozenset(late))
    if len(wishes) > 1:
        wishes.insert(0, frozenset(late))
    while wishes or (open_ties and len(blocks) < MOST_BLOCKS):
        wished = len(wishes) > 0
        wish = wishes.pop(0) if wished else _some(open_ties)
        free, order = _narrowed(graph, wish, tired, room)
        missed = {tie for tie in open_ties if not tie <= free}
        if not wished and missed == open_ties:
            break
        tired[[v for v in range(len(tired)) if v not in free]] += 1
        blocks.append(_block(graph, order))
        open_ties = missed
    drawn = frozenset[int]().union(*(block.free for block in blocks))
    for variable in sorted(set(range(len(tired))) - drawn):
        blocks.append(_block(graph, [variable]))
    return blocks


def block_around(graph: FactorGraph, wish: Collection[int], room: int = ROOM) -> Block:
    """One block in which these variables are free, with what else there is room for.

    Of *wish* itself the best tied are held where not even these have room together.
    """
    nobody = np.zeros(len(graph.cards))
    _, order = _narrowed(graph, frozenset(wish), nobody, room)
    return _block(graph, order)


def _families(
    scopes: Sequence[Sequence[int]], late: frozenset[int]
) -> list[frozenset[int]]:
    """Variables of *late* that factors tie to each other, such as a source and its acts."""
    family = {one: {one} for one in sorted(late)}
    for scope in scopes:
        if len(scope) > 1 and late.issuperset(scope):
            joined = set[int]().union(*(family[one] for one in scope))
            for one in joined:
                family[one] = joined
    found = {frozenset(one) for one in family.values()}
    return sorted(found, key=min)


def _some(ties: Collection[frozenset[int]]) -> frozenset[int]:
    """Ties that share nothing with each other; the widest come first."""
    chosen: set[int] = set()
    for tie in sorted(ties, key=lambda one: (-len(one), sorted(one))):
        if not tie & chosen:
            chosen |= tie
    return frozenset(chosen)


def _narrowed(
    graph: FactorGraph, wish: frozenset[int], tired: npt.NDArray[np.float64], room: int
) -> tuple[frozenset[int], list[int]]:
    """What is free, and the order of summing it out, when the widest others are cut.

    Always the variable with the smallest table goes next; where even that is over the
    room, the remaining one with most neighbours is cut: of those wished for, the last.
    """
    near = neighbours(len(graph.cards), graph.scopes)
    size = np.log(graph.cards)
    left = set(range(len(graph.cards)))
    weight = {one: float(size[one] + sum(size[o] for o in near[one])) for one in left}
    most = float(np.log(room)) + 1e-9
    order: list[int] = []
    while left:
        variable = min(left, key=lambda one: (weight[one], one))
        if weight[variable] > most:
            variable = max(
                left,
                key=lambda one: (
                    one not in wish,
                    len(near[one]) / (1 + TIRED * tired[one]),
                    -one,
                ),
            )
            around = near[variable]
        else:
            order.append(variable)
            around = near[variable]
            for one in around:
                near[one] |= around - {one}
        left.discard(variable)
        for one in around:
            near[one].discard(variable)
            weight[one] = float(size[one] + sum(size[o] for o in near[one]))
    return frozenset(order), order


def _block(graph: FactorGraph, order: Sequence[int]) -> Block:
    free = tuple(sorted(order))
    place = {variable: number for number, variable in enumerate(free)}
    starts = np.cumsum([0, *(table.size for table in graph.tables)])
    scopes, factors, first, held, strides = [], [], [], [], []
    for factor, scope in enumerate(graph.scopes):
        kept = [one for one in scope if one in place]
        if not kept:
            continue
        shape = tuple(graph.cards[one] for one in scope)
        grid = np.arange(int(np.prod(shape)), dtype=np.intp).reshape(shape)
        at = tuple(slice(None) if one in place else 0 for one in scope)
        step = [int(np.prod(shape[axis + 1 :])) for axis in range(len(shape))]
        away = [axis for axis, one in enumerate(scope) if one not in place]
        scopes.append(tuple(place[one] for one in kept))
        factors.append(factor)
        first.append(starts[factor] + grid[at].ravel())
        held.append([scope[axis] for axis in away])
        strides.append([step[axis] for axis in away])
    cards = [graph.cards[one] for one in free]
    tree = clique_tree(cards, scopes, [[place[one] for one in order]])
    lengths = [len(cells) for cells in first]
    return Block(
        free,
        Plan(tree, tuple(scopes), float("inf")),
        tuple(factors),
        np.concatenate([np.empty(0, dtype=np.intp), *first]),
        np.repeat(np.arange(len(first), dtype=np.intp), lengths),
        _padded(held),
        _padded(strides),
    )


def _padded(rows: Sequence[Sequence[int]]) -> Places:
    width = max((len(row) for row in rows), default=0)
    table = np.zeros((len(rows), width), dtype=np.intp)
    for number, row in enumerate(rows):
        table[number, : len(row)] = row
    return table
