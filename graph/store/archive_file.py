"""The file of an archive: opened or created, of the right age, one writer at a time.

SQLite lets several processes write by turns, but whoever waits asks again and again and
may go hungry (measured: seconds). A lock file in front makes them queue.
"""

import os
import sqlite3
import sys
import threading
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import IO

from ..errors import ArchiveUnusable
from .statement import script

APPLICATION = int.from_bytes(b"VSTG", "big")
"""Mark of an archive in the head of the file (SQLite's application_id)."""

AGE = 1
"""Age of the tables (SQLite's user_version); raised whenever they change."""

MEMORY = ":memory:"

_SETTINGS = (
    "PRAGMA synchronous = FULL",  # a receipt means that it is on disk
    "PRAGMA fullfsync = ON",  # on macOS a plain fsync stays in the drive
    "PRAGMA cache_size = -65536",
    "PRAGMA cell_size_check = ON",
    "PRAGMA trusted_schema = OFF",
    "PRAGMA busy_timeout = 30000",
)

_PLAIN = {
    "SQLITE_FULL": "the disk is full; nothing of this was recorded",
    "SQLITE_BUSY": "another program holds the file; close it and try again",
    "SQLITE_LOCKED": "another program holds the file; close it and try again",
    "SQLITE_READONLY": "the file or its folder cannot be written",
    "SQLITE_CANTOPEN": "the file cannot be opened; an archive needs a folder that may be"
    " read and written",
    "SQLITE_NOTADB": "the file is not an archive of Vestige",
    "SQLITE_CORRUPT": "the file is damaged; verify it, or go back to a backup",
    "SQLITE_IOERR": "the disk gave an error while reading or writing",
}


@contextmanager
def plain_errors(path: str) -> Iterator[None]:
    """Turn errors of the database into ArchiveUnusable, with the file and the remedy."""
    try:
        yield
    except UnicodeDecodeError as error:  # of a text in it, or of what SQLite says of it
        raise ArchiveUnusable(f"{path}: {_PLAIN['SQLITE_CORRUPT']}") from error
    except sqlite3.DatabaseError as error:
        code = getattr(error, "sqlite_errorname", "")
        for name, text in _PLAIN.items():
            if code.startswith(name):
                raise ArchiveUnusable(f"{path}: {text} ({error})") from error
        raise ArchiveUnusable(f"{path}: the database answers: {error}") from error


class WriteLock:
    """Lets one writer in at a time, over threads and processes; the others queue.

    Kept by the operating system: it falls open when the process ends, however it ends.
    """

    def __init__(self, path: str) -> None:
        self._turn = threading.Lock()
        self._file: IO[bytes] | None = None
        if path != MEMORY:
            try:
                self._file = open(f"{path}.lock", "ab")  # noqa: SIM115 - kept open
            except OSError as error:
                raise ArchiveUnusable(
                    f"{path}: its folder cannot be written ({error.strerror}); an archive"
                    " needs a folder that may be read and written, so copy it to one"
                ) from None

    @contextmanager
    def held(self) -> Iterator[None]:
        """Wait for the turn, keep it for the block."""
        with self._turn:
            if self._file is None:
                yield
                return
            _lock(self._file)
            try:
                yield
            finally:
                _unlock(self._file)

    def close(self) -> None:
        """Let go of the lock file."""
        if self._file is not None:
            self._file.close()


if sys.platform == "win32":
    import msvcrt

    def _lock(file: IO[bytes]) -> None:
        file.seek(0)
        while True:  # LK_LOCK gives up after ten seconds
            try:
                msvcrt.locking(file.fileno(), msvcrt.LK_LOCK, 1)
            except OSError:
                time.sleep(0.05)
            else:
                return

    def _unlock(file: IO[bytes]) -> None:
        file.seek(0)
        msvcrt.locking(file.fileno(), msvcrt.LK_UNLCK, 1)

else:
    import fcntl

    def _lock(file: IO[bytes]) -> None:
        fcntl.flock(file, fcntl.LOCK_EX)

    def _unlock(file: IO[bytes]) -> None:
        fcntl.flock(file, fcntl.LOCK_UN)


def open_file(path: str) -> tuple[sqlite3.Connection, WriteLock]:
    """Open an archive, or create one where no file (or an empty one) is.

    A file of another program is not touched.

    Raises:
        ArchiveUnusable: where the folder is missing or cannot be written, the file is
            no archive, or its tables are of another age.
    """
    _must_be_reachable(path)
    with plain_errors(path):
        db = sqlite3.connect(path, isolation_level=None, check_same_thread=False)
    lock: WriteLock | None = None
    try:
        with plain_errors(path):
            is_new = _is_new(db, path)
            lock = WriteLock(path)
            for setting in _SETTINGS:
                db.execute(setting)
            with lock.held():
                if db.execute("PRAGMA journal_mode").fetchone()[0] not in ("wal", "memory"):
                    db.execute("PRAGMA journal_mode = WAL")
                if is_new and _is_new(db, path):  # no other process was first
                    _create(db)
                _drop_statistics(db)
    except BaseException:
        db.close()
        if lock is not None:
            lock.close()
        raise
    return db, lock


def _must_be_reachable(path: str) -> None:
    if path == MEMORY:
        return
    folder = Path(path).absolute().parent
    if not folder.is_dir():
        raise ArchiveUnusable(f"{path}: there is no folder {folder}")
    if Path(path).is_dir():
        raise ArchiveUnusable(f"{path} is a folder; an archive is one file")
    if Path(path).exists() and not os.access(path, os.R_OK | os.W_OK):
        raise ArchiveUnusable(f"{path}: the file may not be read and written by you")


def _is_new(db: sqlite3.Connection, path: str) -> bool:
    """Whether the file is empty; ArchiveUnusable where it is something else or too old."""
    application = _pragma(db, "application_id")
    age = _pragma(db, "user_version")
    tables = db.execute("SELECT count(*) FROM sqlite_master").fetchone()[0]
    if application == 0 and tables == 0:
        return True
    if application != APPLICATION:
        raise ArchiveUnusable(f"{path}: the file is not an archive of Vestige")
    if age > AGE:
        raise ArchiveUnusable(
            f"{path} was written by a newer Vestige (tables of age {age}, this one reads"
            f" age {AGE}); install the newer one"
        )
    if age < AGE:
        raise ArchiveUnusable(
            f"{path} was written by an older Vestige (tables of age {age}, this one reads"
            f" age {AGE}); export it with the older one and import it here"
        )
    return False


def _create(db: sqlite3.Connection) -> None:
    with transaction(db):
        run_script(db, "ledger")
        run_script(db, "derived")
        db.execute(f"PRAGMA application_id = {APPLICATION}")
        db.execute(f"PRAGMA user_version = {AGE}")


def _drop_statistics(db: sqlite3.Connection) -> None:
    """Drop what ANALYZE of another program left: with it plans may be 100 times slower."""
    asked = "SELECT name FROM sqlite_master WHERE name GLOB 'sqlite_stat[0-9]'"
    found = [name for (name,) in db.execute(asked)]
    if not found:
        return
    for name in found:
        db.execute(f"DELETE FROM {name}")
    db.execute("ANALYZE sqlite_master")  # has this connection forget them, too
    for (name,) in db.execute(asked).fetchall():
        db.execute(f"DROP TABLE {name}")


@contextmanager
def transaction(db: sqlite3.Connection) -> Iterator[None]:
    """Everything in the block, or nothing; on disk when it ends."""
    db.execute("BEGIN IMMEDIATE")
    try:
        yield
        db.execute("COMMIT")
    except BaseException:
        if db.in_transaction:
            db.execute("ROLLBACK")
        raise


def run_script(db: sqlite3.Connection, name: str) -> None:
    """Run the statements of a file within the open transaction."""
    waiting = ""
    for line in script(name).splitlines(keepends=True):
        waiting += line
        if sqlite3.complete_statement(waiting):
            db.execute(waiting)
            waiting = ""


def _pragma(db: sqlite3.Connection, name: str) -> int:
    return int(db.execute(f"PRAGMA {name}").fetchone()[0])
