"""The store on a Neo4j server, for institutions that work on one graph together.

Nothing here needs the enterprise edition. The ledger is kept entry by entry, sealed as in
every store; the graph beside it is derived and can be built again.
"""

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from itertools import chain
from pathlib import Path
from typing import Any, Self

from neo4j import ManagedTransaction, Transaction

from ..errors import ArchiveUnusable, LedgerBroken, Refused
from ..ledger import GENESIS, Act, Entry, Head, act_text, follow, nfc, open_text, seal_batch
from ..record import fold_number
from ..state import HOME_WORDS, Change, change_of
from .contract import Receipt, Report
from .derive import Reading, in_lots
from .neo4j_check import compare, examine
from .neo4j_draft import GraphDraft
from .neo4j_read import Neo4jReader
from .neo4j_server import Address, Server, must_be_supported, rows_of
from .rules import must_be_as_seen, must_hold, must_say_each_key_once
from .sqlite import SqliteStore, now
from .statement import statements

AGE = 1
"""Age of the graph's layout; raised whenever it changes."""

_READ = statements("neo4j_read", "cypher")
_WRITE = statements("neo4j_write", "cypher")
_SCHEMA = statements("neo4j_schema", "cypher")
_LOT = 5000
_INDEXED = 4 * 3600
"""Seconds that the first opening waits for the indexes of what an importer has written."""
_DERIVED = ("Version", "Record", "Number", "Batch", "Tally")

Turn = ManagedTransaction | Transaction


class Neo4jStore(Neo4jReader):
    """An archive on a server; the promises of each method are in ``contract.Store``.

    Threads and processes may share an archive: whoever writes holds its node until the
    transaction ends. A fault that passes (a leader that moves, a lock, a lost connection)
    is tried again for as long as the address says.

    Args:
        address: as `Address.read` reads it, or read already.
        change_of: what a version of a record adds to the graph.
        home_words: words by which a record belongs to what it points at.
        fold: the form of a number in which it is looked for.
        clock: record time, whole milliseconds since 1970 UTC.

    Raises:
        BadValue: for an address that is none.
        ArchiveUnusable: where no server answers, does not let one in, is too old, or
            holds a graph of another age.
    """

    def __init__(
        self,
        address: str | Address,
        *,
        change_of: Callable[[str, str, Mapping[str, object]], Change] = change_of,
        home_words: frozenset[str] = HOME_WORDS,
        fold: Callable[[str], str] = fold_number,
        clock: Callable[[], int] = now,
    ) -> None:
        where = Address.read(address) if isinstance(address, str) else address
        server = Server(where)
        super().__init__(server, where.archive, Reading(change_of, home_words, fold))
        self._clock = clock
        try:
            self._make_ready()
        except BaseException:
            self.close()
            raise

    def append(
        self,
        by: str,
        acts: Sequence[Act],
        *,
        based_on: Mapping[str, int] | None = None,
        batch: str | None = None,
        origin: Mapping[str, object] | None = None,
    ) -> Receipt:
        """Record a batch, all or nothing; the receipt means that it is on disk."""
        seen = {nfc(key): seq for key, seq in (based_on or {}).items()}
        texts = [open_text(batch, seen, origin), *map(act_text, acts)]
        must_say_each_key_once(acts)

        def work(turn: ManagedTransaction) -> Receipt:
            head = self._lock(turn)
            first = self._receipt(turn, batch)
            if first is not None:
                return first
            draft = self._draft(turn)
            must_be_as_seen(draft.ask, seen)
            sealed = seal_batch(head, by, self._clock(), texts)
            draft.add(sealed)
            draft.keep(sealed)
            draft.write()
            must_hold(draft.ask, sealed[0].seq, draft)
            last = sealed[-1]
            return Receipt(last.batch, last.batch, last.seq, last.at, last.seal, False)

        return self._server.change(work)

    def take(self, entries: Iterable[Entry]) -> int:
        """Take over entries of another store to the letter; the number of new ones.

        In one transaction, which the server holds in memory: hand over a long ledger in
        pieces, as ``vestige carry`` does.
        """
        with self._server.once() as turn:
            head, source = self._lock(turn), iter(entries)
            rest = follow(self._beyond(turn, source, head), head)
            lots = in_lots(rest, lambda lot: self._add(turn, lot), _LOT)
            return sum(len(lot) for lot in lots)

    def verify(
        self, *, anchors: Mapping[int, bytes] | None = None, deep: bool = False
    ) -> Report:
        """Check the chain; ``deep``: also derive everything again and compare.

        The whole ledger is held in memory meanwhile.
        """
        report, entries = examine(self.entries(), self.head(), anchors or {})
        if not deep or report.faults:
            return Report(report.entries, report.head, report.faults, deep)
        faults = compare(entries, self._ask, self._reading, self._divider, self._archive)
        return Report(report.entries, report.head, tuple(faults), True)

    def rebuild(self) -> int:
        """Drop what is derived and derive it again; the number of entries read."""
        with self._server.once() as turn:
            self._lock(turn)
            for label in _DERIVED:
                text = _WRITE["drop_nodes"].replace("%type%", label)
                rows_of(turn, text, {"archive": self._archive})
            kept = (Entry(*row) for row in self._in_turn(turn, 0, None))
            lots = in_lots(follow(kept), lambda lot: self._derive(turn, lot), _LOT)
            return sum(len(lot) for lot in lots)

    def backup(self, path: str | Path) -> None:
        """Write the archive to a file of the embedded store that does not exist yet.

        The server's own dump needs it to stand still; this does not, and the file is an
        archive that opens as it is.
        """
        target = Path(path)
        part = target.with_name(target.name + ".part")
        if target.exists():
            raise Refused(f"{target} is there already; a backup never overwrites")
        if not target.absolute().parent.is_dir():
            raise ArchiveUnusable(f"{target}: there is no folder for the backup")
        beside = [part.with_name(part.name + end) for end in ("", "-wal", "-shm", ".lock")]
        try:
            for one in beside:
                one.unlink(missing_ok=True)
            reading = self._reading
            with SqliteStore(
                part,
                change_of=reading.change_of,
                home_words=reading.home_words,
                fold=reading.fold,
            ) as copy:
                copy.take(self.entries())
            part.rename(target)
        except OSError as error:
            raise ArchiveUnusable(f"{target}: {error.strerror}") from error
        finally:
            for one in beside:
                one.unlink(missing_ok=True)

    def warm(self) -> None:
        """Have the server plan every question, so that the first person does not wait.

        A cold server takes up to seconds for the first call of a statement.
        """
        home = sorted(self._reading.home_words)
        for known in (None, 0):
            self.gather("", known)
            self.get([""], known)
            self.named("", known)
            self.of_kind("", known)
            self.latest("", 1, known)
            for direction in ("out", "in"):
                self.edges([""], None, direction, known)
                self.walk([""], home, direction, known=known)
        self.search("a")
        self.history("")
        self.tally()

    def close(self) -> None:
        """Let go of connections; the store is of no use afterwards."""
        self._server.close()
        self._divider.close()

    def __enter__(self) -> Self:
        return self

    def __exit__(self, *_: object) -> None:
        self.close()

    def _make_ready(self) -> None:
        """Make constraints, indexes and the archive's own node where they are not yet."""
        rows = self._server.ask(_WRITE["age"], {})
        if not rows:
            must_be_supported(self._server)
            for text in _SCHEMA.values():
                self._server.make(text)
            self._server.ask("CALL db.awaitIndexes($seconds)", {"seconds": _INDEXED})
            self._server.change(lambda turn: rows_of(turn, _WRITE["set_age"], {"age": AGE}))
        elif rows[0][0] != AGE:
            raise ArchiveUnusable(
                f"{self._server.address}: the graph is of age {rows[0][0]}, this Vestige"
                f" reads age {AGE}; carry it to a file with the Vestige that wrote it, and"
                " from there to an empty database with this one"
            )
        made = {"archive": self._archive, "seal": GENESIS}
        if not self._server.ask(_READ["is_there"], made):
            self._server.change(lambda turn: rows_of(turn, _WRITE["add_archive"], made))

    def _lock(self, turn: Turn) -> Head:
        """Hold the archive's node until the transaction ends; the end of the ledger."""
        rows = rows_of(turn, _WRITE["lock"], {"archive": self._archive})
        seq, seal, at = rows[0]
        return Head(seq, seal, at)

    def _draft(self, turn: Turn) -> GraphDraft:
        return GraphDraft(turn, self._reading, self._divider, self._archive)

    def _derive(self, turn: Turn, lot: Sequence[Entry]) -> None:
        draft = self._draft(turn)
        draft.add(lot)
        draft.write()

    def _add(self, turn: Turn, lot: Sequence[Entry]) -> None:
        draft = self._draft(turn)
        draft.add(lot)
        draft.keep(lot)
        draft.write()

    def _receipt(self, turn: Turn, batch: str | None) -> Receipt | None:
        if batch is None:
            return None
        asked = {"archive": self._archive, "batch": nfc(batch)}
        rows = rows_of(turn, _READ["batch"], asked)
        if not rows:
            return None
        first, last, at, seal = rows[0]
        return Receipt(first, first, last, at, seal, repeated=True)

    def _in_turn(self, turn: Turn, after: int, limit: int | None) -> Iterator[Any]:
        """Rows of entries as this transaction sees them, page by page."""
        left = 2**62 if limit is None else limit
        while left > 0:
            asked = {"archive": self._archive, "after": after, "limit": min(left, _LOT)}
            page = rows_of(turn, _READ["entries"], asked)
            yield from page
            if len(page) < min(left, _LOT):
                return
            after, left = page[-1][0], left - len(page)

    def _beyond(self, turn: Turn, source: Iterator[Entry], head: Head) -> Iterator[Entry]:
        """The entries after ``head``; those before it must be the ones that are here."""
        kept: Iterator[Any] = iter(())
        for entry in source:
            if entry.seq > head.seq:
                yield from chain([entry], source)
                return
            row = next(kept, None)
            if row is None or row[0] != entry.seq:
                kept = self._in_turn(turn, entry.seq - 1, None)
                row = next(kept, None)
            if row is None or Entry(*row) != entry:
                raise LedgerBroken(entry.seq, "differs from the one that is here already")

    def _ask(self, name: str, asked: Mapping[str, object]) -> list[list[Any]]:
        text = _READ.get(name) or _WRITE[name]
        return self._server.ask(text, {"archive": self._archive, **asked})
