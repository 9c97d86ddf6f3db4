"""From paper to the ledger: what a user's sheets say, with everything wrong in them."""

from .draft import Difference, Draft, Drafted, acts, draft, origin, place_of
from .paper import Paper, Row, SheetRows
from .reading import read_papers

__all__ = [
    "Difference",
    "Draft",
    "Drafted",
    "Paper",
    "Row",
    "SheetRows",
    "acts",
    "draft",
    "origin",
    "place_of",
    "read_papers",
]
