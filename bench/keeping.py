"""Does a recall, or the question where a thing is, cost more in a larger archive?

Invented groups of four objects share one batch of one adhesive that all groups use: of
every object one treatment used it on three of ten elements, three parts were taken off,
and one sample. Every group is alike, so answers are of one size in every archive. Asked
are the recall of a batch and the place of a part, as the commands ask them: from the file,
with history, checked against closed content. Beside them the same walks in two graph
libraries, on a graph of keys and words in memory that holds neither history nor bodies;
both have to give the same things, or the run stops.

Times are the least of six medians over groups taken at random (the seed is fixed). Growth
is the time at one size over that at a tenth of it.

Run: ``python bench/keeping.py [--most RECORDS]``. rustworkx is measured where installed.
"""

import argparse
import importlib
import random
import statistics
import tempfile
import time
from collections.abc import Callable, Iterable, Iterator
from functools import partial
from pathlib import Path
from typing import Any

import networkx as nx

from vestige.graph.collection import Collection
from vestige.graph.keeping import recall, whereabouts
from vestige.graph.ledger import State

OBJECTS, ELEMENTS, PARTS, CLAIMS = 4, 10, 3, 8
EACH = OBJECTS * (1 + ELEMENTS + 1 + PARTS + 1 + CLAIMS + 1) + 2
LONGEST_LOAD = 300.0
"""A size whose loading would take longer, in seconds, is left out and said so."""


def group(g: int) -> Iterator[State]:
    """Records of one group, as bodies."""
    yield State("batch", f"B{g}", {"number": f"B.{g}", "material": "GLUE"})
    yield State("place", f"H{g}", {"number": f"SHELF.{g}", "inside": "ROOM"})
    for i in (f"{g}-{n}" for n in range(OBJECTS)):
        yield State("object", f"O{i}", {"number": f"INV.{i}", "name": "screen"})
        yield State("container", f"X{i}", {"number": f"BX.{i}", "inside": f"H{g}"})
        for e in range(ELEMENTS):
            body: dict[str, object] = {
                "number": f"INV.{i}.{e}", "object": f"O{i}", "name": "panel",
                "sort": "part",
            }  # fmt: skip
            yield State(
                "element", f"E{i}-{e}", body | ({"touches": [f"E{i}-{e - 1}"]} if e else {})
            )
        yield State("happening", f"T{i}", {
            "number": f"T.{i}", "object": f"O{i}", "name": "mending", "sort": "treatment",
            "when": "1990", "elements": [f"E{i}-{e}" for e in range(3)], "used": [f"B{g}"],
        })  # fmt: skip
        for p in range(PARTS):
            yield State("part", f"P{i}-{p}", {
                "number": f"P.{i}.{p}", "element": f"E{i}-{p}", "removed_when": "2001",
                "container": f"X{i}",
            })  # fmt: skip
        yield State("sample", f"S{i}", {
            "number": f"S.{i}", "element": f"E{i}-0", "container": f"X{i}",
        })  # fmt: skip
        for c in range(CLAIMS):
            yield State("claim", f"C{i}-{c}", {
                "number": f"C.{i}.{c}", "about": f"E{i}-{c}", "relation": "made in",
                "phase": "PH", "strength": "moderate",
            })  # fmt: skip


def filled(folder: Path, records: int) -> tuple[Collection, int, float]:
    """An archive of so many records, its number of groups, and the seconds it took."""
    collection = Collection.create(folder)
    collection.record("bench", [
        State("material", "GLUE", {"number": "GLUE", "name": "resin"}),
        State("place", "ROOM", {"number": "ROOM"}),
        State("object", "ANY", {"number": "ANY", "name": "any"}),
        State("phase", "PH", {"number": "PH", "object": "ANY", "name": "use", "order": 1,
                              "span": "use-life"}),
    ])  # fmt: skip
    groups, began = records // EACH, time.perf_counter()
    for first in range(0, groups, 50):
        acts = [act for g in range(first, min(first + 50, groups)) for act in group(g)]
        collection.record("bench", acts)
    return collection, groups, time.perf_counter() - began


def edges(groups: int) -> Iterator[tuple[str, str, str]]:
    """The same edges as plain triples for the graph libraries: from, word, to."""
    for g in range(groups):
        yield f"H{g}", "inside", "ROOM"
        for i in (f"{g}-{n}" for n in range(OBJECTS)):
            yield f"X{i}", "inside", f"H{g}"
            yield f"T{i}", "used", f"B{g}"
            yield f"S{i}", "drawn from", f"E{i}-0"
            yield f"S{i}", "inside", f"X{i}"
            for e in range(1, ELEMENTS):
                yield f"E{i}-{e}", "touches", f"E{i}-{e - 1}"
            for n in range(PARTS):
                yield f"T{i}", "concerns", f"E{i}-{n}"
                yield f"P{i}-{n}", "taken from", f"E{i}-{n}"
                yield f"P{i}-{n}", "inside", f"X{i}"


class InNetworkx:
    """The walks in networkx."""

    name = "networkx"

    def __init__(self, triples: Iterator[tuple[str, str, str]]) -> None:
        self.graph: nx.DiGraph[str] = nx.DiGraph()
        self.graph.add_edges_from((a, b, {"word": word}) for a, word, b in triples)

    def out(self, key: str, *words: str) -> set[str]:
        """Ends of edges that begin at a key."""
        found: Iterable[tuple[str, str, str]] = self.graph.out_edges(key, data="word")
        return {b for _, b, word in found if word in words}

    def into(self, key: str, *words: str) -> set[str]:
        """Begins of edges that end at a key."""
        found: Iterable[tuple[str, str, str]] = self.graph.in_edges(key, data="word")
        return {a for a, _, word in found if word in words}


class InRustworkx:
    """The walks in rustworkx."""

    name = "rustworkx"

    def __init__(self, triples: Iterator[tuple[str, str, str]]) -> None:
        self.graph: Any = importlib.import_module("rustworkx").PyDiGraph()
        self.index: dict[str, int] = {}
        rows = []
        for a, word, b in triples:
            for key in (a, b):
                if key not in self.index:
                    self.index[key] = self.graph.add_node(key)
            rows.append((self.index[a], self.index[b], word))
        self.graph.add_edges_from(rows)

    def out(self, key: str, *words: str) -> set[str]:
        """Ends of edges that begin at a key."""
        found = self.graph.out_edges(self.index[key])
        return {self.graph[b] for _, b, word in found if word in words}

    def into(self, key: str, *words: str) -> set[str]:
        """Begins of edges that end at a key."""
        found = self.graph.in_edges(self.index[key])
        return {self.graph[a] for a, _, word in found if word in words}


def recall_in(peer: Any, batch: str) -> set[str]:
    """What a batch touched, with what is in contact and what was taken of all of it."""
    direct = {e for t in peer.into(batch, "used") for e in peer.out(t, "concerns")}
    near = direct | {
        other for e in direct for other in peer.out(e, "touches") | peer.into(e, "touches")
    }
    taken = {key for e in near for key in peer.into(e, "taken from", "drawn from")}
    for key in taken:  # the question is also where it all is
        place_in(peer, key)
    return near | taken


def place_in(peer: Any, key: str) -> list[str]:
    """The holders of a thing from the nearest outwards."""
    chain = []
    while holders := peer.out(key, "inside"):
        (key,) = holders
        chain.append(key)
    return chain


def recall_here(collection: Collection, batch: str) -> set[str]:
    """The recall as the command asks it."""
    state, wanted, _ = collection.recalled(batch)
    found = recall(state, wanted)
    for key in found:
        whereabouts(state, key)
    return set(found)


def place_here(collection: Collection, part: str) -> list[str]:
    """The place of a part as the command asks it."""
    state = collection.places_of(part)
    return [spell.holder for spell in whereabouts(state, part).holders]


def median_ms(ask: Callable[[str], object], keys: list[str]) -> float:
    """Least of six medians over many keys: other work on the machine only adds."""
    medians = []
    for _ in range(6):
        times = []
        for key in keys:
            began = time.perf_counter()
            ask(key)
            times.append(time.perf_counter() - began)
        medians.append(statistics.median(times))
    return 1000 * min(medians)


def measured(records: int, home: Path) -> tuple[dict[str, float], float]:
    """Medians by engine and question, and the seconds of loading."""
    collection, groups, load = filled(home / str(records), records)
    chance = random.Random(7)
    some = [chance.randrange(groups) for _ in range(40)]
    batches, parts = [f"B{g}" for g in some], [f"P{g}-1-1" for g in some]
    found = {
        "recall here": median_ms(lambda key: recall_here(collection, key), batches),
        "locate here": median_ms(lambda key: place_here(collection, key), parts),
    }
    for peer in peers(groups):
        for batch, part in zip(batches[:5], parts[:5], strict=True):
            if recall_in(peer, batch) != recall_here(collection, batch):
                raise SystemExit(f"{peer.name} and Vestige differ on {batch}")
            if place_in(peer, part) != place_here(collection, part):
                raise SystemExit(f"{peer.name} and Vestige differ on {part}")
        name = peer.name
        found[f"recall {name}"] = median_ms(partial(recall_in, peer), batches)
        found[f"locate {name}"] = median_ms(partial(place_in, peer), parts)
    collection.store.close()
    return found, load


def peers(groups: int) -> Iterator[Any]:
    """The graph libraries that are installed, one at a time, filled."""
    yield InNetworkx(edges(groups))
    try:
        yield InRustworkx(edges(groups))
    except ImportError:
        print("rustworkx is not installed: not measured")


def main() -> None:
    """Print medians for each size, and their growth per tenfold archive."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--most", type=int, default=1_000_000, help="largest archive")
    most: int = parser.parse_args().most
    before: dict[str, float] = {}
    load = 0.0
    with tempfile.TemporaryDirectory() as folder:
        for records in (10_000, 100_000, 1_000_000):
            if records > most:
                break
            if load * 10 > LONGEST_LOAD:
                print(f"{records:>9,} records left out: loading would take too long")
                break
            found, load = measured(records, Path(folder))
            print(f"{records:>9,} records, loaded in {load:.1f} s")
            for name, ms in found.items():
                grown = f"  x{ms / before[name]:.2f}" if name in before else ""
                print(f"    {name:<20} {ms:9.3f} ms{grown}", flush=True)
            before = found


if __name__ == "__main__":
    main()
