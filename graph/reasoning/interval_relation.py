"""How two spans of time lie to each other: Allen's thirteen relations.

J. F. Allen, Maintaining knowledge about temporal intervals, 1983. Spans are recorded
with windows for their ends more often than with days, so the answer is in general the
set of relations that the windows allow.
"""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from enum import StrEnum
from functools import cache
from itertools import combinations, product

from ..errors import BadValue
from .chronology import Bound
from .temporal_network import ORIGIN, TemporalNetwork, TimeClaim

__all__ = ["IntervalRelation", "Span", "compose", "inverse", "possible_relations"]


class IntervalRelation(StrEnum):
    """What the first span is to the second."""

    BEFORE = "before"
    MEETS = "meets"
    OVERLAPS = "overlaps"
    STARTS = "starts"
    DURING = "during"
    FINISHES = "finishes"
    EQUALS = "equals"
    FINISHED_BY = "finished by"
    CONTAINS = "contains"
    STARTED_BY = "started by"
    OVERLAPPED_BY = "overlapped by"
    MET_BY = "met by"
    AFTER = "after"


@dataclass(frozen=True, slots=True)
class Span:
    """A span of time that begins and ends within known windows.

    Attributes:
        begin: days within which it began, both inclusive.
        end: days within which it ended; a span ends a day after it began or later.

    Raises:
        BadValue: when it could not have begun before it ended.
    """

    begin: Bound
    end: Bound

    def __post_init__(self) -> None:
        if TemporalNetwork.of(_window(self, "span")).negative_cycle():
            raise BadValue(
                f"a span that begins within {self.begin} cannot end within {self.end}"
            )


# Signs of: begin - begin, begin - end, end - begin, end - end (first span less second).
_Signs = tuple[int, int, int, int]
_SIGNS: Mapping[IntervalRelation, _Signs] = {
    IntervalRelation.BEFORE: (-1, -1, -1, -1),
    IntervalRelation.MEETS: (-1, -1, 0, -1),
    IntervalRelation.OVERLAPS: (-1, -1, 1, -1),
    IntervalRelation.STARTS: (0, -1, 1, -1),
    IntervalRelation.DURING: (1, -1, 1, -1),
    IntervalRelation.FINISHES: (1, -1, 1, 0),
    IntervalRelation.EQUALS: (0, -1, 1, 0),
    IntervalRelation.FINISHED_BY: (-1, -1, 1, 0),
    IntervalRelation.CONTAINS: (-1, -1, 1, 1),
    IntervalRelation.STARTED_BY: (0, -1, 1, 1),
    IntervalRelation.OVERLAPPED_BY: (1, -1, 1, 1),
    IntervalRelation.MET_BY: (1, 0, 1, 1),
    IntervalRelation.AFTER: (1, 1, 1, 1),
}
_BY_SIGNS = {signs: relation for relation, signs in _SIGNS.items()}


def inverse(relation: IntervalRelation) -> IntervalRelation:
    """Return what the second span is to the first."""
    begins, begin_end, end_begin, ends = _SIGNS[relation]
    return _BY_SIGNS[-begins, -end_begin, -begin_end, -ends]


def possible_relations(first: Span, second: Span) -> frozenset[IntervalRelation]:
    """Return every relation that *first* may have to *second*, given their windows.

    One relation when the windows decide it. The ends are taken as independent of each
    other apart from each span's own order; a claim that ties the two spans together is
    a matter for `bounds`.
    """
    windows = [*_window(first, "a"), *_window(second, "b")]
    return frozenset(
        relation
        for relation, signs in _SIGNS.items()
        if not TemporalNetwork.of([*windows, *_ends_ordered(signs)]).negative_cycle()
    )


def _window(span: Span, name: str) -> Iterator[TimeClaim]:
    yield TimeClaim("", ORIGIN, f"{name} begin", span.begin.low, span.begin.high)
    yield TimeClaim("", ORIGIN, f"{name} end", span.end.low, span.end.high)
    yield TimeClaim("", f"{name} begin", f"{name} end", low=1)


def _ends_ordered(signs: _Signs) -> Iterator[TimeClaim]:
    """Say the order of the ends of span a and span b; before means by a day or more."""
    pairs = product(("a begin", "a end"), ("b begin", "b end"))
    for (first, second), sign in zip(pairs, signs, strict=True):
        low, high = {-1: (1, None), 0: (0, 0), 1: (None, -1)}[sign]
        yield TimeClaim("", first, second, low, high)


def compose(
    first: IntervalRelation, second: IntervalRelation
) -> frozenset[IntervalRelation]:
    """Return what A may be to C when A is *first* to B and B is *second* to C."""
    return _composition()[first, second]


@cache
def _composition() -> Mapping[
    tuple[IntervalRelation, IntervalRelation], frozenset[IntervalRelation]
]:
    # Three spans have six ends, so all there is to see is seen on six days.
    spans = list(combinations(range(6), 2))
    between = {(a, b): _between(a, b) for a, b in product(spans, spans)}
    table: dict[tuple[IntervalRelation, IntervalRelation], set[IntervalRelation]] = {}
    for a, b, c in product(spans, spans, spans):
        table.setdefault((between[a, b], between[b, c]), set()).add(between[a, c])
    return {pair: frozenset(relations) for pair, relations in table.items()}


def _between(a: tuple[int, int], b: tuple[int, int]) -> IntervalRelation:
    begins, begin_end, end_begin, ends = ((x > y) - (x < y) for x, y in product(a, b))
    return _BY_SIGNS[begins, begin_end, end_begin, ends]
