"""Acts on things: move them, see them or not, and what becomes of them."""

from pathlib import Path

import click

from .acting import LIST, Acting, a_date, acting, keys_of, the_holder
from .asking import Asking, question
from .words_moving import life as life_words

WHEN = click.option("--when", required=True, metavar="DATE", help="Date of it (EDTF).")
IDS = click.argument("ids", nargs=-1, metavar="ID...")
LISTING = click.option(
    "--list", "listing", type=LIST, metavar="FILE", help="CSV with a column 'number'."
)
WORDS = (
    "put-back", "removed-again", "moved-within", "on-loan", "at-laboratory", "returned",
    "divided", "consumed", "discarded", "discarded-without-record", "missing", "found",
)  # fmt: skip
_LONG = {
    "moved-within": "moved within the object",
    "at-laboratory": "at the laboratory",
    "discarded": "discarded with authority",
}


@click.command()
@IDS
@click.option("--to", required=True, metavar="PLACE", help="Where they are put.")
@click.option("--from", "origin", metavar="PLACE", help="Where they were taken from.")
@WHEN
@click.option("--authority", required=True, metavar="ROLE", help="Role that allowed it.")
@click.option("--why", required=True, metavar="TEXT", help="Reason.")
@click.option("--number", metavar="NO", help="Number of this move.")
@click.option("--manifest", metavar="MV", help="Number of the list it is moved under.")
@LISTING
@acting
def move(
    act: Acting,
    ids: tuple[str, ...],
    to: str,
    origin: str | None,
    when: str,
    listing: Path | None,
    **more: str | None,
) -> None:
    """Move things as one act; what lies inside goes along.

    IDs are numbers or label codes, also line by line on the input (-) or from --list.
    """
    from vestige.graph.record import Move

    keys = keys_of(act.collection, ids, listing)
    made = Move(
        what=tuple(keys),
        to=the_holder(act.collection, to),
        origin=the_holder(act.collection, origin),
        when=a_date(when),
        by=act.by,
        **more,
    )
    act.do(f"{_count(keys)} moved to {to} on {when}", keys, [made])


@click.command()
@IDS
@click.option("--in", "place", metavar="PLACE", help="Where they were seen.")
@WHEN
@click.option("--round", "number", metavar="NO", help="Number of the list or round.")
@LISTING
@acting
def seen(
    act: Acting,
    ids: tuple[str, ...],
    place: str | None,
    when: str,
    number: str | None,
    listing: Path | None,
) -> None:
    """Record that somebody saw these things; scanned label codes are numbers too."""
    keys = keys_of(act.collection, ids, listing)
    where = f" in {place}" if place else ""
    _look(act, keys, "seen", place, when, number, f"{_count(keys)} seen{where} on {when}")


@click.command()
@IDS
@click.option("--in", "place", metavar="PLACE", help="Where they were looked for.")
@WHEN
@click.option("--round", "number", metavar="NO", help="Number of the list or round.")
@LISTING
@acting
def notseen(
    act: Acting,
    ids: tuple[str, ...],
    place: str | None,
    when: str,
    number: str | None,
    listing: Path | None,
) -> None:
    """Record that somebody looked for these things and did not see them."""
    keys = keys_of(act.collection, ids, listing)
    said = f"{_count(keys)} looked for and not seen on {when}"
    _look(act, keys, "not seen", place, when, number, said)


def _look(
    act: Acting,
    keys: list[str],
    what: str,
    place: str | None,
    when: str,
    number: str | None,
    said: str,
) -> None:
    from vestige.graph.record import Seen, Sighting

    where, day = the_holder(act.collection, place), a_date(when)
    looks = [
        Sighting(what=key, seen=Seen(what), where=where, when=day, by=act.by, audit=number)
        for key in keys
    ]
    act.do(said, keys, looks)


@click.command()
@click.argument("turn", type=click.Choice(WORDS))
@IDS
@WHEN
@click.option("--authority", metavar="ROLE", help="Role that allowed it.")
@click.option("--why", metavar="TEXT", help="Reason.")
@click.option("--to", metavar="PLACE", help="Where it is put by that, if anywhere.")
@click.option("--into", multiple=True, metavar="ID", help="A piece it was divided into.")
@LISTING
@acting
def became(
    act: Acting,
    turn: str,
    ids: tuple[str, ...],
    when: str,
    to: str | None,
    into: tuple[str, ...],
    listing: Path | None,
    authority: str | None,
    why: str | None,
) -> None:
    """Record what became of things: put back, on loan, consumed, discarded, found...

    Letting go is refused while a claim, decision, sample or loan depends on the thing.
    """
    from pydantic import ValidationError

    from vestige.graph.errors import Refused
    from vestige.graph.record import Became, Fate, Move, Record

    keys, day = keys_of(act.collection, ids, listing), a_date(when)
    word = Became(_LONG.get(turn, turn.replace("-", " ")))
    try:
        fate = Fate(
            what=tuple(keys),
            became=word,
            when=day,
            by=act.by,
            authority=authority,
            why=why,
            into=tuple(act.collection.find(one) for one in into),
        )
    except ValidationError as wrong:
        raise Refused(str(wrong.errors()[0]["msg"]).removeprefix("Value error, ")) from None
    records: list[Record] = [fate]
    if to:
        place = the_holder(act.collection, to)
        records.append(
            Move(
                what=tuple(keys),
                to=place,
                when=day,
                by=act.by,
                authority=authority,
                why=why or str(word),
            )
        )
    act.do(f"{_count(keys)} {word} on {when}", keys, records)


@click.command()
@click.argument("number", metavar="ID")
@question
def life(asking: Asking, number: str) -> None:
    """What became of this part or sample? Its stages, what lacks, what depends on it."""
    from vestige.graph.answer.life import life_of

    key = asking.find(number)
    state = asking.collection.places_of(key, known=asking.known, reader=asking.reader)
    asking.tell(life_of(state, key), life_words)


def _count(keys: list[str]) -> str:
    return "1 thing" if len(keys) == 1 else f"{len(keys)} things"


MOVING = (move, seen, notseen, became, life)
"""The acts on things, in the order of a day's work."""
