"""When things can have happened, from claims about days, and why.

Every bound is the tightest that the claims allow, and is explained by the shortest chain
of claims that sets it. Claims that cannot all be right are shown as a smallest set that
contradicts itself, and as the set that it costs least to doubt.

    >>> claims = [
    ...     TimeClaim("newspaper", ORIGIN, "backing", low=100),
    ...     TimeClaim("tidemark", "backing", "flood", low=0),
    ...     TimeClaim("letter", ORIGIN, "flood", low=400, high=430),
    ... ]
    >>> bounds(claims)["backing"]
    Bound(low=100, high=430)
    >>> [claim.id for claim in why_bound(claims, "backing", "high")]
    ['letter', 'tidemark']
"""

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Literal

import numpy as np

from ..errors import BadValue, NotRecorded
from .temporal_network import ORIGIN, UNBOUNDED, Ints, TemporalNetwork, TimeClaim

__all__ = [
    "ORIGIN",
    "Bound",
    "DateConflict",
    "TimeClaim",
    "bounds",
    "cheapest_repair",
    "minimal_conflict",
    "row",
    "why_bound",
]


@dataclass(frozen=True, slots=True)
class Bound:
    """Fewest and most days, both inclusive; None where nothing bounds that side."""

    low: int | None
    high: int | None


@dataclass(frozen=True, slots=True)
class DateConflict:
    """Claims that cannot all be right; without any one of them the others can.

    Attributes:
        claims: ids of the claims.
    """

    claims: tuple[str, ...]


def bounds(claims: Iterable[TimeClaim]) -> dict[str, Bound] | DateConflict:
    """Return the earliest and latest day of every event, or why there are none.

    Days count from `ORIGIN`. Every day within the bounds of an event is possible for it,
    though not every combination of such days for several events.
    """
    network = TemporalNetwork.of(claims)
    conflict = _irreducible(network)
    if conflict:
        return DateConflict(conflict)
    found = _row(network, 0)
    del found[ORIGIN]
    return found


def row(claims: Iterable[TimeClaim], event: str) -> dict[str, Bound]:
    """Return the days that can have passed from *event* to every other event.

    One row of the minimal network; the origin is among the others.

    Raises:
        NotRecorded: when no claim names *event*.
        BadValue: when the claims contradict each other.
    """
    network = _consistent(claims)
    found = _row(network, _number(network, event))
    del found[event]
    return found


def why_bound(
    claims: Iterable[TimeClaim], event: str, side: Literal["low", "high"]
) -> tuple[TimeClaim, ...]:
    """Return the fewest claims that together set one bound of *event*.

    In the order in which they lead from the calendar to the event; nothing when that
    side is unbounded.

    Raises:
        NotRecorded: when no claim names *event*.
        BadValue: when the claims contradict each other.
    """
    network = _consistent(claims)
    goal = _number(network, event)
    if side == "low":
        network = network.reversed()
    reach = network.distances(0)
    if reach[goal] >= UNBOUNDED:
        return ()
    return tuple(network.claims[k] for k in _fewest(network, reach, goal))


def minimal_conflict(claims: Iterable[TimeClaim]) -> tuple[str, ...]:
    """Return ids of claims that contradict each other, none of them needlessly.

    Without any one of them the others can be right. Nothing when all claims can be.
    There may be further conflicts among the same claims.
    """
    return _irreducible(TemporalNetwork.of(claims))


def cheapest_repair(claims: Iterable[TimeClaim]) -> tuple[str, ...]:
    """Return ids of the claims it costs least to doubt so that the rest can be right.

    The cost is the sum of the weights; as weights are log odds, the cheapest set is the
    most probable set of wrong claims if claims fail independently of each other. Found
    as the cheapest set that hits every conflict, with conflicts added until none is left
    (implicit hitting set; the hitting set by integer programming, proven optimal).

    Raises:
        BadValue: when claims that are not to be doubted contradict each other, or rows of
            one claim have different weights.
    """
    claims = tuple(claims)
    weights = _weights(claims)
    conflicts: list[tuple[str, ...]] = []
    doubted: set[str] = set()
    while True:
        fresh = _disjoint_conflicts(claims, doubted)
        if not fresh:
            return tuple(id_ for id_ in weights if id_ in doubted)
        for conflict in fresh:
            if all(math.isinf(weights[id_]) for id_ in conflict):
                raise BadValue(
                    "these claims are not to be doubted, yet contradict each other: "
                    + ", ".join(conflict)
                )
        conflicts += fresh
        doubted = _hitting_set(conflicts, weights)


def _weights(claims: Iterable[TimeClaim]) -> dict[str, float]:
    weights: dict[str, float] = {}
    for claim in claims:
        if weights.setdefault(claim.id, claim.weight) != claim.weight:
            raise BadValue(f"claim {claim.id} has two weights; give it one")
    return weights


def _consistent(claims: Iterable[TimeClaim]) -> TemporalNetwork:
    network = TemporalNetwork.of(claims)
    conflict = _irreducible(network)
    if conflict:
        raise BadValue("these claims contradict each other: " + ", ".join(conflict))
    return network


def _number(network: TemporalNetwork, event: str) -> int:
    if event not in network.number:
        raise NotRecorded(f"no claim about time names {event}")
    return network.number[event]


def _row(network: TemporalNetwork, event: int) -> dict[str, Bound]:
    high = network.distances(event).tolist()
    low = network.reversed().distances(event).tolist()
    return {
        name: Bound(
            None if low[k] >= UNBOUNDED else -low[k],
            None if high[k] >= UNBOUNDED else high[k],
        )
        for name, k in network.number.items()
    }


def _fewest(network: TemporalNetwork, reach: Ints, goal: int) -> list[int]:
    """Return the owners of the fewest arcs that make up the shortest path to *goal*."""
    known = reach[network.tail]
    tight = np.flatnonzero(
        (known < UNBOUNDED) & (known + network.days == reach[network.head])
    )
    onward: dict[int, list[int]] = {}
    for arc in tight.tolist():
        onward.setdefault(int(network.tail[arc]), []).append(arc)
    came: dict[int, int] = {0: -1}
    edge = [0]
    while goal not in came:
        fresh: list[int] = []
        for event in edge:
            for arc in onward.get(event, ()):
                head = int(network.head[arc])
                if head not in came:
                    came[head] = arc
                    fresh.append(head)
        edge = fresh
    chain: list[int] = []
    while came[goal] >= 0:
        chain.append(int(network.owner[came[goal]]))
        goal = int(network.tail[came[goal]])
    return chain[::-1]


def _irreducible(network: TemporalNetwork) -> tuple[str, ...]:
    """Take one negative cycle, then drop every claim that it does without.

    As inequalities a simple cycle has none to spare, but one claim owns two of them.
    """
    on_cycle = network.owner[list(network.negative_cycle())].tolist()
    ids = list(dict.fromkeys(network.claims[k].id for k in on_cycle))
    wanted = set(ids)
    rows = [claim for claim in network.claims if claim.id in wanted]
    for id_ in ids:
        fewer = [claim for claim in rows if claim.id != id_]
        if TemporalNetwork.of(fewer).negative_cycle():
            rows = fewer
    return tuple(dict.fromkeys(claim.id for claim in rows))


def _disjoint_conflicts(
    claims: Sequence[TimeClaim], doubted: set[str]
) -> list[tuple[str, ...]]:
    """Return conflicts among the claims not doubted, no two with a claim in common."""
    found: list[tuple[str, ...]] = []
    left = set(doubted)
    while True:
        conflict = minimal_conflict(claim for claim in claims if claim.id not in left)
        if not conflict:
            return found
        found.append(conflict)
        left |= set(conflict)


def _hitting_set(
    conflicts: Sequence[tuple[str, ...]], weights: dict[str, float]
) -> set[str]:
    from scipy.optimize import Bounds, LinearConstraint, milp

    choice = [
        id_
        for id_ in dict.fromkeys(id_ for conflict in conflicts for id_ in conflict)
        if math.isfinite(weights[id_])
    ]
    column = {id_: k for k, id_ in enumerate(choice)}
    hits = np.zeros((len(conflicts), len(choice)))
    for k, conflict in enumerate(conflicts):
        hits[k, [column[id_] for id_ in conflict if id_ in column]] = 1
    answer = milp(
        np.array([weights[id_] for id_ in choice]),
        constraints=LinearConstraint(hits, 1, np.inf),
        integrality=np.ones(len(choice), dtype=np.int64),
        bounds=Bounds(0, 1),
        options={"mip_rel_gap": 0},
    )
    assert answer.x is not None  # doubting every claim is always a solution
    return {id_ for id_, taken in zip(choice, answer.x, strict=True) if taken > 0.5}
