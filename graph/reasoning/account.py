"""What a verdict could say of a thing, each as a set of states, and the grades.

A state is when a thing was made and when it came to its present place. An account is a
set of states with a word for it; the weight of an account is the probability of its set.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from enum import StrEnum

import numpy as np
import numpy.typing as npt

from .case import Case, ThingKind

__all__ = [
    "Account",
    "Grade",
    "VerdictWord",
    "accounts",
    "grade_of",
    "least_of",
    "said",
    "states_apart",
]

Cells = npt.NDArray[np.float64]
Mask = npt.NDArray[np.bool_]


class VerdictWord(StrEnum):
    """What a verdict says; PHASE and the like are filled in by `Account.text`."""

    IN_PLACE = "original, in place"
    MOVED = "original, moved or put back"
    ORIGINAL = "original, whether moved or not is open"
    OLDER = "older material, used from the start"
    ADDED = "added in PHASE"
    OLD_LATER = "old material brought in later, in PHASE"
    LATER = "later, open between PHASES"
    UNTOLD = "later, cannot be told between use-life repair and restoration"
    OPEN = "open between WORDS"
    UNEXAMINED = "unexamined"


class Grade(StrEnum):
    """How firmly a word is given."""

    ESTABLISHED = "established"
    PROBABLE = "probable"
    POSSIBLE = "possible"
    OPEN = "open"

    def lowered(self, steps: int) -> "Grade":
        """The grade so many steps lower; open stays open."""
        grades = list(Grade)
        return grades[min(grades.index(self) + steps, len(grades) - 1)]


THRESHOLDS = ((Grade.ESTABLISHED, 0.99), (Grade.PROBABLE, 0.90), (Grade.POSSIBLE, 0.70))


def grade_of(probability: float) -> Grade:
    """The grade that a probability earns."""
    for grade, least in THRESHOLDS:
        if probability >= least:
            return grade
    return Grade.OPEN


def least_of(grade: Grade) -> float:
    """The probability that a grade asks for; 0 for "open"."""
    return dict(THRESHOLDS).get(grade, 0.0)


@dataclass(frozen=True, slots=True, eq=False)
class Account:
    """One thing that a verdict could say, as a set of states.

    Attributes:
        word: what is said.
        phases: ids of the phases named, in order.
        states: the set, shape (phases + 1, phases), rows made (older first), columns
            placed.
        breadth: 0 for the most specific; wider sets contain narrower ones.
    """

    word: VerdictWord
    phases: tuple[str, ...]
    states: Mask
    breadth: int

    def weight(self, belief: Cells) -> Cells:
        """Probability of the set; keeps a trailing batch axis."""
        weight: Cells = belief[self.states].sum(axis=0)
        return weight

    def text(self, case: Case, kind: ThingKind = ThingKind.PART) -> str:
        """The word for a kind of thing, with its phases named."""
        return said(self.word, self.phases, case, kind)


def accounts(case: Case) -> tuple[Account, ...]:
    """Every account of a thing, the most specific first."""
    count = len(case.phases)
    made, placed = np.indices((count + 1, count))
    made = made - 1
    legal = made <= placed
    names = [phase.id for phase in case.phases]
    found: list[Account] = []

    def add(word: VerdictWord, named: Iterable[str], states: Mask, breadth: int) -> None:
        found.append(Account(word, tuple(named), states & legal, breadth))

    for phase in range(1, count):
        old = (made < placed) & (made != 0) & (placed == phase)
        add(VerdictWord.OLD_LATER, [names[phase]], old, 0)
    add(VerdictWord.IN_PLACE, names[:1], (made == 0) & (placed == 0), 1)
    add(VerdictWord.OLDER, names[:1], (made == -1) & (placed == 0), 1)
    if count > 1:
        add(VerdictWord.MOVED, names[:1], (made == 0) & (placed > 0), 1)
    for phase in range(1, count):
        add(VerdictWord.ADDED, [names[phase]], (made != 0) & (placed == phase), 1)
    add(VerdictWord.ORIGINAL, names[:1], made == 0, 2)
    if count > 2:
        add(VerdictWord.LATER, names[1:], (made != 0) & (placed > 0), 2)
    return tuple(found)


def states_apart(case: Case, kind: ThingKind) -> list[Mask]:
    """Sets of states that no account divides, together all that a kind of thing can be."""
    every = accounts(case)
    narrow = [one.states for one in every if one.breadth == 0]
    apart: list[Mask] = []
    for account in every:
        if account.breadth != 1:
            continue
        rest = account.states.copy()
        for states in narrow:
            if (rest & states).any():
                apart.append(rest & states)
                rest &= ~states
        apart.append(rest)
    if kind.has_making:
        return apart
    count = len(case.phases)
    when = np.zeros((count + 1, count), dtype=bool)
    when[np.arange(1, count + 1), np.arange(count)] = True
    return [one & when for one in apart if (one & when).any()]


def said(word: VerdictWord, phases: Sequence[str], case: Case, kind: ThingKind) -> str:
    """The word for a kind of thing, with its phases named.

    A layer is original or added; a mark came, and an event was, in some phase.
    """
    names = listed([case.phases[case.phase_number(phase)].name for phase in phases])
    if word is VerdictWord.LATER:
        return f"later, open between {names}"
    single = word in (VerdictWord.IN_PLACE, VerdictWord.ORIGINAL, VerdictWord.ADDED)
    if not single or kind.has_making:
        return word.value.replace("PHASE", names)
    if kind is ThingKind.HAPPENING:
        return f"in {names}"
    if word is VerdictWord.ADDED:
        return f"{'added' if kind is ThingKind.LAYER else 'came'} in {names}"
    return "original"


def listed(names: Sequence[str]) -> str:
    if len(names) < 2:
        return "".join(names)
    return ", ".join(names[:-1]) + " and " + names[-1]
