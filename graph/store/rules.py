"""What every archive holds to, whatever its records say: checked before a batch is kept.

Every edge ends at records that stand; what others point at is not withdrawn; no two
standing records bear the same current number. Checked with the batch in place, under the
writer's lock, so that a batch may put things right that only fit together.
"""

from collections.abc import Callable, Mapping, Sequence
from typing import Any

from ..errors import Conflict, Refused
from ..ledger import Act, nfc
from .derive import Draft

Ask = Callable[[str, Mapping[str, object]], Sequence[Any]]
"""Asks a store's own statement of a name, within the open transaction."""

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


def must_be_as_seen(ask: Ask, based_on: Mapping[str, int]) -> None:
    """Conflict where a record has another version than the caller had seen."""
    wanted = {nfc(key): seq for key, seq in based_on.items()}
    rows = ask("standing_of", {"keys": list(wanted)})
    found = {key: seq for key, seq, _ in rows}
    for key, seq in wanted.items():
        if found.get(key, 0) != seq:
            raise Conflict(key, seq, found.get(key, 0))


def must_hold(ask: Ask, first: int, draft: Draft) -> None:
    """Refused where the archive with this batch would break one of its rules."""
    _every_edge_ends_somewhere(ask, first)
    _nothing_pointed_at_is_gone(ask, draft)
    _numbers_are_borne_once(ask, draft)


def _every_edge_ends_somewhere(ask: Ask, first: int) -> None:
    rows = ask("pointing_nowhere", {"first": first})
    if rows:
        record, word, missing = rows[0]
        raise Refused(
            f"{record} says {word!r} of {missing}, but nothing is recorded under"
            f" {missing}; record it first or in the same batch"
        )


def _nothing_pointed_at_is_gone(ask: Ask, draft: Draft) -> None:
    if not draft.gone:
        return
    rows = ask("pointing_at", {"keys": draft.gone})
    if not rows:
        return
    gone = rows[0][0]
    others = [f"{key} ({label})" for of, key, label in rows if of == gone]
    more = " and others" if len(others) > _NAMED else ""
    raise Refused(
        f"{gone} cannot be withdrawn while these point to it:"
        f" {', '.join(others[:_NAMED])}{more}; correct or withdraw them first"
    )


def _numbers_are_borne_once(ask: Ask, draft: Draft) -> None:
    rows = ask("number_borne_twice", {"numbers": list(draft.borne)})
    if not rows:
        return
    folded, first, last = rows[0]
    bearers = ask("key_and_label", {"first": first, "last": last})
    names = " and ".join(f"{key} ({label})" for key, label in bearers)
    raise Refused(
        f"the number {draft.borne[folded]} would be borne by {names}; a number may be the"
        " current one of one record only, give one of them another"
    )
