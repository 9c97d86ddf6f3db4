"""How an assessment was reckoned, in words: exact, or sampled with its error."""

from math import isfinite

from ..reasoning import Assessment, CaseReading, Cost
from .answer import Plain

PARTLY_TOLD = "; what claims about other things weigh is told only where the draws tell it"


class Sampling(Plain):
    """How good a sampled answer is.

    Attributes:
        error: largest standard error of a probability.
        effective: smallest effective sample size of a probability that is not rare; null
            where none is.
        draws: draws kept.
        rhat: largest split R-hat; near 1 where the chains agree.
        apart: largest distance of the two runs, in standard errors of the difference.
    """

    error: float
    effective: float | None
    draws: int
    rhat: float
    apart: float


def cost_in_words(cost: Cost, reading: CaseReading) -> str:
    """What sampling costs at most, for who would wait for it."""
    sampling = cost.sampling
    assert sampling is not None  # told only where it is sampled
    return (
        f"An exact answer would need {cost.megabytes:,.0f} MB, so it is sampled: at most "
        f"{sampling.draws} draws of {sampling.entries:,.0f} table cells each, and for the "
        f"band of premises, and each of {len(reading.case.sources)} sources left out, as "
        "many again. This may take minutes."
    )


def method_of(assessment: Assessment) -> str:
    """The word "exact", or how well it is sampled."""
    sampling = sampling_of(assessment)
    if sampling is None:
        return "exact"
    effective = f"{sampling.effective:.0f}" if sampling.effective else "none needed"
    return (
        f"sampled, as the case is too wide for an exact answer: {sampling.draws} draws; "
        f"largest standard error {sampling.error:.3f}, smallest effective sample size "
        f"{effective}; a grade is given only if it holds three standard errors lower"
    )


def sampling_of(assessment: Assessment) -> Sampling | None:
    """The error of a sampled answer; None where it is exact."""
    if assessment.sampled is None:
        return None
    drawn, effective = assessment.sampled.drawn, assessment.effective
    return Sampling(
        error=drawn.error,
        effective=effective if effective is not None and isfinite(effective) else None,
        draws=drawn.draws,
        rhat=drawn.rhat,
        apart=drawn.apart,
    )
