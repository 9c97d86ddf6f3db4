"""A layer's contact with what it lies on says nothing of when it came."""

import pytest

from vestige.graph.reasoning import (
    Case,
    CaseClaim,
    CasePhase,
    CaseSource,
    Thing,
    ThingKind,
    assess,
    verdicts,
)
from vestige.graph.record import Relation, SourceKind, Span

PHASES = (
    CasePhase("P1", "making", Span.MAKING, (1770, 1771), (1790, 1791)),
    CasePhase("P2", "museum", Span.MUSEUM, (1950, 1951), (None, None)),
)


def coated(layers: int, *, touching: bool) -> Case:
    """A body with layers one over the other, every third dated 1955 or later."""
    touches = ("body",) if touching else ()
    names = [f"L{one}" for one in range(layers)]
    things = [Thing(name, ThingKind.LAYER, touches=touches) for name in names]
    below = ["paint", *names]
    claims = [
        CaseClaim(f"over {name}", "look", Relation.LIES_OVER, name, other=below[place],
                  strength="strong")
        for place, name in enumerate(names)
    ]  # fmt: skip
    claims += [
        CaseClaim(f"date {name}", "look", Relation.NOT_BEFORE, name, years=(1955, None),
                  strength="strong")
        for name in names[::3]
    ]  # fmt: skip
    body = (Thing("body", ThingKind.PART, core=True), Thing("paint", ThingKind.LAYER))
    look = CaseSource("look", SourceKind.EXAMINATION)
    return Case(PHASES, (*body, *things), (look,), tuple(claims), present=2026)


@pytest.mark.parametrize("layers", [1, 3, 12])
def test_touching_the_body_does_not_make_a_dated_layer_older(layers: int) -> None:
    touching = assess(coated(layers, touching=True)).beliefs["L0"]
    apart = assess(coated(layers, touching=False)).beliefs["L0"]
    assert touching == pytest.approx(apart, abs=1e-12)


@pytest.mark.parametrize("layers", [1, 3, 12])
def test_a_dated_layer_is_never_called_original(layers: int) -> None:
    assessment = assess(coated(layers, touching=True))
    first = next(one for one in verdicts(assessment) if one.thing == "L0")
    assert not first.text.startswith("original")
    assert assessment.beliefs["L0"].sum(axis=0)[1] > 0.5
