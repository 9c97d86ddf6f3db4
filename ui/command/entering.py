"""Who uses the command, where the archive has accounts.

Without accounts a role named on the command line is taken at its word. With accounts,
reading in a role and recording need the account of somebody who has it: its name from
VESTIGE_ACCOUNT or asked for, its password from VESTIGE_PASSWORD or asked for unseen.
Nothing here guards the archive's file from somebody who may read the disk.
"""

import os
import sys
from pathlib import Path
from typing import TYPE_CHECKING

import click

from .asking import NO_ACCESS

if TYPE_CHECKING:
    from vestige.graph.state import Reader
    from vestige.ui.gate import Account

NAME, PASSWORD = "VESTIGE_ACCOUNT", "VESTIGE_PASSWORD"


class RefusedByAccess(click.ClickException):
    """What somebody asked for is not open to them; the command ends with code 3."""

    exit_code = NO_ACCESS


def guarded(folder: Path | None) -> bool:
    """Whether somebody must say who they are before they read in a role or record."""
    if folder is None:
        return False
    from vestige.ui.gate.account import Accounts
    from vestige.ui.gate.settings import AccessSettings

    return Accounts(folder).exist() or AccessSettings.of(folder).provider is not None


def reader_in(folder: Path | None, role: str) -> "tuple[Reader, str]":
    """Who reads in a role or for an authority, and what the view log calls them.

    Raises:
        RefusedByAccess: where the archive has accounts and none that was named has it.
    """
    from vestige.graph.state import Reader
    from vestige.ui.gate.view_log import NO_ACCOUNT

    if folder is None or not guarded(folder):
        return Reader(role), NO_ACCOUNT
    account = signed_in(folder)
    has = {one.casefold() for one in (account.role, *account.opens)}
    if role.casefold() not in has:
        raise RefusedByAccess(f"the account {account.name} does not read as '{role}'")
    return account.reader, account.name


def may_record(folder: Path | None, by: str | None = None) -> "Account | None":
    """Whose account records; None where there are no accounts. Who only reads is refused.

    Args:
        folder: folder of the archive.
        by: role under which something is to be recorded; must be one of the account's.

    Raises:
        RefusedByAccess: where the archive has accounts and none that records was named.
    """
    if folder is None or not guarded(folder):
        return None
    from vestige.ui.gate.account import RECORDING

    account = signed_in(folder)
    if account.role not in RECORDING:
        raise RefusedByAccess(
            f"the account {account.name} is {account.role}: it reads and records nothing"
        )
    holds = (account.role, *account.opens)
    if by is not None and by.casefold() not in {one.casefold() for one in holds}:
        raise RefusedByAccess(
            f"the account {account.name} does not hold the role '{by}'; it records as: "
            f"{', '.join(holds)}"
        )
    return account


def signed_in(folder: Path) -> "Account":
    """The account of whoever uses the command.

    Raises:
        RefusedByAccess: where name and password are not given or do not fit.
    """
    from vestige.ui.gate.account import Accounts

    name, password = os.environ.get(NAME), os.environ.get(PASSWORD)
    asks = sys.stdin.isatty()
    if not asks and (name is None or password is None):
        raise RefusedByAccess(
            f"this archive has accounts: set {NAME} and {PASSWORD}, or run it at a "
            "terminal, where they are asked for"
        )
    if name is None:
        name = str(click.prompt("Account", err=True))
    if password is None:
        password = str(
            click.prompt(f"Password of {name}", hide_input=True, err=True, default="")
        )
    found = Accounts(folder).check(name, password)
    if found is None:
        raise RefusedByAccess("name or password is wrong")
    return found
