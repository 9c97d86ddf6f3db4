"""What touched a material, batch or class of product: the recall, with what is left."""

from typing import ClassVar

from ..keeping import Touch, Wanted, object_of, recall, whereabouts
from ..record import Element, Fragment, KeptPart, Sample
from ..state import State
from .answer import Answer, Plain, Thing, as_known, thing
from .caution import warnings
from .whereabouts import Located, located_of

REACH = {1: "direct", 2: "through contact", 3: "mentioned only"}
LIMITS = (
    "A recall finds what is recorded. Things that were touched without a record, and "
    "records closed to this reader, are not in it."
)


class Reason(Plain):
    """Why a thing counts as touched.

    Attributes:
        says: the record that says so.
        via: through what; None where directly.
        when: date of the use, EDTF; None where not recorded.
    """

    how: str
    says: Thing
    via: Thing | None
    when: str | None


class Touched(Plain):
    """One thing that the material touched.

    Attributes:
        object: what it belongs to; None where the record does not say.
        reach: "direct", "through contact" or "mentioned only".
        status: where it stands physically; "not recorded" where so.
        still_there: True on the object, False off it or gone, None where not recorded.
        taken_away: date at which it was taken off, EDTF; None where it was not or the
            date is not recorded.
        located: where it is now; the object's place for what is still on it.
    """

    thing: Thing
    object: Thing | None
    reach: str
    reasons: tuple[Reason, ...]
    status: str
    still_there: bool | None
    taken_away: str | None
    located: Located


class Recall(Answer):
    """Answer to `vestige recall`.

    Attributes:
        asked: what was asked for, as written.
        named: the record that bears it; None for a class or words.
        words: names by which records were looked for.
        things: everything touched, object by object, the nearest first.
    """

    FORM: ClassVar[str] = "vestige.recall/1"
    asked: str
    named: Thing | None
    words: tuple[str, ...]
    begins: str | None
    ends: str | None
    place: Thing | None
    things: tuple[Touched, ...]
    note: str = LIMITS


def recall_of(
    state: State,
    wanted: Wanted,
    asked: str,
    named: str | None = None,
    span: tuple[tuple[int | None, str | None], tuple[int | None, str | None]] = (
        (None, None),
        (None, None),
    ),
    place: str | None = None,
) -> Recall:
    """Everything that was touched, in a span of days and a place.

    Args:
        state: gathered by `Collection.recalled`.
        wanted: what is recalled, from there.
        asked: what was asked for, as written.
        named: key of the record named.
        span: first and last day, each with its text; None for no bound.
        place: key of the place or container in which things have to be now.
    """
    (first, begins), (last, ends) = span
    found = [
        _touched(state, key, touches)
        for key, touches in recall(state, wanted, first, last).items()
        if key in state and (place is None or _lies_in(state, key, place))
    ]
    return Recall(
        form=Recall.FORM,
        as_known=as_known(state),
        cautions=warnings(state, named) if named else (),
        asked=asked,
        named=thing(state, named) if named else None,
        words=wanted.words,
        begins=begins,
        ends=ends,
        place=thing(state, place) if place else None,
        things=tuple(sorted(found, key=_in_order)),
    )


def _touched(state: State, key: str, touches: tuple[Touch, ...]) -> Touched:
    home = object_of(state, key)
    located = located_of(state, key)
    there, away = _standing(state, key, located)
    if isinstance(state.held(key).record, Element) and there is not False and home:
        located = located.model_copy(update={"place": located_of(state, home).place})
    return Touched(
        thing=thing(state, key),
        object=thing(state, home) if home else None,
        reach=REACH[touches[0].reach],
        reasons=tuple(
            Reason(
                how=one.how,
                says=thing(state, one.says),
                via=thing(state, one.via) if one.via else None,
                when=str(one.when) if one.when else None,
            )
            for one in touches
        ),
        status=located.status,
        still_there=there,
        taken_away=away,
        located=located,
    )


def _standing(state: State, key: str, located: Located) -> tuple[bool | None, str | None]:
    record = state.held(key).record
    if isinstance(record, Element):
        off = [one.removed_when for _, one in state.about(key, KeptPart, "taken from")]
        dates = ", ".join(dict.fromkeys(str(one) for one in off if one)) or None
        if record.status is None:
            return None, dates
        return record.status in ("in place", "moved on the object"), dates
    if isinstance(record, KeptPart):
        return False, str(record.removed_when) if record.removed_when else None
    if isinstance(record, Sample):
        return False, str(record.taken_when) if record.taken_when else None
    if isinstance(record, Fragment):
        return False, None
    return (True if record.kind == "object" else None), None


def _lies_in(state: State, key: str, place: str) -> bool:
    """Whether a thing, or the object it is still on, lies in a place at any depth."""
    where = [spell.holder for spell in whereabouts(state, key).holders]
    home = object_of(state, key)
    if not where and home and isinstance(state.held(key).record, Element):
        where = [spell.holder for spell in whereabouts(state, home).holders]
    return place in where or key == place


def _in_order(one: Touched) -> tuple[str, int, str]:
    near = [*REACH.values()].index(one.reach)
    return (one.object.number if one.object else "", near, one.thing.number)
