"""A real Chromium before the real app on an invented museum; skipped without one."""

import os
import shutil
import socket
import subprocess
import sys
import time
from collections.abc import Callable, Iterator
from contextlib import closing
from pathlib import Path
from typing import TYPE_CHECKING

import pytest

if TYPE_CHECKING:
    from playwright.sync_api import Browser, Page

PROGRAMS = ("chromium", "chromium-browser", "google-chrome", "chrome")
QUIET = (
    "--no-sandbox", "--disable-gpu", "--disable-background-networking", "--no-first-run",
    "--disable-component-update", "--disable-sync", "--disable-quic",
)  # fmt: skip
PATIENCE = 40_000
"""Milliseconds until a page must have answered; two cores may be busy."""


def chromium() -> str | None:
    """Path of the browser; None where there is none."""
    return next((found for name in PROGRAMS if (found := shutil.which(name))), None)


def free_port() -> int:
    """A port of this machine that nobody uses."""
    with closing(socket.socket()) as probe:
        probe.bind(("127.0.0.1", 0))
        return int(probe.getsockname()[1])


Serve = Callable[..., str]


@pytest.fixture(scope="session")
def serve(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Serve]:
    """Start the app on an archive, in a role; gives its address."""
    started: list[subprocess.Popen[bytes]] = []

    def start(archive: Path, role: str | None = None) -> str:
        port = free_port()
        command = [sys.executable, "-c", "from vestige.ui.command import main; main()"]
        command += ["serve", "--archive", str(archive), "--port", str(port), "--no-open"]
        command += ["--as", role] if role else []
        log = tmp_path_factory.mktemp("log") / "app.txt"
        env = {name: said for name, said in os.environ.items() if "VESTIGE" not in name}
        with log.open("wb") as out:
            started.append(subprocess.Popen(command, stdout=out, stderr=out, env=env))
        for _ in range(300):
            with closing(socket.socket()) as probe:
                if probe.connect_ex(("127.0.0.1", port)) == 0:
                    return f"http://127.0.0.1:{port}"
            assert started[-1].poll() is None, log.read_text("utf-8")
            time.sleep(0.1)
        raise AssertionError(log.read_text("utf-8"))

    yield start
    for one in started:
        one.terminate()
        one.wait(20)


@pytest.fixture(scope="session")
def browser() -> "Iterator[Browser]":
    """A Chromium without a window."""
    program = chromium()
    if program is None:
        if os.environ.get("CI"):
            pytest.fail("CI runs the tests of the pages, and there is no Chromium")
        pytest.skip("no Chromium on this machine: nothing was tried in a real browser")
    from playwright.sync_api import sync_playwright

    with sync_playwright() as play:
        started = play.chromium.launch(executable_path=program, args=list(QUIET))
        yield started
        started.close()


@pytest.fixture
def own_archive(museum: Path, tmp_path: Path) -> Path:
    """A copy of the museum of one's own."""
    return Path(shutil.copytree(museum, tmp_path / "own"))


@pytest.fixture(scope="session")
def address(
    serve: Serve, recorded_museum: Path, tmp_path_factory: pytest.TempPathFactory
) -> str:
    """The app on a copy of the museum that nobody records into."""
    copy = tmp_path_factory.mktemp("read") / "museum"
    return serve(Path(shutil.copytree(recorded_museum, copy)))


@pytest.fixture
def page(browser: "Browser") -> "Iterator[Page]":
    """A tab that lets no request leave this machine; one that tries fails the test."""
    context = browser.new_context(viewport={"width": 1300, "height": 1000})
    context.set_default_timeout(PATIENCE)
    left: list[str] = []
    tab = context.new_page()
    tab.on("request", lambda sent: left.append(sent.url))
    yield tab
    context.close()
    inside = ("http://127.0.0.1:", "ws://127.0.0.1:", "data:", "blob:")
    assert [url for url in left if not url.startswith(inside)] == []
