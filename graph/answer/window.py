"""When can this have been made or put there: earliest and latest, each with its reason."""

from typing import ClassVar

from ..errors import NotRecorded
from ..reasoning import (
    TimeClaim,
    bounds,
    cheapest_repair,
    minimal_conflict,
    why_bound,
)
from ..reasoning.chronology import DateConflict
from ..reasoning.recorded_order import things_of, time_claims
from ..record import Claim, Element, Happening, iso
from ..state import State
from .answer import Answer, Plain, Said, Thing, as_known, said, thing
from .caution import warnings


class Limit(Plain):
    """One end of a window.

    Attributes:
        day: ISO day; None where nothing bounds that side.
        because: the claims that set it, from the calendar to the thing.
        dates: happenings whose own recorded date takes part.
    """

    day: str | None
    because: tuple[Said, ...]
    dates: tuple[Thing, ...]


class Window(Answer):
    """Answer to `vestige window ID`: when it can have come to its place.

    Attributes:
        doubted: claims set aside because the dates contradict each other; they are kept
            and shown, and nothing is resolved by it.
        conflict: a smallest set of claims that contradict each other, where there is one.
    """

    FORM: ClassVar[str] = "vestige.window/1"
    about: Thing
    earliest: Limit
    latest: Limit
    doubted: tuple[Said, ...]
    conflict: tuple[Said, ...]


def window_of(state: State, key: str) -> Window:
    """The tightest window that the recorded claims leave for one thing.

    Raises:
        NotRecorded: where it is no element or happening of an object.
    """
    record = state.held(key).record
    if not isinstance(record, (Element, Happening)):
        wanted = "ask for an element or a happening"
        raise NotRecorded(f"{state.label(key)} is a {record.kind}: {wanted}")
    claims = time_claims(state, things_of(state, record.object))
    conflict = minimal_conflict(claims)
    doubted = cheapest_repair(claims) if conflict else ()
    sound = tuple(one for one in claims if one.id not in doubted)
    named = any(key in (one.start, one.end) for one in sound)
    return Window(
        form=Window.FORM,
        as_known=as_known(state),
        cautions=warnings(state, key),
        about=thing(state, key),
        earliest=_limit(state, sound, key, "low") if named else NO_LIMIT,
        latest=_limit(state, sound, key, "high") if named else NO_LIMIT,
        doubted=_claims(state, doubted),
        conflict=_claims(state, conflict),
    )


NO_LIMIT = Limit(day=None, because=(), dates=())


def _limit(state: State, claims: tuple[TimeClaim, ...], key: str, side: str) -> Limit:
    low = side == "low"
    found = bounds(claims)
    assert not isinstance(found, DateConflict)
    day = found[key].low if low else found[key].high
    if day is None:
        return NO_LIMIT
    chain = why_bound(claims, key, "low" if low else "high")
    ids = tuple(dict.fromkeys(one.id for one in chain))
    return Limit(
        day=iso(day),
        because=_claims(state, ids),
        dates=tuple(
            thing(state, one)
            for one in ids
            if isinstance(state.held(one).record, Happening)
        ),
    )


def _claims(state: State, ids: tuple[str, ...]) -> tuple[Said, ...]:
    return tuple(
        said(state, one) for one in ids if isinstance(state.held(one).record, Claim)
    )
