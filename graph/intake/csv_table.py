"""A table as CSV that a spreadsheet opens without computing anything in it."""

import csv
import io
from collections.abc import Iterable, Sequence

from .filled_sheets import not_computed


def csv_table(heads: Sequence[str], rows: Iterable[Sequence[str]]) -> bytes:
    """The table as bytes.

    CSV after RFC 4180, UTF-8 with the mark by which spreadsheets know it; a cell that a
    spreadsheet would compute begins with an apostrophe (OWASP, "CSV Injection").

    >>> csv_table(["number", "note"], [["=1+1", "hinge"]]).decode("utf-8-sig")
    "number,note\\r\\n'=1+1,hinge\\r\\n"
    """
    out = io.StringIO(newline="")
    writer = csv.writer(out)
    writer.writerow([not_computed(head) for head in heads])
    writer.writerows([not_computed(cell) for cell in row] for row in rows)
    return out.getvalue().encode("utf-8-sig")
