"""How far apart two colours are, and how they look to a colour-blind reader.

Only numbers. ``bench/palette_search.py`` found the palette with them; the tests hold
the palette to its promises with them.

Sources:
    Relative luminance and contrast ratio: WCAG 2.2 (W3C Recommendation), definitions.
    Transfer curve and primaries of sRGB, white D65: IEC 61966-2-1.
    CIELAB and the colour difference of 1976: CIE 15, Colorimetry.
    Colour blindness: Machado, Oliveira, Fernandes, "A physiologically-based model for
    simulation of color vision deficiency", IEEE TVCG 15(6), 2009; the authors' matrices
    for severity 1.0, applied to linear RGB.
"""

from __future__ import annotations

import math
from typing import Final

__all__ = ["DEFICIENCIES", "Triple", "contrast", "distance", "lab", "linear_rgb", "seen_by"]

Triple = tuple[float, float, float]

#: Name of the deficiency -> rows of the matrix on linear RGB. "none" is plain sight.
DEFICIENCIES: Final[dict[str, tuple[Triple, Triple, Triple]]] = {
    "none": ((1.0, 0.0, 0.0), (0.0, 1.0, 0.0), (0.0, 0.0, 1.0)),
    "protanopia": (
        (0.152286, 1.052583, -0.204868),
        (0.114503, 0.786281, 0.099216),
        (-0.003882, -0.048116, 1.051998),
    ),
    "deuteranopia": (
        (0.367322, 0.860646, -0.227968),
        (0.280085, 0.672501, 0.047413),
        (-0.011820, 0.042940, 0.968881),
    ),
    "tritanopia": (
        (1.255528, -0.076749, -0.178779),
        (-0.078411, 0.930809, 0.147602),
        (0.004733, 0.691367, 0.303900),
    ),
}

_TO_XYZ: Final[tuple[Triple, Triple, Triple]] = (
    (0.4124, 0.3576, 0.1805),
    (0.2126, 0.7152, 0.0722),
    (0.0193, 0.1192, 0.9505),
)
_WHITE: Final[Triple] = (0.9505, 1.0, 1.089)


def linear_rgb(colour: str) -> Triple:
    """``#rrggbb`` as linear light, each channel 0 to 1.

    Raises:
        ValueError: if *colour* is not a hash sign and six hexadecimal digits.
    """
    if len(colour) != 7 or colour[0] != "#":
        raise ValueError(f"{colour!r} is not a colour: write # and six hexadecimal digits")
    r, g, b = (_linear(int(colour[i : i + 2], 16) / 255) for i in (1, 3, 5))
    return r, g, b


def contrast(colour: str, other: str = "#ffffff") -> float:
    """Contrast ratio of two colours, 1 to 21 (WCAG 2.2)."""
    light, dark = sorted((_luminance(colour), _luminance(other)), reverse=True)
    return (light + 0.05) / (dark + 0.05)


def seen_by(light: Triple, deficiency: str) -> Triple:
    """What a reader with *deficiency* sees of *light* (linear RGB), kept within 0 to 1."""
    r, g, b = (min(1.0, max(0.0, v)) for v in _product(DEFICIENCIES[deficiency], light))
    return r, g, b


def lab(light: Triple) -> Triple:
    """CIELAB (L*, a*, b*) of linear RGB *light* under D65."""
    x, y, z = (
        _lab_curve(v / w) for v, w in zip(_product(_TO_XYZ, light), _WHITE, strict=True)
    )
    return 116 * y - 16, 500 * (x - y), 200 * (y - z)


def distance(colour: str, other: str, deficiency: str = "none") -> float:
    """Colour difference of 1976 between two colours as seen with *deficiency*."""
    first, second = (lab(seen_by(linear_rgb(c), deficiency)) for c in (colour, other))
    return math.dist(first, second)


def _luminance(colour: str) -> float:
    r, g, b = linear_rgb(colour)
    return 0.2126 * r + 0.7152 * g + 0.0722 * b


def _linear(channel: float) -> float:
    if channel <= 0.04045:
        return channel / 12.92
    return float(((channel + 0.055) / 1.055) ** 2.4)


def _lab_curve(t: float) -> float:
    if t > 216 / 24389:
        return math.cbrt(t)
    return (24389 / 27 * t + 16) / 116


def _product(rows: tuple[Triple, Triple, Triple], light: Triple) -> Triple:
    a, b, c = (sum(k * v for k, v in zip(row, light, strict=True)) for row in rows)
    return a, b, c
