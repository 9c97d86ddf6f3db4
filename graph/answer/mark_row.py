"""In what order, and how, the leaves of an object stood, by their marks alone.

Each phase is searched by itself. A row is said to be decided only where it is a hundred
times likelier than the next; what the marks leave open is said, and a row that cannot
have been is refused with its reason.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import ClassVar

from ..errors import BadValue
from ..reasoning import (
    ANY_POSE,
    UPRIGHT,
    ChanceRuns,
    Edge,
    EdgeJoint,
    HeightHabit,
    Piece,
    PieceRow,
    Pose,
    RowRules,
    RowSearch,
    Standing,
    chance_of_row,
    judge_row,
    search_rows,
)
from ..reasoning.marks_from_state import ObjectMarks, marks_on
from ..reasoning.match_worth import SIGNIFICANT, word_of_ratio
from ..state import State
from .answer import Answer, Plain, Thing, as_known, thing
from .caution import warnings
from .mark import SetAside, set_aside
from .mark_match import MatchInPhase, PlayedChance
from .match_told import told_edges
from .matching import Looking, phase_filter

__all__ = ["Row", "RowJointTold", "RowsFromMarks", "RowsInPhase", "rows_of"]

KEPT = 4


class RowJointTold(Plain):
    """Two neighbouring edges of a row, and how their marks meet."""

    left: str
    right: str
    met: tuple[tuple[str, str], ...]
    refused: tuple[str, ...]


class Row(Plain):
    """One row, from left to right as one stands before it.

    Attributes:
        order: names of the pieces.
        standing: how each stands, in words.
        margin_log10: how much better it is than the next, as a decimal logarithm of a
            likelihood ratio; None where no other row is left, or it was not compared.
        lonely: marks without a partner in it.
        refused: why it cannot have been; empty where it can.
    """

    words: str
    order: tuple[str, ...]
    standing: tuple[str, ...]
    score: float | None
    margin_log10: float | None
    joints: tuple[RowJointTold, ...]
    lonely: tuple[str, ...]
    refused: tuple[str, ...]


class RowsInPhase(Plain):
    """What the marks of one phase say of the row.

    Attributes:
        decided: whether the best row is a hundred times likelier than the next.
        reason: the answer in a sentence.
        rows: the best few, best first.
        agreed: joints that every good row has.
        refused: joints that cannot have been, with their reasons.
        chance: how often marks set by chance, about where this object bears such marks
            anyway, give a best row as good; the whole search runs on each play of chance.
        joints: the joints of the best row, each matched by itself.
        strength: word for how likely the best row is against the next, and at most what
            the runs of chance allow.
        asked: the row that was asked for; None where none was.
    """

    phase: Thing | None
    kinds: tuple[str, ...]
    decided: bool
    reason: str
    rows: tuple[Row, ...]
    agreed: tuple[tuple[str, str], ...]
    refused: tuple[RowJointTold, ...]
    chance: PlayedChance | None
    significant: bool
    joints: tuple[MatchInPhase, ...]
    strength: str
    asked: Row | None


class RowsFromMarks(Answer):
    """Answer to `vestige arrangements OBJECT --from-marks`."""

    FORM: ClassVar[str] = "vestige.arrangements-from-marks/1"
    about: Thing
    seed: int
    pieces: tuple[str, ...]
    phases: tuple[RowsInPhase, ...]
    set_aside: tuple[SetAside, ...]


@dataclass(frozen=True, slots=True)
class _Search:
    state: State
    found: ObjectMarks
    pieces: Sequence[Piece]
    poses: tuple[Pose, ...]
    asked: Sequence[Standing]
    looking: Looking

    def rules(self, kinds: frozenset[str]) -> RowRules:
        habit = HeightHabit(tuple(self.found.edges.values()))
        folding = (self.found.folding(),)
        return RowRules(EdgeJoint(kinds=kinds), self.poses, folding, habit)


def rows_of(
    state: State,
    object_key: str,
    looking: Looking,
    *,
    any_pose: bool = False,
    row: str = "",
) -> RowsFromMarks:
    """The rows that the marks on left and right edges allow, phase by phase.

    Args:
        state: what is known of the object.
        object_key: its key.
        looking: kinds and phase that count, runs and seed.
        any_pose: pieces may also stand back to front and upside down.
        row: one row to be judged, such as ``"A-C-B-D"``; empty for none.

    Raises:
        BadValue: fewer than two pieces bear marks, too many to compare, or the row asked
            for names other pieces than there are.
        NotRecorded: no mark of the kinds asked for.
    """
    found = marks_on(state, object_key)
    pieces = found.pieces()
    if len(pieces) < 2:
        raise BadValue(
            f"a row needs two pieces or more with a left or right edge on record; "
            f"{state.number(object_key)} has {len(pieces)}"
        )
    asked = _standings(row, [piece.id for piece in pieces]) if row else []
    poses = ANY_POSE if any_pose else (UPRIGHT,)
    search = _Search(state, found, pieces, poses, asked, looking)
    edges = {m.kind for e in found.edges.values() for m in e.marks}
    phases = [
        _in_phase(search, phase, kinds & edges)
        for phase, kinds in phase_filter(found, looking).items()
        if kinds & edges
    ]
    phases.sort(key=lambda one: one.phase.number if one.phase else "")
    return RowsFromMarks(
        form=RowsFromMarks.FORM,
        as_known=as_known(state),
        cautions=warnings(state, object_key),
        about=thing(state, object_key),
        seed=looking.seed,
        pieces=tuple(piece.id for piece in pieces),
        phases=tuple(phases),
        set_aside=set_aside(state, found),
    )


def _standings(row: str, pieces: Sequence[str]) -> list[Standing]:
    """The pieces that a row such as "A-C-B-D" names, longest names first."""
    rest, named = row.strip(), list[str]()
    while rest:
        fitting = [p for p in sorted(pieces, key=len, reverse=True) if rest.startswith(p)]
        if not fitting:
            break
        named.append(fitting[0])
        rest = rest[len(fitting[0]) :].lstrip(" -,")
    if rest or sorted(named) != sorted(pieces):
        there = ", ".join(pieces)
        raise BadValue(
            f"'{row}' is no row of all the pieces; name each once, as in "
            f"{'-'.join(pieces)} (pieces: {there})"
        )
    return [Standing(one) for one in named]


def _in_phase(search: _Search, phase: str | None, kinds: frozenset[str]) -> RowsInPhase:
    rules = search.rules(kinds)
    found = search_rows(search.pieces, rules, keep=KEPT)
    chance = _chance(search, rules, bool(found.best))
    decided = found.decided and chance is not None and chance.p < SIGNIFICANT
    margins = dict(zip(found.best, found.margins_log10, strict=True))
    asked = judge_row(search.pieces, search.asked, rules) if search.asked else None
    return RowsInPhase(
        phase=thing(search.state, phase) if phase else None,
        kinds=tuple(sorted(kinds)),
        decided=decided,
        reason=_reason(found, decided),
        rows=tuple(_row(row, margins[row]) for row in found.best),
        agreed=found.agreed,
        refused=tuple(
            RowJointTold(left=j.left, right=j.right, met=(), refused=j.refused)
            for j in found.refused
        ),
        chance=chance,
        significant=chance is not None and chance.p < SIGNIFICANT,
        joints=_joints(search, found, kinds, phase),
        strength=_strength(found, chance) if decided else "neutral",
        asked=_row(asked, None) if asked else None,
    )


def _chance(search: _Search, rules: RowRules, any_row: bool) -> PlayedChance | None:
    if not any_row:
        return None
    # The whole search runs each time: fewer runs where it has more poses to try.
    count = max(search.looking.runs // (2 if len(search.poses) == 1 else 10), 1)
    runs = ChanceRuns(count, search.looking.seed, enough=20)
    played = chance_of_row(search.pieces, rules, runs)
    return PlayedChance(
        where="marks about where this object bears such marks anyway",
        runs=played.runs,
        as_good=played.as_good,
        p=played.p,
        tried=1,
        p_corrected=played.p,
        seed=runs.seed,
    )


def _reason(found: RowSearch, decided: bool) -> str:
    if found.decided and not decided:
        return f"{found.best[0]} fits best, but chance gives a row as good too often."
    return found.reason


def _strength(found: RowSearch, chance: PlayedChance | None) -> str:
    margin = found.margins_log10[0]
    most = float(chance.runs) if chance else 1.0
    return word_of_ratio(most if math.isinf(margin) else min(10.0**margin, most))


def _row(row: PieceRow, margin: float | None) -> Row:
    return Row(
        words=_words(row),
        order=row.order,
        standing=tuple(str(s.pose) for s in row.standings),
        score=None if math.isinf(row.score) else row.score,
        margin_log10=None if margin is None or math.isinf(margin) else margin,
        joints=tuple(
            RowJointTold(
                left=j.left,
                right=j.right,
                met=tuple((p.a, p.b) for p in j.match.pairs),
                refused=j.refused,
            )
            for j in row.joints
        ),
        lonely=row.lonely,
        refused=row.refused,
    )


def _words(row: PieceRow) -> str:
    """The row as people write it, e.g. "A-B (upside down)-C"."""
    told = []
    for standing in row.standings:
        notes = ["turned"] if standing.pose.turned else []
        notes += ["upside down"] if standing.pose.inverted else []
        told.append(standing.piece + (f" ({', '.join(notes)})" if notes else ""))
    return "-".join(told)


def _joints(
    search: _Search, found: RowSearch, kinds: frozenset[str], phase: str | None
) -> tuple[MatchInPhase, ...]:
    """The joints of the best row, each judged by itself, where all pieces are upright."""
    if not found.best or any(s.pose != UPRIGHT for s in found.best[0].standings):
        return ()
    edges = {edge.id: edge for p in search.pieces for edge in (p.left, p.right)}
    bearing = [e for e in edges.values() if any(m.kind in kinds for m in e.marks)]
    tried = sum(a.piece != b.piece for k, a in enumerate(bearing) for b in bearing[k + 1 :])
    joint = search.looking.edge_joint(kinds)
    habit = HeightHabit(tuple(search.found.edges.values()))
    runs = ChanceRuns(search.looking.runs, search.looking.seed, enough=20)

    def told(left: Edge, right: Edge) -> MatchInPhase:
        asked = (phase, kinds, max(tried, 1))
        one = told_edges(search.state, (left, right), (joint, habit), runs, asked)
        return one.model_copy(update={"how": f"{left.id} with {right.id}"})

    return tuple(told(edges[j.left], edges[j.right]) for j in found.best[0].joints)
