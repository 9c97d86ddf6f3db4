"""The store in one SQLite file, the default."""

import os
import time
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from contextlib import contextmanager, suppress
from itertools import chain
from pathlib import Path
from types import TracebackType
from typing import Any, Self

from ..errors import ArchiveUnusable, LedgerBroken, Refused
from ..ledger import (
    Act,
    Entry,
    Head,
    act_text,
    follow,
    nfc,
    open_text,
    seal_batch,
)
from ..record import fold_number
from ..state import HOME_WORDS, Change, change_of
from .archive_file import open_file, plain_errors, run_script, transaction
from .contract import Receipt, Report
from .derive import Reading, derive, derive_all
from .rules import must_be_as_seen, must_hold, must_say_each_key_once
from .sqlite_check import drop_derived, examine
from .sqlite_read import SqliteReader, with_arrays
from .statement import statements

_SQL = statements("write")


def now() -> int:
    """The clock of the machine, whole milliseconds since 1970 UTC."""
    return time.time_ns() // 1_000_000


class SqliteStore(SqliteReader):
    """An archive in one file; ``":memory:"`` keeps it in memory.

    The promises of each method are in ``contract.Store``. Beside the file lie a lock file
    and, while it is open, SQLite's own log; a disk of this machine is needed, since locks
    do not hold over a network. Several processes and threads may use one archive.

    Args:
        path: the file; where none is, an archive is created.
        change_of: what a version of a record adds to the graph.
        home_words: words by which a record belongs to what it points at.
        fold: the form of a number in which it is looked for.
        clock: record time, whole milliseconds since 1970 UTC.

    Raises:
        ArchiveUnusable: where the file is no archive, of another age, or not writable.
    """

    def __init__(
        self,
        path: str | Path,
        *,
        change_of: Callable[[str, str, Mapping[str, object]], Change] = change_of,
        home_words: frozenset[str] = HOME_WORDS,
        fold: Callable[[str], str] = fold_number,
        clock: Callable[[], int] = now,
    ) -> None:
        db, self._lock = open_file(str(path))
        super().__init__(db, str(path), Reading(change_of, home_words, fold))
        self._clock = clock

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
        with self._writing():
            first = self._receipt(batch)
            if first is not None:
                return first
            must_be_as_seen(self._ask, seen)
            sealed = seal_batch(self.head(), by, self._clock(), texts)
            self._keep(sealed)
            draft = derive(self._db, sealed, self._reading)
            must_hold(self._ask, sealed[0].seq, draft)
        last = sealed[-1]
        return Receipt(last.batch, last.batch, last.seq, last.at, last.seal, False)

    def take(self, entries: Iterable[Entry]) -> int:
        """Take over entries of another store to the letter; the number of new ones."""
        with self._writing():
            head, source = self.head(), iter(entries)
            rest = self._beyond(source, head)
            lots = derive_all(self._db, self._kept(follow(rest, head)), self._reading)
            return sum(len(lot) for lot in lots)

    def verify(
        self, *, anchors: Mapping[int, bytes] | None = None, deep: bool = False
    ) -> Report:
        """Check the chain; ``deep``: also build all derived tables again and compare."""
        with self._turn:
            return examine(self._db, self._reading, anchors or {}, deep)

    def rebuild(self) -> int:
        """Drop what is derived and derive it again; the number of entries read."""
        with self._writing():
            drop_derived(self._db)
            run_script(self._db, "derived")
            lots = derive_all(self._db, follow(self.entries()), self._reading)
            return sum(len(lot) for lot in lots)

    def backup(self, path: str | Path) -> None:
        """Write a copy of the archive to a file that does not exist yet.

        In one step: a copy in steps begins again with every write and may never end.
        """
        target = Path(path)
        part = target.with_name(target.name + ".part")
        if target.exists():
            raise Refused(f"{target} is there already; a backup never overwrites")
        if not target.absolute().parent.is_dir():
            raise ArchiveUnusable(f"{target}: there is no folder for the backup")
        part.unlink(missing_ok=True)
        try:
            with self._turn, plain_errors(str(target)):
                self._db.execute("VACUUM INTO ?", (str(part),))
            _to_disk(part)
            part.rename(target)
        except OSError as error:
            raise ArchiveUnusable(f"{target}: {error.strerror}") from error
        finally:
            part.unlink(missing_ok=True)

    def warm(self) -> None:
        """Nothing: a question of a file is as fast the first time."""

    def close(self) -> None:
        """Let go of files; the store is of no use afterwards. A second time is harmless."""
        with self._turn:
            self._db.close()
            self._lock.close()

    def __enter__(self) -> Self:
        return self

    def __exit__(
        self,
        kind: type[BaseException] | None,
        error: BaseException | None,
        trace: TracebackType | None,
    ) -> None:
        self.close()

    @contextmanager
    def _writing(self) -> Iterator[None]:
        """The writer's turn and one transaction; on disk when the block ends."""
        with self._turn, self._lock.held(), plain_errors(self._path), transaction(self._db):
            yield

    def _ask(self, name: str, asked: Mapping[str, object]) -> Sequence[Any]:
        return self._db.execute(_SQL[name], with_arrays(asked)).fetchall()

    def _receipt(self, batch: str | None) -> Receipt | None:
        """The receipt of the batch with this id, where there is one already."""
        if batch is None:
            return None
        rows = self._rows("batch", {"batch": nfc(batch)})
        if not rows:
            return None
        first, last, at, seal = rows[0]
        return Receipt(first, first, last, at, seal, repeated=True)

    def _keep(self, entries: Iterable[Entry]) -> None:
        rows = (
            (one.seq, one.batch, one.at, one.by, one.act, one.body, one.seal)
            for one in entries
        )
        self._db.executemany(_SQL["add_entry"], rows)

    def _kept(self, entries: Iterable[Entry]) -> Iterator[Entry]:
        for entry in entries:
            self._keep([entry])
            yield entry

    def _beyond(self, source: Iterator[Entry], head: Head) -> Iterator[Entry]:
        """The entries after ``head``; those before it must be the ones that are here."""
        for entry in source:
            if entry.seq > head.seq:
                yield from chain([entry], source)
                return
            if next(self.entries(entry.seq - 1, 1), None) != entry:
                raise LedgerBroken(entry.seq, "differs from the one that is here already")


def _to_disk(path: Path) -> None:
    """Have the system write a file out; SQLite does not for a copy that it makes."""
    with open(path, "rb+") as file:
        os.fsync(file.fileno())
    if hasattr(os, "O_DIRECTORY"):
        with suppress(OSError):  # some file systems cannot do it for a folder
            folder = os.open(path.absolute().parent, os.O_RDONLY | os.O_DIRECTORY)
            try:
                os.fsync(folder)
            finally:
                os.close(folder)
