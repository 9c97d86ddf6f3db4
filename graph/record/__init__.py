"""graph/record."""

from .dating import Edtf, Order, compare
from .daycount import date_of, day_of, iso, month_length

__all__ = [
    "Edtf",
    "Order",
    "compare",
    "date_of",
    "day_of",
    "iso",
    "month_length",
]
