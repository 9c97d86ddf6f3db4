"""The demo: the invented museum, from the sheets that a user would fill in to a report."""

import contextlib
import shutil
import sys
import tempfile
from pathlib import Path
from typing import TYPE_CHECKING

import click

from . import words

if TYPE_CHECKING:
    from vestige.graph.collection import Collection
    from vestige.graph.state import State

FLAGSHIP = "FEN.1931.44"
NEXT = (
    "why SCR-12",
    "window SCR-19",
    "sequence FEN.1931.44",
    "locate BG-014-4",
    "contents BX-040",
    "cautions BX-027",
    "serve",
)


@click.command()
@click.option(
    "--at",
    "folder",
    type=click.Path(path_type=Path),
    help="Folder for the demo; it must not hold an archive. Left out: a temporary one.",
)
def demo(folder: Path | None) -> None:
    """Build the invented Fennock Museum and show what Vestige does.

    Touches nothing of yours: everything goes into a folder of its own.
    """
    from vestige.demo import build
    from vestige.graph.collection import Collection

    home = folder or Path(tempfile.mkdtemp(prefix="vestige-demo-"))
    click.echo(
        "The Fennock Museum is wholly invented: six objects, their papers and boxes."
    )
    with Collection.create(home) as collection:
        build(collection)
        tally = collection.store.tally()
        click.echo(f"{sum(tally.values())} records from its sheets\n")
        _tell(collection, home)


def _tell(collection: "Collection", home: Path) -> None:
    from vestige.graph.answer.report import report_of
    from vestige.ui.paper import write_report

    state, key, _ = collection.of_object(FLAGSHIP)
    report = report_of(state, key, collection.mark())
    click.echo(words.assessment(report.assessment))
    _tell_places(collection, state, key)
    paper = home / "report.pdf"
    write_report(report, paper)
    click.echo(f"\nreport: {paper}\ntry next:")
    for line in NEXT:
        click.echo(f"  {_program()} {line} --archive {home}")


def _program() -> str:
    """How this command is called from here, for somebody who copies the line."""
    called = Path(sys.argv[0])
    if shutil.which("vestige") or called.stem != "vestige":
        return "vestige"
    with contextlib.suppress(ValueError):
        return str(called.resolve().relative_to(Path.cwd()))
    return str(called)


def _tell_places(collection: "Collection", state: "State", key: str) -> None:
    from vestige.graph.answer.whereabouts import locate, missing_of

    click.echo("\nwhat was taken off, and where it is:")
    for one in locate(state, key).things:
        if one.thing.kind == "part":
            last = words.seen(one.last_seen)
            click.echo(f"  {one.thing.label}: {words.place(one.place)}; last seen {last}")
    click.echo("\nin the whole museum, without a known place:")
    for lack in missing_of(collection.kept_things()).things:
        click.echo(f"  {lack.thing.label}: {lack.reason}")
