"""Match faces or edges of an object by their marks, phase by phase.

Where nobody says how many pairings were looked at, p is corrected for all pairs of faces
(or edges) of the object that bear marks of that phase: who names a pair has as a rule
seen the others.
"""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import combinations

from ..errors import BadValue, NotRecorded
from ..reasoning import (
    ALIGNED,
    ANYWHERE,
    ChanceRuns,
    Edge,
    EdgeJoint,
    FaceJoint,
    HeightHabit,
    MarkedFace,
    MatchOutcome,
    Mirror,
    PossibleJoint,
    best_joinings,
)
from ..reasoning.marks_from_state import ObjectMarks, marks_on
from ..record import Face
from ..state import State
from .answer import as_known, thing
from .caution import warnings
from .mark import set_aside
from .mark_match import Joint, Match, Matches, MatchInPhase, PhaseJoints
from .match_told import told_edges, told_faces

Group = Mapping[str, MarkedFace] | Mapping[str, Edge]

__all__ = ["Looking", "match_of", "matches_of", "phase_filter"]


@dataclass(frozen=True, slots=True)
class Looking:
    """What is to be tried.

    Attributes:
        kinds: kinds of mark that count, as written; empty for all.
        phase: key of the phase whose marks count; None for each phase by itself.
        mirror: whether one face lies on the other in mirror image.
        turns_deg: turns that the joint of two faces allows; empty for any.
        anywhere: edges may be shifted along each other; else their lower ends are level.
        flips: an edge may stand upside down.
        runs: runs of chance for edges; for faces a fifth of them, since they take longer.
        seed: seed of all runs.
        tried: pairings that were looked at; None for all of the object.
    """

    kinds: frozenset[str] = frozenset()
    phase: str | None = None
    mirror: Mirror = Mirror.EITHER
    turns_deg: tuple[float, ...] = ()
    anywhere: bool = False
    flips: bool = False
    runs: int = 999
    seed: int = 0
    tried: int | None = None

    @property
    def face_joint(self) -> FaceJoint:
        """What the joint of two faces allows."""
        return FaceJoint(mirror=self.mirror, turns_deg=self.turns_deg)

    def edge_joint(self, kinds: frozenset[str]) -> EdgeJoint:
        """What the joint of two edges allows, for marks of these kinds."""
        base = ANYWHERE if self.anywhere else ALIGNED
        flips = (False, True) if self.flips else (False,)
        return replace(base, flips=flips, kinds=kinds, same_side=True)


def phase_filter(found: ObjectMarks, looking: Looking) -> dict[str | None, frozenset[str]]:
    """Names of the kinds that count, by phase.

    Raises:
        NotRecorded: no mark of the object is of these kinds or of this phase.
    """
    by_phase: dict[str | None, set[str]] = {}
    for kind in found.kinds.values():
        if looking.kinds and not {kind.what, kind.name} & looking.kinds:
            continue
        if looking.phase is None or looking.phase == kind.phase:
            by_phase.setdefault(kind.phase, set()).add(kind.name)
    if not by_phase:
        there = ", ".join(found.kinds) or "no mark at all"
        raise NotRecorded(f"no mark is of that kind and phase; recorded are: {there}")
    return {phase: frozenset(names) for phase, names in by_phase.items()}


def match_of(
    state: State, object_key: str, pair: tuple[str, str], looking: Looking
) -> Match:
    """How two faces or two edges of an object match.

    Args:
        state: what is known of the object.
        object_key: its key.
        pair: keys of the faces or edges; the first is laid on the second.
        looking: what is to be tried.

    Raises:
        BadValue: a face and an edge, or one and the same.
        NotRecorded: a face that cannot be used, or no mark of the kinds asked for.
    """
    found = marks_on(state, object_key)
    a, b = (_usable(state, found, key) for key in pair)
    if pair[0] == pair[1]:
        raise BadValue(f"{state.number(pair[0])} cannot be matched with itself")
    one = _OnePair(state, found, looking)
    if isinstance(a, Edge) and isinstance(b, Edge):
        phases = [one.edges(a, b, kinds, phase) for phase, kinds in one.shared(a, b)]
    elif isinstance(a, MarkedFace) and isinstance(b, MarkedFace):
        phases = [one.faces(a, b, kinds, phase) for phase, kinds in one.shared(a, b)]
    else:
        names = [state.label(key) for key in pair]
        raise BadValue(
            f"{names[0]} and {names[1]} are a face and an edge: match faces with faces and "
            "edges with edges; lines that run out over an edge count there too"
        )
    return Match(
        form=Match.FORM,
        as_known=as_known(state),
        cautions=warnings(state, object_key),
        about=thing(state, object_key),
        a=thing(state, pair[0]),
        b=thing(state, pair[1]),
        sort="edge" if isinstance(a, Edge) else "face",
        seed=looking.seed,
        phases=tuple(phases),
    )


def matches_of(state: State, object_key: str, looking: Looking) -> Matches:
    """How every two faces, and every two edges, of different pieces match.

    Raises:
        NotRecorded: no marks, or none of the kinds asked for.
    """
    found = marks_on(state, object_key)
    pairs = _OnePair(state, found, looking)
    tried = pairs.all_pairs()
    looking = replace(looking, tried=looking.tried or max(len(tried), 1))
    pairs = _OnePair(state, found, looking)
    joints = [
        Joint(a=thing(state, a), b=thing(state, b), match=pairs.brief(a, b, kinds, phase))
        for a, b, phase, kinds in tried
    ]
    joints.sort(key=_surest)
    return Matches(
        form=Matches.FORM,
        as_known=as_known(state),
        cautions=warnings(state, object_key),
        about=thing(state, object_key),
        seed=looking.seed,
        tried=looking.tried or 0,
        joints=tuple(joints),
        together=tuple(_together(joints)),
        set_aside=set_aside(state, found),
    )


def _surest(joint: Joint) -> tuple[float, float, str, str]:
    p = max((one.p_corrected for one in joint.match.chances), default=1.0)
    return p, -joint.match.score, joint.a.number, joint.b.number


def _together(joints: Sequence[Joint]) -> Iterator[PhaseJoints]:
    phases = {j.match.phase.key if j.match.phase else "": j.match.phase for j in joints}
    for key, phase in sorted(phases.items()):
        possible = [
            PossibleJoint(j.a.number, j.b.number, j.match.score)
            for j in joints
            if (j.match.phase.key if j.match.phase else "") == key
            and j.match.outcome != MatchOutcome.NOT_IDENTIFIABLE
            and j.match.significant
        ]
        best = best_joinings(possible)
        yield PhaseJoints(
            phase=phase,
            decided=best.decided,
            reason=best.reason,
            best=tuple((j.a, j.b) for j in best.best[0].joints),
            agreed=best.agreed,
        )


def _usable(state: State, found: ObjectMarks, key: str) -> MarkedFace | Edge:
    state.record(key, Face)
    if key in found.set_aside:
        raise NotRecorded(f"{state.label(key)} cannot be used: {found.set_aside[key]}")
    got = found.faces.get(key) or found.edges.get(key)
    if got is None:
        raise NotRecorded(f"{state.label(key)} is no face of this object")
    return got


def _kinds_on(one: MarkedFace | Edge) -> set[str]:
    if isinstance(one, Edge):
        return {mark.kind for mark in one.marks}
    return {mark.kind for mark in one.points}


def _only(face: MarkedFace, kinds: frozenset[str]) -> MarkedFace:
    marks = tuple(m for m in face.marks if m.kind in kinds)
    return MarkedFace(face.face, marks, tuple(n for n in face.lines if n.kind in kinds))


class _OnePair:
    """Matches pairs of one object, phase by phase."""

    def __init__(self, state: State, found: ObjectMarks, looking: Looking) -> None:
        self.state, self.found, self.looking = state, found, looking
        self.by_phase = phase_filter(found, looking)
        self.habit = HeightHabit(tuple(found.edges.values()))

    def shared(
        self, a: MarkedFace | Edge, b: MarkedFace | Edge
    ) -> list[tuple[str | None, frozenset[str]]]:
        """Phases of which both bear marks, with the kinds that count; else all asked."""
        on = [_kinds_on(one) for one in (a, b)]
        both = [
            (phase, kinds)
            for phase, kinds in self.by_phase.items()
            if all(kinds & some for some in on)
        ]
        return both or list(self.by_phase.items())

    def all_pairs(self) -> list[tuple[str, str, str | None, frozenset[str]]]:
        """Every two faces or edges of different pieces that bear marks of one phase."""
        return [
            (a, b, phase, kinds)
            for group in (self.found.faces, self.found.edges)
            for phase, kinds in self.by_phase.items()
            for a, b in combinations(self._bearing(group, kinds), 2)
            if self.found.piece_of[a] != self.found.piece_of[b]
        ]

    def _bearing(self, group: Group, kinds: frozenset[str]) -> list[str]:
        bearing = (key for key, one in group.items() if _kinds_on(one) & kinds)
        return sorted(bearing, key=self.state.number)

    def _tried(self, group: Group, kinds: frozenset[str]) -> int:
        if self.looking.tried is not None:
            return self.looking.tried
        pieces = [self.found.piece_of[key] for key in self._bearing(group, kinds)]
        return max(sum(a != b for a, b in combinations(pieces, 2)), 1)

    def edges(
        self, a: Edge, b: Edge, kinds: frozenset[str], phase: str | None
    ) -> MatchInPhase:
        """Match two edges by the marks of one phase."""
        return told_edges(
            self.state,
            (a, b),
            (self.looking.edge_joint(kinds), self.habit),
            self._runs(self.looking.runs),
            (phase, kinds, self._tried(self.found.edges, kinds)),
        )

    def faces(
        self, a: MarkedFace, b: MarkedFace, kinds: frozenset[str], phase: str | None
    ) -> MatchInPhase:
        """Match two faces by the marks of one phase."""
        return told_faces(
            self.state,
            (_only(a, kinds), _only(b, kinds)),
            self.looking.face_joint,
            self._runs(max(self.looking.runs // 5, 1)),
            (phase, kinds, self._tried(self.found.faces, kinds)),
        )

    def brief(
        self, a: str, b: str, kinds: frozenset[str], phase: str | None
    ) -> MatchInPhase:
        """Match two faces or edges, by their keys, without the picture."""
        if a in self.found.edges:
            edges = self.found.edges
            told = self.edges(edges[a], edges[b], kinds, phase)
        else:
            faces = self.found.faces
            told = self.faces(faces[a], faces[b], kinds, phase)
        return told.model_copy(update={"overlay": None})

    def _runs(self, count: int) -> ChanceRuns:
        return ChanceRuns(count, seed=self.looking.seed, enough=20)
