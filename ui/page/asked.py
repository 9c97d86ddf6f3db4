"""A search over the collection: words, kind, material, verdict and dates together.

Knows nothing of pages. What is closed to the reader is in no state that is searched here.
"""

import datetime
from dataclasses import dataclass

from vestige.graph.answer.answer import Thing, thing
from vestige.graph.collection import first_day_of, last_day_of
from vestige.graph.errors import VestigeError
from vestige.graph.keeping import came_from
from vestige.graph.record import Edtf, Record
from vestige.graph.state import State

from .desk import Desk

LIMIT = 50
"""How many records one search by words gives."""
DATED_BY = ("when", "made", "dated", "taken", "removed_when", "found_when")
"""Fields that date a record, the first that is filled counts."""
CLAIMED = ("not before", "not after", "dated", "seen by then", "absent on")
"""Relations whose value is a date: such a claim is dated by it, not by when it was made."""
FELLED = {
    "object",
    "element",
    "happening",
    "part",
    "sample",
    "fragment",
    "picture",
    "result",
}
"""Kinds that are listed where no words are given."""


@dataclass(frozen=True, slots=True)
class Wanted:
    """What is looked for; an empty text asks for nothing.

    Attributes:
        after: only what is wholly after that year's end.
        before: only what is wholly before that year's beginning.
    """

    words: str = ""
    kind: str = ""
    material: str = ""
    verdict: str = ""
    after: str = ""
    before: str = ""

    @property
    def nothing(self) -> bool:
        """Whether nothing is asked."""
        parts = (
            self.words,
            self.kind,
            self.material,
            self.verdict,
            self.after,
            self.before,
        )
        return not any(parts)


@dataclass(frozen=True, slots=True)
class Row:
    """One record found, with where it is said, so that it can be cited.

    Attributes:
        home: the object it comes from; None where it comes from none.
        date: its date; None where not recorded.
        verdict: words of the verdict, for an element where verdicts were asked for.
        seq: ledger entry that said it; `by` is the role that recorded it.
    """

    thing: Thing
    home: Thing | None
    material: str
    date: Edtf | None
    verdict: str
    seq: int
    by: str


@dataclass(frozen=True, slots=True)
class Rows:
    """What was found.

    Attributes:
        undated: how many were left out since they bear no date and dates were asked for.
        cut: True where the search by words stopped at its limit.
    """

    rows: tuple[Row, ...]
    undated: int
    cut: bool


def search(desk: Desk, wanted: Wanted) -> Rows:
    """Everything that all the filters let through.

    Raises:
        BadValue: where a year cannot be read.
    """
    after = last_day_of(wanted.after) if wanted.after else None
    before = first_day_of(wanted.before) if wanted.before else None
    state, keys, cut = _begin(desk, wanted)
    rows, undated = [], 0
    for key in keys:
        record = state.held(key).record
        if not _fits(record, wanted):
            continue
        date = date_of(record)
        if (after is not None or before is not None) and not _within(date, after, before):
            undated += date is None
            continue
        row = _row(desk, state, key, date, bool(wanted.verdict))
        if wanted.verdict.casefold() in row.verdict.casefold():
            rows.append(row)
    desk.saw(row.thing.key for row in rows)
    return Rows(tuple(rows), undated, cut)


def _begin(desk: Desk, wanted: Wanted) -> tuple[State, list[str], bool]:
    whole = desk.whole()
    if wanted.words:
        _, found = desk.collection.search(
            wanted.words, wanted.kind or None, known=desk.known, reader=desk.reader
        )
        return whole, [key for key in found if key in whole], len(found) >= LIMIT
    kinds = {wanted.kind} if wanted.kind else FELLED
    keys = [key for key in whole if whole.held(key).record.kind in kinds]
    return whole, sorted(keys, key=lambda key: whole.held(key).seq), False


def _fits(record: Record, wanted: Wanted) -> bool:
    if wanted.verdict and record.kind != "element":
        return False
    material = str(getattr(record, "material", None) or "")
    return wanted.material.casefold() in material.casefold()


def _within(date: Edtf | None, after: int | None, before: int | None) -> bool:
    if date is None:
        return False
    late = after is None or (date.earliest is not None and date.earliest > after)
    return late and (before is None or (date.latest is not None and date.latest < before))


def date_of(record: Record) -> Edtf | None:
    """The date that a record bears; None where none is recorded."""
    if str(getattr(record, "relation", "")) in CLAIMED:
        value = getattr(record, "value", None)
        return _parsed(value) if isinstance(value, str) else None
    for name in DATED_BY:
        value = getattr(record, name, None)
        if isinstance(value, Edtf):
            return value
    return None


def _parsed(text: str) -> Edtf | None:
    try:
        return Edtf.parse(text)
    except VestigeError:  # closed to this reader: its words are no date
        return None


def _row(desk: Desk, state: State, key: str, date: Edtf | None, verdicts: bool) -> Row:
    held = state.held(key)
    home = _home(state, key)
    said = ""
    if verdicts and home is not None:
        said = _verdict(desk, home, key)
    return Row(
        thing(state, key),
        home,
        str(getattr(held.record, "material", None) or ""),
        date,
        said,
        held.seq,
        held.by,
    )


def _home(state: State, key: str) -> Thing | None:
    """The object that a record belongs to, by its own word or by what it is about."""
    record = state.held(key).record
    if record.kind == "object":
        return thing(state, key)
    named = getattr(record, "object", None)
    if isinstance(named, str):
        return thing(state, named)
    about = getattr(record, "about", None)
    ends = [about] if isinstance(about, str) else list(about or ())
    ways = [end for end in ends if end in state and end != key]
    for end in ways:
        if state.held(end).record.kind == "object":
            return thing(state, end)
        inner = getattr(state.held(end).record, "object", None)
        if isinstance(inner, str):
            return thing(state, inner)
    chain = came_from(state, key)
    return thing(state, chain[-1]) if chain else None


def _verdict(desk: Desk, home: Thing, key: str) -> str:
    try:
        answer = desk.assessment(home.number)
    except VestigeError:
        return ""
    return next((one.text for one in answer.verdicts if one.thing.key == key), "")


def cited(desk: Desk, row: Row) -> tuple[str, ...]:
    """What lets somebody else find the same record again."""
    known = ""
    if desk.known is not None:
        moment = datetime.datetime.fromtimestamp(desk.known / 1000, datetime.UTC)
        known = moment.date().isoformat()
    return (row.thing.key, str(row.seq), row.by, known, desk.collection.mark())
