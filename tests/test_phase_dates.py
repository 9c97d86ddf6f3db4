import numpy as np
import pytest
from evidence_case import PHASES

from vestige.graph.errors import BadValue
from vestige.graph.reasoning import (
    CasePhase,
    PhaseDates,
    Years,
)
from vestige.graph.record import Span


def test_the_boundaries_lie_between_what_is_recorded_and_in_order() -> None:
    edges = PhaseDates(PHASES, 2020).boundaries
    assert (np.diff(edges, axis=0) >= 0).all()
    assert edges[2].min() >= 1790
    assert edges[2].max() <= 1791
    assert edges[3].min() >= 1890
    assert edges[3].max() <= 1895


def test_the_share_after_a_date_agrees_with_counting_days() -> None:
    dates = PhaseDates(PHASES, 2020)
    years: Years = (1800.0, 1840.0)
    grid = np.linspace(0, 1, 20_001)[:-1] + 1 / 40_000
    counted = []
    for low, high in zip(dates.boundaries, dates.boundaries[1:], strict=False):
        year = low[:, None] + (high - low)[:, None] * grid
        counted.append(np.clip((year - 1800) / 40, 0, 1).mean())
    assert dates.share_from(years) == pytest.approx(counted, abs=1e-6)


def test_phases_that_cannot_follow_one_another_are_refused() -> None:
    turned = (
        CasePhase("P1", "making", Span.MAKING, (1800, 1801)),
        CasePhase("P2", "use", Span.USE, (1700, 1701)),
    )
    with pytest.raises(BadValue, match="cannot follow one another"):
        PhaseDates(turned, 2020)
