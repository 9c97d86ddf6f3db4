import numpy as np
import numpy.typing as npt
import pytest
from hypothesis import given
from hypothesis import strategies as st

from vestige.graph.reasoning import (
    pull_together,
    scaled_to_margins,
)

shares = st.lists(st.floats(0.01, 1), min_size=4, max_size=4).map(
    lambda weights: np.array(weights) / np.sum(weights)
)


@given(shares, shares, st.floats(0, 0.75))
def test_a_pull_leaves_both_priors_as_they_were(
    one: npt.NDArray[np.float64], two: npt.NDArray[np.float64], pull: float
) -> None:
    joint = np.outer(one, two) * pull_together(one, two, pull)
    assert joint.sum(1) == pytest.approx(one)
    assert joint.sum(0) == pytest.approx(two)


def test_equal_priors_give_the_usual_form_of_the_pull() -> None:
    prior = np.array([0.4, 0.2, 0.2, 0.2])
    expected = (1 - 0.47) + np.diag(0.47 / prior)
    assert pull_together(prior, prior, 0.47) == pytest.approx(expected)


@given(shares, shares)
def test_scaling_to_margins_leaves_both_priors_as_they_were(
    one: npt.NDArray[np.float64], two: npt.NDArray[np.float64]
) -> None:
    weight = np.where(np.tri(4), 1.0, 0.1)
    joint = np.outer(one, two) * scaled_to_margins(weight, one, two)
    assert joint.sum(1) == pytest.approx(one, abs=1e-9)
    assert joint.sum(0) == pytest.approx(two, abs=1e-9)
