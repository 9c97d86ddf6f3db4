"""The stores side by side: loading, disk, opening, and seven questions of the trade.

Invented objects of 50 records each: 18 elements nested by threes, a verdict on each, two
parts taken off and moved three times, four observations, one treatment with a batch of
glue that twenty objects share. The embedded store is filled, the server takes its ledger
as ``vestige carry`` hands it over, and DuckDB (a table engine, where it is installed)
reads the derived tables. Each engine answers the same questions about the same random
objects, and the answers are compared before anything is timed.

1 elements and verdicts of an object; 2 where its parts are now; 3 what a batch touched;
4 the first as known earlier; 5 where one part was, in order; 6 words in observations;
7 how many of each kind there are.

Run: ``python bench/stores.py 10000 100000 [--no-server]``. The server is started by the
same script as in the tests; Java is needed.
"""

import argparse
import importlib
import os
import random
import statistics
import sys
import tempfile
import time
from collections.abc import Callable, Iterator, Mapping
from contextlib import ExitStack
from pathlib import Path
from typing import Any

from vestige.graph.ledger import State
from vestige.graph.record import Link
from vestige.graph.state import Change
from vestige.graph.store import SqliteStore, Store
from vestige.graph.store.carrying import carry

EACH, ELEMENTS, PARTS, MOVES = 50, 18, 2, 3
HOME = frozenset({"part of", "decides on"})
NOTES = ("fine crack in the varnish", "old glue line", "loose veneer", "rust at a screw")
STANDS = 9223372036854775807
Ask = Callable[[int], object]


def change_of(kind: str, key: str, body: Mapping[str, Any]) -> Change:
    """The bodies say outright which edges they add."""
    links = tuple(Link(src, word, dst, day) for src, word, dst, day in body["links"])
    return Change(key, (key,), body.get("text", ""), links)


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


class Tables:
    """The derived tables in DuckDB, every question as one or few statements of SQL."""

    def __init__(self, file: Path, source: Path, half: int) -> None:
        pandas, sqlite = (
            importlib.import_module("pandas"),
            importlib.import_module("sqlite3"),
        )
        self.db, self.half = importlib.import_module("duckdb").connect(str(file)), half
        with ExitStack() as stack:
            old = stack.enter_context(sqlite.connect(source))
            for name, asked in {
                "edge": "SELECT e.seq, a.key AS src, e.word, b.key AS dst, e.earliest,"
                " c.key AS record, e.ended, v.at FROM edge e JOIN record a ON a.id = e.src"
                " JOIN record b ON b.id = e.dst JOIN record c ON c.id = e.record"
                " JOIN version v ON v.seq = e.seq",
                "version": "SELECT r.key, v.kind, v.ended, json_extract(e.body,"
                " '$.body.text') AS text FROM version v JOIN record r ON r.id = v.record"
                " JOIN entry e ON e.seq = v.seq",
            }.items():
                frame = pandas.read_sql_query(asked, old)
                self.db.execute(f"CREATE TABLE {name} AS SELECT * FROM frame")
                del frame
        for column in ("src", "dst"):
            self.db.execute(f"CREATE INDEX edge_{column} ON edge ({column})")
        self.db.execute("CHECKPOINT")

    def questions(self) -> dict[str, Ask]:
        """The same seven questions."""
        return {
            "1 elements and verdicts": lambda i: self._elements(i, STANDS - 1),
            "2 where its parts are": self._where,
            "3 what a batch touched": self._touched,
            "4 as known earlier": lambda i: self._elements(i, self.half),
            "5 where a part was": lambda i: self._rows(
                "SELECT earliest, dst FROM edge WHERE src = ? AND word = 'inside'"
                f" AND ended = {STANDS}", f"P{i}-0"),
            "6 words": lambda i: [key for (key,) in self._rows(
                "SELECT key FROM version WHERE kind = 'observation' AND ended ="
                f" {STANDS} AND contains(' ' || text || ' ', ' varnish ') AND"
                " contains(' ' || text || ' ', ?) LIMIT 50", f" {i} ")],
            "7 how many of each kind": lambda i: self._rows(
                f"SELECT kind, count(*) FROM version WHERE ended = {STANDS} GROUP BY kind"),
        }  # fmt: skip

    def _rows(self, asked: str, *values: object) -> list[Any]:
        return sorted(self.db.execute(asked, list(values)).fetchall())

    def _elements(self, i: int, known: int) -> list[Any]:
        stands = f"e.at <= {known} AND e.ended > {known}"
        return self._rows(
            "WITH RECURSIVE t (k) AS (SELECT ? UNION SELECT e.src FROM t JOIN edge e ON"
            f" e.dst = t.k AND e.word IN ('part of', 'decides on') AND {stands})"
            " SELECT e.src, e.word, e.dst FROM t JOIN edge e ON e.dst = t.k AND"
            f" e.word IN ('part of', 'decides on') AND {stands}", f"O{i}")  # fmt: skip

    def _where(self, i: int) -> list[Any]:
        return self._rows(
            "WITH RECURSIVE t (k) AS (SELECT ? UNION SELECT e.src FROM t JOIN edge e ON"
            " e.dst = t.k AND e.word IN ('part of', 'taken from') AND"
            f" e.ended = {STANDS}) SELECT e.src, e.dst, e.record FROM t JOIN edge e ON"
            f" e.src = t.k AND e.word = 'inside' AND e.ended = {STANDS}",
            f"O{i}",
        )

    def _touched(self, i: int) -> list[Any]:
        stands = f"e.ended = {STANDS}"
        found = self._rows(
            "WITH RECURSIVE a AS (SELECT DISTINCT b.dst AS k FROM edge e JOIN edge b ON"
            f" b.src = e.src AND b.word = 'bonds' WHERE e.dst = ? AND e.word = 'uses' AND"
            f" {stands}), n AS (SELECT k FROM a UNION SELECT e.dst FROM a JOIN edge e ON"
            f" e.src = a.k AND e.word = 'touches' AND {stands} UNION SELECT e.src FROM a"
            f" JOIN edge e ON e.dst = a.k AND e.word = 'touches' AND {stands}),"
            " t AS (SELECT k FROM n UNION SELECT e.dst FROM t JOIN edge e ON e.src = t.k"
            f" AND e.word = 'part of' AND {stands}) SELECT k FROM t",
            f"M{i // 20}",
        )
        return [key for (key,) in found]


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
            for i in some:
                at = time.perf_counter()
                engine[question](i)
                times.append((time.perf_counter() - at) * 1e3)
            ends = statistics.quantiles(times, n=20)
            cells.append(f"{name} {statistics.median(times):9.2f} /{ends[-1]:9.2f}")
        print(f"  {question:<26}{'   '.join(cells)}")


def measure(records: int, folder: Path, url: str | None, server: Path | None) -> None:
    """Everything at one size."""
    objects, file = records // EACH, folder / f"{records}.vestige"
    print(f"{records:,} records")
    reading: dict[str, Any] = {"change_of": change_of, "home_words": HOME}
    with ExitStack() as stack:
        at = time.perf_counter()
        with SqliteStore(file, **reading) as filling:
            half = fill(filling, objects)
            entries = filling.head().seq
        took = time.perf_counter() - at
        size = file.stat().st_size / 1e6
        print(f"  embedded: {entries / took:,.0f} entries/s, {size:.1f} MB")
        at = time.perf_counter()
        store = stack.enter_context(SqliteStore(file, **reading))
        store.tally()
        print(f"  embedded: opened in {(time.perf_counter() - at) * 1e3:.1f} ms")
        engines = {"embedded": questions(store, half)}
        if url is not None and server is not None:
            graph = stack.enter_context(_carried(store, f"{url}/b{records}", server))
            engines["Neo4j"] = questions(graph, half)
        if importlib.util.find_spec("duckdb") is not None:
            at = time.perf_counter()
            tables = Tables(folder / f"{records}.duckdb", file, half)
            size = (folder / f"{records}.duckdb").stat().st_size / 1e6
            print(f"  DuckDB: filled in {time.perf_counter() - at:.1f} s, {size:.1f} MB")
            engines["DuckDB"] = tables.questions()
        print("  median / 95th percentile, ms")
        timed(engines, objects, 60)


def _carried(store: Store, address: str, server: Path) -> Any:
    from vestige.graph.store.neo4j_store import Neo4jStore

    def disk() -> float:
        return sum(one.stat().st_size for one in server.rglob("*") if one.is_file()) / 1e6

    before, at = disk(), time.perf_counter()
    graph = Neo4jStore(address, change_of=change_of, home_words=HOME)
    done = carry(store, graph)
    took = time.perf_counter() - at
    grown = disk() - before
    print(f"  Neo4j: {done.new / took:,.0f} entries/s, {grown:.0f} MB more, logs included")
    graph.close()
    at = time.perf_counter()
    graph = Neo4jStore(address, change_of=change_of, home_words=HOME)
    graph.tally()
    print(f"  Neo4j: opened in {(time.perf_counter() - at) * 1e3:.0f} ms, server running")
    return graph


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("records", type=int, nargs="+")
    parser.add_argument("--no-server", action="store_true", help="without Neo4j")
    given = parser.parse_args()
    with tempfile.TemporaryDirectory() as folder, ExitStack() as stack:
        url: str | None = None
        home = Path(folder) / "server"
        if not given.no_server:
            sys.path.insert(0, str(Path(__file__).parent.parent / "tests"))
            graph_server = importlib.import_module("graph_server")
            server = graph_server.GraphServer(home)
            at = time.perf_counter()
            server.start("-XX:TieredStopAtLevel=4")  # as in service, not as in tests
            stack.callback(server.stop)
            print(
                f"Neo4j {graph_server.VERSION}: {time.perf_counter() - at:.1f} s to start"
            )
            os.environ |= {
                "VESTIGE_NEO4J_USER": graph_server.USER,
                "VESTIGE_NEO4J_PASSWORD": graph_server.PASSWORD,
            }
            url = server.url
        for records in given.records:
            measure(records, Path(folder), url, home)


if __name__ == "__main__":
    main()
