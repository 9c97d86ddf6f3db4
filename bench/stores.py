"""The stores side by side: loading, disk, opening, and seven questions of the trade.

Invented objects of 50 records each: 18 elements nested by threes, a verdict on each, two
parts taken off and moved three times, four observations, one treatment with a batch of
glue that twenty objects share. The embedded store is filled, the server takes its ledger
by its own importer (or as ``vestige carry`` hands it over, with ``--carry``), and DuckDB
and ladybug, where they are installed, read the derived tables. Each engine answers the
same questions about the same random objects, and the answers are compared before anything
is timed.

1 elements and verdicts of an object; 2 where its parts are now; 3 what a batch touched;
4 the first as known earlier; 5 where one part was, in order; 6 words in observations;
7 how many of each kind there are.

Run: ``python bench/stores.py 10000 100000 [--in FOLDER]``. The server is started by the
same script as in the tests; Java is needed. What is prepared in a FOLDER stays there, and
``--only-ask --in FOLDER`` times the questions alone, at a quiet moment.
"""

import argparse
import importlib
import json
import os
import random
import shlex
import shutil
import statistics
import sys
import tempfile
import time
from collections.abc import Callable, Iterator, Mapping, Sequence
from contextlib import ExitStack, contextmanager
from pathlib import Path
from typing import Any

from store_engines import Graph, Tables

from vestige.graph.ledger import State
from vestige.graph.record import Link, fold_number
from vestige.graph.state import Change
from vestige.graph.store import SqliteStore, Store
from vestige.graph.store.carrying import carry
from vestige.graph.store.derive import Reading

EACH, ELEMENTS, PARTS, MOVES = 50, 18, 2, 3
HOME = frozenset({"part of", "decides on"})
NOTES = ("fine crack in the varnish", "old glue line", "loose veneer", "rust at a screw")
Ask = Callable[[int], object]


def change_of(kind: str, key: str, body: Mapping[str, Any]) -> Change:
    """The bodies say outright which edges they add."""
    links = tuple(Link(src, word, dst, day) for src, word, dst, day in body["links"])
    return Change(key, (key,), body.get("text", ""), links)


READING: dict[str, Any] = {"change_of": change_of, "home_words": HOME}


def said(kind: str, key: str, *ways: tuple[str, str], day: int | None = None) -> State:
    links = [(key, word, dst, day) for word, dst in ways]
    return State(kind, key, {"links": links})


def records_of(i: int) -> Iterator[State]:
    """The records of one object."""
    box = f"B{i // 10}"
    if i % 20 == 0:
        yield said("material", f"M{i // 20}")
    if i % 10 == 0:
        yield said("container", box)
        yield said("container", f"{box}-2")
    yield said("object", f"O{i}")
    for e in range(ELEMENTS):
        above = f"E{i}-{(e - 1) // 3}" if e else f"O{i}"
        beside = [("touches", f"E{i}-{e - 1}")] if e else []
        yield said("element", f"E{i}-{e}", ("part of", above), *beside)
        yield said("decision", f"D{i}-{e}", ("decides on", f"E{i}-{e}"))
    for p in range(PARTS):
        part = f"P{i}-{p}"
        yield said("part", part, ("taken from", f"E{i}-{p + 3}"))
        for m in range(MOVES):
            inside = f"{box}-2" if m % 2 else box
            links = [(part, "inside", inside, 9000 + 400 * m)]
            yield State("move", f"V{i}-{p}-{m}", {"links": links})
    for n in range(4):
        about = [(f"N{i}-{n}", "about", f"E{i}-{n}", None)]
        text = f"{NOTES[n]} of number {i}"
        yield State("observation", f"N{i}-{n}", {"links": about, "text": text})
    bonds = [("bonds", f"E{i}-{e}") for e in range(3)]
    yield said("treatment", f"T{i}", ("uses", f"M{i // 20}"), *bonds)


def fill(store: Store, objects: int) -> int:
    """Fill an empty store, ten objects a batch; record time half-way."""
    half = 0
    for i in range(0, objects, 20):
        some = range(i, min(i + 20, objects))
        receipt = store.append("bench", [act for one in some for act in records_of(one)])
        half = receipt.at if i <= objects // 2 else half
    return half


def questions(store: Store, half: int) -> dict[str, Ask]:
    """The seven questions, asked of a store; each gives a sorted list to compare."""

    def where(i: int) -> object:
        inner = store.walk([f"O{i}"], ["part of", "taken from"], "in")
        parts = sorted({e.src for e in inner if e.word == "taken from"})
        return sorted((e.src, e.dst, e.record) for e in store.walk(parts, ["inside"]))

    def touched(i: int) -> object:
        used = store.edges([f"M{i // 20}"], ["uses"], "in")
        bonded = store.edges([e.src for e in used], ["bonds"])
        elements = sorted({e.dst for e in bonded})
        near = store.edges(elements, ["touches"]) + store.edges(elements, ["touches"], "in")
        every = sorted({*elements, *(k for e in near for k in (e.src, e.dst))})
        up = store.walk(every, ["part of"])
        return sorted({*every, *(e.dst for e in up)})

    def elements(i: int, known: int | None = None) -> object:
        met = store.walk([f"O{i}"], sorted(HOME), "in", known=known)
        return sorted((e.src, e.word, e.dst) for e in met)

    return {
        "1 elements and verdicts": elements,
        "2 where its parts are": where,
        "3 what a batch touched": touched,
        "4 as known earlier": lambda i: elements(i, half),
        "5 where a part was": lambda i: sorted(
            (e.earliest or 0, e.dst) for e in store.edges([f"P{i}-0"], ["inside"])
        ),
        "6 words": lambda i: sorted(
            one.key for one in store.search(f"varnish {i}", "observation", 50)
        ),
        "7 how many of each kind": lambda i: sorted(store.tally().items()),
    }


def timed(engines: dict[str, dict[str, Ask]], objects: int, rounds: int) -> None:
    """Compare the answers, then ask in turn; median and 95th percentile in ms."""
    chance = random.Random(1)
    names = list(next(iter(engines.values())))
    some = [chance.randrange(objects) for _ in range(rounds)]
    for question in names:
        cells = []
        for i in some[:10]:
            answers = [engine[question](i) for engine in engines.values()]
            assert all(one == answers[0] for one in answers), (question, i, answers)
        for name, engine in engines.items():
            times = []
            for i in some if name == "Neo4j" else ():  # a served one is warm
                engine[question](i)
            for i in some:
                at = time.perf_counter()
                engine[question](i)
                times.append((time.perf_counter() - at) * 1e3)
            ends = statistics.quantiles(times, n=20)
            cells.append(f"{name} {statistics.median(times):9.2f} /{ends[-1]:9.2f}")
        print(f"  {question:<26}{'   '.join(cells)}")


class Prepared:
    """One size, filled in a folder once and asked from there."""

    def __init__(self, records: int, folder: Path) -> None:
        self.records, self.folder = records, folder
        self.file = folder / f"{records}.vestige"
        self.notes = folder / f"{records}.json"
        self.home = folder / f"server-{records}"

    @property
    def half(self) -> int:
        """Record time at which half of it was recorded."""
        return int(json.loads(self.notes.read_text("utf-8"))["half"])

    def fill(self) -> None:
        """Fill the embedded store."""
        at = time.perf_counter()
        with SqliteStore(self.file, **READING) as filling:
            half = fill(filling, self.records // EACH)
            entries = filling.head().seq
        rate = entries / (time.perf_counter() - at)
        self.notes.write_text(json.dumps({"half": half}), "utf-8")
        _tell("embedded", f"{rate:,.0f} entries/s", self.file)

    def carry(self) -> None:
        """Carry it to a new server, batch by batch, as ``vestige carry`` does."""
        with _running(self.home) as url, SqliteStore(self.file, **READING) as store:
            graph = _graph(f"{url}/b{self.records}")
            at = time.perf_counter()
            done = carry(store, graph)
            took = time.perf_counter() - at
            graph.close()
        _tell("Neo4j", f"{done.new / took:,.0f} entries/s carried", self.home)

    def import_tables(self) -> None:
        """Write the tables of the importer, and have a server's files made of them."""
        from vestige.graph.store.neo4j_tables import write_tables

        tables = self.folder / f"tables-{self.records}"
        at = time.perf_counter()
        with SqliteStore(self.file, **READING) as store:
            reading = Reading(change_of, HOME, fold_number)
            made = write_tables(store, tables, f"b{self.records}", reading)
        wrote = time.perf_counter()
        _server(self.home).admin(*shlex.split(made.command())[1:])
        took = time.perf_counter()
        shutil.rmtree(tables)
        with _running(self.home) as url:
            begun = time.perf_counter()
            _graph(f"{url}/b{self.records}").close()
            indexed = time.perf_counter() - begun
        _tell(
            "Neo4j",
            f"tables {wrote - at:.0f} s, importer {took - wrote:.0f} s, indexes"
            f" {indexed:.0f} s: {made.head.seq / (took - at + indexed):,.0f} entries/s",
            self.home,
        )

    def ask(self, others: Sequence[str], server: bool) -> None:
        """Compare the answers of all engines, and time them."""
        with ExitStack() as stack:
            at = time.perf_counter()
            store = stack.enter_context(SqliteStore(self.file, **READING))
            store.tally()
            print(f"  embedded: opened in {(time.perf_counter() - at) * 1e3:.1f} ms")
            engines = {"embedded": questions(store, self.half)}
            if server and self.home.exists():
                engines["Neo4j"] = self._asked_of_server(stack)
            for name, of in ("duckdb", Tables), ("ladybug", Graph):
                if name in others and importlib.util.find_spec(name) is not None:
                    engines[name] = self._other(name, of).questions()
            print(f"  median / 95th percentile, ms; load {_load()}")
            timed(engines, self.records // EACH, 60)
        print(f"  load {_load()}; this process and all engines in it: {_memory()} MB")

    def _asked_of_server(self, stack: ExitStack) -> dict[str, Ask]:
        url = stack.enter_context(_running(self.home))
        at = time.perf_counter()
        graph = stack.enter_context(_graph(f"{url}/b{self.records}"))
        graph.tally()
        opened = time.perf_counter()
        graph.warm()
        warm = time.perf_counter() - opened
        pid = int((self.home / "pid").read_text("utf-8"))
        print(
            f"  Neo4j: opened in {(opened - at) * 1e3:.0f} ms, warmed in {warm:.1f} s,"
            f" server {_memory(pid)} MB"
        )
        return questions(graph, self.half)

    def _other(self, name: str, of: Callable[[Path, Path, int], Any]) -> Any:
        file = self.folder / f"{self.records}.{name}"
        is_new, at = not file.exists(), time.perf_counter()
        other = of(file, self.file, self.half)
        if is_new:
            _tell(name, f"filled in {time.perf_counter() - at:.1f} s", file)
        return other


def _tell(engine: str, what: str, place: Path) -> None:
    files = [place] if place.is_file() else [f for f in place.rglob("*") if f.is_file()]
    size = sum(one.stat().st_size for one in files) / 1e6
    print(f"  {engine}: {what}; {size:,.1f} MB; load {_load()}", flush=True)


def _load() -> str:
    return " ".join(f"{one:.1f}" for one in os.getloadavg())


def _memory(pid: int | None = None) -> str:
    """Megabytes that a process holds now, and at most (Linux)."""
    text = Path(f"/proc/{pid or 'self'}/status").read_text("utf-8")
    found = dict(line.split(":") for line in text.splitlines() if line.startswith("Vm"))
    now, most = (int(found[name].split()[0]) // 1024 for name in ("VmRSS", "VmHWM"))
    return f"{now} (most {most})"


def _graph(address: str) -> Any:
    from vestige.graph.store.neo4j_store import Neo4jStore

    return Neo4jStore(address, **READING)


def _server(home: Path) -> Any:
    sys.path.insert(0, str(Path(__file__).parent.parent / "tests"))
    graph_server = importlib.import_module("graph_server")
    os.environ |= {
        "VESTIGE_NEO4J_USER": graph_server.USER,
        "VESTIGE_NEO4J_PASSWORD": graph_server.PASSWORD,
    }
    return graph_server.GraphServer(home, cache="2g")


@contextmanager
def _running(home: Path) -> Iterator[str]:
    """Address of the server of a folder, for the block."""
    server, at = _server(home), time.perf_counter()
    # as in service, not as in tests
    server.start("-XX:TieredStopAtLevel=4", "-Xmx1500m")
    print(f"  Neo4j: started in {time.perf_counter() - at:.1f} s")
    try:
        yield server.url
    finally:
        server.stop()


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("records", type=int, nargs="+")
    parser.add_argument("--in", dest="folder", type=Path, help="folder to keep it in")
    parser.add_argument("--only-ask", action="store_true", help="of what is in there")
    parser.add_argument("--carry", action="store_true", help="do not use the importer")
    parser.add_argument("--no-server", action="store_true", help="without Neo4j")
    parser.add_argument(
        "--beside", nargs="*", default=["duckdb", "ladybug"], help="engines"
    )
    given = parser.parse_args()
    with tempfile.TemporaryDirectory() as folder:
        for records in given.records:
            print(f"{records:,} records", flush=True)
            one = Prepared(records, given.folder or Path(folder))
            if not given.only_ask and not one.notes.exists():
                one.fill()
            if not (given.only_ask or given.no_server or one.home.exists()):
                one.carry() if given.carry else one.import_tables()
            one.ask(given.beside, not given.no_server)


if __name__ == "__main__":
    main()
