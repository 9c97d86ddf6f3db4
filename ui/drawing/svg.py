"""A small writer of SVG text: escaped, self-contained, the same bytes for every use.

The screen, the PDF and the download get one and the same text, so it holds nothing that
one of them cannot show: no script, no style sheet, no reference outside itself, no
foreign object. Ids are prefixed per drawing, because several drawings share one page.
"""

from __future__ import annotations

import hashlib
import math
import re
import unicodedata
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from typing import Final
from xml.sax.saxutils import escape as _escape
from xml.sax.saxutils import quoteattr as _quoteattr

from ..language.script import runs_left
from .palette import INK, PAPER

__all__ = [
    "BODY",
    "BODY_BOLD",
    "FONT",
    "NOTE",
    "NOTE_BOLD",
    "PAGE_WIDTH",
    "SMALL",
    "TITLE",
    "Canvas",
    "Drawing",
    "Face",
    "Pen",
    "Point",
    "Table",
    "escape",
    "line_height",
    "number",
    "text_width",
    "wrap",
]

Point = tuple[float, float]
Table = tuple[tuple[str, ...], tuple[tuple[str, ...], ...]]

#: One generic list: the paper brings Noto Sans, a screen may have only its own.
FONT: Final = "Noto Sans, sans-serif"
#: Smallest text of any drawing, px.
SMALL: Final = 11.0


@dataclass(frozen=True, slots=True)
class Face:
    """How words are set: size in px and weight."""

    size: float
    bold: bool = False


NOTE: Final = Face(SMALL)
NOTE_BOLD: Final = Face(SMALL, bold=True)
BODY: Final = Face(12.5)
BODY_BOLD: Final = Face(12.5, bold=True)
TITLE: Final = Face(17, bold=True)

#: Width of a drawing that prints 160 mm wide with its smallest text at 7 pt, px.
PAGE_WIDTH: Final = 704.0
_LEAST_PT: Final = 7.0
_MM_PER_PT: Final = 25.4 / 72

#: Advance widths of Noto Sans Regular from U+0020 to U+007E, thousandths of the size
#: (measured on the font).
# fmt: off
_WIDTHS: Final = (
    260, 269, 408, 646, 572, 831, 732, 225, 300, 300, 551, 572, 268, 322, 268, 372, 572,
    572, 572, 572, 572, 572, 572, 572, 572, 572, 268, 268, 572, 572, 572, 434, 899, 639,
    650, 632, 730, 556, 519, 728, 741, 339, 273, 619, 524, 907, 760, 781, 605, 781, 622,
    549, 556, 731, 600, 930, 586, 566, 572, 329, 372, 329, 572, 444, 281, 561, 615, 480,
    615, 564, 344, 615, 618, 258, 258, 534, 258, 935, 618, 605, 615, 615, 413, 479, 361,
    618, 508, 786, 529, 510, 470, 380, 551, 380, 572,
)
# fmt: on
_BOLD: Final = 1.09
_JOINERS: Final = ("\u200c", "\u200d")
_VIRAMA: Final = 9
"""Canonical combining class of the viramas."""
#: The reader may lack Noto Sans; other sans-serif fonts run up to this much wider.
_SLACK: Final = 1.08


@dataclass(frozen=True, slots=True)
class Pen:
    """A stroke: colour, width in px, dash pattern of SVG ("" for a full line)."""

    colour: str = INK
    width: float = 1.4
    dash: str = ""


@dataclass(frozen=True, slots=True)
class Drawing:
    """One finished drawing and everything that stands for it.

    Attributes:
        svg: the picture, a complete SVG document.
        title: its heading, also drawn in it.
        description: the whole content in sentences, for readers who do not see it.
        table: the same as a table: heads, then rows of as many cells.
        size: width and height in px of the picture's own coordinate system.
        cuts: heights, px from above, where a long drawing may go on over the page.
    """

    svg: str
    title: str
    description: str
    table: Table
    size: tuple[float, float]
    cuts: tuple[float, ...] = ()

    @property
    def width(self) -> float:
        """Width in px."""
        return self.size[0]

    @property
    def height(self) -> float:
        """Height in px."""
        return self.size[1]

    @property
    def print_width_mm(self) -> float:
        """Least width on paper, mm, that keeps the smallest text at 7 pt."""
        return self.width * _LEAST_PT / SMALL * _MM_PER_PT

    @property
    def print_height_mm(self) -> float:
        """Height on paper, mm, when printed at the least width."""
        return self.print_width_mm * self.height / self.width

    def pages(self, width_mm: float, height_mm: float) -> tuple[str, ...]:
        """The drawing in pieces, each an SVG that prints *width_mm* wide and at most
        *height_mm* high, cut where no part is cut through if that can be.

        The pieces keep the scale of the whole; text stays at 7 pt or more if *width_mm*
        is at least :attr:`print_width_mm`.
        """
        limit = height_mm * self.width / width_mm
        starts = [0.0]
        while self.height - starts[-1] > limit:
            fitting = [c for c in self.cuts if starts[-1] < c <= starts[-1] + limit]
            starts.append(max(fitting, default=starts[-1] + limit))
        ends = [*starts[1:], self.height]
        return tuple(
            _window(self.svg, self.width, a, b) for a, b in zip(starts, ends, strict=True)
        )


def number(value: float) -> str:
    """A coordinate with one decimal and no trailing zero."""
    rounded = f"{value:.1f}".removesuffix(".0")
    return "0" if rounded == "-0" else rounded


def escape(text: str) -> str:
    """*text* as XML character data. What XML 1.0 cannot hold becomes a space."""
    return _escape(_legal(text))


def text_width(text: str, face: Face) -> float:
    """Estimated width of *text* in px, with slack for other fonts than Noto Sans."""
    thousandths = sum(_advance(ch) for ch in text)
    return thousandths / 1000 * face.size * _SLACK * (_BOLD if face.bold else 1.0)


def wrap(text: str, width: float, face: Face, *, lines: int = 12) -> tuple[str, ...]:
    """*text* in lines no wider than *width* px; the last of *lines* may end in an ellipsis.

    Words wider than a line are broken inside: ids and scripts without spaces have to fit.
    """
    done: list[str] = []
    rest = " ".join(_legal(text).split())
    while rest and len(done) < lines:
        cut = _fits(rest, width, face)
        done.append(rest[:cut].rstrip())
        rest = rest[cut:].lstrip()
    if rest:
        last = done[-1]
        while last and text_width(last + "…", face) > width:
            last = last[:-1].rstrip()
        done[-1] = last + "…"
    return tuple(done)


class Canvas:
    """Collects the marks of one drawing, then gives the document.

    Args:
        kind: short word for the drawing, part of its id prefix.
        data: the drawing's input; its ``repr`` makes the prefix, so that the same
            input gives the same bytes and different drawings never share ids.
    """

    def __init__(self, kind: str, data: object) -> None:
        digest = hashlib.sha256(repr(data).encode("utf-8", "replace")).hexdigest()
        self.prefix = f"{kind}{digest[:8]}-"
        self._paints: dict[str, str] = {}
        self._marks: list[str] = []
        self._heard: list[str] | None = None

    def paint(self, name: str, element: str) -> str:
        """Register a pattern (``ID`` stands for its id) and return its reference."""
        full = self.prefix + name
        self._paints[full] = element.replace("ID", full, 1)
        return f"url(#{full})"

    def rect(
        self,
        box: tuple[float, float, float, float],
        *,
        fill: str = "none",
        pen: Pen | None = None,
        round_by: float = 0.0,
    ) -> None:
        """A rectangle (x, y, width, height); *round_by* is the radius of its corners."""
        x, y, width, height = box
        corner = f' rx="{number(round_by)}"' if round_by else ""
        self._marks.append(
            f'<rect x="{number(x)}" y="{number(y)}" width="{number(width)}" '
            f'height="{number(height)}"{corner} fill="{fill}"{_strokes(pen)}/>'
        )

    def path(self, d: str, *, fill: str = "none", pen: Pen | None = None) -> None:
        """A path in SVG path data."""
        self._marks.append(f'<path d="{d}" fill="{fill}"{_strokes(pen)}/>')

    def polyline(self, points: Sequence[Point], pen: Pen) -> None:
        """Straight strokes through *points*."""
        steps = " ".join(f"{number(x)} {number(y)}" for x, y in points)
        self.path(f"M{steps}", pen=pen)

    def circle(
        self,
        x: float,
        y: float,
        radius: float,
        *,
        fill: str = "none",
        pen: Pen | None = None,
    ) -> None:
        """A circle about (*x*, *y*)."""
        self._marks.append(
            f'<circle cx="{number(x)}" cy="{number(y)}" r="{number(radius)}" '
            f'fill="{fill}"{_strokes(pen)}/>'
        )

    def text(
        self, x: float, y: float, words: str, face: Face = NOTE, *, anchor: str = "start"
    ) -> None:
        """Words in ink with their base line at *y*; *anchor* is that of SVG."""
        look = ' font-weight="700"' if face.bold else ""
        look += f' text-anchor="{anchor}"' if anchor != "start" else ""
        look += ' unicode-bidi="plaintext"' if runs_left(words) else ""
        self._marks.append(
            f' <text x="{number(x)}" y="{number(y)}" font-size="{number(face.size)}"{look}>'
            f"{escape(words)}</text>"
        )
        if self._heard is not None:
            self._heard.append(_legal(words))

    def lines(self, x: float, y: float, words: Sequence[str], face: Face = NOTE) -> float:
        """Lines of text, the first base line at *y*; gives the base line after the last."""
        for each in words:
            self.text(x, y, each, face)
            y += line_height(face)
        return y

    @contextmanager
    def part(self, key: str, more: str) -> Iterator[None]:
        """Everything drawn inside is one part: the record *key*.

        Its name begins with the words seen in it (WCAG 2.2, 2.5.3 "Label in Name");
        *more* adds what is shown by signs only, in sentences.
        """
        outer, self._marks, self._heard = self._marks, [], []
        yield
        inner, heard = self._marks, self._heard
        self._marks, self._heard = outer, None
        name = ". ".join(s for s in (" ".join(heard), _legal(more).strip()) if s)
        self._marks.append(
            f'<g class="part" role="img" data-key={_attribute(key)} '
            f"aria-label={_attribute(name)}><title>{escape(name)}</title>"
            f"{''.join(inner)}</g>\n"
        )

    def document(self, width: float, height: float, title: str, description: str) -> str:
        """The finished SVG on white paper."""
        p = self.prefix
        defs = "".join(self._paints[k] for k in sorted(self._paints))
        w, h = number(math.ceil(width)), number(math.ceil(height))
        return (
            f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {w} {h}" width="{w}" '
            f'height="{h}" role="group" aria-labelledby="{p}t" aria-describedby="{p}d" '
            f'font-family="{FONT}" fill="{INK}">'
            f'<title id="{p}t">{escape(title)}</title>'
            f'<desc id="{p}d">{escape(description)}</desc><defs>{defs}</defs>'
            f'<rect x="0" y="0" width="{w}" height="{h}" fill="{PAPER}"/>\n'
            f"{''.join(self._marks)}</svg>\n"
        )


def line_height(face: Face) -> float:
    """Distance of base lines, px."""
    return math.ceil(face.size * 1.24)


def _strokes(pen: Pen | None) -> str:
    if pen is None:
        return ""
    dashes = f' stroke-dasharray="{pen.dash}"' if pen.dash else ""
    return f' stroke="{pen.colour}" stroke-width="{number(pen.width)}"{dashes}'


def _window(svg: str, width: float, top: float, bottom: float) -> str:
    """The same document, showing only what lies between two heights."""
    w, h = number(math.ceil(width)), number(math.ceil(bottom - top))
    seen = f'viewBox="0 {number(top)} {w} {h}" width="{w}" height="{h}"'
    return re.sub(r'viewBox="[^"]*" width="[^"]*" height="[^"]*"', seen, svg, count=1)


def _attribute(text: str) -> str:
    return _quoteattr(_legal(text))


# XML 1.0, fifth edition, production 2 "Char": everything else is not well-formed.
_ILLEGAL = re.compile("[^\t\n\r\u0020-\ud7ff\ue000-\ufffd\U00010000-\U0010ffff]")


def _legal(text: str) -> str:
    return _ILLEGAL.sub(" ", text)


def _advance(char: str) -> float:
    code = ord(char)
    if 0x20 <= code <= 0x7E:
        return _WIDTHS[code - 0x20]
    if unicodedata.combining(char) or unicodedata.category(char) in ("Mn", "Cf"):
        return 0.0
    if unicodedata.east_asian_width(char) in "WF":
        return 1000.0
    base = unicodedata.normalize("NFD", char)[0]
    if base != char:
        return _advance(base)
    return 760.0 if char.isupper() else 640.0


def _fits(text: str, width: float, face: Face) -> int:
    """How many characters of *text* make the next line, at least one."""
    unit = text_width(" ", face) / _advance(" ")
    filled, space = 0.0, 0
    for i, char in enumerate(text):
        if char == " ":
            space = i
        filled += _advance(char) * unit
        if filled > width and char != " ":
            return space or _whole(text, i)
    return len(text)


def _whole(text: str, cut: int) -> int:
    """The place at or before *cut* that parts no sign from the letter that bears it.

    After Unicode UAX 29, extended grapheme clusters, as far as category and class tell:
    never before a mark or a joiner, nor after a joiner or a virama.
    """
    place = cut
    while place > 1 and (
        unicodedata.category(text[place]).startswith("M")
        or text[place] in _JOINERS
        or text[place - 1] in _JOINERS
        or unicodedata.combining(text[place - 1]) == _VIRAMA
    ):
        place -= 1
    return max(place, 1)
