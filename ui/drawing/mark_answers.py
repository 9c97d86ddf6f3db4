"""From answers about marks and arrangements to what is drawn of them."""

from __future__ import annotations

from typing import TYPE_CHECKING

from .arrangement_drawing import (
    ArrangementData,
    ArrangementPiece,
    ArrangementPlace,
    ArrangementState,
)
from .overlay_data import OverlayData, OverlayLineData, OverlayMarkData

if TYPE_CHECKING:
    from collections.abc import Sequence

    from vestige.graph.answer.arrangement import Arrangements
    from vestige.graph.answer.mark_match import Match, MatchInPhase
    from vestige.graph.answer.mark_row import Row, RowsFromMarks, RowsInPhase

__all__ = ["match_data", "rows_data", "states_data"]


def match_data(answer: Match, phase: MatchInPhase) -> OverlayData | None:
    """The picture of a match by the marks of one phase; None where nothing was placed."""
    laid = phase.overlay
    if laid is None:
        return None
    first, second = answer.a.number, answer.b.number
    apart = {p.a: p.residual_mm for p in phase.pairs}
    apart_b = {p.b: p.residual_mm for p in phase.pairs}
    named = phase.phase.label if phase.phase else "phase not recorded"
    p = max((c.p_corrected for c in phase.chances), default=None)
    chance = "" if p is None else f"; chance after all pairings: p {p:.3f}"
    return OverlayData(
        title=f"{first} and {second}, {named}",
        first=first,
        second=second,
        outlines_mm=(laid.outline_a_mm, laid.outline_b_mm),
        marks=tuple(
            OverlayMarkData(
                first=m.face == first,
                number=m.mark,
                kind=m.kind,
                at_mm=(m.x_mm, m.y_mm),
                fate=m.fate,
                partner=m.partner,
                residual_mm=(apart if m.face == first else apart_b).get(m.mark),
            )
            for m in laid.marks
        ),
        lines=tuple(
            OverlayLineData(
                one.face == first, one.line, one.kind, one.points_mm, one.closed
            )
            for one in laid.lines
        ),
        notes=(f"{first}: {phase.how}.", f"{phase.conclusion.capitalize()}{chance}."),
        edges=answer.sort == "edge",
        mirrored=bool(phase.mirrored),
    )


def rows_data(answer: RowsFromMarks) -> ArrangementData:
    """One row of leaves for each phase, as its marks have it; a refused row beside."""
    states: list[ArrangementState] = []
    for phase in answer.phases:
        rows = [row for row in phase.rows[:1] if not row.refused]
        states += [_row_state(phase, row, rival=False) for row in rows]
        near = [row for row in phase.rows[1:] if _near(phase, row)]
        states += [_row_state(phase, row, rival=True) for row in near]
    pieces = tuple(ArrangementPiece(name, name) for name in answer.pieces)
    return ArrangementData(
        f"{answer.about.number}: rows of pieces by their marks", pieces, tuple(states)
    )


def _near(phase: RowsInPhase, row: Row) -> bool:
    best = phase.rows[0].score
    if phase.decided or best is None or row.score is None:
        return False
    # A hundred times less likely is no rival: ln 100.
    return best - row.score < 4.6


def _row_state(phase: RowsInPhase, row: Row, *, rival: bool) -> ArrangementState:
    named = phase.phase.label if phase.phase else "phase not recorded"
    key = phase.phase.key if phase.phase else "no phase"
    return ArrangementState(
        key=f"{key} {row.words}",
        label=named,
        when=", ".join(phase.kinds),
        places=tuple(
            ArrangementPlace(name, "" if stands == "front forward, upright" else stands)
            for name, stands in zip(row.order, row.standing, strict=True)
        ),
        strength=phase.strength if phase.decided else "these marks do not decide",
        joints=tuple(_meet(len(joint.met)) for joint in row.joints),
        rival=rival,
    )


def _meet(count: int) -> str:
    return f"{count} meet" if count else "none meet"


def states_data(answer: Arrangements) -> ArrangementData | None:
    """The best supported account of each phase; None where none lists its pieces."""
    from vestige.graph.answer.arrangement_change import read_arrangement

    states: list[ArrangementState] = []
    names: dict[str, str] = {}
    for stage in answer.stages:
        told = [one for one in stage.accounts if one.speaks_for]
        first = True
        for account in told:
            read = read_arrangement(account.words)
            if read is None:
                continue
            names |= {one.name.casefold(): one.name for one in read}
            places = tuple(
                ArrangementPlace(one.name.casefold(), ", ".join(sorted(one.notes)))
                for one in read
            )
            states.append(
                ArrangementState(
                    key=f"{stage.phase.key if stage.phase else 'no phase'} {account.words}",
                    label=stage.phase.label if stage.phase else "phase not recorded",
                    when="",
                    places=places,
                    strength=account.strength or "",
                    basis=tuple(one.number for one in account.speaks_for),
                    rival=not first,
                )
            )
            first = False
    if not states:
        return None
    pieces = tuple(ArrangementPiece(key, name) for key, name in sorted(names.items()))
    full = [_with_away(state, tuple(names)) for state in states]
    title = f"{answer.about.number}: how its parts stood"
    return ArrangementData(title, pieces, tuple(full))


def _with_away(state: ArrangementState, names: Sequence[str]) -> ArrangementState:
    """The same state, with the pieces that it does not name."""
    from dataclasses import replace

    here = {place.piece for place in state.places}
    return replace(state, away=tuple(sorted(set(names) - here)))
