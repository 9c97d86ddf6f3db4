"""What would be recorded of a match: a source that is a computation, and its claim.

A computed thing never enters silently: the source says how it was computed, with seed and
parameters, and is a copy of the sources that measured the marks, so that it adds nothing
to what those say of the same thing themselves. Marks of one phase show that two elements
stood against each other in it; marks without a phase (a crack, a painted line) match.
"""

from collections.abc import Mapping
from dataclasses import dataclass

from ..errors import Refused
from ..reasoning.marks_from_state import MarkKind, marks_on
from ..record import (
    Claim,
    Face,
    Hand,
    Relation,
    Source,
    SourceKind,
    Stance,
    Strength,
)
from ..state import State
from .answer import Thing
from .mark_match import Match, MatchInPhase
from .mark_row import RowsFromMarks, RowsInPhase

__all__ = ["Computed", "claims_of_match", "claims_of_rows"]


@dataclass(frozen=True, slots=True)
class Computed:
    """A claim and the source that it rests on.

    Attributes:
        source: the computation; its number is the claim's with "C" before it.
        claim: what it says; whoever records both names the source's key in it.
    """

    source: Source
    claim: Claim


def claims_of_match(state: State, match: Match, by: str) -> tuple[Computed, ...]:
    """The claims that a match supports, one for each phase in which the two match.

    Raises:
        Refused: in no phase do they; the sentence says what each came to.
    """
    held = [one for one in match.phases if one.conclusion == "they match"]
    if not held:
        told = "; ".join(f"{_phase(one.phase)}: {one.conclusion}" for one in match.phases)
        raise Refused(f"there is nothing to record of {match.a.number}: {told}")
    elements = [state.record(one.key, Face).element for one in (match.a, match.b)]
    known = marks_on(state, match.about.key).kinds
    return tuple(
        Computed(
            source=_source(
                f"{match.a.number}+{match.b.number}",
                one.phase,
                f"marks of {match.a.number} and {match.b.number} matched",
                _sources(state, known, one.kinds),
                by,
            ),
            claim=Claim(
                number=_number(f"{match.a.number}+{match.b.number}", one.phase),
                about=elements[0],
                relation=Relation.STOOD_AGAINST if one.phase else Relation.MATCHES,
                other=elements[1],
                phase=one.phase.key if one.phase else None,
                strength=Strength(one.strength),
                stance=Stance.FOR,
                method="computed from marks",
                by=by,
                spot=f"{match.a.number} with {match.b.number}",
                note=_told(match, one),
            ),
        )
        for one in held
    )


def claims_of_rows(state: State, rows: RowsFromMarks, by: str) -> tuple[Computed, ...]:
    """The claims that the rows support, one for each phase in which marks decide.

    Raises:
        Refused: in no phase do they; the sentence says what each came to.
    """
    held = [one for one in rows.phases if one.decided]
    if not held:
        told = "; ".join(f"{_phase(one.phase)}: {one.reason}" for one in rows.phases)
        raise Refused(f"there is nothing to record of {rows.about.number}: {told}")
    known = marks_on(state, rows.about.key).kinds
    return tuple(
        Computed(
            source=_source(
                f"{rows.about.number} row",
                one.phase,
                f"row of {rows.about.number} computed from marks",
                _sources(state, known, one.kinds),
                by,
            ),
            claim=Claim(
                number=_number(f"{rows.about.number} row", one.phase),
                about=rows.about.key,
                relation=Relation.ARRANGED,
                value=one.rows[0].words,
                phase=one.phase.key if one.phase else None,
                strength=Strength(one.strength),
                stance=Stance.FOR,
                method="computed from marks",
                by=by,
                note=_told_row(rows, one),
            ),
        )
        for one in held
    )


def _source(
    what: str, phase: Thing | None, name: str, copies: tuple[str, ...], by: str
) -> Source:
    return Source(
        number=f"C {_number(what, phase)}",
        name=f"{name}, {_phase(phase)}",
        sort=SourceKind.COMPUTATION,
        by=by,
        hand=Hand.FIRST,
        copies=copies,
    )


def _number(what: str, phase: Thing | None) -> str:
    return f"{what}/{phase.number.rsplit('/', 1)[-1] if phase else 'no phase'}"


def _phase(phase: Thing | None) -> str:
    return phase.label if phase else "no phase recorded"


def _sources(
    state: State, known: Mapping[str, MarkKind], kinds: tuple[str, ...]
) -> tuple[str, ...]:
    """Sources of the marks of these kinds, of those known on an object."""
    found = {source for name in kinds for source in known[name].sources}
    return tuple(sorted(found & {key for key, _ in state.all_of(Source)}))


def _told(match: Match, one: MatchInPhase) -> str:
    met = "; ".join(f"{p.a} with {p.b} ({p.residual_mm:.1f} mm)" for p in one.pairs)
    lonely = ", ".join((*one.lonely_a, *one.lonely_b)) or "none"
    chance = "; ".join(
        f"{c.where}: p {c.p:.4f} in {c.runs} runs, {c.p_corrected:.4f} after {c.tried} "
        "pairings"
        for c in one.chances
    )
    return (
        f"{match.a.number} on {match.b.number}: {one.how}. Meet: {met}. Should have met "
        f"and did not: {lonely}. Chance ({chance}; seed {match.seed}). Likelihood ratio "
        f"{one.ratio or 0:.1f} after the pairings. Kinds: {', '.join(one.kinds)}."
    )


def _told_row(rows: RowsFromMarks, one: RowsInPhase) -> str:
    best = one.rows[0]
    margin = (
        "no other row is possible"
        if best.margin_log10 is None
        else f"10^{best.margin_log10:.1f} times likelier than the next row"
    )
    chance = one.chance
    told = f" p {chance.p:.4f} in {chance.runs} runs, {chance.where}." if chance else ""
    met = "; ".join(f"{j.left} with {j.right}: {len(j.met)}" for j in best.joints)
    return (
        f"{best.words}: {margin}.{told} Seed {rows.seed}. Marks that meet: {met}. "
        f"Kinds: {', '.join(one.kinds)}."
    )
