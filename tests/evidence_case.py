"""A small case on which single claims are weighed, all invented."""

from dataclasses import replace

import numpy as np
import numpy.typing as npt

from vestige.graph.reasoning import (
    Case,
    CaseClaim,
    CasePhase,
    CaseSource,
    Evidence,
    PhaseDates,
    Thing,
    ThingKind,
    weigh,
)
from vestige.graph.record import Relation, Span

PHASES = (
    CasePhase("P1", "making", Span.MAKING, (1770, 1772), (1790, 1791)),
    CasePhase("P2", "use", Span.USE),
    CasePhase("P3", "trade", Span.TRADE, (1890, 1895)),
    CasePhase("P4", "museum", Span.MUSEUM, (1931, 1932)),
)
THINGS = (
    Thing("board", ThingKind.PART),
    Thing("nail", ThingKind.FIXING),
    Thing("paint", ThingKind.LAYER),
    Thing("varnish", ThingKind.LAYER),
    Thing("wear", ThingKind.FEATURE),
)
SOURCES = (CaseSource("look"), CaseSource("card"), CaseSource("book"))
STRONG = 316.0


def case_of(*claims: CaseClaim, sources: tuple[CaseSource, ...] = SOURCES) -> Case:
    return Case(PHASES, THINGS, sources, claims, present=2020)


def says(relation: Relation, subject: str, **more: object) -> CaseClaim:
    return replace(CaseClaim("c", "look", relation, subject), **more)  # type: ignore[arg-type]


def table(claim: CaseClaim, odds: float = STRONG, batch: float = 0.5) -> Evidence:
    case = case_of(claim)
    found = weigh(claim, case, odds, batch, PhaseDates(PHASES, 2020))
    assert found is not None
    return found


def sound(claim: CaseClaim, odds: float = STRONG) -> npt.NDArray[np.float64]:
    return table(claim, odds).sound


ORIGINAL = CaseClaim("a", "book", Relation.AS_MADE, "board")
