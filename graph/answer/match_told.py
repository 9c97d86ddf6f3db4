"""A registration and its worth, told as plain data with the numbers people know."""

from collections.abc import Sequence

from ..reasoning import (
    ChanceRuns,
    Edge,
    EdgeJoint,
    EdgeRegistration,
    FaceJoint,
    Heights,
    MarkedFace,
    MarkPair,
    MatchOutcome,
    Registration,
    ScoredPlacement,
    overlay,
    register_edges,
    register_faces,
)
from ..reasoning.edge_registration import as_stood
from ..reasoning.match_worth import MatchWorth, worth_of_edges, worth_of_faces
from ..reasoning.overlay import Fate
from ..state import State
from .answer import Thing, thing
from .mark_match import (
    DrawnLine,
    DrawnMark,
    MatchInPhase,
    MetPair,
    Overlaid,
    PlayedChance,
    Rival,
)

__all__ = ["Asked", "told_edges", "told_faces"]

Asked = tuple[str | None, frozenset[str], int]
"""Phase, kinds that count, and how many pairings were tried."""

EDGE_WIDTH_MM = 40.0
"""Width at which an edge is drawn; it has none."""


def told_faces(
    state: State,
    pair: tuple[MarkedFace, MarkedFace],
    joint: FaceJoint,
    runs: ChanceRuns,
    asked: Asked,
) -> MatchInPhase:
    """Match two faces by their marks of one phase."""
    a, b = pair
    match = register_faces(a, b, joint, runs.seed)
    common = _common(state, asked, str(match.outcome), match.reason)
    if match.best is None:
        return common
    kinds = {one.id: one.kind for one in a.points}
    update: dict[str, object] = {
        "how": _how(match.best),
        "mirrored": match.best.placement.mirrored,
        "turn_deg": match.best.placement.angle_deg,
        "shift_mm": match.best.placement.shift_mm,
        "pairs": _met(match.best.pairs, kinds),
        "rms_mm": match.best.rms_mm,
        "lonely_a": match.lonely_a,
        "lonely_b": match.lonely_b,
        "score": match.score,
        "rivals": _rivals(match),
        "overlay": _overlaid(pair, match),
    }
    if match.outcome is not MatchOutcome.NOT_IDENTIFIABLE:
        update |= _worth(worth_of_faces(a, b, joint, runs, asked[2]), runs.seed)
    return common.model_copy(update=update)


def told_edges(
    state: State,
    pair: tuple[Edge, Edge],
    how: tuple[EdgeJoint, Heights],
    runs: ChanceRuns,
    asked: Asked,
) -> MatchInPhase:
    """Match two edges by their marks of one phase."""
    a, b = pair
    joint, habit = how
    match = register_edges(a, b, joint, habit)
    kinds = {one.id: one.kind for one in a.marks}
    update: dict[str, object] = {
        "how": _stands(match, joint),
        "shift_mm": (match.offset_mm,),
        "upside_down": match.flipped,
        "pairs": _met(match.pairs, kinds),
        "rms_mm": _rms(match.pairs),
        "lonely_a": match.lonely_a,
        "lonely_b": match.lonely_b,
        "score": match.score,
        "overlay": _beside(pair, match, joint),
    }
    if match.runner_up_share:
        other = "another offset or upside down"
        update["rivals"] = (Rival(how=other, share=match.runner_up_share),)
    if match.outcome is not MatchOutcome.NOT_IDENTIFIABLE:
        update |= _worth(worth_of_edges(a, b, joint, habit, runs, asked[2]), runs.seed)
    common = _common(state, asked, str(match.outcome), match.reason)
    return common.model_copy(update=update)


def _common(state: State, asked: Asked, outcome: str, reason: str) -> MatchInPhase:
    phase: Thing | None = thing(state, asked[0]) if asked[0] else None
    return MatchInPhase(
        phase=phase, kinds=tuple(sorted(asked[1])), outcome=outcome, reason=reason
    )


def _worth(worth: MatchWorth, seed: int) -> dict[str, object]:
    return {
        "chances": tuple(
            PlayedChance(
                where=where,
                runs=chance.runs,
                as_good=chance.as_good,
                p=chance.p,
                tried=worth.pairings,
                p_corrected=chance.corrected(worth.pairings),
                seed=seed,
            )
            for where, chance in worth.chances
        ),
        "significant": worth.significant,
        "ratio": worth.ratio,
        "strength": worth.strength,
    }


def _met(pairs: Sequence[MarkPair], kinds: dict[str, str]) -> tuple[MetPair, ...]:
    return tuple(
        MetPair(a=p.a, b=p.b, kind=kinds[p.a], residual_mm=p.residual_mm) for p in pairs
    )


def _rms(pairs: Sequence[MarkPair]) -> float | None:
    if not pairs:
        return None
    return float((sum(p.residual_mm**2 for p in pairs) / len(pairs)) ** 0.5)


def _how(found: ScoredPlacement) -> str:
    placed = found.placement
    mirror = "in mirror image, " if placed.mirrored else "not mirrored, "
    x, y = placed.shift_mm
    return f"{mirror}turned {placed.angle_deg:.1f}°, its corner at ({x:.1f}, {y:.1f}) mm"


def _rivals(match: Registration) -> tuple[Rival, ...]:
    rivals = match.rivals or ((match.runner_up,) if match.runner_up else ())
    return tuple(Rival(how=_how(r), share=r.score / match.score) for r in rivals)


def _stands(match: EdgeRegistration, joint: EdgeJoint) -> str:
    if not match.pairs:
        return ""
    how = "upside down" if match.flipped else "upright"
    level = "lower ends level" if joint.fixed else f"raised by {match.offset_mm:.1f} mm"
    return f"{how}, {level}"


def _overlaid(pair: tuple[MarkedFace, MarkedFace], match: Registration) -> Overlaid | None:
    laid = overlay(*pair, match)
    if laid is None:
        return None
    return Overlaid(
        outline_a_mm=laid.outline_a_mm,
        outline_b_mm=laid.outline_b_mm,
        marks=tuple(
            DrawnMark(
                face=m.face,
                mark=m.mark,
                kind=m.kind,
                x_mm=m.at_mm[0],
                y_mm=m.at_mm[1],
                size_mm=m.size_mm,
                fate=str(m.fate),
                partner=m.partner,
            )
            for m in laid.marks
        ),
        lines=tuple(
            DrawnLine(
                face=one.face,
                line=one.line,
                kind=one.kind,
                points_mm=one.points_mm,
                closed=one.closed,
            )
            for one in laid.lines
        ),
    )


def _beside(pair: tuple[Edge, Edge], match: EdgeRegistration, joint: EdgeJoint) -> Overlaid:
    """Two edges beside each other, as heights above the lower end of b."""
    a, b = as_stood(pair[0], match.flipped), pair[1]
    partners = ({p.a: p.b for p in match.pairs}, {p.b: p.a for p in match.pairs})
    lonely = (set(match.lonely_a), set(match.lonely_b))
    shift = (match.offset_mm, 0.0)
    marks = []
    for k, edge in enumerate((a, b)):
        for m in (one for one in edge.marks if joint.counts(one)):
            fate = Fate.LONELY if m.id in lonely[k] else Fate.OUTSIDE
            marks.append(
                DrawnMark(
                    face=edge.id,
                    mark=m.id,
                    kind=m.kind,
                    x_mm=k * EDGE_WIDTH_MM,
                    y_mm=m.height_mm + shift[k],
                    size_mm=m.size_mm,
                    fate=str(Fate.MET if m.id in partners[k] else fate),
                    partner=partners[k].get(m.id, ""),
                )
            )
    ends = [
        ((k * EDGE_WIDTH_MM, shift[k]), (k * EDGE_WIDTH_MM, shift[k] + edge.length_mm))
        for k, edge in enumerate((a, b))
    ]
    return Overlaid(outline_a_mm=ends[0], outline_b_mm=ends[1], marks=tuple(marks))
