"""Does a verdict agree with the one that was published? Eight cases, read and encoded.

The case files in ``tests/published`` are sheets as a user would fill them in. Each names
its publication, and the published verdict on every element in lines that begin with
``#:``; these were written, and kept in the history of the project, before any assessment
was run. Lines that begin with ``#?`` tell why a verdict is another one; they were written
afterwards. Every file goes through the intake into an archive of its own, and the answer
is that of ``vestige assess``.

Few cases, chosen because their accounts can be read by everybody, encoded by those who
wrote the program: this finds weaknesses and measures no rate of success.

Run: ``python bench/published_cases.py``.
"""

from __future__ import annotations

import re
import tempfile
import textwrap
from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass
from enum import StrEnum
from pathlib import Path

from vestige.graph.answer.assessment import AssessmentOf, VerdictOf, assess_of
from vestige.graph.collection import Collection
from vestige.graph.errors import BadValue
from vestige.graph.intake import acts, draft, origin, read_papers
from vestige.graph.reasoning import Grade, VerdictWord
from vestige.graph.record import MuseumObject

FOLDER = Path(__file__).parents[1] / "tests" / "published"
PRESENT = 2026.0
"""Year in which is asked; fixed, so that every run answers alike."""

States = frozenset[tuple[int, int]]
"""When a thing was made (-1 for older than the object) and placed, as phase numbers."""


class Outcome(StrEnum):
    """How our verdict stands to the published one."""

    AGREES = "agrees"
    IN_PART = "agrees in part"  # wider than published, or not wholly within it
    OPEN = "stays open"
    FIRMER = "firmer"  # the publication leaves it open
    DIFFERS = "differs"


@dataclass(frozen=True, slots=True)
class Published:
    """The verdict of a publication on one element: in our words, and as it says it."""

    element: str
    verdict: str
    said: str


@dataclass(frozen=True, slots=True)
class Row:
    """One element compared."""

    case: str
    published: Published
    ours: VerdictOf
    outcome: Outcome
    why: str

    @property
    def confidently_wrong(self) -> bool:
        """Whether a word that the publication contradicts is more than possible."""
        firm = self.ours.grade in (Grade.ESTABLISHED, Grade.PROBABLE)
        return self.outcome is Outcome.DIFFERS and firm


def published_in(file: Path) -> tuple[Published, ...]:
    """The published verdicts that a case file tells, in its order."""
    return tuple(Published(*parts) for parts in _marked(file, "#:", 3))


def reasons_in(file: Path) -> dict[str, str]:
    """Per element, why our verdict is another one, where that was looked into."""
    return dict(_marked(file, "#?", 2))


def _marked(file: Path, mark: str, parts: int) -> Iterator[list[str]]:
    for line in file.read_text("utf-8").splitlines():
        if line.startswith(mark):
            found = [part.strip() for part in line[len(mark) :].split("|")]
            if len(found) != parts:
                raise BadValue(f"{file.name}: {line!r} has not {parts} parts")
            yield found


def assessed(file: Path) -> AssessmentOf:
    """The answer on the one object of a case file, through intake and archive."""
    with (
        tempfile.TemporaryDirectory() as folder,
        Collection.create(Path(folder) / "archive") as collection,
    ):
        drafted = draft(read_papers(file), collection.store, collection.keys)
        if drafted.errors:
            raise BadValue("\n".join(str(one) for one in drafted.errors))
        collection.record("conservator", acts(drafted), origin=origin(drafted))
        ((key, _),) = collection.whole().all_of(MuseumObject)
        return assess_of(collection.around(key), key, PRESENT)


def compared(file: Path) -> tuple[Row, ...]:
    """Every published verdict of a case file beside ours."""
    answer = assessed(file)
    ours = {one.thing.number: one for one in answer.verdicts}
    phases = [short.rpartition("/")[2] for short, _ in answer.phases]
    why = reasons_in(file)
    return tuple(
        Row(
            file.stem,
            one,
            ours[one.element],
            outcome_of(one.verdict, ours[one.element], phases),
            why.get(one.element, ""),
        )
        for one in published_in(file)
    )


def outcome_of(published: str, ours: VerdictOf, phases: list[str]) -> Outcome:
    """Compare a published verdict with ours, both as sets of states."""
    is_open = published == "open"
    if ours.grade == Grade.OPEN:
        return Outcome.AGREES if is_open else Outcome.OPEN
    if is_open:
        return Outcome.FIRMER
    theirs, said = states_published(published, phases), states_given(ours, phases)
    if said <= theirs:
        return Outcome.AGREES
    return Outcome.IN_PART if said & theirs else Outcome.DIFFERS


def states_published(verdict: str, phases: list[str]) -> States:
    """The states that a published verdict allows.

    Raises:
        BadValue: the verdict is not one of the known forms.
    """
    every = _every(len(phases))
    plain = {
        "original": frozenset(s for s in every if s == (0, 0)),
        "original, put back": frozenset(s for s in every if s[0] == 0 and s[1] > 0),
        "older, used from the start": frozenset({(-1, 0)}),
        "earlier than the object": frozenset(s for s in every if s[0] == -1),
        "later": frozenset(s for s in every if s[0] != 0 and s[1] > 0),
    }
    if verdict in plain:
        return plain[verdict]
    found = re.fullmatch(r"(added|old, brought) in (\w+)", verdict)
    if found is None or found[2] not in phases:
        raise BadValue(f"no form of a published verdict: {verdict!r}")
    phase = phases.index(found[2])
    placed = frozenset(s for s in every if s[0] != 0 and s[1] == phase)
    return placed if found[1] == "added" else frozenset(s for s in placed if s[0] < phase)


def states_given(ours: VerdictOf, phases: list[str]) -> States:
    """The states that our verdict names; a layer or mark has one time only."""
    every = _every(len(phases))
    named = [phases.index(short.rpartition("/")[2]) for short in ours.phases]
    later = frozenset(s for s in every if s[0] != 0 and s[1] in named and s[1] > 0)
    given: dict[str, States] = {
        VerdictWord.IN_PLACE: frozenset({(0, 0)}),
        VerdictWord.MOVED: frozenset(s for s in every if s[0] == 0 and s[1] > 0),
        VerdictWord.ORIGINAL: frozenset(s for s in every if s[0] == 0),
        VerdictWord.OLDER: frozenset({(-1, 0)}),
        VerdictWord.OLD_LATER: frozenset(s for s in later if s[0] < s[1]),
    }
    states = given.get(ours.word, later)
    if ours.sort in ("part", "fixing"):
        return states
    return frozenset(s for s in states if s[0] == s[1])


def _every(count: int) -> States:
    return frozenset((m, p) for m in range(-1, count) for p in range(max(m, 0), count))


def every_row() -> tuple[Row, ...]:
    """All cases, in the order of their names."""
    return tuple(row for file in sorted(FOLDER.glob("*.yaml")) for row in compared(file))


def main() -> None:
    """Print the comparison, case by case, and the counts."""
    rows = every_row()
    case = ""
    for row in rows:
        if row.case != case:
            case = row.case
            print(f"\n{case}")
        print(f"  {row.published.element}  {row.outcome.upper():14} {row.published.said}")
        print(f"         published: {row.published.verdict}")
        print(f"         ours:      {row.ours.text}")
        for line in textwrap.wrap(row.why, 80):
            print(f"         why:       {line}")
    print(f"\n{len(rows)} elements of {len({row.case for row in rows})} publications")
    for outcome, count in Counter(row.outcome for row in rows).most_common():
        print(f"  {outcome:15} {count}")
    print(f"  of them firm and contradicted: {sum(row.confidently_wrong for row in rows)}")


if __name__ == "__main__":
    main()
