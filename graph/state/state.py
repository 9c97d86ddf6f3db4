"""The state: every record known on a day, as a graph with typed questions.

Reasoning and answers read a state and never see a store. networkx is inside; nothing
outside this room depends on it.
"""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from typing import TypeVar

import networkx as nx

from ..errors import NotRecorded
from ..record import Link, Record, fold_number

R = TypeVar("R", bound=Record)


@dataclass(frozen=True, slots=True)
class Held:
    """One record as it is held in a state.

    Attributes:
        key: its stable id.
        record: what it says.
        seq: ledger entry that said it.
        at: when that was recorded, milliseconds since 1970 UTC.
        by: role that recorded it.
    """

    key: str
    record: Record
    seq: int = 0
    at: int = 0
    by: str = ""


class State:
    """Records and the edges they say, as known at one moment.

    Args:
        held: the records; each key once.
        known: record time of the view, milliseconds since 1970 UTC; None for now.
    """

    def __init__(self, held: Iterable[Held], known: int | None = None) -> None:
        self.known = known
        self._held: dict[str, Held] = {one.key: one for one in held}
        self._graph: nx.MultiDiGraph[str] = nx.MultiDiGraph()
        self._by_name: dict[str, str] = {}
        self._read: dict[tuple[str, str | None, bool], tuple[tuple[Link, str], ...]] = {}
        self._about: dict[tuple[str, type[Record], str | None], tuple[str, ...]] = {}
        for key, one in sorted(self._held.items()):
            self._graph.add_node(key)
            for name in reversed(one.record.names()):
                self._by_name.setdefault(fold_number(name), key)
            for link in one.record.links(key):
                self._graph.add_edge(
                    link.src, link.dst, word=link.word, says=key, link=link
                )

    def __contains__(self, key: str) -> bool:
        return key in self._held

    def __len__(self) -> int:
        return len(self._held)

    def __iter__(self) -> Iterator[str]:
        """Keys of all records, in order."""
        return iter(sorted(self._held))

    def held(self, key: str) -> Held:
        """A record with who recorded it and when.

        Raises:
            NotRecorded: where no record has this key.
        """
        try:
            return self._held[key]
        except KeyError:
            raise NotRecorded(f"nothing is recorded under {key}") from None

    def record(self, key: str, kind: type[R]) -> R:
        """The record under a key, known to be of one type.

        Raises:
            NotRecorded: where there is none, or it is something else.
        """
        record = self.held(key).record
        if not isinstance(record, kind):
            raise NotRecorded(f"{self.label(key)} is no {kind.kind} but {record.kind}")
        return record

    def all_of(self, kind: type[R]) -> Iterator[tuple[str, R]]:
        """Every record of one type with its key, in the order in which they were said."""
        found = [
            (one.seq, key, one.record)
            for key, one in self._held.items()
            if isinstance(one.record, kind)
        ]
        for _, key, record in sorted(found, key=lambda item: item[:2]):
            yield key, record

    def named(self, number: str) -> str | None:
        """Key of the record that bears a number, current or old; None where none does."""
        return self._by_name.get(fold_number(number))

    def label(self, key: str) -> str:
        """What a person calls it; the key itself where it is not in this state."""
        one = self._held.get(key)
        return one.record.label() if one else key

    def number(self, key: str) -> str:
        """The number people call it by; its label where it bears none."""
        one = self._held.get(key)
        if one is None:
            return key
        return one.record.own_number() or one.record.label()

    def said(self, key: str, word: str | None = None) -> list[tuple[Link, str]]:
        """Edges that start at a record: the link and the key of the record that says it."""
        return list(self._edges(key, word, outwards=True))

    def pointing(self, key: str, word: str | None = None) -> list[tuple[Link, str]]:
        """Edges that end at a record: the link and the key of the record that says it."""
        return list(self._edges(key, word, outwards=False))

    def _edges(
        self, key: str, word: str | None, *, outwards: bool
    ) -> tuple[tuple[Link, str], ...]:
        """Edges of a record, read once: a place that holds a thousand is asked often."""
        asked = (key, word, outwards)
        if asked not in self._read:
            graph = self._graph
            near = graph.out_edges if outwards else graph.in_edges
            found = _ordered(near(key, data=True), word) if key in graph else []
            self._read[asked] = tuple(found)
        return self._read[asked]

    def about(
        self, key: str, kind: type[R], word: str | None = None
    ) -> list[tuple[str, R]]:
        """Records of one type that point to this one, with keys, in the order said.

        Found once: an object of ten thousand elements is asked for each of them.
        """
        asked = (key, kind, word)
        if asked not in self._about:
            every = self._edges(key, word, outwards=False)
            sources = {link.src for link, says in every if says == link.src}
            found = [
                (one.seq, src)
                for src in sources
                if (one := self._held.get(src)) and isinstance(one.record, kind)
            ]
            self._about[asked] = tuple(src for _, src in sorted(found))
        return [(src, self.record(src, kind)) for src in self._about[asked]]


def _ordered(
    edges: Iterable[tuple[str, str, dict[str, object]]], word: str | None
) -> list[tuple[Link, str]]:
    found = [
        (data["link"], str(data["says"]))
        for _, _, data in edges
        if word is None or data["word"] == word
    ]
    pairs = [(link, says) for link, says in found if isinstance(link, Link)]
    return sorted(pairs, key=lambda pair: (pair[1], pair[0].word, pair[0].src, pair[0].dst))
