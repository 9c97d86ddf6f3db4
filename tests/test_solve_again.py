"""Later evidence is taken in where it falls, and equals a fresh solution."""

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from known_networks import enumerated, random_graph, summed_to
from worked_case import refixed_object

from vestige.graph.reasoning import (
    CaseClaim,
    CaseSource,
    assess,
    assess_again,
    build_model,
    verdicts,
)
from vestige.graph.reasoning.factor_graph import FactorGraph
from vestige.graph.reasoning.influence import leave_one_out
from vestige.graph.reasoning.junction_tree import Posterior, plan, solve
from vestige.graph.reasoning.solve_again import fits, solve_again
from vestige.graph.record import Relation


def again(graph: FactorGraph) -> FactorGraph:
    """The same variables, nothing said of them yet."""
    found = FactorGraph()
    for name, states in zip(graph.names, graph.cards, strict=True):
        found.add_variable(name, states)
    return found


def edited(graph: FactorGraph, seed: int, edits: int) -> FactorGraph:
    """Some tables changed, taken away, or added about variables that a clique holds."""
    rng = np.random.default_rng(seed)
    fate = dict.fromkeys(rng.integers(0, len(graph.scopes), edits).tolist())
    found = again(graph)
    for number, (scope, table) in enumerate(zip(graph.scopes, graph.tables, strict=True)):
        kind = rng.integers(0, 3) if number in fate else 3
        if kind == 0:
            continue
        other = rng.random(table.shape) ** 4 + 1e-4
        found.add_factor(scope, other if kind == 1 else table, f"f{number}")
        if kind == 2:
            part = list(scope)[::-1][: int(rng.integers(1, len(scope) + 1))]
            shape = [graph.cards[one] for one in part]
            found.add_factor(part, rng.random(shape) + 1e-4, f"later {number}")
    return found


def apart(one: Posterior, other: Posterior) -> float:
    """Largest difference of any marginal or of log_z."""
    shares = [
        float(np.abs(one.marginal(v) - other.marginal(v)).max())
        for v in range(len(one.plan.cards))
    ]
    return max(*shares, abs(float(one.log_z - other.log_z)))


def chain(length: int) -> FactorGraph:
    """A row of unknowns, each tied to the next."""
    rng = np.random.default_rng(1)
    graph = FactorGraph()
    for one in range(length):
        graph.add_variable(f"v{one}", 3)
    for one in range(length - 1):
        graph.add_factor([one, one + 1], rng.random((3, 3)) + 0.5, f"tie {one}")
    return graph


@given(seed=st.integers(0, 100_000), edits=st.integers(1, 6))
@settings(max_examples=120, deadline=None)
def test_it_equals_a_fresh_solution(seed: int, edits: int) -> None:
    graph = random_graph(seed, variables=9, factors=11)
    later = edited(graph, seed, edits)
    found = solve_again(solve(plan(graph), graph.tables), later)
    fresh = solve(plan(later), later.tables)
    assert apart(found.posterior, fresh) < 1e-12
    assert found.messages <= found.fresh
    for factor, scope in enumerate(later.scopes):
        assert found.posterior.joint(factor) == pytest.approx(
            fresh.joint(factor), abs=1e-12
        )
        assert scope == found.posterior.plan.scopes[factor]


@pytest.mark.parametrize("seed", range(12))
def test_it_equals_enumeration(seed: int) -> None:
    graph = random_graph(seed)
    later = edited(graph, seed, 3)
    found = solve_again(solve(plan(graph), graph.tables), later).posterior
    joint = enumerated(later)
    for one in range(len(graph.cards)):
        assert found.marginal(one) == pytest.approx(summed_to(joint, (one,)), abs=1e-12)
    assert float(found.log_z) == pytest.approx(np.log(joint.sum()), abs=1e-12)


def test_many_small_steps_stay_exact() -> None:
    graph = chain(30)
    found = solve(plan(graph), graph.tables)
    for step in range(40):
        graph = edited(graph, step, 1)
        found = solve_again(found, graph).posterior
    assert apart(found, solve(plan(graph), graph.tables)) < 1e-11


def test_what_hangs_on_nothing_else_is_not_reckoned_again() -> None:
    one, both = chain(20), chain(20)
    for number in range(20):
        both.add_variable(f"w{number}", 3)
    for number in range(19):
        both.add_factor([20 + number, 21 + number], np.eye(3) + 0.5, f"other {number}")
    solved = solve(plan(both), both.tables)
    both.add_factor([3], [5.0, 1.0, 1.0], "later")
    one.add_factor([3], [5.0, 1.0, 1.0], "later")
    found = solve_again(solved, both)
    alone = solve_again(solve(plan(chain(20)), chain(20).tables), one)
    assert found.fresh > alone.fresh
    assert found.messages == alone.messages < found.fresh / 3


def test_one_change_takes_at_most_half_the_messages_and_none_where_nothing_changed() -> (
    None
):
    graph = chain(60)
    solved = solve(plan(graph), graph.tables)
    assert solve_again(solved, graph).messages == 0
    graph.add_factor([10], [5.0, 1.0, 1.0], "later")
    assert 0 < solve_again(solved, graph).messages <= solved_messages(solved) / 2


def solved_messages(posterior: Posterior) -> int:
    """Messages of a fresh solution: one each way along every separator."""
    return 2 * sum(clique.parent >= 0 for clique in posterior.plan.tree.cliques)


def test_news_that_dies_out_is_not_sent_on() -> None:
    """Ties that tell little forget a change after few steps, to the last digit."""
    loose = again(chain(200))
    for one in range(199):
        loose.add_factor([one, one + 1], np.eye(3) * 0.01 + 1, f"tie {one}")
    solved = solve(plan(loose), loose.tables)
    loose.add_factor([100], [5.0, 1.0, 1.0], "later")
    found = solve_again(solved, loose)
    assert found.messages < 30 < found.fresh
    assert apart(found.posterior, solve(plan(loose), loose.tables)) < 1e-12


def test_a_reversal_too_great_for_the_old_numbers_is_solved_afresh() -> None:
    graph = chain(3)
    sure, reversed_ = again(graph), again(graph)
    for found, state in ((sure, 0), (reversed_, 2)):
        for copy in range(30):
            table = np.full(3, 1e-9)
            table[state] = 1.0
            found.add_factor([1], table, f"sure {copy}")
        found.add_factor([0, 1], graph.tables[0], "tie 0")
        found.add_factor([1, 2], graph.tables[1], "tie 1")
    solved = solve_again(solve(plan(sure), sure.tables), reversed_)
    assert apart(solved.posterior, solve(plan(reversed_), reversed_.tables)) < 1e-12


def test_what_does_not_fit_the_tree_is_refused() -> None:
    graph = chain(10)
    solved = solve(plan(graph), graph.tables)
    graph.add_factor([0, 9], np.ones((3, 3)), "far apart")
    assert not fits(solved.plan, graph)
    with pytest.raises(ValueError, match="planned and solved afresh"):
        solve_again(solved, graph)


# ------------------------------------------------------------------ the assessment


def test_a_later_claim_of_the_same_act_is_taken_in_where_it_falls() -> None:
    case = refixed_object()
    acted = replace(case, claims=tuple(replace(one, act="look") for one in case.claims))
    later = CaseClaim(
        "later", "examiner", Relation.AS_MADE, "rib 5", act="look", strength="weak"
    )
    more = replace(acted, claims=(*acted.claims, later))
    first = assess(acted)
    found, fresh = assess_again(first, more), assess(more)
    assert found.plan.tree is first.plan.tree
    assert found.messages is not None
    assert first.posterior is not None
    assert found.messages <= solved_messages(first.posterior) / 2
    for thing, belief in fresh.beliefs.items():
        assert np.abs(found.beliefs[thing] - belief).max() < 1e-12
    for one, other in zip(verdicts(found), verdicts(fresh), strict=True):
        assert (one.word, one.grade) == (other.word, other.grade)
    assert found.posterior is not None
    assert fresh.posterior is not None
    factor = build_model(more).factors["later"]
    assert leave_one_out(found.posterior)[factor].belief == pytest.approx(
        leave_one_out(fresh.posterior)[factor].belief, abs=1e-12
    )


def test_a_claim_of_a_new_source_is_assessed_afresh() -> None:
    case = refixed_object()
    bill = CaseClaim("later", "bill", Relation.AS_MADE, "rib 5")
    more = replace(
        case, sources=(*case.sources, CaseSource("bill")), claims=(*case.claims, bill)
    )
    found, fresh = assess_again(assess(case), more), assess(more)
    assert found.messages is None
    for thing, belief in fresh.beliefs.items():
        assert (found.beliefs[thing] == belief).all()
