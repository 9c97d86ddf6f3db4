"""`vestige serve`: the pages, on this machine only unless there are accounts."""

import os
import threading
import time
from contextlib import closing, suppress
from importlib.util import find_spec
from pathlib import Path
from typing import TYPE_CHECKING

import click

from .asking import archive_option, opened

if TYPE_CHECKING:
    import socket

    from vestige.ui.gate.sign_in import SignIn

HERE = "127.0.0.1"
FIRST_PORT = 8641
TRIED = 20
NEEDED = ("streamlit", "argon2", "itsdangerous", "joserfc")
"""Packages that the pages need and the command alone does not."""


@click.command()
@archive_option
@click.option(
    "--port",
    type=click.IntRange(1, 65535),
    help=f"Port; left out: the first free one from {FIRST_PORT}.",
)
@click.option("--no-open", is_flag=True, help="Open no browser.")
@click.option("--as", "role", metavar="ROLE", help="Role in which the pages are read.")
@click.option(
    "--listen",
    metavar="ADDRESS",
    default=HERE,
    show_default=True,
    help="Address to listen at; another than this machine's own needs accounts.",
)
def serve(
    archive: Path, port: int | None, no_open: bool, role: str | None, listen: str
) -> None:
    """Show the archive as pages in a browser.

    Without accounts: on this machine only, for one user, without sign-in; whoever sits at
    it sees what ROLE may see. With accounts ('vestige account') everybody signs in. End it
    with Ctrl+C.
    """
    from vestige.graph.errors import Refused

    lacking = [name for name in NEEDED if find_spec(name) is None]
    if lacking:
        raise Refused(
            f"the pages need the package {lacking[0]}, which is not installed; install "
            "Vestige with its extra 'app', for example: pip install 'vestige[app]'"
        )
    from vestige.ui.gate.serve import may_listen, say_how

    with opened(archive) as collection:  # says what is wrong before anything starts
        folder = collection.folder or archive
        collection.store.warm()  # nobody should wait for a question's first time
    sign_in = may_listen(folder, listen)
    if role and sign_in.needed():
        raise Refused("this archive has accounts: each reads in their own role; leave --as")
    chosen = _free_port(port, listen)
    os.environ["VESTIGE_ARCHIVE"] = str(archive.resolve())
    if role:
        os.environ["VESTIGE_ROLE"] = role
    click.echo(f"http://{_in_address(listen)}:{chosen}{_as_whom(role, sign_in.needed())}")
    say_how(sign_in, listen)
    if not no_open:
        threading.Thread(
            target=_open_when_ready, args=(listen, chosen), daemon=True
        ).start()
    _run(sign_in, listen, chosen)


def _as_whom(role: str | None, signs_in: bool) -> str:
    if signs_in:
        return ""
    reads = role or os.environ.get("VESTIGE_ROLE")
    whom = f"as {reads}" if reads else "as the public (restricted content is closed)"
    return f"  reading {whom}"


def _in_address(listen: str) -> str:
    """An address as it stands in a link."""
    return f"[{listen}]" if ":" in listen else listen


def _free_port(wanted: int | None, listen: str) -> int:
    """The port asked for, or the first free one.

    Raises:
        Refused: where it is in use.
    """
    from vestige.graph.errors import Refused

    for port in [wanted] if wanted else range(FIRST_PORT, FIRST_PORT + TRIED):
        with closing(_probe(listen)) as probe, suppress(OSError):
            probe.bind((listen, port))
            return port
    if wanted:
        raise Refused(f"port {wanted} is in use; name another, or leave --port out")
    last = FIRST_PORT + TRIED - 1
    raise Refused(f"no port from {FIRST_PORT} to {last} is free; name one with --port")


def _probe(listen: str) -> "socket.socket":
    """A socket that tells whether a port is free, or answers."""
    import socket

    probe = socket.socket(socket.AF_INET6 if ":" in listen else socket.AF_INET)
    probe.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
    return probe


def _open_when_ready(listen: str, port: int) -> None:
    import webbrowser

    for _ in range(200):
        with closing(_probe(listen)) as probe:
            if probe.connect_ex((listen, port)) == 0:
                webbrowser.open(f"http://{_in_address(listen)}:{port}")
                return
        time.sleep(0.1)


def options(port: int, listen: str = HERE, host: str = HERE) -> dict[str, object]:
    """Options of the page server: nothing sent anywhere, our look."""
    from vestige.ui.page.look import THEME

    return {
        "server.address": listen,
        "server.port": port,
        "server.headless": True,
        "server.fileWatcherType": "none",
        "server.maxUploadSize": 100,
        "server.enableXsrfProtection": True,
        "browser.gatherUsageStats": False,
        "browser.serverAddress": host,
        "client.showErrorDetails": "none",
        "client.showErrorLinks": False,
        "client.toolbarMode": "minimal",
        "logger.level": "warning",
        **THEME,
    }


def _run(sign_in: "SignIn", listen: str, port: int) -> None:
    from urllib.parse import urlsplit

    from vestige.ui import app
    from vestige.ui.gate.serve import run

    host = urlsplit(sign_in.settings.address or "").hostname or listen
    run(Path(app.__file__), sign_in, listen, port, options(port, listen, host))


SERVING = (serve,)
