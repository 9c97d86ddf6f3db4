"""What a lot of entries adds to a graph on a Neo4j server.

The same draft as every store's, written as nodes and relationships: a record is a node, a
version is a node, an edge is a relationship between two records with its word as type.
"""

from collections import defaultdict
from collections.abc import Mapping, Sequence
from functools import cache
from typing import Any, Final

from ..errors import BadValue
from ..ledger import Entry
from .derive import STANDS, Draft, Reading
from .neo4j_server import rows_of
from .neo4j_words import Divider
from .statement import statements

_SQL = statements("neo4j_write", "cypher")
SAID_BY: Final = "~said by"
"""Type of the relationship from where an edge begins to the record that says it."""
SOURCE: Final = "~source"
"""Type of the relationship from where an edge begins to the source of the edge."""

Row = dict[str, Any]


@cache
def quoted(words: tuple[str, ...]) -> str:
    """Words as the types of a pattern in Cypher, e.g. ```part of`|`made of```.

    Raises:
        BadValue: for a word that cannot be the type of a relationship.
    """
    for word in words:
        if not word or "\x00" in word or len(word.encode()) > 16_000:
            raise BadValue(f"{word[:40]!r} cannot be the word of an edge on a server")
    return "|".join("`" + word.replace("`", "``") + "`" for word in words)


class GraphRows(Draft):
    """A draft as the nodes and relationships of one archive."""

    def __init__(self, reading: Reading, divider: Divider, archive: str) -> None:
        super().__init__(reading)
        self._divider, self._archive = divider, archive
        self._entries: dict[int, Entry] = {}

    def add(self, entries: Sequence[Entry]) -> None:
        """Collect what these entries add; they follow what is in the graph."""
        self._entries |= {entry.seq: entry for entry in entries}
        super().add(entries)

    def versions(self) -> list[Row]:
        """Nodes of the versions; ``open`` is the key while the version stands."""
        divided = self._divider.divide([(a, b, c) for _, a, b, c in self._words])
        words = {one[0]: said for one, said in zip(self._words, divided, strict=True)}
        return [self._version(row, words[seq]) for seq, row in self._versions.items()]

    def _version(self, row: Sequence[Any], words: tuple[str, str, str]) -> Row:
        seq, key, kind, label, at, ended = row
        ways = [(one[3], one[5], one[8], one[2]) for one in self._edges[seq]]
        ends = dict.fromkeys(
            (begin, end) for begin, *others in ways for end in others if end is not None
        )
        return {
            "archive": self._archive, "seq": seq, "key": key, "kind": kind, "at": at,
            "label": label, "ended": ended, "open": key if ended == STANDS else None,
            "label_words": words[0], "number_words": words[1], "text_words": words[2],
            "begins": [begin for begin, _ in ends], "ends": [end for _, end in ends],
        }  # fmt: skip

    def edges(self) -> dict[str, list[Row]]:
        """Relationships by type."""
        found: dict[str, list[Row]] = defaultdict(list)
        for seq, edges in self._edges.items():
            role = self._entries[seq].by
            at = self._entries[seq].at
            beside: dict[tuple[str, str, str], int] = {}
            for _, place, record, src, word, dst, *rest in edges:
                earliest, latest, source, strength, ended = rest
                common = {"seq": seq, "record": record, "at": at, "ended": ended}
                said = common | {
                    "place": place, "word": word, "earliest": earliest, "latest": latest,
                    "source": source, "strength": strength, "role": role,
                }  # fmt: skip
                found[str(word)].append({"src": src, "dst": dst, "said": said})
                if record != src:
                    beside[SAID_BY, str(src), str(record)] = 0
                if source is not None:
                    beside[SOURCE, str(src), str(source)] = 0
            for sort, begin, end in beside:
                found[sort].append({"src": begin, "dst": end, "said": common})
        return found

    def numbers(self) -> list[Row]:
        """Nodes of the numbers that people gave to records."""
        return [
            {"archive": self._archive, "folded": folded, "seq": seq, "place": place}
            for folded, seq, place in self._numbers
        ]

    def batches(self) -> list[Row]:
        """Nodes of the batches whose caller gave them an id."""
        ids = {name: (first, last) for first, last, name in reversed(self._batches)}
        return [{"id": name, "first": a, "last": b} for name, (a, b) in ids.items()]

    def whole_batches(self) -> list[tuple[int, int, str]]:
        """First and last entry and id of the batches, as they are when all is written."""
        return [(one["first"], self._last[one["first"]], one["id"])
                for one in self.batches()]  # fmt: skip

    def mentioned(self) -> set[str]:
        """Every key that is mentioned."""
        return set(self._ids)

    def tally(self) -> list[Row]:
        """How many more of each kind stand."""
        return [{"kind": k, "more": n} for k, n in sorted(self._tally.items()) if n]

    def said(self) -> list[Row]:
        """Every record that a standing edge names, for the rule that it has to stand."""
        return [
            {"record": record, "word": word, "key": key, "seq": seq, "place": place,
             "turn": turn}
            for seq, edges in self._edges.items()
            for _, place, record, src, word, dst, _, _, source, _, ended in edges
            if ended == STANDS
            for turn, key in enumerate((src, dst, source)) if key is not None
        ]  # fmt: skip


class GraphDraft(GraphRows):
    """A draft that begins from the graph of an archive and is written to it."""

    def __init__(self, turn: Any, reading: Reading, divider: Divider, archive: str) -> None:
        super().__init__(reading, divider, archive)
        self._turn = turn

    def ask(self, name: str, asked: Mapping[str, object]) -> list[list[Any]]:
        """Rows of a statement of this archive, within the open transaction."""
        more = {"said": self.said()} if name == "pointing_nowhere" else {}
        return rows_of(self._turn, _SQL[name], {"archive": self._archive, **asked, **more})

    def write(self) -> None:
        """Write what was collected, within the open transaction."""
        ended = [{"at": at, "seq": seq} for at, seq in self._ended]
        self._put("end_versions", ended)
        self._put("end_edges", ended)
        self._put("add_versions", self.versions())
        for word, rows in self.edges().items():
            self._put("add_edges", rows, word)
        self._put("add_numbers", self.numbers())
        self._put("add_batches", self.batches())
        last = [{"first": first, "last": seq} for first, seq in self._last.items()]
        self._put("extend_batches", last)
        self._put("add_tally", self.tally())

    def keep(self, entries: Sequence[Entry]) -> None:
        """Write the entries themselves, to the letter, and the new end of the ledger."""
        rows = [
            {"archive": self._archive, "seq": one.seq, "batch": one.batch, "at": one.at,
             "role": one.by, "act": one.act, "body": one.body, "seal": one.seal}
            for one in entries
        ]  # fmt: skip
        self._put("add_entries", rows)
        last = entries[-1]
        self.ask("move_head", {"seq": last.seq, "seal": last.seal, "at": last.at})

    def _put(self, name: str, rows: list[Row], word: str = "") -> None:
        if rows:
            text = _SQL[name].replace("%type%", quoted((word,)) if word else "")
            asked = {"rows": rows, "archive": self._archive}
            self._turn.run(text, asked)  # not awaited: the next rows are made meanwhile

    def _standing_of(self, keys: list[str]) -> dict[str, tuple[int, str]]:
        rows = self.ask("standing_of", {"keys": keys}) if keys else []
        return {key: (seq, kind) for key, seq, kind in rows}

    def _ids_of(self, keys: list[str]) -> dict[str, Any]:
        if keys:
            self.ask("add_records", {"keys": keys})
        return super()._ids_of(keys)
