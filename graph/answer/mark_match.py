"""How two faces or edges match by their marks: where one lay on the other, how surely.

Marks of different phases are judged apart; within a phase only marks of one kind meet.
"""

from typing import ClassVar

from pydantic import computed_field

from .answer import Answer, Plain, Thing
from .mark import SetAside

__all__ = [
    "DrawnLine",
    "DrawnMark",
    "Joint",
    "Match",
    "MatchInPhase",
    "Matches",
    "MetPair",
    "Overlaid",
    "PhaseJoints",
    "PlayedChance",
    "Rival",
]


class MetPair(Plain):
    """Two marks that meet, and how far apart they lie then."""

    a: str
    b: str
    kind: str
    residual_mm: float


class PlayedChance(Plain):
    """What chance does: runs made, runs that score as well, p before and after pairings.

    Attributes:
        where: where chance sets the marks, in words.
        tried: number of pairings that p is corrected for.
    """

    where: str
    runs: int
    as_good: int
    p: float
    tried: int
    p_corrected: float
    seed: int


class Rival(Plain):
    """Another placement, in words, and its score as a share of the best."""

    how: str
    share: float


class DrawnMark(Plain):
    """A mark as it lies in the picture, millimetres of face or edge b.

    Attributes:
        fate: "meets its partner", "should have met and did not", or "lies beyond ...".
    """

    face: str
    mark: str
    kind: str
    x_mm: float
    y_mm: float
    size_mm: float | None
    fate: str
    partner: str


class DrawnLine(Plain):
    """A line or outline as it lies in the picture."""

    face: str
    line: str
    kind: str
    points_mm: tuple[tuple[float, float], ...]
    closed: bool


class Overlaid(Plain):
    """What a picture of the match is drawn from, millimetres of face or edge b.

    Attributes:
        outline_a_mm, outline_b_mm: corners; for an edge its lower and its upper end.
    """

    outline_a_mm: tuple[tuple[float, float], ...]
    outline_b_mm: tuple[tuple[float, float], ...]
    marks: tuple[DrawnMark, ...]
    lines: tuple[DrawnLine, ...] = ()


class MatchInPhase(Plain):
    """How two faces or edges match by the marks of one phase.

    Attributes:
        phase: None for marks of which no phase is recorded.
        outcome: placed, ambiguous, or not identifiable.
        conclusion: what follows, in words: "they match", "not beyond chance", "the
            marks speak against it", "ambiguous" or "not identifiable".
        how: the placement in words; empty where there is none.
        mirrored: whether a lies on b in mirror image; None for edges.
        lonely_a, lonely_b: marks that lie beside the other face and have no partner.
        score: logarithm of a likelihood ratio, natural.
        significant: whether chance does as well in less than one case of twenty, after
            all pairings, by the harder play of chance.
        ratio: likelihood ratio after the pairings; at most the runs over the pairings.
        strength: its word on the usual scale.
    """

    phase: Thing | None
    kinds: tuple[str, ...]
    outcome: str
    reason: str
    how: str = ""
    mirrored: bool | None = None
    turn_deg: float | None = None
    shift_mm: tuple[float, ...] = ()
    upside_down: bool | None = None
    pairs: tuple[MetPair, ...] = ()
    rms_mm: float | None = None
    lonely_a: tuple[str, ...] = ()
    lonely_b: tuple[str, ...] = ()
    score: float = 0.0
    rivals: tuple[Rival, ...] = ()
    chances: tuple[PlayedChance, ...] = ()
    significant: bool = False
    ratio: float | None = None
    strength: str = "neutral"
    overlay: Overlaid | None = None

    @computed_field  # type: ignore[prop-decorator]
    @property
    def conclusion(self) -> str:
        """What follows, in words."""
        if self.outcome != "placed":
            return self.outcome
        if self.score <= 0:
            return "the marks speak against it"
        return "they match" if self.significant else "not beyond chance"


class Match(Answer):
    """Answer to `vestige match FACE FACE`.

    Attributes:
        about: the object.
        a: the face or edge that is moved.
        b: the one that stays.
        sort: "face" or "edge".
        phases: one result for each phase of which both bear marks.
    """

    FORM: ClassVar[str] = "vestige.match/1"
    about: Thing
    a: Thing
    b: Thing
    sort: str
    seed: int
    phases: tuple[MatchInPhase, ...]


class Joint(Plain):
    """One pair of faces or edges and how it matches, without the picture."""

    a: Thing
    b: Thing
    match: MatchInPhase


class PhaseJoints(Plain):
    """Which joints of one phase go together.

    Attributes:
        decided: whether one set of joints is a hundred times likelier than the next.
        best: pairs of faces or edges of the best set.
        agreed: pairs that every good set has.
    """

    phase: Thing | None
    decided: bool
    reason: str
    best: tuple[tuple[str, str], ...]
    agreed: tuple[tuple[str, str], ...]


class Matches(Answer):
    """Answer to `vestige match OBJECT --all`.

    Attributes:
        tried: pairings tried, over all phases; every p is corrected for them.
        joints: all pairs, the surest first.
        together: for each phase, the joints that go together.
    """

    FORM: ClassVar[str] = "vestige.matches/1"
    about: Thing
    seed: int
    tried: int
    joints: tuple[Joint, ...]
    together: tuple[PhaseJoints, ...]
    set_aside: tuple[SetAside, ...]
