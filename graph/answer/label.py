"""What a label says: words for people first, then the code of the stable id.

A label says what the archive records, to this reader, on the day as known. Printing it
records nothing: the same thing has the same code on every label ever printed of it.
"""

from collections.abc import Sequence
from typing import ClassVar, Final

from ..errors import BadValue
from ..keeping import came_from, suspects, whereabouts
from ..record import (
    Container,
    Fragment,
    KeptPart,
    Known,
    MuseumObject,
    Record,
    Sample,
    label_code,
)
from ..state import State
from .answer import NOT_RECORDED, Answer, Plain, Thing, Warned, as_known, thing
from .caution import warnings

LABELLED: Final = (
    "object", "element", "part", "sample", "fragment", "container", "place",
)  # fmt: skip
"""Kinds of things that bear labels."""


class LabelMark(Plain):
    """A hazard or a restriction, in as few words as say it.

    Attributes:
        sort: "hazard" or "restriction".
        words: what it is, how it is known or what it forbids, and whom to ask.
    """

    sort: str
    words: str


class LabelOf(Plain):
    """One label.

    Attributes:
        code: ``V-XXXXX-XXXXX-C`` with its check character (ISO 7064, MOD 37-2), printed
            and in the QR code.
        name: what it is; None where not recorded.
        object: the object that it belongs to or came from; None where none is recorded.
        removed_from: e.g. "from SCR-14 hinge set H3"; None where it came from nothing.
        date: e.g. "taken off 2020-02-11"; says so where not recorded; None where no date
            belongs on the label of such a thing.
        container: what it lies in; None where not recorded.
        marks: hazards first, then restrictions, each once.
    """

    about: Thing
    code: str
    name: str | None
    object: str | None
    removed_from: str | None
    date: str | None
    container: str | None
    marks: tuple[LabelMark, ...]


class Labels(Answer):
    """Answer to `vestige label ID...`.

    Attributes:
        day: day of the record from which the labels are printed, ISO 8601.
    """

    FORM: ClassVar[str] = "vestige.label/1"
    day: str
    labels: tuple[LabelOf, ...]


def labels_of(state: State, keys: Sequence[str], day: str) -> Labels:
    """The labels of some things, in the order asked for.

    Args:
        state: with the places and cautions of the things, closed for who reads.
        keys: keys of the things.
        day: day of the record, ISO 8601.

    Raises:
        BadValue: where one is not a thing that bears a label.
    """
    return Labels(
        form=Labels.FORM,
        as_known=as_known(state),
        day=day,
        labels=tuple(_label(state, key) for key in keys),
    )


def _label(state: State, key: str) -> LabelOf:
    record = state.held(key).record
    if record.kind not in LABELLED:
        raise BadValue(
            f"{record.label()} is of the kind {record.kind}, which lies nowhere and bears "
            f"no label; labels are for: {', '.join(LABELLED)}"
        )
    parents = came_from(state, key)
    holders = whereabouts(state, key).holders
    return LabelOf(
        about=thing(state, key),
        code=label_code(key),
        name=getattr(record, "name", None),
        object=_object(state, parents),
        removed_from=_removed_from(state, key, record, parents),
        date=_date(record),
        container=state.number(holders[0].holder) if holders else None,
        marks=_marks(warnings(state, key)),
    )


def _object(state: State, parents: Sequence[str]) -> str | None:
    for one in parents:
        if one in state and isinstance(state.held(one).record, MuseumObject):
            return state.label(one)
    return None


def _removed_from(
    state: State, key: str, record: Record, parents: Sequence[str]
) -> str | None:
    if isinstance(record, Fragment):
        maybe = dict.fromkeys(state.number(one.element) for one in suspects(state, key))
        return f"loose; may belong to {', '.join(maybe)}" if maybe else "loose"
    if isinstance(record, (KeptPart, Sample)) and parents:
        return f"from {state.label(parents[0])}"
    return None


def _date(record: Record) -> str | None:
    told: tuple[str, object]
    if isinstance(record, KeptPart):
        told = "taken off", record.removed_when
    elif isinstance(record, Sample):
        told = "taken", record.taken_when
    elif isinstance(record, Fragment):
        told = "found", record.found_when
    elif isinstance(record, Container) and record.since:
        told = "in use since", record.since
    else:
        return None
    what, when = told
    return f"{what} {when if when else NOT_RECORDED}"


def _marks(found: Sequence[Warned]) -> tuple[LabelMark, ...]:
    """Each caution once. A negative test speaks of one spot and is no mark on a label."""
    hazards = [
        f"{one.what} ({one.known or NOT_RECORDED})"
        for one in found
        if one.sort == "hazard" and one.known != Known.NEGATIVE
    ]
    rules = [_rule(one) for one in found if one.sort == "restriction"]
    marks = [LabelMark(sort="hazard", words=words) for words in dict.fromkeys(hazards)]
    return (
        *marks,
        *(LabelMark(sort="restriction", words=words) for words in dict.fromkeys(rules)),
    )


def _rule(one: Warned) -> str:
    ask = f", ask {one.ask}" if one.ask else ""
    forbids = f" ({', '.join(one.forbids)})" if one.forbids else ""
    return f"{one.what}{forbids}{ask}"
