"""Who held it when: title, holder and place, each apart, with gaps and overlaps."""

from typing import ClassVar

from ..keeping.custody import Lack, lacks, stays, titles
from ..keeping.whereabouts import looks_for
from ..record import Edtf, Seen
from ..state import State
from .answer import Answer, Plain, Thing, as_known, thing
from .caution import warnings
from .whereabouts import Located, located_of


class Dated(Plain):
    """A date with its bounds.

    Attributes:
        text: EDTF.
        earliest: first day, days since 1970-01-01; None: no bound.
        latest: last day; None: no bound.
    """

    text: str
    earliest: int | None
    latest: int | None


class Holding(Plain):
    """One spell of title or holding; `who` is None where not recorded."""

    what: str
    who: str | None
    how: str
    since: Dated | None
    says: Thing


class PlaceStay(Plain):
    """One spell in a place.

    Attributes:
        until: when the next began; None where not recorded or still there.
        last: True for the last one recorded.
    """

    holder: Thing
    since: Dated | None
    until: Dated | None
    last: bool
    by: str | None
    how: str
    says: Thing


class Sighted(Plain):
    """One look: where, when, by whom, and what it came to."""

    seen: str
    where: Thing | None
    when: Dated
    by: str | None
    says: Thing


class Lacking(Plain):
    """A gap or an overlap in the record."""

    sort: str
    text: str
    says: tuple[Thing, ...]
    begins: Dated | None
    ends: Dated | None


class Custody(Answer):
    """Answer to `vestige custody ID`."""

    FORM: ClassVar[str] = "vestige.custody/1"
    about: Thing
    title: tuple[Holding, ...]
    holder: tuple[Holding, ...]
    places: tuple[PlaceStay, ...]
    looks: tuple[Sighted, ...]
    lacks: tuple[Lacking, ...]
    now: Located


def custody_of(state: State, key: str) -> Custody:
    """Every recorded spell of title, of holding and of place."""
    held = [
        Holding(
            what=one.what,
            who=one.who,
            how=one.how,
            since=_dated(one.when),
            says=thing(state, one.says),
        )
        for one in titles(state, key)
    ]
    return Custody(
        form=Custody.FORM,
        as_known=as_known(state),
        cautions=warnings(state, key),
        about=thing(state, key),
        title=tuple(one for one in held if one.what == "title"),
        holder=tuple(one for one in held if one.what == "holder"),
        places=_places(state, key),
        looks=_looks(state, key),
        lacks=tuple(_lack(state, one) for one in lacks(state, key)),
        now=located_of(state, key),
    )


def _places(state: State, key: str) -> tuple[PlaceStay, ...]:
    return tuple(
        PlaceStay(
            holder=thing(state, one.spell.holder),
            since=_dated(one.spell.since),
            until=_dated(one.until),
            last=one.last,
            by=one.spell.by,
            how=one.spell.how,
            says=thing(state, one.spell.says),
        )
        for one in stays(state, key)
    )


def _looks(state: State, key: str) -> tuple[Sighted, ...]:
    found = []
    for look in looks_for(state, key):
        when = _dated(look.when)
        if when is not None and look.seen is not Seen.LISTED:
            found.append(
                Sighted(
                    seen=str(look.seen),
                    where=thing(state, look.where) if look.where else None,
                    when=when,
                    by=look.by,
                    says=thing(state, look.says),
                )
            )
    return tuple(found)


def _lack(state: State, one: Lack) -> Lacking:
    return Lacking(
        sort=one.sort,
        text=one.text,
        says=tuple(thing(state, key) for key in one.says),
        begins=_dated(one.begins),
        ends=_dated(one.ends),
    )


def _dated(when: Edtf | None) -> Dated | None:
    if when is None:
        return None
    return Dated(text=str(when), earliest=when.earliest, latest=when.latest)
