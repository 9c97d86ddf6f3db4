import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from vestige.graph.errors import BadValue
from vestige.graph.reasoning import (
    CAP,
    DEFAULT_SCALE,
    SCALES,
    likelihood_ratio,
    scale_named,
    shifted_ratio,
    stronger,
    weaker,
)
from vestige.graph.record import Strength

WORDS = [(scale.id, band.word) for scale in SCALES.values() for band in scale.bands]
any_word = st.sampled_from(WORDS)


@pytest.mark.parametrize(
    ("word", "mid"),
    [
        ("neutral", 1),
        ("weak", 4.47),
        ("moderate", 31.6),
        ("strong", 316),
        ("decisive", 3162),
    ],
)
def test_a_word_of_the_trade_counts_as_the_geometric_mid_of_its_band(
    word: str, mid: float
) -> None:
    assert likelihood_ratio(word) == pytest.approx(mid, rel=0.01)


# ENFSI guideline for evaluative reporting in forensic science, 2015: bands from memory.
@pytest.mark.parametrize(
    ("word", "low", "high"),
    [
        ("weak", 2, 10),
        ("moderate", 10, 100),
        ("moderately strong", 100, 1_000),
        ("strong", 1_000, 10_000),
        ("very strong", 10_000, 1_000_000),
        ("extremely strong", 1_000_000, None),
    ],
)
def test_the_guideline_has_its_published_bands(
    word: str, low: float, high: float | None
) -> None:
    scale = scale_named("enfsi-2015")
    band = scale.bands[scale.position(word)]
    assert (band.low, band.high) == (low, high)


def test_the_same_word_differs_between_published_scales() -> None:
    # forensicspot.com, "ENFSI verbal scale" (read): extremely strong is above 10,000.
    theirs = scale_named("forensic-glossary")
    guideline = scale_named("enfsi-2015")
    words = "extremely strong"
    assert theirs.bands[theirs.position(words)].low == 10_000
    assert guideline.bands[guideline.position(words)].low == 1_000_000
    assert likelihood_ratio("strong", "trade-words-1") != likelihood_ratio(
        "strong", "enfsi-2015"
    )


def test_a_word_whose_band_a_scale_does_not_print_is_refused() -> None:
    with pytest.raises(BadValue, match="'very strong' is no strength word"):
        likelihood_ratio("very strong", "forensic-glossary")


def test_every_strength_word_of_the_record_is_on_its_scale() -> None:
    assert {likelihood_ratio(word, DEFAULT_SCALE) for word in Strength} == {
        likelihood_ratio(band.word) for band in SCALES["trade-words-1"].bands
    }


@given(any_word)
def test_one_word_weaker_is_undone_by_one_word_stronger(entry: tuple[str, str]) -> None:
    scale, word = entry
    if weaker(word, scale) != word:
        assert stronger(weaker(word, scale), scale) == word


@given(any_word)
def test_a_stronger_word_never_counts_for_less(entry: tuple[str, str]) -> None:
    scale, word = entry
    assert likelihood_ratio(weaker(word, scale), scale) <= likelihood_ratio(word, scale)
    assert (
        likelihood_ratio(word, scale)
        <= likelihood_ratio(stronger(word, scale), scale)
        <= CAP
    )


@given(any_word, st.integers(-9, 9))
def test_a_shift_of_one_is_the_neighbouring_word(entry: tuple[str, str], by: int) -> None:
    scale, word = entry
    assert 1 <= shifted_ratio(word, scale, by) <= CAP
    if weaker(word, scale) != word:
        assert shifted_ratio(word, scale, -1) == likelihood_ratio(
            weaker(word, scale), scale
        )


def test_past_the_strongest_word_lies_the_cap_on_a_persons_judgement() -> None:
    assert shifted_ratio("decisive", "trade-words-1", 1) == CAP
    assert shifted_ratio("weak", "trade-words-1", -3) == 1


def test_no_band_overlaps_the_next() -> None:
    for scale in SCALES.values():
        for lower, upper in zip(scale.bands, scale.bands[1:], strict=False):
            assert lower.high is not None
            assert lower.high <= upper.low or math.isclose(lower.high, upper.low)


def test_an_unknown_word_is_refused_with_the_words_there_are() -> None:
    with pytest.raises(BadValue, match="neutral, weak, moderate, strong, decisive"):
        likelihood_ratio("fairly good")


def test_an_unknown_scale_is_refused_with_the_scales_there_are() -> None:
    with pytest.raises(BadValue, match="known: trade-words-1, enfsi-2015"):
        likelihood_ratio("strong", "my own")
