"""Reads what changed in the record since a moment, as far as a reader may know of it.

A record that is closed to the reader, now or in the version itself, is left out whole, with
the caution that closes it and with what speaks of nothing else: no row, no count, no
verdict tells that it is there.
"""

import json
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, replace

from ..record import (
    KINDS,
    MuseumObject,
    Record,
    Source,
    SourceKind,
)
from ..state import (
    HOME_WORDS,
    Closure,
    Held,
    Reader,
    State,
    closed,
    closed_content,
    closing,
    named_homes,
    with_dependents,
    without,
)
from ..store import Stated, Store

__all__ = [
    "Changes",
    "Version",
    "closed_now",
    "read_held",
    "view_without_closed",
    "walk_changes",
]


@dataclass(frozen=True, slots=True)
class Version:
    """One version that began or ended in the span asked about.

    Attributes:
        stated: the version.
        record: the same, read.
        before: the version whose place it took; None for none.
        began, withdrawn: whether it was stated, and withdrawn without another in its
            place, within the span.
        home: keys of the objects that it belongs to.
    """

    stated: Stated
    record: Record
    before: Record | None
    began: bool
    withdrawn: bool
    home: frozenset[str]


@dataclass(frozen=True, slots=True)
class Changes:
    """What changed within a span of record time.

    Attributes:
        versions: in the order of recording, what the reader may not know of left out.
        homes: objects that they belong to, in the order of recording.
        why: for a withdrawn version (its number), when, by whom and why.
        view: the state around an object as known at a moment (None: now) without what is
            closed to the reader; None where it was not recorded then.
    """

    versions: tuple[Version, ...]
    homes: tuple[str, ...]
    why: Mapping[int, tuple[int, str, str]]
    view: Callable[[str, int | None], State | None]


def closed_now(store: Store, keys: Sequence[str]) -> dict[str, Closure]:
    """Keys that are closed today, and how, however they stood earlier."""
    now = store.get(list(keys))
    warned = store.edges(list(keys), ["warns of"], "in")
    warnings = store.get(sorted({edge.src for edge in warned}))
    return closed_content(read_held([*now, *warnings]))


def read_held(stated: Iterable[Stated]) -> list[Held]:
    """Versions of a store as a state holds them, each record once."""
    found = {one.key: one for one in stated}
    return [
        Held(one.key, KINDS[one.kind].model_validate(one.body), one.seq, one.at, one.by)
        for one in found.values()
    ]


def view_without_closed(
    store: Store, key: str, known: int | None, reader: Reader
) -> State | None:
    """The state around an object with nothing in it that the reader may not read.

    A closed source stays as somebody of whom nothing is known, since open claims rest on
    it. None where the object was not recorded then, or is not to be known of.
    """
    held = read_held(store.gather(key, known))
    if not held:
        return None
    asks = closed_content(held) | closed_now(store, [one.key for one in held])
    hidden = {one.key for one in held if not reader.may_read(asks.get(one.key))}
    gone = with_dependents(
        hidden - {key}, [(one.key, one.record) for one in held if one.key != key]
    )
    silent = {one for one in hidden if asks[one].silent}
    if key in silent:
        return None
    kept = []
    for one in held:
        if one.key not in hidden | gone:
            kept.append(replace(one, record=without(one.record, silent)))
        elif one.key in silent:
            continue
        elif isinstance(one.record, Source) and one.key in hidden:
            bare = Source(number=one.record.number, name="closed", sort=SourceKind.OTHER)
            kept.append(replace(one, record=bare))
        elif isinstance(one.record, MuseumObject) and one.key in hidden:
            kept.append(replace(one, record=closed(one.record, asks[one.key].ask)))
    return State(kept, known)


def walk_changes(
    store: Store, since: int, known: int | None, reader: Reader, within: str | None = None
) -> Changes:
    """Everything stated, corrected or withdrawn after a moment and up to another.

    Args:
        store: where it is kept.
        since: record time, exclusive, milliseconds since 1970 UTC.
        known: end of the span; None for now.
        reader: who reads.
        within: key of an object to which to keep; None for the whole collection.
    """
    every = [one for one in store.since(since) if known is None or one.at <= known]
    records = {one.seq: KINDS[one.kind].model_validate(one.body) for one in every}
    hidden = _hidden(store, every, records, reader)
    seen = [one for one in every if one.key not in hidden]
    homes = _homes(store, seen, records, since, known)
    earlier = _replaced(store, seen)
    by_replacing = {one.replaces for one in every if one.replaces is not None}
    versions = []
    for one in seen:
        home = homes[one.key]
        if within is not None and within not in home:
            continue
        ended = one.ended is not None and (known is None or one.ended <= known)
        withdrawn = ended and one.seq not in by_replacing
        if one.at > since or withdrawn:
            before = earlier.get(one.replaces) if one.replaces else None
            version = Version(
                one, records[one.seq], before, one.at > since, withdrawn, home
            )
            versions.append(version)
    met = dict.fromkeys(key for one in versions for key in sorted(one.home))
    return Changes(
        tuple(versions),
        tuple(met),
        _why_withdrawn(store, versions),
        lambda key, moment: view_without_closed(store, key, moment, reader),
    )


def _hidden(
    store: Store, every: Sequence[Stated], records: Mapping[int, Record], reader: Reader
) -> set[str]:
    """Keys of which the reader may learn nothing."""
    named = {key for record in records.values() for key in _named(record)}
    asks = closed_now(store, sorted({*(one.key for one in every), *named}))
    for one in every:
        ask = closing(records[one.seq])
        if ask is not None:
            asks.setdefault(one.key, ask)
    hidden = {key for key, ask in asks.items() if not reader.may_read(ask)}
    return with_dependents(hidden, [(one.key, records[one.seq]) for one in every])


def _named(record: Record) -> set[str]:
    return {key for _, _, keys in record.references() for key in keys}


def _homes(
    store: Store,
    seen: Sequence[Stated],
    records: Mapping[int, Record],
    since: int,
    known: int | None,
) -> dict[str, frozenset[str]]:
    """Objects that each record belongs to, now, then, or by its own words.

    A source belongs where the claims do that rest on it; a move or a look, to what it
    moved or looked for.
    """
    up: dict[str, set[str]] = {}
    for one in seen:
        up.setdefault(one.key, set()).update(_belongs_to(records[one.seq]))
    sources = [one.key for one in seen if one.kind == Source.kind]
    for edge in store.edges(sources, ["according to"], "in", known=known):
        up.setdefault(edge.dst, set()).add(edge.src)
    start = sorted({*up, *(end for ways in up.values() for end in ways)})
    for moment in (known, since):
        for edge in store.walk(start, sorted(HOME_WORDS), "out", known=moment):
            up.setdefault(edge.src, set()).add(edge.dst)
    ends = sorted({*up, *(end for ways in up.values() for end in ways)})
    objects = {
        one.key
        for moment in (known, since)
        for one in store.get(ends, moment)
        if one.kind == MuseumObject.kind
    }
    return {one.key: frozenset(_climb(one.key, up) & objects) for one in seen}


def _belongs_to(record: Record) -> set[str]:
    """What a record says it belongs to; of one that says nothing, what it speaks of."""
    return named_homes(record) or {
        key
        for _, points, keys in record.references()
        if "element" in points.to or "part" in points.to
        for key in keys
    }


def _climb(key: str, up: Mapping[str, set[str]]) -> set[str]:
    found, todo = {key}, [key]
    while todo:
        for end in up.get(todo.pop(), ()):
            if end not in found:
                found.add(end)
                todo.append(end)
    return found


def _replaced(store: Store, seen: Sequence[Stated]) -> dict[int, Record]:
    """Earlier versions that were replaced, by their numbers."""
    found: dict[int, Record] = {}
    for one in seen:
        if one.replaces is None or one.replaces in found:
            continue
        for version in store.history(one.key):
            found[version.seq] = KINDS[version.kind].model_validate(version.body)
    return found


def _why_withdrawn(
    store: Store, versions: Sequence[Version]
) -> dict[int, tuple[int, str, str]]:
    """Per withdrawn version: record time, role and reason of the withdrawal."""
    wanted = {one.stated.seq for one in versions if one.withdrawn}
    found: dict[int, tuple[int, str, str]] = {}
    if not wanted:
        return found
    for entry in store.entries(min(wanted)):
        if entry.act == "withdraw":
            body = json.loads(entry.body)
            if body["replaces"] in wanted:
                found[body["replaces"]] = (entry.at, entry.by, body["reason"])
        if len(found) == len(wanted):
            break
    return found
