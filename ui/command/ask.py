"""The questions: one command each."""

from typing import TYPE_CHECKING

import click

from . import words
from .asking import known_at, on_option, question, reader, tell, with_collection

if TYPE_CHECKING:
    from vestige.graph.collection import Collection
    from vestige.graph.state import State


def _of_object(
    collection: "Collection", number: str, as_known: str | None, role: str | None
) -> "tuple[State, str, str]":
    """The state around an object, its key, and the key of what was named."""
    return collection.of_object(number, known=known_at(as_known), reader=reader(role))


@click.command()
@click.argument("object_number", metavar="OBJECT")
@click.option("--numbers", is_flag=True, help="Show the probabilities behind the words.")
@question
@with_collection
def assess(
    collection: "Collection",
    object_number: str,
    numbers: bool,
    as_known: str | None,
    role: str | None,
    as_json: bool,
) -> None:
    """What on this object is not as made? A verdict for every element."""
    from vestige.graph.answer.assessment import assess_of

    state, home, _ = _of_object(collection, object_number, as_known, role)
    tell(assess_of(state, home), as_json, lambda one: words.assessment(one, numbers))


@click.command()
@click.argument("element")
@click.option("--after", metavar="OTHER", help="Why it is later than this other one.")
@click.option("--numbers", is_flag=True, help="Show the weights behind the words.")
@question
@with_collection
def why(
    collection: "Collection",
    element: str,
    after: str | None,
    numbers: bool,
    as_known: str | None,
    role: str | None,
    as_json: bool,
) -> None:
    """Is this element original, and why? Or: why is it later than another?"""
    state, _, key = _of_object(collection, element, as_known, role)
    if after:
        from vestige.graph.answer.sequence import why_later

        other = collection.find(after, known_at(as_known))
        tell(why_later(state, key, other), as_json, words.why_later)
        return
    from vestige.graph.answer.assessment import why_of

    tell(why_of(state, key), as_json, lambda one: words.why(one, numbers))


@click.command()
@click.argument("object_number", metavar="OBJECT")
@question
@with_collection
def sequence(
    collection: "Collection",
    object_number: str,
    as_known: str | None,
    role: str | None,
    as_json: bool,
) -> None:
    """What happened, in what order? Only what claims show; the rest stays unrelated."""
    from vestige.graph.answer.sequence import sequence_of

    state, home, _ = _of_object(collection, object_number, as_known, role)
    tell(sequence_of(state, home), as_json, words.sequence)


@click.command()
@click.argument("object_number", metavar="OBJECT")
@question
@with_collection
def arrangements(
    collection: "Collection",
    object_number: str,
    as_known: str | None,
    role: str | None,
    as_json: bool,
) -> None:
    """How did its parts stand at each stage? What is said, copies counted once."""
    from vestige.graph.answer.arrangement import arrangements_of

    state, home, _ = _of_object(collection, object_number, as_known, role)
    tell(arrangements_of(state, home), as_json, words.arrangements)


@click.command()
@click.argument("number", metavar="ID")
@question
@with_collection
def window(
    collection: "Collection",
    number: str,
    as_known: str | None,
    role: str | None,
    as_json: bool,
) -> None:
    """When can this have been made or put there? Each limit with its reasons."""
    from vestige.graph.answer.window import window_of

    state, _, key = _of_object(collection, number, as_known, role)
    tell(window_of(state, key), as_json, words.window)


@click.command()
@click.argument("number", metavar="ID")
@on_option
@question
@with_collection
def locate(
    collection: "Collection",
    number: str,
    on: str | None,
    as_known: str | None,
    role: str | None,
    as_json: bool,
) -> None:
    """Where is it now? A part, sample or box; or all that was taken off an object."""
    from vestige.graph.answer.whereabouts import locate as answer
    from vestige.graph.collection import last_day_of

    known = known_at(as_known)
    key = collection.find(number, known)
    state = collection.places_of(key, known=known, reader=reader(role))
    day = last_day_of(on) if on else None
    tell(answer(state, key, day, on), as_json, words.location)


@click.command()
@click.argument("container")
@on_option
@question
@with_collection
def contents(
    collection: "Collection",
    container: str,
    on: str | None,
    as_known: str | None,
    role: str | None,
    as_json: bool,
) -> None:
    """What lies in this container or place, to any depth?"""
    from vestige.graph.answer.whereabouts import contents_of
    from vestige.graph.collection import last_day_of

    known = known_at(as_known)
    key = collection.find(container, known)
    state = collection.inside_of(key, known=known, reader=reader(role))
    day = last_day_of(on) if on else None
    tell(contents_of(state, key, day, on), as_json, words.contents)


@click.command()
@on_option
@question
@with_collection
def missing(
    collection: "Collection",
    on: str | None,
    as_known: str | None,
    role: str | None,
    as_json: bool,
) -> None:
    """What was removed, sampled or boxed and has no known place?"""
    from vestige.graph.answer.whereabouts import missing_of
    from vestige.graph.collection import last_day_of

    state = collection.kept_things(known=known_at(as_known), reader=reader(role))
    day = last_day_of(on) if on else None
    tell(missing_of(state, day, on), as_json, words.missing)


@click.command()
@click.argument("number", metavar="ID")
@question
@with_collection
def cautions(
    collection: "Collection",
    number: str,
    as_known: str | None,
    role: str | None,
    as_json: bool,
) -> None:
    """May I touch, photograph, show this? What is recorded, and whom to ask."""
    from vestige.graph.answer.caution import cautions_of

    known = known_at(as_known)
    key = collection.find(number, known)
    state = collection.places_of(key, known=known, reader=reader(role))
    tell(cautions_of(state, key), as_json, words.told_cautions)


QUESTIONS = (
    assess,
    why,
    sequence,
    arrangements,
    window,
    locate,
    contents,
    missing,
    cautions,
)
