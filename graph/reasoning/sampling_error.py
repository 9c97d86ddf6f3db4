"""How far a sampled probability may be off: standard error, effective draws, agreement.

The means of independent chains are independent *batches*, so that their spread tells the
standard error of their mean whatever the dependence within a chain: the method of batch
means with replicated batches (Argon & Andradóttir 2006; for one chain Flegal, Haran &
Jones 2008; from memory). Effective sample size is what independent draws would be needed
for the same error, variance / error² (Kass, Carlin, Gelman & Neal 1998). Agreement of
chains is the split R-hat of Gelman and others, Bayesian Data Analysis, 3rd edition 2013,
section 11.4: each chain counts as two, so that a drift shows as well.
"""

import numpy as np
import numpy.typing as npt

__all__ = [
    "effective_draws",
    "error_of",
    "jackknife",
    "kish",
    "split_rhat",
    "standard_error",
]

Cells = npt.NDArray[np.float64]


def standard_error(batches: Cells) -> Cells:
    """Standard error of the mean of independent batch means; batches on the last axis."""
    count = batches.shape[-1]
    error: Cells = batches.std(axis=-1, ddof=1) / np.sqrt(count)
    return error


def error_of(chains: Cells, draws: int) -> Cells:
    """The error that a sampled probability is given: the largest of three.

    The spread over all chains; half the distance of the two runs that the two halves of
    the chains are; one over the number of draws, as what is rarer cannot be seen.

    Args:
        chains: mean of each chain, on the last axis.
        draws: draws of all chains together.
    """
    one, other = np.split(chains, 2, axis=-1)
    distance = np.abs(one.mean(axis=-1) - other.mean(axis=-1))
    seen = np.maximum(standard_error(chains), distance / 2)
    error: Cells = np.maximum(seen, 1 / draws)
    return error


def effective_draws(variance: Cells, error: Cells) -> Cells:
    """How many independent draws of that variance would have that standard error."""
    draws: Cells = variance / np.maximum(error, 1e-300) ** 2
    return draws


def split_rhat(means: Cells, variances: Cells, draws: int) -> Cells:
    """Potential scale reduction; 1 where chains agree, above 1.05 they do not yet.

    Args:
        means: mean of each half chain, on the last axis.
        variances: variance within each half chain (divisor draws - 1), on the last axis.
        draws: draws of a half chain.

    Returns:
        1 where nothing varies at all.
    """
    within = variances.mean(axis=-1)
    between = means.var(axis=-1, ddof=1)
    pooled = within * (draws - 1) / draws + between
    still = pooled <= 1e-24
    ratio: Cells = np.where(still, 1.0, pooled / np.maximum(within, 1e-300))
    return np.sqrt(ratio)


def kish(weights: Cells) -> float:
    """Effective number of weighted draws, (sum w)² / sum w² (Kish 1965)."""
    total = float(weights.sum())
    return total * total / float((weights * weights).sum())


def jackknife(values: Cells) -> float:
    """Standard error of a figure, from its values with each chain left out in turn."""
    count = len(values)
    return float(np.sqrt((count - 1) / count * ((values - values.mean()) ** 2).sum()))
