"""graph/reasoning."""

from .chronology import (
    ORIGIN,
    Bound,
    DateConflict,
    TimeClaim,
    bounds,
    cheapest_repair,
    minimal_conflict,
    row,
    why_bound,
)
from .interval_relation import IntervalRelation, Span, compose, inverse, possible_relations
from .sequence import Before, Contradiction, Order, OrderRelation, Same, Sequence, sequence

__all__ = [
    "ORIGIN",
    "Before",
    "Bound",
    "Contradiction",
    "DateConflict",
    "IntervalRelation",
    "Order",
    "OrderRelation",
    "Same",
    "Sequence",
    "Span",
    "TimeClaim",
    "bounds",
    "cheapest_repair",
    "compose",
    "inverse",
    "minimal_conflict",
    "possible_relations",
    "row",
    "sequence",
    "why_bound",
]
