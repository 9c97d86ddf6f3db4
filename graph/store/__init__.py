"""Where the ledger is kept. Every store obeys the contract in contract.py."""

from .carrying import Carried, carry
from .contract import Direction, Edge, Receipt, Report, Stated, Store
from .nesting import inwards, outwards
from .opening import is_address, on_server
from .sqlite import SqliteStore, now

__all__ = [
    "Carried",
    "Direction",
    "Edge",
    "Receipt",
    "Report",
    "SqliteStore",
    "Stated",
    "Store",
    "carry",
    "inwards",
    "is_address",
    "now",
    "on_server",
    "outwards",
]
