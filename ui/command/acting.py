"""What every command that records shares: who records, a dry run, all or nothing."""

import functools
import sys
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from .asking import PROBLEMS, archive_option, leave, note_views, opened, reader
from .entering import may_record
from .words_moving import act as act_words

if TYPE_CHECKING:
    from vestige.graph.collection import Collection
    from vestige.graph.problem import Problem
    from vestige.graph.record import Edtf, Record
    from vestige.graph.state import Reader, State

LIST = click.Path(path_type=Path, exists=True, dir_okay=False)


@dataclass(frozen=True, slots=True)
class Acting:
    """What an act has at hand.

    Attributes:
        collection: the open archive.
        by: role that records.
        dry_run: True where nothing is to be recorded, only shown.
        as_json: True where one JSON document is wanted, not words.
        reader: as whom what lies there is read.
        who: what the view log calls them.
    """

    collection: "Collection"
    by: str
    dry_run: bool
    as_json: bool
    reader: "Reader"
    who: str = ""

    def state(self, keys: Sequence[str]) -> "State":
        """The state that says where things are and what lies in them."""
        return self.collection.inside_all(keys, reader=self.reader)

    def do(self, said: str, keys: Sequence[str], records: "Sequence[Record]") -> None:
        """Record an act, or refuse it with everything that is wrong; then say which."""
        from vestige.graph.answer.acting import act_of
        from vestige.ui.gate.view_log import keys_in

        before = self.state(keys)
        names = keys_in(act_of(before, said, keys, (), False).model_dump())
        note_views(self.collection, self.reader, self.who, names)  # or nothing is done
        problems, receipt = self.collection.act(self.by, records, dry_run=self.dry_run)
        answer = act_of(before, said, keys, problems, receipt is not None)
        click.echo(
            answer.model_dump_json(indent=2)
            if self.as_json
            else act_words(answer, self.dry_run)
        )
        if any(one.weight == "error" for one in problems):
            leave(PROBLEMS)


def acting(command: Callable[..., None]) -> Callable[..., None]:
    """Adds what every act takes, and gives it as an `Acting`."""

    @functools.wraps(command)
    def run(archive: Path, by: str, dry_run: bool, as_json: bool, **rest: Any) -> None:
        with opened(archive) as collection:
            account = may_record(collection.folder, by)
            reads = account.reader if account else reader(by)
            who = account.name if account else ""
            command(Acting(collection, by, dry_run, as_json, reads, who), **rest)

    options = [
        archive_option,
        click.option("--by", required=True, metavar="ROLE", help="Role that records this."),
        click.option("--dry-run", is_flag=True, help="Show it and record nothing."),
        click.option("--json", "as_json", is_flag=True, help="Answer as JSON."),
    ]
    for option in reversed(options):
        run = option(run)
    return run


def keys_of(
    collection: "Collection", texts: Sequence[str], listing: Path | None = None
) -> list[str]:
    """Keys of everything named by arguments, by a list, or line by line on the input.

    Numbers and the codes of labels are understood. Whatever cannot be found is told all
    at once.

    Raises:
        NotRecorded: where one is not known, each with its reason.
        Refused: where nothing is named.
    """
    from vestige.graph.errors import Refused

    named = list(texts)
    if listing is not None:
        from vestige.graph.intake import read_ids

        named += read_ids(listing)
    if "-" in named or not (named or sys.stdin.isatty()):
        named = [one for one in named if one != "-"]
        named += [line.strip() for line in sys.stdin if line.strip()]
    if not named:
        raise Refused("nothing is named: give numbers, --list FILE, or scan line by line")
    return list(dict.fromkeys(found_all(collection, named)))


def found_all(collection: "Collection", named: Iterable[str]) -> list[str]:
    """The key of each number or label code.

    Raises:
        NotRecorded: naming everything that cannot be found, with its reason.
    """
    from vestige.graph.errors import NotRecorded, VestigeError

    found, lacking = [], []
    for one in named:
        try:
            found.append(collection.find(one))
        except VestigeError as why:
            lacking.append(str(why))
    if lacking:
        raise NotRecorded("\n".join([*lacking, "nothing was recorded"]))
    return found


def a_date(text: str) -> "Edtf":
    """A date on which something was done.

    Raises:
        BadValue: where it is none, or lies in the future.
    """
    import datetime

    from vestige.graph.errors import BadValue
    from vestige.graph.record import Edtf

    when = Edtf.parse(text)
    if when.earliest is None:
        raise BadValue(f"'{text}' has no first day; write a day, a month or a year")
    today = datetime.datetime.now().astimezone().date()
    if when.earliest > (today - datetime.date(1970, 1, 1)).days:
        raise BadValue(f"'{text}' lies in the future; an act is recorded when it was done")
    return when


def refused(problems: "Iterable[Problem]") -> None:
    """Tell problems with a file; where one stops the act, leave with nothing recorded."""
    stopped = False
    for one in problems:
        click.echo(f"{one.weight}: {one}", err=True)
        stopped = stopped or one.weight == "error"
    if stopped:
        click.echo("nothing was recorded", err=True)
        leave(PROBLEMS)


def the_holder(collection: "Collection", number: str | None) -> str | None:
    """Key of a place or container; None where none is named.

    Raises:
        NotRecorded: there is none of this number.
        Refused: it is neither.
    """
    from vestige.graph.errors import NotRecorded, Refused

    if number is None:
        return None
    try:
        key = collection.find(number)
    except NotRecorded as why:
        raise NotRecorded(f"there is no place '{number}': {why}") from None
    [held] = collection.store.get([key])
    if held.kind not in ("place", "container"):
        raise Refused(f"{held.open_name} is a {held.kind}; name a place or a container")
    return key
