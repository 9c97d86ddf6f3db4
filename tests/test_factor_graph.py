"""Building a factor graph, and what it refuses."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from vestige.graph.reasoning.factor_graph import FLOOR, FactorGraph


@pytest.fixture
def graph() -> FactorGraph:
    """Two variables of two and three states."""
    graph = FactorGraph()
    graph.add_variable("made", 2)
    graph.add_variable("placed", 3)
    return graph


def test_variables_and_factors_are_numbered_from_nought(graph: FactorGraph) -> None:
    assert graph.add_variable("sound", 4) == 2
    assert graph.add_factor([0], [1, 2], "first") == 0
    assert graph.add_factor([1, 0], np.ones((3, 2)), "second") == 1
    assert graph.names == ["made", "placed", "sound"]
    assert graph.cards == [2, 3, 4]
    assert graph.scopes == [(0,), (1, 0)]
    assert graph.labels == ["first", "second"]


def test_the_axes_of_a_table_follow_its_scope(graph: FactorGraph) -> None:
    graph.add_factor([1, 0], [[1, 2], [3, 4], [5, 6]], "turned")
    assert graph.tables[0][2, 0] == 5
    with pytest.raises(ValueError, match=r"shape \(3, 2\); its scope has \(2, 3\)"):
        graph.add_factor([0, 1], [[1, 2], [3, 4], [5, 6]], "turned the wrong way")


def test_nothing_is_impossible(graph: FactorGraph) -> None:
    """Cromwell's rule: a zero becomes a share of the largest cell, on any scale."""
    graph.add_factor([0], [0, 1], "a")
    graph.add_factor([0], [0, 1e-200], "b")
    assert graph.tables[0].tolist() == [FLOOR, 1]
    assert graph.tables[1].tolist() == [FLOOR * 1e-200, 1e-200]


@given(st.lists(st.floats(0, 1e300), min_size=3, max_size=3).filter(any))
def test_a_table_keeps_every_cell_above_the_floor(cells: list[float]) -> None:
    graph = FactorGraph()
    graph.add_variable("v", 3)
    if max(cells) * FLOOR == 0:
        with pytest.raises(ValueError, match="zero throughout"):
            graph.add_factor([0], cells, "too small to be told from nothing")
        return
    graph.add_factor([0], cells, "f")
    kept = [cell for cell in cells if cell >= max(cells) * FLOOR]
    assert graph.tables[0].min() > 0
    assert set(kept) <= set(graph.tables[0].tolist())


@pytest.mark.parametrize("cell", [-0.1, float("nan"), float("inf"), -float("inf")])
def test_a_cell_that_is_no_likelihood_is_refused(graph: FactorGraph, cell: float) -> None:
    with pytest.raises(ValueError, match="'claim 7' has a cell that is negative, infinite"):
        graph.add_factor([0], [0.5, cell], "claim 7")
    assert graph.tables == []


def test_a_table_of_zeros_is_refused(graph: FactorGraph) -> None:
    with pytest.raises(ValueError, match="zero throughout"):
        graph.add_factor([0], [0, 0], "claim 7")


@pytest.mark.parametrize(
    ("scope", "words"),
    [([], "no variable"), ([0, 0], "twice"), ([0, 2], "there are 2"), ([-1], "-1")],
)
def test_a_scope_that_cannot_be_is_refused(
    graph: FactorGraph, scope: list[int], words: str
) -> None:
    with pytest.raises(ValueError, match=words):
        graph.add_factor(scope, np.ones([2] * len(scope)), "claim 7")


def test_a_name_is_taken_once(graph: FactorGraph) -> None:
    with pytest.raises(ValueError, match="'made' is there already"):
        graph.add_variable("made", 2)


def test_a_variable_has_a_state_to_be_in(graph: FactorGraph) -> None:
    with pytest.raises(ValueError, match="0 states"):
        graph.add_variable("nothing", 0)


def test_a_table_cannot_be_changed_afterwards(graph: FactorGraph) -> None:
    given_table = np.array([0.5, 0.5])
    graph.add_factor([0], given_table, "claim 7")
    given_table[0] = 9
    assert graph.tables[0].tolist() == [0.5, 0.5]
    with pytest.raises(ValueError, match="read-only"):
        graph.tables[0][0] = 9
