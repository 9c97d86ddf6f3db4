"""What of an archive is written, for whom: all of it, one object, or an assessment too."""

from collections.abc import Iterator
from dataclasses import dataclass

from vestige.graph.collection import Collection
from vestige.graph.state import Reader, State

from .record_writer import Written, write_state
from .vocabulary import own_vocabulary


@dataclass(frozen=True, slots=True)
class Keeper(Reader):
    """Whoever keeps the archive's folder: nothing in it is closed to them."""

    def may_read(self, ask: str | None) -> bool:
        """Always: a whole export is for the institution's own keeping."""
        return True


def written_archive(
    collection: Collection, reader: Reader, known: int | None = None
) -> Iterator[Written]:
    """Every record of the archive as the reader may see it, and the museum's own words."""
    yield from write_state(collection.whole(known=known, reader=reader))
    own = own_vocabulary(collection.folder) if collection.folder else None
    if own:
        yield own


def written_object(state: State, home: str, verdicts: bool) -> Iterator[Written]:
    """The records around one object, and what is concluded of it.

    Args:
        state: everything that belongs to the object, as the reader may see it.
        home: key of the object.
        verdicts: whether to add the assessment.
    """
    yield from write_state(state)
    if verdicts:
        from vestige.graph.answer.assessment import assess_of

        from .verdict_writer import write_assessment

        yield write_assessment(assess_of(state, home))
