"""graph/reasoning."""

from .sequence import Before, Contradiction, Order, OrderRelation, Same, Sequence, sequence

__all__ = [
    "Before",
    "Contradiction",
    "Order",
    "OrderRelation",
    "Same",
    "Sequence",
    "sequence",
]
