"""One sealed entry of the ledger, and the chain that the entries make.

Entries are never changed and never removed. A correction is a new entry that names the
version it takes the place of. Every entry is sealed onto the one before, so that an entry
that was altered, taken out or put in between no longer follows.
"""

import hashlib
import json
import math
import unicodedata
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass

from ..errors import BadValue, LedgerBroken, Refused

GENESIS = bytes(32)
"""The seal before the first entry."""

ACTS = frozenset({"open", "state", "withdraw"})
"""What an entry can do: open a batch, state a record, withdraw a record."""

LARGEST_BODY = 1_000_000
"""Bytes of UTF-8 that the body of one entry may have."""


@dataclass(frozen=True, slots=True)
class Entry:
    """One thing that was recorded.

    Attributes:
        seq: place in the ledger, counted from 1 without gaps.
        batch: ``seq`` of the first entry of the batch that it was recorded with.
        at: record time, whole milliseconds since 1970 UTC; never runs backwards.
        by: role that recorded it.
        act: one of ``ACTS``.
        body: canonical JSON, kept to the letter.
        seal: SHA-256 (32 bytes) over the seal before and everything above.
    """

    seq: int
    batch: int
    at: int
    by: str
    act: str
    body: str
    seal: bytes


@dataclass(frozen=True, slots=True)
class Head:
    """The end of a ledger: number, seal and record time of its last entry."""

    seq: int = 0
    seal: bytes = GENESIS
    at: int = 0


@dataclass(frozen=True, slots=True, order=True)
class Fault:
    """Something in an archive that is not as it was recorded.

    Attributes:
        seq: the ledger entry at fault; 0 where no single entry can be named.
        what: what is wrong, in words.
    """

    seq: int
    what: str

    def __str__(self) -> str:
        return f"entry {self.seq}: {self.what}" if self.seq else self.what


def canonical(value: object) -> str:
    """Write a value as canonical JSON: sorted keys, no spaces, NFC, no NaN.

    Sorted by code point; for keys of the basic plane this is the order of RFC 8785.

    Raises:
        BadValue: for anything that JSON cannot hold without loss.

    >>> canonical({"width": 12, "by": ("a", None)})
    '{"by":["a",null],"width":12}'
    """
    try:
        text = json.dumps(
            _plain(value, "body"),
            sort_keys=True,
            ensure_ascii=False,
            allow_nan=False,
            separators=(",", ":"),
        )
        text.encode()
    except RecursionError:
        raise BadValue("the body is nested too deeply to be kept") from None
    except UnicodeEncodeError as error:
        raise BadValue(f"the body holds a broken character: {error.reason}") from None
    return text


def _plain(value: object, where: str) -> object:
    """The value as JSON's own types, its texts in NFC; BadValue where that cannot be."""
    if isinstance(value, str):
        return unicodedata.normalize("NFC", value)
    if value is None or isinstance(value, int):
        return value
    if isinstance(value, float):
        if math.isfinite(value):
            return value
        raise BadValue(f"{where} is {value}; leave it out where there is no number")
    if isinstance(value, Mapping):
        return _plain_map(value, where)
    if isinstance(value, list | tuple):
        return [_plain(one, f"{where}[{place}]") for place, one in enumerate(value)]
    raise BadValue(f"{where} is a {type(value).__name__}, which the ledger cannot keep")


def _plain_map(value: Mapping[object, object], where: str) -> dict[str, object]:
    plain: dict[str, object] = {}
    for name, one in value.items():
        if not isinstance(name, str):
            raise BadValue(f"{where} has the key {name!r}; a key has to be a text")
        key = unicodedata.normalize("NFC", name)
        if key in plain:
            raise BadValue(f"{where} has the key {key!r} twice")
        plain[key] = _plain(one, f"{where}.{key}")
    return plain


def seal_of(previous: bytes, entry: Entry) -> bytes:
    """The seal that an entry must bear after the seal ``previous``.

    SHA-256 over the 32 bytes of ``previous``, then ``seq|batch|at|by|act|body`` in UTF-8,
    numbers in decimal. No field before the body can hold the bar, so two different
    entries never give the same text.
    """
    text = f"{entry.seq:d}|{entry.batch:d}|{entry.at:d}|{entry.by}|{entry.act}|{entry.body}"
    return hashlib.sha256(previous + text.encode()).digest()


def seal_batch(
    head: Head, by: str, at: int, acts: Sequence[tuple[str, str]]
) -> list[Entry]:
    """Seal acts, each a pair of act and canonical body, onto the end of a ledger.

    Args:
        head: the end of the ledger.
        by: role that records.
        at: the clock, milliseconds; where it runs behind the ledger, the ledger's counts.
        acts: the batch in order; its first is ``"open"``.

    Raises:
        BadValue: where ``by`` is empty or holds a bar or a control character.
        Refused: where a body is longer than ``LARGEST_BODY``.
    """
    role = unicodedata.normalize("NFC", by).strip()
    if not role or "|" in role or not role.isprintable():
        raise BadValue(f"{by!r} is not the name of a role; write for example registrar")
    sealed: list[Entry] = []
    previous, moment = head.seal, max(at, head.at)
    for seq, (act, body) in enumerate(acts, start=head.seq + 1):
        size = len(body.encode())
        if size > LARGEST_BODY:
            raise Refused(
                f"one entry may hold {LARGEST_BODY:,} bytes, this {act} has {size:,};"
                " keep pictures and long papers as files and record their checksum"
            )
        bare = Entry(seq, head.seq + 1, moment, role, act, body, b"")
        previous = seal_of(previous, bare)
        sealed.append(Entry(seq, bare.batch, moment, role, act, body, previous))
    return sealed


class Chain:
    """Walks along a ledger and says of each entry whether it follows.

    After an entry that does not follow, the walk goes on from that entry's own seal, so
    that one alteration is one fault.
    """

    def __init__(self, head: Head = Head()) -> None:
        self.head = head
        self._opened: Entry | None = None

    def step(self, entry: Entry) -> str:
        """What is wrong with the next entry; empty where it follows."""
        try:
            wrong = self._wrong(entry)
        except (TypeError, ValueError):
            wrong = "cannot be read"
        moment = self.head.at if wrong else entry.at
        self.head = Head(entry.seq, entry.seal, moment)
        if entry.act == "open":
            self._opened = entry
        return wrong

    def _wrong(self, entry: Entry) -> str:
        head = self.head
        if entry.seq != head.seq + 1:
            return f"stands where entry {head.seq + 1} should be"
        if seal_of(head.seal, entry) != entry.seal:
            return "does not follow from the one before: it or its seal was altered"
        if entry.at < head.at:
            return "was recorded before the one that it follows"
        return self._wrong_in_batch(entry)

    def _wrong_in_batch(self, entry: Entry) -> str:
        if entry.act not in ACTS:
            return f"does {entry.act!r}, which no entry can do"
        if entry.act == "open":
            return "" if entry.batch == entry.seq else "opens a batch under another number"
        if self._opened is None:  # the walk began inside a batch
            return ""
        first = self._opened
        if (entry.batch, entry.by, entry.at) != (first.batch, first.by, first.at):
            return "does not belong to the batch that was open"
        return ""


def follow(entries: Iterable[Entry], head: Head = Head()) -> Iterator[Entry]:
    """Hand on entries as long as each follows from the one before.

    Raises:
        LedgerBroken: at the first entry that does not follow from ``head``.
    """
    chain = Chain(head)
    for entry in entries:
        seq = chain.head.seq + 1
        wrong = chain.step(entry)
        if wrong:
            raise LedgerBroken(seq, wrong)
        yield entry


def faults_of(
    entries: Iterable[Entry], anchors: Mapping[int, bytes]
) -> tuple[Head, list[Fault]]:
    """Every fault of a whole ledger, and its end.

    Args:
        entries: the ledger from its first entry.
        anchors: seals written down elsewhere, by entry number. A chain alone cannot show
            that its end was cut off or sealed anew; an anchor can.
    """
    chain, faults, left = Chain(), [], dict(anchors)
    for entry in entries:
        wrong = chain.step(entry)
        if wrong:
            faults.append(Fault(entry.seq, wrong))
        anchor = left.pop(entry.seq, None)
        if anchor is not None and anchor != entry.seal:
            faults.append(Fault(entry.seq, "differs from the seal noted elsewhere"))
    faults += [Fault(seq, "was noted elsewhere and is gone") for seq in sorted(left)]
    return chain.head, faults
