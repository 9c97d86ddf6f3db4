"""Whether what is to be recorded can be so, beside what the archive says already.

The same check serves sheets and commands; the rules are in `vestige.graph.keeping`.
"""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace
from typing import TYPE_CHECKING, Final

from ..keeping import breaches
from ..problem import Place, Problem
from ..record import (
    KINDS,
    Container,
    Fate,
    Fragment,
    KeptPart,
    Move,
    Record,
    Sample,
    Sighting,
)
from ..record import Place as Room
from ..state import HOME_WORDS, Held, State
from ..store import Edge, Store, outwards
from .column import columns_of

if TYPE_CHECKING:
    from .draft import Drafted

CONCERNED: Final = (Move, Sighting, Fate, KeptPart, Sample, Fragment, Container, Room)
"""Kinds of records that say where things are and what became of them."""
_PARENTS: Final = sorted(HOME_WORDS | {"part of", "prepared from"})


def problems_of(
    records: Mapping[str, Record],
    store: Store | None,
    places: Mapping[str, Place] | None = None,
) -> tuple[Problem, ...]:
    """Everything about new or changed records that cannot be so.

    Args:
        records: what is to be recorded, by key, in the order of recording.
        store: the archive; None where there is none yet.
        places: where each record stands in the user's papers, as far as it does.
    """
    fresh = {key for key, one in records.items() if isinstance(one, CONCERNED)}
    if not fresh:
        return ()
    state = state_with(records, store)
    return tuple(
        Problem(
            one.code,
            one.wrong,
            one.right,
            _place(records[one.key], one.field, (places or {}).get(one.key)),
            one.weight,
        )
        for one in breaches(state, fresh)
    )


def unlawful(drafted: "Sequence[Drafted]", store: Store | None) -> tuple[Problem, ...]:
    """The same for the rows of a draft, each problem at its file, sheet, row and column."""
    return problems_of(
        {one.key: one.record for one in drafted},
        store,
        {one.key: one.place for one in drafted},
    )


def state_with(records: Mapping[str, Record], store: Store | None) -> State:
    """What the archive says of the things that records concern, with these records added.

    A record that is there already is taken in its new version. Nothing is closed to
    anybody here: refusals name numbers, dates and places only.
    """
    found = _beside(records, store) if store else {}
    last = max((one.seq for one in found.values()), default=0)
    now = (store.head().at if store else 0) + 1
    for nth, (key, record) in enumerate(records.items(), 1):
        found[key] = Held(key, record, last + nth, now)
    return State(found.values())


def _beside(records: Mapping[str, Record], store: Store) -> dict[str, Held]:
    """Records of the archive that say where the things concerned and their holders are."""
    named = {
        key
        for one in records.values()
        if isinstance(one, CONCERNED)
        for _, _, keys in one.references()
        for key in keys
    }
    things = named | set(records)
    things |= _ends(store.walk(sorted(named), _PARENTS))
    if any(_lets_go(one) for one in records.values()):
        things |= _about(things, store)
    keys = outwards(store, things)
    beyond = store.edges(sorted(keys), None, "out")
    keys |= {edge.dst for edge in beyond}
    return {
        one.key: Held(
            one.key, KINDS[one.kind].model_validate(one.body), one.seq, one.at, one.by
        )
        for one in store.get(sorted(keys))
    }


def _about(things: set[str], store: Store) -> set[str]:
    """What speaks of things, lies in them or was seen in them, and what rests on that."""
    said = store.edges(sorted(things), None, "in")
    found = {edge.src for edge in said} | {edge.record for edge in said}
    looks = store.edges(sorted(found), ["looks for"], "out")
    found |= {edge.dst for edge in looks}
    return found | {edge.src for edge in store.edges(sorted(found), None, "in")}


def _lets_go(record: Record) -> bool:
    return isinstance(record, Fate) or (
        isinstance(record, KeptPart) and record.discarded is not None
    )


def _ends(edges: Iterable[Edge]) -> set[str]:
    return {key for edge in edges for key in (edge.src, edge.dst)}


def _place(record: Record, field: str, place: Place | None) -> Place:
    if place is None:
        return Place()
    column = columns_of(type(record)).get(field)
    return replace(place, column=column.head if column else "")
