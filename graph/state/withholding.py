"""What leaves no trace: records not even said to be restricted, and what tells of them.

Where an authority does not allow that others learn that something is there at all, its
record is left out of every state of who may not see it, with the caution that says so and
with whatever speaks of it. Elements, parts and other things that only name it stay, and
name it no longer.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from ..record import (
    SOURCE,
    Element,
    Happening,
    KeptPart,
    Record,
    Sample,
    Source,
    pointing_fields,
)

__all__ = ["Closure", "named_homes", "with_dependents", "without"]

THINGS = (Element, Happening, KeptPart, Sample, Source)
"""Kinds that stay to be seen where they name something hidden."""


@dataclass(frozen=True, slots=True)
class Closure:
    """How the content of a record is closed.

    Attributes:
        ask: the role to ask; it may read.
        silent: whether others are not even told that there is something to ask for.
    """

    ask: str
    silent: bool = False


def with_dependents(hidden: set[str], records: Sequence[tuple[str, Record]]) -> set[str]:
    """What is hidden, and all that would tell of it by speaking of it or copying it."""
    found = set(hidden)
    while True:
        more = {key for key, one in records if key not in found and _tells(one, found)}
        if not more:
            return found
        found |= more


def without(record: Record, gone: Iterable[str]) -> Record:
    """The record with no pointer to any of these keys; itself where it has none."""
    hidden, left = set(gone), dict[str, object]()
    for name, _, keys in record.references():
        if hidden.isdisjoint(keys):
            continue
        single = isinstance(getattr(record, name), str)
        left[name] = None if single else tuple(key for key in keys if key not in hidden)
    return record.model_copy(update=left) if left else record


def named_homes(record: Record) -> set[str]:
    """Keys of what a record says it belongs to."""
    homes = {name for name, points in pointing_fields(type(record)).items() if points.home}
    return {key for name, _, keys in record.references() if name in homes for key in keys}


def _tells(record: Record, hidden: set[str]) -> bool:
    """Whether it speaks of hidden things only, or names one as more than its source.

    Elements and other things stay, without the pointer: they are there to be seen.
    """
    homes = named_homes(record)
    if isinstance(record, THINGS):
        return bool(homes and homes <= hidden)
    other = {
        key
        for _, points, keys in record.references()
        if not points.home and points.word != SOURCE
        for key in keys
    }
    return bool(homes and homes <= hidden) or bool(other & hidden)
