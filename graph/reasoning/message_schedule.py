"""Which cliques are computed at once, and where in memory their numbers stand.

A tree for three thousand elements has some five thousand cliques, most of them tiny;
one call each would spend its time on calling. Cliques of one shape that have all their
children done form a *rank*: their tables lie side by side, last axis over the cliques,
and every step is one array operation for the whole rank.

All tables and messages live in one flat array of *cells*. A table is found in it by an
*address*: the place of its first cell and the stride to the next, for tables of a rank
are interleaved. Cell 0 holds a one, for a clique that has nothing where others of its
rank have a table.
"""

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import NamedTuple

import numpy as np
import numpy.typing as npt

from .clique_tree import CliqueTree

AT_ONCE = 1 << 15
"""Cells of a rank that are computed at once: a quarter of a megabyte stays in cache."""
PILE = 12
"""Most tables over the same variables that are multiplied without rescaling between."""

Cells = npt.NDArray[np.intp]


class Address(NamedTuple):
    """Where a table stands among the cells: first, first + stride, first + 2 strides …"""

    first: int
    stride: int


@dataclass(frozen=True, slots=True)
class Pool:
    """Tables of one size that speak about the same variables, multiplied beforehand.

    Attributes:
        layers: which cells of the given tables are multiplied: (size, sets), of which
            later layers take only the first columns, as not all sets have as many tables.
        factors: per layer, the factor of each column.
        block: where the products go.
    """

    layers: tuple[Cells, ...]
    factors: tuple[tuple[int, ...], ...]
    block: slice


@dataclass(frozen=True, slots=True)
class Slot:
    """What the cliques of a rank take up over the same of their axes, one table each.

    Attributes:
        shape: states of these axes, 1 for the others; the axis over cliques is to follow.
        cells: the tables, axes in the order of the clique, cliques last: flat.
        within: the slot whose axes include these, into which this one is multiplied while
            both are small; -1 if it goes into the clique itself.
        away: axes to sum over to get back here from that slot, or from the clique.
        heard: whether a message is among them or among those within, so that an answer
            must go back this way.
    """

    shape: tuple[int, ...]
    cells: Cells | slice
    within: int
    away: tuple[int, ...]
    heard: bool


@dataclass(frozen=True, slots=True)
class Rank:
    """Cliques computed at once.

    Attributes:
        variables: their variables, (cliques, axes).
        shape: states of the axes of each.
        summed: states of the axes summed out here, together.
        slots: what they take up; a slot comes before the one it lies within.
        block: where their messages go.
        shares: per axis summed out here, where the marginals go.
    """

    variables: Cells
    shape: tuple[int, ...]
    summed: int
    slots: tuple[Slot, ...]
    block: slice
    shares: tuple[slice, ...]


@dataclass(frozen=True, slots=True)
class Schedule:
    """The order of work for one tree and one set of scopes.

    Attributes:
        tree: the cliques.
        pools: evidence over the same variables, multiplied first.
        ranks: children before parents.
        cells: length of the array of tables and messages.
        evidence: per factor, the address of the product that it is part of.
        seat: per clique, its rank and its place in it.
        shares: per variable, the address of its marginal among all marginals.
    """

    tree: CliqueTree
    pools: tuple[Pool, ...]
    ranks: tuple[Rank, ...]
    cells: int
    evidence: tuple[Address, ...]
    seat: tuple[tuple[int, int], ...]
    shares: tuple[Address, ...]


class _Taken(NamedTuple):
    """Something that a clique takes up: axes of the clique, where it stands."""

    axes: tuple[int, ...]
    at: Address
    news: bool


def schedule_of(tree: CliqueTree, scopes: Sequence[Sequence[int]]) -> Schedule:
    """Lay out the work for a tree; depends on no table."""
    sets = _sets(tree, scopes)
    pools, evidence, used = _pools(tree, scopes, sets)
    layout = _Layout(tree, used)
    for variables, factors in sets:
        layout.take_up(tree.home(variables), variables, evidence[factors[0]], news=False)
    for shape, cliques in _levels(tree):
        room = max(1, AT_ONCE // math.prod(shape))
        cliques.sort(key=layout.pattern)  # alike ones together: fewer empty slots
        for start in range(0, len(cliques), room):
            layout.add_rank(shape, cliques[start : start + room])
    return Schedule(
        tree,
        pools,
        tuple(layout.ranks),
        layout.used,
        tuple(evidence),
        tuple(layout.seat),
        tuple(layout.shares),
    )


class _Layout:
    """The ranks laid out so far, and what the cliques of the next ones will take up."""

    def __init__(self, tree: CliqueTree, used: int) -> None:
        self.tree = tree
        self.used = used
        self.marginals = 0
        self.ranks: list[Rank] = []
        self.seat = [(0, 0)] * len(tree.cliques)
        self.shares = [Address(0, 1)] * len(tree.cards)
        self._taken: list[list[_Taken]] = [[] for _ in tree.cliques]

    def take_up(
        self, clique: int, variables: Sequence[int], address: Address, *, news: bool
    ) -> None:
        """Let a clique take up a table over some of its variables, in its own order."""
        held = self.tree.cliques[clique].variables
        axes = tuple(held.index(one) for one in variables)
        self._taken[clique].append(_Taken(axes, address, news))

    def pattern(self, clique: int) -> list[tuple[int, ...]]:
        """Over which of its axes a clique takes something up."""
        return sorted(one.axes for one in self._taken[clique])

    def add_rank(self, shape: tuple[int, ...], cliques: Sequence[int]) -> None:
        """Lay out cliques of one shape, all of whose children are laid out."""
        rows = len(cliques)
        summed = self.tree.cliques[cliques[0]].summed
        shares = []
        for card in shape[:summed]:
            shares.append(slice(self.marginals, self.marginals + card * rows))
            self.marginals += card * rows
        block = slice(self.used, self.used + math.prod(shape[summed:]) * rows)
        self.used = block.stop
        for row, clique in enumerate(cliques):
            self.seat[clique] = (len(self.ranks), row)
            node = self.tree.cliques[clique]
            for variable, share in zip(node.variables, shares, strict=False):
                self.shares[variable] = Address(share.start + row, rows)
            if node.parent >= 0:
                message = Address(block.start + row, rows)
                self.take_up(node.parent, node.separator, message, news=True)
        variables = np.array([self.tree.cliques[one].variables for one in cliques])
        slots = _slots(shape, [self._taken[clique] for clique in cliques])
        self.ranks.append(
            Rank(variables, shape, math.prod(shape[:summed]), slots, block, tuple(shares))
        )


def _levels(tree: CliqueTree) -> Iterable[tuple[tuple[int, ...], list[int]]]:
    """Cliques of one shape whose children are all in earlier levels."""
    height = [0] * len(tree.cliques)
    levels: dict[tuple[int, int, tuple[int, ...]], list[int]] = {}
    for number, clique in enumerate(tree.cliques):
        if clique.parent >= 0:
            height[clique.parent] = max(height[clique.parent], height[number] + 1)
        key = (height[number], clique.summed, tree.shape(clique.variables))
        levels.setdefault(key, []).append(number)
    return [(key[2], levels[key]) for key in sorted(levels)]


def _slots(shape: tuple[int, ...], taken: Sequence[list[_Taken]]) -> tuple[Slot, ...]:
    """The slots of a rank, from what each of its cliques takes up."""
    filled: dict[tuple[tuple[int, ...], int], list[tuple[int, _Taken]]] = {}
    for row, things in enumerate(taken):
        count: dict[tuple[int, ...], int] = {}
        for one in sorted(things, key=lambda one: not one.news):
            number = count[one.axes] = count.get(one.axes, -1) + 1
            filled.setdefault((one.axes, number), []).append((row, one))
    size = {key: math.prod(shape[axis] for axis in key[0]) for key in filled}
    keys = sorted(filled, key=lambda key: (size[key], key))
    heard: set[int] = set()
    slots = []
    for i, key in enumerate(keys):
        axes = set(key[0])
        within = next((j for j in range(i + 1, len(keys)) if axes <= set(keys[j][0])), -1)
        if i in heard or any(one.news for _, one in filled[key]):
            heard |= {i, within}
        around = keys[within][0] if within >= 0 else range(len(shape))
        slots.append(
            Slot(
                tuple(card if axis in axes else 1 for axis, card in enumerate(shape)),
                _cells(size[key], len(taken), filled[key]),
                within,
                tuple(axis for axis in around if axis not in axes),
                i in heard,
            )
        )
    return tuple(slots)


def _cells(size: int, rows: int, filled: Sequence[tuple[int, _Taken]]) -> Cells | slice:
    """The cells of a slot; cell 0 throughout where a row has nothing."""
    if rows == 1:
        first, stride = filled[0][1].at
        return slice(first, first + size * stride, stride)
    first_cells = np.zeros(rows, dtype=np.intp)
    strides = np.zeros(rows, dtype=np.intp)
    for row, one in filled:
        first_cells[row], strides[row] = one.at
    return (first_cells + np.arange(size)[:, None] * strides).ravel()


_Set = tuple[tuple[int, ...], list[int]]
"""Variables in the order of summing out, and some of the factors that speak of them."""


def _sets(tree: CliqueTree, scopes: Sequence[Sequence[int]]) -> list[_Set]:
    """Factors over the same variables, at most PILE of them to a set."""
    found: dict[tuple[int, ...], list[int]] = {}
    for factor, scope in enumerate(scopes):
        ordered = tuple(sorted(scope, key=tree.place.__getitem__))
        found.setdefault(ordered, []).append(factor)
    return [
        (variables, factors[start : start + PILE])
        for variables, factors in found.items()
        for start in range(0, len(factors), PILE)
    ]


def _pools(
    tree: CliqueTree, scopes: Sequence[Sequence[int]], sets: Sequence[_Set]
) -> tuple[tuple[Pool, ...], list[Address], int]:
    """Sets of one size side by side, the address of each factor's, and the cells used."""
    sizes = [math.prod(tree.shape(scope)) for scope in scopes]
    alike: dict[int, list[_Set]] = {}
    for one in sets:
        alike.setdefault(sizes[one[1][0]], []).append(one)
    turned = _Turned(tree, scopes, sizes)
    evidence = [Address(0, 1)] * len(scopes)
    pools = []
    used = 1
    for size, members in alike.items():
        members.sort(key=lambda one: -len(one[1]))
        block = slice(used, used + size * len(members))
        pools.append(_pool(members, turned, block))
        for column, (_, factors) in enumerate(members):
            for factor in factors:
                evidence[factor] = Address(used + column, len(members))
        used = block.stop
    return tuple(pools), evidence, used


def _pool(members: Sequence[_Set], turned: "_Turned", block: slice) -> Pool:
    """A pool of sets of one size, those with most factors first."""
    layers, factors = [], []
    for depth in range(len(members[0][1])):
        deep = [one for one in members if len(one[1]) > depth]
        factors.append(tuple(held[depth] for _, held in deep))
        columns = [turned.cells(held[depth], variables) for variables, held in deep]
        layers.append(np.stack(columns, axis=1) + turned.first[list(factors[-1])])
    return Pool(tuple(layers), tuple(factors), block)


class _Turned:
    """Where the cells of a table stand when its axes are put in another order.

    Attributes:
        first: per factor, its first cell among the cells of all tables.
    """

    def __init__(
        self, tree: CliqueTree, scopes: Sequence[Sequence[int]], sizes: Sequence[int]
    ) -> None:
        self.first = np.concatenate([[0], np.cumsum(sizes, dtype=np.intp)])[:-1]
        self._tree, self._scopes = tree, scopes
        self._known: dict[tuple[tuple[int, ...], tuple[int, ...]], Cells] = {}

    def cells(self, factor: int, variables: Sequence[int]) -> Cells:
        """Cells of a factor's table in the order of these variables, counted from 0."""
        scope = self._scopes[factor]
        key = self._tree.shape(scope), tuple(map(scope.index, variables))
        if key not in self._known:
            shape, axes = key
            straight = np.arange(math.prod(shape), dtype=np.intp).reshape(shape)
            self._known[key] = straight.transpose(axes).ravel()
        return self._known[key]
