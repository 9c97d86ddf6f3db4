"""What every command shares: the archive, the day as known, the reader, JSON or words."""

import functools
import os
import sys
from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING, Any, NoReturn, TypeVar

import click

if TYPE_CHECKING:
    from pydantic import BaseModel

    from vestige.graph.collection import Collection
    from vestige.graph.state import Reader

F = TypeVar("F", bound=Callable[..., Any])

DONE, NOT_DONE, WRONG_USE, NO_ACCESS, PROBLEMS = 0, 1, 2, 3, 4


def archive_option(command: F) -> F:
    """Adds --archive: which archive the command works on."""
    return click.option(
        "--archive",
        envvar="VESTIGE_ARCHIVE",
        type=click.Path(path_type=Path),
        default=Path("."),
        show_default="this folder",
        help="Folder of the archive; also the environment variable VESTIGE_ARCHIVE.",
    )(command)


def question(command: F) -> F:
    """Adds what every question takes: --archive, --as-known, --as, --json."""
    options = [
        archive_option,
        click.option(
            "--as-known", metavar="DAY", help="Answer as known at the end of that day."
        ),
        click.option("--as", "role", metavar="ROLE", help="Role in which you read."),
        click.option("--json", "as_json", is_flag=True, help="Answer as JSON."),
    ]
    for option in reversed(options):
        command = option(command)
    return command


def on_option(command: F) -> F:
    """Adds --on: the day on which a thing was somewhere."""
    return click.option(
        "--on", metavar="DATE", help="Where it was on that date (EDTF), not where it is."
    )(command)


def opened(archive: Path) -> "Collection":
    """The collection in an archive."""
    from vestige.graph.collection import Collection

    return Collection.open(archive)


def known_at(day: str | None) -> int | None:
    """Record time at the end of a day; None for now."""
    from vestige.graph.collection import end_of_day

    return end_of_day(day) if day else None


def reader(role: str | None) -> "Reader":
    """Who reads; a role named here is taken at its word on this machine."""
    from vestige.graph.state import Reader

    return Reader(role or os.environ.get("VESTIGE_ROLE") or None)


def tell(answer: "BaseModel", as_json: bool, words: Callable[[Any], str]) -> None:
    """Print an answer: one JSON document, or words."""
    if as_json:
        click.echo(answer.model_dump_json(indent=2))
    else:
        click.echo(words(answer))


def plainly(main: Callable[[], None]) -> int:
    """Run the command; an error of the user's is one message and an exit code."""
    from vestige.graph.errors import VestigeError

    for stream in (sys.stdout, sys.stderr):
        reconfigure = getattr(stream, "reconfigure", None)
        if reconfigure is not None:  # a console of another age must not break a name
            reconfigure(encoding="utf-8", errors="replace")
    try:
        main()
    except click.exceptions.Exit as leaving:
        return int(leaving.exit_code)
    except click.ClickException as wrong:
        wrong.show()
        return int(wrong.exit_code)
    except BrokenPipeError:  # whoever read our output has gone
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
    except (click.Abort, VestigeError, OSError) as refused:
        click.echo(f"vestige: {_reason(refused)}", err=True)
        return NOT_DONE
    return DONE


def _reason(refused: Exception) -> str:
    if isinstance(refused, click.Abort):
        return "stopped; nothing further was done"
    if isinstance(refused, OSError):
        return f"{refused.strerror or refused}: {refused.filename or ''}"
    return str(refused)


def leave(code: int) -> NoReturn:
    """End the command with an exit code that scripts can trust."""
    raise click.exceptions.Exit(code)


def with_collection(work: Callable[..., None]) -> Callable[..., None]:
    """Open the archive for a command, and close it whatever happens."""

    @functools.wraps(work)
    def run(archive: Path, **rest: Any) -> None:
        with opened(archive) as collection:
            work(collection, **rest)

    return run
