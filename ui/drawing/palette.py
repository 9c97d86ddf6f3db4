"""Colours and patterns of the drawings: three signs for each verdict, none alone.

A verdict is told by colour, by pattern and by a letter beside the words; a grade by
dots and by the dash of the outline. Colour is never the only carrier, so a grey print
reads the same. The colours were found by calculation (``bench/palette_search.py``) and
are held to it by ``tests/test_palette.py``. Words are always ink on white.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import Final

__all__ = [
    "BAND",
    "GRADES",
    "GRID",
    "INK",
    "PAPER",
    "RED",
    "RULE",
    "VERDICTS",
    "Grade",
    "VerdictClass",
    "pattern",
    "verdict_class",
]

INK: Final = "#1b1a17"
PAPER: Final = "#ffffff"
#: Thin lines and outlines that carry no meaning of their own.
RULE: Final = "#6b665e"
#: Grid lines behind a scale of years.
GRID: Final = "#d9d5cd"
#: Tint of a phase band.
BAND: Final = "#eeebe4"
#: Contradictions, differences and gaps; always with a word beside it.
RED: Final = "#b00020"


@dataclass(frozen=True, slots=True)
class VerdictClass:
    """One class of verdict and its three signs.

    Attributes:
        key: short name used in data and ids.
        letter: the letter drawn in the part; ``?`` is drawn as a path.
        words: the verdict in general words, for the key of a drawing.
        colour: outline and pattern colour.
        tile: SVG of one pattern tile, 8 by 8, with ``C`` for the colour; "" for solid.
    """

    key: str
    letter: str
    words: str
    colour: str
    tile: str


def _stroke(path: str, width: float) -> str:
    return f'<path d="{path}" fill="none" stroke="C" stroke-width="{width}"/>'


_DOTS = '<circle cx="2" cy="2" r="1.7" fill="C"/><circle cx="6" cy="6" r="1.7" fill="C"/>'
_BRICKS = '<path d="M0 0H3.4V3H0ZM4.6 0H8V3H4.6ZM2.6 4H5.4V7H2.6ZM-1 4H1V7H-1ZM7 4H9V7H7Z"'

VERDICTS: Final[dict[str, VerdictClass]] = {
    v.key: v
    for v in (
        VerdictClass("in-place", "O", "original, in place", "#072871", ""),
        VerdictClass(
            "moved",
            "M",
            "original, moved or put back",
            "#308ecf",
            _stroke("M2 0V8M6 0V8", 2.6),
        ),
        VerdictClass(
            "from-start",
            "S",
            "older material, used from the start",
            "#6d2b9d",
            _BRICKS + ' fill="C"/>',
        ),
        VerdictClass(
            "added",
            "A",
            "added in a later phase",
            "#b1540b",
            _stroke("M-2 2L2 -2M0 8L8 0M6 10L10 6", 2.6),
        ),
        VerdictClass(
            "brought-in",
            "B",
            "old material brought in later",
            "#ca3bb5",
            _stroke("M0 0L8 8M8 0L0 8", 1.5),
        ),
        VerdictClass("later", "L", "later, the phase open", "#b98b00", _DOTS),
        VerdictClass("open", "?", "open", "#29652d", _stroke("M0 2H8M0 6H8", 1.3)),
        VerdictClass("unexamined", "U", "unexamined", "#807a78", _stroke("M4 0V3", 1)),
    )
}


@dataclass(frozen=True, slots=True)
class Grade:
    """How sure a verdict is: filled dots out of three, and the dash of the outline."""

    word: str
    dots: int
    dash: str


GRADES: Final[dict[str, Grade]] = {
    g.word: g
    for g in (
        Grade("established", 3, ""),
        Grade("probable", 2, "8 3"),
        Grade("possible", 1, "2.5 2.5"),
        Grade("open", 0, "1 3"),
        Grade("unexamined", 0, "1 5"),
    )
}

_BY_WORDS: Final[tuple[tuple[str, str], ...]] = (
    # neither of the signs of "original" says this; the sign that claims least is drawn
    (r"original, whether moved or not is open", "open"),
    (r"original(, in place|$| \()", "in-place"),
    (r"original, (moved|put back|in its first place)", "moved"),
    (r"older material, used from the start", "from-start"),
    (r"(added|came) in ", "added"),
    (r"old material brought in later", "brought-in"),
    (r"later, (open|cannot be told) between ", "later"),
    (r"open( between .*)?$", "open"),
    (r"unexamined$", "unexamined"),
)


def verdict_class(words: str) -> VerdictClass:
    """The class that the verdict *words* of an assessment belong to.

    Raises:
        ValueError: if the words are none of the words of an assessment.
    """
    for start, key in _BY_WORDS:
        if re.match(start, words):
            return VERDICTS[key]
    known = "; ".join(v.words for v in VERDICTS.values())
    raise ValueError(f"{words!r} is not a verdict. Verdicts begin like: {known}")


def pattern(tile: str, colour: str, *, size: int = 8, turn: int = 0) -> str:
    """An SVG pattern element with ``ID`` left for the canvas to fill in."""
    turned = f' patternTransform="rotate({turn})"' if turn else ""
    return (
        f'<pattern id="ID" width="{size}" height="{size}" '
        f'patternUnits="userSpaceOnUse"{turned}>'
        f'<rect width="{size}" height="{size}" fill="{PAPER}"/>'
        + tile.replace('"C"', f'"{colour}"')
        + "</pattern>"
    )
