"""From a score of two things to a likelihood ratio, learnt from pairs of known origin.

A similarity is no likelihood ratio: two things may be alike because everything of that
class is. So the score of a pair has two parts, how far apart the two are and how far they
stand from the rest (their rarity), and a logistic curve fitted to pairs known to be of one
origin and pairs known not to be turns it into a ratio (Morrison & Enzinger 2018 on why
rarity must enter, abstract read). The ratio never passes what so few references can tell.
"""

import math
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from ..errors import BadValue

__all__ = ["RatioModel", "cllr", "fit_ratio"]

Cells = npt.NDArray[np.float64]
Flags = npt.NDArray[np.bool_]
RIDGE = 1.0
"""Pull of the coefficients towards 0, in units of one pair: own choice, keeps a curve
fitted to few pairs flat."""
STEPS = 50


@dataclass(frozen=True, slots=True)
class RatioModel:
    """A logistic curve on standardised scores.

    Attributes:
        least, most: smallest and largest of each part among the pairs it was fitted to; a
            score beyond them is taken for the nearest of them.
        centre: mean of each part of the score over the pairs it was fitted to.
        scale: standard deviation of each part; 1 where a part does not vary.
        constant: logarithm of the ratio at the centre.
        slopes: change of the logarithm with one standard deviation of each part.
        highest: no ratio is above it.
        lowest: no ratio is below it.
    """

    least: tuple[float, ...]
    most: tuple[float, ...]
    centre: tuple[float, ...]
    scale: tuple[float, ...]
    constant: float
    slopes: tuple[float, ...]
    highest: float
    lowest: float

    def ratios(self, scores: Cells) -> Cells:
        """Likelihood ratios of pairs, "one origin" over "different origins".

        Args:
            scores: shape (pairs, parts).
        """
        seen = np.clip(scores, np.array(self.least), np.array(self.most))
        parts = (seen - np.array(self.centre)) / np.array(self.scale)
        logs = self.constant + parts @ np.array(self.slopes)
        low, high = math.log(self.lowest), math.log(self.highest)
        held: Cells = np.exp(np.clip(logs, low, high))
        return held


def fit_ratio(
    scores: Cells, same: Flags, highest: float, lowest: float | None = None
) -> RatioModel:
    """Fit the curve; both kinds of pair weigh the same, so that its odds are the ratio.

    Args:
        scores: shape (pairs, parts).
        same: shape (pairs,), True for pairs of one origin.
        highest: cap on the ratio, above 1.
        lowest: floor of the ratio; None for 1 / highest.

    Raises:
        BadValue: no pair of one of the two kinds, or a cap that is not above 1.
    """
    count = int(same.sum())
    if count == 0 or count == len(same):
        raise BadValue("a ratio needs pairs of one origin and pairs of different ones")
    floor = 1 / highest if lowest is None else lowest
    if not (highest > 1 > floor > 0):
        raise BadValue(f"a ratio cannot be held between {floor:g} and {highest:g}")
    centre, scale = scores.mean(axis=0), scores.std(axis=0)
    scale = np.where(scale > 0, scale, 1.0)
    design = np.column_stack([np.ones(len(same)), (scores - centre) / scale])
    few = min(count, len(same) - count)
    weights = np.where(same, few / count, few / (len(same) - count))
    found = _logistic(design, same.astype(np.float64), weights)
    return RatioModel(
        tuple(map(float, scores.min(axis=0))),
        tuple(map(float, scores.max(axis=0))),
        tuple(map(float, centre)),
        tuple(map(float, scale)),
        float(found[0]),
        tuple(map(float, found[1:])),
        highest,
        floor,
    )


def _logistic(design: Cells, truth: Cells, weights: Cells) -> Cells:
    """Weighted logistic regression by Newton's method, the constant left unpulled."""
    pull = np.full(design.shape[1], RIDGE)
    pull[0] = 0.0
    found = np.zeros(design.shape[1])
    for _ in range(STEPS):
        chance = 1 / (1 + np.exp(-np.clip(design @ found, -700, 700)))
        slope = design.T @ (weights * (chance - truth)) + pull * found
        bend = (design * (weights * chance * (1 - chance))[:, None]).T @ design
        step = np.linalg.solve(bend + np.diag(pull) + 1e-12 * np.eye(len(found)), slope)
        found = found - step
        if float(np.abs(step).max()) < 1e-10:
            break
    return found


def cllr(same: Cells, different: Cells) -> float:
    """Cost of a set of likelihood ratios in bits: 0 perfect, 1 as good as saying nothing.

    After N. Brümmer & J. du Preez 2006, Computer Speech and Language 20, 230-275
    (formula from memory):
    ½ mean log2(1 + 1/LR) over pairs of one origin + ½ mean log2(1 + LR) over the others.

    Args:
        same: ratios given to pairs of one origin, above 0.
        different: ratios given to pairs of different origins, above 0.

    Raises:
        BadValue: one of the two is empty, or a ratio is not above 0.
    """
    if not len(same) or not len(different):
        raise BadValue("the cost of ratios needs pairs of both kinds")
    if min(float(np.min(same)), float(np.min(different))) <= 0:
        raise BadValue("a likelihood ratio is above 0")
    missed = np.logaddexp(0.0, -np.log(same)).mean()
    alarmed = np.logaddexp(0.0, np.log(different)).mean()
    return float((missed + alarmed) / (2 * math.log(2)))
