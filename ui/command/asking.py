"""What every command shares: the archive, the day as known, the reader, JSON or words."""

import functools
import os
import sys
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Any, NoReturn, TypeVar

import click

if TYPE_CHECKING:
    from pydantic import BaseModel

    from vestige.graph.collection import Collection
    from vestige.graph.state import Reader, State

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


@dataclass(frozen=True, slots=True)
class Asking:
    """What a question has at hand: the archive, the moment as known, and who reads.

    Attributes:
        collection: the open archive.
        known: record time as known, milliseconds since 1970; None for now.
        reader: who reads; what is closed to them is closed before anything is answered.
        as_json: True where one JSON document is wanted, not words.
        who: what the view log calls whoever reads.
    """

    collection: "Collection"
    known: int | None
    reader: "Reader"
    as_json: bool
    who: str = ""

    def find(self, number: str) -> str:
        """Key of the record that bears a number."""
        return self.collection.find(number, self.known, self.reader)

    def of_object(self, number: str) -> "tuple[State, str, str]":
        """The state around an object, its key, and the key of what was named."""
        return self.collection.of_object(number, known=self.known, reader=self.reader)

    def tell(self, answer: "BaseModel", words: Callable[[Any], str]) -> None:
        """Print an answer: one JSON document, or words; restricted views are noted."""
        self.viewed(answer)
        click.echo(answer.model_dump_json(indent=2) if self.as_json else words(answer))

    def viewed(self, answer: "BaseModel") -> None:
        """Note which restricted records an answer opens to this reader, before it does.

        Raises:
            Refused: where it cannot be noted; nothing may be shown then.
        """
        if self.reader.public:
            return
        from vestige.ui.gate.view_log import keys_in

        self._note(keys_in(answer.model_dump()), self.reader)

    def viewed_whole(self, reader: "Reader") -> None:
        """The same before the whole archive is written, or asked, as a reader sees it."""
        self._note(None, reader)

    def _note(self, keys: "set[str] | None", reader: "Reader") -> None:
        note_views(self.collection, reader, self.who, keys)


def note_views(
    collection: "Collection", reader: "Reader", who: str, keys: "set[str] | None"
) -> None:
    """Note which of these records (None: of all) are restricted and open to a reader.

    Raises:
        Refused: where it cannot be noted; nothing may be shown then.
    """
    from vestige.ui.gate.view_log import NO_ACCOUNT, ViewLog, opened_by

    if collection.folder is None:
        return
    context = click.get_current_context(silent=True)
    through = f"command {context.info_name}" if context else "command"
    opened_ones = opened_by(collection, reader, keys)
    ViewLog(collection.folder).note(who or NO_ACCOUNT, reader.names, opened_ones, through)


def question(command: Callable[..., None]) -> Callable[..., None]:
    """Adds what every question takes, and gives it as an `Asking`.

    Adds --archive, --as-known, --as and --json; opens the archive and closes it whatever
    happens.
    """

    @functools.wraps(command)
    def run(
        archive: Path, as_known: str | None, role: str | None, as_json: bool, **rest: Any
    ) -> None:
        with opened(archive) as collection:
            reads, who = reader_at(collection.folder, role)
            command(Asking(collection, known_at(as_known), reads, as_json, who), **rest)

    options = [
        archive_option,
        click.option(
            "--as-known", metavar="DAY", help="Answer as known at the end of that day."
        ),
        click.option("--as", "role", metavar="ROLE", help="Role in which you read."),
        click.option("--json", "as_json", is_flag=True, help="Answer as JSON."),
    ]
    for option in reversed(options):
        run = option(run)
    return run


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


def reader_at(folder: Path | None, role: str | None) -> "tuple[Reader, str]":
    """Who reads an archive, and what the view log calls them.

    Raises:
        RefusedByAccess: where the archive has accounts and theirs does not have the role.
    """
    wanted = role or os.environ.get("VESTIGE_ROLE")
    if not wanted:
        return reader(None), ""
    from .entering import reader_in

    return reader_in(folder, wanted)


def plainly(main: Callable[[], object]) -> int:
    """Run the command; an error of the user's is one message and an exit code.

    Outside its own mode click gives the code of a command that left early as a value.
    """
    from vestige.graph.errors import VestigeError

    for stream in (sys.stdout, sys.stderr):
        reconfigure = getattr(stream, "reconfigure", None)
        if reconfigure is not None:  # a console of another age must not break a name
            reconfigure(encoding="utf-8", errors="replace")
    try:
        left = main()
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
    else:
        return left if isinstance(left, int) else DONE
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
