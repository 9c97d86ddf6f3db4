"""What one stated record adds to the graph: its names, its words and its edges."""

from collections.abc import Mapping
from dataclasses import dataclass

from ..errors import BadValue
from ..record import KINDS, Link, label_code, pointing_fields


@dataclass(frozen=True, slots=True)
class Change:
    """What a store needs to know of one version of a record.

    Attributes:
        label: what a person calls it.
        names: every number that it bears, the current one first, its label's code last.
        text: its words, for full-text search.
        links: the edges that it says.
    """

    label: str
    names: tuple[str, ...]
    text: str
    links: tuple[Link, ...]


HOME_WORDS: frozenset[str] = frozenset(
    points.word
    for model in KINDS.values()
    for points in pointing_fields(model).values()
    if points.home
)
"""Words of edges by which a record belongs to what it points at."""


def change_of(kind: str, key: str, body: Mapping[str, object]) -> Change:
    """Read a ledger body back into its record and list what it adds to the graph.

    Raises:
        KeyError: for a kind that this version does not know.
        pydantic.ValidationError: for a body that is not of its kind.
    """
    record = KINDS[kind].model_validate(dict(body))
    names = (*record.names(), *_codes(key))
    return Change(record.label(), names, record.words(), record.links(key))


def _codes(key: str) -> tuple[str, ...]:
    """The code that a label of this record bears, so that a scanned label finds it."""
    try:
        return (label_code(key),)
    except BadValue:
        return ()
