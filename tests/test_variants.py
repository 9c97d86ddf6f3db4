"""Many variants of the evidence through one tree give what each gives alone."""

from pathlib import Path

import numpy as np
import pytest

from vestige.graph.collection import Collection
from vestige.graph.reasoning import FactorGraph, assess, case_of, plan, solve
from vestige.graph.reasoning.message_passing import PLAIN, Collected, taken_up
from vestige.graph.reasoning.message_schedule import Rank, Slot


def spread_graph(seed: int) -> FactorGraph:
    """A few wide cliques whose tables speak of few of their variables each."""
    rng = np.random.default_rng(seed)
    graph = FactorGraph()
    for one in range(9):
        graph.add_variable(f"v{one}", int(rng.integers(2, 5)))
    for one in range(18):
        scope = rng.choice(9, size=int(rng.integers(1, 4)), replace=False).tolist()
        shape = [graph.cards[v] for v in scope]
        graph.add_factor(scope, rng.random(shape) + 0.01, f"factor {one}")
    return graph


@pytest.mark.parametrize("seed", range(25))
@pytest.mark.parametrize("variants", [2, 5])
def test_variants_together_equal_each_alone(seed: int, variants: int) -> None:
    graph = spread_graph(seed)
    rng = np.random.default_rng(seed)
    tables = [
        table[..., None] * (rng.random((*table.shape, variants)) + 0.5)
        for table in graph.tables
    ]
    planned = plan(graph)
    together = solve(planned, tables)
    for column in range(variants):
        alone = solve(planned, [table[..., column] for table in tables])
        for variable in range(len(graph.cards)):
            shares = together.marginal(variable)[:, column]
            assert shares.sum() == pytest.approx(1, abs=1e-9)
            assert shares == pytest.approx(alone.marginal(variable), abs=1e-9)
        for factor in range(len(graph.scopes)):
            joint = together.joint(factor)[..., column]
            assert joint == pytest.approx(alone.joint(factor), abs=1e-9)


def test_variants_of_a_whole_object_are_probabilities(museum: Path) -> None:
    """The screen's tree has a clique with an axis that no table speaks of."""
    with Collection.open(museum) as collection:
        key = collection.find("FEN.1931.44")
        assessment = assess(case_of(collection.around(key), key).case)
    model, planned = assessment.model, assessment.plan
    alone = solve(planned, model.graph.tables)
    together = solve(planned, [np.stack([one] * 3, axis=-1) for one in model.graph.tables])
    for variable in range(len(model.graph.cards)):
        for column in range(3):
            shares = together.marginal(variable)[:, column]
            assert shares == pytest.approx(alone.marginal(variable), abs=1e-9)


def test_an_axis_that_no_table_speaks_of_leaves_the_cells_in_order() -> None:
    """The way back reshapes in place, which only cells in C order allow."""
    slot = Slot((2, 1, 4), slice(0, 8, 1), -1, (1,), False)
    variables = np.arange(3)[None, :]
    rank = Rank(variables, (2, 3, 4), 2, (slot,), slice(8, 20), (slice(0, 2),))
    work = Collected(PLAIN, np.random.default_rng(1).random((20, 2)))
    taken = taken_up(rank, work)
    assert taken.shape == (2, 3, 4, 2)
    assert taken.flags.c_contiguous
