"""What is taken of a thing before anybody says anything about it."""

import numpy as np
import numpy.typing as npt

from ..record import Span
from .case import Case, Thing, ThingKind
from .premises import Params

__all__ = [
    "made_prior",
    "moved_later",
    "phase_prior",
    "recorded_phases",
    "shares",
]

Cells = npt.NDArray[np.float64]
NEVER = 1e-6
"""Weight of what physics excludes, such as a thing in place before it was made."""


def recorded_phases(case: Case, params: Params) -> dict[str, Cells]:
    """Per thing a factor on every phase: the present treatment only where it is named.

    What a treatment brings is recorded while it goes on, not inferred years later. A
    thing is named by a claim that gives that phase, or by a record of the treatment.
    """
    present = [phase.span is Span.TREATMENT for phase in case.phases]
    ids = {phase.id for phase, so in zip(case.phases, present, strict=True) if so}
    named = {thing.id for thing in case.things if thing.treated}
    for claim in case.claims:
        if claim.phase in ids:
            named |= {claim.subject, claim.other or claim.subject}
    silent = np.where(present, params.unrecorded, 1.0)
    if all(present):
        silent = np.ones(len(present))
    spoken = np.ones(len(present))
    return {one.id: spoken if one.id in named else silent for one in case.things}


def phase_prior(thing: Thing, recorded: Cells, params: Params, odds: float) -> Cells:
    """Probability of every phase, "older" left aside; sums to 1.

    Args:
        thing: the thing.
        recorded: factor on every phase, as in `recorded_phases`.
        params: the premises.
        odds: further factor on the odds of the first phase.
    """
    phases = len(recorded)
    if thing.prior is not None:
        prior = np.array(thing.prior)
    elif thing.kind is ThingKind.PART and phases > 1:
        first = params.first_part
        prior = np.full(phases, (1 - first) / (phases - 1))
        prior[0] = first
    else:
        prior = np.full(phases, 1 / phases)
    if thing.prior is None:
        prior *= recorded
    prior[0] *= odds * params.prior_odds
    return shares(prior)


def made_prior(thing: Thing, recorded: Cells, params: Params, odds: float) -> Cells:
    """P(made): older, phase 0, phase 1...; sums to 1.

    Args:
        thing: a part or fixing.
        recorded: factor on every phase, as in `recorded_phases`.
        params: the premises.
        odds: further factor on the odds of the first phase.
    """
    later = phase_prior(thing, recorded, params, odds)
    return np.concatenate([[params.older], (1 - params.older) * later])


def moved_later(share: float, recorded: Cells) -> Cells:
    """P(placed | made): at once, or with *share* in a later phase; shape (K + 1, K).

    Material older than the object may come to it in any phase.

    Args:
        share: how many move.
        recorded: factor on every phase, as in `recorded_phases`.
    """
    phases = len(recorded)
    table = np.full((phases + 1, phases), NEVER)
    table[0] = shares(recorded)
    for made in range(phases):
        later = phases - 1 - made
        table[made + 1, made] = 1 - share if later else 1.0
        if later:
            table[made + 1, made + 1 :] = share * recorded[made + 1 :] / later
    rows: Cells = table / table.sum(1, keepdims=True)
    return rows


def shares(weights: Cells) -> Cells:
    """The same, summing to 1 along the last axis."""
    found: Cells = weights / weights.sum(axis=-1, keepdims=True)
    return found
