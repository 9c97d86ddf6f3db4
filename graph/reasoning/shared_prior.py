"""Factors that tie two unknowns together and leave the prior of each as it was.

Parts that touch tend to share a phase. Multiplying "equal phases are more probable" into
a model changes the prior of each part, and over a whole object that change compounds
until it drowns the evidence. The factors here are couplings instead: joint distributions
with the given margins, divided by their product. On a tree of such ties every prior
stays exactly as it was set.
"""

import numpy as np
import numpy.typing as npt

__all__ = ["pull_together", "scaled_to_margins"]

Cells = npt.NDArray[np.float64]
TINY = 1e-12


def pull_together(one: Cells, two: Cells, pull: float) -> Cells:
    """Factor by which two unknowns with priors *one* and *two* tend to be equal.

    A share *pull* of the time they are as equal as their priors allow (the maximal
    coupling), otherwise they are independent. With equal priors p it is
    (1 - pull) + pull * [a = b] / p(a).

    Returns:
        Table over both, to be multiplied into a model in which they have these priors.
    """
    first, second = one / one.sum(), two / two.sum()
    common = np.minimum(first, second)
    left, right = first - common, second - common
    rest = float(left.sum())
    joint = np.diag(common)
    if rest > TINY:
        joint = joint + np.outer(left, right) / rest
    ratio: Cells = joint / np.maximum(np.outer(first, second), TINY)
    return (1 - pull) + pull * ratio


def scaled_to_margins(weight: Cells, one: Cells, two: Cells) -> Cells:
    """Factor of the shape of *weight* that leaves the priors *one* and *two* as they are.

    Iterative proportional fitting (Deming & Stephan 1940): rows and columns are scaled
    in turn until the joint distribution has both margins.

    Args:
        weight: positive table, how readily the two go together.
        one: prior of the rows; positive where it counts.
        two: prior of the columns.
    """
    first, second = one / one.sum(), two / two.sum()
    base = np.outer(first, second)
    joint = base * weight
    for _ in range(200):
        joint *= (first / np.maximum(joint.sum(1), TINY))[:, None]
        joint *= second / np.maximum(joint.sum(0), TINY)
        if np.abs(joint.sum(1) - first).max() < 1e-14:
            break
    factor: Cells = joint / np.maximum(base, TINY)
    return factor
