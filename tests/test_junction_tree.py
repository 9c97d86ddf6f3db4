"""Exact inference against enumeration, published networks and an independent library."""

import math
from itertools import product

import numpy as np
import numpy.typing as npt
import pytest

from vestige.graph.errors import Refused
from vestige.graph.reasoning.factor_graph import FactorGraph
from vestige.graph.reasoning.influence import (
    influence,
    leave_one_out,
    value_of_information,
)
from vestige.graph.reasoning.junction_tree import most_probable, plan, solve

Cells = npt.NDArray[np.float64]


def enumerated(graph: FactorGraph) -> Cells:
    """The joint table, not normalised, by going through every state."""
    joint = np.ones(graph.cards)
    for state in product(*(range(card) for card in graph.cards)):
        for scope, table in zip(graph.scopes, graph.tables, strict=True):
            joint[state] *= table[tuple(state[one] for one in scope)]
    return joint


def random_graph(seed: int, variables: int = 6, factors: int = 8) -> FactorGraph:
    rng = np.random.default_rng(seed)
    graph = FactorGraph()
    for one in range(variables):
        graph.add_variable(f"v{one}", int(rng.integers(2, 4)))
    for one in range(variables):
        graph.add_factor([one], rng.random(graph.cards[one]) + 0.1, f"prior {one}")
    for one in range(factors):
        scope = rng.choice(variables, size=int(rng.integers(1, 4)), replace=False)
        shape = [graph.cards[v] for v in scope]
        graph.add_factor(scope.tolist(), rng.random(shape) + 0.01, f"factor {one}")
    return graph


def asia() -> FactorGraph:
    """Lauritzen & Spiegelhalter 1988, the chest clinic; tables as published there."""
    graph = FactorGraph()
    a, t, s, lung, b, either, x, d = (graph.add_variable(one, 2) for one in "atslbexd")
    graph.add_factor([a], [0.01, 0.99], "visit to Asia")
    graph.add_factor([a, t], [[0.05, 0.95], [0.01, 0.99]], "tuberculosis")
    graph.add_factor([s], [0.5, 0.5], "smoking")
    graph.add_factor([s, lung], [[0.1, 0.9], [0.01, 0.99]], "lung cancer")
    graph.add_factor([s, b], [[0.6, 0.4], [0.3, 0.7]], "bronchitis")
    logic = np.zeros((2, 2, 2))
    for i, j in product(range(2), range(2)):
        logic[i, j, 0 if 0 in (i, j) else 1] = 1
    graph.add_factor([t, lung, either], logic, "either")
    graph.add_factor([either, x], [[0.98, 0.02], [0.05, 0.95]], "x-ray")
    breath = np.array([[[0.9, 0.1], [0.7, 0.3]], [[0.8, 0.2], [0.1, 0.9]]])
    graph.add_factor([either, b, d], breath, "dyspnoea")
    return graph


def test_the_chest_clinic_comes_out_as_published() -> None:
    """Prior marginals of Lauritzen & Spiegelhalter 1988 (from memory, to their digits)."""
    graph = asia()
    found = solve(plan(graph), graph.tables)
    shown = [round(float(found.marginal(one)[0]), 4) for one in range(8)]
    assert shown == [0.01, 0.0104, 0.5, 0.055, 0.45, 0.0648, 0.1103, 0.436]


def test_monty_hall() -> None:
    """The host's door makes the other door two in three (Selvin 1975, from memory)."""
    graph = FactorGraph()
    prize = graph.add_variable("prize", 3)
    host = graph.add_variable("host", 3)
    graph.add_factor([prize], [1 / 3] * 3, "prize")
    doors = np.array([[0.0, 0.5, 0.5], [0.0, 0.0, 1.0], [0.0, 1.0, 0.0]])
    graph.add_factor([prize, host], doors, "host")
    graph.add_factor([host], [0, 0, 1], "opened the third")
    found = solve(plan(graph), graph.tables).marginal(prize)
    assert found == pytest.approx([1 / 3, 2 / 3, 0], abs=1e-8)


@pytest.mark.parametrize("seed", range(40))
def test_random_networks_equal_enumeration(seed: int) -> None:
    graph = random_graph(seed)
    joint = enumerated(graph)
    late = (0,) if seed % 2 else ()
    found = solve(plan(graph, late=late), graph.tables)
    assert float(found.log_z) == pytest.approx(math.log(joint.sum()), abs=1e-12)
    shares = joint / joint.sum()
    for one in range(len(graph.cards)):
        away = tuple(i for i in range(shares.ndim) if i != one)
        assert found.marginal(one) == pytest.approx(shares.sum(axis=away), abs=1e-12)
    states, log_best = most_probable(plan(graph, late=late), graph.tables)
    assert log_best == pytest.approx(math.log(joint.max()), abs=1e-12)
    assert joint[states] == pytest.approx(joint.max())


@pytest.mark.parametrize("seed", range(10))
def test_leaving_one_out_equals_doing_without(seed: int) -> None:
    graph = random_graph(seed)
    planned = plan(graph)
    found = solve(planned, graph.tables)
    target = seed % len(graph.cards)
    moved = influence(found, target, range(len(graph.tables)))
    for factor in range(len(graph.tables)):
        tables = list(graph.tables)
        tables[factor] = np.ones_like(tables[factor])
        again = solve(planned, tables)
        surprise, _ = leave_one_out(found, factor)
        assert surprise == pytest.approx(
            float(found.log_z - again.log_z) / math.log(10), abs=1e-10
        )
        assert moved[factor] == pytest.approx(again.marginal(target), abs=1e-10)


@pytest.mark.parametrize("seed", range(5))
def test_a_batch_equals_one_after_the_other(seed: int) -> None:
    one, other = random_graph(seed), random_graph(seed)
    rng = np.random.default_rng(seed)
    changed = [table * (rng.random(table.shape) + 0.5) for table in other.tables]
    planned = plan(one)
    both = solve(
        planned, [np.stack(pair, axis=-1) for pair in zip(one.tables, changed, strict=True)]
    )
    for column, tables in enumerate((one.tables, changed)):
        alone = solve(planned, tables)
        assert both.log_z[column] == pytest.approx(float(alone.log_z), abs=1e-12)
        for variable in range(len(one.cards)):
            assert both.marginal(variable)[:, column] == pytest.approx(
                alone.marginal(variable), abs=1e-12
            )


def test_the_value_of_a_test_equals_the_entropy_it_takes_away() -> None:
    graph = random_graph(3)
    planned = plan(graph)
    found = solve(planned, graph.tables)
    target, seen = 0, 1
    outcomes = np.where(np.eye(graph.cards[seen]) > 0, 0.8, 0.2 / (graph.cards[seen] - 1))
    shares = enumerated(graph) / enumerated(graph).sum()
    away = tuple(i for i in range(shares.ndim) if i not in (target, seen))
    pair = shares.sum(axis=away) @ outcomes.T
    apart = pair.sum(axis=1, keepdims=True) * pair.sum(axis=0, keepdims=True)
    expected = float((pair * np.log2(pair / apart)).sum())
    gain = value_of_information(found, target, [(seen, outcomes)])
    assert gain[0] == pytest.approx(expected, abs=1e-10)


@pytest.mark.parametrize("seed", range(5))
def test_an_independent_library_agrees(seed: int) -> None:
    """pyAgrum (dev-only oracle): random Bayesian networks, its lazy propagation."""
    gum = pytest.importorskip("pyagrum")
    gum.initRandom(seed + 1)
    network = gum.BNGenerator().generate(12, 16, 3)
    graph = FactorGraph()
    names = sorted(network.names())
    number = {
        name: graph.add_variable(name, network.variable(name).domainSize())
        for name in names
    }
    for name in names:
        table = network.cpt(name)
        scope = [number[one] for one in reversed(table.names)]
        graph.add_factor(scope, table.toarray(), name)
    engine = gum.LazyPropagation(network)
    engine.makeInference()
    found = solve(plan(graph), graph.tables)
    for name in names:
        theirs = engine.posterior(name).toarray()
        assert np.abs(found.marginal(number[name]) - theirs).max() < 1e-9


def test_a_long_chain_does_not_underflow() -> None:
    """A chain of 2,000: log Z against the same product in logarithms."""
    graph = FactorGraph()
    rng = np.random.default_rng(1)
    links = rng.random((1999, 3, 3)) * 1e-3 + 1e-6
    for one in range(2000):
        graph.add_variable(f"v{one}", 3)
    for one, link in enumerate(links):
        graph.add_factor([one, one + 1], link, f"link {one}")
    total, vector = 0.0, np.ones(3)
    for link in links:
        vector = vector @ link
        total += math.log(vector.sum())
        vector /= vector.sum()
    found = solve(plan(graph), graph.tables)
    assert float(found.log_z) == pytest.approx(total, rel=1e-12)
    assert found.marginal(1999) == pytest.approx(vector, abs=1e-12)


def test_what_is_too_wide_is_refused_before_it_is_computed() -> None:
    graph = random_graph(0)
    planned = plan(graph, budget=10)
    assert not planned.exact
    with pytest.raises(Refused, match="over the budget"):
        solve(planned, graph.tables)
