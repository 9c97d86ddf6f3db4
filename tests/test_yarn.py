"""Yarn counts and the designation of yarns."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from vestige.graph.errors import BadValue
from vestige.graph.problem import Weight
from vestige.graph.record import YARN_SYSTEMS, Measure, read_designation, tex_of


# Yarn counts: standard conversion tables of the trade (tex by ISO 1144), recomputed from
# the pound of 453.59237 g and hanks of 840, 300 and 560 yards.
@pytest.mark.parametrize(
    ("count", "system", "tex", "tolerance"),
    [
        (1, "tex", 1, 0), (10, "dtex", 1, 1e-12), (180, "denier", 20, 1e-12),
        (60, "Nm", 16.667, 0.001), (1, "Ne", 590.541, 0.001), (30, "Ne", 19.685, 0.01),
        (1, "linen lea", 1653.5, 0.1), (1, "worsted", 885.8, 0.1),
    ],
)  # fmt: skip
def test_counts_in_tex(count: float, system: str, tex: float, tolerance: float) -> None:
    assert tex_of(count, system).tex == pytest.approx(tex, abs=tolerance)


def test_thirty_cotton_in_denier() -> None:
    # 177.16 computed; one printed table has 177.17.
    tex = tex_of(30, "Ne").tex
    assert Measure.parse(f"{tex:.9f} tex").in_unit("den")[0] == pytest.approx(
        177.16, abs=0.01
    )


def test_the_factor_is_stated() -> None:
    # Sellers also use 583.1 and 588 under the same name, so the factor must show.
    cotton = tex_of(30, "cotton")
    assert cotton.factor == pytest.approx(453.59237 / (840 * 0.9144) * 1000, rel=1e-12)
    assert "590.541" in cotton.in_words()
    assert "840 yd" in cotton.in_words()
    assert tex_of(20, "tex").factor == 1


@given(st.floats(0.1, 1000), st.sampled_from(sorted(YARN_SYSTEMS)))
def test_a_count_and_its_factor_agree(count: float, system: str) -> None:
    yarn = tex_of(count, system)
    joined = yarn.tex * count if yarn.indirect else yarn.tex / count
    assert joined == pytest.approx(yarn.factor, rel=1e-9)
    assert yarn.tex > tex_of(count * 2, system).tex if yarn.indirect else yarn.tex > 0


@pytest.mark.parametrize("count", [0, -3, float("nan"), float("inf")])
def test_a_count_is_above_zero(count: float) -> None:
    with pytest.raises(BadValue, match="above 0"):
        tex_of(count, "Ne")


def test_an_unknown_count_is_refused() -> None:
    with pytest.raises(BadValue, match="it knows tex, dtex"):
        tex_of(3, "run")


def test_the_example_of_the_designation_standard() -> None:
    # ISO 1139, Textiles, Designation of yarns; from memory.
    yarn = read_designation("34 tex S 600 × 2 Z 400; R 69,3 tex")
    assert yarn.single_tex == 34
    assert [(step.strands, step.twist, step.turns) for step in yarn.twistings] == [
        (1, "S", 600.0),
        (2, "Z", 400.0),
    ]
    assert yarn.nominal_tex == 68
    assert yarn.resultant_tex == pytest.approx(69.3)
    assert yarn.take_up == pytest.approx(0.0191, abs=0.0001)
    assert str(yarn.cord) == "Z(2s)"
    assert yarn.problems() == ()


def test_a_cabled_yarn_multiplies_all_stages() -> None:
    yarn = read_designation("20 tex Z 700 x 2 S 400 x 3 Z 200")
    assert yarn.nominal_tex == 120
    assert yarn.take_up is None
    assert str(yarn.cord) == "Z(3S(2z))"


def test_decitex_is_told_in_tex() -> None:
    assert read_designation("133 dtex Z 1000; R 136 dtex").resultant_tex == pytest.approx(
        13.6
    )


@pytest.mark.parametrize("resultant", ["60", "120"])
def test_a_resultant_that_does_not_add_up_is_queried(resultant: str) -> None:
    found = read_designation(f"34 tex S 600 × 2 Z 400; R {resultant} tex").problems()
    assert [problem.weight for problem in found] == [Weight.QUERY]
    assert "68 tex" in found[0].wrong


@pytest.mark.parametrize(
    "text",
    ["34 tex S 600 × 2", "34", "34 tex clockwise 600", "0 tex S 600", "34 tex; R 35"],
)
def test_what_is_no_designation_is_refused(text: str) -> None:
    with pytest.raises(BadValue, match="write it as 34 tex S 600"):
        read_designation(text)
