"""What a claim asks of the truth, and the table that a report makes of it.

A claim is weighed in three states of its source. *Sound*: the report depends on the
truth, and its strength word says how much. *Void*: the source says it no matter what, as
often as it would on average if nothing were known. *One story*: the source says that
everything is of one phase, whatever the truth.
"""

from dataclasses import dataclass
from enum import StrEnum

import numpy as np
import numpy.typing as npt

from ..errors import BadValue
from .case import Case, CaseClaim
from .phase_dates import PhaseDates

__all__ = [
    "OLDER",
    "ON_STORY",
    "Aspect",
    "Evidence",
    "Question",
    "Reading",
    "grid_of",
    "one_time_named",
    "phase_named",
    "stated_phase",
    "values_of",
    "yes_or_no",
]

Cells = npt.NDArray[np.float64]
OLDER = -1
"""Value of "made" for what is older than the object; phases count from 0."""
ON_STORY = 0.97
"""How often a teller of one story keeps to it."""


class Aspect(StrEnum):
    """Which time of a thing."""

    MADE = "made"
    PLACED = "placed"  # came to its present place; for a layer, feature or event: when


@dataclass(frozen=True, slots=True, order=True)
class Reading:
    """One unknown that a claim speaks about.

    Attributes:
        thing: id of the thing.
        aspect: which of its times.
    """

    thing: str
    aspect: Aspect


@dataclass(frozen=True, slots=True)
class Evidence:
    """A claim as tables.

    Attributes:
        scope: the unknowns that it speaks about.
        sound: P(report | truth, sound source), axes in the order of the scope: MADE has
            the states older, phase 0, phase 1..., PLACED has phase 0, phase 1...
        void: P(report | a source that says it no matter what).
        story: per phase k, P(report | a source that says k of everything).
    """

    scope: tuple[Reading, ...]
    sound: Cells
    void: float
    story: Cells


@dataclass(frozen=True, slots=True)
class Question:
    """A claim on its way to tables.

    Attributes:
        claim: what is said.
        case: the case that it belongs to.
        odds: likelihood ratio of its word, at least 1.
        same_batch: P(same batch | same phase).
        dates: when the phases were.
    """

    claim: CaseClaim
    case: Case
    odds: float
    same_batch: float
    dates: PhaseDates

    @property
    def phases(self) -> int:
        """Number of phases."""
        return len(self.case.phases)

    def time(self, thing: str) -> Reading:
        """When the thing came to its place, or, without a making, when it was."""
        return Reading(thing, Aspect.PLACED)

    def origin(self, thing: str) -> Reading:
        """When the thing was made, or, without a making, when it was."""
        made = self.case.thing(thing).kind.has_making
        return Reading(thing, Aspect.MADE if made else Aspect.PLACED)

    @property
    def other(self) -> str:
        """The other thing; BadValue where the claim names none."""
        if self.claim.other is None:
            raise BadValue(
                f"{self.claim.id}: {self.claim.relation!s} joins two things; "
                "the other one is missing"
            )
        return self.claim.other


def values_of(reading: Reading, phases: int) -> npt.NDArray[np.int_]:
    """The states of one unknown as phases, OLDER first where it has that state."""
    first = OLDER if reading.aspect is Aspect.MADE else 0
    return np.arange(first, phases)


def grid_of(scope: tuple[Reading, ...], phases: int) -> list[npt.NDArray[np.int_]]:
    """Per unknown of a scope, its phase in every joint state."""
    axes = [values_of(reading, phases) for reading in scope]
    return list(np.meshgrid(*axes, indexing="ij"))


def yes_or_no(question: Question, scope: tuple[Reading, ...], truth: Cells) -> Evidence:
    """A yes-or-no report; *truth* is the degree to which it is so, in [0, 1]."""
    yes, no = question.odds / (1 + question.odds), 1 / (1 + question.odds)
    degree = 1 - truth if question.claim.against else truth
    sound = degree * yes + (1 - degree) * no
    void = float(sound.mean())
    return Evidence(scope, sound, void, _story_of(scope, sound, void))


def _story_of(scope: tuple[Reading, ...], sound: Cells, void: float) -> Cells:
    """How readily each one-story teller says it: as if all were of the phase of the story.

    Who calls everything as made does not say that one thing replaces another, or that
    screws are of 1936; whoever says such things tells no such story.
    """
    phases = sound.shape[0] - (scope[0].aspect is Aspect.MADE)
    shift = [int(reading.aspect is Aspect.MADE) for reading in scope]
    told = [float(sound[tuple(phase + one for one in shift)]) for phase in range(phases)]
    story: Cells = ON_STORY * np.array(told) + (1 - ON_STORY) * void
    return story


def phase_named(
    question: Question, scope: tuple[Reading, ...], so: Cells, stated: int
) -> Evidence:
    """A report that names one phase out of K: right, or one of the K - 1 others."""
    count = question.phases
    if question.claim.against:
        evidence = yes_or_no(question, scope, so)
        story = np.full(count, 0.5)
        story[stated] = 1 - ON_STORY
        return Evidence(scope, evidence.sound, 0.5, story)
    sound = np.where(so > 0, question.odds, 1.0) / (question.odds + count - 1)
    story = np.full(count, (1 - ON_STORY) / max(count - 1, 1))
    story[stated] = ON_STORY
    return Evidence(scope, sound, 1 / count, story)


def stated_phase(question: Question) -> int:
    """Number of the phase that a claim names."""
    return question.case.phase_number(str(question.claim.phase))


def one_time_named(question: Question, reading: Reading, stated: int) -> Evidence:
    """A report that one unknown is of one phase."""
    so = (values_of(reading, question.phases) == stated).astype(np.float64)
    return phase_named(question, (reading,), so, stated)
