"""The sampled answer: against the exact one, against theory, and when it is refused."""

import math
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from known_networks import enumerated, random_graph, summed_to
from worked_case import THREE_PHASES, refixed_object, small_quarrel

from vestige.graph.errors import Refused
from vestige.graph.reasoning import (
    Case,
    CaseClaim,
    CaseSource,
    Grade,
    Params,
    SamplingRules,
    Supposition,
    Thing,
    ThingKind,
    assess,
    beliefs_under,
    cost_of,
    supposed,
    verdicts,
)
from vestige.graph.reasoning.factor_graph import FactorGraph
from vestige.graph.reasoning.sampling import draw, prepare
from vestige.graph.reasoning.sampling_blocks import blocks_of
from vestige.graph.reasoning.sampling_error import (
    effective_draws,
    error_of,
    kish,
    split_rhat,
    standard_error,
)
from vestige.graph.record import Relation

NARROW = SamplingRules(room=200)
TOO_WIDE = Params(budget=10)


def ring(length: int = 9, seed: int = 3) -> FactorGraph:
    """Unknowns of three states on a ring with chords, tied neither loosely nor fast."""
    rng = np.random.default_rng(seed)
    graph = FactorGraph()
    for one in range(length):
        graph.add_variable(f"v{one}", 3)
        graph.add_factor([one], rng.random(3) + 0.2, f"prior {one}")
    for one in range(length):
        for step in (1, 3):
            table = rng.random((3, 3)) + 0.1 + np.eye(3)
            graph.add_factor([one, (one + step) % length], table, f"tie {one} {step}")
    return graph


# ------------------------------------------------------------------ against exact answers


@pytest.mark.parametrize("seed", range(6))
def test_sampled_shares_lie_within_four_errors_of_enumeration(seed: int) -> None:
    graph = random_graph(seed, variables=7, factors=10)
    pairs = [tuple(scope) for scope in graph.scopes if len(scope) == 2]
    targets = [(one,) for one in range(7)] + pairs
    plan = prepare(graph, (), targets, SamplingRules(room=13, seed=seed))
    found, joint = draw(plan), enumerated(graph)
    for target, share, error in zip(targets, found.shares, found.errors, strict=True):
        assert (np.abs(share - summed_to(joint, target)) <= 4 * error).all()


def test_a_ring_that_must_be_cut_is_sampled_within_its_error() -> None:
    graph = ring()
    joint = enumerated(graph)
    plan = prepare(graph, (), [(one,) for one in range(9)], SamplingRules(room=9))
    assert plan.cost.held > 0
    found = draw(plan)
    off = [
        np.abs(share - summed_to(joint, (one,))) / error
        for one, (share, error) in enumerate(zip(found.shares, found.errors, strict=True))
    ]
    assert 0 < np.max(off) < 4
    assert found.rhat < 1.2


def test_the_stated_error_is_the_error_that_is_made() -> None:
    """Over two dozen seeds the root mean square of (sampled - exact) / error is near 1."""
    graph = ring()
    exact = [summed_to(enumerated(graph), (one,)) for one in range(9)]
    rules = SamplingRules(room=9, warm_up=4, round=6, most=6)
    off = []
    for seed in range(24):
        found = draw(
            prepare(graph, (), [(v,) for v in range(9)], replace(rules, seed=seed))
        )
        share, error = np.array(found.shares), np.array(found.errors)
        off.append((share - exact) / error)
    assert 0.6 < math.sqrt(np.mean(np.square(off))) < 1.2


def test_what_needs_no_cut_comes_out_exactly() -> None:
    graph = random_graph(4)
    found = draw(prepare(graph, (), [(one,) for one in range(6)]))
    joint = enumerated(graph)
    for one, share in enumerate(found.shares):
        assert share == pytest.approx(summed_to(joint, (one,)), abs=1e-12)


def test_the_same_seed_draws_the_same_to_the_last_digit_and_another_does_not() -> None:
    plans = [
        prepare(ring(), (), [(0,)], SamplingRules(room=9, seed=seed)) for seed in (5, 5, 6)
    ]
    one, same, other = (draw(plan).shares[0] for plan in plans)
    assert (one == same).all()
    assert (one != other).any()


@given(seed=st.integers(0, 10_000), room=st.sampled_from([4, 9, 20]))
@settings(max_examples=25, deadline=None)
def test_every_unknown_is_drawn_and_no_table_is_over_the_room(seed: int, room: int) -> None:
    graph = random_graph(seed, variables=8, factors=12)
    blocks = blocks_of(graph, (0,), room)
    assert set().union(*(block.free for block in blocks)) == set(range(8))
    for block in blocks:
        tree = block.plan.tree
        sizes = [math.prod(tree.shape(one.variables)) for one in tree.cliques]
        assert max(sizes) <= max(room, 4)


def test_what_is_held_picks_its_slice_of_every_table() -> None:
    graph = ring()
    states = np.random.default_rng(0).integers(0, 3, (9, 5))
    every = np.concatenate([table.ravel() for table in graph.tables])
    for block in blocks_of(graph, (), 9):
        cells = every[block.cells(states)]
        sizes = [math.prod(shape) for shape in block.plan.shapes]
        parts = np.split(cells, np.cumsum(sizes)[:-1])
        for factor, part in zip(block.factors, parts, strict=True):
            for chain in range(5):
                at = tuple(
                    slice(None) if one in block.free else states[one, chain]
                    for one in graph.scopes[factor]
                )
                assert (part[:, chain] == graph.tables[factor][at].ravel()).all()


# ------------------------------------------------------------------ error and sample size


@pytest.mark.parametrize("memory", [0.0, 0.5, 0.8])
def test_effective_draws_of_a_known_process(memory: float) -> None:
    """AR(1): integrated autocorrelation time (1 + a) / (1 - a).

    Sokal, Monte Carlo Methods in Statistical Mechanics (1997), section 3; from memory.
    """
    rng = np.random.default_rng(7)
    chains, length = 600, 500
    rows = np.empty((length, chains))
    rows[0] = rng.normal(size=chains)
    for step in range(1, length):
        fresh = rng.normal(size=chains) * math.sqrt(1 - memory**2)
        rows[step] = memory * rows[step - 1] + fresh
    error = standard_error(rows.mean(axis=0))
    expected = chains * length * (1 - memory) / (1 + memory)
    assert float(effective_draws(np.array(1.0), error)) == pytest.approx(expected, rel=0.15)


def test_split_rhat_by_hand() -> None:
    """Gelman and others 2013, section 11.4: sqrt(((n - 1) / n W + B / n) / W)."""
    chains = np.array([[1.0, 2.0, 3.0, 4.0], [3.0, 4.0, 5.0, 8.0]])
    within, between = chains.var(axis=1, ddof=1).mean(), 4 * chains.mean(axis=1).var(ddof=1)
    by_hand = math.sqrt((3 / 4 * within + between / 4) / within)
    found = split_rhat(chains.mean(axis=1), chains.var(axis=1, ddof=1), 4)
    assert float(found) == pytest.approx(by_hand)
    assert by_hand > 1.1


def test_equal_weights_count_in_full_and_a_single_heavy_one_alone() -> None:
    # Kish 1965: (sum w)² / sum w²
    assert kish(np.full(50, 0.3)) == pytest.approx(50)
    assert kish(np.array([1.0, 1e-9, 1e-9])) == pytest.approx(1, abs=1e-6)


def test_two_runs_apart_are_an_error_and_nothing_rarer_than_a_draw_is_certain() -> None:
    apart = np.repeat([0.2, 0.6], 8)
    assert float(error_of(apart, 10_000)) == pytest.approx(0.2)
    assert float(error_of(np.zeros(16), 200)) == 1 / 200


# ------------------------------------------------------------------ the assessment


def test_past_the_budget_the_full_model_is_sampled_and_says_so() -> None:
    case = refixed_object()
    exact, sampled = assess(case), assess(case, TOO_WIDE, NARROW)
    assert exact.exact
    assert (exact.error, exact.effective) == (0.0, None)
    assert not sampled.exact
    assert sampled.model.graph.cards == exact.model.graph.cards
    assert sampled.effective is not None
    assert sampled.effective >= NARROW.least
    drawn = sampled.sampled
    assert drawn is not None
    for number, thing in enumerate(case.things):
        off = np.abs(sampled.beliefs[thing.id] - exact.beliefs[thing.id])
        error = drawn.drawn.errors[number]
        limit = error if thing.kind.has_making else error.max()
        assert (off <= 4 * limit).all()
    (now,), (then,) = sampled.sources, exact.sources
    assert now.after == pytest.approx(then.after, abs=4 * sampled.error)


def test_the_cost_of_sampling_is_told_before_it_is_paid() -> None:
    case = refixed_object()
    cost = cost_of(case, TOO_WIDE, NARROW)
    assert not cost.exact
    assert cost.sampling is not None
    assert cost.sampling.draws == NARROW.chains * NARROW.most
    assert cost.sampling.held > 0
    assert cost_of(case).sampling is None
    with pytest.raises(Refused, match="nothing was drawn"):
        assess(case, TOO_WIDE, replace(NARROW, most_work=cost.sampling.work - 1))


def test_chains_that_do_not_move_are_refused_with_a_sentence() -> None:
    """With room for one tie at a time a part and its fixing hold each other fast."""
    rules = SamplingRules(room=40)
    with pytest.raises(Refused, match=r"effective sample size is \d+, and at least 100"):
        assess(refixed_object(), TOO_WIDE, rules)


def test_a_grade_is_given_only_if_it_holds_after_the_error() -> None:
    case = Case(
        THREE_PHASES,
        (
            Thing("lid", ThingKind.LAYER, touches=("box",)),
            Thing("box", ThingKind.LAYER, touches=("foot",)),
            Thing("foot", ThingKind.LAYER, touches=("lid",)),
        ),
        (CaseSource("look"), CaseSource("test")),
        tuple(
            CaseClaim(
                f"{source}{one}",
                source,
                Relation.BELONGS_TO,
                one,
                phase="P2",
                strength="strong",
            )
            for source in ("look", "test")
            for one in ("lid", "box", "foot")
        ),
    )
    few = SamplingRules(chains=32, warm_up=4, round=2, most=2, room=30, least=33)
    exact = verdicts(assess(case))
    sampled = verdicts(assess(case, TOO_WIDE, few))
    grades = list(Grade)
    for one, other in zip(exact, sampled, strict=True):
        assert one.error == 0
        assert other.error >= 1 / 64
        assert grades.index(other.grade) >= grades.index(one.grade)
        assert other.grade is Grade.OPEN or (other.lowest >= 0.70 + 3 * other.error - 0.02)
    assert any("the answer is sampled" in "".join(one.hangs_on) for one in sampled)


def test_readings_are_weighted_or_drawn_afresh_within_their_error() -> None:
    case = small_quarrel()
    exact = assess(case)
    sampled = assess(case, TOO_WIDE, SamplingRules(room=40))
    readings = [
        Supposition(),
        Supposition("weaker", steps=-1),
        Supposition("without", without=frozenset({"l3"})),
        Supposition("nothing", without=frozenset({"b1", "b2", "l1", "l2", "l3"})),
    ]
    then = beliefs_under(exact.model, exact.plan, readings)
    now = supposed(sampled, readings)
    for thing, belief in then.items():
        made, placed = belief.shape[:2]
        for cell in np.ndindex(made, placed):
            one = np.zeros((made, placed), dtype=bool)
            one[cell] = True
            off = np.abs(now.beliefs[thing][cell] - belief[cell])
            assert (off <= 4 * now.error(thing, one)).all()
    assert min(now.draws) >= 100
