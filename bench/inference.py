"""All marginals of the same factor graphs, here and by public libraries of the field.

Objects of 30, 300 and 3,000 elements in assemblies of twelve, with three sources that
speak about the whole of it. Beside each other in one run: this engine (planning counted
in), pyAgrum's lazy propagation with every factor as an observed child, and, where it
is installed, opt_einsum (one contraction of all tables for every marginal).
A peer gets PATIENCE seconds in a process of its own; what it says when it fails is told.
Agreement is printed too: a fast wrong answer is none.

Run: ``python bench/inference.py [--sizes 30,300,3000]``. Least of several runs, on
whatever else the machine is doing; trust the ratios.
"""

import argparse
import os
import platform
import time
from collections.abc import Callable
from importlib import import_module
from multiprocessing import get_context
from typing import Any

import numpy as np
import numpy.typing as npt

from vestige.graph.reasoning import (
    Case,
    CaseClaim,
    CasePhase,
    CaseSource,
    FactorGraph,
    Params,
    Thing,
    ThingKind,
    assess,
    build_model,
    plan,
    solve,
    verdicts,
)
from vestige.graph.record import Relation, Span

PATIENCE = 60  # seconds until a peer is given up
WIDE = 3e8  # table entries that this study may use; an assessment stops long before
Shares = list[npt.NDArray[np.float64]]


def invented_case(elements: int, sources: int = 3) -> Case:
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
        source, phase = f"s{rng.integers(sources)}", f"P{rng.integers(4)}"
        claims += [
            CaseClaim(f"b{one}", source, Relation.BELONGS_TO, f"t{one}", phase=phase),
            CaseClaim(f"o{one}", source, Relation.LATER_THAN, f"t{one}", other=parent),
        ]
    speakers = tuple(CaseSource(f"s{one}") for one in range(sources))
    return Case(phases, tuple(things), speakers, tuple(claims))


# ------------------------------------------------------------------ the engines


def here(graph: FactorGraph, late: tuple[int, ...]) -> Shares:
    """This engine, from the graph to every marginal."""
    found = solve(plan(graph, WIDE, late), graph.tables)
    return [found.marginal(one) for one in range(len(graph.cards))]


def by_pyagrum(graph: FactorGraph) -> Shares:
    """Lazy propagation; every factor is an observed child of what it speaks about."""
    pyagrum: Any = import_module("pyagrum")
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
        network.cpt(report)[:] = np.ascontiguousarray(np.stack([1 - said, said], axis=-1))
    engine = pyagrum.LazyPropagation(network)
    engine.setEvidence({f"e{number}": 1 for number in range(len(graph.tables))})
    engine.makeInference()
    return [engine.posterior(f"v{one}").toarray() for one in range(len(graph.cards))]


def by_opt_einsum(graph: FactorGraph) -> Shares:
    """One contraction of all tables for every variable."""
    contract: Any = import_module("opt_einsum").contract
    operands: list[object] = []
    for scope, table in zip(graph.scopes, graph.tables, strict=True):
        operands += [table / table.max(), list(scope)]
    found = []
    for variable in range(len(graph.cards)):
        shares = contract(*operands, [variable], optimize="greedy")
        found.append(shares / shares.sum())
    return found


PEERS: dict[str, Callable[[FactorGraph], Shares]] = {
    "pyAgrum": by_pyagrum,
    "opt_einsum": by_opt_einsum,
}


# ------------------------------------------------------------------ the run


def told(name: str, elements: int, answer: Any) -> None:
    """Run a peer; say how long it took and how far it is from here, or what it said."""
    model = build_model(invented_case(elements))
    try:
        start = time.perf_counter()
        theirs = PEERS[name](model.graph)
        took = time.perf_counter() - start
    except Exception as error:  # a peer may fail in ways of its own
        answer.put((None, f"failed: {type(error).__name__}"))
        return
    ours = here(model.graph, model.late)
    apart = max(float(np.abs(a - b).max()) for a, b in zip(ours, theirs, strict=True))
    answer.put((took, f"largest difference {apart:.0e}"))


def patiently(name: str, elements: int) -> tuple[float | None, str]:
    """What a peer took, in a process of its own that is ended when patience is."""
    context = get_context("spawn")
    answer = context.Queue()
    process = context.Process(target=told, args=(name, elements, answer))
    process.start()
    process.join(PATIENCE)
    if process.is_alive():
        process.kill()
        return None, f"none within {PATIENCE} s"
    return answer.get() if not answer.empty() else (None, f"died: {process.exitcode}")


def installed(name: str) -> bool:
    """Whether a peer is there."""
    try:
        import_module(name.lower())
    except ImportError:
        return False
    return True


def least(work: Callable[[], object], runs: int) -> float:
    """Least seconds of several runs."""
    times = []
    for _ in range(runs):
        start = time.perf_counter()
        work()
        times.append(time.perf_counter() - start)
    return min(times)


def main() -> None:
    """Print the table."""
    parser = argparse.ArgumentParser(description=__doc__.split("\n", 1)[0])
    parser.add_argument("--sizes", default="30,300,3000", help="separated by commas")
    sizes = [int(text) for text in parser.parse_args().sizes.split(",")]
    print(
        f"{platform.system()} {platform.machine()}, Python {platform.python_version()}, "
        f"{os.cpu_count()} cores"
    )
    for elements in sizes:
        case = invented_case(elements)
        model = build_model(case)
        cost = plan(model.graph, WIDE, model.late)
        ours = least(lambda model=model: here(model.graph, model.late), 3)  # type: ignore[misc]
        print(
            f"\n{elements} elements: {len(model.graph.cards)} unknowns, "
            f"{len(model.graph.tables)} tables, {cost.entries:.1e} entries"
        )
        print(f"   here                 {1000 * ours:9.0f} ms")
        for name in PEERS:
            if not installed(name):
                print(f"   {name:<20} not installed")
                continue
            took, words = patiently(name, elements)
            times = f"{1000 * took:9.0f} ms   {took / ours:6.1f} times" if took else "-"
            print(f"   {name:<20} {times}   {words}", flush=True)
        if cost.entries <= Params().budget:
            whole = least(lambda case=case: verdicts(assess(case)), 1)  # type: ignore[misc]
            print(f"   verdicts with band   {1000 * whole:9.0f} ms")


if __name__ == "__main__":
    main()
