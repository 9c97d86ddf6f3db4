"""Exact inference against enumeration, published networks and an independent library."""

import math
from collections.abc import Iterator

import numpy as np
import pytest
from known_networks import (
    QUERIES,
    Cells,
    Query,
    enumerated,
    published,
    random_graph,
    summed_to,
)

from vestige.graph.errors import Refused
from vestige.graph.reasoning.clique_tree import CROWD
from vestige.graph.reasoning.factor_graph import FactorGraph
from vestige.graph.reasoning.junction_tree import (
    Plan,
    TooWide,
    evidence_of,
    most_probable,
    plan,
    solve,
)
from vestige.graph.reasoning.message_passing import (
    LOGARITHMS,
    PLAIN,
    TooSmall,
    collect,
    distribute,
)


@pytest.mark.parametrize("query", QUERIES, ids=str)
def test_published_figures_come_out_to_their_printed_digits(query: Query) -> None:
    graph = published(query.network, query.seen)
    found = solve(plan(graph), graph.tables)
    share = float(found.marginal(graph.names.index(query.variable))[query.state])
    assert abs(share - query.printed) <= 0.5 * 10**-query.decimals


@pytest.mark.parametrize("seed", range(60))
def test_random_networks_equal_enumeration(seed: int) -> None:
    graph = random_graph(seed, variables=3 + seed % 5, factors=2 + seed % 9)
    joint = enumerated(graph)
    planned = plan(graph, late=(0,) if seed % 2 else ())
    found = solve(planned, graph.tables)
    assert float(found.log_z) == pytest.approx(math.log(joint.sum()), abs=1e-12)
    for one in range(len(graph.cards)):
        assert found.marginal(one) == pytest.approx(summed_to(joint, (one,)), abs=1e-12)
    for factor, scope in enumerate(graph.scopes):
        assert found.joint(factor) == pytest.approx(summed_to(joint, scope), abs=1e-12)
    states, log_best = most_probable(planned, graph.tables)
    assert log_best == pytest.approx(math.log(joint.max()), abs=1e-12)
    assert joint[states] == pytest.approx(joint.max())


@pytest.mark.parametrize("seed", range(20))
def test_logarithms_give_what_plain_numbers_give(seed: int) -> None:
    """The slow way that is taken where plain numbers underflow."""
    graph = random_graph(seed)
    planned = plan(graph)
    evidence, _ = evidence_of(planned, graph.tables)
    plain, slow = (collect(planned.schedule, evidence, one) for one in (PLAIN, LOGARITHMS))
    assert slow.log_z == pytest.approx(plain.log_z, abs=1e-12)
    shares = [distribute(planned.schedule, one).shares for one in (plain, slow)]
    assert shares[1] == pytest.approx(shares[0], abs=1e-12)


# The library warns while it loads; as an error that ends the process.
LOADS_WITH_WARNINGS = pytest.mark.filterwarnings("ignore::DeprecationWarning")


@LOADS_WITH_WARNINGS
@pytest.mark.parametrize("seed", range(12))
def test_an_independent_library_agrees_on_bayesian_networks(seed: int) -> None:
    """pyAgrum: networks that it draws, its lazy propagation."""
    gum = pytest.importorskip("pyagrum")
    gum.initRandom(seed + 1)
    network = gum.BNGenerator().generate(15, 22, 3)
    graph = FactorGraph()
    names = sorted(network.names())
    for name in names:
        graph.add_variable(name, network.variable(name).domainSize())
    for name in names:
        table = network.cpt(name)
        scope = [names.index(one) for one in reversed(table.names)]
        graph.add_factor(scope, table.toarray(), name)
    engine = gum.LazyPropagation(network)
    engine.makeInference()
    found = solve(plan(graph), graph.tables)
    for number, name in enumerate(names):
        theirs = engine.posterior(name).toarray()
        assert np.abs(found.marginal(number) - theirs).max() < 1e-9


@LOADS_WITH_WARNINGS
@pytest.mark.parametrize("seed", range(6))
def test_an_independent_library_agrees_on_factor_graphs(seed: int) -> None:
    """pyAgrum's Markov networks by Shafer-Shenoy, too large to enumerate (40 variables)."""
    gum = pytest.importorskip("pyagrum")
    rng = np.random.default_rng(seed)
    graph = FactorGraph()
    network = gum.MarkovRandomField()
    for one in range(40):
        graph.add_variable(f"v{one}", int(rng.integers(2, 6)))
        network.add(gum.RangeVariable(f"v{one}", "", 0, graph.cards[one] - 1))
    for one in range(1, 40):
        near = {int(rng.integers(max(0, one - 5), one)) for _ in range(2)}
        scope = [*sorted(near), one]
        graph.add_factor(scope, rng.random([graph.cards[v] for v in scope]) ** 2, f"f{one}")
        tensor = gum.Tensor()
        for variable in reversed(scope):  # its first variable runs fastest
            tensor.add(network.variable(f"v{variable}"))
        tensor.fillWith(graph.tables[-1].ravel().tolist())
        network.addFactor(tensor)
    engine = gum.ShaferShenoyMRFInference(network)
    engine.makeInference()
    found = solve(plan(graph, late=(0, 1)), graph.tables)
    for one in range(40):
        theirs = engine.posterior(f"v{one}").toarray()
        assert np.abs(found.marginal(one) - theirs).max() < 1e-9


@pytest.mark.parametrize("seed", range(8))
def test_a_batch_equals_one_after_the_other(seed: int) -> None:
    graph = random_graph(seed)
    rng = np.random.default_rng(seed)
    planned = plan(graph)
    variants = [
        [table * (rng.random(table.shape) + 0.1) if f % 2 else table for f, table in tables]
        for tables in [list(enumerate(graph.tables))] * 3
    ]
    together = [  # every other table is the same for all and carries no axis
        np.stack(of_one, axis=-1) if factor % 2 else of_one[0]
        for factor, of_one in enumerate(zip(*variants, strict=True))
    ]
    batch = solve(planned, together)
    for column, tables in enumerate(variants):
        alone = solve(planned, tables)
        assert batch.log_z[column] == pytest.approx(float(alone.log_z), abs=1e-12)
        for one in range(len(graph.cards)):
            expected = alone.marginal(one)
            assert batch.marginal(one)[:, column] == pytest.approx(expected, abs=1e-12)
        for factor in range(len(graph.scopes)):
            expected = alone.joint(factor)
            assert batch.joint(factor)[..., column] == pytest.approx(expected, abs=1e-12)


def test_a_plan_serves_any_tables() -> None:
    graph, other = random_graph(4), random_graph(4)
    planned = plan(graph)
    solve(planned, graph.tables)
    changed = [table[::-1].copy() for table in other.tables]
    again = solve(planned, changed)
    for factor, table in enumerate(changed):
        other.tables[factor] = table
    assert again.marginal(2) == pytest.approx(summed_to(enumerated(other), (2,)), abs=1e-12)


def test_a_long_chain_does_not_underflow() -> None:
    """Two thousand links: against the same product, vector by vector, in logarithms."""
    rng = np.random.default_rng(1)
    links = rng.random((1999, 3, 3)) * 1e-3 + 1e-6
    graph = FactorGraph()
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
    assert total < -10_000  # far below what a plain number can hold: exp(-745)
    assert float(found.log_z) == pytest.approx(total, rel=1e-12)
    assert found.marginal(1999) == pytest.approx(vector, abs=1e-12)


def crowd(speakers: int, sure: float) -> tuple[FactorGraph, Cells]:
    """A source of which many speak, half of them against the others; its log weights.

    For these each speaker's own variable is summed out by hand.
    """
    rng = np.random.default_rng(2)
    graph = FactorGraph()
    graph.add_variable("source", 3)
    graph.add_factor([0], [0.5, 0.3, 0.2], "prior")
    log_weights = np.log([0.5, 0.3, 0.2])
    for one in range(speakers):
        variable = graph.add_variable(f"v{one}", 3)
        table = np.full((3, 3), 0.1)
        table[:, 2 * one // speakers] = rng.random(3) * sure
        graph.add_factor([variable, 0], table, f"speaker {one}")
        log_weights += np.log(graph.tables[-1].sum(axis=0))
    return graph, log_weights


@pytest.mark.parametrize("speakers", [3, CROWD, CROWD + 1, CROWD**2 + 1, 2000])
def test_a_source_that_all_speak_of_is_weighed_right(speakers: int) -> None:
    graph, log_weights = crowd(speakers, sure=2.0)
    found = solve(plan(graph, late=[0]), graph.tables)
    expected = np.exp(log_weights - log_weights.max())
    assert found.marginal(0) == pytest.approx(expected / expected.sum(), abs=1e-10)
    total = log_weights.max() + math.log(expected.sum())
    assert float(found.log_z) == pytest.approx(total, rel=1e-12)


def test_contradictions_beyond_plain_numbers_are_weighed_in_logarithms() -> None:
    """Each half makes the other's state less probable by some 5,000 decades."""
    graph, log_weights = crowd(2000, sure=1e6)
    planned = plan(graph, late=[0])
    evidence, _ = evidence_of(planned, graph.tables)
    with pytest.raises(TooSmall):
        distribute(planned.schedule, collect(planned.schedule, evidence, PLAIN))
    found = solve(planned, graph.tables)
    expected = np.exp(log_weights - log_weights.max())
    assert found.marginal(0) == pytest.approx(expected / expected.sum(), abs=1e-9)


def test_many_claims_about_one_thing_do_not_underflow() -> None:
    """Eight hundred flat contradictions cancel and leave what a neighbour says."""
    graph = FactorGraph()
    graph.add_variable("v", 2)
    graph.add_variable("u", 2)
    for table in [[1, 1e-9]] * 400 + [[1e-9, 1]] * 400:
        graph.add_factor([0], table, "claim")
    graph.add_factor([0, 1], [[0.7, 0.3], [0.2, 0.8]], "tie")
    found = solve(plan(graph), graph.tables)
    assert found.marginal(1) == pytest.approx([0.45, 0.55], abs=1e-9)
    assert float(found.log_z) == pytest.approx(
        400 * math.log(1e-9) + math.log(2), rel=1e-12
    )


def test_what_nobody_speaks_about_stays_open() -> None:
    graph = FactorGraph()
    graph.add_variable("v", 4)
    found = solve(plan(graph), graph.tables)
    assert found.marginal(0) == pytest.approx([0.25] * 4)
    assert float(found.log_z) == pytest.approx(math.log(4))


def test_an_empty_graph_has_nothing_to_say() -> None:
    graph = FactorGraph()
    found = solve(plan(graph), graph.tables)
    assert float(found.log_z) == 0
    assert most_probable(plan(graph), graph.tables) == ((), 0)


def test_what_is_too_wide_is_refused_before_it_is_computed() -> None:
    graph = random_graph(0, variables=8)
    planned = plan(graph, budget=10)
    assert not planned.exact
    assert planned.bytes == 8 * planned.entries > 80
    with pytest.raises(TooWide, match="over the budget; nothing was computed") as caught:
        solve(planned, graph.tables)
    assert caught.value.plan is planned
    assert isinstance(caught.value, Refused)


def test_the_width_of_a_grid_is_known_beforehand() -> None:
    """Treewidth of a five by five grid is five (Bodlaender 1998, from memory)."""
    graph = FactorGraph()
    for one in range(25):
        graph.add_variable(f"v{one}", 2)
    for one in range(25):
        for step, there in ((1, one % 5 < 4), (5, one < 20)):
            if there:
                graph.add_factor([one, one + step], np.ones((2, 2)), "beside")
    assert 5 <= plan(graph).width <= 6  # a greedy order may miss the best by one


def test_late_variables_are_summed_out_last() -> None:
    graph = random_graph(7, variables=9)
    place = plan(graph, late=(2, 5)).tree.place
    assert {place[2], place[5]} == {7, 8}


def wrong_tables() -> Iterator[tuple[str, list[Cells]]]:
    """Tables that do not fit a graph of one factor over two states, and why."""
    yield "2 tables for 1 factors", [np.ones(2), np.ones(2)]
    yield r"factor 0 has shape \(3,\); its scope has \(2,\)", [np.ones(3)]
    yield r"shape \(2, 3, 4\)", [np.ones((2, 3, 4))]
    yield "negative", [np.array([1, -1.0])]
    yield "not a number", [np.array([1, np.nan])]


@pytest.mark.parametrize(("words", "tables"), list(wrong_tables()))
def test_tables_that_do_not_fit_are_refused(words: str, tables: list[Cells]) -> None:
    graph = FactorGraph()
    graph.add_variable("v", 2)
    graph.add_factor([0], [1, 1], "claim")
    with pytest.raises(ValueError, match=words):
        solve(plan(graph), tables)


def test_variants_must_be_as_many_everywhere() -> None:
    graph, planned = two_factors()
    with pytest.raises(ValueError, match=r"\[2, 3\] variants"):
        solve(planned, [np.ones((2, 2)), np.ones((2, 3))])
    with pytest.raises(ValueError, match="one variant at a time"):
        most_probable(planned, [np.ones((2, 2)), graph.tables[1]])


def two_factors() -> tuple[FactorGraph, Plan]:
    graph = FactorGraph()
    graph.add_variable("v", 2)
    graph.add_factor([0], [1, 1], "one")
    graph.add_factor([0], [1, 1], "other")
    return graph, plan(graph)
