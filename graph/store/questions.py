"""The reading side of every store: each question is one statement of the store's own.

What is asked and how the rows are read is here, once for all stores; a store says how a
named statement is asked, and how words are looked for.
"""

import json
import unicodedata
from abc import ABC, abstractmethod
from collections.abc import Iterator, Mapping, Sequence
from typing import Any

from ..errors import BadValue, LedgerBroken
from ..ledger import Entry, Head, nfc
from .contract import Direction, Edge, Stated
from .derive import STANDS, Reading

_NOW = STANDS - 1
_PAGE = 5000


class Questions(ABC):
    """Answers of a store; the store's own class adds ``_rows`` and ``_match``."""

    def __init__(self, reading: Reading) -> None:
        self._reading = reading

    @abstractmethod
    def _rows(self, name: str, asked: Mapping[str, object]) -> Sequence[Any]:
        """The rows that the statement of this name gives."""

    @abstractmethod
    def _match(self, words: Sequence[str]) -> Mapping[str, object] | None:
        """What the statement ``search`` is asked; None where nothing can be found.

        Args:
            words: words with a letter or a digit each; ``crack*`` asks for a beginning.
        """

    def head(self) -> Head:
        """The end of the ledger."""
        rows = self._rows("head", {})
        return Head(*rows[0]) if rows else Head()

    def entries(self, after: int = 0, limit: int | None = None) -> Iterator[Entry]:
        """Entries numbered above ``after``, to the letter and in order.

        Read page by page, so that a slow reader holds nobody up.
        """
        left = STANDS if limit is None else limit
        while left > 0:
            page = self._rows("entries", {"after": after, "limit": min(left, _PAGE)})
            for row in page:
                yield Entry(*row)
            if len(page) < min(left, _PAGE):
                return
            after, left = page[-1][0], left - len(page)

    def version(self, key: str) -> int:
        """Ledger number of the current version of a record; 0 where none stands."""
        rows = self._rows("version", {"key": nfc(key)})
        return int(rows[0][0]) if rows else 0

    def get(self, keys: Sequence[str], known: int | None = None) -> list[Stated]:
        """The standing versions of these records, in the order asked for."""
        return self._stated("get", {"keys": _array(keys), "known": _moment(known)})

    def named(self, number: str, known: int | None = None) -> list[Stated]:
        """Records that bear a number, those that bear it now before those that did once."""
        asked = {"folded": self._reading.fold(number), "known": _moment(known)}
        return self._stated("named", asked)

    def of_kind(self, kind: str, known: int | None = None) -> list[Stated]:
        """All standing records of a kind, in the order of recording."""
        return self._stated("of_kind", {"kind": kind, "known": _moment(known)})

    def latest(self, kind: str, most: int, known: int | None = None) -> list[Stated]:
        """So many standing records of a kind, those recorded last, in that order."""
        asked = {"kind": kind, "most": most, "known": _moment(known)}
        return self._stated("latest", asked)

    def edges(
        self,
        keys: Sequence[str],
        words: Sequence[str] | None = None,
        direction: Direction = "out",
        known: int | None = None,
    ) -> list[Edge]:
        """Edges that begin at (``"out"``) or end at (``"in"``) these records."""
        asked = {"keys": _array(keys), "known": _moment(known)}
        name = f"edges_{_checked(direction)}"
        if words is None:
            return self._edges(f"all_{name}", asked)
        return self._edges(name, asked | {"words": _array(words)})

    def walk(
        self,
        keys: Sequence[str],
        words: Sequence[str],
        direction: Direction = "out",
        depth: int = 32,
        known: int | None = None,
    ) -> list[Edge]:
        """Every edge met when following ``words`` from these records, each once."""
        asked = {"keys": _array(keys), "words": _array(words), "depth": depth}
        name = f"walk_{_checked(direction)}"
        return self._edges(name, asked | {"known": _moment(known)})

    def gather(self, key: str, known: int | None = None) -> list[Stated]:
        """A record, all that belongs to it, and everything those point to."""
        home = sorted(self._reading.home_words)
        asked = {"key": nfc(key), "home": home, "known": _moment(known)}
        return self._stated("gather", asked)

    def history(self, key: str) -> list[Stated]:
        """All versions of a record, oldest first."""
        return self._stated("history", {"key": nfc(key)}, ended=True)

    def since(self, at: int) -> list[Stated]:
        """Versions stated or ended after a record time, in the order of recording."""
        return self._stated("since", {"at": _moment(at)}, ended=True)

    def search(
        self,
        words: str,
        kind: str | None = None,
        limit: int = 50,
        known: int | None = None,
    ) -> list[Stated]:
        """Standing records that hold all these words, the last recorded first."""
        match = self._match(_worded(words))
        if match is None:
            return []
        asked = {"kind": kind, "limit": limit, "known": _moment(known)}
        return self._stated("search", {**match, **asked})

    def tally(self, known: int | None = None) -> dict[str, int]:
        """Number of standing records of each kind that has any."""
        if known is None:
            return dict(self._rows("tally", {}))
        return dict(self._rows("tally_known", {"known": _moment(known)}))

    def _edges(self, name: str, asked: Mapping[str, object]) -> list[Edge]:
        return [Edge(*row) for row in self._rows(name, asked)]

    def _stated(
        self, name: str, asked: Mapping[str, object], ended: bool = False
    ) -> list[Stated]:
        return [_stated(row, ended) for row in self._rows(name, asked)]


def _stated(row: Sequence[Any], show_end: bool) -> Stated:
    """A row as a version. Of what stands in a view, its later end is not yet known."""
    key, kind, seq, label, ended, at, role, batch, text = row
    try:
        said = json.loads(text)
        body, replaces, reason = said["body"], said["replaces"], said["reason"]
    except (ValueError, LookupError, TypeError):
        raise LedgerBroken(seq, "cannot be read; verify the archive") from None
    end = ended if show_end and ended != STANDS else None
    return Stated(key, kind, body, seq, at, role, batch, label, replaces, reason, ended=end)


def _moment(known: int | None) -> int:
    return _NOW if known is None else max(min(known, _NOW), -_NOW)


def _array(texts: Sequence[str]) -> list[str]:
    """The texts, each once; a lone text is a mistake of the caller."""
    if isinstance(texts, str):
        raise TypeError(f"a list is wanted, not the text {texts!r}")
    return list(dict.fromkeys(map(nfc, texts)))


def _checked(direction: Direction) -> str:
    if direction not in ("out", "in"):
        raise BadValue(f"a direction is 'out' or 'in', not {direction!r}")
    return direction


def _worded(words: str) -> list[str]:
    """The words that an index holds: those with a letter or a digit."""
    return [word for word in nfc(words).split() if any(map(_is_held, word))]


def _is_held(letter: str) -> bool:
    category = unicodedata.category(letter)
    return category[0] in "LN" or category == "Co"
