"""How long pages take: first paint and a change of view, in a real Chromium.

``python bench/pages.py [ELEMENTS ...]`` builds an object with so many elements in an
archive of its own, starts the app, and prints medians in milliseconds. First paint counts
from the request to the heading and the end of the script; the assessment is reckoned in
it once, and kept. A change of view is a click on another view of a page that is there.
"""

import os
import platform
import shutil
import socket
import statistics
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable
from contextlib import closing
from pathlib import Path
from typing import TYPE_CHECKING

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

if TYPE_CHECKING:
    from playwright.sync_api import Page

RUNS = 5
READY = (
    "() => document.querySelector('h1') && document.querySelector('[data-testid=stApp]')"
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


def started(folder: Path) -> tuple[subprocess.Popen[bytes], str]:
    """The app on an archive, and its address."""
    with closing(socket.socket()) as probe:
        probe.bind(("127.0.0.1", 0))
        port = int(probe.getsockname()[1])
    command = [sys.executable, "-c", "from vestige.ui.command import main; main()", "serve"]
    command += ["--archive", str(folder), "--port", str(port), "--no-open"]
    running = subprocess.Popen(command, stdout=subprocess.DEVNULL)
    for _ in range(300):
        with closing(socket.socket()) as probe:
            if probe.connect_ex(("127.0.0.1", port)) == 0:
                break
        time.sleep(0.1)
    return running, f"http://127.0.0.1:{port}"


def measured(page: "Page", act: Callable[[], object]) -> float:
    """Milliseconds from an act until the page is drawn."""
    begun = time.perf_counter()
    act()
    page.wait_for_timeout(60)  # until the script has begun
    page.wait_for_function(READY)
    return (time.perf_counter() - begun) * 1000


def report(elements: int, program: str) -> None:
    """Build, measure, print one line."""
    from playwright.sync_api import sync_playwright

    with tempfile.TemporaryDirectory() as made:
        build(Path(made), elements)
        running, address = started(Path(made))
        try:
            with sync_playwright() as play:
                arguments = ["--no-sandbox", "--disable-gpu"]
                browser = play.chromium.launch(executable_path=program, args=arguments)
                page = browser.new_page()
                page.set_default_timeout(180_000)
                page.goto(address)
                page.wait_for_function(READY)
                cells = [f"{elements:>8}"]
                for path in ("", "object?o=B-1", "element?e=E5"):
                    times = [
                        measured(page, lambda path=path: page.goto(f"{address}/{path}"))  # type: ignore[misc]
                        for _ in range(RUNS)
                    ]
                    cells.append(f"{times[0]:>7.0f} {statistics.median(times[1:]):>7.0f}")
                page.goto(f"{address}/object?o=B-1")
                page.wait_for_function(READY)
                views = ["Arrangements", "Elements"] * RUNS
                turns = [
                    measured(page, page.get_by_role("radio", name=name).click)
                    for name in views
                ]
                print(*cells, f"{statistics.median(turns):>9.0f}", sep="   ", flush=True)
        finally:
            running.terminate()
            running.wait(20)


def main() -> None:
    """Measure for each number of elements."""
    program = shutil.which("chromium") or shutil.which("google-chrome")
    if program is None:
        raise SystemExit("there is no Chromium on this machine; nothing was measured")
    print(f"{platform.system()} {platform.machine()}, {os.cpu_count()} cores; milliseconds")
    print("                start            object            element       change")
    print("elements    first   again     first   again     first   again   of view")
    for elements in [int(one) for one in sys.argv[1:]] or [100, 1000]:
        report(elements, program)


if __name__ == "__main__":
    main()
