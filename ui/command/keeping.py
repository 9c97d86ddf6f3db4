"""What was kept, sampled and touched: samples, recall, custody, due, dependence."""

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


def _around(asking: Asking, number: str) -> "tuple[State, str]":
    """The state around the object that a thing comes from, and the thing's key."""
    key = asking.find(number)
    home = asking.collection.home_of(key, asking.known)
    around = asking.collection.around(home, known=asking.known, reader=asking.reader)
    return around, key


KEEPING_QUESTIONS = (samples, recall)
