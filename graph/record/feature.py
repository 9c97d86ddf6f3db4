"""What was measured or seen of a stuff, feature by feature, so that two can be compared.

A feature is a name and what was found, strictly one of six:

* an amount with its unit: ``diameter = 0.4 mm``, ``tin = 8.1 wt%``;
* a count: ``number of strands = 3``, the only bare number that is read;
* a grade on a scale of so many: ``wear = 2 of 4``;
* words: ``cut = quarter-sawn``;
* ``found``, present, amount not recorded; or ``not found``, looked for and not there;
* less than could be told: ``lead < 0.05 wt%``, the limit of detection.

``not recorded``, or no feature of that name, is none of them: nobody looked, or nobody
wrote it down. A share is of mass (``wt%``) or of atoms (``at%``); which one is not guessed.
"""

import re
from dataclasses import dataclass, field
from enum import StrEnum
from functools import lru_cache
from typing import Final

from pydantic import GetCoreSchemaHandler
from pydantic_core import CoreSchema

from ..errors import BadValue
from .measure import Measure
from .written import as_text_field


class MaterialClass(StrEnum):
    """Classes of stuff; a thing is compared with others of its class only."""

    CORD = "cord or thread"
    TEXTILE = "textile"
    FIBRE = "fibre"
    WOOD = "wood"
    PAPER = "paper"
    SKIN = "leather or skin"
    HARD_TISSUE = "bone, horn or ivory"
    METAL = "metal"
    PIGMENT = "pigment or paint"
    BINDER = "resin, glue or varnish"
    FILLER = "ground, putty or fill"
    GLASS = "glass"
    CERAMIC = "ceramic"
    STONE = "stone"
    PLASTIC = "plastic"
    OTHER = "other stuff"


class FeatureSort(StrEnum):
    """What sort of thing is said of a feature."""

    AMOUNT = "amount"
    COUNT = "count"
    GRADE = "grade"
    WORDS = "words"
    FOUND = "found"
    NOT_FOUND = "not found"
    BELOW = "below the limit"
    NOT_RECORDED = "not recorded"


#: Chemical symbols that stand for the name of the element (IUPAC).
ELEMENTS: Final = {
    "Ag": "silver", "Al": "aluminium", "As": "arsenic", "Au": "gold", "Ba": "barium",
    "Bi": "bismuth", "Br": "bromine", "C": "carbon", "Ca": "calcium", "Cd": "cadmium",
    "Cl": "chlorine", "Co": "cobalt", "Cr": "chromium", "Cu": "copper", "Fe": "iron",
    "Hg": "mercury", "K": "potassium", "Mg": "magnesium", "Mn": "manganese",
    "Na": "sodium", "Ni": "nickel", "P": "phosphorus", "Pb": "lead", "S": "sulfur",
    "Sb": "antimony", "Si": "silicon", "Sn": "tin", "Sr": "strontium", "Ti": "titanium",
    "Zn": "zinc", "Zr": "zirconium",
}  # fmt: skip
_SAID: Final = {
    "found": FeatureSort.FOUND,
    "present": FeatureSort.FOUND,
    "detected": FeatureSort.FOUND,
    "not found": FeatureSort.NOT_FOUND,
    "looked for, not found": FeatureSort.NOT_FOUND,
    "not detected": FeatureSort.NOT_FOUND,
    "none found": FeatureSort.NOT_FOUND,
    "not recorded": FeatureSort.NOT_RECORDED,
}
_SHAPE = re.compile(r"([^=<>≤≥]+?)\s*(=\s*<|=|<)\s*(.+)", re.DOTALL)
_GRADE = re.compile(r"(\d{1,3})\s+of\s+(\d{1,3})", re.IGNORECASE)
_NUMBER = re.compile(r"(?:about\s+|ca\.?\s*|c\.\s*|~\s*)?[-−+]?\d[\d.,\s/]*", re.IGNORECASE)
_COUNTED = "number of "
_RIGHT = (
    "write it as diameter = 0.4 mm, cut = quarter-sawn, lead = not found or lead < 0.05 wt%"
)


@dataclass(frozen=True, slots=True)
class Feature:
    """One feature as written; equal when written alike.

    Attributes:
        text: as written, without blanks around it.
        name: its name in small letters; a chemical symbol gives the name of the element.
        sort: what sort of thing is said.
        measure: the amount, or the limit below which it lies; None for other sorts.
        count: the number counted, or the grade; None for other sorts.
        grades: number of grades on the scale; None for other sorts.
        words: what is said in words, as written; "" for other sorts.

    Raises:
        BadValue: it is no such line; the message says what would be right.
    """

    text: str
    name: str = field(init=False, compare=False, repr=False)
    sort: FeatureSort = field(init=False, compare=False, repr=False)
    measure: Measure | None = field(init=False, compare=False, repr=False)
    count: int | None = field(init=False, compare=False, repr=False)
    grades: int | None = field(init=False, compare=False, repr=False)
    words: str = field(init=False, compare=False, repr=False)

    def __post_init__(self) -> None:
        text = " ".join(self.text.split())
        blank = {"measure": None, "count": None, "grades": None, "words": ""}
        for name, value in {"text": text, **blank, **_read(text)}.items():
            object.__setattr__(self, name, value)

    @classmethod
    def parse(cls, text: str) -> "Feature":
        """Read a text such as ``diameter = 0.4 mm``.

        Raises:
            BadValue: as for ``Feature``.
        """
        return _remembered(text)

    @property
    def said(self) -> str:
        """What is said, without the name: ``0.4 mm``, ``not found``, ``< 0.05 wt%``."""
        if self.sort is FeatureSort.BELOW:
            return f"< {self.measure}"
        if self.sort is FeatureSort.GRADE:
            return f"{self.count} of {self.grades}"
        held = self.measure if self.measure is not None else self.count
        return self.words or str(self.sort if held is None else held)

    def __str__(self) -> str:
        return self.text

    @classmethod
    def __get_pydantic_core_schema__(
        cls, source: object, handler: GetCoreSchemaHandler
    ) -> CoreSchema:
        """A field of this type takes the text or a Feature; it is written as the text."""
        return as_text_field(cls, cls.parse)


def twice_named(features: tuple[Feature, ...]) -> str:
    """The first name that two features share; "" where each has its own."""
    names = [one.name for one in features]
    return next((name for name in names if names.count(name) > 1), "")


@lru_cache(maxsize=16_384)
def _remembered(text: str) -> Feature:
    return Feature(text)


def _bad(text: str, wrong: str, right: str = _RIGHT) -> BadValue:
    return BadValue(f"{text[:80]!r} cannot be read as a feature: {wrong}; {right}")


def _read(text: str) -> dict[str, object]:
    shape = _SHAPE.fullmatch(text)
    if not shape:
        raise _bad(text, "it is no name with what was found")
    written, sign, said = shape[1].strip(), shape[2], shape[3].strip()
    name = ELEMENTS.get(written, written.casefold())
    if not any(letter.isalpha() for letter in name):
        raise _bad(text, "its name holds no letter")
    if "<" in sign:
        limit = _measured(text, said)
        if limit.magnitudes[0] == 0:
            raise _bad(text, "less than nothing cannot be", "write a limit above 0")
        return {"name": name, "sort": FeatureSort.BELOW, "measure": limit}
    known = _SAID.get(said.casefold())
    if known:
        return {"name": name, "sort": known}
    return {"name": name} | _value(text, name, said)


def _value(text: str, name: str, said: str) -> dict[str, object]:
    grade = _GRADE.fullmatch(said)
    if grade:
        place, grades = int(grade[1]), int(grade[2])
        if not 1 <= place <= grades or grades < 2:
            raise _bad(text, f"{place} is no grade of {grades}", "count grades from 1")
        return {"sort": FeatureSort.GRADE, "count": place, "grades": grades}
    if name.startswith(_COUNTED):
        if not said.isdecimal():
            raise _bad(text, "a number of things is a whole number", "write it in digits")
        return {"sort": FeatureSort.COUNT, "count": int(said)}
    if _NUMBER.fullmatch(said):
        raise _bad(
            text,
            "the unit is missing",
            f"Vestige does not guess a unit; write {said} with its unit, or, for a count, "
            f"'number of ... = {said}'",
        )
    if any(sign in said for sign in "=<>≤≥"):
        raise _bad(text, "it says two things", "separate features by a semicolon")
    if said[0].isdigit() or _looks_measured(said):
        return {"sort": FeatureSort.AMOUNT, "measure": _measured(text, said)}
    return {"sort": FeatureSort.WORDS, "words": said}


def _looks_measured(said: str) -> bool:
    """Whether a text that begins with a letter is meant as an amount: ``about 3 mm``."""
    return re.match(r"(?:about|approx\.?|circa|ca\.?|c\.|~|≈|-|−|½|¼|¾)\s*[\d½¼¾]",
                    said, re.IGNORECASE) is not None  # fmt: skip


def _measured(text: str, said: str) -> Measure:
    try:
        found = Measure.parse(said)
    except BadValue as wrong:
        raise _bad(text, *str(wrong).rsplit(": ", 1)[-1].split("; ", 1)) from None
    if len(found.magnitudes) != 1:
        raise _bad(
            text, "it has several sizes", "write one feature for each, with its name"
        )
    return found
