"""Find out whether an archive is as it was recorded.

The chain shows whether the ledger is. Whether the derived tables are, only a rebuild can
show: every one of them is built again from the ledger in a file of its own and compared
row by row, the index of words by its vocabulary and by what it finds.
"""

import re
import sqlite3
from collections.abc import Callable, Iterator, Mapping
from contextlib import closing, suppress
from typing import Any

from ..errors import LedgerBroken
from ..ledger import Entry, Fault, Head, faults_of
from .archive_file import run_script
from .contract import Report
from .derive import Reading, derive_all

_TABLES = {  # columns of the key come first
    "batch": "first, last, id",
    "record": "id, key",
    "version": "seq, record, kind, label, at, ended",
    "number": "folded, seq, place",
    "edge": "seq, place, record, src, word, dst, earliest, latest, source, strength, ended",
    "tally": "kind, standing",
}
_KEYS = {"number": 3, "edge": 2}
_BY_ENTRY = {"version": 0, "edge": 0, "number": 1, "batch": 0}
_COMMENT = re.compile(r"--[^\n]*")
_SHOWN = 20


def drop_derived(db: sqlite3.Connection) -> None:
    """Drop every derived table, within the open transaction."""
    for name in [*_TABLES, "words"]:
        db.execute(f"DROP TABLE IF EXISTS {name}")


def examine(
    db: sqlite3.Connection, reading: Reading, anchors: Mapping[int, bytes], deep: bool
) -> Report:
    """Check the chain and the anchors; ``deep``: everything else too.

    Damage is reported, never raised. A ledger that does not hold is not rebuilt: its own
    faults are the answer.
    """
    usual = db.text_factory
    db.text_factory = lambda raw: raw.decode("utf-8", "surrogateescape")
    db.execute("BEGIN")  # one view of the file, while others go on writing
    try:
        head, faults, entries = _ledger(db, anchors)
        if deep:
            faults += _pages(db)
        if deep and not faults:
            faults += _derived(db, reading)
    finally:
        db.text_factory = usual
        with suppress(sqlite3.DatabaseError):  # nothing was written
            db.execute("ROLLBACK")
    return Report(entries, head, tuple(faults), deep)


def _ledger(
    db: sqlite3.Connection, anchors: Mapping[int, bytes]
) -> tuple[Head, list[Fault], int]:
    read = _Reader(db)
    head, faults = faults_of(read, anchors)
    if read.damage:
        faults.append(Fault(head.seq + 1, f"cannot be read from here on: {read.damage}"))
    return head, faults, read.count


class _Reader:
    """Entries as far as the file can be read, and what stopped it."""

    def __init__(self, db: sqlite3.Connection) -> None:
        self._db, self.damage, self.count = db, "", 0

    def __iter__(self) -> Iterator[Entry]:
        try:
            rows = self._db.execute(
                "SELECT seq, batch, at, role, act, body, seal FROM entry ORDER BY seq"
            )
            for row in rows:
                self.count += 1
                yield _entry(row)
        except sqlite3.DatabaseError as error:
            self.damage = str(error)


def _entry(row: tuple[Any, ...]) -> Entry:
    """An entry whose values have their types, even where damage gave them others."""
    seq, batch, at = (value if isinstance(value, int) else 0 for value in row[:3])
    by, act, body = (value if isinstance(value, str) else "" for value in row[3:6])
    return Entry(
        seq, batch, at, by, act, body, row[6] if isinstance(row[6], bytes) else b""
    )


def _pages(db: sqlite3.Connection) -> list[Fault]:
    """SQLite's own check of pages and indexes."""
    try:
        rows = db.execute(f"PRAGMA integrity_check({_SHOWN})").fetchall()
    except sqlite3.DatabaseError as error:
        return [Fault(0, f"the file: {error}")]
    return [Fault(0, f"the file: {row[0]}") for row in rows if row[0] != "ok"]


def _derived(db: sqlite3.Connection, reading: Reading) -> list[Fault]:
    """Build everything derived again, beside the archive, and compare."""
    with closing(sqlite3.connect("", isolation_level=None)) as fresh:
        run_script(fresh, "ledger")
        run_script(fresh, "derived")
        fresh.execute("BEGIN")
        try:
            for _ in derive_all(fresh, _Reader(db), reading):
                pass
        except LedgerBroken as error:
            return [Fault(error.number, error.reason)]
        finally:
            fresh.execute("COMMIT")
        faults: list[Fault] = []
        for compare in (_compare_layout, _compare_tables, _compare_words):
            faults += _without_raising(compare, db, fresh)
        return faults


def _without_raising(
    compare: Callable[[sqlite3.Connection, sqlite3.Connection], list[Fault]],
    db: sqlite3.Connection,
    fresh: sqlite3.Connection,
) -> list[Fault]:
    try:
        return compare(db, fresh)
    except (sqlite3.DatabaseError, ValueError, TypeError) as error:
        return [Fault(0, f"a derived table cannot be read: {error}")]


def _compare_layout(db: sqlite3.Connection, fresh: sqlite3.Connection) -> list[Fault]:
    """Tables, indexes and triggers as they were made; statistics are not wanted."""
    found, due = _layout(db), _layout(fresh)
    odd = sorted(
        name for name in found.keys() | due.keys() if found.get(name) != due.get(name)
    )
    return [Fault(0, f"the {name} of the file is not as it was made") for name in odd]


def _layout(db: sqlite3.Connection) -> dict[str, str]:
    """The statement that made each thing in the file, without comments and spacing."""
    rows = db.execute("SELECT type || ' ' || name, coalesce(sql, '') FROM sqlite_master")
    return {name: " ".join(_COMMENT.sub("", sql).split()) for name, sql in rows}


def _compare_tables(db: sqlite3.Connection, fresh: sqlite3.Connection) -> list[Fault]:
    faults: list[Fault] = []
    for name, columns in _TABLES.items():
        width = _KEYS.get(name, 1)
        order = ", ".join(columns.split(", ")[:width])
        asked = f"SELECT {columns} FROM {name} NOT INDEXED ORDER BY {order}"
        for key, what in _differences(db.execute(asked), fresh.execute(asked), width):
            seq = key[_BY_ENTRY[name]] if name in _BY_ENTRY else 0
            at = ", ".join(map(str, key))
            faults.append(Fault(seq, f"the table {name!r} {what} ({at})"))
            if len(faults) == _SHOWN:
                return faults
    return faults


def _differences(
    found: Iterator[tuple[Any, ...]], due: Iterator[tuple[Any, ...]], width: int
) -> Iterator[tuple[tuple[Any, ...], str]]:
    """Go along two ordered runs of rows; name the rows in which they differ."""
    mine, other = next(found, None), next(due, None)
    while mine is not None or other is not None:
        here = mine[:width] if mine else None
        there = other[:width] if other else None
        if here == there and here is not None:
            if mine != other:
                yield here, "differs from what the ledger says"
            mine, other = next(found, None), next(due, None)
        elif there is None or (here is not None and here < there):
            assert here is not None
            yield here, "has a row of which the ledger knows nothing"
            mine = next(found, None)
        else:
            yield there, "lacks a row that the ledger gives"
            other = next(due, None)


def _compare_words(db: sqlite3.Connection, fresh: sqlite3.Connection) -> list[Fault]:
    """The vocabulary of the index, and for every word how many versions it finds."""
    for one in (db, fresh):
        one.execute("DROP TABLE IF EXISTS temp.vocabulary")
        one.execute(
            "CREATE VIRTUAL TABLE temp.vocabulary USING fts5vocab (main, words, instance)"
        )
    try:
        return _compare_vocabulary(db, fresh)
    finally:
        for one in (db, fresh):
            one.execute("DROP TABLE temp.vocabulary")


def _compare_vocabulary(db: sqlite3.Connection, fresh: sqlite3.Connection) -> list[Fault]:
    asked = "SELECT term, doc, col, offset FROM temp.vocabulary"
    faults: list[Fault] = []
    terms: dict[str, None] = {}
    found, due = db.execute(asked), fresh.execute(asked)
    for mine, other in _side_by_side(found, due):
        if mine != other:
            _, seq = min(row[:2] for row in (mine, other) if row is not None)
            return [Fault(seq, "the index of words differs from what the ledger says")]
        terms[other[0]] = None
    count = "SELECT count(*), sum(rowid) FROM words WHERE words MATCH ?"
    for term in terms:
        quoted = ('"' + term.replace('"', '""') + '"',)
        if db.execute(count, quoted).fetchone() != fresh.execute(count, quoted).fetchone():
            faults.append(Fault(0, f"the index of words does not find {term!r} rightly"))
    return faults[:_SHOWN]


def _side_by_side(
    found: Iterator[tuple[Any, ...]], due: Iterator[tuple[Any, ...]]
) -> Iterator[tuple[Any, Any]]:
    while True:
        mine, other = next(found, None), next(due, None)
        if mine is None and other is None:
            return
        yield mine, other
