"""Write an archive as tables for the server's own importer.

A first load of millions through transactions takes hours; ``neo4j-admin database import``
writes the server's files itself, while the server stands still, into an empty database.
The community edition has it. What the tables hold is what `GraphRows` would have written,
so the archive that comes of them is the one that a carry would have made: the carry given
afterwards compares the ends of the two ledgers, and takes what was recorded since.
"""

import json
import shlex
from collections.abc import Iterator, Mapping, Sequence
from contextlib import ExitStack
from dataclasses import dataclass
from pathlib import Path
from typing import Any, Final, TextIO

from ..errors import ArchiveUnusable, BadValue, Refused
from ..ledger import Entry, Head
from .contract import Store
from .derive import STANDS, Reading
from .neo4j_draft import GraphRows
from .neo4j_words import Divider

_LOT: Final = 5000
_BETWEEN: Final = "\x1f"
"""Stands between the members of a list; a key that holds it cannot be written so."""
_BYTE: Final = tuple(str(one - 256 if one > 127 else one) for one in range(256))

_COLUMNS: Final[Mapping[str, str]] = {
    "Archive": "name seq:long seal:byte[] at:long turn:long",
    "Entry": "archive seq:long batch:long at:long role act body seal:byte[]",
    "Version": "archive seq:long key kind at:long label ended:long open label_words"
    " number_words text_words begins:string[] ends:string[]",
    "Record": "key:ID archive",
    "Number": "archive folded seq:long place:long",
    "Batch": "archive id first:long last:long",
    "Tally": "archive kind standing:long",
}
_EDGE: Final = (
    ":START_ID :END_ID :TYPE seq:long record at:long ended:long place:long word"
    " earliest:long latest:long source strength role"
)


@dataclass(frozen=True, slots=True)
class Tables:
    """The tables that were written.

    Attributes:
        folder: where they are.
        head: end of the ledger that they hold.
        edges: number of relationships.
        lines: whether a field goes over several lines, which the importer has to be told.
    """

    folder: Path
    head: Head
    edges: int
    lines: bool

    def command(self, database: str = "neo4j") -> str:
        """What to run on the server's machine while the server stands still."""
        nodes = [f"--nodes={name}={self.folder / name.lower()}.csv" for name in _COLUMNS]
        asked = [
            "neo4j-admin", "database", "import", "full", database,
            "--array-delimiter=U+001F", "--bad-tolerance=0",
            f"--multiline-fields={str(self.lines).lower()}",
            *nodes, f"--relationships={self.folder / 'edge.csv'}",
        ]  # fmt: skip
        return shlex.join(asked)


class _Ends:
    """When each version that no longer stands ended, and which records came back."""

    def __init__(self, entries: Iterator[Entry]) -> None:
        self.at: dict[int, int] = {}
        self.gone: set[str] = set()
        for entry in entries:
            if entry.act == "open":
                continue
            body = json.loads(entry.body)
            if body["replaces"]:
                self.at[body["replaces"]] = entry.at
            if entry.act == "withdraw":
                self.gone.add(body["key"])


class _Lot(GraphRows):
    """What one lot of a whole ledger adds, with the end of each version known before."""

    def __init__(
        self, reading: Reading, divider: Divider, archive: str,
        ends: _Ends, standing: dict[str, tuple[int, str]],
    ) -> None:  # fmt: skip
        super().__init__(reading, divider, archive)
        self._ends, self._before = ends, standing

    def add(self, entries: Sequence[Entry]) -> None:
        super().add(entries)
        for seq, row in self._versions.items():
            row[-1] = self._ends.at.get(seq, STANDS)
            for edge in self._edges[seq]:
                edge[-1] = row[-1]
        for key, (seq, kind) in self._standing.items():
            if seq in self._ends.at:  # it will be asked for again
                self._before[key] = seq, kind

    def _standing_of(self, keys: list[str]) -> dict[str, tuple[int, str]]:
        """Each is asked for once: whatever ends it or follows it is in this lot."""
        return {key: self._before.pop(key) for key in keys if key in self._before}

    def lasts(self) -> dict[int, int]:
        """Last entry of each batch so far, by its first."""
        return self._last


class _Writer:
    """Files of one folder, a line for each row."""

    def __init__(self, folder: Path, stack: ExitStack) -> None:
        self.edges, self.lines = 0, False
        self._files: dict[str, TextIO] = {}
        self._names: dict[str, tuple[str, ...]] = {}
        for name, columns in {**_COLUMNS, "Edge": _EDGE}.items():
            path = folder / f"{name.lower()}.csv"
            file = stack.enter_context(path.open("x", encoding="utf-8", newline=""))
            file.write(columns.replace(" ", ",") + "\n")
            self._files[name] = file
            self._names[name] = tuple(one.partition(":")[0] for one in columns.split())

    def rows(self, name: str, rows: Sequence[Mapping[str, Any]]) -> None:
        """Write rows; what a row does not have is left empty."""
        names = self._names[name]
        self._put(name, ([row.get(one) for one in names] for row in rows))

    def edges_of(self, sorts: Mapping[str, Sequence[Mapping[str, Any]]]) -> None:
        """Write relationships, by type."""
        names = self._names["Edge"][3:]
        for sort, rows in sorts.items():
            self.edges += len(rows)
            self._put("Edge", (
                [row["src"], row["dst"], sort, *map(row["said"].get, names)]
                for row in rows
            ))  # fmt: skip

    def _put(self, name: str, rows: Iterator[list[Any]]) -> None:
        lines = [",".join(map(_cell, row)) + "\n" for row in rows]
        text = "".join(lines)
        self._files[name].write(text)
        self.lines = self.lines or "\r" in text or text.count("\n") != len(lines)


def _cell(value: Any) -> str:
    """One field; text always in quotes, so that an empty text is not taken for none."""
    if isinstance(value, str):
        return '"' + value.replace('"', '""') + '"'
    if value is None:
        return ""
    if isinstance(value, int):
        return str(value)
    if isinstance(value, bytes):
        return _BETWEEN.join([_BYTE[one] for one in value])
    if any(_BETWEEN in one for one in value):
        raise BadValue(
            f"{value!r}: a key with the character U+001F cannot be written for the"
            " importer; carry without it"
        )
    return _cell(_BETWEEN.join(value)) if value else ""


def write_tables(source: Store, folder: Path, archive: str, reading: Reading) -> Tables:
    """Write the whole ledger of a store, and what follows from it, as tables.

    Read twice, a lot at a time: memory grows with what was corrected, not with the whole.

    Args:
        source: store that is read; what is recorded meanwhile is left for the carry.
        folder: new or empty folder for the tables.
        archive: name that the archive is to have on the server.
        reading: how the bodies are read.

    Raises:
        Refused: where the folder holds something.
        BadValue: where a key cannot be written into a table.
        ArchiveUnusable: where the folder cannot be written.
    """
    head = source.head()
    try:
        folder.mkdir(parents=True, exist_ok=True)
        if any(folder.iterdir()):
            raise Refused(f"{folder} is not empty; name a new folder for the tables")
        with ExitStack() as stack:
            out = _Writer(folder, stack)
            _write(source, head, archive, reading, out)
    except OSError as error:
        raise ArchiveUnusable(f"{folder}: {error.strerror}") from error
    return Tables(folder, head, out.edges, out.lines)


def _write(source: Store, head: Head, archive: str, reading: Reading, out: _Writer) -> None:
    ends, written = _Ends(source.entries(0, head.seq)), set[str]()
    standing: dict[str, tuple[int, str]] = {}
    tally: dict[str, int] = {}
    batch: dict[str, Any] = {}
    divider, at = Divider(), 0
    while at < head.seq:
        lot = list(source.entries(at, min(_LOT, head.seq - at)))
        at = lot[-1].seq
        rows = _Lot(reading, divider, archive, ends, standing)
        rows.add(lot)
        out.rows("Entry", [_entry(one, archive) for one in lot])
        out.rows("Version", rows.versions())
        out.rows("Record", _first_said(lot, ends.gone, written, archive))
        out.rows("Number", rows.numbers())
        out.edges_of(rows.edges())
        for one in rows.tally():
            tally[one["kind"]] = tally.get(one["kind"], 0) + one["more"]
        batch = _batches(rows, batch, archive, out)
    divider.close()
    out.rows("Batch", [batch] if batch else [])
    named = [{"archive": archive, "kind": k, "standing": n} for k, n in tally.items() if n]
    out.rows("Tally", named)
    end = {"name": archive, "seq": head.seq, "seal": head.seal, "at": head.at, "turn": 0}
    out.rows("Archive", [end])


def _entry(one: Entry, archive: str) -> dict[str, Any]:
    return {"archive": archive, "seq": one.seq, "batch": one.batch, "at": one.at,
            "role": one.by, "act": one.act, "body": one.body, "seal": one.seal}  # fmt: skip


def _first_said(
    lot: Sequence[Entry], gone: set[str], written: set[str], archive: str
) -> list[dict[str, Any]]:
    """Records that were not there before: every edge ends at one that is stated."""
    found = []
    for entry in lot:
        if entry.act != "state":
            continue
        body = json.loads(entry.body)
        if body["replaces"] or body["key"] in written:
            continue
        found.append({"archive": archive, "key": body["key"]})
        if body["key"] in gone:  # withdrawn, it may be stated anew
            written.add(body["key"])
    return found


def _batches(
    rows: _Lot, open_one: dict[str, Any], archive: str, out: _Writer
) -> dict[str, Any]:
    """Write the batches that are whole; the last one may go on in the next lot."""
    ends = rows.lasts()
    found = [open_one] if open_one else []
    found += [{"archive": archive, **one} for one in rows.batches()]
    for one in found:
        one["last"] = ends.get(one["first"], one["last"])
    out.rows("Batch", found[:-1])
    return found[-1] if found else {}
