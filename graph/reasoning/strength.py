"""Words of strength, the scales they stand on, and what each is worth as a ratio.

A strength word says how many times more probable the report is if what it says is so
than if it is not: a likelihood ratio. Scales in print give the same word different
bands, so a word is worth nothing without the id of its scale.

Example:
    >>> round(likelihood_ratio("strong"))
    316
    >>> round(likelihood_ratio("strong", "enfsi-2015"))
    3162
    >>> weaker("strong"), stronger("decisive")
    ('moderate', 'decisive')
"""

import math
from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType

from ..errors import BadValue

__all__ = [
    "CAP",
    "DEFAULT_SCALE",
    "SCALES",
    "StrengthBand",
    "StrengthScale",
    "likelihood_ratio",
    "scale_named",
    "shifted_ratio",
    "stronger",
    "weaker",
]

CAP = 10_000.0
"""Largest ratio that a person's judgement is taken for, whatever the word: own rule."""


@dataclass(frozen=True, slots=True)
class StrengthBand:
    """One word of a scale.

    Attributes:
        word: the word, in lower case.
        low: smallest likelihood ratio of the band, at least 1.
        high: largest; None where the band is open upwards.
    """

    word: str
    low: float
    high: float | None

    @property
    def ratio(self) -> float:
        """Geometric mid of the band, at most CAP; an open band counts as its lower end."""
        mid = self.low if self.high is None else math.sqrt(self.low * self.high)
        return min(mid, CAP)


@dataclass(frozen=True, slots=True)
class StrengthScale:
    """A named list of words.

    Attributes:
        id: stable name, kept with every claim.
        name: what people call it.
        source: where its bands come from, and how far that was read.
        bands: its words, weakest first; the first says nothing at all.
    """

    id: str
    name: str
    source: str
    bands: tuple[StrengthBand, ...]

    def position(self, word: str) -> int:
        """Place of a word on the scale, counted from 0 at the weakest.

        Raises:
            BadValue: the scale has no such word.
        """
        plain = " ".join(word.split()).casefold()
        for place, band in enumerate(self.bands):
            if band.word == plain:
                return place
        known = ", ".join(band.word for band in self.bands)
        raise BadValue(
            f"{word!r} is no strength word of the scale {self.id}; its words are: {known}"
        )


def _scale(
    id_: str, name: str, source: str, *bands: tuple[str, float, float | None]
) -> StrengthScale:
    return StrengthScale(id_, name, source, tuple(StrengthBand(*band) for band in bands))


SCALES: Mapping[str, StrengthScale] = MappingProxyType(
    {
        scale.id: scale
        for scale in (
            _scale(
                "trade-words-1",
                "words of the trade",
                "own scale: five ordinal words, a decade each; common practice, no source",
                ("neutral", 1, 1),
                ("weak", 2, 10),
                ("moderate", 10, 100),
                ("strong", 100, 1_000),
                ("decisive", 1_000, 10_000),
            ),
            _scale(
                "enfsi-2015",
                "forensic guideline on evaluative reporting, 2015",
                "ENFSI guideline for evaluative reporting, 2015; bands from memory",
                ("no support", 1, 1),
                ("weak", 2, 10),
                ("moderate", 10, 100),
                ("moderately strong", 100, 1_000),
                ("strong", 1_000, 10_000),
                ("very strong", 10_000, 1_000_000),
                ("extremely strong", 1_000_000, None),
            ),
            # Its entries give no bands for "strong" and "very strong" between these, so
            # the two words are refused on this scale instead of being guessed.
            _scale(
                "forensic-glossary",
                "a published glossary that deviates from the guideline it names",
                "forensicspot.com, entries 'ENFSI verbal scale' and 'Verbal equivalent "
                "scale', read",
                ("no support", 1, 1),
                ("limited", 1, 10),
                ("moderate", 10, 100),
                ("moderately strong", 100, 1_000),
                ("extremely strong", 10_000, None),
            ),
        )
    }
)
"""Every scale that is known, by id."""

DEFAULT_SCALE = "trade-words-1"


def scale_named(scale: str) -> StrengthScale:
    """The scale with this id.

    Raises:
        BadValue: no scale has it.
    """
    try:
        return SCALES[scale]
    except KeyError:
        known = ", ".join(SCALES)
        raise BadValue(f"no strength scale is called {scale!r}; known: {known}") from None


def likelihood_ratio(word: str, scale: str = DEFAULT_SCALE) -> float:
    """Likelihood ratio of a word on its scale, between 1 and CAP.

    Raises:
        BadValue: an unknown word or scale.
    """
    return shifted_ratio(word, scale, 0)


def shifted_ratio(word: str, scale: str, steps: int) -> float:
    """Likelihood ratio of the word so many steps stronger (or, negative, weaker).

    Past the weakest word of the scale it is 1. Past the strongest it is CAP, so that
    even the strongest word is tried one word stronger.

    Raises:
        BadValue: an unknown word or scale.
    """
    named = scale_named(scale)
    place = named.position(word) + steps
    if place >= len(named.bands):
        return CAP
    return named.bands[max(place, 0)].ratio


def weaker(word: str, scale: str = DEFAULT_SCALE) -> str:
    """The next weaker word; the weakest stays.

    Raises:
        BadValue: an unknown word or scale.
    """
    named = scale_named(scale)
    return named.bands[max(named.position(word) - 1, 0)].word


def stronger(word: str, scale: str = DEFAULT_SCALE) -> str:
    """The next stronger word; the strongest stays.

    Raises:
        BadValue: an unknown word or scale.
    """
    named = scale_named(scale)
    return named.bands[min(named.position(word) + 1, len(named.bands) - 1)].word
