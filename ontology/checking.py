"""Checks of files, sheets and archives as linked data."""

from pathlib import Path

from vestige.graph.collection import Collection
from vestige.graph.intake import Draft
from vestige.graph.problem import Place, Problem, Weight
from vestige.graph.state import Held, Reader, State

from .own_reader import is_ours, read_back
from .rdf_file import read_quads
from .record_writer import write_state
from .shapes import check_triples, check_written
from .whole_export import written_archive


def check_file(path: Path) -> tuple[Problem, ...]:
    """What is wrong with a file of linked data that Vestige wrote.

    Raises:
        BadValue: it cannot be read.
        Refused: it is too large, or was written for a reader who may not see everything.
    """
    quads = read_quads(path)
    if not is_ours(quads):
        said = "There is no record of Vestige in it, so its shapes have nothing to check."
        right = "'vestige import' says what it understands of such a file."
        return (Problem("foreign", said, right, Place(path.name), Weight.QUERY),)
    lines = sorted({f"{one.subject} {one.predicate} {one.object} .\n" for one in quads})
    shaped = check_triples("".join(lines), path.name)
    return tuple(dict.fromkeys([*shaped, *read_back(quads, path.name).problems]))


def check_archive(collection: Collection, reader: Reader) -> tuple[Problem, ...]:
    """What is wrong with an archive, as far as the reader may see it."""
    name = collection.folder.name if collection.folder else "archive"
    return check_written(written_archive(collection, reader), name)


def check_sheets(drafted: Draft) -> tuple[Problem, ...]:
    """What is wrong with the records that sheets would make."""
    rows = (*drafted.new, *drafted.changed, *drafted.same)
    state = State(Held(one.key, one.record, nth) for nth, one in enumerate(rows, 1))
    return check_written(write_state(state), drafted.file)
