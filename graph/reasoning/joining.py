"""All pairs of faces or edges of an object, and the sets of joints that go together.

Whoever tries many pairs finds a good one by chance; each p here is corrected for the
number of pairs tried. What goes together is general: a face or edge meets one other at
most, and any may be free. For pieces in a row see `arrangement_search`, which knows more.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass, field
from itertools import combinations, pairwise
from typing import Final

from ..errors import BadValue
from .arrangement_search import DECISIVE_LOG10
from .edge_heights import EVEN_HEIGHTS, Heights
from .edge_registration import ALIGNED, EdgeJoint, EdgeRegistration, register_edges
from .mark import Edge, MarkedFace
from .placement import FaceJoint
from .registration import Registration, register_faces
from .significance import Chance, ChanceRuns, chance_of_edges, chance_of_faces

__all__ = [
    "EdgePair",
    "FacePair",
    "Joining",
    "Joinings",
    "PossibleJoint",
    "best_joinings",
    "score_edges",
    "score_faces",
]

MOST_STEPS: Final = 50_000


@dataclass(frozen=True, slots=True)
class FacePair:
    """Two faces of different elements, how they match, and what chance does.

    Attributes:
        match: the registration.
        chance: what random marks score on the same faces.
        pairings: how many pairs of faces were tried.
    """

    match: Registration
    chance: Chance
    pairings: int

    @property
    def p_corrected(self) -> float:
        """The p value after all pairings (Šidák)."""
        return self.chance.corrected(self.pairings)


@dataclass(frozen=True, slots=True)
class EdgePair:
    """Two edges of different pieces, how they match, and what chance does.

    Attributes:
        match: the registration.
        chance: what marks at heights of chance score on the same edges.
        pairings: how many pairs of edges were tried.
    """

    match: EdgeRegistration
    chance: Chance
    pairings: int

    @property
    def p_corrected(self) -> float:
        """The p value after all pairings (Šidák)."""
        return self.chance.corrected(self.pairings)


def score_faces(
    faces: Sequence[MarkedFace], joint: FaceJoint, runs: ChanceRuns | None = None
) -> tuple[FacePair, ...]:
    """Match every two faces of different elements; least corrected p first, then score."""
    tried = [(a, b) for a, b in combinations(faces, 2) if a.face.element != b.face.element]
    pairs = [
        FacePair(
            register_faces(a, b, joint), chance_of_faces(a, b, joint, runs), len(tried)
        )
        for a, b in tried
    ]
    return tuple(sorted(pairs, key=lambda p: (p.chance.p, -p.match.score)))


def score_edges(
    edges: Sequence[Edge],
    joint: EdgeJoint = ALIGNED,
    heights: Heights = EVEN_HEIGHTS,
    runs: ChanceRuns | None = None,
) -> tuple[EdgePair, ...]:
    """Match every two edges of different pieces; least corrected p first, then score.

    Pairs of which one edge bears no mark that counts are not tried.
    """
    marked = [e for e in edges if any(joint.counts(m) for m in e.marks)]
    tried = [(a, b) for a, b in combinations(marked, 2) if a.piece != b.piece]
    pairs = [
        EdgePair(
            register_edges(a, b, joint, heights),
            chance_of_edges(a, b, joint, heights, runs),
            len(tried),
        )
        for a, b in tried
    ]
    return tuple(sorted(pairs, key=lambda p: (p.chance.p, -p.match.score)))


@dataclass(frozen=True, slots=True)
class PossibleJoint:
    """Two faces or edges that may have met.

    Attributes:
        a: id of one.
        b: id of the other.
        score: log likelihood ratio (natural) of meeting against not meeting; a joint
            with a score of 0 or less is never taken.
        refused: why they cannot have met; empty where they can.
    """

    a: str
    b: str
    score: float
    refused: str = ""


@dataclass(frozen=True, slots=True)
class Joining:
    """A set of joints in which each face or edge meets one other at most."""

    joints: tuple[PossibleJoint, ...]

    @property
    def score(self) -> float:
        """Log likelihood ratio (natural) against nothing having met."""
        return math.fsum(j.score for j in self.joints)


@dataclass(frozen=True, slots=True)
class Joinings:
    """The best sets of joints.

    Attributes:
        best: best first.
        margins_log10: how much better each is than the next, as decimal logarithm.
        decided: whether the first is a hundred times likelier than the second.
        reason: the answer in a sentence.
        agreed: joints in every joining within that margin.
        refused: joints that cannot have been, with their reasons.
    """

    best: tuple[Joining, ...]
    margins_log10: tuple[float, ...]
    decided: bool
    reason: str
    agreed: tuple[tuple[str, str], ...]
    refused: tuple[PossibleJoint, ...]


def best_joinings(possible: Sequence[PossibleJoint], keep: int = 5) -> Joinings:
    """Return the best *keep* sets of joints that go together (branch and bound, exact).

    Raises:
        BadValue: so many joints rival each other that not all sets can be compared.
    """
    usable = sorted(
        (j for j in possible if j.score > 0 and not j.refused),
        key=lambda j: (-j.score, j.a, j.b),
    )
    found = _Branches(usable, max(keep, 2) + 14).run()
    best = [Joining(joints) for _, joints in found]
    scores = [j.score for j in best]
    margins = [(x - y) / math.log(10) for x, y in pairwise([*scores, -math.inf])]
    near = [j for j in best if scores[0] - j.score < DECISIVE_LOG10 * math.log(10)]
    return Joinings(
        best=tuple(best[:keep]),
        margins_log10=tuple(margins[:keep]),
        decided=len(near) == 1 and bool(usable),
        reason=_reason(len(near), bool(usable)),
        agreed=tuple(
            sorted(set.intersection(*({(j.a, j.b) for j in n.joints} for n in near)))
        ),
        refused=tuple(j for j in possible if j.refused),
    )


def _reason(near: int, any_usable: bool) -> str:
    if not any_usable:
        return "The marks speak for no joint."
    if near == 1:
        return "The marks decide for one set of joints."
    return f"These marks do not decide: {near} or more sets of joints do about as well."


@dataclass(slots=True)
class _Branches:
    """Takes or leaves one joint after the other, dropping what cannot be among the best."""

    joints: Sequence[PossibleJoint]
    keep: int
    steps: int = 0
    found: list[tuple[float, tuple[PossibleJoint, ...]]] = field(default_factory=list)

    def run(self) -> list[tuple[float, tuple[PossibleJoint, ...]]]:
        """Return the best sets, best first."""
        self._branch(0, (), 0.0, frozenset())
        return self.found

    def _branch(
        self, at: int, taken: tuple[PossibleJoint, ...], score: float, used: frozenset[str]
    ) -> None:
        self.steps += 1
        if self.steps > MOST_STEPS:
            raise BadValue(
                f"{len(self.joints)} joints rival each other in too many ways; give only"
                " those that chance does not explain, or part of the object."
            )
        if (
            len(self.found) == self.keep
            and score + self._hope(at, used) <= self.found[-1][0]
        ):
            return
        while at < len(self.joints) and {self.joints[at].a, self.joints[at].b} & used:
            at += 1
        if at == len(self.joints):
            self.found.append((score, taken))
            self.found.sort(key=lambda f: -f[0])
            del self.found[self.keep :]
            return
        joint = self.joints[at]
        both = used | {joint.a, joint.b}
        self._branch(at + 1, (*taken, joint), score + joint.score, both)
        self._branch(at + 1, taken, score, used)

    def _hope(self, at: int, used: frozenset[str]) -> float:
        """Return a score that the joints from *at* on cannot exceed."""
        # Each end can at best bring half of its best joint.
        best: dict[str, float] = {}
        for joint in self.joints[at:]:
            if joint.a not in used and joint.b not in used:
                best.setdefault(joint.a, joint.score)
                best.setdefault(joint.b, joint.score)
        return sum(best.values()) / 2
