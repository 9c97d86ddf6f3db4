"""What is open: contradictions, unknowns, what could be done next, what moved since."""

import sys
from collections.abc import Callable, Iterator
from typing import TYPE_CHECKING, Any

import click

from .asking import Asking, known_at, question

if TYPE_CHECKING:
    from vestige.graph.answer.change import ObjectChanges
    from vestige.graph.answer.change_walk import Changes
    from vestige.graph.state import State


@click.command()
@click.argument("object_number", metavar="[OBJECT]", required=False)
@question
def conflicts(asking: Asking, object_number: str | None) -> None:
    """Which records contradict each other? Everything is kept, nothing resolved."""
    from vestige.graph.answer.conflict import (
        Conflicts,
        conflicts_of,
        loose_conflicts,
        object_conflicts,
    )

    from .words_conflict import conflicts as words
    from .words_conflict import of_object

    if object_number:
        state, home, _ = asking.of_object(object_number)
        asking.tell(conflicts_of(state, home), words)
        return

    def every() -> Iterator[Any]:
        for state, home in _objects(asking):
            yield object_conflicts(state, home)
        yield loose_conflicts(asking.collection.kept_things(
            known=asking.known, reader=asking.reader))  # fmt: skip

    shape = {"form": Conflicts.FORM, "about": None}
    _tell_all(asking, Conflicts, shape, "objects", every(), of_object)


@click.command()
@click.argument("object_number", metavar="[OBJECT]", required=False)
@question
def unknowns(asking: Asking, object_number: str | None) -> None:
    """What is unknown, and what would settle it, as far as that is recorded?"""
    from vestige.graph.answer.unknown import (
        Unknowns,
        loose_unknowns,
        object_unknowns,
        unknowns_of,
    )

    from .words_unknown import of_object
    from .words_unknown import unknowns as words

    if object_number:
        state, home, _ = asking.of_object(object_number)
        asking.tell(unknowns_of(state, home), words)
        return

    def every() -> Iterator[Any]:
        for state, home in _objects(asking):
            yield object_unknowns(state, home)
        whole = asking.collection.kept_things(known=asking.known, reader=asking.reader)
        yield loose_unknowns(whole)

    shape = {"form": Unknowns.FORM, "about": None}
    _tell_all(asking, Unknowns, shape, "objects", every(), of_object)


@click.command(name="next")
@click.argument("object_number", metavar="OBJECT")
@click.option("--numbers", is_flag=True, help="Show the expected gains in bits.")
@question
def next_looks(asking: Asking, object_number: str, numbers: bool) -> None:
    """What could still be looked at, and how much would it tell? It ranks only."""
    from vestige.graph.answer.next_examination import next_of

    from .words_next import next_looks as words

    state, home, _ = asking.of_object(object_number)
    asking.tell(next_of(state, home), lambda one: words(one, numbers))


@click.command()
@click.argument("object_number", metavar="[OBJECT]", required=False)
@question
def decisions(asking: Asking, object_number: str | None) -> None:
    """Which decisions are to be looked at again, since their ground has moved?"""
    from vestige.graph.answer.decision import Decisions, decisions_of, object_decisions

    from .words_decision import decisions as words
    from .words_decision import of_decision

    def then(home: str) -> "Callable[[int], State | None]":
        return lambda moment: _earlier(asking, home, moment)

    if object_number:
        state, home, _ = asking.of_object(object_number)
        asking.tell(decisions_of(state, home, then(home)), words)
        return

    def every() -> Iterator[Any]:
        for state, home in _objects(asking):
            yield from object_decisions(state, home, then(home))

    shape = {"form": Decisions.FORM, "about": None}
    _tell_all(asking, Decisions, shape, "decisions", every(), of_decision)


@click.command()
@click.argument("object_number", metavar="[OBJECT]", required=False)
@click.option(
    "--since", metavar="DAY", required=True, help="What was recorded after that day."
)
@question
def changes(asking: Asking, object_number: str | None, since: str) -> None:
    """What changed in our view since a day: records, verdicts, decisions concerned?"""
    from vestige.graph.answer.answer import thing
    from vestige.graph.answer.caution import warnings
    from vestige.graph.answer.change import ChangesOf

    from .words_change import changes as words

    moment = known_at(since)
    assert moment is not None  # the option is required
    if asking.known is not None and asking.known < moment:
        from vestige.graph.errors import BadValue

        raise BadValue(f"--as-known lies before --since {since}; nothing lies between")
    home: str | None = None
    shape: dict[str, Any] = {"form": ChangesOf.FORM, "about": None, "since": since}
    if object_number:
        state, home, _ = asking.of_object(object_number)
        shape |= {"about": thing(state, home), "cautions": warnings(state, home)}
    found = asking.collection.changed(
        moment, home, known=asking.known, reader=asking.reader
    )
    keys: list[str | None] = [home] if home else [*found.homes, None]
    rows = tuple(_changed(found, key, moment, asking.known) for key in keys)
    shape["as_known"] = _moment(asking)
    asking.tell(ChangesOf(**shape, objects=rows), words)


OPEN_ENDS = (conflicts, unknowns, next_looks, decisions, changes)


def _changed(
    found: "Changes", key: str | None, since: int, known: int | None
) -> "ObjectChanges":
    """The changes about one object, or about none."""
    from vestige.graph.answer.change import object_changes
    from vestige.graph.answer.decision import object_decisions

    if key is None:
        return object_changes(found, None, None, None)
    before, now = found.view(key, since), found.view(key, known)
    told = (
        object_decisions(now, key, lambda moment: found.view(key, moment))
        if now is not None and before is not None
        else ()
    )
    return object_changes(found, key, before, now, told)


def _objects(asking: Asking) -> "Iterator[tuple[State, str]]":
    """The state around every object in turn; a terminal is told how far it has come."""
    from vestige.graph.record import MuseumObject

    whole = asking.collection.objects(known=asking.known, reader=asking.reader)
    keys = [key for key, _ in whole.all_of(MuseumObject)]
    for number, key in enumerate(keys, 1):
        if sys.stderr.isatty():
            click.echo(f"\r{number} of {len(keys)} objects ", nl=False, err=True)
        yield asking.collection.around(key, known=asking.known, reader=asking.reader), key
    if sys.stderr.isatty():
        click.echo("\r" + " " * 40 + "\r", nl=False, err=True)


def _earlier(asking: Asking, home: str, moment: int) -> "State | None":
    state = asking.collection.around(home, known=moment, reader=asking.reader)
    return state if home in state else None


def _moment(asking: Asking) -> str | None:
    from vestige.graph.answer.answer import as_known
    from vestige.graph.state import State

    return as_known(State((), asking.known))


def _tell_all(
    asking: Asking,
    kind: Any,
    shape: dict[str, Any],
    rows: str,
    found: Iterator[Any],
    words: Callable[[Any], str],
) -> None:
    """Tell an answer over many objects: words as they come, JSON as one document."""
    from .words import view

    known = _moment(asking)
    if asking.as_json:
        answer = kind(**shape, as_known=known, **{rows: tuple(found)})
        asking.tell(answer, str)
        return
    for line in view(known):
        click.echo(line)
    for one in found:
        asking.viewed(one)
        click.echo(words(one))
    click.echo(kind.model_fields["note"].default)
