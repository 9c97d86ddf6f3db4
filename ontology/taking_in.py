"""Records the content of a file of ours in an archive: all of it or nothing.

Into an empty archive each record goes with the time and the role of its first recording,
so that "as known" answers as before; the opening entry of each batch says that it was
brought over, from which file and by whom. Where that cannot be, because a record names
one that was recorded after it, and in an archive that holds something already, records
are recorded now, and their first time and role stand in the origin of the batch.
"""

import json
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import groupby, pairwise

from vestige.graph.collection import Collection
from vestige.graph.errors import VestigeError
from vestige.graph.ledger import Act, Withdraw
from vestige.graph.ledger import State as Statement
from vestige.graph.problem import Place, Problem, Weight
from vestige.graph.record import KINDS
from vestige.graph.state import Held
from vestige.graph.store import SqliteStore, Stated

from .history_writer import PastAct

MOST_ORIGINS = 2_000
"""Records in one batch whose first recording is noted; more go into further batches."""


@dataclass(frozen=True, slots=True)
class Taken:
    """What was recorded.

    Attributes:
        new: how many records.
        same: how many the archive held already.
        problems: what stopped it; then nothing was recorded.
        first_times: whether the records bear the times of their first recording.
        past: whether what no longer stands was recorded too.
    """

    new: int
    same: int
    problems: tuple[Problem, ...]
    first_times: bool
    past: bool = False


def take_in(
    collection: Collection,
    held: Sequence[Held],
    by: str,
    file: str,
    past: Sequence[PastAct] = (),
) -> Taken:
    """Record what was read back from a file.

    Args:
        past: everything that was ever said, if the file tells; used for an empty archive.
        by: role that brings it in.
        file: name of the file, for the origin.

    Raises:
        Refused: a pointer to a record that is nowhere, or a number borne already.
    """
    there = {one.key: one for one in collection.store.get([one.key for one in held])}
    same = [one for one in held if _is_same(one, there)]
    differs = [one for one in held if one.key in there and one not in same]
    if differs:
        return Taken(0, len(same), tuple(_differs(one, file) for one in differs), False)
    new = [one for one in held if one.key not in there]
    if not new:
        return Taken(0, len(same), (), False)
    empty = not collection.store.head().seq
    if empty and past and _say_again(collection, new, past, by, file):
        return Taken(len(new), 0, (), True, True)
    if empty and _in_order_of_pointers(new):
        _replay(collection, new, by, file)
        return Taken(len(new), 0, (), True)
    first = {one.key: [one.at, one.by] for one in new}
    origin = {"file": file, "format": "RDF", "first_recorded": first}
    if len(new) > MOST_ORIGINS:
        origin["first_recorded"] = f"in {file}"
    collection.record(by, [_statement(one) for one in new], origin=origin)
    return Taken(len(new), len(same), (), False)


def _say_again(
    collection: Collection,
    held: Sequence[Held],
    past: Sequence[PastAct],
    by: str,
    file: str,
) -> bool:
    """Say everything again in its order, corrections and withdrawals too, if possible."""
    records = {one.key: one for one in held}
    stands = [one.key for one in past if one.stands]
    if sorted(stands) != sorted(records):
        return False
    now = [0]
    aside = SqliteStore(":memory:", clock=lambda: now[0])
    try:
        for batch in _batches(past):
            now[0] = batch[0].at
            acts = [_act_of(one, records, aside.version(one.key)) for one in batch]
            origin = {"file": file, "format": "RDF", "brought_over_by": by}
            aside.append(batch[0].by, acts, origin=origin)
        collection.store.take(aside.entries())
    except VestigeError:
        return False
    finally:
        aside.close()
    return True


def _batches(past: Sequence[PastAct]) -> Iterator[list[PastAct]]:
    """Acts that were recorded together; one act for a record in each."""
    batch: list[PastAct] = []
    for one in past:
        together = batch and (batch[0].at, batch[0].by) == (one.at, one.by)
        if batch and (not together or one.key in {other.key for other in batch}):
            yield batch
            batch = []
        batch.append(one)
    if batch:
        yield batch


def _act_of(one: PastAct, records: Mapping[str, Held], version: int) -> Act:
    if one.stands:
        record = records[one.key].record
        return Statement(record.kind, one.key, record.body(), version or None, one.reason)
    if one.body is None:
        return Withdraw(one.key, version, one.reason)
    return Statement(one.kind, one.key, json.loads(one.body), version or None, one.reason)


def _is_same(one: Held, there: dict[str, Stated]) -> bool:
    stated = there.get(one.key)
    if stated is None:
        return False
    return KINDS[stated.kind].model_validate(stated.body) == one.record


def _differs(one: Held, file: str) -> Problem:
    record = one.record
    return Problem(
        "differs",
        f"{record.kind} {record.label()} stands otherwise in the archive.",
        "Nothing is overwritten by an import: correct the record by a sheet, or bring the "
        "file into an empty archive.",
        Place(file, record.sheet),
        Weight.ERROR,
    )


def _statement(one: Held) -> Statement:
    return Statement(one.record.kind, one.key, one.record.body())


def _in_order_of_pointers(held: Sequence[Held]) -> bool:
    """Whether each batch names only what is in it or before it."""
    seen: set[str] = set()
    for _, group in groupby(held, lambda one: (one.at, one.by)):
        batch = list(group)
        seen.update(one.key for one in batch)
        for one in batch:
            for _, _, keys in one.record.references():
                if not seen.issuperset(keys):
                    return False
    return all(a.at <= b.at for a, b in pairwise(held))


def _replay(collection: Collection, held: Sequence[Held], by: str, file: str) -> None:
    """Record the batches at their first times in a store aside, then take it over whole."""
    now = [0]
    aside = SqliteStore(":memory:", clock=lambda: now[0])
    try:
        for (at, role), group in groupby(held, lambda one: (one.at, one.by)):
            now[0] = at
            origin = {"file": file, "format": "RDF", "brought_over_by": by}
            aside.append(role, [_statement(one) for one in group], origin=origin)
        collection.store.take(aside.entries())
    finally:
        aside.close()
