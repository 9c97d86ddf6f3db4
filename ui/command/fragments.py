"""Loose fragments: whose may it be, and recording what a trial showed."""

from pathlib import Path
from typing import TYPE_CHECKING

import click

from .asking import Asking, archive_option, opened, question
from .entering import may_record

if TYPE_CHECKING:
    from vestige.graph.collection import Collection
    from vestige.graph.record import Claim


@click.command("match-fragment")
@click.argument("number", metavar="ID")
@click.option("--object", "home", metavar="OBJECT", help="Look at this object only.")
@question
def match_fragment(asking: Asking, number: str, home: str | None) -> None:
    """Whose is this loose fragment? Candidates with what fits and what does not."""
    from vestige.graph.answer.fragment import match_of

    from .words_fragment import fragment_match

    key = asking.find(number)
    within = _object(asking, home) if home else None
    state, elements, cut = asking.collection.around_fragment(
        key, within, known=asking.known, reader=asking.reader
    )
    asking.tell(match_of(state, key, elements, within, cut), fragment_match)


def _object(asking: Asking, number: str) -> str:
    from vestige.graph.errors import BadValue

    key = asking.find(number)
    [found] = asking.collection.store.get([key], asking.known)
    if found.kind != "object":
        raise BadValue(f"{found.open_name} is no object but {found.kind}; name an object")
    return key


@click.command()
@click.argument("fragment", metavar="FRAGMENT")
@click.argument("element", metavar="ELEMENT")
@click.option("--strength", required=True, metavar="WORD", help="decisive, strong...")
@click.option("--source", required=True, metavar="S", help="Number of the source.")
@click.option("--by", required=True, metavar="ROLE", help="Role that says so.")
@click.option("--reason", required=True, metavar="WHY", help="What was seen, in words.")
@click.option("--when", metavar="DATE", help="When it was tried (EDTF).")
@click.option("--rejected", is_flag=True, help="Tested, and it does not belong there.")
@click.option("--settled", is_flag=True, help="It is part of it, not only perhaps.")
@click.option("--number", metavar="ID", help="Number of the claim; left out: made up.")
@click.option("--supersedes", metavar="CLAIM", help="Claim whose place this one takes.")
@archive_option
def assign(archive: Path, **said: str | bool | None) -> None:
    """Record that a loose fragment may belong to an element, or that it does not.

    It is a claim like any other: it stands beside what was said before, or takes the
    place of one claim with --supersedes; nothing is deleted, nothing is joined.
    """
    with opened(archive) as collection:
        may_record(collection.folder, str(said["by"]))
        _record(collection, said)


def _record(collection: "Collection", said: dict[str, str | bool | None]) -> None:
    from vestige.graph.errors import Refused
    from vestige.graph.ledger import State as Statement

    old = _superseded(collection, said)
    claim = _claim(collection, said, old[1] if old else None)
    key = old[0] if old else collection.keys.new()
    if old and old[1] == claim.body():
        raise Refused(f"{claim.number} says all this already; nothing was recorded")
    replaces = collection.store.version(key) if old else None
    reason = str(said["reason"]) if old else ""
    act = Statement(claim.kind, key, claim.body(), replaces, reason)
    collection.record(str(said["by"]), [act], origin={"command": "assign"})
    done = f"in place of what {claim.number} said" if old else f"as {claim.number}"
    click.echo(f"recorded {done}; 'vestige match-fragment {said['fragment']}' shows it")


def _superseded(
    collection: "Collection", said: dict[str, str | bool | None]
) -> tuple[str, dict[str, object]] | None:
    """Key and body of the claim that is superseded; None where none is."""
    from vestige.graph.errors import BadValue

    if not said["supersedes"]:
        return None
    key = collection.find(str(said["supersedes"]))
    [found] = collection.store.get([key])
    mine = collection.find(str(said["fragment"]))
    if found.kind != "claim" or found.body.get("about") != mine:
        raise BadValue(
            f"{found.open_name} is no claim about {said['fragment']}; 'vestige "
            f"match-fragment {said['fragment']}' names those that are"
        )
    return key, found.body


def _claim(
    collection: "Collection",
    said: dict[str, str | bool | None],
    old: dict[str, object] | None,
) -> "Claim":
    from vestige.graph.record import Claim, Edtf, Relation, Stance, Strength, read_word

    fragment = _of_kind(collection, str(said["fragment"]), "fragment")
    element = _of_kind(collection, str(said["element"]), "element")
    source = _of_kind(collection, str(said["source"]), "source")
    strength = read_word(Strength, str(said["strength"]))
    if strength is None:
        words = ", ".join(Strength)
        raise click.UsageError(f"'{said['strength']}' is no strength; it is one of {words}")
    number = str(said["number"] or (old or {}).get("number") or "")
    when = str(said["when"]) if said["when"] else None
    return Claim(
        number=number or _free_number(collection, str(said["fragment"])),
        about=fragment,
        relation=Relation.PART_OF if said["settled"] else Relation.MAY_BELONG_TO,
        other=element,
        strength=strength,
        stance=Stance.AGAINST if said["rejected"] else Stance.FOR,
        by=str(said["by"]),
        when=Edtf.parse(when) if when else None,
        source=source,
        note=str(said["reason"]),
    )


def _of_kind(collection: "Collection", number: str, kind: str) -> str:
    from vestige.graph.errors import BadValue

    key = collection.find(number)
    [found] = collection.store.get([key])
    if found.kind != kind:
        raise BadValue(
            f"{found.open_name} is of the kind {found.kind}; needed here: {kind}"
        )
    return key


def _free_number(collection: "Collection", fragment: str) -> str:
    """A number that no claim bears yet: the fragment's, "whose", and a count."""
    count = 1
    while collection.store.named(f"{fragment}-whose-{count}"):
        count += 1
    return f"{fragment}-whose-{count}"


FRAGMENT_COMMANDS = (match_fragment, assign)
