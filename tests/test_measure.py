"""Quantities as written, and in other units."""

import pint
import pytest
from hypothesis import given
from hypothesis import strategies as st
from pydantic import BaseModel, ValidationError

from vestige.graph.errors import BadValue
from vestige.graph.record import UNITS, Measure, read_number


def refusal(text: str) -> str:
    with pytest.raises(BadValue) as caught:
        Measure.parse(text)
    return str(caught.value)


@pytest.mark.parametrize(
    ("text", "magnitudes", "unit"),
    [
        ("1,800 mm", (1800.0,), "mm"),
        ("0.4 mm", (0.4,), "mm"),
        ("560mm", (560.0,), "mm"),
        ("18 x 9 mm", (18.0, 9.0), "mm"),
        ("18×9×2 mm", (18.0, 9.0, 2.0), "mm"),
        ("18 mm by 9 mm", (18.0, 9.0), "mm"),
        ("1 1/2 in", (1.5,), "in"),
        ("3½ inches", (3.5,), "in"),
        ("2.5 mm2", (2.5,), "mm²"),
        ("5 sq. cm", (5.0,), "cm²"),
        ("34 tex", (34.0,), "tex"),  # the x of tex parts no sizes
        ("12 per cm", (12.0,), "/cm"),
        ("45°", (45.0,), "°"),
        ("2 μl", (2.0,), "µl"),  # the Greek letter and the sign micro are one
    ],
)
def test_a_quantity_is_read_as_written(
    text: str, magnitudes: tuple[float, ...], unit: str
) -> None:
    measure = Measure.parse(f"  {text} ")
    assert (measure.magnitudes, measure.unit) == (magnitudes, unit)
    assert str(measure) == text
    assert not measure.approximate
    assert measure.tolerances == ()


@pytest.mark.parametrize("word", ["about ", "approx. ", "ca. ", "c. ", "circa ", "~", "≈ "])
def test_about_is_kept(word: str) -> None:
    measure = Measure.parse(f"{word}3 g")
    assert measure.approximate
    assert measure.magnitudes == (3.0,)
    assert measure.in_words() == "about 3 g"


def test_a_tolerance_is_kept() -> None:
    assert Measure.parse("5 ± 0.2 mm").tolerances == (0.2,)
    assert Measure.parse("5 +/- 0.2 mm").in_words() == "5 ± 0.2 mm"
    assert Measure.parse("18 ± 1 x 9 ± 0.5 mm").tolerances == (1.0, 0.5)


@pytest.mark.parametrize(
    ("text", "right"),
    [
        ("560", "Vestige does not guess a unit; write 560 mm"),
        ("18 x 9", "Vestige does not guess a unit"),
        ("18 mm x 9", "Vestige does not guess a unit"),
        ("-3 mm", "a size is 0 or more"),
        ("about −3 mm", "a size is 0 or more"),
        ("18 mm x 9 cm", "write all sizes in one unit"),
        ("5-6 mm", "write 5.5 ± 0.5 mm"),
        ("5 to 6 mm", "write 5.5 ± 0.5 mm"),
        (".,-0 mm", "write it as 560 mm"),
        ("<0.1 mm", "a limit, not a measure"),
        ("18 ± 1 x 9 mm", "write 18 ± 1 x 9 ± 1 mm"),
        ("5 Mm", "write mm"),
        ("5 MM", "write mm"),
        ('5"', "write in"),
        ("5 gsm", "write g/m²"),
        ("5 furlong", "it knows nm, µm, mm"),
        ("60 °C", "it knows nm, µm, mm"),
        ("1.800,5 mm", "write it as 1800"),
        ("1/0 in", "write it as 1/2"),
        ("5 mm 3", "write it as 560 mm"),
        ("1e3 mm", "write it as 560 mm"),
        ("unknown", "leave it empty"),
        ("", "leave it empty"),
        ("9" * 400 + " mm", "too long"),
    ],
)
def test_a_refusal_says_what_would_be_right(text: str, right: str) -> None:
    assert right in refusal(text)


def test_a_recorded_zero_is_zero() -> None:
    assert Measure.parse("0 mm").in_words() == "0 mm"
    assert Measure.parse("0.0 mm").to("cm").text == "0 cm"


@pytest.mark.parametrize(
    ("text", "number"),
    [
        # A comma before three digits parts thousands, a blank may (BIPM, SI Brochure, 9th
        # edition, 5.4.4 wants the blank; the comma is English practice).
        ("1,800", 1800.0), ("1 800", 1800.0), ("12,345,678", 12_345_678.0),
        ("1,800.5", 1800.5), ("1 800,5", 1800.5), ("1,8", 1.8), ("0,400", 0.4),
        ("1,80", 1.8), ("1.800", 1.8), ("3/4", 0.75), ("⅝", 0.625),
    ],
)  # fmt: skip
def test_numbers_are_read_as_people_write_them(text: str, number: float) -> None:
    assert read_number(text) == number


@pytest.mark.parametrize(
    ("text", "unit", "expected"),
    [
        # Exact by definition: inch 25.4 mm, pound 453.59237 g, yard 0.9144 m
        # (international yard and pound agreement of 1959; from memory).
        ("1 in", "mm", 25.4),
        ("1 yd", "m", 0.9144),
        ("1 lb", "g", 453.59237),
        ("1 oz", "g", 28.349523125),
        ("20 tex", "den", 180.0),
        ("1 g/l", "g/l", 1.0),
        ("10 /in", "/cm", 10 / 2.54),
        ("1 cm²", "mm²", 100.0),
        ("1 l", "cm³", 1000.0),
        ("1 µg", "mg", 0.001),
        ("3 nm", "µm", 0.003),
    ],
)
def test_units_convert_as_they_are_defined(text: str, unit: str, expected: float) -> None:
    assert Measure.parse(text).in_unit(unit)[0] == pytest.approx(expected, rel=1e-12)


def test_conversion_keeps_sizes_tolerance_and_about() -> None:
    told = Measure.parse("about 18 ± 1 x 9 ± 1 mm").to("centimetres")
    assert told.text == "about 1.8 ± 0.1 × 0.9 ± 0.1 cm"
    assert told.magnitudes == (1.8, 0.9)
    assert told.tolerances == (0.1, 0.1)
    assert told.approximate


def test_a_mass_is_not_told_in_millimetres() -> None:
    with pytest.raises(BadValue, match="a unit of mass, mm of length"):
        Measure.parse("3 g").to("mm")


def _for_pint(sign: str) -> str:
    """Our sign as pint reads it; it knows no shares of mass or atoms, only shares."""
    if sign.startswith("/"):
        return "1" + sign
    return "%" if sign in ("wt%", "at%") else sign


def test_every_unit_means_to_pint_what_its_sign_says() -> None:
    # The pint library, given our sign itself instead of the name we hold for it.
    units: pint.UnitRegistry[float] = pint.UnitRegistry()
    for sign, kind in UNITS.items():
        theirs = units.Quantity(7.0, _for_pint(sign))
        for other in (unit for unit in UNITS if UNITS[unit] == kind):
            told = theirs.to(_for_pint(other))
            ours = Measure.parse(f"7 {sign}").in_unit(other)[0]
            assert ours == pytest.approx(told.magnitude, rel=1e-9), (sign, other)


def test_units_of_unlike_kinds_are_unlike_to_pint() -> None:
    units: pint.UnitRegistry[float] = pint.UnitRegistry()
    dimensions: dict[object, str] = {}
    for sign, kind in UNITS.items():
        if kind != "angle" and not kind.startswith("share"):  # pint: no dimension
            unit = units.Unit(_for_pint(sign))
            assert dimensions.setdefault(unit.dimensionality, kind) == kind


@given(
    st.lists(st.floats(1e-6, 1e6), min_size=1, max_size=3),
    st.sampled_from(["mm", "cm", "m", "in", "ft", "µm"]),
    st.sampled_from(["mm", "cm", "m", "in", "ft", "µm"]),
)
def test_there_and_back_is_the_same(sizes: list[float], unit: str, other: str) -> None:
    text = " x ".join(f"{size:.8f}" for size in sizes) + f" {unit}"
    measure = Measure.parse(text)
    back = measure.to(other).to(unit)
    assert back.magnitudes == pytest.approx(measure.magnitudes, rel=1e-9)


@given(st.text(max_size=12))
def test_any_text_is_read_or_refused(text: str) -> None:
    try:
        measure = Measure(text)
    except BadValue:
        return
    assert all(size >= 0 for size in measure.magnitudes)
    assert Measure(measure.in_words()).unit == measure.unit


class Noun(BaseModel):
    size: Measure | None = None


def test_a_measure_field_takes_text_and_is_written_as_text() -> None:
    noun = Noun.model_validate({"size": "18 x 9 mm"})
    assert noun.size == Measure.parse("18 x 9 mm")
    assert noun.model_dump() == {"size": "18 x 9 mm"}
    assert Noun.model_validate_json(noun.model_dump_json()) == noun
    assert Noun().model_dump() == {"size": None}
    for wrong in (560, 560.0, "560"):
        with pytest.raises(ValidationError, match="cannot be read"):
            Noun.model_validate({"size": wrong})
