"""What is unknown of an object, and what would settle it where somebody recorded that."""

from collections.abc import Callable, Iterable, Iterator
from typing import ClassVar

from ..errors import BadValue, Refused
from ..keeping import life, missing
from ..record import (
    Caution,
    CautionSort,
    Claim,
    Container,
    Element,
    Fragment,
    Happening,
    KeptPart,
    Known,
    MuseumObject,
    Phase,
    Question,
    Record,
    Result,
    Sample,
    Status,
)
from ..state import State
from .answer import Answer, Plain, Thing, as_known, thing
from .assessment import VerdictOf, assess_of
from .belonging import belonging
from .caution import warnings

ASKED = "asked and not answered"
OPEN = "verdict open"
PHASE_OPEN = "later, phase open"
UNEXAMINED = "unexamined"
UNDOCUMENTED = "removal not documented"
NOWHERE = "no known place"
UNTESTED = "not tested"
NOT_RECORDED_YET = "not recorded"
NOTE = (
    "Only what the record shows to be open is listed; what nobody thought of asking is "
    "not. What would settle it is told where somebody recorded it."
)
OFF = (Status.KEPT, Status.UNDOCUMENTED, Status.UNKNOWN_PLACE)


class Unknown(Plain):
    """Something that is not known.

    Attributes:
        sort: in what way it is open.
        things: what it is about.
        hangs_on: what an open verdict hangs on.
        would_settle: what would settle it, as recorded; None where nobody recorded it.
    """

    sort: str
    text: str
    things: tuple[Thing, ...]
    hangs_on: tuple[str, ...] = ()
    would_settle: str | None = None


class ObjectUnknowns(Plain):
    """What is unknown of one object; `about` None: of boxes and loose things."""

    about: Thing | None
    unknowns: tuple[Unknown, ...]


class Unknowns(Answer):
    """Answer to `vestige unknowns [OBJECT]`.

    Attributes:
        about: the object asked about; None for the whole collection.
    """

    FORM: ClassVar[str] = "vestige.unknowns/1"
    about: Thing | None
    objects: tuple[ObjectUnknowns, ...]
    note: str = NOTE


def unknowns_of(state: State, key: str) -> Unknowns:
    """Everything that the record shows to be open about one object."""
    return Unknowns(
        form=Unknowns.FORM,
        as_known=as_known(state),
        cautions=warnings(state, key),
        about=thing(state, key),
        objects=(object_unknowns(state, key),),
    )


def object_unknowns(state: State, key: str) -> ObjectUnknowns:
    """What is unknown of one object, questions that people asked first."""
    state.record(key, MuseumObject)
    own = belonging(state, key)
    found = [
        *_asked(state, own),
        *_verdicts(state, key),
        *_silent(state, own),
        *_undocumented(state, own),
        *_nowhere(state, own),
        *_untested(state, own),
        *_fields(state, own),
    ]
    return ObjectUnknowns(about=thing(state, key), unknowns=tuple(found))


def loose_unknowns(state: State) -> ObjectUnknowns:
    """Boxes and loose things without a known place that come from no object."""
    kinds = (Container.kind, Fragment.kind)
    lost = {
        one.thing: one.reason
        for one in missing(state)
        if state.held(one.thing).record.kind in kinds
    }
    found = [
        Unknown(sort=NOWHERE, text=why, things=(thing(state, one),))
        for one, why in lost.items()
    ]
    return ObjectUnknowns(about=None, unknowns=tuple(found))


def _asked(state: State, own: frozenset[str]) -> Iterator[Unknown]:
    for key, one in state.all_of(Question):
        if key in own and not one.answered:
            yield Unknown(
                sort=ASKED,
                text=f"{one.number}: {one.asked}",
                things=tuple(thing(state, about) for about in one.about),
                would_settle=one.would_settle,
            )


def _verdicts(state: State, key: str) -> Iterator[Unknown]:
    """Verdicts that leave something open, the widest open first."""
    try:
        verdicts = assess_of(state, key).verdicts
    except (BadValue, Refused) as wrong:
        yield Unknown(sort=OPEN, text=f"it cannot be assessed: {wrong}", things=())
        return
    for sort, is_so in _SORTS:
        for one in verdicts:
            if is_so(one):
                yield Unknown(
                    sort=sort, text=one.text, things=(one.thing,), hangs_on=one.hangs_on
                )


_SORTS: tuple[tuple[str, Callable[[VerdictOf], bool]], ...] = (
    (OPEN, lambda one: one.word.startswith("open")),
    (PHASE_OPEN, lambda one: one.word.startswith("later")),
)


def _silent(state: State, own: frozenset[str]) -> Iterator[Unknown]:
    """Elements of which nobody says anything, and those of which nothing dates them."""
    spoken: set[str] = set()
    for _, claim in state.all_of(Claim):
        spoken.update(end for end in (claim.about, claim.other) if end)
    silent = [
        key
        for key, one in state.all_of(Element)
        if key in own and key not in spoken and not one.core
    ]
    yield from _listed(state, UNEXAMINED, "no observation names it", silent)


def _undocumented(state: State, own: frozenset[str]) -> Iterator[Unknown]:
    """What came off without a record, and what the records of removals lack."""
    told = {one.element for _, one in state.all_of(KeptPart)}
    for key, one in state.all_of(Element):
        if key in own and one.status in OFF and key not in told:
            yield Unknown(
                sort=UNDOCUMENTED,
                text=f"it is {one.status} and no record tells of its removal",
                things=(thing(state, key),),
            )
    lacking: dict[str, list[str]] = {}
    for key, _ in state.all_of(KeptPart):
        if key in own:
            for lack in life(state, key).lacks:
                lacking.setdefault(lack, []).append(key)
    for lack, keys in lacking.items():
        yield from _listed(
            state, UNDOCUMENTED, f"the record of its removal lacks: {lack}", keys
        )


def _nowhere(state: State, own: frozenset[str]) -> Iterator[Unknown]:
    for lack in missing(state):
        if lack.thing in own:
            yield Unknown(
                sort=NOWHERE, text=lack.reason, things=(thing(state, lack.thing),)
            )


def _untested(state: State, own: frozenset[str]) -> Iterator[Unknown]:
    """Hazards suspected or not tested, and samples of which no result is recorded."""
    for key, one in state.all_of(Caution):
        hazard = key in own and one.sort is CautionSort.HAZARD
        if hazard and one.known in (Known.SUSPECTED, Known.NOT_TESTED):
            about = tuple(thing(state, end) for end in one.about if end in state)
            text = f"{one.what}: {one.known}, no test that settles it is recorded"
            yield Unknown(sort=UNTESTED, text=text, things=about)
    analysed = {result.of for _, result in state.all_of(Result)}
    samples = {key: one for key, one in state.all_of(Sample) if key in own}
    for key in [one for one in samples if one in analysed]:  # a preparation's result counts
        parent = samples[key].made_from
        while parent in samples and parent not in analysed:
            analysed.add(parent)
            parent = samples[parent].made_from
    bare = [key for key in samples if key not in analysed]
    yield from _listed(state, UNTESTED, "no result of the sample is recorded", bare)


def _fields(state: State, own: frozenset[str]) -> Iterator[Unknown]:
    """Columns that matter and are empty; one entry a column."""
    for kind, field, text, matters in _MATTERS:
        empty = [
            key
            for key, one in state.all_of(kind)
            if key in own and getattr(one, field) in (None, ()) and matters(one)
        ]
        yield from _listed(state, NOT_RECORDED_YET, text, empty)


def _always(record: Record) -> bool:
    return True


def _undated(record: Record) -> bool:
    return isinstance(record, Phase) and record.ends is None


def _is_stuff(record: Record) -> bool:
    return isinstance(record, Element) and str(record.sort) in ("part", "fixing", "layer")


_MATTERS: tuple[tuple[type[Record], str, str, Callable[[Record], bool]], ...] = (
    (MuseumObject, "owner", "who holds title", _always),
    (MuseumObject, "held_by", "who has custody", _always),
    (MuseumObject, "made", "when it was made, by the papers", _always),
    (Phase, "begins", "when the phase began or ended", _undated),
    (Element, "material", "what it is made of", _is_stuff),
    (Element, "status", "where it stands physically", _always),
    (Happening, "when", "when it happened", _always),
    (Claim, "source", "what source it rests on", lambda one: not getattr(one, "by", None)),
    (KeptPart, "reason", "why it came off", _always),
)
"""Columns without which an answer that people ask for falls short."""


def _listed(state: State, sort: str, text: str, keys: Iterable[str]) -> Iterator[Unknown]:
    things = tuple(thing(state, one) for one in keys)
    if things:
        yield Unknown(sort=sort, text=text, things=things)
