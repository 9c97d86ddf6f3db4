"""Writes what no longer stands: earlier versions of records, and withdrawals.

An archive is whole only with them: "as known on a day" needs what was said before. Each is
an entry of its own, with its place among everything that was ever said, so that all can be
said again in the same order. They go only into an export for the institution's own
keeping, since what was closed later may stand in them.
"""

import json
from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from vestige.graph.ledger import Entry, canonical

from .record_writer import TYPE, Triple, Written, moment
from .term import named, node, text, typed


@dataclass(frozen=True, slots=True)
class PastAct:
    """Something that was said of a record.

    Attributes:
        position: its place among all that was said, counted from 1.
        key: the record.
        kind: what it is; empty for a withdrawal.
        body: what was said; None for a withdrawal, and for what still stands, which the
            record itself says.
        reason: why; may be empty for a first version.
        at: when it was recorded, milliseconds since 1970 UTC.
        by: role that recorded it.
        stands: whether it still stands.
    """

    position: int
    key: str
    kind: str
    body: str | None
    reason: str
    at: int
    by: str
    stands: bool = False


def past_acts(entries: Iterable[Entry]) -> list[PastAct]:
    """Everything that was said, in order; empty where all of it still stands."""
    said = [one for one in entries if one.act != "open"]
    last: dict[str, int] = {}
    told = [json.loads(one.body) for one in said]
    for position, body in enumerate(told, 1):
        last[body["key"]] = position
    acts = []
    for position, (entry, body) in enumerate(zip(said, told, strict=True), 1):
        withdrawn = entry.act == "withdraw"
        stands = last[body["key"]] == position and not withdrawn
        inside = None if withdrawn or stands else canonical(body["body"])
        acts.append(
            PastAct(
                position, body["key"], body.get("kind") or "", inside,
                body.get("reason") or "", entry.at, entry.by, stands,
            )
        )  # fmt: skip
    return acts if any(not one.stands for one in acts) else []


def write_past(acts: Iterable[PastAct]) -> Iterator[Written]:
    """The past in graphs of its own; of what still stands only place and reason."""
    for one in acts:
        entry = f"<{node(one.key)}#{'record' if one.stands else f'act-{one.position}'}>"
        yield Written(entry, tuple(sorted(_triples(one, entry))))


def _triples(one: PastAct, entry: str) -> Iterator[Triple]:
    yield entry, named("ves:position"), typed(str(one.position), "xsd:integer")
    if one.reason:
        yield entry, named("ves:reason"), text(one.reason)
    if one.stands:
        return
    yield entry, TYPE, named("ves:PastAct")
    yield entry, TYPE, named("prov:Entity")
    yield entry, named("ves:key"), text(one.key)
    yield entry, named("prov:generatedAtTime"), moment(one.at)
    yield entry, named("ves:recorded_by"), text(one.by)
    if one.body is not None:
        yield entry, named("ves:kind"), text(one.kind)
        yield entry, named("ves:body"), text(one.body)
