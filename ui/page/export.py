"""Tables as CSV files that a spreadsheet opens without running anything in them."""

import csv
import io
from collections.abc import Iterable, Sequence

RUNS = ("=", "+", "-", "@", "\t", "\r", "\n")
"""What a cell begins with that a spreadsheet takes for a formula, or hides one behind.

Source: OWASP, "CSV Injection" (equals, plus, minus, at, tab, carriage return).
"""


def harmless(cell: str) -> str:
    """A cell that no spreadsheet takes for a formula.

    >>> harmless("=1+1")
    "'=1+1"
    >>> harmless("hinge set H3")
    'hinge set H3'
    """
    return "'" + cell if cell.lstrip(" ").startswith(RUNS) else cell


def csv_bytes(heads: Sequence[str], rows: Iterable[Sequence[str]]) -> bytes:
    """A table as CSV (RFC 4180), UTF-8 with the mark by which spreadsheets know it."""
    out = io.StringIO(newline="")
    writer = csv.writer(out)
    writer.writerow([harmless(one) for one in heads])
    writer.writerows([harmless(one) for one in row] for row in rows)
    return out.getvalue().encode("utf-8-sig")
