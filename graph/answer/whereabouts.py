"""Where is it, what is in it, what is missing: the registrar's three questions."""

from collections import Counter
from typing import ClassVar

from pydantic import Field

from ..keeping import (
    Look,
    Spell,
    Stage,
    Task,
    Whereabouts,
    came_from,
    contents,
    life,
    missing,
    open_tasks,
    parentage,
    standing,
    whereabouts,
)
from ..record import Element, Fragment, KeptPart, Sample, Status
from ..state import State
from .answer import (
    NOT_RECORDED,
    Answer,
    Plain,
    Said,
    Thing,
    Warned,
    as_known,
    said,
    thing,
)
from .caution import warnings


class Stay(Plain):
    """One step of the way from a thing outwards to a building.

    Attributes:
        holder: what it lies in.
        since: EDTF date since when; None where not recorded.
        by: role that put it there; None where not recorded.
        how: "put", "moved" or "seen".
    """

    holder: Thing
    since: str | None
    by: str | None
    how: str


class LastSeen(Plain):
    """A look at a thing or at what holds it.

    Attributes:
        where: what it was seen in; None where not recorded.
        by: role that saw it; None where not recorded.
        direct: False where only its holder was seen or moved.
    """

    when: str
    where: Thing | None
    by: str | None
    direct: bool


class Located(Plain):
    """Where one thing is.

    Attributes:
        place: from the nearest holder outwards; empty: not recorded.
        certainty: "confirmed", "inferred", "not seen there" or "not recorded".
        not_seen: the look that did not find it, where that is the latest news.
        listed: dates on which it was only listed from records.
        gone: why it is nowhere any more; None where it ought to be somewhere.
        conflict: other places claimed for the same time.
        alarm: True where it ought to be somewhere and is not known to be.
    """

    thing: Thing
    came_from: tuple[Thing, ...]
    status: str
    place: tuple[Stay, ...]
    certainty: str
    last_seen: LastSeen | None
    not_seen: LastSeen | None
    listed: tuple[str, ...]
    gone: str | None
    conflict: tuple[Stay, ...]
    alarm: bool
    cautions: tuple[Warned, ...]


class Location(Answer):
    """Answer to `vestige locate ID`: the thing, or for an object and element its parts."""

    FORM: ClassVar[str] = "vestige.locate/1"
    about: Thing
    on: str | None
    things: tuple[Located, ...]


class Inside(Plain):
    """One thing in a container.

    Attributes:
        depth: 1 for what lies directly in it.
        note: what the record says besides.
        candidates: claims that a loose thing may belong to something, for and against.
        standing: for a loose fragment, where the search for its parent stands; None for
            other things.
    """

    depth: int
    located: Located
    note: str | None
    candidates: tuple[Said, ...]
    standing: str | None = None


class Contents(Answer):
    """Answer to `vestige contents CONTAINER`.

    Attributes:
        loose: how many loose fragments are in each standing, by its words; empty where
            none lies in it.
    """

    FORM: ClassVar[str] = "vestige.contents/1"
    about: Thing
    on: str | None
    place: tuple[Stay, ...]
    things: tuple[Inside, ...]
    loose: dict[str, int] = Field(default_factory=dict)


class MissingThing(Plain):
    """Something that ought to be somewhere and is not known to be."""

    thing: Thing
    came_from: tuple[Thing, ...]
    reason: str
    last_seen: LastSeen | None
    last_place: tuple[Stay, ...]


class Missing(Answer):
    """Answer to `vestige missing`."""

    FORM: ClassVar[str] = "vestige.missing/1"
    on: str | None
    things: tuple[MissingThing, ...]


def locate(
    state: State, key: str, on: int | None = None, on_text: str | None = None
) -> Location:
    """Where a thing is on a day; for an object or element, where its parts are as well."""
    asked = state.held(key).record
    things = [key]
    if asked.kind in ("object", "element"):
        kept = [
            part
            for kind in (KeptPart, Sample)
            for part, _ in state.all_of(kind)
            if key in came_from(state, part)
        ]
        things = ([key] if state.said(key, "inside") else []) + kept
        if isinstance(asked, Element) and not kept:
            things = [key]
    located = tuple(located_of(state, one, on) for one in things)
    return Location(
        form=Location.FORM,
        as_known=as_known(state),
        cautions=warnings(state, key, on),
        about=thing(state, key),
        on=on_text,
        things=located,
    )


def located_of(state: State, key: str, on: int | None = None) -> Located:
    """Where one thing is, as the answers tell it."""
    where = whereabouts(state, key, on)
    return Located(
        thing=thing(state, key),
        came_from=tuple(thing(state, one) for one in came_from(state, key)),
        status=_status(state, key, where),
        place=tuple(stay_of(state, spell) for spell in where.holders),
        certainty=str(where.certainty),
        last_seen=look_of(state, where.last_seen),
        not_seen=look_of(state, where.not_seen),
        listed=tuple(str(look.when) for look in where.listed),
        gone=where.gone,
        conflict=tuple(stay_of(state, spell) for spell in where.doubles),
        alarm=where.missing and not _on_object(state, key),
        cautions=warnings(state, key, on),
    )


def contents_of(
    state: State, key: str, on: int | None = None, on_text: str | None = None
) -> Contents:
    """Everything that lies in a container or place on a day."""
    inside = tuple(
        Inside(
            depth=one.depth,
            located=located_of(state, one.thing, on),
            note=_note(state, one.thing),
            candidates=_candidates(state, one.thing),
            standing=_standing(state, one.thing),
        )
        for one in contents(state, key, on)
    )
    return Contents(
        form=Contents.FORM,
        as_known=as_known(state),
        cautions=warnings(state, key, on),
        about=thing(state, key),
        on=on_text,
        place=tuple(stay_of(state, spell) for spell in whereabouts(state, key, on).holders),
        things=inside,
        loose=dict(Counter(one.standing for one in inside if one.standing)),
    )


def missing_of(state: State, on: int | None = None, on_text: str | None = None) -> Missing:
    """Everything that ought to be somewhere and is not known to be."""
    found = []
    tasks = {one.thing: one for one in open_tasks(state) if one.under}
    for lack in missing(state, on):
        where = lack.whereabouts
        task = tasks.get(lack.thing) if on is None else None
        found.append(
            MissingThing(
                thing=thing(state, lack.thing),
                came_from=tuple(thing(state, one) for one in came_from(state, lack.thing)),
                reason=lack.reason + _task(task),
                last_seen=look_of(state, where.last_seen) if where else None,
                last_place=tuple(stay_of(state, one) for one in where.holders)
                if where
                else (),
            )
        )
    return Missing(
        form=Missing.FORM, as_known=as_known(state), on=on_text, things=tuple(found)
    )


def _task(task: Task | None) -> str:
    if task is None:
        return ""
    whom = f" of {task.whom}" if task.whom else ""
    return f"; open task{whom} since {task.since} ({task.under})"


def stay_of(state: State, spell: Spell) -> Stay:
    """One step of the way outwards."""
    return Stay(
        holder=thing(state, spell.holder),
        since=str(spell.since) if spell.since else None,
        by=spell.by,
        how=spell.how,
    )


def look_of(state: State, look: Look | None) -> LastSeen | None:
    """A look as answers tell it; None where there is none."""
    if look is None:
        return None
    return LastSeen(
        when=str(look.when),
        where=thing(state, look.where) if look.where else None,
        by=look.by,
        direct=look.direct,
    )


def _status(state: State, key: str, where: Whereabouts) -> str:
    record = state.held(key).record
    if where.gone:
        return where.gone
    if isinstance(record, Element):
        return str(record.status) if record.status else NOT_RECORDED
    if isinstance(record, Fragment):
        return f"loose, {standing(state, key)}"
    if isinstance(record, KeptPart):
        return _stage(state, key)
    return "kept" if where.holders else NOT_RECORDED


def _stage(state: State, key: str) -> str:
    """Where a part stands in its life, with what its removal still lacks."""
    now = life(state, key)
    lacks = f": {', '.join(now.lacks)} not recorded" if now.lacks else ""
    if now.stage is Stage.UNDOCUMENTED:
        return f"{now.stage}{lacks}"
    return str(now.stage or NOT_RECORDED)


def _on_object(state: State, key: str) -> bool:
    """An object or an element still on it is not missing for want of a container."""
    record = state.held(key).record
    if isinstance(record, Element):
        off = (Status.UNDOCUMENTED, Status.UNKNOWN_PLACE, Status.KEPT)
        return record.status not in off
    return record.kind == "object"


def _candidates(state: State, key: str) -> tuple[Said, ...]:
    return tuple(said(state, one.claim) for one in parentage(state, key))


def _standing(state: State, key: str) -> str | None:
    is_loose = isinstance(state.held(key).record, Fragment)
    return str(standing(state, key)) if is_loose else None


def _note(state: State, key: str) -> str | None:
    note: str | None = getattr(state.held(key).record, "note", None)
    return note
