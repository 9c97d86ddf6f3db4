"""Exact inference: every marginal of a factor graph in two passes over a tree of cliques.

Message passing on a junction tree (Lauritzen & Spiegelhalter 1988; Jensen, Lauritzen &
Olesen 1990, from memory). The cost is known before it is paid: a `Plan` tells width,
entries and bytes; over its budget nothing is computed, and nothing is approximated
without being asked to.

A plan depends on the graph's structure and no table. It is made once and solved for any
number of tables; tables may carry one trailing axis, the *variants*, of which all go
through the tree together.

Example:
    >>> graph = FactorGraph()
    >>> cord = graph.add_variable("cord", 2)
    >>> _ = graph.add_factor([cord], [3, 1], "a claim")
    >>> solve(plan(graph), graph.tables).marginal(cord)
    array([0.75, 0.25])
"""

from collections.abc import Collection, Sequence
from dataclasses import dataclass, field
from functools import cached_property

import numpy as np

from ..errors import Refused
from .clique_tree import CliqueTree, clique_tree
from .elimination import Rule, elimination_order
from .factor_graph import FactorGraph, Table
from .message_passing import (
    BEST,
    LOGARITHMS,
    PLAIN,
    Distributed,
    TooSmall,
    collect,
    distribute,
    trace,
)
from .message_schedule import Schedule, schedule_of

BUDGET = 50_000_000
"""Entries of all cliques together, 8 bytes each, that are taken as affordable."""


class TooWide(Refused):
    """Exact inference would go over the budget; nothing was computed.

    Attributes:
        plan: what it would have cost.
    """

    def __init__(self, plan: "Plan") -> None:
        super().__init__(
            f"exact inference would need {plan.entries:.3g} table entries "
            f"({plan.bytes / 1e6:.0f} MB), which is over the budget; nothing was computed"
        )
        self.plan = plan


@dataclass(frozen=True)
class Plan:
    """A tree for a factor graph, and what it will cost.

    Attributes:
        tree: the cliques, their variables and how they hang together.
        scopes: variables per factor.
        budget: entries up to which the computation is done.
    """

    tree: CliqueTree
    scopes: tuple[tuple[int, ...], ...]
    budget: float

    @property
    def cards(self) -> tuple[int, ...]:
        """States per variable."""
        return self.tree.cards

    @cached_property
    def width(self) -> int:
        """Variables of the largest clique, less one."""
        return self.tree.width

    @cached_property
    def entries(self) -> float:
        """Cells of all cliques together."""
        return self.tree.entries

    @cached_property
    def shapes(self) -> list[tuple[int, ...]]:
        """States along the axes of each factor's table."""
        return [self.tree.shape(scope) for scope in self.scopes]

    @property
    def bytes(self) -> float:
        """Memory for the cliques, in bytes for each variant; a pass holds somewhat more."""
        return 8.0 * self.entries

    @property
    def exact(self) -> bool:
        """Whether that is within the budget."""
        return self.entries <= self.budget

    @cached_property
    def schedule(self) -> Schedule:
        """The order of work, laid out when it is first needed and then kept.

        Raises:
            TooWide: where the plan is over its budget.
        """
        if not self.exact:
            raise TooWide(self)
        return schedule_of(self.tree, self.scopes)

    def shares_of(self, passed: Distributed, variable: int) -> Table:
        """The marginal of a variable, a column per variant."""
        first, stride = self.schedule.shares[variable]
        return passed.shares[first : first + stride * self.cards[variable] : stride]


@dataclass(frozen=True, slots=True)
class Posterior:
    """A calibrated tree: what is believed after all evidence.

    Attributes:
        plan: the tree.
        tables: the evidence that went in, as given.
        log_z: natural log of the probability of the evidence; an array over the variants
            where there are any.
        batched: whether tables carried an axis of variants, so that answers do.
        passed: the beliefs, laid out as in the schedule of the plan.
    """

    plan: Plan
    tables: Sequence[Table]
    log_z: Table
    batched: bool
    passed: Distributed = field(repr=False)

    def marginal(self, variable: int) -> Table:
        """P(variable | evidence): one cell per state, then the variants if any."""
        shares = self.plan.shares_of(self.passed, variable)
        return shares if self.batched else shares[:, 0]

    def joint(self, factor: int) -> Table:
        """P(scope of a factor | evidence), axes in the order of its scope, batch last."""
        found = self.joint_within(self.plan.scopes[factor])
        assert found is not None  # a factor's scope always lies in one clique
        return found

    def joint_within(self, variables: Sequence[int]) -> Table | None:
        """P(variables | evidence) where one clique holds them all, axes as given.

        None where no clique does; `influence.joint_of_pair` finds it for any two.
        """
        tree = self.plan.tree
        clique = tree.home(variables)
        held = tree.cliques[clique].variables
        if not set(variables) <= set(held):
            return None
        number, row = self.plan.schedule.seat[clique]
        rank = self.plan.schedule.ranks[number]
        belief = self.passed.beliefs[number].reshape(*rank.shape, len(rank.variables), -1)
        away = tuple(axis for axis, one in enumerate(held) if one not in variables)
        joint: Table = belief[..., row, :].sum(axis=away)
        left = [one for one in held if one in variables]
        joint = joint.transpose([*map(left.index, variables), len(left)])
        return joint if self.batched else joint[..., 0]


def plan(graph: FactorGraph, budget: float = BUDGET, late: Collection[int] = ()) -> Plan:
    """Choose a tree for a graph and say what it costs; nothing is computed yet.

    Args:
        graph: variables and factors.
        budget: entries up to which a computation is called affordable.
        late: variables that speak to the whole object, summed out last.

    Returns:
        The cheaper of the trees that min-fill and min-weight find.
    """
    scopes = tuple(graph.scopes)
    orders = [elimination_order(graph.cards, scopes, late, rule) for rule in Rule]
    return Plan(clique_tree(graph.cards, scopes, orders), scopes, budget)


def solve(plan: Plan, tables: Sequence[Table]) -> Posterior:
    """Compute all beliefs exactly.

    Args:
        plan: from `plan`, for the graph that the tables belong to.
        tables: one per factor, axes in the order of its scope; any may carry a trailing
            axis of variants, of one common length or of length 1. A zero counts as less
            than 1e-300.

    Raises:
        TooWide: where the plan is over its budget; the text says the cost.
        ValueError: tables that do not fit the plan, or that are negative or not numbers.
    """
    evidence, batched = evidence_of(plan, tables)
    log_z, passed = solve_cells(plan, evidence)
    log_z = log_z if batched else log_z.reshape(())
    # Its own list, since the graph that the tables come from may grow.
    return Posterior(plan, list(tables), log_z, batched, passed)


def solve_cells(plan: Plan, evidence: Table) -> tuple[Table, Distributed]:
    """The same for tables laid out as by `evidence_of`: log_z per variant, and beliefs.

    Raises:
        TooWide: where the plan is over its budget.
    """
    schedule = plan.schedule
    try:
        work = collect(schedule, evidence, PLAIN)
        return work.log_z, distribute(schedule, work)
    except TooSmall:
        work = collect(schedule, evidence, LOGARITHMS)
        return work.log_z, distribute(schedule, work)


def most_probable(plan: Plan, tables: Sequence[Table]) -> tuple[tuple[int, ...], float]:
    """The single most probable joint state, and the natural log of its weight.

    The weight is the product of all tables at that state: its probability is
    ``exp(weight - log_z)`` with the ``log_z`` of `solve`. Among equals the one that the
    tree meets first.

    Raises:
        TooWide: where the plan is over its budget.
        ValueError: for tables with variants, or that do not fit the plan.
    """
    evidence, batched = evidence_of(plan, tables)
    if batched:
        raise ValueError("the most probable state is found for one variant at a time")
    work = collect(plan.schedule, evidence, BEST)
    states = trace(plan.schedule, work.tables, lambda options: options.argmax(axis=0))
    return tuple(int(state) for state in states[:, 0]), float(work.log_z[0])


def evidence_of(plan: Plan, tables: Sequence[Table]) -> tuple[Table, bool]:
    """The cells of all tables one after the other, a column per variant; if there are any.

    Raises:
        ValueError: tables that do not fit the plan, or that are negative or not numbers.
    """
    if len(tables) != len(plan.scopes):
        raise ValueError(
            f"{len(tables)} tables for {len(plan.scopes)} factors; there must be one each"
        )
    if [table.shape for table in tables] == plan.shapes:
        cells = [np.asarray(table, np.float64).ravel() for table in tables]
        evidence = np.concatenate(cells or [np.empty(0)])[:, None]
        return _checked(evidence), False
    rows = [_by_variant(*one) for one in enumerate(zip(tables, plan.shapes, strict=True))]
    variants = {row.shape[1] for row in rows} - {1} or {1}
    if len(variants) > 1:
        raise ValueError(
            f"tables carry {sorted(variants)} variants; all must carry as many"
        )
    width = (*variants,)[0]
    spread = [np.broadcast_to(row, (len(row), width)) for row in rows]
    return _checked(np.concatenate(spread)), True


def _by_variant(factor: int, given: tuple[Table, tuple[int, ...]]) -> Table:
    """A table as (cells, variants); one variant where it has no such axis."""
    table, shape = given
    if table.shape != shape and table.shape[:-1] != shape:
        raise ValueError(
            f"the table of factor {factor} has shape {table.shape}; its scope has {shape}, "
            "after which one axis of variants may follow"
        )
    flat: Table = table.reshape(int(np.prod(shape)), -1)
    return flat


def _checked(evidence: Table) -> Table:
    if evidence.size and not (evidence.min() >= 0 and np.isfinite(evidence.max())):
        raise ValueError("a table has a cell that is negative, infinite or not a number")
    return evidence
