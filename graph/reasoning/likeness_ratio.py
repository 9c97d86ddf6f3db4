"""Two specimens against the others of their class: likeness, rarity, likelihood ratio.

A ratio is given only where the archive can bear it: enough reference items on other objects
with the same features on record, and enough stuffs on record twice to learn how far two
records of one stuff differ. It is learnt on just the features that count for the two,
without their objects, and held below twice the number of reference items.

Two elements count as one item where they are known to be of one batch. Pairs of one origin
are records of one batch or several analyses of one element; pairs of different origins are
items on different objects, since what lies unjoined on one object may yet be one stuff.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from itertools import combinations
from typing import Final

import numpy as np
import numpy.typing as npt

from .calibrated_ratio import cllr, fit_ratio
from .feature_comparison import FeatureRow, column_of, row_of
from .likeness import FeatureColumn, likenesses, pair_scores
from .specimen import Specimen, findings
from .strength import DEFAULT_SCALE, scale_named

__all__ = ["REFERENCES_NEEDED", "REPEATS_NEEDED", "Likeness", "compare_specimens",
           "word_of_ratio"]  # fmt: skip

Cells = npt.NDArray[np.float64]
Flags = npt.NDArray[np.bool_]
Whole = npt.NDArray[np.int_]
REFERENCES_NEEDED: Final = 30
"""Reference items below which no ratio is given."""
REPEATS_NEEDED: Final = 10
"""Stuffs on record twice below which none is given: own rule."""
NEIGHBOURS: Final = 12
"""Rarity of a thing is its mean distance to the nearest so many reference items."""
NEAREST: Final = 0.01
"""Added to distances before their logarithm is taken: identical things stay finite."""
FOLDS: Final = 5
MOST: Final = 300
"""Reference items of which all pairs are learnt from; of more, evenly picked ones."""


@dataclass(frozen=True, slots=True)
class Likeness:
    """What a comparison comes to.

    Attributes:
        rows: feature by feature.
        similarity: Gower's, from 0 to 1; None where no feature counts.
        counted: number of features that count.
        references: reference items with at least half of these features.
        as_near: reference items that are at least as like the first as the second is.
        ratio: likelihood ratio, one batch over different batches; None where not given.
        highest, lowest: limits of the ratio.
        cost: cost in bits of such ratios on known pairs left out of the fitting.
        same_pairs, different_pairs: known pairs that it was learnt from.
        reason: why no ratio is given; "" where it is.
    """

    rows: tuple[FeatureRow, ...]
    similarity: float | None
    counted: int
    references: int
    as_near: int
    ratio: float | None = None
    highest: float | None = None
    lowest: float | None = None
    cost: float | None = None
    same_pairs: int = 0
    different_pairs: int = 0
    reason: str = ""


def compare_specimens(
    one: Specimen, other: Specimen, population: Sequence[Specimen]
) -> Likeness:
    """Compare two specimens against all specimens of their class.

    Args:
        one: the first; need not be in the population.
        other: the second.
        population: specimens of the class; may hold the two.
    """
    both = {one.key, other.key}
    known = [one, other, *(member for member in population if member.key not in both)]
    names = sorted({*one.findings, *other.findings})
    columns = [column_of(name, known) for name in names]
    rows = tuple(
        row_of(name, one, other, column)
        for name, column in zip(names, columns, strict=True)
    )
    used = [c for c, row in zip(columns, rows, strict=True) if row.score is not None]
    if not used:
        why = "no feature is recorded of both so that it can be compared"
        return Likeness(rows, None, 0, 0, 0, reason=why)
    similarity = float(likenesses(used, [0], [1]).similarity[0, 0])
    reference = _Reference(known, used)
    told = Likeness(
        rows, similarity, len(used), len(reference.heads), reference.as_near(similarity)
    )
    return _judged(told, reference)


def word_of_ratio(ratio: float, scale: str = DEFAULT_SCALE) -> str:
    """The strongest word of a scale that is worth no more than a ratio.

    A word is worth the middle of its band; so the word never says more than the figure.

    Args:
        ratio: at least 1; for a ratio below 1 ask with its inverse, and say "against".

    Raises:
        BadValue: an unknown scale.
    """
    bands = scale_named(scale).bands
    return [bands[0], *(band for band in bands if band.ratio <= ratio)][-1].word


# ------------------------------------------------------------------ the population


class _Reference:
    """The population of a comparison; places 0 and 1 are the two compared.

    Attributes:
        columns: features that count for the two and vary in the population.
        heads: places of the reference items, one for each batch.
        recorded: for every place, how many of the features are recorded of it.
    """

    def __init__(self, known: Sequence[Specimen], used: Sequence[FeatureColumn]) -> None:
        self.known, self.used = known, used
        self.columns = [column for column in used if _varies(column)]
        self.need = max(1.0, len(self.columns) / 2)
        self.recorded = _recorded(self.columns or used, len(known))
        asked = {known[place].object for place in (0, 1)}
        self.members = [
            place
            for place, one in enumerate(known)
            if one.object not in asked and self.recorded[place] >= self.need
        ]
        best: dict[str, int] = {}
        for place in self.members:
            now = best.setdefault(known[place].batch, place)
            if self.recorded[place] > self.recorded[now]:
                best[known[place].batch] = place
        self.heads = sorted(best.values())

    def as_near(self, similarity: float) -> int:
        """Reference items at least as like the first as the second is."""
        if not self.heads:
            return 0
        found = likenesses(self.used, [0], self.heads).similarity[0]
        return int(np.sum(found >= similarity - 1e-12))


@dataclass(frozen=True, slots=True, eq=False)
class _Pairs:
    """Pairs of known origin.

    Attributes:
        scores: shape (pairs, 2): log distance, log rarity.
        same: whether a pair is of one origin.
        folds: shape (pairs, 2): fold of the batch of either side.
        repeats: number of batches on record twice.
    """

    scores: Cells
    same: Flags
    folds: Whole
    repeats: int


def _judged(told: Likeness, reference: _Reference) -> Likeness:
    """The same comparison with a ratio, or with the reason why there is none."""
    count = len(reference.heads)
    if count < REFERENCES_NEEDED:
        why = f"population too small ({count} of {REFERENCES_NEEDED} reference items)"
        return replace(told, reason=why)
    if not reference.columns:
        return replace(told, reason="these features are the same in all reference items")
    pairs, asked = _known_pairs(reference)
    same = int(pairs.same.sum())
    told = replace(told, same_pairs=same, different_pairs=len(pairs.same) - same)
    if pairs.repeats < REPEATS_NEEDED or same == len(pairs.same):
        why = (
            f"too few stuffs on record twice ({pairs.repeats} of {REPEATS_NEEDED}) to "
            "learn how far two records of one stuff differ"
        )
        return replace(told, reason=why)
    highest, lowest = 2.0 * count, 1 / (2.0 * pairs.repeats)
    model = fit_ratio(pairs.scores, pairs.same, highest, lowest)
    cost = _cost(pairs, highest, lowest)
    told = replace(told, highest=highest, lowest=lowest, cost=cost)
    if model.slopes[0] >= 0 or cost is None or cost >= 1:
        why = "on pairs of known origin these features do not tell one stuff from another"
        return replace(told, reason=why)
    return replace(told, ratio=float(model.ratios(asked)[0]))


def _known_pairs(reference: _Reference) -> tuple[_Pairs, Cells]:
    """Pairs of known origin with their scores, and the score of the two compared."""
    known, extra = list(reference.known), []
    for place in reference.members:
        extra.append(_as_read(known[place]))
    firsts = np.cumsum([len(known), *(len(one) for one in extra)])
    everything = [*known, *(one for several in extra for one in several)]
    columns = [column_of(column.name, everything) for column in reference.columns]
    by_batch: dict[str, list[int]] = {}
    for place in reference.members:
        by_batch.setdefault(known[place].batch, []).append(place)
    same = [pair for group in by_batch.values() for pair in combinations(group, 2)]
    for first, several in zip(firsts, extra, strict=False):
        same += list(combinations(range(int(first), int(first) + len(several)), 2))
    step = -(-len(reference.heads) // MOST)
    different = [
        (one, two)
        for one, two in combinations(reference.heads[::step], 2)
        if known[one].object != known[two].object
    ]
    scorer = _Scorer(everything, columns, reference.heads)
    asked, _ = scorer.scores([(0, 1)], 0.0)
    scores, kept = scorer.scores([*same, *different], reference.need)
    ends = [pair for pair, keep in zip([*same, *different], kept, strict=True) if keep]
    is_same = (np.arange(len(kept)) < len(same))[kept]
    twice = sorted({everything[ends[k][0]].batch for k in np.flatnonzero(is_same)})
    others = sorted({known[head].batch for head in reference.heads} - set(twice))
    fold = {batch: place % FOLDS for place, batch in enumerate([*twice, *others])}
    folds = np.array([[fold[everything[end].batch] for end in pair] for pair in ends],
                     dtype=np.int_).reshape(-1, 2)  # fmt: skip
    return _Pairs(scores, is_same, folds, len(twice)), asked


def _as_read(member: Specimen) -> list[Specimen]:
    """One specimen for each record of an element, where it has several."""
    if len(member.readings) < 2:
        return []
    return [
        replace(member, key=reading.key, readings=(reading,),
                findings=findings(reading.features))
        for reading in member.readings
    ]  # fmt: skip


class _Scorer:
    """Scores of pairs: how far apart they are, and how far from the reference items."""

    def __init__(
        self, known: Sequence[Specimen], columns: Sequence[FeatureColumn], heads: list[int]
    ) -> None:
        self.columns = columns
        batch = np.array([one.batch for one in known])
        apart = 1 - likenesses(columns, None, heads).similarity
        apart[batch[:, None] == batch[heads][None, :]] = np.nan
        ordered = np.sort(np.where(np.isnan(apart), np.inf, apart), axis=1)
        nearest = ordered[:, :NEIGHBOURS]
        some = np.isfinite(nearest)
        total = np.where(some, nearest, 0.0).sum(axis=1)
        self.rarity = total / np.maximum(some.sum(axis=1), 1)

    def scores(self, pairs: Sequence[tuple[int, int]], need: float) -> tuple[Cells, Flags]:
        """Scores of the pairs that share enough features, and which pairs those are."""
        left = np.array([one for one, _ in pairs], dtype=np.int_)
        right = np.array([two for _, two in pairs], dtype=np.int_)
        total, weight = np.zeros(len(pairs)), np.zeros(len(pairs))
        for column in self.columns:
            score, counts = pair_scores(column, left, right)
            total += score
            weight += counts
        kept = weight >= max(need, 1e-9)
        apart = 1 - total[kept] / weight[kept]
        rarity = (self.rarity[left[kept]] + self.rarity[right[kept]]) / 2
        return np.log(np.column_stack([apart, rarity]) + NEAREST), kept


def _cost(pairs: _Pairs, highest: float, lowest: float) -> float | None:
    """Cllr of ratios given to pairs by curves learnt without the batches of those pairs."""
    ratios = np.full(len(pairs.same), np.nan)
    for fold in range(FOLDS):
        out = (pairs.folds == fold).all(axis=1)
        kept = (pairs.folds != fold).all(axis=1)
        truth = pairs.same[kept]
        if out.any() and truth.any() and not truth.all():
            model = fit_ratio(pairs.scores[kept], truth, highest, lowest)
            ratios[out] = model.ratios(pairs.scores[out])
    told = ~np.isnan(ratios)
    same, different = ratios[told & pairs.same], ratios[told & ~pairs.same]
    return cllr(same, different) if len(same) and len(different) else None


def _varies(column: FeatureColumn) -> bool:
    """Whether a feature can tell things apart: not all that is known of it is one."""
    known = set(column.values[~np.isnan(column.values)].tolist())
    if column.limits is not None and not np.isnan(column.limits).all():
        known.add(-1.0)
    if column.present is not None:
        known |= {-2.0 - one for one in column.present[~np.isnan(column.present)].tolist()}
    return len(known) > 1


def _recorded(columns: Sequence[FeatureColumn], count: int) -> Cells:
    """For every thing, of how many features something is recorded."""
    total = np.zeros(count)
    for column in columns:
        known = ~np.isnan(column.values)
        for more in (column.limits, column.present):
            if more is not None:
                known = known | ~np.isnan(more)
        total += known
    return total
