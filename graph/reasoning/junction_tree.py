"""Exact inference: every marginal of a factor graph in two passes over a tree of cliques.

Message passing on a junction tree (Lauritzen & Spiegelhalter 1988; Jensen et al. 1990,
from memory). Messages are rescaled as they go and the scale is kept, so that a large
object neither underflows nor loses precision. The cost is known before it is paid: a
`Plan` tells width, entries and bytes; over its budget nothing is computed.

Tables may carry one trailing axis, the batch: that many variants of the evidence go
through the same tree together.
"""

from collections.abc import Collection, Sequence
from dataclasses import dataclass, field

import numpy as np

from ..errors import Refused
from .elimination import buckets_of, elimination_order
from .factor_graph import FactorGraph, Table

BUDGET = 50_000_000
"""Entries of all cliques together, 8 bytes each, that are taken as affordable."""


@dataclass(frozen=True, slots=True)
class Clique:
    """One node of the tree.

    Attributes:
        variables: axes of its table; those summed out here first, the separator last.
        summed: how many leading axes are summed out on the way to the root.
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
class Plan:
    """A tree for a factor graph, and what it will cost.

    Attributes:
        cards: states per variable.
        scopes: variables per factor.
        cliques: children before their parents.
        home: per factor, the clique that takes it up.
        at: per variable, a clique that holds it.
        width: variables of the largest clique, less one.
        entries: cells of all cliques.
        exact: whether that is within the budget.
    """

    cards: tuple[int, ...]
    scopes: tuple[tuple[int, ...], ...]
    cliques: tuple[Clique, ...]
    home: tuple[int, ...]
    at: tuple[int, ...]
    width: int
    entries: float
    exact: bool

    @property
    def bytes(self) -> float:
        """Memory for the cliques, in bytes; a pass holds about twice as much."""
        return 8.0 * self.entries

    def shape(self, variables: Sequence[int]) -> tuple[int, ...]:
        """States of some variables, as the shape of a table."""
        return tuple(self.cards[variable] for variable in variables)


@dataclass(frozen=True, slots=True)
class Posterior:
    """A calibrated tree: what is believed after all evidence.

    Attributes:
        plan: the tree.
        tables: the evidence that went in, as given.
        log_z: natural log of the probability of the evidence; an array over the batch.
        beliefs: per clique, its joint posterior, batch last where there is one.
    """

    plan: Plan
    tables: Sequence[Table]
    log_z: Table
    beliefs: tuple[Table, ...] = field(repr=False)

    def marginal(self, variable: int) -> Table:
        """P(variable | evidence): one cell per state, then the batch axis if any."""
        clique = self.plan.at[variable]
        return self._summed(clique, (variable,))

    def joint(self, factor: int) -> Table:
        """P(scope of a factor | evidence), axes in the order of its scope, batch last."""
        return self._summed(self.plan.home[factor], self.plan.scopes[factor])

    def _summed(self, clique: int, wanted: tuple[int, ...]) -> Table:
        variables = self.plan.cliques[clique].variables
        away = tuple(i for i, one in enumerate(variables) if one not in wanted)
        table = self.beliefs[clique].sum(axis=away)
        left = [one for one in variables if one in wanted]
        turn = [left.index(one) for one in wanted]
        turned: Table = table.transpose([*turn, *range(len(wanted), table.ndim)])
        return turned


def plan(graph: FactorGraph, budget: float = BUDGET, late: Collection[int] = ()) -> Plan:
    """Choose a tree for a graph and say what it costs; nothing is computed yet.

    Args:
        graph: variables and factors.
        budget: entries up to which a computation is called affordable.
        late: variables that speak to the whole object, summed out last.
    """
    scopes = tuple(graph.scopes)
    order = elimination_order(graph.cards, scopes, late)
    rank = {variable: place for place, variable in enumerate(order)}
    cliques, clique_of = _cliques(order, rank, buckets_of(order, len(order), scopes))
    cards = tuple(graph.cards)
    sizes = [np.prod([float(cards[one]) for one in clique.variables]) for clique in cliques]
    entries = float(sum(sizes))
    return Plan(
        cards,
        scopes,
        cliques,
        tuple(clique_of[min(rank[one] for one in scope)] for scope in scopes),
        tuple(clique_of[rank[variable]] for variable in range(len(order))),
        max((len(clique.variables) for clique in cliques), default=1) - 1,
        entries,
        entries <= budget,
    )


def _cliques(
    order: Sequence[int], rank: dict[int, int], buckets: Sequence[frozenset[int]]
) -> tuple[tuple[Clique, ...], list[int]]:
    """Buckets merged where one lies whole in the one below it, and where each went."""
    parents = [
        min((rank[one] for one in bucket if one != variable), default=-1)
        for variable, bucket in zip(order, buckets, strict=True)
    ]
    members: list[list[int]] = []  # places in the order that a clique sums out
    went = [0] * len(order)
    children: list[list[int]] = [[] for _ in order]
    for place, parent in enumerate(parents):
        if parent >= 0:
            children[parent].append(place)
    for place, bucket in enumerate(buckets):
        host = next(
            (child for child in children[place] if len(buckets[child]) == len(bucket) + 1),
            None,
        )
        if host is None:
            went[place] = len(members)
            members.append([place])
        else:
            went[place] = went[host]
            members[went[host]].append(place)
    # A clique comes after everything that it collects from: sort by the last it sums out.
    turn = sorted(range(len(members)), key=lambda clique: members[clique][-1])
    new = {old: number for number, old in enumerate(turn)}
    cliques = []
    for old in turn:
        places = members[old]
        variables = sorted(buckets[places[0]], key=lambda one: rank[one])
        above = parents[places[-1]]
        parent = new[went[above]] if above >= 0 else -1
        cliques.append(Clique(tuple(variables), len(places), parent))
    return tuple(cliques), [new[one] for one in went]


def solve(plan: Plan, tables: Sequence[Table]) -> Posterior:
    """Compute all beliefs exactly.

    Args:
        plan: from `plan`, for the graph that the tables belong to.
        tables: one per factor, axes in the order of its scope; all or none may carry a
            trailing batch axis of one common length (or of length 1).

    Raises:
        Refused: where the plan is over its budget; the text says the cost.
    """
    _must_be_affordable(plan)
    batch = _batch(plan, tables)
    potentials = _taken_up(plan, tables, batch)
    upward, log_z = _collect(plan, potentials, batch)
    beliefs = _distribute(plan, potentials, upward, batch)
    total = log_z if batch else log_z.reshape(())
    return Posterior(plan, tables, total, tuple(beliefs))


def most_probable(plan: Plan, tables: Sequence[Table]) -> tuple[tuple[int, ...], float]:
    """The single most probable joint state, and log of its share of the evidence.

    Raises:
        Refused: where the plan is over its budget.
        ValueError: for tables with a batch axis.
    """
    _must_be_affordable(plan)
    if _batch(plan, tables):
        raise ValueError("the most probable state is found for one variant at a time")
    potentials = _taken_up(plan, tables, 0)
    _, log_best = _collect(plan, potentials, 0, best=True)
    states = [0] * len(plan.cards)
    for clique, potential in zip(reversed(plan.cliques), reversed(potentials), strict=True):
        fixed = tuple(states[one] for one in clique.separator)
        table = potential[(slice(None),) * clique.summed + fixed]
        best = np.unravel_index(int(table.argmax()), table.shape)
        for variable, state in zip(clique.variables[: clique.summed], best, strict=True):
            states[variable] = int(state)
    return tuple(states), float(log_best[0])


def _must_be_affordable(plan: Plan) -> None:
    if not plan.exact:
        raise Refused(
            f"exact inference would need {plan.entries:.3g} table entries "
            f"({plan.bytes / 1e6:.0f} MB), which is over the budget; nothing was computed"
        )


def _batch(plan: Plan, tables: Sequence[Table]) -> int:
    """Length of the batch axis; 0 without one."""
    return max(
        (
            table.shape[-1]
            for scope, table in zip(plan.scopes, tables, strict=True)
            if table.ndim > len(scope)
        ),
        default=0,
    )


def _spread(
    plan: Plan, table: Table, scope: Sequence[int], onto: Sequence[int], batch: int
) -> Table:
    """A table over *scope* shaped to be multiplied into one over *onto*."""
    place = {variable: i for i, variable in enumerate(onto)}
    turn = sorted(range(len(scope)), key=lambda i: place[scope[i]])
    if batch and table.ndim == len(scope):
        table = table[..., None]
    rest = [len(scope)] if batch else []
    shape = [1] * len(onto) + ([table.shape[-1]] if batch else [])
    for variable in scope:
        shape[place[variable]] = plan.cards[variable]
    return table.transpose([*turn, *rest]).reshape(shape)


def _taken_up(plan: Plan, tables: Sequence[Table], batch: int) -> list[Table]:
    tail = (batch,) if batch else ()
    potentials = [np.ones(plan.shape(one.variables) + tail) for one in plan.cliques]
    for scope, table, home in zip(plan.scopes, tables, plan.home, strict=True):
        onto = plan.cliques[home].variables
        potentials[home] *= _spread(plan, table, scope, onto, batch)
    return potentials


def _collect(
    plan: Plan, potentials: list[Table], batch: int, *, best: bool = False
) -> tuple[list[Table], Table]:
    """Messages towards the roots, each scaled to a largest cell of 1, and the log scale."""
    log_z = np.zeros(max(batch, 1))
    messages: list[Table] = []
    for clique, potential in zip(plan.cliques, potentials, strict=True):
        shape = plan.shape(clique.separator)
        flat = potential.reshape(-1, *shape, max(batch, 1))
        message = flat.max(axis=0) if best else flat.sum(axis=0)
        scale = message.reshape(-1, max(batch, 1)).max(axis=0)
        message = message / scale
        log_z += np.log(scale)
        message = message if batch else message[..., 0]
        messages.append(message)
        if clique.parent >= 0:
            onto = plan.cliques[clique.parent].variables
            spread = _spread(plan, message, clique.separator, onto, batch)
            potentials[clique.parent] *= spread
    return messages, log_z


def _distribute(
    plan: Plan, potentials: list[Table], upward: list[Table], batch: int
) -> list[Table]:
    """Beliefs of all cliques, roots first, each normalised."""
    beliefs: list[Table] = [np.empty(0)] * len(plan.cliques)
    for number in range(len(plan.cliques) - 1, -1, -1):
        clique = plan.cliques[number]
        belief = potentials[number]
        if clique.parent >= 0:
            above = plan.cliques[clique.parent].variables
            wanted = set(clique.separator)
            away = tuple(i for i, one in enumerate(above) if one not in wanted)
            order = [one for one in above if one in wanted]
            down = beliefs[clique.parent].sum(axis=away)
            news = down / _turned(upward[number], clique.separator, order, batch)
            belief = belief * _spread(plan, news, order, clique.variables, batch)
        axes = tuple(range(len(clique.variables)))
        beliefs[number] = belief / belief.sum(axis=axes)
    return beliefs


def _turned(table: Table, scope: Sequence[int], wanted: Sequence[int], batch: int) -> Table:
    """A table with its axes in another order, the batch staying last."""
    place = [list(scope).index(one) for one in wanted]
    turned: Table = table.transpose([*place, *([len(scope)] if batch else [])])
    return turned
