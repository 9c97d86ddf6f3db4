"""graph/reasoning."""

from .anachronism import DatingFinding, DatingGrade, judge
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
from .first_use import (
    CounterExample,
    FirstUse,
    first_use_table,
    likelihood_by_phase,
    row_for,
)
from .fluorescence import Fluorescence, fluorescence
from .interval_relation import IntervalRelation, Span, compose, inverse, possible_relations
from .sequence import Before, Contradiction, Order, OrderRelation, Same, Sequence, sequence

__all__ = [
    "ORIGIN",
    "Before",
    "Bound",
    "Contradiction",
    "CounterExample",
    "DateConflict",
    "DatingFinding",
    "DatingGrade",
    "FirstUse",
    "Fluorescence",
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
    "first_use_table",
    "fluorescence",
    "inverse",
    "judge",
    "likelihood_by_phase",
    "minimal_conflict",
    "possible_relations",
    "row",
    "row_for",
    "sequence",
    "why_bound",
]
