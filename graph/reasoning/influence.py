"""What each piece of evidence does, from one calibrated tree and one batched pass.

Leave-one-out is by division: the belief over a factor's own variables divided by its
table is, up to a constant, the belief without it (exact, since no table holds a zero).
Effects on another variable come from pinning that variable to each of its states, all
in one batch. So n questions "what if this had not been said" cost about two passes.
"""

from collections.abc import Sequence

import numpy as np

from .factor_graph import Table
from .junction_tree import Posterior, solve


def joint_of(posterior: Posterior, factor: int) -> Table:
    """P(scope of a factor | evidence), axes in the order of its scope, batch last."""
    return posterior.joint(factor)


def leave_one_out(posterior: Posterior, factor: int) -> tuple[float, Table]:
    """log10 P(report of a factor | all others), and the belief of its scope without it."""
    table = posterior.tables[factor]
    without = posterior.joint(factor) / table
    total = float(without.sum())
    return -float(np.log10(total)), without / total


def pinned(posterior: Posterior, target: int) -> Posterior:
    """The tree with a variable pinned to each of its states in turn, along the batch."""
    plan = posterior.plan
    states = plan.cards[target]
    tables = [table[..., None] for table in posterior.tables]
    held = next(f for f, scope in enumerate(plan.scopes) if target in scope)
    axis = plan.scopes[held].index(target)
    shape = [1] * len(plan.scopes[held]) + [states]
    shape[axis] = states
    tables[held] = tables[held] * np.eye(states).reshape(shape)
    floor = np.finfo(np.float64).tiny  # keeps messages above nothing, moves no belief
    tables[held] = np.maximum(tables[held], floor)
    return solve(plan, tables)


def influence(
    posterior: Posterior, target: int, factors: Sequence[int]
) -> dict[int, Table]:
    """P(target | all evidence but one factor), for each of some factors."""
    by_state = pinned(posterior, target)
    now = posterior.marginal(target)
    found: dict[int, Table] = {}
    for factor in factors:
        table = posterior.tables[factor]
        shares = by_state.joint(factor) / table[..., None]
        kept = shares.reshape(-1, shares.shape[-1]).sum(axis=0)
        without = now * kept
        found[factor] = without / without.sum()
    return found


def value_of_information(
    posterior: Posterior, target: int, tests: Sequence[tuple[int, Table]]
) -> Table:
    """Expected gain in bits about a variable from each of some tests.

    Args:
        posterior: a solved graph without batch.
        target: the variable asked about.
        tests: per test, the variable it looks at and P(outcome | state), a row per
            outcome, a column per state of that variable.

    Returns:
        Mutual information of target and outcome, in bits, one per test.
    """
    by_state = pinned(posterior, target)
    now = posterior.marginal(target)
    gains = []
    for variable, outcomes in tests:
        seen = outcomes @ (
            np.eye(len(now)) if variable == target else by_state.marginal(variable)
        )
        expected = float(now @ _bits(seen))
        gains.append(float(_bits(seen @ now)) - expected)
    return np.array(gains)


def _bits(shares: Table) -> Table:
    """Entropy in bits down the first axis."""
    entropy: Table = -(shares * np.log2(np.maximum(shares, 1e-300))).sum(axis=0)
    return entropy
