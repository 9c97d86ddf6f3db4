"""Labels for parts, samples, fragments, boxes and places, as PDF."""

import datetime
from pathlib import Path

import click

from .asking import Asking, question


@click.command()
@click.argument("numbers", metavar="ID...", nargs=-1)
@click.option(
    "--out",
    required=True,
    type=click.Path(path_type=Path, dir_okay=False),
    help="PDF to write.",
)
@click.option("--all-in", "holder", metavar="CONTAINER", help="All that lies in it, too.")
@click.option("--copies", type=click.IntRange(1, 500), default=1, help="Of each label.")
@click.option("--size", metavar="WxHmm", help="Of one label; alone: 60x30mm.")
@click.option("--sheet", metavar="CxR", help="Columns by rows of a sheet, as 3x8.")
@click.option("--skip", type=click.IntRange(0), default=0, help="Places used up already.")
@click.option("--margins", metavar="TxLmm", help="Of the sheet: at the top x at the left.")
@click.option("--gaps", metavar="AxDmm", help="Between labels: across x down.")
@click.option("--paper", metavar="WxHmm", help="Of the sheet; left out: A4.")
@question
def label(
    asking: Asking,
    numbers: tuple[str, ...],
    out: Path,
    holder: str | None,
    copies: int,
    size: str | None,
    sheet: str | None,
    skip: int,
    margins: str | None,
    gaps: str | None,
    paper: str | None,
) -> None:
    """Labels as PDF: words, hazards, and the code of the stable id as text and QR code.

    Without --sheet each label is a page of its own size, for a label printer. Printing
    records nothing: a label printed again bears the same code.
    """
    from dataclasses import replace

    from vestige.graph.answer.label import labels_of
    from vestige.graph.errors import BadValue
    from vestige.ui.paper.label import write_labels
    from vestige.ui.paper.label_sheet import read_sheet

    if out.suffix.lower() != ".pdf":
        raise BadValue(f"'{out.name}': labels are a .pdf file; name it {out.stem}.pdf")
    laid = read_sheet(sheet, size, margins, gaps, paper)
    if skip and sheet is None:
        raise BadValue("--skip goes with --sheet: single labels begin where they are")
    keys = [asking.find(number) for number in numbers] + _inside(asking, holder)
    if not keys:
        raise BadValue("name what to label, or a container with --all-in")
    state = asking.collection.inside_all(keys, known=asking.known, reader=asking.reader)
    answer = labels_of(state, list(dict.fromkeys(keys)), _day(asking))
    asking.viewed(answer)
    pages = write_labels(answer, out, replace(laid, skip=skip), copies)
    many = len(answer.labels) * copies
    done = f"{out}: {many} label{'s'[: many > 1]} on {pages} page{'s'[: pages > 1]}"
    asking.tell(answer, lambda _: done)


def _inside(asking: Asking, holder: str | None) -> list[str]:
    """Keys of everything that lies in a container or place, to any depth."""
    from vestige.graph.errors import BadValue
    from vestige.graph.keeping import contents

    if holder is None:
        return []
    key = asking.find(holder)
    state = asking.collection.inside_of(key, known=asking.known, reader=asking.reader)
    found = [one.thing for one in contents(state, key)]
    if not found:
        raise BadValue(f"nothing is recorded to lie in {state.label(key)}")
    return found


def _day(asking: Asking) -> str:
    """Day of the record from which the labels are printed."""
    at = asking.known if asking.known is not None else asking.collection.store.head().at
    return datetime.datetime.fromtimestamp(at / 1000, datetime.UTC).date().isoformat()


LABELS = (label,)
