"""Reasons from draws, held against the exact ones of the same case."""

import numpy as np
import numpy.typing as npt
import pytest
from worked_case import refixed_object, small_quarrel

from vestige.graph.reasoning import (
    Assessment,
    Case,
    Params,
    SamplingRules,
    Verdict,
    assess,
    explain,
    verdicts,
)
from vestige.graph.reasoning.assessment import beliefs_under
from vestige.graph.reasoning.assessment_model import Supposition
from vestige.graph.reasoning.inquiry import Inquiry
from vestige.graph.reasoning.sampled_inquiry import SampledInquiry
from vestige.graph.reasoning.sampling_error import jackknife

Cells = npt.NDArray[np.float64]
FORCED = Params(budget=10)
NARROW = 250
"""Cells of one table: so few that most of the case is held while a part is drawn."""
ORIGINAL = np.zeros((6, 5), dtype=bool)
ORIGINAL[1, :] = True


def both(case: Case, room: int = NARROW) -> tuple[Assessment, Assessment]:
    return assess(case), assess(case, FORCED, SamplingRules(room=room))


def test_what_is_told_of_a_partly_held_case_is_right_within_its_error() -> None:
    exact, sampled = both(small_quarrel(), room=60)
    count = len(exact.case.phases)
    states = ORIGINAL[: count + 1, :count]
    right = {one.claim: one.weight for one in Inquiry(exact, "paint").weights(states)}
    inquiry = SampledInquiry(sampled, "paint", 60)
    told = inquiry.weights(states)
    assert len(inquiry.block.free) < len(inquiry.graph.cards)
    assert 1 <= len(told) < len(right)
    for one in told:
        assert abs(one.weight) > 2 * one.error > 0
        assert abs(one.weight - right[one.claim]) <= 4 * one.error + 0.02


def test_a_claim_about_what_is_held_has_no_weight_told() -> None:
    """Draws that go against a strong claim are then too rare to tell how rare."""
    _, sampled = both(refixed_object())
    count = len(sampled.case.phases)
    inquiry = SampledInquiry(sampled, "tie 0", NARROW)
    assert inquiry.weights(ORIGINAL[: count + 1, :count]) == []
    assert set(inquiry.untold) == {"c01", "c03"}


def test_where_all_is_summed_out_the_draws_give_the_exact_weights() -> None:
    exact, sampled = both(small_quarrel(), room=1500)
    count = len(exact.case.phases)
    states = ORIGINAL[: count + 1, :count]
    right = Inquiry(exact, "paint").weights(states)
    told = SampledInquiry(sampled, "paint").weights(states)
    assert [one.claim for one in told] == [one.claim for one in right]
    for one, other in zip(told, right, strict=True):
        assert one.weight == pytest.approx(other.weight, abs=1e-6)


def test_gains_from_draws_are_the_exact_ones() -> None:
    exact, sampled = both(small_quarrel(), room=1500)
    for thing in ("lid", "paint"):
        wanted = explain(exact, _verdict(exact, thing)).settling
        found = explain(sampled, _verdict(sampled, thing)).settling
        assert {one.name for one in found} == {one.name for one in wanted}
        gains = {one.name: one.bits for one in wanted}
        for one in found:
            assert one.bits == pytest.approx(gains[one.name], abs=0.03)


def test_a_sampled_verdict_has_its_reasons_and_says_that_it_is_sampled() -> None:
    exact, sampled = both(small_quarrel(), room=1500)
    wanted = explain(exact, _verdict(exact, "screw"))
    why = explain(sampled, _verdict(sampled, "screw"))
    assert (wanted.exact, why.exact) == (True, False)
    assert why.speaks_for[0].claim == wanted.speaks_for[0].claim
    assert why.sufficient == ()  # not sought in draws
    assert {one.claim for one in why.breaking} <= {one.claim for one in why.speaks_for}


def test_another_word_of_a_claim_changes_its_own_table_only() -> None:
    """What `carried` rests on."""
    model = assess(small_quarrel()).model
    for claim in model.heard.counted:
        tables = model.tables([Supposition("if", words={claim.id: "weak"})])
        for number, (old, new) in enumerate(zip(model.graph.tables, tables, strict=True)):
            if number != model.factors[claim.id]:
                assert np.array_equal(old, new[..., 0])


def test_a_weaker_word_carries_in_draws_what_it_carries_exactly() -> None:
    exact, sampled = both(small_quarrel(), room=1500)
    count = len(exact.case.phases)
    states = ORIGINAL[: count + 1, :count]
    inquiry = SampledInquiry(sampled, "lid")
    for claim in exact.model.heard.counted:
        reading = Supposition("if", words={claim.id: "weak"})
        table = exact.model.tables([reading])[exact.model.factors[claim.id]][..., 0]
        (told,) = inquiry.carried(states, claim.id, [table])
        assert told is not None
        words = [Supposition("if", words={claim.id: "weak"})]
        right = _under(exact, words, "lid")[states].sum()
        assert told[0] == pytest.approx(right, abs=4 * told[1] + 1e-6)


def test_the_jackknife_of_a_mean_is_its_standard_error() -> None:
    """Efron and Tibshirani 1993, section 11.2: for a mean the two are equal."""
    values = np.random.default_rng(5).normal(size=17)
    without = np.array([np.delete(values, one).mean() for one in range(17)])
    assert jackknife(without) == pytest.approx(values.std(ddof=1) / np.sqrt(17))


def _verdict(assessment: Assessment, thing: str) -> Verdict:
    return next(one for one in verdicts(assessment) if one.thing == thing)


def _under(assessment: Assessment, readings: list[Supposition], thing: str) -> Cells:
    found: Cells = beliefs_under(assessment.model, assessment.plan, readings)[thing]
    return found[..., 0]
