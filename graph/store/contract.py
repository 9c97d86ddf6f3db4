"""What every store promises. tests/stores/ holds each store to it.

A store keeps the ledger to the letter; everything else that it keeps is derived from the
ledger and can be built again. ``known`` is a record time in milliseconds since 1970 UTC:
a read with it answers as the archive would have answered then. None is now.
"""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Literal, Protocol, runtime_checkable

from ..ledger import Act, Entry, Fault, Head

Direction = Literal["out", "in"]


@dataclass(frozen=True, slots=True)
class Stated:
    """One version of a record.

    Attributes:
        key: id of the record.
        kind: name of the record type.
        body: what this version says.
        seq: ledger number of the entry that said it; the version's number.
        at: when that was recorded, milliseconds since 1970 UTC.
        by: role that recorded it.
        batch: number of the batch it was recorded with.
        label: what a person calls it.
        replaces: version that it took the place of; None for none.
        reason: why it was replaced or stated again; may be empty for a first version.
        ended: when it was superseded or withdrawn, milliseconds; None where it still
            stood at the time that the read asked about.
    """

    key: str
    kind: str
    body: dict[str, object]
    seq: int
    at: int
    by: str
    batch: int
    label: str
    replaces: int | None
    reason: str
    ended: int | None

    @property
    def open_name(self) -> str:
        """Its number, or its key: what may be said of it to whoever may not read it."""
        return str(self.body.get("number") or self.key)


@dataclass(frozen=True, slots=True)
class Edge:
    """One edge between two records, and the record that says it.

    Attributes:
        src: id of the record where it begins.
        word: what it says, e.g. ``"inside"``.
        dst: id of the record where it ends.
        earliest: begin of its valid time, days since 1970-01-01; None for not recorded.
        latest: end of its valid time, days since 1970-01-01; None for not recorded.
        source: id of the source record; None where none is named.
        strength: strength word of the claim; None where there is none.
        record: id of the record that says it.
        seq: version of that record.
        at: when it was recorded, milliseconds since 1970 UTC.
        by: role that recorded it.
    """

    src: str
    word: str
    dst: str
    earliest: int | None
    latest: int | None
    source: str | None
    strength: str | None
    record: str
    seq: int
    at: int
    by: str


@dataclass(frozen=True, slots=True)
class Receipt:
    """Proof that a batch is on disk.

    Attributes:
        batch: number of the batch, which is its first entry's.
        first: number of its first entry.
        last: number of its last entry.
        at: record time, milliseconds since 1970 UTC.
        seal: seal of its last entry; write it down elsewhere as an anchor.
        repeated: the batch id was known: nothing was written, this is the first receipt.
    """

    batch: int
    first: int
    last: int
    at: int
    seal: bytes
    repeated: bool


@dataclass(frozen=True, slots=True)
class Report:
    """What a verification found.

    Attributes:
        entries: how many entries were read.
        head: the end of the ledger.
        faults: everything that is not as it was recorded, in order.
        deep: whether the derived tables were built again and compared.
    """

    entries: int
    head: Head
    faults: tuple[Fault, ...]
    deep: bool

    @property
    def holds(self) -> bool:
        """Whether nothing was found."""
        return not self.faults


@runtime_checkable
class Store(Protocol):
    """Keeps entries in order, never loses or changes one, and answers from them."""

    def append(
        self,
        by: str,
        acts: Sequence[Act],
        *,
        based_on: Mapping[str, int] | None = None,
        batch: str | None = None,
        origin: Mapping[str, object] | None = None,
    ) -> Receipt:
        """Record a batch, all or nothing; the receipt means that it is on disk.

        Args:
            by: role that records.
            acts: what is recorded; one act for a key.
            based_on: version of every record that the caller had seen, 0 for none.
            batch: the caller's id. A repeat of it writes nothing and returns the first
                receipt, so that a caller who got no answer may ask again. The acts of a
                repeat are not compared with the first ones.
            origin: where the batch came from, free JSON.

        Raises:
            Conflict: where ``based_on`` or ``replaces`` is not the current version.
            Refused: an empty batch; two acts for one key; a pointer to a record that is
                not there; a withdrawal of what others point to; a current number that
                another current record bears; a body of more than 1 MB.
            BadValue: a body that cannot be kept or read.
            ArchiveUnusable: the disk is full, the file is locked or damaged.
        """
        ...

    def head(self) -> Head:
        """The end of the ledger."""
        ...

    def entries(self, after: int = 0, limit: int | None = None) -> Iterator[Entry]:
        """Entries numbered above ``after``, to the letter and in order."""
        ...

    def take(self, entries: Iterable[Entry]) -> int:
        """Take over entries of another store to the letter; the number of new ones.

        Entries that are here already must be equal, the rest must follow.

        Raises:
            LedgerBroken: at the first entry that differs or does not follow; then
                nothing was taken.
        """
        ...

    def verify(
        self, *, anchors: Mapping[int, bytes] | None = None, deep: bool = False
    ) -> Report:
        """Check the chain; ``deep``: also build all derived tables again and compare.

        Args:
            anchors: seals written down elsewhere, by entry number.
            deep: takes some twenty times as long.
        """
        ...

    def rebuild(self) -> int:
        """Drop what is derived and derive it again; the number of entries read.

        Raises:
            LedgerBroken: where the ledger does not hold; then nothing was changed.
        """
        ...

    def version(self, key: str) -> int:
        """Ledger number of the current version of a record; 0 where none stands."""
        ...

    def get(self, keys: Sequence[str], known: int | None = None) -> list[Stated]:
        """The standing versions of these records, in the order asked for.

        A key under which nothing stands is left out.
        """
        ...

    def named(self, number: str, known: int | None = None) -> list[Stated]:
        """Records that bear a number, those that bear it now before those that did once.

        Folded for case and surrounding space.
        """
        ...

    def of_kind(self, kind: str, known: int | None = None) -> list[Stated]:
        """All standing records of a kind, in the order of recording."""
        ...

    def latest(self, kind: str, most: int, known: int | None = None) -> list[Stated]:
        """So many standing records of a kind, those recorded last, in that order.

        What it costs follows ``most``, and how many there are of the kind only as entries
        of an index.
        """
        ...

    def edges(
        self,
        keys: Sequence[str],
        words: Sequence[str] | None = None,
        direction: Direction = "out",
        known: int | None = None,
    ) -> list[Edge]:
        """Edges that begin at (``"out"``) or end at (``"in"``) these records."""
        ...

    def walk(
        self,
        keys: Sequence[str],
        words: Sequence[str],
        direction: Direction = "out",
        depth: int = 32,
        known: int | None = None,
    ) -> list[Edge]:
        """Every edge met when following ``words`` from these records, each once.

        Cycles are harmless. What is more than ``depth`` steps away is not met.
        """
        ...

    def gather(self, key: str, known: int | None = None) -> list[Stated]:
        """A record, all that belongs to it, and everything those point to.

        Inward over the words of belonging, transitively; from there outward over all
        words, sources and the records that say the edges, transitively, and not inward
        again. Empty where nothing stands under the key.
        """
        ...

    def history(self, key: str) -> list[Stated]:
        """All versions of a record, oldest first."""
        ...

    def since(self, at: int) -> list[Stated]:
        """Versions stated or ended after a record time, in the order of recording."""
        ...

    def search(
        self,
        words: str,
        kind: str | None = None,
        limit: int = 50,
        known: int | None = None,
    ) -> list[Stated]:
        """Standing records that hold all these words, the last recorded first.

        Case and accents do not matter; ``crack*`` finds all words that begin so.
        """
        ...

    def tally(self, known: int | None = None) -> dict[str, int]:
        """Number of standing records of each kind that has any, by name of the kind."""
        ...

    def backup(self, path: str | Path) -> None:
        """Write a copy of the archive to a file that does not exist yet.

        Others may go on reading and writing meanwhile.

        Raises:
            Refused: where the file exists.
            ArchiveUnusable: where it cannot be written.
        """
        ...

    def warm(self) -> None:
        """Prepare every question now, where its first time would be slow; else nothing."""
        ...

    def close(self) -> None:
        """Let go of files; the store is of no use afterwards. A second time is harmless."""
        ...
