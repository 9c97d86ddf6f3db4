"""A ratio is learnt from the archive's own population, and only where that can bear it."""

from collections.abc import Sequence
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from vestige.graph.reasoning import likelihood_ratio
from vestige.graph.reasoning.calibrated_ratio import cllr
from vestige.graph.reasoning.feature_comparison import Verdict, rank_alike
from vestige.graph.reasoning.likeness_ratio import (
    REFERENCES_NEEDED,
    compare_specimens,
    word_of_ratio,
)
from vestige.graph.reasoning.specimen import Reading, Specimen, findings
from vestige.graph.record import Feature, MaterialClass


def made(key: str, *features: str, batch: str = "", object_: str = "") -> Specimen:
    """One invented specimen from its features as somebody writes them."""
    read = tuple(Feature(one) for one in features)
    return Specimen(
        key, object_ or f"object of {batch or key}", MaterialClass.METAL, batch or key,
        (Reading(key, read),), findings(read),
    )  # fmt: skip


def alloys(
    seed: int, batches: int, members: int = 2, within: float = 0.15
) -> list[Specimen]:
    """Invented alloys: batches differ by 1 in the logarithm, members by `within` of it."""
    rng = np.random.default_rng(seed)
    found = []
    for batch in range(batches):
        centre = rng.normal(0, 1, 3)
        for member in range(members):
            tin, lead, zinc = np.exp(centre + rng.normal(0, within, 3))
            found.append(
                made(f"B{batch}.{member}", f"tin = {tin:.3f} wt%", f"lead = {lead:.3f} wt%",
                     f"zinc = {zinc:.3f} wt%", batch=f"B{batch}")
            )  # fmt: skip
    return found


def asked(*two: Specimen) -> tuple[Specimen, Specimen]:
    """The two as strangers: each on an object of its own and of no known batch."""
    one, other = (
        replace(s, key=f"asked {s.key}", object=f"asked {s.key}", batch=f"asked {s.key}")
        for s in two
    )
    return one, other


def ratio(one: Specimen, other: Specimen, population: Sequence[Specimen]) -> float:
    """The ratio of two strangers; the test fails where none is given."""
    found = compare_specimens(*asked(one, other), population)
    assert found.ratio is not None, found.reason
    return found.ratio


POPULATION = alloys(1, 60)
FRESH = alloys(2, 12)


def test_ratios_of_fresh_pairs_say_something_and_seldom_mislead() -> None:
    # Truth by construction; Cllr after Brümmer & du Preez 2006. 1 is "says nothing".
    same = [ratio(FRESH[k], FRESH[k + 1], POPULATION) for k in range(0, 24, 2)]
    other = [ratio(FRESH[k], FRESH[(k + 3) % 24], POPULATION) for k in range(0, 24, 2)]
    assert cllr(np.array(same), np.array(other)) < 0.6
    assert np.mean(np.array(same) > 1) > 0.8
    assert np.mean(np.array(other) > 10) < 0.1


def test_no_ratio_is_above_twice_the_number_of_reference_items() -> None:
    few = POPULATION[:80]
    found = compare_specimens(*asked(FRESH[0], replace(FRESH[0], key="twin")), few)
    assert found.references == 40
    assert found.highest == 80
    assert found.ratio is not None
    assert 1 < found.ratio <= 80


def test_a_rare_likeness_weighs_more_than_a_common_one() -> None:
    def pair_at(tin: float, lead: float, zinc: float) -> float:
        one, other = (
            made(f"{more}", f"tin = {tin + more:.3f} wt%", f"lead = {lead + more:.3f} wt%",
                 f"zinc = {zinc + more:.3f} wt%") for more in (0.0, 0.5)
        )  # fmt: skip
        return ratio(one, other, POPULATION)

    assert pair_at(6, 0.1, 7) > 2 * pair_at(1, 1, 1)


def test_a_small_population_gives_no_ratio_and_says_how_small_it_is() -> None:
    found = compare_specimens(*asked(FRESH[0], FRESH[1]), POPULATION[: 2 * 29])
    assert found.ratio is None
    assert (
        found.reason == f"population too small (29 of {REFERENCES_NEEDED} reference items)"
    )
    assert found.similarity is not None


def test_members_of_one_batch_are_one_reference_item() -> None:
    many = alloys(3, 29, members=5)
    assert compare_specimens(*asked(FRESH[0], FRESH[1]), many).references == 29


def test_without_stuffs_on_record_twice_no_ratio_is_given() -> None:
    single = alloys(4, 50, members=1)
    found = compare_specimens(*asked(FRESH[0], FRESH[1]), single)
    assert found.ratio is None
    assert "0 of 10" in found.reason


def test_two_analyses_of_one_element_serve_as_a_known_pair() -> None:
    pairs = alloys(5, 50)
    twice = [
        replace(one, readings=(*one.readings, *two.readings))
        for one, two in zip(pairs[::2], pairs[1::2], strict=True)
    ]
    found = compare_specimens(*asked(FRESH[0], FRESH[1]), twice)
    assert found.same_pairs == 50
    assert found.ratio is not None


def test_what_stands_on_the_objects_asked_about_is_no_reference() -> None:
    one, other = asked(FRESH[0], FRESH[1])
    near = [replace(s, object=one.object) for s in POPULATION[:40]]
    found = compare_specimens(one, other, [*near, *POPULATION[40:]])
    assert found.references == 40


def test_features_that_do_not_tell_stuffs_apart_give_no_ratio() -> None:
    shuffled = [
        replace(one, findings=two.findings, readings=two.readings)
        for one, two in zip(POPULATION, [*POPULATION[7:], *POPULATION[:7]], strict=True)
    ]
    found = compare_specimens(*asked(FRESH[0], FRESH[1]), shuffled)
    assert found.ratio is None
    assert "do not tell one stuff from another" in found.reason


@settings(max_examples=8)
@given(st.sampled_from(["colour = grey", "weight of wear = not recorded"]))
def test_a_feature_that_says_nothing_changes_no_ratio(extra: str) -> None:
    def with_it(one: Specimen) -> Specimen:
        read = (*one.readings[0].features, Feature(extra))
        return replace(one, readings=(Reading(one.key, read),), findings=findings(read))

    one, other = FRESH[0], FRESH[1]
    told = ratio(with_it(one), with_it(other), [with_it(s) for s in POPULATION])
    assert told == pytest.approx(ratio(one, other, POPULATION), rel=1e-9)


def test_which_of_the_two_is_named_first_changes_nothing() -> None:
    there, back = (compare_specimens(*asked(*two), POPULATION)
                   for two in ((FRESH[0], FRESH[2]), (FRESH[2], FRESH[0])))  # fmt: skip
    assert there.ratio == pytest.approx(back.ratio)
    assert there.similarity == pytest.approx(back.similarity)


@pytest.mark.parametrize(
    ("one", "other", "verdict"),
    [
        ("tin = 8.1 wt%", "tin = 8.2 wt%", Verdict.AGREE),  # ±0.05 each: they touch
        ("tin = 8.1 wt%", "tin = 8.3 wt%", Verdict.DIFFER),
        ("tin = 8.1 ± 0.2 wt%", "tin = 8.3 wt%", Verdict.AGREE),
        ("tin = about 8 wt%", "tin = 9 wt%", Verdict.AGREE),
        ("tin = 81000 mg/kg", "tin = 8.1 wt%", Verdict.AGREE),
        ("tin = 8.1 wt%", "tin = 8.1 at%", Verdict.CANNOT_TELL),
        ("tin = 8.1 wt%", "lead = 8.1 wt%", Verdict.NOT_RECORDED),
        ("tin = not recorded", "tin = 8.1 wt%", Verdict.NOT_RECORDED),
        ("tin = not found", "tin = 8.1 wt%", Verdict.DIFFER),
        ("tin < 9 wt%", "tin = 8.1 wt%", Verdict.CANNOT_TELL),
        ("tin < 1 wt%", "tin = 8.1 wt%", Verdict.DIFFER),
        ("tin < 1 wt%", "tin = not found", Verdict.NEITHER),
        ("tin = found", "tin = 8.1 wt%", Verdict.CANNOT_TELL),
        ("tin = found", "Sn = present", Verdict.AGREE),
        ("tin = found", "tin = not found", Verdict.DIFFER),
        ("cut = radial", "cut = Radial", Verdict.AGREE),
        ("cut = radial", "cut = tangential", Verdict.DIFFER),
        ("cut = radial", "cut = found", Verdict.CANNOT_TELL),
        ("wear = 2 of 4", "wear = 3 of 4", Verdict.DIFFER),
        ("wear = 2 of 4", "wear = 2 of 5", Verdict.CANNOT_TELL),
        ("number of strands = 3", "number of strands = 3", Verdict.AGREE),
    ],
)
def test_one_feature_of_two_is_judged_in_the_words_of_the_trade(
    one: str, other: str, verdict: Verdict
) -> None:
    # Significance of the last digit: common practice, no source.
    for pair in ((one, other), (other, one)):
        row = compare_specimens(made("a", pair[0]), made("b", pair[1]), []).rows[0]
        assert row.verdict is verdict
        assert (row.score is not None) is (verdict in (Verdict.AGREE, Verdict.DIFFER))


def test_records_of_one_feature_that_contradict_each_other_leave_it_open() -> None:
    found = findings([Feature("tin = not found"), Feature("tin = 8 wt%")])["tin"]
    assert (found.sort, found.said) == ("open", "not found; 8 wt%")
    assert findings([Feature("cut = radial"), Feature("cut = split")])["cut"].sort == "open"


def test_amounts_recorded_several_times_are_averaged_and_a_limit_may_stand_beside() -> None:
    said = [Feature("tin = 8.0 wt%"), Feature("tin = 8.2 wt%"), Feature("tin < 9 wt%")]
    found = findings(said)["tin"]
    assert found.number == pytest.approx(8.1)
    assert found.spread == pytest.approx(0.1 + 0.05)


def test_two_without_any_feature_in_common_have_no_likeness() -> None:
    found = compare_specimens(made("a", "tin = 1 wt%"), made("b", "cut = radial"), [])
    assert (found.similarity, found.counted) == (None, 0)
    assert "no feature" in found.reason


def test_the_most_alike_come_first_and_strangers_without_features_not_at_all() -> None:
    one = made("a", "tin = 5 wt%", "cast = yes")
    others = [
        made("far", "tin = 9 wt%", "cast = no"),
        made("near", "tin = 5 wt%", "cast = yes"),
        made("thin", "tin = 5 wt%"),
        made("none", "zinc = 5 wt%"),
        one,
    ]
    ranked = [(s.key, score, count) for s, score, count in rank_alike(one, others)]
    assert ranked == [("near", 1.0, 2), ("thin", 1.0, 1), ("far", 0.0, 2)]


@given(st.floats(1, 1e5))
def test_a_word_never_says_more_than_the_figure(figure: float) -> None:
    for scale in ("trade-words-1", "enfsi-2015"):
        assert likelihood_ratio(word_of_ratio(figure, scale), scale) <= figure


def test_words_of_ratios() -> None:
    words = [word_of_ratio(figure) for figure in (1, 4.4, 5, 31, 32, 316, 1e4)]
    assert words == [
        "neutral",
        "neutral",
        "weak",
        "weak",
        "moderate",
        "moderate",
        "decisive",
    ]
