"""Brings a file of linked data into an archive: one of ours, or one of others."""

import hashlib
import shutil
from collections.abc import Iterable
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Any, Final

from vestige.graph.collection import Collection
from vestige.graph.intake import problems_of
from vestige.graph.ledger import State as Statement
from vestige.graph.problem import Place, Problem, Weight

from .foreign import Taken, file_source, understand
from .foreign_graph import End, ForeignGraph
from .linked_art import is_linked_art, walk
from .mapping import full
from .own_reader import is_ours, read_back
from .rdf_file import LARGEST_FILE, loaded, read_quads
from .taking_in import take_in
from .vocabulary import OWN_FILE

if TYPE_CHECKING:
    from pyoxigraph import Quad

FOREIGN: Final = "foreign"
"""Folder of the archive that keeps foreign files as they came."""


@dataclass(frozen=True, slots=True)
class BroughtIn:
    """What came of a file.

    Attributes:
        ours: whether Vestige wrote it.
        new, same: records recorded, and records that the archive had already.
        problems: what stopped it, and what somebody should look at.
        unread: statements that were not understood.
        remarks: what was left or named otherwise, in sentences.
        first_times: whether the records bear the times of their first recording.
        kept_as: name of the copy in the archive; empty where none was kept.
    """

    ours: bool
    new: int
    same: int
    problems: tuple[Problem, ...]
    unread: tuple[str, ...]
    remarks: tuple[str, ...]
    first_times: bool = False
    kept_as: str = ""

    @property
    def stopped(self) -> bool:
        """Whether an error stopped it, so that nothing was recorded."""
        return any(one.weight is Weight.ERROR for one in self.problems)


def bring_in(collection: Collection, path: Path, by: str) -> BroughtIn:
    """Record what a file of linked data says: all of it or nothing.

    Raises:
        BadValue: it cannot be read.
        Refused: it is too large, would have to fetch something, or is not the whole.
    """
    if (
        path.suffix.casefold() in (".json", ".jsonld")
        and path.stat().st_size < LARGEST_FILE
    ):
        document = loaded(path.read_bytes(), path.name)
        if is_linked_art(document):
            done = walk(document)
            return _foreign(collection, path, by, done.triples, done.unread)
    quads = read_quads(path)
    if is_ours(quads):
        return _ours(collection, path, by, quads)
    return _foreign(collection, path, by, _plain(quads, path), [])


def _ours(collection: Collection, path: Path, by: str, quads: "list[Quad]") -> BroughtIn:
    back = read_back(quads, path.name)
    problems = list(back.problems)
    if back.missing:
        problems.append(
            Problem(
                "altered",
                f"{len(back.missing)} statements that its records make are not in the "
                f"file; the first: {back.missing[0]}",
                "Export again; a file that was edited by hand is no whole export.",
                Place(path.name),
            )
        )
    if any(one.weight is Weight.ERROR for one in problems):
        return BroughtIn(True, 0, 0, tuple(problems), back.beyond, ())
    taken = take_in(collection, back.held, by, path.name, back.past)
    beyond = [one for one in back.beyond if not _of_assessment(one)]
    remarks = []
    past = sum(not one.stands for one in back.past)
    if past and taken.new and not taken.past:
        remarks.append(f"{past} earlier versions stand in the file only")
    if len(beyond) < len(back.beyond):
        remarks.append("the assessment in the file is not recorded: it is computed anew")
    words = [one for one in beyond if _of_vocabulary(one)]
    if words and not taken.problems and _keep_words(collection, words):
        beyond = [one for one in beyond if one not in set(words)]
        remarks.append(f"the museum's own words stand in {OWN_FILE}")
    kept = _keep(collection, path) if beyond and not taken.problems else ""
    return BroughtIn(
        True, taken.new, taken.same, (*problems, *taken.problems), tuple(beyond),
        tuple(remarks),
        taken.first_times, kept,
    )  # fmt: skip


def _of_vocabulary(line: str) -> bool:
    """Whether a statement is one of a vocabulary."""
    return full("skos:") in line.split(" ", 1)[1]


def _keep_words(collection: Collection, words: list[str]) -> bool:
    """Write the museum's own words beside the archive, where it has none yet."""
    if collection.folder is None or (collection.folder / OWN_FILE).exists():
        return False
    text = "".join(f"{one} .\n" for one in words)
    (collection.folder / OWN_FILE).write_text(text, encoding="utf-8", newline="\n")
    return True


def _of_assessment(line: str) -> bool:
    """Whether a statement is one of those that `write_assessment` makes."""
    subject = line.partition(" ")[0]
    return "#verdict" in subject or "#assessment" in subject or "#Verdict-" in subject


def _foreign(
    collection: Collection,
    path: Path,
    by: str,
    triples: list[tuple[str, str, End]],
    unread: list[str],
) -> BroughtIn:
    checksum = hashlib.sha256(path.read_bytes()).hexdigest()
    number = f"RDF-{checksum[:12]}"
    if collection.store.named(number):
        return BroughtIn(False, 0, len(collection.store.named(number)), (), (), ())
    store = collection.store
    taken = Taken(lambda one: bool(store.named(one)))
    taken.free(number)
    source = file_source(number, path.name, checksum, 0)
    done = understand(ForeignGraph(triples), source, collection.keys.new, taken)
    left = [*done.unread, *unread]
    key = next(iter(done.records))
    done.records[key] = file_source(number, path.name, checksum, len(left))
    if len(done.records) == 1:
        nothing = "Nothing in it is understood: no human-made object (E22) of CIDOC CRM."
        problem = Problem("not understood", nothing, "", Place(path.name))
        return BroughtIn(False, 0, 0, (problem,), tuple(left), tuple(done.remarks))
    problems = problems_of(done.records, store)
    if any(one.weight is Weight.ERROR for one in problems):
        return BroughtIn(False, 0, 0, problems, tuple(left), tuple(done.remarks))
    acts = [Statement(one.kind, key, one.body()) for key, one in done.records.items()]
    origin = {"file": path.name, "checksum": checksum, "format": "RDF"}
    kept = _keep(collection, path)
    collection.record(by, acts, origin=origin)
    return BroughtIn(
        False, len(acts), 0, problems, tuple(left), tuple(done.remarks), kept_as=kept
    )


def _keep(collection: Collection, path: Path) -> str:
    """Keep the file as it came, beside the archive; its name in the archive's folder."""
    if collection.folder is None:
        return ""
    checksum = hashlib.sha256(path.read_bytes()).hexdigest()
    home = collection.folder / FOREIGN
    home.mkdir(exist_ok=True)
    kept = home / f"{checksum[:12]}-{path.name}"
    if not kept.exists():
        shutil.copyfile(path, kept)
    return f"{FOREIGN}/{kept.name}"


def _plain(quads: "Iterable[Quad]", path: Path) -> list[tuple[str, str, End]]:
    """Statements with blank nodes numbered in the order in which they stand."""
    blank: dict[str, str] = {}
    prefix = f"{path.name}#"

    def name(term: Any) -> str:
        if str(term).startswith("_:"):
            return blank.setdefault(term.value, f"{prefix}{len(blank) + 1}")
        return str(getattr(term, "value", term))

    found: list[tuple[str, str, End]] = []
    for one in quads:
        kind = "text" if hasattr(one.object, "datatype") else "iri"
        found.append((name(one.subject), one.predicate.value, (kind, name(one.object))))
    return found
