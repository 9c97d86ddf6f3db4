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
from .sequence import Before, Contradiction, Order, OrderRelation, Same, Sequence, sequence

__all__ = [
    "ORIGIN",
    "Before",
    "Bound",
    "Contradiction",
    "DateConflict",
    "Order",
    "OrderRelation",
    "Same",
    "Sequence",
    "TimeClaim",
    "bounds",
    "cheapest_repair",
    "minimal_conflict",
    "row",
    "sequence",
    "why_bound",
]
