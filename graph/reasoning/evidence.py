"""What each relation word says: a table P(report | truth), for sound and other sources.

The tables follow what each relation means on an object; which times it compares is said
at `READS`. Inside one phase an observed order says nothing about phases.
"""

from collections.abc import Callable, Mapping

import numpy as np

from ..errors import BadValue
from ..record import Relation
from .case import Case, CaseClaim
from .claim_table import (
    OLDER,
    Aspect,
    Evidence,
    Question,
    Reading,
    grid_of,
    one_time_named,
    phase_named,
    stated_phase,
    values_of,
    yes_or_no,
)
from .date_claim import absent_on, dated, not_after, not_before, seen_by
from .phase_dates import PhaseDates

__all__ = ["OLDER", "READS", "Aspect", "Evidence", "Reading", "speaks_of_time", "weigh"]


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
    return build(Question(claim, case, limited, same_batch, dates))


def speaks_of_time(relation: Relation) -> bool:
    """Whether a claim with this relation is evidence for a phase."""
    return relation in READS


# ------------------------------------------------------------------ one phase is named


def _both_times(question: Question, stated: int) -> Evidence:
    """Of that phase: made in it, or come to its place in it.

    Who says that a part belongs to the making does not deny that it was put back later.
    """
    subject = question.claim.subject
    scope: tuple[Reading, ...] = (question.time(subject),)
    if question.case.thing(subject).kind.has_making:
        scope = (question.origin(subject), *scope)
    so = np.zeros([len(values_of(reading, question.phases)) for reading in scope])
    for grid in grid_of(scope, question.phases):
        so = np.maximum(so, grid == stated)
    return phase_named(question, scope, so, stated)


def _as_made(question: Question) -> Evidence:
    """Of the making, wherever it sits now; older material would be called re-used."""
    return one_time_named(question, question.origin(question.claim.subject), 0)


def _belongs_to(question: Question) -> Evidence:
    return _both_times(question, stated_phase(question))


def _made_in(question: Question) -> Evidence:
    return one_time_named(
        question, question.origin(question.claim.subject), stated_phase(question)
    )


def _placed_in(question: Question) -> Evidence:
    return one_time_named(
        question, question.time(question.claim.subject), stated_phase(question)
    )


# ------------------------------------------------------------------ order


def _compare(
    question: Question, later: Reading, earlier: Reading, tie: float, after: float = 1.0
) -> Evidence:
    """*later* is not before *earlier*; *tie* is how far one phase for both is so."""
    scope = (later, earlier)
    first, second = grid_of(scope, question.phases)
    truth = np.where(first > second, after, np.where(first == second, tie, 0.0))
    return yes_or_no(question, scope, truth)


def _after(question: Question) -> Evidence:
    subject, other = question.time(question.claim.subject), question.time(question.other)
    return _compare(question, subject, other, tie=0.5)


def _before(question: Question) -> Evidence:
    subject, other = question.time(question.claim.subject), question.time(question.other)
    return _compare(question, other, subject, tie=0.5)


def _cuts(question: Question) -> Evidence:
    """What is cut was made before: wherever it was when it was cut."""
    subject, other = question.time(question.claim.subject), question.origin(question.other)
    return _compare(question, subject, other, tie=0.5)


def _cut_by(question: Question) -> Evidence:
    subject, other = question.origin(question.claim.subject), question.time(question.other)
    return _compare(question, other, subject, tie=0.5)


def _through(question: Question) -> Evidence:
    """What passes through a hole came with the hole or after it."""
    subject, other = question.time(question.claim.subject), question.time(question.other)
    return _compare(question, subject, other, tie=1.0)


def _trapped(question: Question) -> Evidence:
    """What lies trapped got there before, or when, the trap was closed."""
    subject, other = question.time(question.claim.subject), question.time(question.other)
    return _compare(question, other, subject, tie=1.0)


def _mark(question: Question) -> Evidence:
    """A mark shares, as a rule, the phase of what left it; it cannot be older.

    It is compared with when that thing was made: the mark tells of a place that the
    thing had, which need not be the one that it has now.
    """
    subject, other = question.time(question.claim.subject), question.origin(question.other)
    scope = (subject, other)
    first, second = grid_of(scope, question.phases)
    truth = np.where(first == second, 1.0, np.where(first > second, 0.5, 0.0))
    return yes_or_no(question, scope, truth)


def _replaces(question: Question) -> Evidence:
    subject, other = question.time(question.claim.subject), question.time(question.other)
    return _compare(question, subject, other, tie=0.0)


def _copied(question: Question) -> Evidence:
    subject, other = (
        question.origin(question.claim.subject),
        question.origin(question.other),
    )
    return _compare(question, other, subject, tie=1.0)


# ------------------------------------------------------------------ sameness and exchange


def _same(question: Question, one: Reading, two: Reading) -> Evidence:
    """Of one batch, hand or event; same phase does not yet mean same batch."""
    grid = grid_of((one, two), question.phases)
    equal = grid[0] == grid[1]
    share, odds = question.same_batch, question.odds
    if question.claim.against:
        report = np.where(equal, share + (1 - share) * odds, odds)
    else:
        report = np.where(equal, share * odds + (1 - share), 1.0)
    sound = report / (1 + odds)
    void = float(sound.mean())
    return Evidence((one, two), sound, void, np.full(question.phases, void))


def _same_making(question: Question) -> Evidence:
    one, two = question.origin(question.claim.subject), question.origin(question.other)
    return _same(question, one, two)


def _continues(question: Question) -> Evidence:
    """A crack or wear across a thing is not older than that thing in its place.

    Grain or a tool mark that runs from one part into the next: one making.
    """
    if question.case.thing(question.claim.subject).kind.has_making:
        return _same_making(question)
    return _through(question)


def _moved(question: Question) -> Evidence:
    """Made before it came to its present place; with another thing named, of its making.

    Re-used, and from nothing of this object: it was not made for it, so that no phase of
    this object is that of its making.
    """
    subject = question.claim.subject
    if not question.case.thing(subject).kind.has_making:
        raise BadValue(
            f"{question.claim.id}: a {question.case.thing(subject).kind} cannot be "
            f"{question.claim.relation!s} anything; only parts and fixings can"
        )
    scope: tuple[Reading, ...] = (question.origin(subject), question.time(subject))
    if question.claim.other is not None:
        scope = (*scope, question.origin(question.claim.other))
    grid = grid_of(scope, question.phases)
    so = grid[0] < grid[1]
    if question.claim.relation is Relation.REUSED_FROM and question.claim.other is None:
        so = grid[0] == OLDER
    if question.claim.other is not None:
        so = so & (grid[0] == grid[2])
    return yes_or_no(question, scope, so.astype(np.float64))


def _stood(question: Question) -> Evidence:
    """What stood against each other in a phase had been made by then, both of them.

    It says no more: marks that meet tell neighbours, not one making.
    """
    one, two = question.origin(question.claim.subject), question.origin(question.other)
    first, second = grid_of((one, two), question.phases)
    latest = stated_phase(question)
    truth = ((first <= latest) & (second <= latest)).astype(np.float64)
    return yes_or_no(question, (one, two), truth)


Build = Callable[[Question], Evidence]

READS: Mapping[Relation, Build] = {
    Relation.LIES_OVER: _after,
    Relation.CUTS: _cuts,
    Relation.FILLS: _after,
    Relation.BRIDGES: _after,
    Relation.LATER_THAN: _after,
    Relation.LIES_UNDER: _before,
    Relation.CUT_BY: _cut_by,
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
    Relation.STOOD_AGAINST: _stood,
    Relation.AS_MADE: _as_made,
    Relation.BELONGS_TO: _belongs_to,
    Relation.MADE_IN: _made_in,
    Relation.PLACED_IN: _placed_in,
    Relation.NOT_BEFORE: not_before,
    Relation.NOT_AFTER: not_after,
    Relation.DATED: dated,
    Relation.SEEN_BY: seen_by,
    Relation.ABSENT_ON: absent_on,
    Relation.REUSED_FROM: _moved,
    Relation.MOVED_FROM: _moved,
}
"""How each relation that speaks of time is read. What it compares: order words, when
the two came to their places; marks, when the mark came and when its maker was made;
sameness and dates of materials, when things were made; seen or absent, when a thing came
to its place. Structure words (touches, abuts, held by, part of) are no claims about time:
they shape the model instead."""
