"""Where the ledger is kept. Every store obeys the contract in contract.py."""

from .contract import Direction, Edge, Receipt, Report, Stated, Store
from .nesting import inwards, outwards
from .sqlite import SqliteStore, now

__all__ = [
    "Direction",
    "Edge",
    "Receipt",
    "Report",
    "SqliteStore",
    "Stated",
    "Store",
    "inwards",
    "now",
    "outwards",
]
