"""Marks clicked on a photograph: a page that gives the rows of the sheet Marks."""

from pathlib import Path

import click

from . import words
from .asking import Asking, question


@click.command(name="mark-page")
@click.argument("face", metavar="FACE")
@click.argument("photograph", type=click.Path(path_type=Path, exists=True, dir_okay=False))
@click.option(
    "--out",
    required=True,
    type=click.Path(path_type=Path, dir_okay=False),
    help="File to write: .html.",
)
@question
def mark_page(asking: Asking, face: str, photograph: Path, out: Path) -> None:
    """A page on which the marks of FACE are clicked on its PHOTOGRAPH.

    The face must say at what scale its picture shows it. Nothing is recorded: the page
    gives rows for the sheet Marks, to be checked and imported.
    """
    from vestige.graph.answer.caution import cautions_of
    from vestige.graph.errors import Refused
    from vestige.graph.record import Face
    from vestige.ui.paper.mark_page import mark_page as page

    if out.exists():
        raise Refused(f"{out} is there already; it was left as it is")
    key = asking.find(face)
    home = asking.collection.home_of(key, asking.known)
    state = asking.collection.around(home, known=asking.known, reader=asking.reader)
    record = state.record(key, Face)
    warned = cautions_of(state, record.element)
    text = page(record, photograph, words.cautions(warned.cautions))
    asking.viewed(warned)
    out.write_text(text, encoding="utf-8")
    click.echo(f"{out} is written; open it in a browser, click, and save Marks.csv")


CLICKING = (mark_page,)
