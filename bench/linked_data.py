"""How fast is an archive written as linked data, loaded, and asked across?

The invented museum is repeated with other keys and numbers until it makes a million
statements. Printed are writing (N-Quads, from records in memory), reading back into
records of a part of it, and for each engine loading the statements (N-Triples, each once)
and the questions of `vestige query --list`, each asked once. The engine used is
pyoxigraph; beside it rdflib, and maplib where that is installed. Each engine runs in a
process of its own; a question that takes longer than the limit is stopped and counts as
the limit, in favour of the slower. `vestige query` starts a process, loads and asks, so
the last line, from the start of the process to the last row, is what its user waits for.

Run: ``python bench/linked_data.py [--statements 1000000] [--limit 10]``.
"""

import argparse
import json
import signal
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable, Iterator
from functools import partial
from pathlib import Path
from typing import Any

from vestige.demo import build
from vestige.graph.collection import Collection
from vestige.graph.record import KINDS, KeyMaker
from vestige.graph.state import Held, State
from vestige.graph.store import SqliteStore
from vestige.ontology.own_reader import read_back
from vestige.ontology.query import questions, with_prefixes
from vestige.ontology.rdf_file import nquads, ntriples, parsed
from vestige.ontology.record_writer import write_state
from vestige.ontology.whole_export import Keeper

ENGINES = ("pyoxigraph", "rdflib", "maplib")
BASE32 = "0123456789ABCDEFGHJKMNPQRSTVWXYZ"


def museums(copies: int) -> State:
    """The invented museum many times over, each time with its own keys and numbers."""
    with Collection(SqliteStore(":memory:"), keys=KeyMaker(seed=1)) as collection:
        build(collection)
        state = collection.whole(reader=Keeper())
    held = [state.held(key) for key in state]
    return State(copy for nth in range(copies) for copy in _renamed(held, nth))


def _renamed(held: list[Held], nth: int) -> Iterator[Held]:
    sign = BASE32[nth // 32] + BASE32[nth % 32]
    keys = {one.key: sign + one.key[2:] for one in held}
    for one in held:
        body: dict[str, Any] = one.record.body()
        for name, value in body.items():
            if isinstance(value, list):
                body[name] = [keys.get(v, v) if isinstance(v, str) else v for v in value]
            elif isinstance(value, str):
                body[name] = keys.get(value, value)
        if "number" in body:
            body["number"] = f"{body['number']}/{nth}"
        record = KINDS[one.record.kind].model_validate(body)
        yield Held(keys[one.key], record, nth * 10_000 + one.seq, one.at, one.by)


def timed(what: Callable[[], Any]) -> tuple[float, Any]:
    start = time.perf_counter()
    found = what()
    return time.perf_counter() - start, found


def engine(name: str, data: str) -> tuple[Callable[[], Any], Callable[[Any, str], int]]:
    """How an engine loads a file, and how it counts the rows of a question."""
    if name == "pyoxigraph":
        import pyoxigraph as ox

        def load() -> Any:
            store = ox.Store()
            store.bulk_load(path=data, format=ox.RdfFormat.N_TRIPLES)
            return store

        return load, lambda store, query: sum(1 for _ in store.query(query))
    if name == "rdflib":
        import rdflib

        return (
            lambda: rdflib.Graph().parse(data, format="nt"),
            lambda graph, query: sum(1 for _ in graph.query(query)),
        )
    import maplib  # type: ignore[import-not-found,unused-ignore]

    def read() -> Any:
        model = maplib.Model()
        model.read(data, format="ntriples")
        return model

    return read, lambda model, query: len(model.query(query).rows())


def run_engine(name: str, data: str, limit: float) -> None:
    """Load and ask; one line of JSON for each, as it is done."""

    def stop(*_: object) -> None:
        raise TimeoutError

    signal.signal(signal.SIGALRM, stop)
    load, count = engine(name, data)
    took, store = timed(load)
    print(json.dumps(["load", took, 0]), flush=True)
    for question in questions().values():
        signal.setitimer(signal.ITIMER_REAL, limit)
        query = with_prefixes(question.sparql)
        try:
            took, rows = timed(partial(count, store, query))
        except TimeoutError:
            took, rows = limit, -1
        except Exception as wrong:
            print(json.dumps([question.name, limit, f"failed: {wrong}"[:90]]), flush=True)
            continue
        finally:
            signal.setitimer(signal.ITIMER_REAL, 0)
        print(json.dumps([question.name, took, rows]), flush=True)


def measure(name: str, data: str, limit: float) -> dict[str, tuple[float, Any]]:
    """What an engine took, in seconds, and how many rows it gave; in its own process."""
    command = [sys.executable, __file__, "--engine", name, "--data", data,
               "--limit", str(limit)]  # fmt: skip
    took_all, ran = timed(
        lambda: subprocess.run(command, capture_output=True, text=True, check=False)
    )
    lines = [json.loads(one) for one in ran.stdout.splitlines()]
    lines += [["whole", took_all, 0]] if lines else []
    if not lines:
        print(f"{name}: {ran.stderr.strip().splitlines()[-1:]}")
    return {what: (took, rows) for what, took, rows in lines}


def main() -> None:
    asked = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    asked.add_argument("--statements", type=int, default=1_000_000)
    asked.add_argument("--limit", type=float, default=10.0)
    asked.add_argument("--engine", help=argparse.SUPPRESS)
    asked.add_argument("--data", help=argparse.SUPPRESS)
    given = asked.parse_args()
    if given.engine:
        run_engine(given.engine, given.data, given.limit)
        return
    report(given.statements, given.limit)


def report(statements: int, limit: float) -> None:
    """Measure everything once and print it."""
    one = list(write_state(museums(1)))
    copies = max(1, -(-statements // sum(len(each.triples) for each in one)))
    state = museums(copies)
    took, written = timed(lambda: list(write_state(state)))
    count = sum(len(each.triples) for each in written)
    lines, text = timed(lambda: nquads(written))
    print(f"{len(state):,} records, {count:,} statements, {len(text) / 1e6:.0f} MB")
    print(f"{'written from records in memory':<34} {took + lines:8.1f} s")
    some = nquads(one).encode()
    back, read = timed(lambda: read_back(list(parsed(some, "N_QUADS", "x.nq")), "x.nq"))
    assert len(read.held) == len(one)
    print(f"{'one museum read back and checked':<34} {back:8.1f} s, {len(one)} records")
    with tempfile.TemporaryDirectory() as folder:
        data = Path(folder) / "museums.nt"
        data.write_text(ntriples(written), encoding="utf-8")
        compare({name: measure(name, str(data), limit) for name in ENGINES}, limit)


def compare(took: dict[str, dict[str, tuple[float, Any]]], limit: float) -> None:
    """The engines side by side; each sum is of the questions, loading apart."""
    engines = [name for name in took if took[name]]
    print(f"\n{'':<24}" + "".join(f"{name:>24}" for name in engines))
    for what in ("load", *questions()):
        cells = []
        for name in engines:
            seconds, rows = took[name].get(what, (limit, "not reached"))
            shown = f"> {limit:g} s" if rows == -1 else f"{seconds * 1000:,.0f} ms"
            cells.append(f"{shown} {'' if what == 'load' else f'({rows})'}"[:23])
        print(f"{what:<24}" + "".join(f"{one:>24}" for one in cells))
    sums = [sum(took[n].get(q, (limit, 0))[0] for q in questions()) for n in engines]
    print(f"{'sum of the questions':<24}" + "".join(f"{one:>22.2f} s" for one in sums))
    whole = [took[n]["whole"][0] for n in engines]
    print(f"{'start, load, questions':<24}" + "".join(f"{one:>22.2f} s" for one in whole))


if __name__ == "__main__":
    main()
