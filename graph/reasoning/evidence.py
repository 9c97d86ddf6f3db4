"""What each relation word says: a table P(report | truth), for sound and other sources.

A claim is weighed in three states of its source. *Sound*: the report depends on the
truth, and its strength word says how much. *Void*: the source says it no matter what, as
often as it would on average if nothing were known. *One story*: the source says that
everything is of one phase, whatever the truth.

The tables follow what each relation means on an object; which times it compares is said
at `READS`. Inside one phase an observed order says nothing about phases.
"""

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from enum import StrEnum

import numpy as np
import numpy.typing as npt

from ..errors import BadValue
from ..record import Relation
from .case import Case, CaseClaim
from .phase_dates import PhaseDates

__all__ = ["OLDER", "READS", "Aspect", "Evidence", "Reading", "speaks_of_time", "weigh"]

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
class _Question:
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
        if self.claim.other is None:
            raise BadValue(
                f"{self.claim.id}: {self.claim.relation!s} joins two things; "
                "the other one is missing"
            )
        return self.claim.other


def weigh(
    claim: CaseClaim, case: Case, odds: float, same_batch: float, dates: PhaseDates
) -> Evidence | None:
    """Turn a claim into tables.

    Args:
        claim: what is said.
        case: the case that it belongs to.
        odds: likelihood ratio of its strength word, at least 1.
        same_batch: P(same batch | made in the same phase), in (0, 1].
        dates: when the phases were.

    Returns:
        The tables; None for a relation that says nothing about time (a count, an
        arrangement, what something is made of).

    Raises:
        BadValue: the other thing is missing.
    """
    build = READS.get(claim.relation)
    if build is None:
        return None
    limited = odds if claim.limit is None else min(odds, claim.limit)
    return build(_Question(claim, case, limited, same_batch, dates))


def speaks_of_time(relation: Relation) -> bool:
    """Whether a claim with this relation is evidence for a phase."""
    return relation in READS


# ------------------------------------------------------------------ from truth to report


def _values(reading: Reading, phases: int) -> npt.NDArray[np.int_]:
    first = OLDER if reading.aspect is Aspect.MADE else 0
    return np.arange(first, phases)


def _grid(scope: tuple[Reading, ...], phases: int) -> list[npt.NDArray[np.int_]]:
    axes = [_values(reading, phases) for reading in scope]
    return list(np.meshgrid(*axes, indexing="ij"))


def _answer(question: _Question, scope: tuple[Reading, ...], truth: Cells) -> Evidence:
    """A yes-or-no report; *truth* is the degree to which it is so, in [0, 1]."""
    yes, no = question.odds / (1 + question.odds), 1 / (1 + question.odds)
    degree = 1 - truth if question.claim.against else truth
    sound = degree * yes + (1 - degree) * no
    void = float(sound.mean())
    return Evidence(scope, sound, void, np.full(question.phases, void))


# ------------------------------------------------------------------ one phase is named


def _phase_report(
    question: _Question, scope: tuple[Reading, ...], so: Cells, stated: int
) -> Evidence:
    """A report that names one phase out of K: right, or one of the K - 1 others."""
    count = question.phases
    if question.claim.against:
        evidence = _answer(question, scope, so)
        story = np.full(count, 0.5)
        story[stated] = 1 - ON_STORY
        return Evidence(scope, evidence.sound, 0.5, story)
    sound = np.where(so > 0, question.odds, 1.0) / (question.odds + count - 1)
    story = np.full(count, (1 - ON_STORY) / max(count - 1, 1))
    story[stated] = ON_STORY
    return Evidence(scope, sound, 1 / count, story)


def _both_times(question: _Question, stated: int) -> Evidence:
    """Of that phase: made in it, or come to its place in it.

    Who says that a part belongs to the making does not deny that it was put back later.
    """
    subject = question.claim.subject
    scope: tuple[Reading, ...] = (question.time(subject),)
    if question.case.thing(subject).kind.has_making:
        scope = (question.origin(subject), *scope)
    so = np.zeros([len(_values(reading, question.phases)) for reading in scope])
    for grid in _grid(scope, question.phases):
        so = np.maximum(so, grid == stated)
    return _phase_report(question, scope, so, stated)


def _as_made(question: _Question) -> Evidence:
    """Of the making, wherever it sits now; older material would be called re-used."""
    return _named(question, question.origin(question.claim.subject), 0)


def _belongs_to(question: _Question) -> Evidence:
    return _both_times(question, _stated(question))


def _stated(question: _Question) -> int:
    return question.case.phase_number(str(question.claim.phase))


def _named(question: _Question, reading: Reading, stated: int) -> Evidence:
    so = (_values(reading, question.phases) == stated).astype(np.float64)
    return _phase_report(question, (reading,), so, stated)


def _made_in(question: _Question) -> Evidence:
    return _named(question, question.origin(question.claim.subject), _stated(question))


def _placed_in(question: _Question) -> Evidence:
    return _named(question, question.time(question.claim.subject), _stated(question))


# ------------------------------------------------------------------ order


def _compare(
    question: _Question, later: Reading, earlier: Reading, tie: float, after: float = 1.0
) -> Evidence:
    """*later* is not before *earlier*; *tie* is how far one phase for both is so."""
    scope = (later, earlier)
    first, second = _grid(scope, question.phases)
    truth = np.where(first > second, after, np.where(first == second, tie, 0.0))
    return _answer(question, scope, truth)


def _after(question: _Question) -> Evidence:
    subject, other = question.time(question.claim.subject), question.time(question.other)
    return _compare(question, subject, other, tie=0.5)


def _before(question: _Question) -> Evidence:
    subject, other = question.time(question.claim.subject), question.time(question.other)
    return _compare(question, other, subject, tie=0.5)


def _through(question: _Question) -> Evidence:
    """What passes through a hole came with the hole or after it."""
    subject, other = question.time(question.claim.subject), question.time(question.other)
    return _compare(question, subject, other, tie=1.0)


def _trapped(question: _Question) -> Evidence:
    """What lies trapped got there before, or when, the trap was closed."""
    subject, other = question.time(question.claim.subject), question.time(question.other)
    return _compare(question, other, subject, tie=1.0)


def _mark(question: _Question) -> Evidence:
    """A mark shares, as a rule, the phase of what left it; it cannot be older.

    It is compared with when that thing was made: the mark tells of a place that the
    thing had, which need not be the one that it has now.
    """
    subject, other = question.time(question.claim.subject), question.origin(question.other)
    scope = (subject, other)
    first, second = _grid(scope, question.phases)
    truth = np.where(first == second, 1.0, np.where(first > second, 0.5, 0.0))
    return _answer(question, scope, truth)


def _replaces(question: _Question) -> Evidence:
    subject, other = question.time(question.claim.subject), question.time(question.other)
    return _compare(question, subject, other, tie=0.0)


def _copied(question: _Question) -> Evidence:
    subject, other = (
        question.origin(question.claim.subject),
        question.origin(question.other),
    )
    return _compare(question, other, subject, tie=1.0)


# ------------------------------------------------------------------ sameness and exchange


def _same(question: _Question, one: Reading, two: Reading) -> Evidence:
    """Of one batch, hand or event; same phase does not yet mean same batch."""
    grid = _grid((one, two), question.phases)
    equal = grid[0] == grid[1]
    share, odds = question.same_batch, question.odds
    if question.claim.against:
        report = np.where(equal, share + (1 - share) * odds, odds)
    else:
        report = np.where(equal, share * odds + (1 - share), 1.0)
    sound = report / (1 + odds)
    void = float(sound.mean())
    return Evidence((one, two), sound, void, np.full(question.phases, void))


def _same_making(question: _Question) -> Evidence:
    one, two = question.origin(question.claim.subject), question.origin(question.other)
    return _same(question, one, two)


def _continues(question: _Question) -> Evidence:
    """A crack or wear across a thing is not older than that thing in its place.

    Grain or a tool mark that runs from one part into the next: one making.
    """
    if question.case.thing(question.claim.subject).kind.has_making:
        return _same_making(question)
    return _through(question)


def _moved(question: _Question) -> Evidence:
    """Made before it came to its present place; with another thing named, of its making."""
    subject = question.claim.subject
    if not question.case.thing(subject).kind.has_making:
        raise BadValue(
            f"{question.claim.id}: a {question.case.thing(subject).kind} cannot be "
            f"{question.claim.relation!s} anything; only parts and fixings can"
        )
    scope: tuple[Reading, ...] = (question.origin(subject), question.time(subject))
    if question.claim.other is not None:
        scope = (*scope, question.origin(question.claim.other))
    grid = _grid(scope, question.phases)
    so = grid[0] < grid[1]
    if question.claim.other is not None:
        so = so & (grid[0] == grid[2])
    return _answer(question, scope, so.astype(np.float64))


# ------------------------------------------------------------------ dates


def _share(
    question: _Question, reading: Reading, by_years: Cells, by_phase: Cells
) -> Cells:
    """How far a date holds in every state of a time: by years, or by the phase named."""
    if question.claim.phase is None and not question.dates.known:
        by_years = np.full(question.phases + 1, 0.5)
    share = by_years if question.claim.phase is None else by_phase
    return share if reading.aspect is Aspect.MADE else share[1:]


def _from(question: _Question, include: bool) -> tuple[Cells, Cells]:
    """What lies after the date of the claim, older first: by years, and by phase."""
    phases = np.arange(OLDER, question.phases)
    nothing: Cells = np.zeros(len(phases))
    if question.claim.phase is None:
        return question.dates.share_from(question.claim.years), nothing
    stated = _stated(question) + (0 if include else 1)
    return nothing, (phases >= stated).astype(np.float64)


def _not_before(question: _Question) -> Evidence:
    reading = question.origin(question.claim.subject)
    share = _share(question, reading, *_from(question, include=True))
    return _answer(question, (reading,), share)


def _not_after(question: _Question) -> Evidence:
    reading = question.origin(question.claim.subject)
    share = _share(question, reading, *_from(question, include=False))
    return _answer(question, (reading,), 1 - share)


def _seen_by(question: _Question) -> Evidence:
    """What was seen at a date was in its place by that date."""
    reading = question.time(question.claim.subject)
    share = _share(question, reading, *_from(question, include=False))
    return _answer(question, (reading,), 1 - share)


def _absent_on(question: _Question) -> Evidence:
    """Looked for at a date and not there: it came later."""
    reading = question.time(question.claim.subject)
    share = _share(question, reading, *_from(question, include=True))
    return _answer(question, (reading,), share)


def _dated(question: _Question) -> Evidence:
    """A date named: right but for one time in so many, or else anywhere in all the time."""
    if question.claim.phase is not None:
        return _made_in(question)
    reading = question.origin(question.claim.subject)
    share = question.dates.share_within(question.claim.years)
    if question.claim.against or not question.dates.known:
        return _answer(question, (reading,), _share(question, reading, share, share))
    right = 1 - 1 / question.odds
    anywhere = question.dates.width_within(question.claim.years)
    sound = right * share + (1 - right) * anywhere
    story = _story_of_date(share[1:], float(sound.mean()))
    sound = sound if reading.aspect is Aspect.MADE else sound[1:]
    return Evidence((reading,), sound, float(sound.mean()), story)


def _story_of_date(share: Cells, void: float) -> Cells:
    """How readily each one-story teller would name this date."""
    phases = len(share)
    named = share / max(float(share.sum()), 1e-12)
    off = (1 - ON_STORY) / max(phases - 1, 1)
    story: Cells = void * phases * (ON_STORY * named + off * (1 - named))
    return story


Build = Callable[[_Question], Evidence]

READS: Mapping[Relation, Build] = {
    Relation.LIES_OVER: _after,
    Relation.CUTS: _after,
    Relation.FILLS: _after,
    Relation.BRIDGES: _after,
    Relation.LATER_THAN: _after,
    Relation.LIES_UNDER: _before,
    Relation.CUT_BY: _before,
    Relation.EARLIER_THAN: _before,
    Relation.TRAPPED_IN: _trapped,
    Relation.PASSES_THROUGH: _through,
    Relation.IMPRESSION_OF: _mark,
    Relation.GHOST_OF: _mark,
    Relation.REPLACES: _replaces,
    Relation.COPIED_AS: _copied,
    Relation.SAME_STUFF: _same_making,
    Relation.SAME_HAND: _same_making,
    Relation.MATCHES: _same_making,
    Relation.CONTINUES: _continues,
    Relation.AS_MADE: _as_made,
    Relation.BELONGS_TO: _belongs_to,
    Relation.MADE_IN: _made_in,
    Relation.PLACED_IN: _placed_in,
    Relation.NOT_BEFORE: _not_before,
    Relation.NOT_AFTER: _not_after,
    Relation.DATED: _dated,
    Relation.SEEN_BY: _seen_by,
    Relation.ABSENT_ON: _absent_on,
    Relation.REUSED_FROM: _moved,
    Relation.MOVED_FROM: _moved,
}
"""How each relation that speaks of time is read. What it compares: order words, when
the two came to their places; marks, when the mark came and when its maker was made;
sameness and dates of materials, when things were made; seen or absent, when a thing came
to its place. Structure words (touches, abuts, held by, part of) are no claims about time:
they shape the model instead."""
