"""How fast is an archive written and asked, and how large is its file?

Invented objects of 50 records each: the object, one source, 20 elements nested up to
four deep, 28 claims about them. Printed are the rate of appending (one record a batch, on
disk each time, and 1,000 a batch), the time of single questions at 10,000 and 100,000
records, the size of the file, and the same walk in networkx on a graph in memory, which
holds no history and answers no "as known". Reading the records of the trade from their
bodies is part of what is measured.

Times are the least and the median of many; questions in turn over random objects.

Run: ``python bench/store.py [--small]``.
"""

import argparse
import random
import statistics
import tempfile
import time
from collections.abc import Callable, Iterator
from pathlib import Path

import networkx as nx

from vestige.graph.ledger import State
from vestige.graph.store import SqliteStore

HOME = ["element of", "about"]
ELEMENTS, CLAIMS = 20, 28
EACH = 2 + ELEMENTS + CLAIMS


def records_of(i: int) -> Iterator[State]:
    """The records of one object, as bodies."""
    yield State("object", f"O{i}", {"number": f"INV.{i}", "name": "folding screen"})
    source = {"number": f"SRC.{i}", "name": "survey", "sort": "examination"}
    yield State("source", f"S{i}", source)
    for e in range(ELEMENTS):
        body: dict[str, object] = {
            "number": f"INV.{i}.{e}",
            "object": f"O{i}",
            "name": f"panel {e}",
            "sort": "part",
        }
        if e:
            body |= {"part_of": f"E{i}-{e // 3}", "touches": [f"E{i}-{e - 1}"]}
        yield State("element", f"E{i}-{e}", body)
    for c in range(CLAIMS):
        body = {
            "number": f"SV.{i}.{c}",
            "about": f"E{i}-{c % ELEMENTS}",
            "relation": "lies over",
            "other": f"E{i}-{(c + 1) % ELEMENTS}",
            "strength": "moderate",
            "source": f"S{i}",
            "note": "fine cracks in the varnish along the lower edge",
        }
        yield State("claim", f"C{i}-{c}", body)


def filled(path: Path, records: int) -> tuple[SqliteStore, float]:
    """An archive with so many records, 1,000 a batch; and records a second."""
    store = SqliteStore(path)
    per_batch = 1000 // EACH
    began = time.perf_counter()
    for i in range(0, records // EACH, per_batch):
        objects = range(i, min(i + per_batch, records // EACH))
        store.append("bench", [act for o in objects for act in records_of(o)])
    return store, records / (time.perf_counter() - began)


def one_by_one(store: SqliteStore, seconds: float) -> tuple[float, float]:
    """Batches of one record: a second, and the median time in milliseconds."""
    times: list[float] = []
    began = time.perf_counter()
    while time.perf_counter() - began < seconds:
        number = f"ONE.{len(times)}"
        act = State("object", f"N{len(times)}", {"number": number, "name": "stand"})
        at = time.perf_counter()
        store.append("bench", [act])
        times.append(time.perf_counter() - at)
    return len(times) / sum(times), statistics.median(times) * 1e3


def graph_of(store: SqliteStore) -> "nx.MultiDiGraph[str]":
    """The edges of an archive as a graph in memory."""
    graph: nx.MultiDiGraph[str] = nx.MultiDiGraph()
    keys = [one.key for kind in store.tally() for one in store.of_kind(kind)]
    for edge in store.edges(keys):
        graph.add_edge(edge.src, edge.dst, key=edge.word, edge=edge)
    return graph


def walk_in_memory(graph: "nx.MultiDiGraph[str]", key: str) -> list[object]:
    """Every edge met inward over the words of belonging."""
    met: list[object] = []
    seen, waiting = {key}, [key]
    while waiting:
        for src, _, word, said in graph.in_edges(waiting.pop(), keys=True, data=True):
            if word in HOME:
                met.append(said["edge"])
                if src not in seen:
                    seen.add(src)
                    waiting.append(src)
    return met


def timed(questions: dict[str, Callable[[int], object]], objects: int) -> dict[str, float]:
    """Ask each in turn of random objects; print least and median; the medians in ms."""
    times: dict[str, list[float]] = {name: [] for name in questions}
    chance = random.Random(1)
    for _ in range(200):
        i = chance.randrange(objects)
        for name, ask in questions.items():
            at = time.perf_counter()
            ask(i)
            times[name].append((time.perf_counter() - at) * 1e3)
    for name, some in times.items():
        print(f"  {name:<44}{min(some):8.3f}{statistics.median(some):8.3f} ms")
    return {name: statistics.median(some) for name, some in times.items()}


def measure(records: int) -> None:
    """Everything at one size."""
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "archive.vestige"
        store, rate = filled(path, records)
        with store:
            print(f"{records:,} records")
            print(f"  appended, 1,000 a batch                 {rate:12,.0f} records/s")
            single, median = one_by_one(store, 3)
            print(
                f"  appended, one a batch                   {single:12,.0f} records/s"
                f" (median {median:.2f} ms)"
            )
            graph, then = graph_of(store), store.head().at
            walk, memory = "walk: all that belongs to an object", "the same in networkx"
            medians = timed(
                {
                    "get: one record": lambda i: store.get([f"E{i}-7"]),
                    "get: 50 records": lambda i: store.get([a.key for a in records_of(i)]),
                    "edges: of 20 elements, both ways": lambda i: (
                        store.edges([f"E{i}-{e}" for e in range(ELEMENTS)]),
                        store.edges([f"E{i}-{e}" for e in range(ELEMENTS)], None, "in"),
                    ),
                    walk: lambda i: store.walk([f"O{i}"], HOME, "in"),
                    memory: lambda i: walk_in_memory(graph, f"O{i}"),
                    "walk as known": lambda i: store.walk([f"O{i}"], HOME, "in", 32, then),
                    "gather: an object with all it needs": lambda i: store.gather(f"O{i}"),
                    "named: by number": lambda i: store.named(f"inv.{i}.3"),
                    "search: two words, 50 found": lambda i: store.search("cracks varnish"),
                    "tally": lambda i: store.tally(),
                },
                records // EACH,
            )
            met = store.walk(["O1"], HOME, "in")
            assert set(met) == set(walk_in_memory(graph, "O1"))
            print(
                f"  a walk meets {len(met)} edges and takes"
                f" {medians[walk] / medians[memory]:.1f} times networkx in memory"
            )
            for deep in (False, True):
                at = time.perf_counter()
                assert store.verify(deep=deep).holds
                name = "verify, all derived again" if deep else "verify the chain"
                print(f"  {name:<44}{time.perf_counter() - at:16.2f} s")
        size = path.stat().st_size
        print(
            f"  file {size / 1e6:.1f} MB, {size / store_entries(path):.0f} bytes an entry"
        )


def store_entries(path: Path) -> int:
    """Number of entries of a closed archive."""
    with SqliteStore(path) as store:
        return store.head().seq


if __name__ == "__main__":
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--small", action="store_true", help="10,000 records only")
    for count in [10_000] if parser.parse_args().small else [10_000, 100_000]:
        measure(count)
