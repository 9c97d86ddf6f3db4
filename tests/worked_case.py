"""Cases written by hand, invented, for the tests of the assessment."""

from dataclasses import replace

import numpy as np
import numpy.typing as npt

from vestige.graph.reasoning import (
    Assessment,
    AssessmentModel,
    Case,
    CaseClaim,
    CasePhase,
    CaseSource,
    Thing,
    ThingKind,
)
from vestige.graph.record import Relation, SourceKind, Span

PART, FIXING, LAYER = ThingKind.PART, ThingKind.FIXING, ThingKind.LAYER

FIVE_PHASES = (
    CasePhase("P1", "making", Span.MAKING),
    CasePhase("P2", "use in the family", Span.USE),
    CasePhase("P3", "dealer's restoration", Span.TRADE),
    CasePhase("P4", "museum", Span.MUSEUM),
    CasePhase("P5", "present treatment", Span.TREATMENT),
)
THREE_PHASES = (FIVE_PHASES[0], FIVE_PHASES[1], FIVE_PHASES[3])


def refixed_object() -> Case:
    """A sound examiner, five original parts refixed later, three never touched.

    The case of REASONING section 10 in the words of this test: the examiner says that the
    parts are as made and that the fixings of five of them are not, and sees everything
    before the present treatment begins. Nothing tells use-life from restoration.
    """
    things = [Thing("body", PART, core=True)]
    claims: list[CaseClaim] = []

    def say(relation: Relation, subject: str, strength: str, **more: object) -> None:
        claim = CaseClaim(f"c{len(claims):02d}", "examiner", relation, subject)
        claims.append(replace(claim, strength=strength, **more))  # type: ignore[arg-type]

    for number in range(8):
        rib, tie = f"rib {number}", f"tie {number}"
        things += [Thing(rib, PART, held_by=(tie,), touches=("body",)), Thing(tie, FIXING)]
        say(Relation.AS_MADE, rib, "moderate")
        say(Relation.BELONGS_TO, tie, "strong", phase="P1", against=number < 5)
        for seen in (rib, tie):
            say(Relation.SEEN_BY, seen, "decisive", phase="P3")
    source = CaseSource("examiner", SourceKind.EXAMINATION)
    return Case(FIVE_PHASES, tuple(things), (source,), tuple(claims))


def single_part(*claims: CaseClaim, kind: SourceKind = SourceKind.EXAMINATION) -> Case:
    """One part, three phases, every claim by its own source of one kind."""
    sources = tuple(CaseSource(claim.source, kind) for claim in claims)
    return Case(THREE_PHASES, (Thing("lid", PART),), sources, claims)


def small_quarrel() -> Case:
    """A lid held by a screw, a paint over both; a bill and an examination disagree."""
    things = (
        Thing("lid", PART, held_by=("screw",), touches=("paint",)),
        Thing("screw", FIXING),
        Thing("paint", LAYER),
    )
    sources = (
        CaseSource("bill", SourceKind.DEALER),
        CaseSource("look", SourceKind.EXAMINATION),
    )
    claims = (
        CaseClaim("b1", "bill", Relation.AS_MADE, "lid", act="bill"),
        CaseClaim("b2", "bill", Relation.AS_MADE, "paint", act="bill"),
        CaseClaim(
            "l1", "look", Relation.BELONGS_TO, "screw", phase="P2", strength="strong"
        ),
        CaseClaim("l2", "look", Relation.LIES_OVER, "paint", other="screw"),
        CaseClaim("l3", "look", Relation.MADE_IN, "lid", phase="P2", strength="weak"),
    )
    return Case(THREE_PHASES, things, sources, claims)


def enumerated(model: AssessmentModel) -> tuple[npt.NDArray[np.float64], float]:
    """The whole joint distribution, cell by cell, and the logarithm of its sum."""
    graph = model.graph
    joint = np.ones(graph.cards)
    for scope, table in zip(graph.scopes, graph.tables, strict=True):
        order = sorted(range(len(scope)), key=lambda axis: scope[axis])
        shape = [1] * len(graph.cards)
        for variable in scope:
            shape[variable] = graph.cards[variable]
        joint = joint * table.transpose(order).reshape(shape)
    total = float(joint.sum())
    return joint / total, float(np.log(total))


def marginal_of(joint: npt.NDArray[np.float64], *variables: int) -> npt.NDArray[np.float64]:
    """Sum out everything but the variables named; axes in the order named."""
    rest = tuple(axis for axis in range(joint.ndim) if axis not in variables)
    summed = joint.sum(axis=rest)
    order = np.argsort(np.argsort(variables))
    found: npt.NDArray[np.float64] = summed.transpose(order)
    return found


def original(assessment: Assessment, thing: str) -> float:
    """P(made in the first phase)."""
    return float(assessment.beliefs[thing][1].sum())


def later_by_phase(assessment: Assessment, thing: str) -> list[float]:
    return [float(share) for share in assessment.beliefs[thing].sum(axis=0)]
