"""Derive the tables of the archive from entries of the ledger.

The same code serves a new batch, entries taken over from another store, and the rebuild:
what is derived depends on the entries alone, never on how they arrived.
"""

import json
import sqlite3
from collections import Counter
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import chain
from typing import Any

from ..errors import BadValue, Conflict, LedgerBroken, VestigeError
from ..ledger import Entry
from ..state import Change
from .statement import statements

STANDS = 9223372036854775807
"""In a column ``ended``: it still stands."""

_SQL = statements("write")


@dataclass(frozen=True, slots=True)
class Reading:
    """How a store reads the bodies of records.

    Attributes:
        change_of: what a version of a record adds to the graph, from kind, key and body.
        home_words: words by which a record belongs to what it points at.
        fold: the form of a number in which it is looked for.
    """

    change_of: Callable[[str, str, Mapping[str, object]], Change]
    home_words: frozenset[str]
    fold: Callable[[str], str]


Said = Mapping[str, Any]
"""The body of an entry, read back from its text."""


class Draft:
    """Rows that a lot of entries adds to what is derived, collected.

    As it stands it begins from nothing; a store's own draft knows what is there already.

    Attributes:
        borne: current numbers as written, by their folded form.
        gone: keys of the withdrawn records.
    """

    def __init__(self, reading: Reading) -> None:
        self._reading = reading
        self._ids: dict[str, Any] = {}  # what stands for a key in the store's rows
        self._standing: dict[str, tuple[int, str]] = {}  # version and kind, by key
        self._versions: dict[int, list[object]] = {}
        self._edges: dict[int, list[list[object]]] = {}  # by version
        self._numbers: list[tuple[str, int, int]] = []
        self._words: list[tuple[int, str, str, str]] = []
        self._ended: list[tuple[int, int]] = []
        self._batches: list[tuple[int, int, str]] = []
        self._last: dict[int, int] = {}  # last entry of a batch, by its first
        self._tally: Counter[str] = Counter()
        self.borne: dict[str, str] = {}
        self.gone: list[str] = []

    def add(self, entries: Sequence[Entry]) -> None:
        """Collect what these entries add; they follow what is in the tables."""
        said: list[tuple[Entry, Said]] = [(one, json.loads(one.body)) for one in entries]
        changes = [self._change(body) if one.act == "state" else None for one, body in said]
        self._intern(said, changes)
        keys = dict.fromkeys(body["key"] for _, body in said if "key" in body)
        self._standing = self._standing_of(list(keys))
        for (entry, body), change in zip(said, changes, strict=True):
            self._last[entry.batch] = entry.seq
            if entry.act != "open":
                self._end(entry, body)
            elif body["batch"] is not None:
                self._batches.append((entry.seq, entry.seq, body["batch"]))
            if change is not None:
                self._state(entry, body, change)

    def _standing_of(self, keys: list[str]) -> dict[str, tuple[int, str]]:
        """Version and kind of those of these records that stand."""
        return {}

    def _ids_of(self, keys: list[str]) -> dict[str, Any]:
        """What stands for each key in the rows; the key itself where a store has no id."""
        return dict(zip(keys, keys, strict=True))

    def _change(self, body: Said) -> Change:
        kind, key = body["kind"], body["key"]
        try:
            return self._reading.change_of(kind, key, body["body"])
        except VestigeError:
            raise
        except LookupError as error:
            raise BadValue(f"{key}: no record of the kind {kind!r} is known") from error
        except ValueError as error:
            raise BadValue(f"{key} is not a readable {kind}: {error}") from error

    def _intern(
        self, said: Sequence[tuple[Entry, Said]], changes: Sequence[Change | None]
    ) -> None:
        """A short number for every key that is mentioned, in the order of first mention."""
        keys: dict[str, None] = {}
        for (_, body), change in zip(said, changes, strict=True):
            if change is not None:
                keys[body["key"]] = None
                for link in change.links:
                    keys |= dict.fromkeys([link.src, link.dst])
                    keys |= {link.source: None} if link.source is not None else {}
        self._ids = self._ids_of(list(keys))

    def _end(self, entry: Entry, body: Said) -> None:
        """End the version that this entry replaces, which has to be the standing one."""
        key, wanted = body["key"], body["replaces"] or 0
        found, kind = self._standing.pop(key, (0, ""))
        if wanted != found or (entry.act == "withdraw" and not found):
            raise Conflict(key, wanted, found)
        if entry.act == "withdraw":
            self.gone.append(key)
        if not found:
            return
        self._tally[kind] -= 1
        if found in self._versions:  # stated and ended within one lot
            self._versions[found][-1] = entry.at
            for edge in self._edges[found]:
                edge[-1] = entry.at
        else:
            self._ended.append((entry.at, found))

    def _state(self, entry: Entry, body: Said, change: Change) -> None:
        seq, ids, fold = entry.seq, self._ids, self._reading.fold
        key, kind, record = body["key"], body["kind"], ids[body["key"]]
        self._standing[key] = (seq, kind)
        self._tally[kind] += 1
        self._versions[seq] = [seq, record, kind, change.label, entry.at, STANDS]
        self._words.append((seq, change.label, "\n".join(change.names), change.text))
        for place, name in enumerate(change.names):
            self._numbers.append((fold(name), seq, place))
        if change.names:
            self.borne[fold(change.names[0])] = change.names[0]
        self._edges[seq] = []
        for place, link in enumerate(dict.fromkeys(change.links)):
            source = None if link.source is None else ids[link.source]
            said = ids[link.src], link.word, ids[link.dst], link.earliest, link.latest
            self._edges[seq].append(
                [seq, place, record, *said, source, link.strength, STANDS]
            )


class _SqliteDraft(Draft):
    """A draft that begins from the tables of an SQLite archive and is written to them."""

    def __init__(self, db: sqlite3.Connection, reading: Reading) -> None:
        super().__init__(reading)
        self._db = db

    def _standing_of(self, keys: list[str]) -> dict[str, tuple[int, str]]:
        rows = self._db.execute(_SQL["standing_of"], {"keys": json.dumps(keys)})
        return {key: (seq, kind) for key, seq, kind in rows}

    def _ids_of(self, keys: list[str]) -> dict[str, Any]:
        asked = {"keys": json.dumps(keys)}
        self._db.execute(_SQL["add_records"], asked)
        return dict(self._db.execute(_SQL["ids_of"], asked).fetchall())

    def write(self) -> None:
        """Write what was collected, within the open transaction."""
        many = self._db.executemany
        many(_SQL["end_version"], self._ended)
        many(_SQL["end_edges"], self._ended)
        many(_SQL["add_version"], self._versions.values())
        many(_SQL["add_edge"], chain.from_iterable(self._edges.values()))
        many(_SQL["add_number"], self._numbers)
        many(_SQL["add_words"], self._words)
        many(_SQL["add_batch"], self._batches)
        many(_SQL["extend_batch"], [(last, first) for first, last in self._last.items()])
        many(_SQL["add_tally"], self._tally.items())
        self._db.execute(_SQL["drop_empty_tally"])


def derive(db: sqlite3.Connection, entries: Sequence[Entry], reading: Reading) -> Draft:
    """Write what these entries add to the derived tables, within the open transaction.

    Raises:
        Conflict: where a version is replaced or withdrawn that is not the standing one.
        BadValue: where a body cannot be read.
    """
    draft = _SqliteDraft(db, reading)
    draft.add(entries)
    draft.write()
    return draft


_UNFIT = (VestigeError, ValueError, LookupError, TypeError, sqlite3.IntegrityError)


def derive_all(
    db: sqlite3.Connection, entries: Iterable[Entry], reading: Reading, many: int = 5000
) -> Iterator[list[Entry]]:
    """Derive from a long run of entries, ``many`` at a time; yields each lot when done.

    Raises:
        LedgerBroken: at the first entry that does not fit the ones before; what was
            written by then has to be thrown away.
    """
    return in_lots(entries, lambda lot: derive(db, lot, reading), many)


def in_lots(
    entries: Iterable[Entry], add: Callable[[list[Entry]], object], many: int
) -> Iterator[list[Entry]]:
    """Have ``add`` derive from ``many`` entries at a time; see `derive_all`."""
    lot: list[Entry] = []
    for entry in chain(entries, [None]):
        if lot and (entry is None or len(lot) >= many):
            try:
                add(lot)
            except _UNFIT as error:
                raise _located(lot, add) from error
            yield lot
            lot = []
        if entry is not None:
            lot.append(entry)


def _located(lot: list[Entry], add: Callable[[list[Entry]], object]) -> LedgerBroken:
    """The error of a lot with the entry that causes it, found by going one by one."""
    for entry in lot:
        try:
            add([entry])
        except _UNFIT as error:
            return LedgerBroken(entry.seq, f"does not fit the ones before: {error}")
    return LedgerBroken(lot[0].seq, "or one soon after does not fit the ones before")
