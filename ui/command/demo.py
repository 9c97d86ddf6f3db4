"""The demo: an invented object, from the workbook that a user would fill in to a report."""

import tempfile
from pathlib import Path
from typing import TYPE_CHECKING

import click

from . import words

if TYPE_CHECKING:
    from vestige.graph.collection import Collection
    from vestige.graph.state import State

SHOWN = "EX.1900.1"
BY = "objects conservator"


@click.command()
@click.option(
    "--at",
    "folder",
    type=click.Path(path_type=Path),
    help="Folder for the demo; it must not hold an archive. Left out: a temporary one.",
)
def demo(folder: Path | None) -> None:
    """Build an archive from an invented workbook and show what Vestige does.

    Touches nothing of yours: everything goes into a folder of its own.
    """
    from vestige.graph.collection import Collection

    home = folder or Path(tempfile.mkdtemp(prefix="vestige-demo-"))
    click.echo("Everything in this demo is invented: a writing box and its papers.")
    with Collection.create(home) as collection:
        _build(collection, home / "writing-box.xlsx")
        _tell(collection, home)


def _build(collection: "Collection", workbook: Path) -> None:
    """Fill in the template's example and bring it in, as a user would."""
    from vestige.graph.intake import acts, draft, origin, read_papers, write_template

    write_template(workbook, example=True)
    drafted = draft(read_papers(workbook), collection.store, collection.keys)
    collection.record(BY, acts(drafted), origin=origin(drafted))
    click.echo(f"{len(drafted.new)} records from {workbook.name}\n")


def _tell(collection: "Collection", home: Path) -> None:
    from vestige.graph.answer.assessment import assess_of
    from vestige.graph.answer.report import report_of
    from vestige.ui.paper import write_report

    state = collection.around(collection.find(SHOWN))
    key = collection.find(SHOWN)
    click.echo(words.assessment(assess_of(state, key)))
    _tell_places(collection, state, key)
    head = collection.store.head()
    paper = home / "report.pdf"
    write_report(
        report_of(state, key, f"entry {head.seq}, seal {head.seal.hex()[:16]}"), paper
    )
    click.echo(f"\nreport: {paper}\ntry next:")
    for line in (
        "why BOX-3",
        "sequence EX.1900.1",
        "locate BG-1",
        "cautions V-1",
        "find coat",
    ):
        click.echo(f"  vestige {line} --archive {home}")


def _tell_places(collection: "Collection", state: "State", key: str) -> None:
    from vestige.graph.answer.whereabouts import locate, missing_of

    click.echo("\nwhat was taken off, and where it is:")
    for one in locate(state, key).things:
        last = words.seen(one.last_seen)
        click.echo(f"  {one.thing.label}: {words.place(one.place)}; last seen {last}")
    lacking = missing_of(collection.kept_things()).things
    click.echo(
        "without a known place: " + (", ".join(x.thing.label for x in lacking) or "none")
    )
