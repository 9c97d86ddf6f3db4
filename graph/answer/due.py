"""What is due or overdue, and what stands in the way of letting a thing go."""

from collections.abc import Iterable
from typing import ClassVar

from ..keeping.retention import Standing, blocks, due, without_date
from ..keeping.sample import object_of
from ..record import Caution, MuseumObject
from ..state import State
from .answer import Answer, Plain, Thing, as_known, thing
from .caution import warnings
from .whereabouts import Located, located_of

LIMITS = (
    "That nothing is listed against it does not mean that a thing may be let go; the "
    "decision needs an authority."
)


class Blocking(Plain):
    """Something that stands in the way; `says` is None where something lacks."""

    sort: str
    text: str
    says: Thing | None


class DueOne(Plain):
    """One date.

    Attributes:
        about: what it concerns; for a caution, the things that it warns of.
        owner: role or body that holds title; None where not recorded.
        held_by: role or body in whose custody its object is; None where not recorded.
        located: where it is; None for a caution.
    """

    thing: Thing
    about: tuple[Thing, ...]
    what: str
    when: str
    standing: str
    ask: str | None
    owner: str | None
    held_by: str | None
    located: Located | None
    blocks: tuple[Blocking, ...]


class DueOf(Answer):
    """Answer to `vestige due`.

    Attributes:
        by: day asked about.
        about: the one thing asked about; None for the whole archive.
        due: what is due or overdue by then, the earliest first.
        later: how many dates lie later.
        undated: what is kept without a review date.
        blocks: for one thing: what stands in the way of letting it go.
    """

    FORM: ClassVar[str] = "vestige.due/1"
    by: str
    about: Thing | None
    due: tuple[DueOne, ...]
    later: int
    undated: tuple[Thing, ...]
    blocks: tuple[Blocking, ...]
    note: str = LIMITS


def due_of(state: State, day: int, by: str, about: str | None = None) -> DueOf:
    """Every date that is due by a day, in the whole archive or for one thing.

    Args:
        state: all that is kept, with claims and decisions.
        day: days since 1970-01-01.
        by: the same day as text.
        about: key of the one thing asked about.
    """
    dates = [
        one
        for one in due(state, day)
        if about is None or _concerns(state, one.thing, about)
    ]
    found = tuple(
        _due(state, one.thing, one.what, str(one.when), str(one.standing))
        for one in dates
        if one.standing is not Standing.LATER
    )
    undated = [one for one in without_date(state) if about in (None, one)]
    return DueOf(
        form=DueOf.FORM,
        as_known=as_known(state),
        cautions=warnings(state, about) if about else (),
        by=by,
        about=thing(state, about) if about else None,
        due=found,
        later=len(dates) - len(found),
        undated=tuple(thing(state, one) for one in undated),
        blocks=_blocks(state, about) if about else (),
    )


def _due(state: State, key: str, what: str, when: str, standing: str) -> DueOne:
    record = state.held(key).record
    caution = record if isinstance(record, Caution) else None
    about = caution.about if caution else (key,)
    homes = {home for one in about if one in state and (home := object_of(state, one))}
    owners = [state.record(home, MuseumObject) for home in sorted(homes)]
    return DueOne(
        thing=thing(state, key),
        about=tuple(thing(state, one) for one in about),
        what=what,
        when=when,
        standing=standing,
        ask=caution.ask if caution else None,
        owner=_all(one.owner for one in owners),
        held_by=_all(one.held_by for one in owners),
        located=None if caution else located_of(state, key),
        blocks=() if caution else _blocks(state, key),
    )


def _concerns(state: State, key: str, about: str) -> bool:
    record = state.held(key).record
    return key == about or (isinstance(record, Caution) and about in record.about)


def _blocks(state: State, key: str) -> tuple[Blocking, ...]:
    return tuple(
        Blocking(
            sort=one.sort, text=one.text, says=thing(state, one.says) if one.says else None
        )
        for one in blocks(state, key)
    )


def _all(names: Iterable[str | None]) -> str | None:
    return "; ".join(sorted({name for name in names if name})) or None
