"""How long the daily questions take: start, import, assessment, and where a thing is.

Printed with the machine, and beside a named peer where there is one: openpyxl for reading
the same workbook, pyAgrum for the marginals of the same factor graph, networkx for the
same walk on a graph in memory that holds no history. Least of several runs each, on
whatever else the machine is doing; trust the ratios.

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
from importlib import import_module
from multiprocessing import get_context
from pathlib import Path
from typing import Any

import networkx as nx
import numpy as np
import openpyxl

from vestige.graph.answer.whereabouts import locate
from vestige.graph.collection import Collection
from vestige.graph.intake import acts, draft, read_papers, write_workbook
from vestige.graph.ledger import State as Say
from vestige.graph.reasoning import (
    Case,
    CaseClaim,
    CasePhase,
    CaseSource,
    Thing,
    ThingKind,
    assess,
    build_model,
    verdicts,
)
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
    Span,
    Strength,
)

PATIENCE = 60  # seconds until a peer is given up
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


def case_of(elements: int) -> Case:
    """An invented object: assemblies of twelve, each held, layered, looked at."""
    rng = np.random.default_rng(elements)
    spans = (Span.MAKING, Span.USE, Span.TRADE, Span.MUSEUM)
    phases = tuple(CasePhase(f"P{n}", str(span), span) for n, span in enumerate(spans))
    things = [Thing("t0", ThingKind.PART, core=True)]
    claims = []
    for one in range(1, elements):
        parent = f"t{rng.integers(one - one % 12, one)}" if one % 12 else f"t{one - 12}"
        kind = ThingKind.LAYER if one % 4 == 3 else ThingKind.PART
        things.append(Thing(f"t{one}", kind, touches=(parent,)))
        source = f"s{rng.integers(3)}"
        phase = f"P{rng.integers(4)}"
        claims.append(
            CaseClaim(f"b{one}", source, Relation.BELONGS_TO, f"t{one}", phase=phase)
        )
        claims.append(
            CaseClaim(f"o{one}", source, Relation.LATER_THAN, f"t{one}", other=parent)
        )
    sources = tuple(CaseSource(f"s{one}") for one in range(3))
    return Case(phases, tuple(things), sources, tuple(claims))


def by_pyagrum(case: Case) -> float:
    """Seconds that pyAgrum needs for all marginals of the same graph."""
    pyagrum: Any = import_module("pyagrum")
    graph = build_model(case).graph
    start = time.perf_counter()
    network = pyagrum.BayesNet()
    for number, states in enumerate(graph.cards):
        network.add(pyagrum.LabelizedVariable(f"v{number}", "", states))
        network.cpt(f"v{number}").fillWith(1.0).normalizeAsCPT()
    for number, (scope, table) in enumerate(zip(graph.scopes, graph.tables, strict=True)):
        report = f"e{number}"
        network.add(pyagrum.LabelizedVariable(report, "", 2))
        for variable in scope:
            network.addArc(f"v{variable}", report)
        names = [name for name in network.cpt(report).names if name != report]
        turn = [scope.index(int(name[1:])) for name in reversed(names)]
        said = (table / table.max()).transpose(turn)
        cells = np.stack([1 - said, said], axis=-1)
        network.cpt(report)[:] = np.ascontiguousarray(cells)
    engine = pyagrum.LazyPropagation(network)
    engine.setEvidence({f"e{number}": 1 for number in range(len(graph.tables))})
    engine.makeInference()
    for number in range(len(graph.cards)):
        engine.posterior(f"v{number}")
    return time.perf_counter() - start


def told(work: Callable[[Case], float], case: Case, answer: Any) -> None:
    """Run a peer and say how long it took, or what it said."""
    try:
        answer.put(f"{1000 * work(case):.0f} ms")
    except Exception as error:  # a peer may fail in ways of its own
        answer.put(f"failed: {type(error).__name__}")


def patiently(work: Callable[[Case], float], case: Case) -> str:
    """What a peer took, in a process of its own that is ended when patience is."""
    context = get_context("spawn")
    answer = context.Queue()
    process = context.Process(target=told, args=(work, case, answer))
    process.start()
    process.join(PATIENCE)
    if process.is_alive():
        process.kill()
        return f"none within {PATIENCE} s"
    return str(answer.get()) if not answer.empty() else f"died: {process.exitcode}"


def whole_answer(case: Case) -> object:
    """Verdicts with their sensitivity band."""
    return verdicts(assess(case))


def assessment() -> list[tuple[str, str, str]]:
    """Marginals, and verdicts with their band, at 30 and 300 elements."""
    found = []
    for elements in (30, 300):
        case = case_of(elements)
        ours = least(partial(assess, case), 3)
        whole = least(partial(whole_answer, case), 1)
        peer = patiently(by_pyagrum, case)
        found += [
            (f"all marginals, {elements} elements", f"{ours:.0f} ms", f"pyAgrum {peer}"),
            (f"verdicts with band, {elements} elements", f"{whole:.0f} ms", "-"),
        ]
    return found


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
        rows += assessment()
        rows += where_is(Path(folder))
    for what, ours, peer in [("what", "here", "peer"), *rows]:
        print(f"{what:<40} {ours:>14}   {peer}")


if __name__ == "__main__":
    main()
