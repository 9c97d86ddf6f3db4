"""The curve from score to ratio is the usual logistic one, and it never passes its cap."""

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from sklearn.linear_model import LogisticRegression

from vestige.graph.errors import BadValue
from vestige.graph.reasoning.calibrated_ratio import cllr, fit_ratio


def pairs(seed: int, same: int = 20, different: int = 300) -> tuple[np.ndarray, np.ndarray]:
    """Invented scores of two parts; pairs of one origin lie lower in the first."""
    rng = np.random.default_rng(seed)
    scores = rng.normal(size=(same + different, 2))
    scores[:same, 0] -= 1.5
    return scores, np.arange(same + different) < same


def test_the_curve_is_the_one_of_scikit_learn() -> None:
    # sklearn.linear_model.LogisticRegression, same weights, ridge C = 1
    scores, same = pairs(1)
    model = fit_ratio(scores, same, 1e12)
    standard = (scores - scores.mean(axis=0)) / scores.std(axis=0)
    theirs = LogisticRegression(C=1.0, tol=1e-10, max_iter=1000).fit(
        standard, same, sample_weight=np.where(same, 1.0, 20 / 300)
    )
    np.testing.assert_allclose(model.slopes, theirs.coef_[0], rtol=1e-4)
    np.testing.assert_allclose(
        np.log(model.ratios(scores)), theirs.decision_function(standard), atol=1e-3
    )


@given(st.integers(0, 500), st.integers(1, 400))
def test_no_ratio_is_ever_above_its_cap(seed: int, cap: int) -> None:
    scores, same = pairs(seed, 12, 60)
    far = np.vstack([scores, [[-1e6, 1e6], [1e6, -1e6]]])
    found = fit_ratio(scores, same, 2.0 * cap, 1 / 24).ratios(far)
    assert found.max() <= 2.0 * cap * (1 + 1e-12)
    assert found.min() >= 1 / 24 * (1 - 1e-12)


def test_a_score_beyond_all_that_was_seen_counts_as_the_furthest_seen() -> None:
    scores, same = pairs(2)
    model = fit_ratio(scores, same, 1e12)
    beyond = model.ratios(np.array([[-1e3, 0.0]]))
    assert beyond == model.ratios(np.array([[scores[:, 0].min(), 0.0]]))


def test_ratios_keep_their_promise_where_the_truth_is_known() -> None:
    # Two normals one standard deviation wide and d apart: the true logarithm of the ratio
    # is linear in the score, log LR = -d·x + const (textbook linear discriminant).
    rng = np.random.default_rng(7)
    n, d = 20_000, 1.5
    x = np.concatenate([rng.normal(-d, 1, n), rng.normal(0, 1, n)])[:, None]
    model = fit_ratio(x, np.arange(2 * n) < n, 1e9)
    asked = np.array([[-2.0], [0.0], [1.0]])
    truth = -d * asked[:, 0] - d * d / 2
    np.testing.assert_allclose(np.log(model.ratios(asked)), truth, atol=0.08)


def test_a_part_that_never_varies_changes_no_ratio() -> None:
    scores, same = pairs(3)
    more = np.column_stack([scores, np.full(len(same), 4.0)])
    np.testing.assert_allclose(
        fit_ratio(scores, same, 100).ratios(scores), fit_ratio(more, same, 100).ratios(more)
    )


def test_the_cost_of_ratios_is_as_worked_by_hand() -> None:
    # By hand: same 3 and 1 give log2(4/3) and log2(2), mean (0.41504 + 1)/2 = 0.70752;
    # different 1/7 gives log2(8/7) = 0.19265; half the sum is 0.45008.
    assert cllr(np.array([3.0, 1.0]), np.array([1 / 7])) == pytest.approx(0.45008, abs=1e-5)


def test_ratios_that_say_nothing_cost_one_bit() -> None:
    # Brümmer & du Preez 2006: a system that always says 1 costs 1 (from memory).
    assert cllr(np.ones(3), np.ones(9)) == pytest.approx(1.0)
    assert cllr(np.full(3, 1e9), np.full(9, 1e-9)) == pytest.approx(0.0, abs=1e-6)
    assert cllr(np.full(3, 1e-3), np.full(3, 1e3)) > 5


def test_ratios_of_no_pairs_are_refused() -> None:
    scores, _ = pairs(1)
    with pytest.raises(BadValue, match="different ones"):
        fit_ratio(scores, np.ones(len(scores), dtype=bool), 10)
    with pytest.raises(BadValue, match="held between"):
        fit_ratio(*pairs(1), 1.0)
    with pytest.raises(BadValue, match="both kinds"):
        cllr(np.array([]), np.array([1.0]))
    with pytest.raises(BadValue, match="above 0"):
        cllr(np.array([0.0]), np.array([1.0]))
    assert math.isfinite(cllr(np.array([1e-300]), np.array([1e300])))
