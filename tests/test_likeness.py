"""Gower's similarity holds against other implementations, and treats gaps as gaps."""

from math import isnan

import gower
import numpy as np
import numpy.typing as npt
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.spatial.distance import cdist

from vestige.graph.errors import BadValue
from vestige.graph.reasoning.likeness import (
    FeatureColumn,
    FeatureKind,
    likenesses,
    pair_scores,
)

Cells = npt.NDArray[np.float64]
NUMERIC, ORDINAL = FeatureKind.NUMERIC, FeatureKind.ORDINAL
NOMINAL, PRESENCE = FeatureKind.NOMINAL, FeatureKind.PRESENCE
KINDS = (NUMERIC, NUMERIC, NOMINAL, ORDINAL, PRESENCE)
NAN = np.nan


def drawn(seed: int, n: int, missing: float = 0.0) -> list[FeatureColumn]:
    """Invented things with five features, some not recorded."""
    rng = np.random.default_rng(seed)
    values = [
        rng.normal(5, 2, n), rng.gamma(2, 1, n), rng.integers(0, 4, n).astype(float),
        rng.integers(1, 6, n).astype(float), rng.integers(0, 2, n).astype(float),
    ]  # fmt: skip
    for column in values:
        column[rng.random(n) < missing] = NAN
    return [
        FeatureColumn(str(k), kind, column)
        for k, (kind, column) in enumerate(zip(KINDS, values, strict=True))
    ]


def by_the_paper(columns: list[FeatureColumn], i: int, j: int) -> float:
    """Gower 1971, equation 1, and the definitions of s and delta, as a literal loop.

    R's cluster::daisy states the same rules (its manual, read): numeric and ordered codes
    by range, nominal by equality, asymmetric binary without joint absence, NA left out.
    """
    score = weight = 0.0
    for column in columns:
        x, y = column.values[i], column.values[j]
        if isnan(x) or isnan(y):
            continue
        if column.kind is PRESENCE and x == 0 and y == 0:
            continue
        if column.kind in (NOMINAL, PRESENCE):
            s = 1.0 if x == y else 0.0
        else:
            known = [v for v in column.values if not isnan(v)]
            s = 1 - abs(x - y) / (max(known) - min(known))
        score += column.weight * s
        weight += column.weight
    return score / weight if weight else NAN


def test_complete_data_agree_with_the_gower_package() -> None:
    # PyPI gower 0.1.2, which works in single precision; nominal and numeric only.
    columns = drawn(1, 40)[:4]
    table = np.column_stack([column.values.astype(object) for column in columns])
    theirs = gower.gower_matrix(table, cat_features=[False, False, True, False])
    ours = likenesses(columns).similarity
    assert np.abs(1 - ours - theirs).max() < 5e-7


@pytest.mark.parametrize("missing", [0.0, 0.2, 0.6])
def test_with_gaps_it_agrees_with_a_literal_loop(missing: float) -> None:
    columns = drawn(2, 30, missing)
    ours = likenesses(columns).similarity
    theirs = [[by_the_paper(columns, i, j) for j in range(30)] for i in range(30)]
    np.testing.assert_allclose(ours, theirs, atol=1e-12)


def test_numbers_alone_are_a_scaled_city_block_distance() -> None:
    # scipy.spatial.distance.cdist
    columns = drawn(3, 25)[:2]
    table = np.column_stack([column.values / column.range for column in columns])
    ours = likenesses(columns, range(10), range(10, 25)).similarity
    np.testing.assert_allclose(ours, 1 - cdist(table[:10], table[10:], "cityblock") / 2)


def test_presences_alone_are_the_jaccard_coefficient() -> None:
    # Gower 1971 notes it; scipy.spatial.distance.cdist
    rng = np.random.default_rng(4)
    table = rng.integers(0, 2, (20, 6)).astype(bool)
    table[:, 0] = True
    columns = [FeatureColumn(str(k), PRESENCE, table[:, k].astype(float)) for k in range(6)]
    np.testing.assert_allclose(
        likenesses(columns).similarity, 1 - cdist(table, table, "jaccard")
    )


@given(st.integers(0, 10_000), st.sampled_from([0.0, 0.3, 0.7]))
def test_it_is_symmetric_and_within_bounds_and_one_for_itself(
    seed: int, missing: float
) -> None:
    found = likenesses(drawn(seed, 9, missing))
    np.testing.assert_array_equal(found.similarity, found.similarity.T)
    known = found.similarity[found.weight > 0]
    assert ((known >= 0) & (known <= 1)).all()
    own = np.diag(found.similarity)
    assert np.isnan(own[np.diag(found.weight) == 0]).all()
    np.testing.assert_allclose(own[np.diag(found.weight) > 0], 1.0)


@given(st.integers(0, 10_000), st.floats(1e-3, 1e3), st.floats(-50, 50))
def test_units_and_order_of_features_change_nothing(
    seed: int, unit: float, zero: float
) -> None:
    columns = drawn(seed, 8, 0.2)
    told = [FeatureColumn("0", NUMERIC, columns[0].values * unit + zero), *columns[1:]]
    one, two = likenesses(columns), likenesses(told[::-1])
    np.testing.assert_allclose(one.similarity, two.similarity, atol=1e-7)
    np.testing.assert_allclose(one.weight, two.weight)


@given(st.integers(0, 10_000), st.sampled_from(KINDS))
def test_what_is_not_recorded_counts_neither_for_nor_against(
    seed: int, kind: FeatureKind
) -> None:
    columns = drawn(seed, 8, 0.3)
    values = np.full(8, NAN)
    values[0] = 1.0
    more = [*columns, FeatureColumn("of the first only", kind, values)]
    others = range(1, 8)
    one, two = likenesses(columns, [0], others), likenesses(more, [0], others)
    np.testing.assert_array_equal(one.similarity, two.similarity)
    np.testing.assert_array_equal(one.weight, two.weight)


def test_weights_count_features_as_often_as_they_say() -> None:
    columns = drawn(5, 8, 0.2)
    heavy = [FeatureColumn("0", NUMERIC, columns[0].values, weight=2.0), *columns[1:]]
    twice = [columns[0], *columns]
    np.testing.assert_allclose(likenesses(heavy).similarity, likenesses(twice).similarity)


def amounts(**more: list[float]) -> FeatureColumn:
    """Four things: 8 %, 3 %, less than 2 %, less than 5 %, found, not found."""
    return FeatureColumn(
        "tin", NUMERIC, np.array([8, 3, NAN, NAN, NAN, NAN]), 10.0,
        limits=np.array([NAN, NAN, 2, 5, NAN, NAN]),
        present=np.array([NAN, NAN, NAN, NAN, 1, 0]),
    )  # fmt: skip


@pytest.mark.parametrize(
    ("one", "other", "expected"),
    [
        (0, 1, 0.5),  # measured both
        (0, 2, 0.4),  # 8 against less than 2: at least 6 of 10 apart
        (1, 3, None),  # 3 against less than 5: cannot be told
        (2, 3, None),  # both below what could be seen: a joint absence
        (0, 4, None),  # an amount against "found": no amount to compare
        (0, 5, 0.0),  # found against looked for and not found
        (4, 5, 0.0),
        (4, 4, 1.0),
        (4, 2, 0.0),
        (5, 5, None),
        (5, 2, None),
    ],
)
def test_below_the_limit_is_neither_nothing_nor_not_recorded(
    one: int, other: int, expected: float | None
) -> None:
    # Our own rule, stated at the head of the module; no source.
    for pair in ((one, other), (other, one)):
        score, counts = pair_scores(amounts(), np.array([pair[0]]), np.array([pair[1]]))
        assert bool(counts[0]) is (expected is not None)
        assert score[0] == pytest.approx(expected or 0.0)


def test_columns_of_unequal_length_are_refused() -> None:
    columns = [
        FeatureColumn("a", NUMERIC, np.zeros(2)),
        FeatureColumn("b", NUMERIC, np.zeros(3)),
    ]
    with pytest.raises(BadValue, match="equal length"):
        likenesses(columns)
    with pytest.raises(BadValue, match="equal length"):
        likenesses([])
    with pytest.raises(BadValue, match="0 or more"):
        FeatureColumn("a", NUMERIC, np.zeros(2), weight=-1.0)
