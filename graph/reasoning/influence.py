"""What each piece of evidence does, from one calibrated tree and few passes more.

Leaving a factor out is a division: its belief divided by its table is, up to a constant,
the belief without it, and the constant is how probable its report was, given all others.
That is exact, as no table holds a zero. The effect on another variable comes from pinning
that variable to each of its states, all in one batch. So n questions "what if this had
not been said" cost about as much as asking once.

Jensen, Chamberlain, Nordahl & Jensen 1991 for the measure of conflict (from memory; the
formula also stands in the manuals of libraries for such networks).
"""

import math
from collections.abc import Collection, Iterator, Sequence
from dataclasses import dataclass

import numpy as np

from .factor_graph import Table
from .junction_tree import Posterior, evidence_of, solve_cells
from .message_passing import Distributed, evidence_beliefs
from .message_schedule import Schedule

PINNED_OUT = 1e-150
"""What a state counts as while its variable is pinned to another."""


@dataclass(frozen=True, slots=True)
class LeftOut:
    """What would be without one factor.

    Attributes:
        log10_probability: log10 of P(its report | all other evidence), on the scale of
            its table; far below that of its report alone where it goes against the rest.
        belief: P(its scope | all other evidence), axes in the order of its scope.
    """

    log10_probability: float
    belief: Table


@dataclass(frozen=True, slots=True)
class Conflict:
    """Whether pieces of evidence support each other or clash.

    Attributes:
        overall: log10 of the product of P(e) over P(all e); above 0, the pieces are
            jointly less probable than if they had nothing to do with each other.
        surprise: per piece, log10 of P(e | all others) over P(e); below 0, the others
            make it less probable than it was.
    """

    overall: float
    surprise: dict[int, float]


def joint_of(posterior: Posterior, factor: int) -> Table:
    """P(scope of a factor | evidence), axes in the order of its scope, variants last."""
    return posterior.joint(factor)


def joint_of_pair(posterior: Posterior, one: int, other: int) -> Table:
    """P(one, other | evidence) for any two variables, wherever they stand in the tree.

    Raises:
        ValueError: for a variable with itself, or a posterior with variants.
    """
    _one_variant(posterior)
    if one == other:
        raise ValueError(f"variable {one} was asked for twice; a joint is of two")
    together = posterior.joint_within((one, other))
    if together is not None:
        return together
    cards = posterior.plan.cards
    if cards[one] > cards[other]:
        return joint_of_pair(posterior, other, one).T
    given = _given(posterior, other, list(_pinned(posterior, one)))
    return posterior.marginal(one)[:, None] * given.T


def leave_one_out(
    posterior: Posterior, factors: Collection[int] | None = None
) -> dict[int, LeftOut]:
    """Per factor, how probable its report is given all others, and the belief without it.

    Args:
        posterior: a solved graph without variants.
        factors: which; all if None.
    """
    _one_variant(posterior)
    cells, sums = _divided(posterior, posterior.passed)
    log10_probability = -np.log10(sums[:, 0])
    start = np.cumsum([0, *map(math.prod, posterior.plan.shapes)])
    found: dict[int, LeftOut] = {}
    for factor in _asked(posterior, factors):
        belief = cells[start[factor] : start[factor + 1], 0] / sums[factor, 0]
        shape = posterior.plan.shapes[factor]
        found[factor] = LeftOut(float(log10_probability[factor]), belief.reshape(shape))
    return found


def influence(
    posterior: Posterior, target: int, factors: Collection[int] | None = None
) -> dict[int, Table]:
    """P(target | all evidence but one factor), for each factor in turn.

    Args:
        posterior: a solved graph without variants.
        target: the variable asked about.
        factors: which are left out in turn; each once, all if None.
    """
    _one_variant(posterior)
    sums = [_divided(posterior, part)[1] for part in _pinned(posterior, target)]
    without = np.concatenate(sums, axis=1) * posterior.marginal(target)
    without /= without.sum(axis=1, keepdims=True)
    return {factor: without[factor] for factor in _asked(posterior, factors)}


def value_of_information(
    posterior: Posterior, target: int, tests: Sequence[tuple[int, Table]]
) -> Table:
    """Expected gain in bits about a variable from each of some tests.

    Args:
        posterior: a solved graph without variants.
        target: the variable asked about.
        tests: per test, the variable it looks at and P(outcome | state), a row per
            outcome, a column per state of that variable.

    Returns:
        Mutual information of target and outcome, in bits, one per test.
    """
    _one_variant(posterior)
    now = posterior.marginal(target)
    parts = list(_pinned(posterior, target))
    gains = []
    for variable, outcomes in tests:
        same = variable == target
        seen = outcomes @ (np.eye(len(now)) if same else _given(posterior, variable, parts))
        gains.append(float(bits(seen @ now) - now @ bits(seen)))
    return np.array(gains)


def conflict(posterior: Posterior, evidence: Collection[int] | None = None) -> Conflict:
    """How far pieces of evidence go against each other.

    A conflict that the unsoundness of a source explains is seen in the belief about that
    source; here it shows all the same.

    Args:
        posterior: a solved graph without variants.
        evidence: the factors that are reports; the others are taken as the model. If
            None all are reports, judged against a state of knowing nothing.
    """
    _one_variant(posterior)
    reports = _asked(posterior, evidence)
    schedule = posterior.plan.schedule
    cells, _ = evidence_of(posterior.plan, posterior.tables)
    silent = list(posterior.tables)
    for factor in reports:
        silent[factor] = np.ones_like(silent[factor])
    unsaid, _ = evidence_of(posterior.plan, silent)
    log_z, before = solve_cells(posterior.plan, unsaid)
    _, alone = against(schedule, before, cells, np.multiply)
    _, rest = _divided(posterior, posterior.passed)
    log_alone, log_rest = np.log10(alone[:, 0]), -np.log10(rest[:, 0])
    together = float(posterior.log_z - log_z[0]) / math.log(10)
    return Conflict(
        math.fsum(log_alone[list(reports)]) - together,
        {factor: float(log_rest[factor] - log_alone[factor]) for factor in reports},
    )


def _one_variant(posterior: Posterior) -> None:
    if posterior.batched:
        raise ValueError("this is asked of one posterior at a time, not of many variants")


def _asked(posterior: Posterior, factors: Collection[int] | None) -> Collection[int]:
    return range(len(posterior.tables)) if factors is None else factors


def _divided(posterior: Posterior, passed: Distributed) -> tuple[Table, Table]:
    """Beliefs of all factors over their tables, as `against` lays them out.

    Raises:
        ValueError: a table holds a zero, which cannot be taken out again.
    """
    cells, _ = evidence_of(posterior.plan, posterior.tables)
    if cells.size and not cells.min() > 0:
        raise ValueError("a table holds a zero; a factor with a zero cannot be left out")
    return against(posterior.plan.schedule, passed, cells, np.divide)


def against(
    schedule: Schedule, passed: Distributed, cells: Table, operation: np.ufunc
) -> tuple[Table, Table]:
    """The belief about each factor's scope, cell by cell times or over its table.

    Args:
        schedule: where everything stands.
        passed: the beliefs, in one or more variants.
        cells: the cells of all tables, one after the other.
        operation: multiply or divide.

    Returns:
        The results, laid out as the cells, and their sums per factor; a column per variant.
    """
    beliefs = evidence_beliefs(schedule, passed)
    variants = beliefs.shape[1]
    results = np.empty((len(cells), variants))
    sums = np.empty((len(schedule.evidence), variants))
    for pool in schedule.pools:
        belief = beliefs[pool.block].reshape(len(pool.layers[0]), -1, variants)
        for layer, factors in zip(pool.layers, pool.factors, strict=True):
            result = operation(belief[:, : layer.shape[1]], cells[layer])
            results[layer] = result
            sums[list(factors)] = result.sum(axis=0)
    return results, sums


def _pinned(posterior: Posterior, target: int) -> Iterator[Distributed]:
    """Beliefs with a variable pinned to each of its states in turn, as variants.

    All states go through the tree together, or in as few parts as the budget asks. A
    variable that no factor speaks about is left as it is: it tells nothing of others.
    """
    plan = posterior.plan
    cells, _ = evidence_of(plan, posterior.tables)
    states = np.arange(plan.cards[target])
    held = next((f for f, scope in enumerate(plan.scopes) if target in scope), None)
    room = max(1, int(plan.budget // max(plan.entries, 1)))
    for start in range(0, len(states), room):
        pins = states[start : start + room]
        variants = np.repeat(cells, len(pins), axis=1)
        if held is not None:
            first = sum(math.prod(shape) for shape in plan.shapes[:held])
            axis = plan.scopes[held].index(target)
            state = np.indices(plan.shapes[held])[axis].ravel()
            other = state[:, None] != pins
            variants[first : first + len(state)][other] *= PINNED_OUT
        yield solve_cells(plan, variants)[1]


def _given(posterior: Posterior, variable: int, parts: Sequence[Distributed]) -> Table:
    """P(variable | state of the pinned one): a column per state of that."""
    return np.concatenate(
        [posterior.plan.shares_of(one, variable) for one in parts], axis=1
    )


def bits(shares: Table) -> Table:
    """Entropy in bits down the first axis."""
    entropy: Table = -(shares * np.log2(np.maximum(shares, 1e-300))).sum(axis=0)
    return entropy
