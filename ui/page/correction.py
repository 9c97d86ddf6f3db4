"""Correct or withdraw one record, over the version that was read; nothing of pages."""

from collections.abc import Mapping
from typing import TYPE_CHECKING

from vestige.graph.errors import NotRecorded, Refused
from vestige.graph.intake import columns_of, problems_of
from vestige.graph.ledger import State as Statement
from vestige.graph.ledger import Withdraw
from vestige.graph.record import KINDS, Record

from . import recording, words_recording
from .desk import Desk
from .written import record_of, written

if TYPE_CHECKING:
    from vestige.graph.problem import Problem

Form = Mapping[str, str]
REASON = "why corrected"
"""Field of the reason for a correction; no column of any kind is called so."""


def version(desk: Desk, key: str, seq: int) -> dict[str, str]:
    """One version of a record as a form.

    Raises:
        NotRecorded: where there is no such version.
    """
    state, _ = desk.about(key)
    for one in desk.collection.store.history(key):
        if one.seq == seq:
            columns = columns_of(KINDS[one.kind])
            return {
                name: written(state, column, one.body.get(name))
                for name, column in columns.items()
            }
    raise NotRecorded(words_recording.NOT_THERE)


def corrected(desk: Desk, form: Form) -> Record:
    """The record with the columns that a form has otherwise than the version it was read.

    Raises:
        BadValue: naming the column that lacks or cannot be read.
        Refused: where part of it is closed to the reader.
    """
    key = form["key"]
    if not desk.sees(key):
        raise Refused(words_recording.CORRECT_CLOSED)
    seq = int(form["replaces"])
    before = version(desk, key, seq)
    [old] = [one for one in desk.collection.store.history(key) if one.seq == seq]
    kind = KINDS[old.kind]
    changed = {
        name: form.get(name, "")
        for name in columns_of(kind)
        if form.get(name, "") != before.get(name, "")
    }
    return record_of(desk, kind, changed, kind.model_validate(old.body))


def merged(desk: Desk, mine: Form, theirs: Form) -> dict[str, str]:
    """Their version with only those columns of mine that I changed.

    Args:
        desk: whose archive it is.
        mine: the draft, over the version that it was begun from.
        theirs: the record as it stands now, as a form.
    """
    begun = version(desk, mine["key"], int(mine["replaces"]))
    changed = {
        name: mine.get(name, "") for name in begun if mine.get(name, "") != begun[name]
    }
    return {**theirs, **changed}


def problems(desk: Desk, key: str, made: Record) -> "tuple[Problem, ...]":
    """Everything that is wrong or doubtful with the record as it would be."""
    return problems_of({key: made}, desk.collection.store)


def record(desk: Desk, by: str, form: Form, made: Record | None) -> str:
    """Record a correction, or without *made* a withdrawal; the number of the record.

    Raises:
        Conflict: where somebody recorded another version since this one was read.
        Refused: without a reason, in a role that is not held, or for what is closed.
    """
    key, seq, reason = form["key"], int(form["replaces"]), form.get(REASON, "")
    state, _ = desk.about(key)
    if not desk.sees(key):
        raise Refused(words_recording.CORRECT_CLOSED)
    number = state.number(key)
    said = (
        Withdraw(key, seq, reason)
        if made is None
        else Statement(made.kind, key, made.body(), seq, reason)
    )
    word = "withdrawal" if made is None else "correction"
    batch = f"page-{key}-{seq}-{recording.mark_of([said])}"
    recording.record(desk, by, [said], batch=batch, origin={"page": word})
    return number
