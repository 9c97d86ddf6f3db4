"""What a date says of a thing: not before, not after, dated, seen and absent.

A date bears upon phases through what is known of when they were; a claim may also name a
phase in its place. Dates of material and make bear upon when a thing was made; what was
seen or missed at a date bears upon when it came to its place.
"""

import numpy as np
import numpy.typing as npt

from .claim_table import (
    OLDER,
    ON_STORY,
    Aspect,
    Evidence,
    Question,
    Reading,
    one_time_named,
    stated_phase,
    yes_or_no,
)

__all__ = ["absent_on", "dated", "not_after", "not_before", "seen_by"]

Cells = npt.NDArray[np.float64]


def _share(question: Question, reading: Reading, by_years: Cells, by_phase: Cells) -> Cells:
    """How far a date holds in every state of a time: by years, or by the phase named."""
    if question.claim.phase is None and not question.dates.known:
        by_years = np.full(question.phases + 1, 0.5)
    share = by_years if question.claim.phase is None else by_phase
    return share if reading.aspect is Aspect.MADE else share[1:]


def _from(question: Question, include: bool) -> tuple[Cells, Cells]:
    """What lies after the date of the claim, older first: by years, and by phase."""
    phases = np.arange(OLDER, question.phases)
    nothing: Cells = np.zeros(len(phases))
    if question.claim.phase is None:
        return question.dates.share_from(question.claim.years), nothing
    stated = stated_phase(question) + (0 if include else 1)
    return nothing, (phases >= stated).astype(np.float64)


def not_before(question: Question) -> Evidence:
    """First use, a trapped coin: the thing was made at that date or later."""
    reading = question.origin(question.claim.subject)
    share = _share(question, reading, *_from(question, include=True))
    return yes_or_no(question, (reading,), share)


def not_after(question: Question) -> Evidence:
    """Gone out of use, mentioned: the thing was made by that date."""
    reading = question.origin(question.claim.subject)
    share = _share(question, reading, *_from(question, include=False))
    return yes_or_no(question, (reading,), 1 - share)


def seen_by(question: Question) -> Evidence:
    """What was seen at a date was in its place by that date."""
    reading = question.time(question.claim.subject)
    share = _share(question, reading, *_from(question, include=False))
    return yes_or_no(question, (reading,), 1 - share)


def absent_on(question: Question) -> Evidence:
    """Looked for at a date and not there: it came later."""
    reading = question.time(question.claim.subject)
    share = _share(question, reading, *_from(question, include=True))
    return yes_or_no(question, (reading,), share)


def dated(question: Question) -> Evidence:
    """A date named: right but for one time in so many, or else anywhere in all the time."""
    if question.claim.phase is not None:
        return one_time_named(
            question, question.origin(question.claim.subject), stated_phase(question)
        )
    reading = question.origin(question.claim.subject)
    share = question.dates.share_within(question.claim.years)
    if question.claim.against or not question.dates.known:
        return yes_or_no(question, (reading,), _share(question, reading, share, share))
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
