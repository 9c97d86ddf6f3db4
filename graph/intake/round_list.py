"""The list of a manifest or an audit as a CSV file: written from records, read back ticked.

The list is a sheet of its own and no sheet of records: its rows say what came of looking
for each thing. Texts that a spreadsheet would compute bear an apostrophe (OWASP, "CSV
Injection"), which is taken off again on reading.
"""

import csv
import io
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, fields
from pathlib import Path
from typing import Final

from ..errors import BadValue, Refused
from ..problem import Place, Problem, Weight
from ..record import Seen, read_word
from .column import fold_head
from .csv_folder import SEPARATORS, plain
from .filled_sheets import must_be_new, not_computed

HEADS: Final = (
    "number", "label code", "what it is", "recorded in", "taken from", "last seen",
    "cautions and requirements", "result", "seen in", "note",
)  # fmt: skip
TICKS: Final = {"x": Seen.SEEN, "✓": Seen.SEEN, "✔": Seen.SEEN, "y": Seen.SEEN,
                "n": Seen.NOT_SEEN, "-": Seen.NOT_SEEN, "elsewhere": Seen.ELSEWHERE,
                "unidentified": Seen.UNIDENTIFIED}  # fmt: skip
MOST_ROWS: Final = 100_000


@dataclass(frozen=True, slots=True)
class Line:
    """One line of a list as it is printed.

    Attributes:
        number: number of the thing.
        code: code of its label.
        what: what it is.
        recorded_in: where the record has it, from the nearest holder outwards.
        taken_from: what it was taken from.
        last_seen: when it was last seen, by whom, and whether itself or its holder.
        cautions: hazards, restrictions and requirements of it and of what lies in it.
    """

    number: str
    code: str
    what: str
    recorded_in: str
    taken_from: str
    last_seen: str
    cautions: str


@dataclass(frozen=True, slots=True)
class Ticked:
    """One line of a list that came back.

    Attributes:
        place: where it stands.
        number: number or label code of the thing, as written.
        seen: what came of looking for it; None where the cell is empty: nobody ticked it.
        where: number of the place that it was seen in; None where none is given.
    """

    place: Place
    number: str
    seen: Seen | None
    where: str | None
    note: str | None


def write_list(lines: Iterable[Line], path: Path) -> None:
    """Write a list to be ticked (UTF-8 with a mark, so that spreadsheets know it).

    Raises:
        Refused: there is such a file already.
    """
    must_be_new(path)
    with path.open("w", encoding="utf-8-sig", newline="") as file:
        writer = csv.writer(file)
        writer.writerow(HEADS)
        for line in lines:
            said = [getattr(line, one.name) for one in fields(line)]
            writer.writerow([*map(not_computed, said), "", "", ""])


def read_list(path: Path) -> tuple[tuple[Ticked, ...], tuple[Problem, ...]]:
    """Read a list that came back, and everything in it that cannot be read.

    Raises:
        Refused: the file is no text or has no column 'number'.
    """
    rows = _rows(path)
    head, heads = next(
        (
            (at, cells)
            for at, (_, cells) in enumerate(rows)
            if "number" in map(fold_head, cells)
        ),
        (0, []),
    )
    if not heads:
        raise Refused(
            f"{path.name} has no column 'number': a list has the heads "
            f"{', '.join(HEADS)}; 'number' is needed"
        )
    columns = {fold_head(cell): at for at, cell in reversed(list(enumerate(heads)))}
    found: list[Ticked] = []
    problems: list[Problem] = []
    first: dict[str, int] = {}
    for row, cells in rows[head + 1 :]:
        said = {name: cells[at].strip() for name, at in columns.items() if at < len(cells)}
        place = Place(path.name, "", row, "result")
        if not said.get("number"):
            continue
        seen, wrong = _result(said.get("result", ""), place)
        problems += wrong
        problems += _twice(said["number"], first, place)
        found.append(
            Ticked(
                place,
                said["number"],
                seen,
                said.get("seen in") or None,
                said.get("note") or None,
            )
        )
    return tuple(found), tuple(problems)


def read_ids(path: Path) -> tuple[str, ...]:
    """The numbers of a list: its column 'number', or else the first cell of each row."""
    rows = _rows(path)
    if any("number" in map(fold_head, cells) for _, cells in rows):
        return tuple(one.number for one in read_list(path)[0])
    return tuple(cells[0].strip() for _, cells in rows if cells and cells[0].strip())


def _result(text: str, place: Place) -> tuple[Seen | None, list[Problem]]:
    if not text:
        return None, []
    word = TICKS.get(text.casefold()) or read_word(Seen, text)
    if word is not None and word is not Seen.LISTED:
        return word, []
    right = (
        "Write seen, not seen, seen elsewhere or cannot be identified; or leave it empty."
    )
    return None, [
        Problem("bad word", f"'{text[:60]}' is no result of a look.", right, place)
    ]


def _twice(number: str, first: dict[str, int], place: Place) -> list[Problem]:
    folded = number.casefold()
    if folded not in first:
        first[folded] = place.row
        return []
    wrong = f"'{number}' stands in row {first[folded]} already."
    return [Problem("row twice", wrong, "Delete one of the rows.", place, Weight.ERROR)]


def _rows(path: Path) -> list[tuple[int, Sequence[str]]]:
    data = path.read_bytes()
    if b"\0" in data or data.startswith(b"PK\x03\x04"):
        raise Refused(f"{path.name} is no CSV file; save it as CSV UTF-8")
    try:
        text = data.decode("utf-8-sig")
    except UnicodeDecodeError:
        text = data.decode("cp1252", errors="replace")
    first = text.splitlines()[0] if text.strip() else ""
    separator = max(SEPARATORS, key=first.count)
    reader = csv.reader(io.StringIO(text, newline=""), delimiter=separator)
    rows: list[tuple[int, Sequence[str]]] = [
        (number, [plain(cell) for cell in cells])
        for number, cells in enumerate(reader, 1)
        if any(cells)
    ]
    if len(rows) > MOST_ROWS:
        raise BadValue(f"{path.name} has more than {MOST_ROWS:,} rows; divide it")
    return rows
