"""Work that the record shows to be undone: differences of lists, undocumented removals.

Tasks are reckoned from the records and are never written down: a task ends when what it
asks for is recorded.
"""

from dataclasses import dataclass

from ..record import Edtf, KeptPart
from ..state import State
from .life import life
from .round import Finding, Outcome, round_of, rounds
from .stage import ENDED, Stage
from .turn import first_day

OPEN = frozenset({Outcome.ABSENT, Outcome.NOT_LOOKED_FOR, Outcome.UNIDENTIFIED})


@dataclass(frozen=True, slots=True)
class Task:
    """One thing to be done.

    Attributes:
        thing: key of the thing that it is about.
        what: what is to be done, in words.
        whom: role that it falls to, which is the role that found it or did the work; None
            where no role is recorded.
        since: date since when it is open; None where not recorded.
        under: number of the list or round; None where it comes from no round.
    """

    thing: str
    what: str
    whom: str | None
    since: Edtf | None
    under: str | None


def open_tasks(state: State, number: str | None = None) -> tuple[Task, ...]:
    """Every open task, or those of one list or round.

    Of rounds without a recorded list only what was looked for makes tasks: nobody said
    that the rest was to be looked for.
    """
    found: list[Task] = []
    for one in (number,) if number else rounds(state):
        reckoned = round_of(state, one)
        for finding in reckoned.findings:
            if finding.settled or finding.outcome not in OPEN:
                continue
            if finding.look is None and not reckoned.listed:
                continue
            if not _accounted_for(state, finding):
                found.append(_task(finding, one))
    if number is None:
        found = [*_earliest(found), *_undocumented(state)]
    return tuple(sorted(found, key=lambda one: (state.number(one.thing), one.under or "")))


def _earliest(found: list[Task]) -> list[Task]:
    """Of what several rounds ask for the same thing, the task that is open longest."""
    once: dict[str, Task] = {}
    for one in sorted(found, key=lambda task: first_day(task.since)):
        once.setdefault(one.thing, one)
    return list(once.values())


def _accounted_for(state: State, finding: Finding) -> bool:
    """Whether the thing is accounted for today, by whatever record."""
    return life(state, finding.thing).stage in ENDED | {Stage.PUT_BACK}


def _task(finding: Finding, number: str) -> Task:
    words = {
        Outcome.ABSENT: "look for it: it was not seen",
        Outcome.NOT_LOOKED_FOR: "see whether it is there: it was only listed from records",
        Outcome.UNIDENTIFIED: "find out what it is: it could not be identified",
    }
    return Task(finding.thing, words[finding.outcome], finding.by, finding.when, number)


def _undocumented(state: State) -> list[Task]:
    found = []
    for key, part in state.all_of(KeptPart):
        now = life(state, key)
        if now.lacks and now.stage not in ENDED:
            what = f"document the removal: {', '.join(now.lacks)} not recorded"
            found.append(Task(key, what, part.removed_by, part.removed_when, None))
    return found
