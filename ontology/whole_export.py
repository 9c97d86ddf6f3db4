"""What of an archive is written, for whom: all of it, one object, or an assessment too."""

from collections.abc import Iterator
from dataclasses import dataclass

from vestige.graph.collection import Collection
from vestige.graph.state import Closure, Reader, State

from .history_writer import past_acts, write_past
from .record_writer import Written, write_state
from .vocabulary import own_vocabulary


@dataclass(frozen=True, slots=True)
class Keeper(Reader):
    """Whoever keeps the archive's folder: nothing in it is closed to them."""

    def may_read(self, closure: Closure | None) -> bool:
        """Always: a whole export is for the institution's own keeping."""
        return True


def written_archive(
    collection: Collection, reader: Reader, known: int | None = None
) -> Iterator[Written]:
    """Every record as the reader may see it, and the museum's own words.

    For whoever keeps the archive, what no longer stands too.
    """
    yield from write_state(collection.whole(known=known, reader=reader))
    if isinstance(reader, Keeper) and known is None:
        yield from write_past(past_acts(collection.store.entries()))
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
