"""Features of a stuff are read strictly, and three kinds of nothing stay apart."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from vestige.graph.errors import BadValue
from vestige.graph.intake.cell import read_cell
from vestige.graph.intake.column import columns_of
from vestige.graph.record import (
    KINDS,
    Element,
    Feature,
    FeatureSort,
    Measure,
    Result,
)

Sort = FeatureSort


@pytest.mark.parametrize(
    ("text", "name", "sort", "said"),
    [
        ("diameter = 0.4 mm", "diameter", Sort.AMOUNT, "0.4 mm"),
        ("Turns=600 /m", "turns", Sort.AMOUNT, "600 /m"),
        ("ring width = 1,8 ± 0,2 mm", "ring width", Sort.AMOUNT, "1,8 ± 0,2 mm"),
        ("thickness = about 3 mm", "thickness", Sort.AMOUNT, "about 3 mm"),
        ("Number of strands = 3", "number of strands", Sort.COUNT, "3"),
        ("wear = 2 of 4", "wear", Sort.GRADE, "2 of 4"),
        ("cut = quarter-sawn", "cut", Sort.WORDS, "quarter-sawn"),
        ("Hg = found", "mercury", Sort.FOUND, "found"),
        ("mercury = not detected", "mercury", Sort.NOT_FOUND, "not found"),
        ("Pb < 0.05 wt%", "lead", Sort.BELOW, "< 0.05 wt%"),
        ("lead = < 0.05 wt%", "lead", Sort.BELOW, "< 0.05 wt%"),
        ("lead = 0 wt%", "lead", Sort.AMOUNT, "0 wt%"),
        ("dye = not recorded", "dye", Sort.NOT_RECORDED, "not recorded"),
    ],
)
def test_a_feature_is_read_as_it_is_meant(
    text: str, name: str, sort: FeatureSort, said: str
) -> None:
    feature = Feature.parse(text)
    assert (feature.name, feature.sort, feature.said) == (name, sort, said)
    assert Feature.parse(str(feature)) == feature


@pytest.mark.parametrize(
    ("text", "what"),
    [
        ("diameter = 0.4", "the unit is missing"),
        ("diameter = 2", "number of"),
        ("diameter = about 2", "the unit is missing"),
        ("tin = 8 wt", "not a unit Vestige knows"),
        ("tin = -1 wt%", "negative"),
        ("tin = 3-5 wt%", "range"),
        ("section = 3 x 4 mm", "several sizes"),
        ("number of strands = 3.5", "whole number"),
        ("wear = 5 of 4", "no grade"),
        ("oak", "no name with what was found"),
        ("= 3 mm", "no name with what was found"),
        ("lead > 3 wt%", "no name with what was found"),
        ("cut = sawn = split", "two things"),
        ("lead < some", "holds no number"),
        ("lead < 0 wt%", "above 0"),
    ],
)
def test_what_is_unclear_is_refused_with_what_would_be_right(text: str, what: str) -> None:
    with pytest.raises(BadValue, match=what):
        Feature.parse(text)


def test_a_share_of_mass_is_never_told_as_a_share_of_atoms() -> None:
    assert Measure("5000 mg/kg").to("wt%").in_words() == "0.5 wt%"
    with pytest.raises(BadValue, match="cannot be told"):
        Measure("0.5 wt%").to("at%")


@given(st.text(max_size=30))
def test_any_text_is_read_or_refused(text: str) -> None:
    try:
        feature = Feature.parse(text)
    except BadValue:
        return
    assert Feature.parse(feature.text) == feature


def test_a_cell_holds_several_features() -> None:
    column = columns_of(Element)["features"]
    found, doubt = read_cell(column, "diameter = 0.4 mm; fibre = flax;")
    assert found == (Feature("diameter = 0.4 mm"), Feature("fibre = flax"))
    assert doubt == ""


def test_the_template_has_the_same_column_where_analysis_is_recorded() -> None:
    heads = [columns_of(kind)["features"].head for kind in (Element, Result)]
    assert heads == ["features", "features"]


def test_one_feature_is_recorded_once_in_a_cell() -> None:
    features = ["Pb = found", "lead < 1 wt%"]
    with pytest.raises(ValueError, match="'lead' stands there twice"):
        Element.model_validate(
            {"number": "A", "object": "o", "name": "a", "sort": "part",
             "features": features}
        )  # fmt: skip


def test_features_come_back_from_the_ledger_as_they_were_written() -> None:
    features = ["tin = 8,1 wt%", "Pb = not found"]
    said = {"number": "A", "object": "o", "name": "a", "sort": "part",
            "material_class": "metal", "features": features}  # fmt: skip
    body = KINDS["element"].model_validate(said).body()
    assert body["features"] == features
    assert body["material_class"] == "metal"
