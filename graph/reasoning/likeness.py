"""How alike two things are over features of mixed kinds, some of them not recorded.

Gower's general coefficient of similarity (J. C. Gower 1971, Biometrics 27, 857-871): every
feature gives a pair a score from 0 to 1, and counts or does not count for that pair; the
similarity is the weighted mean of the scores that count. What is not recorded of one of
the two never counts, neither as likeness nor as difference.

* numeric and ordinal: 1 - |x - y| / range. An ordinal value is its place on its scale.
* nominal: 1 where they are equal, 0 where not.
* presence (Gower's "dichotomous"): 1 where both have it, 0 where one has; where neither
  has it, the feature does not count.

Amounts of which some lie below a limit of detection are ours, not Gower's: an amount x
against "less than L" differs by at least x - L where x > L and cannot be told where not;
against "not found", without a limit, it differs wholly; two things below their limits are
a joint absence and do not count.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum

import numpy as np
import numpy.typing as npt

from ..errors import BadValue

__all__ = ["FeatureColumn", "FeatureKind", "Likenesses", "likenesses", "pair_scores"]

Cells = npt.NDArray[np.float64]
Rows = npt.NDArray[np.int_]
Flags = npt.NDArray[np.bool_]


class FeatureKind(StrEnum):
    """How two values of a feature are compared."""

    NUMERIC = "numeric"
    ORDINAL = "ordinal"
    NOMINAL = "nominal"
    PRESENCE = "presence"


@dataclass(frozen=True, slots=True, eq=False)
class FeatureColumn:
    """One feature of n things.

    Attributes:
        name: what people call it.
        kind: how it is compared.
        values: shape (n,); numbers in one unit, places on a scale, codes of words, or 1 for
            present and 0 for looked for and not found; NaN where not recorded.
        spread: range of the feature in the population, in the unit of the values; None for
            the range of the values themselves.
        weight: how much the feature counts, 0 or more.
        limits: numeric only, shape (n,): what was looked for and lies below this; else NaN.
        present: numeric only, shape (n,): 1 found but not measured, 0 looked for and not
            found without a limit; else NaN.

    Raises:
        BadValue: a negative weight or range, or columns of unequal length.
    """

    name: str
    kind: FeatureKind
    values: Cells
    spread: float | None = None
    weight: float = 1.0
    limits: Cells | None = None
    present: Cells | None = None

    def __post_init__(self) -> None:
        if self.weight < 0 or (self.spread is not None and self.spread < 0):
            raise BadValue(f"{self.name}: weight and range are 0 or more")
        for more in (self.limits, self.present):
            if more is not None and more.shape != self.values.shape:
                raise BadValue(f"{self.name}: its columns are of unequal length")

    @property
    def range(self) -> float:
        """The range that distances are measured by; 0 where all values are one."""
        if self.spread is not None:
            return self.spread
        known = self.values[~np.isnan(self.values)]
        return float(np.ptp(known)) if len(known) else 0.0


@dataclass(frozen=True, slots=True, eq=False)
class Likenesses:
    """Similarities of some things (rows) with others (columns).

    Attributes:
        similarity: from 0 to 1; NaN where no feature counts for a pair.
        weight: sum of the weights of the features that count for a pair.
    """

    similarity: Cells
    weight: Cells


def pair_scores(column: FeatureColumn, left: Rows, right: Rows) -> tuple[Cells, Flags]:
    """Scores of one feature for pairs of things, and whether it counts for each pair.

    Args:
        column: the feature.
        left: numbers of the things on one side, of any shape.
        right: numbers of those on the other; the two shapes broadcast.

    Returns:
        Scores from 0 to 1, 0 where the feature does not count, and whether it counts.
    """
    one, two = column.values[left], column.values[right]
    counts = ~np.isnan(one) & ~np.isnan(two)
    if column.kind in (FeatureKind.NOMINAL, FeatureKind.PRESENCE):
        score = (one == two).astype(np.float64)
        if column.kind is FeatureKind.PRESENCE:
            counts &= (one == 1) | (two == 1)
    else:
        score = _nearness(np.abs(one - two), column.range)
    if column.limits is not None or column.present is not None:
        score, counts = _unmeasured(column, (left, right), score, counts)
    return np.where(counts, score, 0.0), counts


def _nearness(apart: Cells, spread: float) -> Cells:
    """1 for no distance down to 0 for the whole range; all alike where there is none."""
    if spread == 0:
        return np.where(apart == 0, 1.0, 0.0)
    return np.clip(1 - apart / spread, 0.0, 1.0)


def _unmeasured(
    column: FeatureColumn, pair: tuple[Rows, Rows], score: Cells, counts: Flags
) -> tuple[Cells, Flags]:
    """Put in the pairs of which one or both have no amount but were looked at."""
    empty = np.full(column.values.shape, np.nan)
    limits = empty if column.limits is None else column.limits
    present = empty if column.present is None else column.present
    for one, two in (pair, pair[::-1]):
        amount, limit = column.values[one], limits[two]
        above = amount > limit
        nearness = _nearness(np.where(above, amount - limit, 0.0), column.range)
        is_there = ~np.isnan(amount) | (present[one] == 1)
        absent = is_there & (present[two] == 0)
        absent |= (present[one] == 1) & ~np.isnan(limit)
        score = np.where(above, nearness, np.where(absent, 0.0, score))
        counts = counts | above | absent
    both = (present[pair[0]] == 1) & (present[pair[1]] == 1)
    return np.where(both, 1.0, score), counts | both


def likenesses(
    columns: Sequence[FeatureColumn],
    rows: Sequence[int] | Rows | None = None,
    others: Sequence[int] | Rows | None = None,
) -> Likenesses:
    """Gower's similarity of every thing in *rows* with every one in *others*.

    Args:
        columns: the features, all of one length n.
        rows: numbers of the things on one side; None for all n.
        others: the same of the other side.

    Raises:
        BadValue: no columns, or columns of unequal length.
    """
    lengths = {len(column.values) for column in columns}
    if len(lengths) != 1:
        raise BadValue("likeness needs at least one feature, and all of equal length")
    everything = np.arange(lengths.pop())
    left = everything if rows is None else np.asarray(rows, dtype=np.int_)
    right = everything if others is None else np.asarray(others, dtype=np.int_)
    total, weight = np.zeros((len(left), len(right))), np.zeros((len(left), len(right)))
    for column in columns:
        score, counts = pair_scores(column, left[:, None], right[None, :])
        total += column.weight * score
        weight += column.weight * counts
    known = weight > 0
    similarity = np.where(known, total / np.where(known, weight, 1.0), np.nan)
    return Likenesses(similarity, weight)
