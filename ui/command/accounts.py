"""`vestige account` and `vestige views`: who may sign in, and who was shown what."""

import sys
from pathlib import Path
from typing import TYPE_CHECKING

import click

from .asking import archive_option, opened
from .entering import may_record

if TYPE_CHECKING:
    from vestige.ui.gate import Accounts

ROLES = ("conservator", "registrar", "researcher", "guest")
ROLE = click.Choice(ROLES)
OPENS_HELP = (
    "Authority (as in 'whom to ask') whose restricted content is opened to them; several "
    "times for several."
)


@click.group()
def account() -> None:
    """Who may sign in to the pages, and in which role.

    conservator and registrar read and record; researcher and guest only read. Restricted
    content is opened to a role, or by --opens, where the restriction names it. With the
    first account, the pages and reading in a role ask for sign-in. Accounts lie beside
    the record, in accounts.json; they guard no file from whoever may read the disk.
    """


@account.command()
@click.argument("name")
@click.option("--role", required=True, type=ROLE, help="In which role they sign in.")
@click.option("--opens", multiple=True, metavar="AUTHORITY", help=OPENS_HELP)
@archive_option
def add(name: str, role: str, opens: tuple[str, ...], archive: Path) -> None:
    """Make an account; the password is asked for, or read as one line of the input."""
    accounts = _accounts(archive)
    first = not accounts.exist()
    made = accounts.add(name, role, _password(), opens)
    click.echo(f"{made.name} may sign in as {made.role}{_opened(made.opens)}")
    if first:
        click.echo(
            "from now on the pages need sign-in, and the command asks for an account "
            "before it reads in a role or records",
            err=True,
        )


@account.command("list")
@archive_option
def listing(archive: Path) -> None:
    """Who may sign in."""
    accounts = _accounts(archive)
    every = accounts.all()
    for one in every:
        click.echo(f"{one.name}  {one.role}{_opened(one.opens)}")
    if not every:
        none = "nobody can sign in" if accounts.exist() else "this machine only, one user"
        click.echo(f"no accounts: {none}")


@account.command()
@click.argument("name")
@click.argument("to", metavar="ROLE", required=False, type=ROLE)
@click.option("--opens", multiple=True, metavar="AUTHORITY", help=OPENS_HELP)
@click.option("--opens-none", is_flag=True, help="Take all authorities away.")
@archive_option
def role(
    name: str, to: str | None, opens: tuple[str, ...], opens_none: bool, archive: Path
) -> None:
    """Give an account another ROLE, or other authorities in place of its own."""
    if to is None and not opens and not opens_none:
        raise click.UsageError("name a ROLE, --opens AUTHORITY or --opens-none")
    if opens and opens_none:
        raise click.UsageError("--opens and --opens-none do not go together")
    given = opens if opens or opens_none else None
    now = _accounts(archive).set_role(name, to, given)
    click.echo(f"{now.name} is {now.role}{_opened(now.opens)}; open sessions have ended")


@account.command()
@click.argument("name")
@archive_option
def remove(name: str, archive: Path) -> None:
    """Take an account away. Its lines in the view log stay."""
    _accounts(archive).remove(name)
    click.echo(f"{name} can sign in no more; open sessions have ended")


@account.command()
@click.argument("name")
@archive_option
def passwd(name: str, archive: Path) -> None:
    """Give an account another password, asked for or read as one line of the input."""
    accounts = _accounts(archive)
    accounts.get(name)  # an unknown name is told before a password is typed
    accounts.set_password(name, _password())
    click.echo(f"the password of {name} is changed; open sessions have ended")


@click.command()
@click.argument("number", required=False, metavar="[ID]")
@click.option("--who", metavar="NAME", help="Only views by this account.")
@archive_option
@click.option("--json", "as_json", is_flag=True, help="Answer as JSON.")
def views(number: str | None, who: str | None, archive: Path, as_json: bool) -> None:
    """Who was shown restricted content, when, and which record?

    One line for each person, record and day. Where there are accounts, it asks for one
    that records (conservator, registrar).
    """
    import json
    from dataclasses import asdict

    from vestige.ui.gate import ViewLog

    with opened(archive) as collection:
        may_record(collection.folder)
        key = collection.find(number) if number else None
        found = ViewLog(collection.folder or archive).views(key, who)
    if as_json:
        shown = {"form": "vestige.views/1", "views": [asdict(one) for one in found]}
        click.echo(json.dumps(shown, ensure_ascii=False, indent=2))
        return
    for one in found:
        click.echo(f"{one.at}  {one.who} as {one.role or 'keeper'}: {one.number} "
                   f"[{one.record}] through {one.through}")  # fmt: skip
    if not found:
        click.echo("no view of restricted content is noted")


def _accounts(archive: Path) -> "Accounts":
    from vestige.ui.gate import Accounts

    with opened(archive) as collection:
        return Accounts(collection.folder or archive)


def _password() -> str:
    """A password typed twice unseen, or the first line of the input."""
    if sys.stdin.isatty():
        return str(
            click.prompt("Password", hide_input=True, confirmation_prompt=True, err=True)
        )
    return sys.stdin.readline().rstrip("\r\n")


def _opened(names: tuple[str, ...]) -> str:
    return f"; opened besides: {', '.join(names)}" if names else ""


ACCESS = (account, views)
