"""Where the ledger is kept. Every store obeys the contract in contract.py."""

from .contract import Direction, Edge, Receipt, Report, Stated, Store
from .sqlite import SqliteStore, now

__all__ = [
    "Direction",
    "Edge",
    "Receipt",
    "Report",
    "SqliteStore",
    "Stated",
    "Store",
    "now",
]
