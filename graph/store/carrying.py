"""Carry a ledger from one store to another, to the letter.

What is derived is derived again where it arrives, so an equal end of the ledger means
equal answers. The target takes the ledger piece by piece; a carry that was stopped goes on
from the last piece, and nothing is ever taken twice, since every entry has its number.
"""

from collections.abc import Callable
from dataclasses import dataclass

from ..errors import LedgerBroken, Refused
from ..ledger import Head
from .contract import Store

PIECE = 10_000
"""Entries that are taken in one transaction."""


@dataclass(frozen=True, slots=True)
class Carried:
    """What a carry did.

    Attributes:
        new: how many entries the target took.
        before: how many it had already.
        head: the end of both ledgers.
        standing: number of standing records of each kind, equal in both.
    """

    new: int
    before: int
    head: Head
    standing: dict[str, int]


def carry(
    source: Store,
    target: Store,
    *,
    piece: int = PIECE,
    told: Callable[[int, int], None] | None = None,
) -> Carried:
    """Carry what the target does not have yet.

    Args:
        source: store that is read.
        target: store that is written: empty, or with a beginning of the same ledger.
        piece: entries that are taken in one transaction.
        told: called after each piece with the number of entries there and in all.

    Raises:
        Refused: where the target has another ledger, or more of this one.
        LedgerBroken: where the source does not hold, or the two do not end alike.
        ArchiveUnusable: where a store cannot go on; what was taken by then stays.
    """
    end, begun = source.head(), target.head()
    _must_begin_alike(source, end, begun)
    at = begun.seq
    while at < end.seq:
        some = list(source.entries(at, min(piece, end.seq - at)))
        if not some:
            raise LedgerBroken(at + 1, "is missing from the ledger that is carried")
        target.take(some)
        at = some[-1].seq
        if told is not None:
            told(at, end.seq)
    arrived = target.head()
    if arrived != end:
        raise LedgerBroken(arrived.seq, "is not where the carried ledger ends")
    standing = target.tally()
    if source.head() == end and source.tally() != standing:
        raise LedgerBroken(end.seq, "arrived, but what stands differs; rebuild the two")
    return Carried(end.seq - begun.seq, begun.seq, end, standing)


def _must_begin_alike(source: Store, end: Head, begun: Head) -> None:
    if begun.seq == 0:
        return
    if begun.seq > end.seq:
        raise Refused(
            f"the archive carried to has {begun.seq} entries, the one carried from only"
            f" {end.seq}; nothing was changed. Perhaps the other way round?"
        )
    (there,) = source.entries(begun.seq - 1, 1)
    if there.seal != begun.seal:
        raise Refused(
            f"the two are different archives, or both were recorded in since they were"
            f" last alike: entry {begun.seq} is not the same in the two;"
            " carry to an empty one. Nothing was changed"
        )
