"""Where the ledger is kept. Every store obeys the contract in contract.py."""

from .contract import Direction, Edge, Receipt, Report, Stated, Store

__all__ = ["Direction", "Edge", "Receipt", "Report", "Stated", "Store"]
