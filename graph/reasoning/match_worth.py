"""How surely marks match, and with what strength that may enter an assessment.

Two plays of chance are set against edges: marks anywhere along the edge, and marks about
where this object bears such marks anyway (`HeightHabit`). The harder of the two counts.
Who reports the best of many pairings has looked at all of them: p is corrected for their
number (Šidák), and the likelihood ratio is divided by it (ours, no source: as if each
pairing had been as probable beforehand).
"""

from dataclasses import dataclass, replace
from typing import Final

from .edge_heights import EVEN_HEIGHTS, Heights
from .edge_registration import EdgeJoint
from .mark import Edge, MarkedFace
from .match_strength import match_ratio, true_edge_scores, true_face_scores
from .placement import FaceJoint
from .significance import Chance, ChanceRuns, chance_of_edges, chance_of_faces
from .strength import DEFAULT_SCALE, scale_named

__all__ = [
    "SIGNIFICANT",
    "MatchWorth",
    "word_of_ratio",
    "worth_of_edges",
    "worth_of_faces",
]

SIGNIFICANT: Final = 0.05
TRUE_RUNS: Final = 200


@dataclass(frozen=True, slots=True)
class MatchWorth:
    """What a match is worth.

    Attributes:
        chances: what chance does, by where it sets marks, in words.
        pairings: how many pairings were tried.
        ratio: how many times likelier the match is if it is one, after the pairings.
        strength: word for that ratio on the usual scale.
    """

    chances: tuple[tuple[str, Chance], ...]
    pairings: int
    ratio: float
    strength: str

    @property
    def p_corrected(self) -> float:
        """The p value after all pairings, of the harder play of chance."""
        return max(chance.corrected(self.pairings) for _, chance in self.chances)

    @property
    def significant(self) -> bool:
        """Whether chance does as well in less than one case of twenty, all told."""
        return self.p_corrected < SIGNIFICANT


def worth_of_edges(
    a: Edge,
    b: Edge,
    joint: EdgeJoint,
    habit: Heights,
    runs: ChanceRuns,
    pairings: int = 1,
) -> MatchWorth:
    """Return what the match of two edges is worth, its marks scored by *habit*."""
    usual = chance_of_edges(a, b, joint, habit, runs)
    even = chance_of_edges(a, b, joint, EVEN_HEIGHTS, runs)
    true = true_edge_scores(a, b, joint, habit, _fewer(runs))
    return _worth(
        (
            ("marks about where this object bears such marks anyway", usual),
            ("marks anywhere along the edge", even),
        ),
        match_ratio(usual.score, usual.scores, true),
        pairings,
    )


def worth_of_faces(
    a: MarkedFace, b: MarkedFace, joint: FaceJoint, runs: ChanceRuns, pairings: int = 1
) -> MatchWorth:
    """Return what the match of two faces is worth."""
    chance = chance_of_faces(a, b, joint, runs)
    true = true_face_scores(a, b, joint, runs=_fewer(runs))
    where = f"marks {runs.spread}"
    ratio = match_ratio(chance.score, chance.scores, true)
    return _worth(((where, chance),), ratio, pairings)


def word_of_ratio(ratio: float, scale: str = DEFAULT_SCALE) -> str:
    """Return the strongest word of a scale whose band *ratio* reaches; never a stronger.

    Example:
        >>> word_of_ratio(76.8), word_of_ratio(0.2), word_of_ratio(1.9)
        ('moderate', 'neutral', 'neutral')
    """
    bands = scale_named(scale).bands
    reached = [band.word for band in bands if ratio >= band.low]
    return reached[-1] if reached else bands[0].word


def _fewer(runs: ChanceRuns) -> ChanceRuns:
    return replace(runs, count=min(runs.count, TRUE_RUNS), enough=None)


def _worth(
    chances: tuple[tuple[str, Chance], ...], ratio: float, pairings: int
) -> MatchWorth:
    shared = ratio / max(pairings, 1)
    return MatchWorth(chances, pairings, shared, word_of_ratio(shared))
