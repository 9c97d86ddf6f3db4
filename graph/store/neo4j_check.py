"""Find out whether an archive on a Neo4j server is as it was recorded.

As with the embedded store: the chain tells of the ledger; of what is derived, only a
rebuild can tell. It is made in memory, node by node and edge by edge, and compared.
"""

from collections import Counter
from collections.abc import Callable, Hashable, Iterable, Iterator, Mapping
from typing import Any

from ..errors import VestigeError
from ..ledger import Entry, Fault, Head, faults_of
from .contract import Report
from .derive import Reading
from .neo4j_draft import GraphRows
from .neo4j_words import Divider
from .statement import statements

Ask = Callable[[str, Mapping[str, object]], Iterable[Any]]

_SQL = statements("neo4j_write", "cypher")
_SHOWN = 20


def examine(
    entries: Iterator[Entry], head: Head, anchors: Mapping[int, bytes]
) -> tuple[Report, list[Entry]]:
    """Check the chain, the anchors and that the noted end is the end of the chain."""
    read = list(entries)
    end, faults = faults_of(read, anchors)
    if (end.seq, end.seal) != (head.seq, head.seal):
        faults.append(Fault(end.seq, "is not the end that the server has noted"))
    return Report(len(read), end, tuple(faults), False), read


def compare(
    entries: list[Entry], ask: Ask, reading: Reading, divider: Divider, archive: str
) -> list[Fault]:
    """Derive everything again from the ledger and compare it with what is on the server."""
    due = GraphRows(reading, divider, archive)
    try:
        due.add(entries)
    except (VestigeError, ValueError, LookupError, TypeError) as error:
        return [Fault(0, f"the ledger cannot be derived again: {error}")]
    faults: list[Fault] = []
    for name, wanted, found in _side_by_side(due, ask):
        faults += _differences(name, Counter(wanted), Counter(found))
    return faults[:_SHOWN]


def _side_by_side(
    due: GraphRows, ask: Ask
) -> Iterator[tuple[str, Iterable[Hashable], Iterable[Hashable]]]:
    """Name of a part, what the ledger gives, what the server has; seq comes first."""
    yield (
        "version",
        map(_flat, due.versions()),
        (_flat(row) for (row,) in _kept(ask, "versions")),
    )
    yield (
        "edge",
        ((one["said"]["seq"], sort, one["src"], one["dst"], _flat(one["said"]))
         for sort, rows in due.edges().items() for one in rows),
        ((said["seq"], sort, src, dst, _flat(said))
         for sort, src, dst, said in _kept(ask, "edges")),
    )  # fmt: skip
    yield (
        "number",
        ((one["seq"], one["folded"], one["place"]) for one in due.numbers()),
        ((seq, folded, place) for folded, seq, place in _kept(ask, "numbers")),
    )
    yield "batch", due.whole_batches(), map(tuple, _kept(ask, "batches"))
    yield (
        "record",
        ((0, key) for key in due.mentioned()),
        ((0, key) for (key,) in _kept(ask, "records")),
    )
    yield (
        "tally",
        ((0, one["kind"], one["more"]) for one in due.tally()),
        ((0, kind, standing) for kind, standing in ask("tally", {})),
    )


def _kept(ask: Ask, name: str) -> Iterable[Any]:
    return ask(f"kept_{name}", {})


def _flat(node: Mapping[str, Any]) -> Hashable:
    """A node's properties, its number first; what is not set is left out.

    An empty list is as good as none: the server's importer does not write one.
    """
    rest = sorted((name, tuple(value) if isinstance(value, list) else value)
                  for name, value in node.items() if value not in (None, []))  # fmt: skip
    return node.get("seq", 0), tuple(rest)


def _differences(
    name: str, wanted: Counter[Hashable], found: Counter[Hashable]
) -> list[Fault]:
    faults = [
        Fault(_seq(one), f"{name}: the server has one of which the ledger knows nothing")
        for one in found - wanted
    ]
    faults += [
        Fault(_seq(one), f"{name}: lacks what the ledger gives") for one in wanted - found
    ]
    return sorted(faults)[:_SHOWN]


def _seq(one: Hashable) -> int:
    return one[0] if isinstance(one, tuple) and isinstance(one[0], int) else 0
