"""Two specimens feature by feature, in the words of the trade: agree, differ, not recorded.

Numbers agree within what is written of them: their ±, or half of the last digit. Words
agree where they are the same words. What is not recorded of one of the two neither agrees
nor differs; nor does what was looked for and found in neither.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from enum import StrEnum

import numpy as np
import numpy.typing as npt

from .likeness import FeatureColumn, FeatureKind, likenesses, pair_scores
from .specimen import Finding, Specimen

__all__ = ["FeatureRow", "Verdict", "column_of", "rank_alike", "row_of", "rows_of"]

Cells = npt.NDArray[np.float64]
Value = Callable[[Finding], float | None]


class Verdict(StrEnum):
    """What two records of one feature come to."""

    AGREE = "agree"
    DIFFER = "differ"
    NEITHER = "found in neither"
    NOT_RECORDED = "not recorded"
    CANNOT_TELL = "cannot be told"


@dataclass(frozen=True, slots=True)
class FeatureRow:
    """One feature of both.

    Attributes:
        one, other: what is said of each; None where not recorded.
        verdict: agree within what is written (± or half of the last digit), or differ.
        score: how near they are, 1 alike to 0 as far apart as any; None where it does
            not count.
        reason: why it cannot be told, or what lessens it; "" for none.
    """

    name: str
    one: str | None
    other: str | None
    verdict: Verdict
    score: float | None
    reason: str = ""


def rank_alike(
    one: Specimen, population: Sequence[Specimen]
) -> list[tuple[Specimen, float, int]]:
    """The others by likeness to one, the most alike first.

    Returns:
        Specimen, similarity, and number of features that it rests on; what shares no
        feature with the first is left out.
    """
    known = [one, *(member for member in population if member.key != one.key)]
    columns = [column_of(name, known, asked=1) for name in sorted(one.findings)]
    if not columns or len(known) < 2:
        return []
    found = likenesses(columns, [0], range(1, len(known)))
    ranked = [
        (member, float(found.similarity[0, place]), round(float(found.weight[0, place])))
        for place, member in enumerate(known[1:])
        if found.weight[0, place] > 0
    ]
    return sorted(ranked, key=lambda item: (-item[1], -item[2], item[0].key))


def column_of(name: str, known: Sequence[Specimen], asked: int = 2) -> FeatureColumn:
    """One feature of all specimens, in the sort in which the first ones have it.

    Args:
        name: the feature.
        known: the specimens; those asked about come first.
        asked: how many are asked about.
    """
    found = [member.findings.get(name) for member in known]
    sort = _sort_of(found, asked)
    if sort == "words":
        words = sorted({f.words for f in found if f and f.sort == sort})
        codes = {word: float(code) for code, word in enumerate(words)}
        return FeatureColumn(name, FeatureKind.NOMINAL,
                             _cells(found, sort, lambda f: codes.get(f.words)))  # fmt: skip
    numbers = _cells(found, sort, lambda f: f.number)
    limits = _cells(found, sort, lambda f: f.limit)
    present = _cells(found, sort, lambda f: None if f.present is None else float(f.present))
    if sort.startswith("grade of "):
        spread = float(sort.rsplit(" ", 1)[-1]) - 1
        return FeatureColumn(name, FeatureKind.ORDINAL, numbers, spread)
    return FeatureColumn(name, FeatureKind.NUMERIC, numbers, limits=limits, present=present)


def _sort_of(found: Sequence[Finding | None], asked: int) -> str:
    """What sort of finding is compared: that asked about, an amount before presence."""
    first = [f.sort for f in found[:asked] if f and f.sort != "open"] or ["presence"]
    if len(first) == 2 and first[0] != first[1] and "presence" not in first:
        return "unlike"
    measured = [sort for sort in first if sort != "presence"]
    if measured:
        return measured[0]
    others = sorted({f.sort for f in found if f and f.sort.startswith("amount")})
    return others[0] if len(others) == 1 else "presence"


def _cells(found: Sequence[Finding | None], sort: str, value: Value) -> Cells:
    fits = {sort, "presence"} if sort != "words" else {sort}
    cells = [value(f) if f and f.sort in fits else None for f in found]
    return np.array([np.nan if cell is None else cell for cell in cells], dtype=np.float64)


def row_of(name: str, one: Specimen, other: Specimen, column: FeatureColumn) -> FeatureRow:
    """What the two come to in one feature, given its column with the two in front."""
    first, second = one.findings.get(name), other.findings.get(name)
    said = (first.said if first else None, second.said if second else None)
    if first is None or second is None:
        return FeatureRow(name, *said, Verdict.NOT_RECORDED, None)
    if "open" in (first.sort, second.sort):
        why = "the records of one of them contradict each other"
        return FeatureRow(name, *said, Verdict.CANNOT_TELL, None, why)
    scores, counts = pair_scores(column, np.array([0]), np.array([1]))
    if not counts[0]:
        verdict, why = _uncounted(first, second)
        return FeatureRow(name, *said, verdict, None, why)
    score = float(scores[0])
    alike = _agree(first, second, score)
    return FeatureRow(name, *said, Verdict.AGREE if alike else Verdict.DIFFER, score)


def rows_of(
    one: Specimen, other: Specimen, population: Sequence[Specimen]
) -> list[FeatureRow]:
    """What the two come to in every feature that is recorded of either."""
    both = {one.key, other.key}
    known = [one, other, *(member for member in population if member.key not in both)]
    names = sorted({*one.findings, *other.findings})
    return [row_of(name, one, other, column_of(name, known)) for name in names]


def _uncounted(first: Finding, second: Finding) -> tuple[Verdict, str]:
    if _missed(first) and _missed(second):
        return Verdict.NEITHER, ""
    if first.sort != second.sort and "presence" not in (first.sort, second.sort):
        why = f"recorded as {first.sort} and as {second.sort}"
    elif _missed(first) or _missed(second):
        why = "the amount lies below the other's limit of detection"
    else:
        why = "of one only the presence is recorded"
    return Verdict.CANNOT_TELL, why


def _missed(finding: Finding) -> bool:
    return finding.present is False or finding.limit is not None


def _agree(first: Finding, second: Finding, score: float) -> bool:
    """Whether two findings agree within what is written."""
    if first.number is None or second.number is None:
        return score == 1
    apart = abs(first.number - second.number)
    return apart <= (first.spread + second.spread) * (1 + 1e-9)
