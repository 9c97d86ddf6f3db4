"""Sizes, masses and other quantities, kept as written and told in other units by pint.

A quantity without a unit is refused: Vestige does not guess. Units are a closed list,
since a free reading takes ``MM`` for a concentration and ``Mm`` for a thousand kilometres.
Every factor comes from pint; there is none here.

Numbers: a comma before exactly three digits parts thousands (``1,800``), unless the number
begins with 0 (``0,400``); any other single comma is a decimal comma (``1,8``). A blank may
part thousands (``1 800``). Fractions are read as the trade writes them: ``1 1/2 in``,
``3½ in``. Temperatures are not read here; they may be negative and do not scale.
"""

import re
from dataclasses import dataclass, field
from decimal import Decimal
from fractions import Fraction
from functools import cache, lru_cache
from typing import TYPE_CHECKING, Any, Final

from pydantic import GetCoreSchemaHandler
from pydantic_core import CoreSchema

from ..errors import BadValue
from .written import as_text_field

if TYPE_CHECKING:
    import pint

#: What a unit measures, its sign as Vestige prints it, its name for pint, other spellings.
_TABLE: Final = (
    ("length", "nm", "nanometer", "nanometre nanometres"),
    ("length", "µm", "micrometer", "μm um micron microns micrometre micrometres"),
    ("length", "mm", "millimeter", "millimetre millimetres millimeter millimeters"),
    ("length", "cm", "centimeter", "centimetre centimetres centimeter centimeters"),
    ("length", "dm", "decimeter", "decimetre decimetres"),
    ("length", "m", "meter", "metre metres meter meters"),
    ("length", "km", "kilometer", "kilometre kilometres"),
    ("length", "in", "inch", "in. inch inches"),
    ("length", "ft", "foot", "ft. foot feet"),
    ("length", "yd", "yard", "yd. yard yards"),
    ("area", "mm²", "millimeter**2", "mm2 mm^2 sq.mm"),
    ("area", "cm²", "centimeter**2", "cm2 cm^2 sq.cm"),
    ("area", "m²", "meter**2", "m2 m^2 sq.m"),
    ("volume", "mm³", "millimeter**3", "mm3 mm^3"),
    ("volume", "cm³", "centimeter**3", "cm3 cm^3"),
    ("volume", "m³", "meter**3", "m3 m^3"),
    ("volume", "µl", "microliter", "μl ul µL μL uL"),
    ("volume", "ml", "milliliter", "mL millilitre millilitres"),
    ("volume", "l", "liter", "L litre litres liter liters"),
    ("mass", "µg", "microgram", "μg ug microgram micrograms"),
    ("mass", "mg", "milligram", "milligram milligrams milligramme"),
    ("mass", "g", "gram", "gram grams gramme grammes"),
    ("mass", "kg", "kilogram", "kilogram kilograms kilogramme"),
    ("mass", "oz", "ounce", "oz. ounce ounces"),
    ("mass", "lb", "pound", "lb. lbs pound pounds"),
    ("linear density", "tex", "tex", ""),
    ("linear density", "dtex", "dtex", ""),
    ("linear density", "den", "denier", "denier"),
    ("areal density", "g/m²", "gram/meter**2", "g/m2 g/m^2"),
    ("concentration", "g/l", "gram/liter", "g/L"),
    ("number per length", "/cm", "1/centimeter", "percm"),
    ("number per length", "/m", "1/meter", "perm"),
    ("number per length", "/in", "1/inch", "perin perinch"),
    ("angle", "°", "degree", "deg degree degrees"),
    ("share", "%", "percent", "percent"),
    ("share by mass", "wt%", "percent", "wt.% mass%"),
    ("share by mass", "mg/kg", "milligram/kilogram", ""),
    ("share by atoms", "at%", "percent", "at.% atom%"),
)  # fmt: skip

#: Every unit Vestige knows, by its sign: what it measures.
UNITS: Final = {sign: kind for kind, sign, _, _ in _TABLE}

_PINT: Final = {sign: name for _, sign, name, _ in _TABLE}
_SIGN: Final = {
    spelling: sign for _, sign, _, others in _TABLE for spelling in (sign, *others.split())
}
_MEANT: Final = {
    '"': "in (a double stroke also stands for seconds of arc)",
    "'": "ft (a stroke also stands for minutes of arc)",
    "gr": "g for grams; a grain is another unit",
    "gsm": "g/m²",
    "cc": "cm³",
    "kgs": "kg",
    "gms": "g",
    "cms": "cm",
    "mms": "mm",
    "mtr": "m",
}

_FRACTIONS: Final = {
    "½": (1, 2), "¼": (1, 4), "¾": (3, 4), "⅓": (1, 3), "⅔": (2, 3),
    "⅛": (1, 8), "⅜": (3, 8), "⅝": (5, 8), "⅞": (7, 8),
}  # fmt: skip
_VULGAR = "".join(_FRACTIONS)
_ABOUT = re.compile(
    rf"(?:about|approximately|approx\.?|circa|ca\.?|c\.?|~|≈)\s*(?=[\d\W{_VULGAR}])", re.I
)
_BETWEEN = re.compile(r"\s*[×*]\s*|\s+(?:x|by)\s+|(?<=\d)x(?=\d)", re.I)
_PART = re.compile(
    rf"([-−]?)\s*([\d{_VULGAR}][\d{_VULGAR}., /]*?)"
    r"(?:\s*(?:±|\+/-|\+-)\s*(\d[\d., ]*?))?"
    rf"\s*([^\d\s{_VULGAR}.,–—-][^\d{_VULGAR}]*(?:(?<=[a-z^])[23])?)?"
)
_RANGE = re.compile(r"(\d+(?:\.\d+)?)\s*(?:-|–|—|to)\s*(\d+(?:\.\d+)?)\s*(\D*[23]?)", re.I)


def _bad(text: str, wrong: str, right: str) -> BadValue:
    return BadValue(f"{text[:80]!r} cannot be read as a measure: {wrong}; {right}")


def read_number(text: str) -> float:
    """A number as people write it: ``1,800``, ``0,4``, ``1 800.5``, ``1 1/2``, ``3½``.

    Raises:
        BadValue: no number, or one that could be read in two ways.
    """
    text = text.strip()
    if len(text) > 40:  # longer ones overflow, and nobody measures so
        raise BadValue(f"{text[:40]!r}... is too long for a number; round it")
    if re.fullmatch(r"\d+(\.\d+)?", text):
        return float(text)
    mixed = re.fullmatch(rf"(\d*)\s*([{_VULGAR}])|(?:(\d+) +)?(\d+)/(\d+)", text)
    if mixed:
        return _mixed(mixed, text)
    if re.fullmatch(r"[1-9]\d{0,2}(,\d{3})+(\.\d+)?", text):
        return float(text.replace(",", ""))
    if re.fullmatch(r"\d{1,3}( \d{3})+([.,]\d+)?", text):
        return float(text.replace(" ", "").replace(",", "."))
    if re.fullmatch(r"\d+,\d+", text):
        return float(text.replace(",", "."))
    raise BadValue(f"{text!r} is not a number; write it as 1800, 1,800 or 0.4")


def _mixed(found: re.Match[str], text: str) -> float:
    if found[2]:
        return float(int(found[1] or 0) + Fraction(*_FRACTIONS[found[2]]))
    if int(found[5]) == 0:
        raise BadValue(f"{text!r} divides by nothing; write it as 1/2")
    return float(int(found[3] or 0) + Fraction(int(found[4]), int(found[5])))


def read_unit(text: str) -> str:
    """The sign of a unit: ``inches`` gives ``in``.

    Raises:
        BadValue: Vestige does not know the unit, or it is written so that it means another.
    """
    bare = re.sub(r"\s+", "", text)
    if bare in _SIGN:
        return _SIGN[bare]
    meant = _MEANT.get(bare.lower()) or _SIGN.get(bare.lower())
    if meant:
        raise BadValue(
            f"{text!r} is not a unit Vestige knows; write {meant}, if that is meant"
        )
    raise BadValue(f"{text!r} is not a unit Vestige knows; it knows {', '.join(_PINT)}")


@dataclass(frozen=True, slots=True)
class Measure:
    """A quantity as written; equal when written alike.

    Attributes:
        text: as written, without blanks around it.
        magnitudes: one number for each dimension: (18.0, 9.0) for ``18 x 9 mm``.
        unit: sign of the unit they share.
        tolerances: the number behind ``±`` for each dimension; empty where none is written.
        approximate: "about", "ca." or the like stands before it.

    Raises:
        BadValue: no unit, an unknown unit, several units, a negative size, a range.
    """

    text: str
    magnitudes: tuple[float, ...] = field(init=False, compare=False, repr=False)
    unit: str = field(init=False, compare=False, repr=False)
    tolerances: tuple[float, ...] = field(init=False, compare=False, repr=False)
    approximate: bool = field(init=False, compare=False, repr=False)

    def __post_init__(self) -> None:
        text = self.text.strip()
        for name, value in {"text": text, **_read(text)}.items():
            object.__setattr__(self, name, value)

    @classmethod
    def parse(cls, text: str) -> "Measure":
        """Read a text; the last 16,384 different ones are remembered.

        Raises:
            BadValue: as for ``Measure``; the message says what would be right.
        """
        return _remembered(text)

    @property
    def kind(self) -> str:
        """What is measured: "length", "mass", "area", "linear density" and so on."""
        return UNITS[self.unit]

    def in_unit(self, unit: str) -> tuple[float, ...]:
        """The magnitudes in another unit of the same kind, unrounded.

        Raises:
            BadValue: unknown unit, or a unit of another kind.
        """
        return _converted(self.magnitudes, self.unit, unit)

    def to(self, unit: str) -> "Measure":
        """The same quantity written in another unit, to ten significant digits.

        Raises:
            BadValue: unknown unit, or a unit of another kind.
        """
        sign = read_unit(unit)
        spreads = _converted(self.tolerances, self.unit, sign)
        return Measure(_written(self.in_unit(sign), spreads, sign, self.approximate))

    def in_words(self) -> str:
        """The quantity in Vestige's own spelling: "about 18 × 9 mm"."""
        return _written(self.magnitudes, self.tolerances, self.unit, self.approximate)

    def __str__(self) -> str:
        return self.text

    @classmethod
    def __get_pydantic_core_schema__(
        cls, source: object, handler: GetCoreSchemaHandler
    ) -> CoreSchema:
        """A field of this type takes a text or a Measure; it is written as the text."""
        return as_text_field(cls, cls.parse)


@lru_cache(maxsize=16_384)
def _remembered(text: str) -> Measure:
    return Measure(text)


def _read(text: str) -> dict[str, object]:
    plain = re.sub(r"\s+", " ", text)
    about = _ABOUT.match(plain)
    rest = plain[about.end() :] if about else plain
    if not any(sign.isdigit() or sign in _VULGAR for sign in rest):
        raise _bad(text, "it holds no number", "leave it empty if it is not recorded")
    parts = [_read_part(part, text) for part in _BETWEEN.split(rest)]
    spreads = tuple(spread for _, spread, _ in parts if spread is not None)
    if spreads and len(spreads) != len(parts):
        raise _bad(text, "± stands at some of the sizes only", "write 18 ± 1 x 9 ± 1 mm")
    return {
        "magnitudes": tuple(size for size, _, _ in parts),
        "tolerances": spreads,
        "unit": _shared_unit([unit for _, _, unit in parts], text),
        "approximate": about is not None,
    }


def _read_part(part: str, text: str) -> tuple[float, float | None, str]:
    found = _PART.fullmatch(part.strip())
    if not found:
        raise _unread(part.strip(), text)
    minus, size, spread, unit = found.groups()
    if minus:
        raise _bad(text, "it is negative", "a size is 0 or more")
    try:
        return read_number(size), read_number(spread) if spread else None, unit or ""
    except BadValue as wrong:
        raise _bad(text, *str(wrong).split("; ", 1)) from None


def _unread(part: str, text: str) -> BadValue:
    span = _RANGE.fullmatch(part)
    if span:
        low, high = float(span[1]), float(span[2])
        middle = f"{_positional((low + high) / 2)} ± {_positional(abs(high - low) / 2)}"
        return _bad(text, "it is a range", f"write {middle} {span[3]}".rstrip())
    if part[:1] in "<>≤≥":
        return _bad(text, "it is a limit, not a measure", "write the limit in the note")
    return _bad(text, "it is not a number with a unit", "write it as 560 mm or 18 x 9 mm")


def _shared_unit(units: list[str], text: str) -> str:
    if not units[-1]:
        raise _bad(
            text, "the unit is missing", f"Vestige does not guess a unit; write {text} mm, "
            "or whatever the unit is"
        )  # fmt: skip
    try:
        signs = {read_unit(unit) for unit in units if unit}
    except BadValue as wrong:
        raise _bad(text, *str(wrong).split("; ", 1)) from None
    if len(signs) > 1:
        raise _bad(text, "it has several units", "write all sizes in one unit")
    return signs.pop()


def _written(
    sizes: tuple[float, ...], spreads: tuple[float, ...], unit: str, about: bool
) -> str:
    parts = [_positional(size) for size in sizes]
    if spreads:
        both = zip(parts, spreads, strict=True)
        parts = [f"{part} ± {_positional(spread)}" for part, spread in both]
    gap = "" if unit in ("°", "%") or unit.startswith("/") else " "
    return ("about " if about else "") + " × ".join(parts) + gap + unit


def _positional(number: float) -> str:
    """A number to ten significant digits, never with an exponent; zero is ``0``."""
    if number == 0:
        return "0"
    text = format(Decimal(f"{number:.10g}"), "f")
    return text.rstrip("0").rstrip(".") if "." in text else text


@cache
def registry() -> "pint.UnitRegistry[Any]":
    """The unit registry of Vestige: pint's own, and three yarn counts.

    The counts are defined by their hanks in yards to the pound (units of 1959).
    """
    import pint

    units: pint.UnitRegistry[Any] = pint.UnitRegistry()
    units.define("number_linen = 300 * yard / pound")
    units.define("number_worsted = 560 * yard / pound")
    return units


def _converted(sizes: tuple[float, ...], unit: str, wanted: str) -> tuple[float, ...]:
    sign = read_unit(wanted)
    if UNITS[sign] != UNITS[unit]:
        raise BadValue(
            f"{unit} is a unit of {UNITS[unit]}, {sign} of {UNITS[sign]}: "
            "one cannot be told in the other; choose a unit of the same kind"
        )
    if sign == unit:
        return sizes
    units = registry()
    to = units.Unit(_PINT[sign])
    return tuple(
        float(units.Quantity(size, _PINT[unit]).to(to).magnitude) for size in sizes
    )
