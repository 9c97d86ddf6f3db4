"""How long the daily questions take: start, import, and where a thing is.

Printed with the machine, and beside a named peer where there is one: openpyxl for reading
the same workbook, networkx for the same walk on a graph in memory that holds no history.
Least of several runs each, on whatever else the machine is doing; trust the ratios. The
assessment is measured by ``inference.py``.

Run: ``python bench/house.py``.
"""

import os
import platform
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable
from functools import partial
from pathlib import Path

import networkx as nx
import openpyxl

from vestige.graph.answer.whereabouts import locate
from vestige.graph.collection import Collection
from vestige.graph.intake import acts, draft, read_papers, write_workbook
from vestige.graph.ledger import State as Say
from vestige.graph.record import (
    Claim,
    Container,
    Element,
    ElementSort,
    KeptPart,
    KeyMaker,
    Move,
    MuseumObject,
    Place,
    Record,
    Relation,
    Strength,
)

NODES = 100_000


def least(work: Callable[[], object], runs: int = 5) -> float:
    """Least time of several runs, in milliseconds."""
    times = []
    for _ in range(runs):
        start = time.perf_counter()
        work()
        times.append(time.perf_counter() - start)
    return 1000 * min(times)


def start_of_command() -> list[tuple[str, str, str]]:
    """Time until the help is there, beside a Python that does nothing."""
    help_text = [sys.executable, "-c", "from vestige.ui.command import main; main()", "-h"]
    nothing = [sys.executable, "-c", "pass"]
    ours, bare = (
        least(partial(subprocess.run, words, capture_output=True, check=True))
        for words in (help_text, nothing)
    )
    return [("vestige --help", f"{ours:.0f} ms", f"bare Python {bare:.0f} ms")]


def workbook(rows: int) -> dict[str, Record]:
    """One object with as many elements and claims as make up the rows."""
    found: dict[str, Record] = {"O": MuseumObject(number="INV.1", name="invented screen")}
    for one in range(rows // 2):
        found[f"E{one}"] = Element(
            number=f"INV.1.{one}", object="O", name=f"panel {one}", sort=ElementSort.PART
        )
        found[f"C{one}"] = Claim(
            number=f"OB.{one}",
            about=f"E{one}",
            relation=Relation.NOTED,
            value="saw marks on the back",
            strength=Strength.WEAK,
        )
    return found


def import_rate(folder: Path, rows: int = 10_000) -> list[tuple[str, str, str]]:
    """Rows a second from the workbook to the disk."""
    paper = folder / "big.xlsx"
    write_workbook(workbook(rows), paper)
    start = time.perf_counter()
    with Collection.create(folder / "import") as collection:
        drafted = draft(read_papers(paper), collection.store, collection.keys)
        collection.record("registrar", acts(drafted))
    seconds = time.perf_counter() - start
    read = least(lambda: read_papers(paper), 2)

    def by_peer() -> None:
        book = openpyxl.load_workbook(paper, read_only=True)
        for sheet in book:
            for _ in sheet.iter_rows(values_only=True):
                pass

    peer = least(by_peer, 1)
    return [
        (f"import of {rows:,} rows", f"{rows / seconds:,.0f} rows/s", "-"),
        ("reading that workbook", f"{read:.0f} ms", f"openpyxl {peer:.0f} ms"),
    ]


def stored(collection: Collection) -> list[str]:
    """An archive of NODES records: kept parts in boxes on shelves; the parts' keys."""
    keys = KeyMaker(seed=1)
    shelf = [keys.new() for _ in range(50)]
    acts_: list[Say] = []
    parts: list[str] = []

    def add(key: str, record: Record) -> str:
        acts_.append(Say(record.kind, key, record.body()))
        return key

    room = add(keys.new(), Place(number="ROOM"))
    for n, key in enumerate(shelf):
        add(key, Place(number=f"SHELF-{n}", inside=room))
    n = 0
    while len(acts_) < NODES:
        thing = add(keys.new(), MuseumObject(number=f"INV.{n}", name="invented"))
        box = add(keys.new(), Container(number=f"BX-{n}", inside=shelf[n % 50]))
        for to in (7, 13):
            add(
                keys.new(),
                Move(what=(box,), to=shelf[(n + to) % 50], when=f"20{to:02}-05-01"),
            )
        for e in range(12):
            part = Element(number=f"INV.{n}.{e}", object=thing, name="hinge",
                           sort=ElementSort.FIXING)  # fmt: skip
            element = add(keys.new(), part)
            kept = KeptPart(number=f"KP-{n}-{e}", element=element, container=box)
            parts.append(add(keys.new(), kept))
        n += 1
    for start in range(0, len(acts_), 5_000):
        collection.record("registrar", acts_[start : start + 5_000])
    return parts


def where_is(folder: Path) -> list[tuple[str, str, str]]:
    """`locate` for one part, and the same walk in memory."""
    with Collection.create(folder / "store") as collection:
        parts = stored(collection)
        asked = parts[:: len(parts) // 40]

        def ours() -> None:
            for key in asked:
                locate(collection.places_of(key), key)

        edges = collection.store.walk(parts, ["inside"], "out")
        graph: nx.DiGraph[str] = nx.DiGraph((edge.src, edge.dst) for edge in edges)

        def in_memory() -> None:
            for key in asked:
                nx.descendants(graph, key)

        mine, peer = (least(work, 3) / len(asked) for work in (ours, in_memory))
    text = f"networkx in memory, walk alone {peer:.3f} ms"
    return [(f"locate in {NODES:,} nodes", f"{mine:.1f} ms", text)]


def main() -> None:
    """Print the table."""
    print(
        f"{platform.platform()}, Python {platform.python_version()}, {os.cpu_count()} cores"
    )
    rows = start_of_command()
    with tempfile.TemporaryDirectory() as folder:
        rows += import_rate(Path(folder))
        rows += where_is(Path(folder))
    for what, ours, peer in [("what", "here", "peer"), *rows]:
        print(f"{what:<40} {ours:>14}   {peer}")


if __name__ == "__main__":
    main()
