"""Networks whose answers are known: published ones, and random ones small enough to count.

Sources. Asia: Lauritzen & Spiegelhalter 1988; tables as on the example pages of BUGS, where
the three posteriors also stand (from memory). Student: Koller & Friedman 2009, section 3.2
(from memory). Sprinkler: Murphy's tutorial of 1998 (from memory). Monty Hall: Selvin 1975
(from memory). That all figures follow from these tables was checked in exact fractions.
"""

import math
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

import numpy as np
import numpy.typing as npt

from vestige.graph.reasoning.factor_graph import FactorGraph

Cells = npt.NDArray[np.float64]


@dataclass(frozen=True)
class Query:
    """A published figure: P(variable = state | seen), to so many decimals."""

    network: str
    seen: Mapping[str, int]
    variable: str
    state: int
    printed: float
    decimals: int


QUERIES = (
    Query("asia", {}, "tub", 1, 0.0104, 4),
    Query("asia", {}, "lung", 1, 0.055, 3),
    Query("asia", {}, "bronc", 1, 0.45, 2),
    Query("asia", {}, "either", 1, 0.0648, 4),
    Query("asia", {}, "xray", 1, 0.1103, 4),
    Query("asia", {}, "dysp", 1, 0.4360, 4),
    Query("asia", {"asia": 1, "dysp": 1}, "tub", 1, 0.088, 3),
    Query("asia", {"asia": 1, "dysp": 1}, "bronc", 1, 0.811, 3),
    Query("asia", {"asia": 1, "dysp": 1}, "smoke", 1, 0.626, 3),
    Query("student", {}, "letter", 1, 0.502, 3),
    Query("student", {"intelligence": 0}, "letter", 1, 0.389, 3),
    Query("student", {"intelligence": 0, "difficulty": 0}, "letter", 1, 0.513, 3),
    Query("student", {"grade": 2}, "intelligence", 1, 0.079, 3),
    Query("student", {"grade": 2}, "difficulty", 1, 0.629, 3),
    Query("student", {"letter": 0}, "intelligence", 1, 0.14, 2),
    Query("student", {"grade": 2, "test": 1}, "intelligence", 1, 0.578, 3),
    Query("student", {"grade": 2, "test": 1}, "difficulty", 1, 0.76, 2),
    Query("sprinkler", {"wet": 1}, "sprinkler", 1, 0.4298, 4),
    Query("sprinkler", {"wet": 1}, "rain", 1, 0.7079, 4),
    Query("sprinkler", {"wet": 1, "rain": 1}, "sprinkler", 1, 0.1945, 4),
    Query("monty", {"pick": 0, "host": 1}, "car", 0, 0.3333, 4),
    Query("monty", {"pick": 0, "host": 1}, "car", 2, 0.6667, 4),
)

# name: per variable its parents and its table, rows over the parents, last axis its own
# states (0 false, 1 true).
NETWORKS: dict[str, dict[str, tuple[tuple[str, ...], Any]]] = {
    "asia": {
        "asia": ((), [0.99, 0.01]),
        "smoke": ((), [0.5, 0.5]),
        "tub": (("asia",), [[0.99, 0.01], [0.95, 0.05]]),
        "lung": (("smoke",), [[0.99, 0.01], [0.9, 0.1]]),
        "bronc": (("smoke",), [[0.7, 0.3], [0.4, 0.6]]),
        "either": (("tub", "lung"), [[[1, 0], [0, 1]], [[0, 1], [0, 1]]]),
        "xray": (("either",), [[0.95, 0.05], [0.02, 0.98]]),
        "dysp": (("either", "bronc"), [[[0.9, 0.1], [0.2, 0.8]], [[0.3, 0.7], [0.1, 0.9]]]),
    },
    "student": {
        "difficulty": ((), [0.6, 0.4]),
        "intelligence": ((), [0.7, 0.3]),
        "grade": (
            ("intelligence", "difficulty"),
            [[[0.3, 0.4, 0.3], [0.05, 0.25, 0.7]], [[0.9, 0.08, 0.02], [0.5, 0.3, 0.2]]],
        ),
        "test": (("intelligence",), [[0.95, 0.05], [0.2, 0.8]]),
        "letter": (("grade",), [[0.1, 0.9], [0.4, 0.6], [0.99, 0.01]]),
    },
    "sprinkler": {
        "cloudy": ((), [0.5, 0.5]),
        "sprinkler": (("cloudy",), [[0.5, 0.5], [0.9, 0.1]]),
        "rain": (("cloudy",), [[0.8, 0.2], [0.2, 0.8]]),
        "wet": (("sprinkler", "rain"), [[[1, 0], [0.1, 0.9]], [[0.1, 0.9], [0.01, 0.99]]]),
    },
    "monty": {
        "car": ((), [1 / 3] * 3),
        "pick": ((), [1 / 3] * 3),
        "host": (
            ("car", "pick"),
            [
                [[0, 0.5, 0.5], [0, 0, 1], [0, 1, 0]],
                [[0, 0, 1], [0.5, 0, 0.5], [1, 0, 0]],
                [[0, 1, 0], [1, 0, 0], [0.5, 0.5, 0]],
            ],
        ),
    },
}


def published(name: str, seen: Mapping[str, int] | None = None) -> FactorGraph:
    """A published network, with one factor more for everything that was seen."""
    graph = FactorGraph()
    for variable, (_, table) in NETWORKS[name].items():
        graph.add_variable(variable, np.shape(table)[-1])
    for variable, (parents, table) in NETWORKS[name].items():
        scope = [graph.names.index(one) for one in (*parents, variable)]
        graph.add_factor(scope, table, variable)
    for variable, state in (seen or {}).items():
        number = graph.names.index(variable)
        graph.add_factor([number], np.eye(graph.cards[number])[state], f"{variable} seen")
    return graph


def random_graph(seed: int, variables: int = 6, factors: int = 8) -> FactorGraph:
    """Variables of 1 to 4 states, factors of one to three of them, some on the same."""
    rng = np.random.default_rng(seed)
    graph = FactorGraph()
    for one in range(variables):
        graph.add_variable(f"v{one}", int(rng.integers(1, 5)))
    for one in range(factors):
        size = int(rng.integers(1, min(3, variables) + 1))
        scope = rng.choice(variables, size=size, replace=False)
        shape = [graph.cards[variable] for variable in scope]
        for copy in range(int(rng.integers(1, 3))):
            table = rng.random(shape) ** 3 + 0.001
            graph.add_factor(scope.tolist(), table, f"factor {one}.{copy}")
    return graph


def enumerated(graph: FactorGraph) -> Cells:
    """The joint table, not normalised, by going through every state: slow and plain."""
    joint = np.ones(graph.cards)
    for state in np.ndindex(*graph.cards):
        joint[state] = math.prod(
            table[tuple(state[one] for one in scope)]
            for scope, table in zip(graph.scopes, graph.tables, strict=True)
        )
    return joint


def summed_to(joint: Cells, scope: tuple[int, ...]) -> Cells:
    """The joint table of some variables, axes in their order, normalised."""
    away = tuple(axis for axis in range(joint.ndim) if axis not in scope)
    left = [axis for axis in range(joint.ndim) if axis in scope]
    table: Cells = joint.sum(axis=away).transpose([left.index(one) for one in scope])
    table /= table.sum()
    return table
