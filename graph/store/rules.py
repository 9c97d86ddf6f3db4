"""What every archive holds to, whatever its records say: checked before a batch is kept.

Every edge ends at records that stand; what others point at is not withdrawn; no two
standing records bear the same current number. Checked with the batch in place, under the
writer's lock, so that a batch may put things right that only fit together.
"""

import json
import sqlite3
from collections.abc import Mapping, Sequence

from ..errors import Conflict, Refused
from ..ledger import Act, nfc
from .derive import Draft
from .statement import statements

_SQL = statements("write")
_NAMED = 5


def must_say_each_key_once(acts: Sequence[Act]) -> None:
    """Refused for an empty batch and for two acts on one record."""
    if not acts:
        raise Refused("the batch is empty; there is nothing to record")
    seen: set[str] = set()
    for act in acts:
        if nfc(act.key) in seen:
            raise Refused(f"the batch has two acts for {act.key}; make it one")
        seen.add(nfc(act.key))


def must_be_as_seen(db: sqlite3.Connection, based_on: Mapping[str, int]) -> None:
    """Conflict where a record has another version than the caller had seen."""
    wanted = {nfc(key): seq for key, seq in based_on.items()}
    rows = db.execute(_SQL["standing_of"], {"keys": json.dumps(list(wanted))})
    found = {key: seq for key, seq, _ in rows}
    for key, seq in wanted.items():
        if found.get(key, 0) != seq:
            raise Conflict(key, seq, found.get(key, 0))


def must_hold(db: sqlite3.Connection, first: int, draft: Draft) -> None:
    """Refused where the archive with this batch would break one of its rules."""
    _every_edge_ends_somewhere(db, first)
    _nothing_pointed_at_is_gone(db, draft)
    _numbers_are_borne_once(db, draft)


def _every_edge_ends_somewhere(db: sqlite3.Connection, first: int) -> None:
    row = db.execute(_SQL["pointing_nowhere"], {"first": first}).fetchone()
    if row is not None:
        record, word, missing = row
        raise Refused(
            f"{record} says {word!r} of {missing}, but nothing is recorded under"
            f" {missing}; record it first or in the same batch"
        )


def _nothing_pointed_at_is_gone(db: sqlite3.Connection, draft: Draft) -> None:
    if not draft.gone:
        return
    rows = db.execute(_SQL["pointing_at"], {"keys": json.dumps(draft.gone)}).fetchall()
    if not rows:
        return
    gone = rows[0][0]
    others = [f"{key} ({label})" for of, key, label in rows if of == gone]
    more = " and others" if len(others) > _NAMED else ""
    raise Refused(
        f"{gone} cannot be withdrawn while these point to it:"
        f" {', '.join(others[:_NAMED])}{more}; correct or withdraw them first"
    )


def _numbers_are_borne_once(db: sqlite3.Connection, draft: Draft) -> None:
    asked = {"numbers": json.dumps(list(draft.borne))}
    row = db.execute(_SQL["number_borne_twice"], asked).fetchone()
    if row is None:
        return
    folded, first, last = row
    bearers = db.execute(_SQL["key_and_label"], {"first": first, "last": last}).fetchall()
    names = " and ".join(f"{key} ({label})" for key, label in bearers)
    raise Refused(
        f"the number {draft.borne[folded]} would be borne by {names}; a number may be the"
        " current one of one record only, give one of them another"
    )
