"""The demo: the invented museum, built from sheets such as a user fills in."""

import tempfile
from pathlib import Path
from typing import TYPE_CHECKING

import click

from . import words

if TYPE_CHECKING:
    from vestige.graph.collection import Collection

FLAGSHIP = "FEN.1931.44"
SHOWN = 14


@click.command()
@click.option(
    "--at",
    "folder",
    type=click.Path(path_type=Path),
    help="Folder for the demo; it must not hold an archive. Empty: a new temporary folder.",
)
@click.option("--no-open", is_flag=True, help="Do not open anything (nothing is, yet).")
def demo(folder: Path | None, no_open: bool) -> None:
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
        _tell(collection, home)


def _tell(collection: "Collection", home: Path) -> None:
    from vestige.graph.answer.assessment import assess_of
    from vestige.graph.answer.report import report_of
    from vestige.graph.answer.whereabouts import locate, missing_of
    from vestige.ui.paper import write_report

    tally = collection.store.tally()
    click.echo(f"built from the sheets: {sum(tally.values())} records")
    key = collection.find(FLAGSHIP)
    state = collection.around(key)
    answer = assess_of(state, key)
    lines = words.assessment(answer).splitlines()
    click.echo("\n" + "\n".join(lines[: SHOWN + 2]))
    click.echo(f"  ... all of it: vestige assess {FLAGSHIP} --archive {home}")
    click.echo("\nWhat was taken off, and where it is:")
    for one in locate(state, key).things:
        if one.thing.kind == "part":
            where = words.place(one.place)
            click.echo(
                f"  {one.thing.label}: {where}; last seen {words.seen(one.last_seen)}"
            )
    lacking = missing_of(collection.kept_things())
    click.echo("\nIn the whole museum, without a known place:")
    for lack in lacking.things:
        click.echo(f"  {lack.thing.label}: {lack.reason}")
    paper = home / "report.pdf"
    write_report(report_of(state, key, collection.store.head().seal.hex()[:16]), paper)
    click.echo(f"\nreport: {paper}")
    click.echo("try next:")
    for line in (
        "vestige why SCR-12",
        "vestige why SCR-23 --after SCR-21",
        "vestige window SCR-19",
        "vestige contents BX-040",
        "vestige cautions BX-027",
        "vestige template my-object.xlsx --example",
    ):
        where = "" if "template" in line else f" --archive {home}"
        click.echo(f"  {line}{where}")
