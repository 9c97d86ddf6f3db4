"""From paper to the ledger: what a user's sheets say, with everything wrong in them."""

from .cell import clean_text, join_list, split_list
from .column import Column, columns_of, fold_head, heads_of
from .csv_table import csv_table
from .draft import Difference, Draft, Drafted, acts, draft, origin, place_of
from .filled_sheets import must_be_new, not_computed, write_csv_folder, write_workbook
from .lawfulness import problems_of, state_with
from .paper import Paper, Row, SheetRows
from .reading import read_papers
from .round_list import Line, Ticked, read_ids, read_list, write_list
from .template import write_template

__all__ = [
    "Column",
    "Difference",
    "Draft",
    "Drafted",
    "Line",
    "Paper",
    "Row",
    "SheetRows",
    "Ticked",
    "acts",
    "clean_text",
    "columns_of",
    "csv_table",
    "draft",
    "fold_head",
    "heads_of",
    "join_list",
    "must_be_new",
    "not_computed",
    "origin",
    "place_of",
    "problems_of",
    "read_ids",
    "read_list",
    "read_papers",
    "split_list",
    "state_with",
    "write_csv_folder",
    "write_list",
    "write_template",
    "write_workbook",
]
