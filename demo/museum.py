"""The invented Fennock Museum: its sheets, and how to record them."""

from pathlib import Path
from typing import Final

from vestige.graph.collection import Collection
from vestige.graph.errors import BadValue
from vestige.graph.intake import acts, draft, origin, read_papers
from vestige.graph.store import Receipt

MUSEUM: Final = Path(__file__).resolve().parent / "museum"
"""Folder with one CSV file for each sheet; all data are wholly invented."""

ROLE: Final = "registrar"
"""Role under which the sheets are recorded."""


def build(collection: Collection) -> Receipt:
    """Record the invented museum in an archive.

    Args:
        collection: an archive, as a rule an empty one.

    Returns:
        What the archive says of the batch.

    Raises:
        BadValue: a sheet was changed and cannot be recorded; nothing was.
    """
    drafted = draft(read_papers(MUSEUM), collection.store, collection.keys)
    if drafted.errors:
        raise BadValue("\n".join(str(one) for one in drafted.errors))
    return collection.record(ROLE, acts(drafted), origin=origin(drafted))
