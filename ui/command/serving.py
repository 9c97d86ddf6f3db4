"""`vestige serve`: the pages, on this machine only."""

import os
import socket
import threading
import time
import webbrowser
from contextlib import closing, suppress
from importlib.util import find_spec
from pathlib import Path

import click

from .asking import archive_option, opened

HERE = "127.0.0.1"
FIRST_PORT = 8641
TRIED = 20


@click.command()
@archive_option
@click.option(
    "--port",
    type=click.IntRange(1, 65535),
    help=f"Port; left out: the first free one from {FIRST_PORT}.",
)
@click.option("--no-open", is_flag=True, help="Open no browser.")
@click.option("--as", "role", metavar="ROLE", help="Role in which the pages are read.")
def serve(archive: Path, port: int | None, no_open: bool, role: str | None) -> None:
    """Show the archive as pages in a browser, on this machine only.

    For one user, without sign-in: whoever sits at this machine sees what ROLE may see.
    End it with Ctrl+C.
    """
    from vestige.graph.errors import Refused

    if find_spec("streamlit") is None:
        raise Refused(
            "the pages need the package streamlit, which is not installed; install "
            "Vestige with its extra 'app', for example: pip install 'vestige[app]'"
        )
    opened(archive).store.close()  # says what is wrong before anything starts
    chosen = _free_port(port)
    os.environ["VESTIGE_ARCHIVE"] = str(archive.resolve())
    if role:
        os.environ["VESTIGE_ROLE"] = role
    address = f"http://{HERE}:{chosen}"
    reads = role or os.environ.get("VESTIGE_ROLE")
    as_whom = f"as {reads}" if reads else "as the public (restricted content is closed)"
    click.echo(f"{address}  reading {as_whom}")
    click.echo("this machine only, one user, no sign-in; end it with Ctrl+C")
    if not no_open:
        threading.Thread(target=_open_when_ready, args=(chosen,), daemon=True).start()
    _run(chosen)


def _free_port(wanted: int | None) -> int:
    """The port asked for, or the first free one.

    Raises:
        Refused: where it is in use.
    """
    from vestige.graph.errors import Refused

    for port in [wanted] if wanted else range(FIRST_PORT, FIRST_PORT + TRIED):
        with closing(socket.socket()) as probe:
            probe.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
            with suppress(OSError):
                probe.bind((HERE, port))
                return port
    if wanted:
        raise Refused(f"port {wanted} is in use; name another, or leave --port out")
    last = FIRST_PORT + TRIED - 1
    raise Refused(f"no port from {FIRST_PORT} to {last} is free; name one with --port")


def _open_when_ready(port: int) -> None:
    for _ in range(200):
        with closing(socket.socket()) as probe:
            if probe.connect_ex((HERE, port)) == 0:
                webbrowser.open(f"http://{HERE}:{port}")
                return
        time.sleep(0.1)


def options(port: int) -> dict[str, object]:
    """Options of the server: this machine only, nothing sent anywhere, our look."""
    from vestige.ui.page.look import THEME

    return {
        "server.address": HERE,
        "server.port": port,
        "server.headless": True,
        "server.fileWatcherType": "none",
        "server.maxUploadSize": 100,
        "server.enableXsrfProtection": True,
        "browser.gatherUsageStats": False,
        "browser.serverAddress": HERE,
        "client.showErrorDetails": "none",
        "client.showErrorLinks": False,
        "client.toolbarMode": "minimal",
        "logger.level": "warning",
        **THEME,
    }


def _run(port: int) -> None:
    from streamlit.web import bootstrap

    from vestige.ui import app

    flags = {name.replace(".", "_"): value for name, value in options(port).items()}
    bootstrap.load_config_options(flags)
    bootstrap.run(str(Path(app.__file__)), False, [], flags)


SERVING = (serve,)
