"""How long pages take: first paint and a change of view, in a real Chromium.

``python bench/pages.py [ELEMENTS ...] [--records N | --archive FOLDER]`` builds an
invented object with so many elements in an archive of its own, or the archive of
bench/keeping.py with so many records, starts the app, and prints medians in milliseconds.
First paint counts from the request to the heading and the end of the script; the
assessment is reckoned in the first one, and kept. A change is a click that runs the script
of a page that is there again: another role on the start page, another view of an object,
the larger type beside an element.

The peer is Streamlit itself with a page that holds a heading and two radio buttons, in
the same browser: what the framework costs with nothing of ours. ``x`` is our median over
its.
"""

import argparse
import os
import platform
import shutil
import socket
import statistics
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable, Iterator
from contextlib import closing, contextmanager
from pathlib import Path
from typing import TYPE_CHECKING

import keeping

from vestige.graph.collection import Collection
from vestige.graph.record import (
    Claim,
    Element,
    ElementSort,
    MuseumObject,
    Phase,
    Record,
    Relation,
    Span,
    Strength,
)
from vestige.ui.page.words import LARGE

if TYPE_CHECKING:
    from playwright.sync_api import Page

RUNS = 5
READY = (
    "() => document.querySelector('h1,h2') && document.querySelector('[data-testid=stApp]')"
    ".dataset.testScriptState === 'notRunning'"
)


def build(folder: Path, elements: int) -> None:
    """An object of one core, parts on it, and a layer on every third part, with claims."""
    with Collection.create(folder) as archive:
        home, *_ = _said(archive, [MuseumObject(number="B-1", name="bench object")])
        phases = [
            Phase(object=home, number=f"P{n}", name=f"P{n}", order=n, span=span)
            for n, span in enumerate((Span.MAKING, Span.USE, Span.MUSEUM), 1)
        ]
        _said(archive, list(phases))
        parts = [
            Element(
                number=f"E{n}",
                object=home,
                name=f"part {n}",
                sort=ElementSort.LAYER if n % 3 == 2 else ElementSort.PART,
                core=True if n == 0 else None,
            )
            for n in range(elements)
        ]
        keys = _said(archive, list(parts))
        claims = [
            Claim(
                number=f"C{n}",
                about=keys[n],
                relation=Relation.LIES_OVER,
                other=keys[n - 1],
                strength=Strength.STRONG,
            )
            for n in range(1, elements)
            if n % 3 == 2
        ]
        _said(archive, list(claims))


def _said(archive: Collection, records: list[Record]) -> list[str]:
    from vestige.graph.ledger import State

    keys = [archive.keys.new() for _ in records]
    pairs = zip(keys, records, strict=True)
    archive.record("bench", [State(one.kind, key, one.body()) for key, one in pairs])
    return keys


PEER = """
import streamlit as st
st.title("nothing")
st.radio("view", ["one", "two"])
"""


def free_port() -> int:
    """A port of this machine that nobody uses."""
    with closing(socket.socket()) as probe:
        probe.bind(("127.0.0.1", 0))
        return int(probe.getsockname()[1])


@contextmanager
def started(command: list[str], port: int) -> Iterator[str]:
    """A server, and its address."""
    running = subprocess.Popen(
        [sys.executable, *command], stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL
    )
    try:
        for _ in range(600):
            with closing(socket.socket()) as probe:
                if probe.connect_ex(("127.0.0.1", port)) == 0:
                    break
            time.sleep(0.1)
        yield f"http://127.0.0.1:{port}"
    finally:
        running.terminate()
        running.wait(20)


def ours(folder: Path, port: int) -> list[str]:
    """The command that serves an archive."""
    command = ["-c", "from vestige.ui.command import main; main()", "serve"]
    return [*command, "--archive", str(folder), "--port", str(port), "--no-open"]


def peer(script: Path, port: int) -> list[str]:
    """The command that serves the framework with nothing of ours."""
    script.write_text(PEER, encoding="utf-8")
    flags = ["--server.headless=true", "--browser.gatherUsageStats=false"]
    flags += ["--server.fileWatcherType=none", "--server.address=127.0.0.1"]
    return ["-m", "streamlit", "run", str(script), f"--server.port={port}", *flags]


QUIET = 300
"""Milliseconds without any change after which a page counts as drawn; not counted in."""
WATCH = """() => {
  const app = document.querySelector('[data-testid=stApp]');
  window.begun = null; window.last = null;
  document.addEventListener('click', () => { window.begun ??= performance.now(); },
    { capture: true, once: true });
  window.watch?.disconnect();
  window.watch = new MutationObserver(() => { window.last = performance.now(); });
  window.watch.observe(app,
    { attributes: true, childList: true, subtree: true, characterData: true });
}"""
SETTLED = """quiet => window.begun !== null && window.last !== null
  && document.querySelector('[data-testid=stApp]').dataset.testScriptState === 'notRunning'
  && performance.now() - Math.max(window.begun, window.last) > quiet"""


def measured(page: "Page", act: Callable[[], object]) -> float:
    """Milliseconds from a click until the last change that it made to the page."""
    page.evaluate(WATCH)
    act()
    page.wait_for_function(SETTLED, arg=QUIET)
    return float(page.evaluate("() => window.last - window.begun"))


def painted(page: "Page", address: str) -> tuple[float, float]:
    """First paint of an address: the first time, and the median of the times after."""
    times = []
    for _ in range(RUNS):
        begun = time.perf_counter()
        page.goto(address)
        page.wait_for_function(READY)
        times.append((time.perf_counter() - begun) * 1000)
    return times[0], statistics.median(times[1:])


def changed(page: "Page", acts: list[Callable[[], object]]) -> float:
    """Median of a change of a page that is there; the first of each is not counted."""
    for act in acts:
        measured(page, act)
    return statistics.median(measured(page, act) for act in acts * RUNS)


def pages_of(home: str, element: str) -> list[tuple[str, str, tuple[str, str]]]:
    """Name, address and the two radio buttons that change it."""
    return [
        ("start", "?view=conservator", ("", "")),
        ("object", f"object?o={home}", ("Arrangements", "Elements")),
        ("element", f"element?e={element}", ("", "")),
    ]


def turns(page: "Page", names: tuple[str, str]) -> list[Callable[[], object]]:
    """What changes a page: its own radio buttons, else the larger type at the side."""
    if names[0]:
        return [page.get_by_role("radio", name=one).click for one in names]
    larger = page.get_by_text(LARGE, exact=True)
    return [larger.click] * 2


def report(page: "Page", address: str, size: str, home: str, element: str) -> None:
    """Measure every page of one archive beside the peer, and print a line for each."""
    with tempfile.TemporaryDirectory() as folder:
        port = free_port()
        with started(peer(Path(folder) / "peer.py", port), port) as other:
            _, bare = painted(page, other)
            words = [page.get_by_text(one, exact=True) for one in ("two", "one")]
            turn = changed(page, [one.click for one in words])
    for name, path, names in pages_of(home, element):
        first, again = painted(page, f"{address}/{path}")
        change = changed(page, turns(page, names))
        cells = f"{first:8.0f} {again:8.0f} x{again / bare:4.1f} {change:8.0f}"
        print(f"{size:<18} {name:<8} {cells} x{change / turn:4.1f}", flush=True)
    print(f"{size:<18} {'peer':<8} {'':>8} {bare:8.0f} {'':>5} {turn:8.0f}", flush=True)


def served(page: "Page", folder: Path, size: str, home: str, element: str) -> None:
    """Start the app on an archive and measure it."""
    port = free_port()
    with started(ours(folder, port), port) as address:
        page.goto(address)
        page.wait_for_function(READY)
        report(page, address, size, home, element)


def main() -> None:
    """Measure for each number of elements, or for an archive of many records."""
    from playwright.sync_api import sync_playwright

    asked = argparse.ArgumentParser(description=__doc__)
    asked.add_argument("elements", nargs="*", type=int)
    asked.add_argument("--records", type=int, help="build bench/keeping.py's archive")
    asked.add_argument("--archive", type=Path, help="one of its archives, built before")
    said = asked.parse_args()
    program = shutil.which("chromium") or shutil.which("google-chrome")
    if program is None:
        raise SystemExit("there is no Chromium on this machine; nothing was measured")
    load = os.getloadavg()[0]
    print(f"{platform.system()} {platform.machine()}, {os.cpu_count()} cores, load {load}")
    print("milliseconds                   first    again          change")
    with sync_playwright() as play, tempfile.TemporaryDirectory() as made:
        arguments = ["--no-sandbox", "--disable-gpu"]
        browser = play.chromium.launch(executable_path=program, args=arguments)
        page = browser.new_page()
        page.set_default_timeout(60_000)
        many = said.records or said.archive
        for elements in said.elements or ([] if many else [100, 1000]):
            folder = Path(made) / str(elements)
            build(folder, elements)
            served(page, folder, f"{elements:,} elements", "B-1", "E5")
        if many:
            archive = said.archive or Path(made) / "many"
            if said.archive is None:
                keeping.filled(archive, said.records)[0].store.close()
            with Collection.open(archive) as there:
                size = f"{sum(there.store.tally().values()):,} records"
            served(page, archive, size, "INV.0-1", "INV.0-1.1")


if __name__ == "__main__":
    main()
