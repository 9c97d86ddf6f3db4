"""What each piece of evidence does, against doing the sums again without it."""

import math

import numpy as np
import pytest
from known_networks import Cells, enumerated, published, random_graph, summed_to

from vestige.graph.reasoning.factor_graph import FactorGraph
from vestige.graph.reasoning.influence import (
    conflict,
    influence,
    joint_of,
    joint_of_pair,
    leave_one_out,
    value_of_information,
)
from vestige.graph.reasoning.junction_tree import Posterior, plan, solve


def without(posterior: Posterior, factors: list[int]) -> Posterior:
    """The same, solved again with these factors saying nothing."""
    tables = list(posterior.tables)
    for factor in factors:
        tables[factor] = np.ones_like(tables[factor])
    return solve(posterior.plan, tables)


def decades(one: Posterior, other: Posterior) -> float:
    """log10 of how much more probable the evidence of one is."""
    return float(one.log_z - other.log_z) / math.log(10)


@pytest.mark.parametrize("seed", range(15))
def test_leaving_one_out_equals_doing_without(seed: int) -> None:
    graph = random_graph(seed)
    found = solve(plan(graph, late=(0,) if seed % 2 else ()), graph.tables)
    left_out = leave_one_out(found)
    assert list(left_out) == list(range(len(graph.tables)))
    for factor, one in left_out.items():
        again = without(found, [factor])
        assert one.log10_probability == pytest.approx(decades(found, again), abs=1e-11)
        assert one.belief == pytest.approx(again.joint(factor), abs=1e-11)


@pytest.mark.parametrize("seed", range(15))
def test_the_influence_on_another_equals_doing_without(seed: int) -> None:
    graph = random_graph(seed)
    found = solve(plan(graph), graph.tables)
    target = seed % len(graph.cards)
    moved = influence(found, target)
    for factor in range(len(graph.tables)):
        again = without(found, [factor]).marginal(target)
        assert moved[factor] == pytest.approx(again, abs=1e-11)
    assert influence(found, target, [1])[1] == pytest.approx(moved[1], abs=0)


def test_a_budget_too_small_for_all_states_at_once_changes_nothing() -> None:
    graph = random_graph(3)
    wide = plan(graph)
    narrow = plan(graph, budget=wide.entries)
    one, other = (solve(planned, graph.tables) for planned in (wide, narrow))
    for target in range(len(graph.cards)):
        found, expected = influence(other, target), influence(one, target)
        assert list(found) == list(expected)
        for factor, share in expected.items():
            assert found[factor] == pytest.approx(share, abs=1e-14)


@pytest.mark.parametrize("seed", range(10))
def test_the_joint_of_any_two_equals_enumeration(seed: int) -> None:
    graph = random_graph(seed, factors=6)
    joint = enumerated(graph)
    found = solve(plan(graph), graph.tables)
    for one in range(len(graph.cards)):
        for other in range(len(graph.cards)):
            if one != other:
                pair = joint_of_pair(found, one, other)
                assert pair == pytest.approx(summed_to(joint, (one, other)), abs=1e-12)
    for factor, scope in enumerate(graph.scopes):
        assert joint_of(found, factor) == pytest.approx(summed_to(joint, scope), abs=1e-12)


def test_the_ends_of_a_chain_are_joined_as_by_the_product_of_its_links() -> None:
    """Two that never stand in one clique, against the product of fifty matrices."""
    rng = np.random.default_rng(0)
    links = rng.random((50, 3, 3)) ** 4
    graph = FactorGraph()
    for one in range(51):
        graph.add_variable(f"v{one}", 3)
    for one, link in enumerate(links):
        graph.add_factor([one, one + 1], link + np.eye(3), f"link {one}")
    expected = np.linalg.multi_dot(graph.tables)
    found = joint_of_pair(solve(plan(graph), graph.tables), 0, 50)
    assert found == pytest.approx(expected / expected.sum(), abs=1e-13)


def test_the_value_of_a_test_equals_the_entropy_it_takes_away() -> None:
    """Shannon's mutual information, from the enumerated joint of target and outcome."""
    graph = random_graph(5)
    joint = enumerated(graph)
    found = solve(plan(graph), graph.tables)
    rng = np.random.default_rng(5)
    target = 0
    tests = []
    expected = []
    for seen, card in enumerate(graph.cards):
        outcomes = rng.dirichlet(np.ones(4), size=card).T
        alone = np.diag(summed_to(joint, (target,)))
        pair = (summed_to(joint, (target, seen)) if seen else alone) @ outcomes.T
        apart = pair.sum(axis=1, keepdims=True) * pair.sum(axis=0, keepdims=True)
        tests.append((seen, outcomes))
        expected.append(float((pair * np.log2(pair / apart)).sum()))
    assert value_of_information(found, target, tests) == pytest.approx(expected, abs=1e-12)
    assert max(expected) > 0.01


def test_a_perfect_test_is_worth_all_the_doubt_there_is() -> None:
    graph = FactorGraph()
    graph.add_variable("v", 4)
    graph.add_factor([0], [1, 1, 1, 1], "open")
    found = solve(plan(graph), graph.tables)
    gains = value_of_information(found, 0, [(0, np.eye(4)), (0, np.full((2, 4), 0.5))])
    assert gains == pytest.approx([2, 0])


@pytest.mark.parametrize("seed", range(10))
def test_conflict_is_the_evidence_apart_over_the_evidence_together(seed: int) -> None:
    """Jensen et al. 1991 (from memory), by solving again for every probability in it."""
    graph = random_graph(seed, factors=10)
    found = solve(plan(graph), graph.tables)
    reports = list(range(3, len(graph.tables)))
    nothing = without(found, reports)
    alone = {
        report: decades(without(found, [r for r in reports if r != report]), nothing)
        for report in reports
    }
    seen = conflict(found, reports)
    apart = math.fsum(alone.values())
    assert seen.overall == pytest.approx(apart - decades(found, nothing), abs=1e-10)
    for report in reports:
        given_rest = decades(found, without(found, [report]))
        assert seen.surprise[report] == pytest.approx(given_rest - alone[report], abs=1e-10)


def test_a_poor_grade_clashes_with_a_good_test() -> None:
    """Koller & Friedman's student (from memory): both are rare together, by hand."""
    bright = published("student", {"grade": 2, "test": 1})
    dull = published("student", {"grade": 2, "test": 0})
    reports = [5, 6]
    clash, accord = (
        conflict(solve(plan(one), one.tables), reports) for one in (bright, dull)
    )
    poor_grade = 0.7 * 0.46 + 0.3 * 0.092
    good_test = 0.7 * 0.05 + 0.3 * 0.8
    both = 0.7 * 0.46 * 0.05 + 0.3 * 0.092 * 0.8
    expected = math.log10(poor_grade * good_test / both)
    assert clash.overall == pytest.approx(expected, abs=1e-7)  # tables have a floor
    assert clash.overall > 0 > accord.overall
    assert clash.surprise[5] < 0 < accord.surprise[5]


def test_what_nobody_speaks_about_is_moved_by_nothing() -> None:
    graph = random_graph(2)
    alone = graph.add_variable("alone", 3)
    found = solve(plan(graph), graph.tables)
    for share in influence(found, alone).values():
        assert share == pytest.approx([1 / 3] * 3)
    pair = joint_of_pair(found, alone, 0)
    assert pair == pytest.approx(np.outer([1 / 3] * 3, found.marginal(0)))


def test_many_variants_are_not_asked_about_at_once() -> None:
    graph = random_graph(2)
    doubled = [np.stack([table, table], axis=-1) for table in graph.tables]
    found = solve(plan(graph), doubled)
    with pytest.raises(ValueError, match="one posterior at a time"):
        leave_one_out(found)
    with pytest.raises(ValueError, match="one posterior at a time"):
        influence(found, 0)


def test_a_zero_cannot_be_taken_out_again() -> None:
    graph = random_graph(2)
    tables: list[Cells] = [table.copy() for table in graph.tables]
    tables[0].flat[0] = 0
    found = solve(plan(graph), tables)
    if tables[0].size > 1:
        with pytest.raises(ValueError, match="holds a zero"):
            leave_one_out(found)


def test_a_variable_has_no_joint_with_itself() -> None:
    graph = random_graph(2)
    with pytest.raises(ValueError, match="twice"):
        joint_of_pair(solve(plan(graph), graph.tables), 1, 1)
