"""What stands on a paper, whatever it is printed as: sections of text, tables, pictures.

PDF and HTML are made from the same layout, so that they cannot say different things.
"""

from __future__ import annotations

from dataclasses import dataclass

__all__ = ["Block", "Figure", "Lines", "Pairs", "Paper", "Section", "Table"]


@dataclass(frozen=True, slots=True)
class Lines:
    """Paragraphs, or the points of a list.

    Attributes:
        lines: plain text; nothing in it is markup.
        form: "text", "list" or "caution" (boxed).
    """

    lines: tuple[str, ...]
    form: str = "text"


@dataclass(frozen=True, slots=True)
class Pairs:
    """Names with their values, e.g. what is known of the object itself."""

    pairs: tuple[tuple[str, str], ...]


@dataclass(frozen=True, slots=True)
class Table:
    """A table with a caption and a head that is repeated on every page.

    Attributes:
        widths: shares of the width, one for each column.
        rows: cells; the first of each row names the row.
    """

    caption: str
    heads: tuple[str, ...]
    widths: tuple[float, ...]
    rows: tuple[tuple[str, ...], ...]


@dataclass(frozen=True, slots=True)
class Figure:
    """The place of a drawing; it is left out where the drawing is not given.

    Attributes:
        name: by which the drawing is given.
    """

    name: str
    caption: str


Block = Lines | Pairs | Table | Figure


@dataclass(frozen=True, slots=True)
class Section:
    """A heading with what stands below it."""

    title: str
    blocks: tuple[Block, ...]


@dataclass(frozen=True, slots=True)
class Paper:
    """A whole paper.

    Attributes:
        title: what the paper is.
        number, name: what it is about.
        made: day of making, ISO.
        foot: stands at the foot of every page.
        first: sections of the first page.
        sections: sections of the pages after it.
    """

    title: str
    number: str
    name: str
    made: str
    foot: str
    first: tuple[Section, ...]
    sections: tuple[Section, ...]
