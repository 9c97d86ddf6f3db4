"""What was kept, sampled and touched: samples, recall, custody, due, dependence."""

import datetime
from pathlib import Path
from typing import TYPE_CHECKING

import click

from .asking import Asking, question

if TYPE_CHECKING:
    from vestige.graph.state import State


@click.command()
@click.argument("material", metavar="MATERIAL|BATCH|RESULT")
@click.option("--from", "first", metavar="DATE", help="Touched on or after that date.")
@click.option("--to", "last", metavar="DATE", help="Touched on or before that date.")
@click.option("--place", metavar="PLACE", help="Only what lies in that place now.")
@question
def recall(
    asking: Asking, material: str, first: str | None, last: str | None, place: str | None
) -> None:
    """What did this material or batch touch, and where is all of that now?"""
    from vestige.graph.answer.recall import recall_of
    from vestige.graph.collection import first_day_of, last_day_of

    from .words_recall import recall as words

    state, wanted, named = asking.collection.recalled(
        material, known=asking.known, reader=asking.reader
    )
    span = (
        (first_day_of(first) if first else None, first),
        (last_day_of(last) if last else None, last),
    )
    where = asking.find(place) if place else None
    asking.tell(recall_of(state, wanted, material, named, span, where), words)


@click.command()
@click.argument("number", metavar="ID")
@click.option("--technique", metavar="T", help="Does a result or sample exist for it?")
@question
def samples(asking: Asking, number: str, technique: str | None) -> None:
    """Which samples and results exist, what is left of them, and where are they?"""
    from vestige.graph.answer.sample import samples_of

    from .words_sample import samples as words

    state, key = _around(asking, number)
    asking.tell(samples_of(state, key, technique), words)


@click.command()
@click.argument("number", metavar="ID")
@click.option("--out", type=click.Path(path_type=Path), help="Also draw it: an SVG file.")
@question
def custody(asking: Asking, number: str, out: Path | None) -> None:
    """Who held it when? Title, holder and place apart, with gaps and overlaps."""
    from vestige.graph.answer.custody import custody_of
    from vestige.ui.drawing import draw_custody

    from .words_custody import custody as words
    from .words_custody import drawn

    state, key = _around(asking, number)
    answer = custody_of(state, key)
    if out is not None:
        if out.exists():
            raise click.ClickException(f"{out} is there already; it was left as it is")
        out.write_text(draw_custody(drawn(answer)).svg, encoding="utf-8")
    asking.tell(answer, words)


@click.command()
@click.argument("element")
@question
def depends(asking: Asking, element: str) -> None:
    """What depends on this part if it is taken off? It lists; it recommends nothing."""
    from vestige.graph.answer.dependence import depends_of

    from .words_dependence import depends as words

    state, key = _around(asking, element)
    asking.tell(depends_of(state, key), words)


@click.command()
@click.argument("number", metavar="ID")
@question
def treatment(asking: Asking, number: str) -> None:
    """What did that treatment do, use, take and leave? Or: all of an object's."""
    from vestige.graph.answer.treatment import treatment_of

    from .words_treatment import treatments as words

    state, key = _around(asking, number)
    asking.tell(treatment_of(state, key), words)


@click.command()
@click.argument("number", metavar="ID")
@question
def sources(asking: Asking, number: str) -> None:
    """Who said so, and who copied whom? For a source: all that rests on its word."""
    from vestige.graph.answer.source import sources_of
    from vestige.graph.keeping.sample import things_sampled

    from .words_source import sources as words

    state, key = _around(asking, number)
    if state.held(key).record.kind == "source":
        told = asking.collection.told_by
        state = told(key, known=asking.known, reader=asking.reader)
        asking.tell(sources_of(state, key), words)
        return
    whole = state.held(key).record.kind == "object"
    things = things_sampled(state, key) if whole else (key,)
    asking.tell(sources_of(state, key, things), words)


@click.command()
@click.argument("number", metavar="[ID]", required=False)
@click.option("--by", "by", metavar="DAY", help="Due by that day; otherwise today.")
@question
def due(asking: Asking, number: str | None, by: str | None) -> None:
    """What is due for review or overdue, and what is in the way of letting it go?"""
    from vestige.graph.answer.due import due_of
    from vestige.graph.collection import last_day_of

    from .words_due import due as words

    by = by or datetime.datetime.now(datetime.UTC).date().isoformat()
    state = asking.collection.whole(known=asking.known, reader=asking.reader)
    about = asking.find(number) if number else None
    asking.tell(due_of(state, last_day_of(by), by, about), words)


def _around(asking: Asking, number: str) -> "tuple[State, str]":
    """The state around the object that a thing comes from, and the thing's key."""
    key = asking.find(number)
    home = asking.collection.home_of(key, asking.known)
    collection = asking.collection
    read = collection.places_of if home == key else collection.around
    return read(home, known=asking.known, reader=asking.reader), key


KEEPING_QUESTIONS = (samples, recall, custody, due, depends, treatment, sources)
