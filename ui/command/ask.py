"""The questions: one command each."""

import click

from . import words
from .asking import Asking, on_option, question


@click.command()
@click.argument("object_number", metavar="OBJECT")
@click.option("--numbers", is_flag=True, help="Show the probabilities behind the words.")
@question
def assess(asking: Asking, object_number: str, numbers: bool) -> None:
    """What on this object is not as made? A verdict for every element."""
    from vestige.graph.answer.assessment import assess_of

    state, home, _ = asking.of_object(object_number)
    answer = assess_of(state, home, beforehand=lambda cost: click.echo(cost, err=True))
    asking.tell(answer, lambda one: words.assessment(one, numbers))


@click.command()
@click.argument("element")
@click.option("--after", metavar="OTHER", help="Why it is later than this other one.")
@click.option("--numbers", is_flag=True, help="Show the weights behind the words.")
@question
def why(asking: Asking, element: str, after: str | None, numbers: bool) -> None:
    """Is this element original, and why? Or: why is it later than another?"""
    state, _, key = asking.of_object(element)
    if after:
        from vestige.graph.answer.sequence import why_later

        other = asking.find(after)
        asking.tell(why_later(state, key, other), words.why_later)
        return
    from vestige.graph.answer.assessment import why_of

    answer = why_of(state, key, beforehand=lambda cost: click.echo(cost, err=True))
    asking.tell(answer, lambda one: words.why(one, numbers))


@click.command()
@click.argument("object_number", metavar="OBJECT")
@question
def sequence(asking: Asking, object_number: str) -> None:
    """What happened, in what order? Only what claims show; the rest stays unrelated."""
    from vestige.graph.answer.sequence import sequence_of

    state, home, _ = asking.of_object(object_number)
    asking.tell(sequence_of(state, home), words.sequence)


@click.command()
@click.argument("number", metavar="ID")
@question
def window(asking: Asking, number: str) -> None:
    """When can this have been made or put there? Each limit with its reasons."""
    from vestige.graph.answer.window import window_of

    state, _, key = asking.of_object(number)
    asking.tell(window_of(state, key), words.window)


@click.command()
@click.argument("number", metavar="ID")
@on_option
@question
def locate(asking: Asking, number: str, on: str | None) -> None:
    """Where is it now? A part, sample or box; or all that was taken off an object."""
    from vestige.graph.answer.whereabouts import locate as answer
    from vestige.graph.collection import last_day_of

    key = asking.find(number)
    state = asking.collection.places_of(key, known=asking.known, reader=asking.reader)
    day = last_day_of(on) if on else None
    asking.tell(answer(state, key, day, on), words.location)


@click.command()
@click.argument("container")
@on_option
@question
def contents(asking: Asking, container: str, on: str | None) -> None:
    """What lies in this container or place, to any depth?"""
    from vestige.graph.answer.whereabouts import contents_of
    from vestige.graph.collection import last_day_of

    key = asking.find(container)
    state = asking.collection.inside_of(key, known=asking.known, reader=asking.reader)
    day = last_day_of(on) if on else None
    asking.tell(contents_of(state, key, day, on), words.contents)


@click.command()
@on_option
@question
def missing(asking: Asking, on: str | None) -> None:
    """What was removed, sampled or boxed and has no known place?"""
    from vestige.graph.answer.whereabouts import missing_of
    from vestige.graph.collection import last_day_of

    state = asking.collection.kept_things(known=asking.known, reader=asking.reader)
    day = last_day_of(on) if on else None
    asking.tell(missing_of(state, day, on), words.missing)


@click.command()
@click.argument("number", metavar="ID")
@question
def cautions(asking: Asking, number: str) -> None:
    """May I touch, photograph, show this? What is recorded, and whom to ask."""
    from vestige.graph.answer.caution import cautions_of

    key = asking.find(number)
    state = asking.collection.places_of(key, known=asking.known, reader=asking.reader)
    asking.tell(cautions_of(state, key), words.told_cautions)


QUESTIONS = (
    assess,
    why,
    sequence,
    window,
    locate,
    contents,
    missing,
    cautions,
)
