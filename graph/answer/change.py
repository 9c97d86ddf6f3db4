"""What changed in our view since a day: records, and the verdicts that they moved."""

from collections.abc import Iterable
from datetime import UTC, datetime
from typing import ClassVar

from ..errors import BadValue, NotRecorded, Refused
from ..record import Record, head_of
from ..state import State
from .answer import NOT_RECORDED, Answer, Plain, Thing, thing
from .change_walk import Changes, Version
from .decision import LOOK_AGAIN, DecisionOf
from .verdict_move import VerdictMove, moves, view_of

NOTE = (
    "What this reader may not read is left out on both sides and counted nowhere; the "
    "verdicts here are reckoned without it and can differ from those of 'assess'."
)


class FieldChange(Plain):
    """One column of a record that says another thing now; None: was not recorded."""

    column: str
    before: str | None
    after: str | None


class RecordChange(Plain):
    """One record that was stated, corrected or withdrawn.

    Attributes:
        how: "stated", "corrected" or "withdrawn".
        day: when that was recorded, ISO; `by` is the role that did.
        reason: reason given; None for a first statement without one.
        columns: what a correction changed.
    """

    thing: Thing
    how: str
    day: str
    by: str
    reason: str | None
    columns: tuple[FieldChange, ...]


class ObjectChanges(Plain):
    """What changed about one object.

    Attributes:
        about: the object; None for records that belong to no object.
        first_recorded: True where the object itself was recorded within the span, so that
            there is nothing to compare.
        records: in the order of recording.
        moved: verdicts that are others now.
        decisions: decisions whose ground moved, however long ago they were made.
        not_assessed: why verdicts could not be compared; empty where they were.
    """

    about: Thing | None
    first_recorded: bool
    records: tuple[RecordChange, ...]
    moved: tuple[VerdictMove, ...]
    decisions: tuple[DecisionOf, ...]
    not_assessed: str


class ChangesOf(Answer):
    """Answer to `vestige changes --since DAY [OBJECT]`.

    Attributes:
        since: the day; what was recorded after its end counts.
        about: the object asked about; None for the whole collection.
    """

    FORM: ClassVar[str] = "vestige.changes/1"
    since: str
    about: Thing | None
    objects: tuple[ObjectChanges, ...]
    note: str = NOTE


def object_changes(
    changes: Changes,
    key: str | None,
    before: State | None,
    now: State | None,
    decisions: tuple[DecisionOf, ...] = (),
) -> ObjectChanges:
    """What changed about one object; verdicts are compared only if something did.

    Args:
        changes: everything that changed and may be known.
        key: the object; None for what belongs to no object.
        before, now: the two states without what is closed; None where the object is not
            in that view, or is not asked about.
        decisions: the decisions about it, as known now.
    """
    own = [one for one in changes.versions if (key in one.home if key else not one.home)]
    moved: tuple[VerdictMove, ...] = ()
    lacking = ""
    if own and key is not None and before is not None and now is not None:
        try:
            then = view_of(before, key)
            moved = tuple(moves(then, view_of(now, key, near=then)))
        except (BadValue, NotRecorded, Refused) as wrong:
            lacking = str(wrong)
    named = now if now is not None else before
    return ObjectChanges(
        about=thing(named, key) if key is not None and named is not None else None,
        first_recorded=key is not None and before is None,
        records=tuple(row for one in own for row in _rows(changes, one, named)),
        moved=moved,
        decisions=tuple(one for one in decisions if one.standing == LOOK_AGAIN),
        not_assessed=lacking,
    )


def _rows(changes: Changes, one: Version, state: State | None) -> Iterable[RecordChange]:
    """A version as it was stated or corrected, and as it was withdrawn, where it was."""
    stated, record = one.stated, one.record
    named = Thing(
        key=stated.key,
        number=record.own_number() or record.label(),
        label=record.label(),
        kind=record.kind,
    )
    if one.began:
        yield RecordChange(
            thing=named,
            how="stated" if one.before is None else "corrected",
            day=_day(stated.at),
            by=stated.by,
            reason=stated.reason or None,
            columns=_columns(one, state) if one.before is not None else (),
        )
    if one.withdrawn:
        at, by, reason = changes.why.get(stated.seq, (stated.ended or 0, NOT_RECORDED, ""))
        yield RecordChange(
            thing=named,
            how="withdrawn",
            day=_day(at),
            by=by,
            reason=reason or None,
            columns=(),
        )


def _columns(one: Version, state: State | None) -> tuple[FieldChange, ...]:
    """The columns that a correction changed; keys of records are shown as their numbers."""
    assert one.before is not None  # only corrections are asked about
    found = []
    for name, field in type(one.record).model_fields.items():
        before, after = getattr(one.before, name), getattr(one.record, name)
        if before == after:
            continue
        was = _text(one.before, name, before, state)
        now = _text(one.record, name, after, state)
        if was != now:
            head = head_of(name, field)
            found.append(FieldChange(column=head, before=was, after=now))
    return tuple(found)


def _text(record: Record, name: str, value: object, state: State | None) -> str | None:
    """A value of a column in words; None where it is empty, or names nothing to be seen."""
    if value is None or value in ("", ()):
        return None
    pointing = {field for field, _, _ in record.references()}
    items = value if isinstance(value, tuple) else (value,)
    if name in pointing:
        known = [state.number(str(one)) for one in items if state and str(one) in state]
        return "; ".join(known) or None
    return "; ".join(str(one) for one in items)


def _day(at: int) -> str:
    return datetime.fromtimestamp(at / 1000, UTC).date().isoformat()
