"""Differences of time as a graph, and the shortest paths on it.

A simple temporal network (Dechter, Meiri & Pearl 1991): ``low <= end - start <= high``
is two arcs, and the tightest bound that claims put on a difference is a shortest path.
Claims are consistent if and only if no cycle has negative length. Whole days, so nothing
is ever rounded.
"""

import math
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from ..errors import BadValue

__all__ = ["ORIGIN", "TemporalNetwork", "TimeClaim"]

ORIGIN = "origin"
"""Name of the event that stands for day 0 of the calendar."""

UNBOUNDED = 2**60  # beyond every sum of days
MOST_DAYS = 10**12  # a chain of a million such claims still stays below UNBOUNDED

Ints = npt.NDArray[np.int64]


@dataclass(frozen=True, slots=True)
class TimeClaim:
    """From *start* to *end* at least *low* and at most *high* days passed.

    With `ORIGIN` as *start*, the bounds are calendar days of *end*. Rows with one id are
    one claim and stand or fall together.

    Attributes:
        id: id of the claim.
        start, end: names of two events.
        low: fewest days from start to end, may be negative; None where the claim sets
            no lower bound.
        high: most days from start to end; None where the claim sets no upper bound.
        weight: natural log of the odds that the claim is valid, > 0; infinity for a
            claim that is not to be doubted.

    Raises:
        BadValue: when a bound is no whole number of days within 10^12, or the weight is
            not above zero.
    """

    id: str
    start: str
    end: str
    low: int | None = None
    high: int | None = None
    weight: float = 1.0

    def __post_init__(self) -> None:
        for days in (self.low, self.high):
            if days is not None and (abs(days) > MOST_DAYS or not float(days).is_integer()):
                raise BadValue(
                    f"claim {self.id} bounds a time by {days} days; "
                    "give whole days, at most 10^12"
                )
        if math.isnan(self.weight) or self.weight <= 0:
            raise BadValue(
                f"claim {self.id} has weight {self.weight}; the log odds of a claim to "
                "reckon with are above 0"
            )


@dataclass(frozen=True, slots=True)
class TemporalNetwork:
    """Claims as arcs ``time of head - time of tail <= days``, sorted by head.

    Attributes:
        claims: the claims, as given.
        number: number of each event; the origin is 0.
        tail, head: numbers of events, one per arc.
        days: length of each arc.
        owner: index into *claims*, one per arc.
    """

    claims: tuple[TimeClaim, ...]
    number: Mapping[str, int]
    tail: Ints
    head: Ints
    days: Ints
    owner: Ints

    @classmethod
    def of(cls, claims: Iterable[TimeClaim]) -> "TemporalNetwork":
        """Build the network of *claims*."""
        claims = tuple(claims)
        number = {ORIGIN: 0}
        arcs: list[tuple[int, int, int, int]] = []
        for k, claim in enumerate(claims):
            start = number.setdefault(claim.start, len(number))
            end = number.setdefault(claim.end, len(number))
            if claim.high is not None:
                arcs.append((end, start, claim.high, k))
            if claim.low is not None:
                arcs.append((start, end, -claim.low, k))
        table = np.array(arcs, dtype=np.int64).reshape(-1, 4)
        table = table[np.argsort(table[:, 0], kind="stable")]
        head, tail, days, owner = table.T
        return cls(claims, number, tail, head, days, owner)

    def reversed(self) -> "TemporalNetwork":
        """Return the network with every arc turned round."""
        turn = np.argsort(self.tail, kind="stable")
        return TemporalNetwork(
            self.claims,
            self.number,
            tail=self.head[turn],
            head=self.tail[turn],
            days=self.days[turn],
            owner=self.owner[turn],
        )

    def distances(self, start: int) -> Ints:
        """Return the shortest path from event number *start* to every event, in days.

        UNBOUNDED where no path leads. The network must have no negative cycle.
        """
        reach = np.full(len(self.number), UNBOUNDED, dtype=np.int64)
        reach[start] = 0
        self._relax(reach)
        return reach

    def negative_cycle(self) -> Sequence[int]:
        """Return the arcs of one cycle of negative length, or nothing."""
        return self._relax(np.zeros(len(self.number), dtype=np.int64))

    def _relax(self, reach: Ints) -> Sequence[int]:
        """Shorten *reach* in place as far as arcs allow; stop at a negative cycle.

        Bellman–Ford, all arcs at once. An event's parent is the arc that shortened it
        last; a cycle of parents is a cycle of negative length. Looked for after rounds
        1, 2, 4, …, 64 and then after every 64th, since looking costs as much as a round.
        """
        if not len(self.head):
            return ()
        first = np.flatnonzero(np.diff(self.head, prepend=-1))
        target = self.head[first]
        count = np.diff(first, append=len(self.head))
        parent = np.full(len(reach), -1, dtype=np.int64)
        turn = 0
        while True:
            turn += 1
            known = reach[self.tail]
            offer = np.where(known >= UNBOUNDED, UNBOUNDED, known + self.days)
            best = np.minimum.reduceat(offer, first)
            better = best < reach[target]
            if not better.any():
                return ()
            chosen = np.flatnonzero(
                np.repeat(better, count) & (offer == np.repeat(best, count))
            )
            parent[self.head[chosen]] = chosen
            reach[target[better]] = best[better]
            if turn & (turn - 1) == 0 or turn % 64 == 0:
                cycle = self._cycle_of(parent)
                if cycle:
                    return cycle

    def _cycle_of(self, parent: Ints) -> list[int]:
        """Return the arcs of a cycle that *parent* arcs form, or nothing."""
        events = np.arange(len(parent))
        up = np.where(parent >= 0, self.tail[parent], events)
        for _ in range(len(parent).bit_length()):  # double the stride: 2^k > all events
            up = up[up]
        on_cycle = up[parent[up] >= 0]
        if not len(on_cycle):
            return []
        event = first = int(on_cycle[0])
        arcs: list[int] = []
        while not arcs or event != first:
            arcs.append(int(parent[event]))
            event = int(self.tail[arcs[-1]])
        return arcs[::-1]
