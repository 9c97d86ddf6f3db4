"""An invented object whose history is known, as the factor graph of what was reported.

Only for measuring time and agreement: elements in assemblies of twelve, each with the
phase in which it was made and the phase in which it came to its place, orders seen where
parts touch, likenesses of material, and claims by sources whose soundness is unknown.
"""

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from vestige.graph.reasoning.factor_graph import FactorGraph

ASSEMBLY = 12
SOUNDNESS = np.array([0.15, 0.5, 0.85, 0.98])
SOUNDNESS_PRIOR = np.array([0.10, 0.25, 0.40, 0.25])
STRENGTHS = np.array([4.5, 32.0, 316.0])  # likelihood ratios of a weak … stronger claim
MISREAD, REUSED, COHESION, SAME_BATCH = 0.05, 0.1, 0.6, 0.5

Table = npt.NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class SimulatedObject:
    """The graph of the reports, with the numbers of the variables by what they mean."""

    graph: FactorGraph
    made: tuple[int, ...]
    placed: tuple[int, ...]
    sources: tuple[int, ...]


def simulate(elements: int, sources: int, phases: int = 5, seed: int = 3) -> SimulatedObject:
    """One invented object; the same seed gives the same object."""
    rng = np.random.default_rng(seed)
    carrier = np.array([_carrier(rng, element) for element in range(elements)])
    placed_truth, made_truth = _history(rng, carrier, phases)
    graph = FactorGraph()
    placed = tuple(graph.add_variable(f"placed {i}", phases) for i in range(elements))
    made = tuple(graph.add_variable(f"made {i}", phases) for i in range(elements))
    says = tuple(graph.add_variable(f"source {i}", 4) for i in range(sources))
    for i in range(elements):
        graph.add_factor([made[i]], np.full(phases, 1 / phases), "prior")
        graph.add_factor([made[i], placed[i]], _reuse(phases), "re-use")
    for source in says:
        graph.add_factor([source], SOUNDNESS_PRIOR, "soundness")
    _claims(rng, graph, (made, placed, says), (made_truth, placed_truth))
    _orders(rng, graph, placed, placed_truth, carrier)
    _likenesses(rng, graph, made, made_truth)
    return SimulatedObject(graph, made, placed, says)


def _carrier(rng: np.random.Generator, element: int) -> int:
    """The element that carries this one; -1 for the first."""
    first = element - element % ASSEMBLY
    if element == 0:
        return -1
    if element > first:
        return element - 1 if rng.random() < 0.25 else int(rng.integers(first, element))
    return int(rng.integers(0, max(1, element // ASSEMBLY))) * ASSEMBLY


def _history(
    rng: np.random.Generator, carrier: npt.NDArray[np.int64], phases: int
) -> tuple[list[int], list[int]]:
    placed: list[int] = []
    made: list[int] = []
    for on in carrier:
        begun = placed[on] if on >= 0 else 0
        later = on >= 0 and rng.random() > 0.65 and begun < phases - 1
        placed.append(int(rng.integers(begun + 1, phases)) if later else begun)
        old = placed[-1] > 0 and rng.random() < REUSED
        made.append(int(rng.integers(0, placed[-1])) if old else placed[-1])
    return placed, made


def _reuse(phases: int) -> Table:
    table = np.full((phases, phases), 1e-6)
    for phase in range(phases):
        later = phases - 1 - phase
        table[phase, phase] = 1 - REUSED if later else 1.0
        table[phase, phase + 1 :] = REUSED / max(later, 1)
    return table / table.sum(1, keepdims=True)


def _claims(
    rng: np.random.Generator,
    graph: FactorGraph,
    variables: tuple[tuple[int, ...], tuple[int, ...], tuple[int, ...]],
    truth: tuple[list[int], list[int]],
) -> None:
    """About one and a half claims an element; the first source speaks of most elements."""
    made, placed, says = variables
    phases = graph.cards[placed[0]]
    share = 0.05 + 0.6 ** np.arange(1, len(says) + 1)
    share = np.minimum(share * 1.5 / share.sum(), 1) if len(says) else share
    for source, part in zip(says, share, strict=True):
        sound = rng.choice(SOUNDNESS, p=SOUNDNESS_PRIOR)
        for element in np.flatnonzero(rng.random(len(placed)) < part):
            of_place = rng.random() < 0.7
            true = (truth[1] if of_place else truth[0])[element]
            ratio = rng.choice(STRENGTHS, p=[0.4, 0.4, 0.2])
            report = np.where(np.arange(phases) == true, ratio, 1) / (ratio + phases - 1)
            if rng.random() > sound:
                report = np.full(phases, 1 / phases)
            stated = rng.choice(phases, p=report)
            likely = np.where(np.arange(phases) == stated, ratio, 1) / (ratio + phases - 1)
            table = likely[:, None] * SOUNDNESS + (1 - SOUNDNESS) / phases
            about = placed[element] if of_place else made[element]
            graph.add_factor([about, source], table, "claim")


def _orders(
    rng: np.random.Generator,
    graph: FactorGraph,
    placed: tuple[int, ...],
    truth: list[int],
    carrier: npt.NDArray[np.int64],
) -> None:
    """Every part over its carrier, and a fifth as many further contacts."""
    phases = graph.cards[placed[0]]
    contact = np.full((phases, phases), (1 - COHESION) / (phases - 1))
    np.fill_diagonal(contact, COHESION)
    a, b = np.indices((phases, phases))
    after = np.where(a > b, 1 - MISREAD, np.where(a == b, 0.5, MISREAD))
    pairs = [(i, int(on)) for i, on in enumerate(carrier) if on >= 0]
    pairs += [_neighbours(rng, len(placed)) for _ in range(len(placed) // 5)]
    for one, other in pairs:
        if one == other:
            continue
        earlier = truth[one] < truth[other] or (
            truth[one] == truth[other] and rng.random() < 0.5
        )
        misread = truth[one] != truth[other] and rng.random() < MISREAD
        late, early = (other, one) if earlier != misread else (one, other)
        graph.add_factor([placed[late], placed[early]], contact, "contact")
        graph.add_factor([placed[late], placed[early]], after, "order")


def _likenesses(
    rng: np.random.Generator, graph: FactorGraph, made: tuple[int, ...], truth: list[int]
) -> None:
    phases = graph.cards[made[0]]
    for _ in range(int(0.15 * len(made))):
        one, other = _neighbours(rng, len(made))
        if one == other:
            continue
        same = truth[one] == truth[other] and rng.random() < SAME_BATCH
        ratio = float(np.exp(rng.normal(2 if same else -2, 2)))
        table = np.ones((phases, phases))
        np.fill_diagonal(table, SAME_BATCH * ratio + 1 - SAME_BATCH)
        graph.add_factor([made[one], made[other]], table, "likeness")


def _neighbours(rng: np.random.Generator, elements: int) -> tuple[int, int]:
    """Two elements of one assembly; one time in ten the next assembly is open too."""
    one = int(rng.integers(elements))
    first = one - one % ASSEMBLY
    reach = ASSEMBLY if rng.random() < 0.1 else 0
    low, high = max(0, first - reach), min(elements, first + ASSEMBLY + reach)
    return one, int(rng.integers(low, high))
