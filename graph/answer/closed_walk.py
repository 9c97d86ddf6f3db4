"""Closes a few records as the whole archive would close them, without reading the whole.

What is withheld is sought from the cautions that withhold it, inwards over what speaks of
it; so the cost follows the cautions and what they withhold, not the archive.
"""

from collections.abc import Sequence
from dataclasses import replace

from ..record import KINDS, Caution, Record
from ..state import (
    Closure,
    Held,
    Reader,
    State,
    closed,
    closed_content,
    with_dependents,
    without,
)
from ..store import Stated, Store
from .change_walk import closed_now, read_held

__all__ = ["closed_few", "withheld"]

_RANK = {kind: place for place, kind in enumerate(KINDS)}


def withheld(store: Store, reader: Reader, known: int | None = None) -> frozenset[str]:
    """Keys of all standing records that are not there at all for a reader."""
    silent = _silent_about(store, known)
    if known is not None:
        silent |= _silent_about(store, None)
    if not silent:
        return frozenset()
    named = sorted(silent)
    ways = _closures(store, read_held(store.get(named, known)), known)
    gone = {
        key
        for key, one in ways.items()
        if key in silent and one.silent and not reader.may_read(one)
    }
    fresh = gone
    while fresh:
        met = store.edges(sorted(fresh), None, "in", known=known)
        said = read_held(store.get(sorted({edge.record for edge in met} - gone), known))
        more = with_dependents(gone, [(one.key, one.record) for one in said])
        gone, fresh = more, more - gone
    return frozenset(gone)


def closed_few(
    store: Store,
    stated: Sequence[Stated],
    gone: frozenset[str],
    known: int | None,
    reader: Reader,
) -> State:
    """The state of these records alone, as they would be in the state of the whole.

    Args:
        store: where they are kept.
        stated: the records.
        gone: what is withheld from the reader, by `withheld`.
        known: the day as known.
        reader: who reads.
    """
    held = read_held(one for one in stated if one.key not in gone)
    ways = _closures(store, held, known)
    shut = {key: one.ask for key, one in ways.items() if not reader.may_read(one)}
    return State([_shown(one, gone, shut.get(one.key)) for one in held], known)


def _shown(one: Held, gone: frozenset[str], ask: str | None) -> Held:
    record: Record = without(one.record, gone)
    return replace(one, record=record if ask is None else closed(record, ask))


def _silent_about(store: Store, known: int | None) -> set[str]:
    """What cautions speak of that are to be kept silent about."""
    found: set[str] = set()
    for one in store.of_kind(Caution.kind, known):
        if one.body.get("hide") and one.body.get("silent"):
            found.update(Caution.model_validate(one.body).about)
    return found


def _closures(store: Store, held: Sequence[Held], known: int | None) -> dict[str, Closure]:
    """How each of some records is closed, then or now."""
    keys = [one.key for one in held]
    warned = store.edges(keys, ["warns of"], "in", known=known)
    cautions = read_held(store.get(sorted({edge.src for edge in warned}), known))
    every = {one.key: one for one in (*held, *cautions)}
    ordered = sorted(every.values(), key=lambda one: (_RANK[one.record.kind], one.seq))
    now = closed_now(store, keys) if known is not None else {}
    ways = {**closed_content(ordered), **now}
    return {key: ways[key] for key in keys if key in ways}
