"""A finding about data: what is wrong, where, and what would be right.

Findings are values, collected and shown together; exceptions are for wrong calls.
"""

from dataclasses import dataclass
from enum import StrEnum


class Weight(StrEnum):
    """How much a problem weighs."""

    ERROR = "error"
    QUERY = "query"  # may be right, but somebody should look


@dataclass(frozen=True, slots=True, order=True)
class Place:
    """Where in the user's papers a problem stands; empty where it does not apply.

    Attributes:
        file: name of the file, without its folder.
        sheet: name of the sheet, or of the section of a case file.
        row: row as the spreadsheet numbers it (the head is row 1), or line of the file.
        column: head of the column, as the user wrote it.
    """

    file: str = ""
    sheet: str = ""
    row: int = 0
    column: str = ""

    def __str__(self) -> str:
        parts = [self.file, self.sheet and f"sheet {self.sheet}"]
        parts += [f"row {self.row}" if self.row else ""]
        parts += [f"column {self.column}" if self.column else ""]
        return ", ".join(part for part in parts if part)


@dataclass(frozen=True, slots=True)
class Problem:
    """One finding.

    Attributes:
        code: short stable word for scripts, e.g. ``"dangling reference"``.
        wrong: what is wrong, one sentence.
        right: what would be right, one sentence; may be empty.
        place: where it stands.
        weight: an error stops the import, a query does not.
    """

    code: str
    wrong: str
    right: str = ""
    place: Place = Place()
    weight: Weight = Weight.ERROR

    def __str__(self) -> str:
        where = str(self.place)
        text = f"{where}: {self.wrong}" if where else self.wrong
        return f"{text} {self.right}" if self.right else text
