"""Later evidence: from a solved tree to the next one, sending only what has changed.

A solved tree is calibrated: neighbours agree about what they share. A table that changes
changes the belief of one clique, by the ratio of new to old; the news goes out from there,
each neighbour's belief times the ratio of what is now believed about the variables shared
to what was (absorption, Jensen, Lauritzen & Olesen 1990, from memory). That is one message
along each separator at most, where a fresh solution needs two. It goes no further where it
says nothing new, and never reaches a part of the graph that hangs on nothing else. Several
changes are first gathered where their ways meet.

An added report whose variables lie in one clique is a change of a table of ones; so is one
taken away. The order of summing out and the cliques, the dear part, stay as they are.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np

from .clique_tree import CliqueTree
from .factor_graph import FactorGraph, Table
from .junction_tree import Plan, Posterior, evidence_of, solve
from .message_passing import NEGLIGIBLE, Distributed

__all__ = ["SolvedAgain", "fits", "solve_again"]

NOTHING_NEW = 1e-14
"""Relative change of every cell of a message up to which it is not sent on."""
TOO_FAR = 1e-60
"""Probability of the news, given all that was known, below which it is solved afresh: what
was lost as too small for a number could matter then."""


@dataclass(frozen=True, slots=True)
class SolvedAgain:
    """The next solution.

    Attributes:
        posterior: equal to a fresh solution with the same tree.
        messages: messages that were reckoned.
        fresh: how many a fresh solution reckons with this tree.
    """

    posterior: Posterior
    messages: int
    fresh: int


def fits(plan: Plan, graph: FactorGraph) -> bool:
    """Whether a graph has the variables of a plan, and its scopes each lie in a clique."""
    return tuple(graph.cards) == plan.cards and all(
        _holds(plan.tree, scope) for scope in graph.scopes
    )


def solve_again(previous: Posterior, graph: FactorGraph) -> SolvedAgain:
    """Solve a graph that differs from a solved one in some of its tables or reports.

    Args:
        previous: the solved graph, without variants.
        graph: the same variables; any tables and scopes for which `fits` holds.

    Raises:
        ValueError: the graph does not fit the tree, or the posterior has variants.
    """
    if previous.batched:
        raise ValueError("only a solution without variants can be taken further")
    if not fits(previous.plan, graph):
        raise ValueError(
            "the graph has other variables, or a report about variables that no clique "
            "of the tree holds together; it must be planned and solved afresh"
        )
    tree = previous.plan.tree
    plan = previous.plan
    if tuple(graph.scopes) != plan.scopes:
        plan = Plan(tree, tuple(graph.scopes), plan.budget)
    evidence_of(plan, graph.tables)  # refuses what is no probability
    ways = sum(clique.parent >= 0 for clique in tree.cliques)
    news = _News(previous)
    if not (news.take_in(graph) and news.settle()):
        return SolvedAgain(solve(plan, graph.tables), 2 * ways, 2 * ways)
    passed = news.passed(plan)
    log_z = np.array(float(previous.log_z) + news.log_z)
    posterior = Posterior(plan, list(graph.tables), log_z, False, passed)
    return SolvedAgain(posterior, news.messages, 2 * ways)


def _holds(tree: CliqueTree, scope: Sequence[int]) -> bool:
    return set(scope) <= set(tree.cliques[tree.home(scope)].variables)


class _News:
    """What has changed so far, and how far it has been carried.

    Attributes:
        beliefs: per clique that was reached, its belief as it is now.
        agreed: per clique whose separator was told over, what both ends now hold of it.
        dirty: cliques whose own tables changed.
        messages: messages reckoned.
        log_z: natural log of how much more probable all evidence became.
        raised: probability that may rest on cells that were raised.
    """

    def __init__(self, previous: Posterior) -> None:
        self.previous, self.tree = previous, previous.plan.tree
        self.beliefs: dict[int, Table] = {}
        self.agreed: dict[int, Table] = {}
        self.dirty: set[int] = set()
        self.messages = 0
        self.log_z = 0.0
        self.raised = previous.passed.raised
        self.children: list[list[int]] = [[] for _ in self.tree.cliques]
        for number, clique in enumerate(self.tree.cliques):
            if clique.parent >= 0:
                self.children[clique.parent].append(number)

    def take_in(self, graph: FactorGraph) -> bool:
        """Multiply every change into its clique; False where a change is no ratio."""
        plan = self.previous.plan
        changes = _changes(plan.scopes, self.previous.tables, graph.scopes, graph.tables)
        for scope, gone, come in changes:
            if any(not table.min() > 0 for table in gone):
                return False
            clique = self.tree.home(scope)
            belief = self._belief(clique).copy()
            for table in gone:
                belief /= self._spread(clique, scope, table / table.max())
                self.log_z -= float(np.log(table.max()))
            for table in come:
                belief *= self._spread(clique, scope, table / table.max())
                self.log_z += float(np.log(table.max()))
            self.beliefs[clique] = belief
            self.dirty.add(clique)
        return True

    def settle(self) -> bool:
        """Carry the news to all whom it concerns; False where numbers do not reach."""
        for top in self._gathered():
            belief = self.beliefs[top]
            total = float(belief.sum())
            if not (np.isfinite(total) and total > TOO_FAR):
                return False
            self.raised /= min(total, 1.0)
            if self.raised > NEGLIGIBLE:
                return False
            self.beliefs[top] = belief / total
            self.log_z += float(np.log(total))
            self._spread_from(top)
        return True

    def _gathered(self) -> Iterator[int]:
        """Bring the changes of each component together; the clique where they meet."""
        waiting: dict[int, int] = {}
        root = self._roots()
        for number in self.dirty:
            waiting[root[number]] = waiting.get(root[number], 0) + 1
        below = [int(number in self.dirty) for number in range(len(self.tree.cliques))]
        for number, clique in enumerate(self.tree.cliques):
            if not below[number] or waiting[root[number]] == 0:
                continue
            if below[number] == waiting[root[number]]:
                waiting[root[number]] = 0
                yield number
            else:
                self._send(number, clique.parent, number)
                below[clique.parent] += below[number]

    def _roots(self) -> list[int]:
        """Per clique, the root of its component."""
        root = list(range(len(self.tree.cliques)))
        for number in range(len(root) - 1, -1, -1):  # parents have higher numbers
            if self.tree.cliques[number].parent >= 0:
                root[number] = root[self.tree.cliques[number].parent]
        return root

    def _spread_from(self, top: int) -> None:
        """From one clique outwards, as far as there is anything new."""
        walk = [(top, -1)]
        for clique, came_from in walk:  # grows as it is walked
            parent = self.tree.cliques[clique].parent
            up = [] if parent < 0 else [(parent, clique)]
            down = [(child, child) for child in self.children[clique]]
            for neighbour, separator in up + down:
                if neighbour != came_from and self._send(clique, neighbour, separator):
                    walk.append((neighbour, clique))

    def _send(self, one: int, other: int, child: int) -> bool:
        """Let a clique tell a neighbour what it now believes; whether that was news.

        Args:
            one, other: who tells, and who is told.
            child: that of the two which is further from the root.
        """
        self.messages += 1
        shared = self.tree.cliques[child].separator
        now = self._summed(one, self._belief(one), shared)
        was = self.agreed.get(child)
        if was is None:
            was = self._summed(child, self._before(child), shared)
        if np.allclose(now, was, rtol=NOTHING_NEW, atol=0):
            return other in self.beliefs  # it may have news of its own to tell
        self.agreed[child] = now
        ratio = np.divide(now, was, out=np.zeros_like(now), where=was > 0)
        self.beliefs[other] = self._belief(other) * self._spread(other, shared, ratio)
        return True

    # ------------------------------------------------------------------ tables of cliques

    def _belief(self, clique: int) -> Table:
        found = self.beliefs.get(clique)
        return self._before(clique) if found is None else found

    def _before(self, clique: int) -> Table:
        return _seat(self.previous.plan, self.previous.passed.beliefs, clique)

    def _summed(self, clique: int, belief: Table, shared: Sequence[int]) -> Table:
        """The belief of a clique about variables that it shares, axes in their order."""
        held = self.tree.cliques[clique].variables
        away = tuple(axis for axis, one in enumerate(held) if one not in shared)
        left = [one for one in held if one in shared]
        turned: Table = belief.sum(axis=away).transpose([left.index(one) for one in shared])
        return turned

    def _spread(self, clique: int, scope: Sequence[int], table: Table) -> Table:
        """A table over some variables of a clique, so that it multiplies its belief."""
        held = self.tree.cliques[clique].variables
        order = sorted(range(len(scope)), key=lambda axis: held.index(scope[axis]))
        shape = [self.tree.cards[one] if one in scope else 1 for one in held]
        spread: Table = table.transpose(order).reshape(shape)
        return spread

    def passed(self, plan: Plan) -> Distributed:
        """All beliefs, laid out as in the schedule of a plan for the same tree."""
        schedule = plan.schedule
        beliefs = [np.empty((*rank.shape, len(rank.variables))) for rank in schedule.ranks]
        shares = np.empty((sum(self.tree.cards), 1))
        for clique in range(len(self.tree.cliques)):
            _seat(plan, beliefs, clique)[...] = self._belief(clique)
        for variable, clique in enumerate(self.tree.at):
            first, stride = schedule.shares[variable]
            card = self.tree.cards[variable]
            marginal = self.previous.marginal(variable)
            if clique in self.beliefs:
                marginal = self._summed(clique, self.beliefs[clique], (variable,))
                marginal = marginal / marginal.sum()
            shares[first : first + stride * card : stride, 0] = marginal
        return Distributed(tuple(beliefs), shares, self.raised)


def _seat(plan: Plan, beliefs: Sequence[Table], clique: int) -> Table:
    """The belief of one clique among those of its rank; a view."""
    number, row = plan.schedule.seat[clique]
    rank = plan.schedule.ranks[number]
    view: Table = beliefs[number].reshape(*rank.shape, len(rank.variables))[..., row]
    return view


def _changes(
    old_scopes: Sequence[tuple[int, ...]],
    old: Sequence[Table],
    new_scopes: Sequence[tuple[int, ...]],
    new: Sequence[Table],
) -> Iterator[tuple[tuple[int, ...], list[Table], list[Table]]]:
    """Per scope, the tables that are gone and those that have come."""
    gone: dict[tuple[int, ...], list[Table]] = {}
    for scope, table in zip(old_scopes, old, strict=True):
        gone.setdefault(scope, []).append(table)
    come: dict[tuple[int, ...], list[Table]] = {}
    for scope, table in zip(new_scopes, new, strict=True):
        left = gone.get(scope, [])
        same = next((i for i, one in enumerate(left) if np.array_equal(one, table)), -1)
        if same >= 0:
            left.pop(same)
        else:
            come.setdefault(scope, []).append(table)
    for scope in sorted({*(one for one, left in gone.items() if left), *come}):
        yield scope, gone.get(scope, []), come.get(scope, [])
