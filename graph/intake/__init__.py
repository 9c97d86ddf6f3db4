"""From paper to the ledger: what a user's sheets say, with everything wrong in them."""

from .draft import Difference, Draft, Drafted, acts, draft, origin, place_of
from .filled_sheets import write_csv_folder, write_workbook
from .paper import Paper, Row, SheetRows
from .reading import read_papers
from .template import write_template

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
    "write_csv_folder",
    "write_template",
    "write_workbook",
]
