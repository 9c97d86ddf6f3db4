"""Run the pages behind the door, in one process."""

from collections.abc import Mapping
from pathlib import Path
from typing import Any

import click

from vestige.graph.errors import Refused

from . import words
from .account import Accounts
from .door import Door
from .present import guard
from .session import Sessions
from .settings import AccessSettings, is_here
from .sign_in import SignIn


def may_listen(folder: Path, listen: str) -> SignIn:
    """What is needed to sign in to an archive, where it may be reached at an address.

    Raises:
        Refused: where it would be reached from elsewhere without any account.
        BadValue: where the settings are wrong.
    """
    accounts = Accounts(folder)
    accounts.all()  # a broken list is told before anything starts
    sign_in = SignIn(accounts, Sessions(accounts), AccessSettings.of(folder))
    if not sign_in.needed() and not is_here(listen):
        raise Refused(words.NEEDS_ACCOUNTS)
    return sign_in


def say_how(sign_in: SignIn, listen: str) -> None:
    """Tell on the terminal who can reach the pages, and what is not protected."""
    if not sign_in.needed():
        click.echo(words.ONLY_HERE)
        return
    click.echo(words.SIGNED_IN_ONLY)
    if sign_in.settings.secure:
        click.echo(words.BEHIND_PROXY.format(address=sign_in.settings.address))
    elif not is_here(listen):
        click.echo(words.NO_TLS, err=True)


def run(
    script: Path, sign_in: SignIn, listen: str, port: int, options: Mapping[str, object]
) -> None:
    """Serve until it is ended; everything passes the door.

    Args:
        script: the app.
        options: of the page server, by their dotted names.
    """
    import streamlit
    import uvicorn
    from streamlit.web import bootstrap

    flags = {name.replace(".", "_"): value for name, value in options.items()}
    bootstrap.load_config_options(flags)
    guard(sign_in)
    app: Any = Door(streamlit.App(str(script)), sign_in)
    uvicorn.run(
        app,
        host=listen,
        port=port,
        log_level="warning",
        access_log=False,
        server_header=False,
        # Who asks is whom the socket names, not what a header says; but for proxies named.
        proxy_headers=len(sign_in.settings.proxies) > 0,
        forwarded_allow_ips=list(sign_in.settings.proxies),
        ws="websockets-sansio",
        ws_max_size=200 * 2**20,
        timeout_graceful_shutdown=3,
    )
