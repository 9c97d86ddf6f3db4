"""Same stuff or not the same: two things compared, and what is most like one."""

import click

from .asking import Asking, question


@click.command()
@click.argument("one", metavar="A")
@click.argument("other", metavar="B")
@question
def compare(asking: Asking, one: str, other: str) -> None:
    """Are these two of one stuff? Feature by feature, and how common that is."""
    from vestige.graph.answer.likeness import comparison_of

    from .words_likeness import comparison as words

    first, second = asking.find(one), asking.find(other)
    state = asking.collection.whole(known=asking.known, reader=asking.reader)
    asking.tell(comparison_of(state, first, second), words)


@click.command()
@click.argument("number", metavar="A")
@question
def alike(asking: Asking, number: str) -> None:
    """What in the whole archive is most like this, among things of its class?"""
    from vestige.graph.answer.likeness import alike_of

    from .words_likeness import alike as words

    key = asking.find(number)
    state = asking.collection.whole(known=asking.known, reader=asking.reader)
    asking.tell(alike_of(state, key), words)


LIKENESS_QUESTIONS = (compare, alike)
