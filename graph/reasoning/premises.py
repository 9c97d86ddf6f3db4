"""What an assessment takes for granted: every number of it, visible and editable.

The defaults were chosen by simulation (see ``bench/calibration.py``) or are the trade's
common practice without a source; none is a fact about an object. They are shown beside
every answer, and the priors among them are varied in the sensitivity band.
"""

from collections.abc import Mapping
from dataclasses import dataclass, field
from types import MappingProxyType

from ..errors import BadValue
from ..record import Reliability, SourceKind

__all__ = [
    "ANY_STORY",
    "ONE_STORY",
    "SOUNDNESS",
    "SOUNDNESS_GRID",
    "USUAL_RELIABILITY",
    "Params",
]

SOUNDNESS_GRID = (0.15, 0.5, 0.85, 0.98)
"""How often a source's reports depend on the truth at all: the states of a source."""

Grid = tuple[float, float, float, float]

SOUNDNESS: Mapping[Reliability, Grid] = MappingProxyType(
    {
        Reliability.SOUND: (0.01, 0.04, 0.15, 0.80),
        Reliability.USUALLY_SOUND: (0.05, 0.15, 0.40, 0.40),
        Reliability.MIXED: (0.10, 0.25, 0.40, 0.25),
        Reliability.DOUBTFUL: (0.50, 0.30, 0.15, 0.05),
        Reliability.UNKNOWN: (0.10, 0.25, 0.40, 0.25),
    }
)
"""Prior over the soundness grid for each word of reliability."""

USUAL_RELIABILITY: Mapping[SourceKind, Reliability] = MappingProxyType(
    {
        SourceKind.EXAMINATION: Reliability.SOUND,
        SourceKind.ANALYSIS: Reliability.SOUND,
        SourceKind.IMAGE: Reliability.SOUND,
        SourceKind.TREATMENT_RECORD: Reliability.USUALLY_SOUND,
        SourceKind.RECORD: Reliability.USUALLY_SOUND,
        SourceKind.COMMUNITY: Reliability.USUALLY_SOUND,
        SourceKind.LAY_OBSERVATION: Reliability.USUALLY_SOUND,
        SourceKind.INVENTORY: Reliability.USUALLY_SOUND,
        SourceKind.PUBLICATION: Reliability.USUALLY_SOUND,
        SourceKind.COMPUTATION: Reliability.USUALLY_SOUND,
        SourceKind.LETTER: Reliability.MIXED,
        SourceKind.ORAL: Reliability.MIXED,
        SourceKind.DEALER: Reliability.MIXED,
        SourceKind.CATALOGUE: Reliability.MIXED,
        SourceKind.TRADITION: Reliability.MIXED,
        SourceKind.OTHER: Reliability.UNKNOWN,
    }
)
"""How sound a kind of source is taken to be until somebody says otherwise."""

ONE_STORY: Mapping[SourceKind, float] = MappingProxyType(
    {
        SourceKind.EXAMINATION: 0.02,
        SourceKind.ANALYSIS: 0.0,
        SourceKind.IMAGE: 0.0,
        SourceKind.TREATMENT_RECORD: 0.02,
        SourceKind.RECORD: 0.05,
        SourceKind.COMMUNITY: 0.02,
        SourceKind.LAY_OBSERVATION: 0.05,
        SourceKind.INVENTORY: 0.05,
        SourceKind.PUBLICATION: 0.05,
        SourceKind.COMPUTATION: 0.0,
        SourceKind.LETTER: 0.05,
        SourceKind.ORAL: 0.05,
        SourceKind.DEALER: 0.20,
        SourceKind.CATALOGUE: 0.20,
        SourceKind.TRADITION: 0.20,
        SourceKind.OTHER: 0.20,
    }
)
"""Probability that a kind of source tells one story whatever the truth."""

ANY_STORY = frozenset(
    {SourceKind.DEALER, SourceKind.CATALOGUE, SourceKind.TRADITION, SourceKind.OTHER}
)
"""Kinds of source that may call everything of any one phase. The others are held to at
most one story, "all as made": a day-book or an examination that names one later phase
throughout does so because it speaks of the things of that phase, and their agreement is
no sign of a story."""


@dataclass(frozen=True, slots=True)
class Params:
    """The premises of an assessment.

    Attributes:
        contact: pull of touching parts towards one phase, [0, 0.75]; 0.3 makes equal
            phases 0.48 probable with four phases. Mild, since what replaces a part touches
            all that the part touched. Above 0.75 it drowns the evidence.
        contact_layers: the same for layers that touch, as coats of one campaign do.
        reuse: P(put in its present place later than made), without fixings or a shared
            re-assembly to explain it.
        reassembly: P(the object was once put together anew, after its making).
        joins: P(a part without recorded fixings moved in such a re-assembly).
        stray: P(such a part moved by itself).
        held: P(a part came to its place when its present fixings did).
        redriven: how much less readily an old fixing holds a later part, as a factor.
        same_batch: P(same batch | made in one phase).
        older: P(a part or fixing is older than the object).
        first_part: P(a part was made in the first phase); fixings, layers, features and
            events start level over the phases.
        unrecorded: factor on the present treatment as the phase of what no record of it
            names, (0, 1]: what a treatment does is recorded while it goes on.
        prior_odds: factor on the odds of the first phase, for the sensitivity band.
        expected_errors: how far the errors of an unsound source are those that such an
            object makes one expect, [0, 1]; the rest name any phase alike.
        soundness: prior over SOUNDNESS_GRID by reliability word.
        one_story: probability of one story, by kind of source.
        soundness_states: most states that the soundness of one source is reckoned with.
        prune: one-story states less probable than this, against an unsound source
            whatever the truth, are left out.
        budget: largest number of table cells for exact work; 8 bytes each.

    Raises:
        BadValue: a probability outside its range.
    """

    contact: float = 0.3
    contact_layers: float = 0.47
    reuse: float = 0.1
    reassembly: float = 0.2
    joins: float = 0.5
    stray: float = 0.02
    held: float = 0.97
    redriven: float = 0.1
    same_batch: float = 0.5
    older: float = 0.03
    first_part: float = 0.4
    unrecorded: float = 0.05
    prior_odds: float = 1.0
    expected_errors: float = 0.5
    soundness: Mapping[Reliability, Grid] = field(default_factory=lambda: SOUNDNESS)
    one_story: Mapping[SourceKind, float] = field(default_factory=lambda: ONE_STORY)
    soundness_states: int = 4
    prune: float = 1e-3
    budget: float = 1e7

    def __post_init__(self) -> None:
        for name in (
            "reuse",
            "reassembly",
            "joins",
            "stray",
            "held",
            "older",
            "expected_errors",
        ):
            _within(name, getattr(self, name), 0.0, 1.0)
        _within("contact", self.contact, 0.0, 0.75)
        _within("contact_layers", self.contact_layers, 0.0, 0.75)
        _within("first_part", self.first_part, 0.0, 1.0 - self.older)
        _within("same_batch", self.same_batch, 1e-6, 1.0)
        _within("redriven", self.redriven, 1e-6, 1.0)
        _within("unrecorded", self.unrecorded, 1e-6, 1.0)
        _within("prior_odds", self.prior_odds, 1e-6, 1e6)


def _within(name: str, value: float, low: float, high: float) -> None:
    if not low <= value <= high:
        raise BadValue(f"the premise {name} is {value:g}; it must lie in [{low}, {high}]")
