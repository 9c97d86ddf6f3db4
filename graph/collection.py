"""A collection: what a user of the library holds. It opens an archive, reads and records.

The reads are those of `Reading`.
"""

from collections.abc import Callable, Mapping, Sequence
from pathlib import Path
from types import TracebackType
from typing import Self

from .errors import ArchiveUnusable, Refused
from .ledger import Act
from .ledger import State as Statement
from .problem import Problem, Weight
from .reading import Reading
from .record import KeyMaker, Record
from .record.asked_day import end_of_day, first_day_of, last_day_of
from .store import Receipt, SqliteStore, Store
from .store.opening import SERVER_FILE, is_address, on_server, server_of

__all__ = [
    "ARCHIVE_FILE",
    "PICTURES",
    "Collection",
    "end_of_day",
    "first_day_of",
    "holds_archive",
    "last_day_of",
]

ARCHIVE_FILE = "archive.sqlite"
PICTURES = "pictures"


def holds_archive(folder: Path) -> bool:
    """Whether a folder has an archive, in it or on the server that it names."""
    return any((folder / name).is_file() for name in (ARCHIVE_FILE, SERVER_FILE))


class Collection(Reading):
    """An archive with its records.

    Args:
        store: where the ledger is kept.
        folder: folder of the archive, for pictures and papers; None where there is none.
        keys: makes the ids of new records.
    """

    def __init__(
        self, store: Store, folder: Path | None = None, keys: KeyMaker | None = None
    ) -> None:
        super().__init__(store)
        self.folder = folder
        self.keys = keys or KeyMaker()

    @classmethod
    def create(cls, folder: str | Path, *, clock: Callable[[], int] | None = None) -> Self:
        """Make a new, empty archive in a folder.

        Raises:
            Refused: where an archive is there already.
        """
        home = Path(folder)
        if holds_archive(home):
            raise Refused(f"{home} holds an archive already; nothing was changed")
        (home / PICTURES).mkdir(parents=True, exist_ok=True)
        return cls._at(home / ARCHIVE_FILE, clock)

    @classmethod
    def open(cls, path: str | Path, *, clock: Callable[[], int] | None = None) -> Self:
        """Open the archive in a folder, its file, or one on a server: neo4j://HOST/NAME.

        A folder with a ``server.toml`` has its ledger on the server that it names.

        Raises:
            ArchiveUnusable: where there is none.
        """
        named = server_of(path)
        if named is not None or is_address(path):
            return cls(
                on_server(named or path, clock),
                Path(path) if named else None,
                KeyMaker(clock=clock) if clock else None,
            )
        file = Path(path) / ARCHIVE_FILE if Path(path).is_dir() else Path(path)
        if not file.is_file():
            raise ArchiveUnusable(
                f"there is no archive at {path}: make one with 'vestige new {path}', "
                "or name the folder of one with --archive"
            )
        return cls._at(file, clock)

    @classmethod
    def _at(cls, file: Path, clock: Callable[[], int] | None) -> Self:
        store = SqliteStore(file, clock=clock) if clock else SqliteStore(file)
        return cls(store, file.parent, KeyMaker(clock=clock) if clock else None)

    def __enter__(self) -> Self:
        return self

    def __exit__(
        self,
        kind: type[BaseException] | None,
        error: BaseException | None,
        trace: TracebackType | None,
    ) -> None:
        self.store.close()

    def record(
        self,
        by: str,
        acts: Sequence[Act],
        *,
        batch: str | None = None,
        origin: Mapping[str, object] | None = None,
    ) -> Receipt:
        """Record a batch of acts, all or nothing; `Store.append` says what is refused."""
        return self.store.append(by, acts, batch=batch, origin=origin)

    def act(
        self, by: str, records: Sequence[Record], *, dry_run: bool = False
    ) -> tuple[tuple[Problem, ...], Receipt | None]:
        """Record new records as one act, all or nothing, if they can be so.

        Args:
            by: role that records.
            records: in the order of recording.
            dry_run: True to find the problems and record nothing.

        Returns:
            Everything that is wrong or doubtful, and the receipt; None where an error
            stopped it or nothing was to be recorded.
        """
        from .intake import problems_of  # heavy: only acts need it

        keyed = {self.keys.new(): one for one in records}
        problems = problems_of(keyed, self.store)
        stopped = any(one.weight is Weight.ERROR for one in problems)
        if stopped or dry_run or not keyed:
            return problems, None
        acts = [Statement(one.kind, key, one.body()) for key, one in keyed.items()]
        return problems, self.record(by, acts, origin={"command": "act"})
