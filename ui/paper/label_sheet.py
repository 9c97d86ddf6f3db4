"""Where labels stand on paper: one to a page, or on a sheet of so many by so many.

All sizes are those of the user's own labels, in mm. The makers' sheets follow no
standard; ``3x8`` on A4 without margins gives 70 × 37.1 mm (common practice, no source).
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import Final

from vestige.graph.errors import BadValue
from vestige.graph.record import Measure

__all__ = ["MODULES", "LabelSheet", "read_sheet", "read_size"]

MODULES: Final = 29
"""Modules across the code with its quiet zone: 21 and 4 at each side (ISO/IEC 18004)."""

LEAST_MODULE_MM: Final = 0.33
"""Smaller ones fail with common scanners and office printers; practice, no source."""

MODULE_MM: Final = 0.5
LARGE_MODULE_MM: Final = 0.7
LARGE_LABEL_MM: Final = 80.0
PAD_MM: Final = 1.8
LEAST_TEXT_MM: Final = 17.0
_A4: Final = (210.0, 297.0)


@dataclass(frozen=True, slots=True)
class LabelSheet:
    """How labels stand on their paper.

    Attributes:
        paper: width and height of the page, mm.
        size: width and height of one label, mm.
        columns: labels across.
        rows: labels down.
        margins: above and at the left of the first label, mm.
        gaps: between labels across and down, mm.
        skip: places at the beginning of the first sheet that are used up.

    Raises:
        BadValue: where the labels do not go on the paper, or a label is too small.
    """

    paper: tuple[float, float]
    size: tuple[float, float]
    columns: int = 1
    rows: int = 1
    margins: tuple[float, float] = (0.0, 0.0)
    gaps: tuple[float, float] = (0.0, 0.0)
    skip: int = 0

    def __post_init__(self) -> None:
        self._goes_on("wide", 0, self.columns, self.margins[1])
        self._goes_on("high", 1, self.rows, self.margins[0])
        if not 0 <= self.skip < self.columns * self.rows:
            raise BadValue(
                f"--skip {self.skip}: a sheet has {self.columns * self.rows} labels; "
                f"write 0 to {self.columns * self.rows - 1}"
            )
        wide, high = self.size
        least = MODULES * LEAST_MODULE_MM + 2 * PAD_MM
        if high < least or wide < least + LEAST_TEXT_MM:
            raise BadValue(
                f"a label of {wide:g} x {high:g} mm has no room for a code that scans and "
                f"words beside it; the least is {least + LEAST_TEXT_MM:.0f} x {least:.0f} "
                "mm"
            )

    def _goes_on(self, way: str, axis: int, many: int, margin: float) -> None:
        needed = margin + many * self.size[axis] + (many - 1) * self.gaps[axis]
        if needed > self.paper[axis] + 0.05:
            raise BadValue(
                f"{many} labels of {self.size[axis]:g} mm with their margin and gaps are "
                f"{needed:g} mm {way}, and the paper has {self.paper[axis]:g} mm"
            )

    @property
    def module(self) -> float:
        """Side of one module of the code, mm."""
        wished = LARGE_MODULE_MM if self.size[0] >= LARGE_LABEL_MM else MODULE_MM
        return min(wished, (self.size[1] - 2 * PAD_MM) / MODULES)


def read_size(text: str, what: str) -> tuple[float, float]:
    """Two lengths with their unit, in mm: ``60x30mm`` or ``6.35 x 3.81 cm``.

    Args:
        text: as typed.
        what: name of the option, for the message.

    Raises:
        BadValue: where there are not two lengths with one unit.
    """
    measure = Measure.parse(text)
    if measure.kind != "length" or len(measure.magnitudes) != 2:
        raise BadValue(f"{what} '{text}': write two lengths with their unit, as 60x30mm")
    wide, high = measure.in_unit("mm")
    return wide, high


def read_sheet(
    sheet: str | None,
    size: str | None,
    margins: str | None,
    gaps: str | None,
    paper: str | None,
) -> LabelSheet:
    """The arrangement that the options say; single labels where no sheet is named.

    Args:
        sheet: columns by rows, ``3x8``; None for one label to a page.
        size: of one label; None: the sheet divided evenly, or 60 x 30 mm for one.
        margins: above and at the left; None for 0, with a sheet the rest split evenly.
        gaps: across and down; None for 0.
        paper: None for A4 with a sheet.

    Raises:
        BadValue: as for `LabelSheet`, and where a text cannot be read.
    """
    if sheet is None:
        if margins or gaps or paper:
            raise BadValue("--margins, --gaps and --paper go with --sheet, as in 3x8")
        one = read_size(size or "60x30mm", "--size")
        return LabelSheet(one, one)
    found = re.fullmatch(r"(\d{1,2})\s*[x×]\s*(\d{1,2})", sheet.strip())
    if not found or "0" in found.groups():
        raise BadValue(f"--sheet '{sheet}': write columns by rows, as 3x8")
    columns, rows = int(found[1]), int(found[2])
    page = read_size(paper, "--paper") if paper else _A4
    gap = read_size(gaps, "--gaps") if gaps else (0.0, 0.0)
    edge = read_size(margins, "--margins") if margins else None
    label = (
        read_size(size, "--size")
        if size
        else (
            _share(page[0], columns, gap[0], edge[1] if edge else 0),
            _share(page[1], rows, gap[1], edge[0] if edge else 0),
        )
    )
    if edge is None:
        edge = (
            _rest(page[1], rows, label[1], gap[1]),
            _rest(page[0], columns, label[0], gap[0]),
        )
    return LabelSheet(page, label, columns, rows, edge, gap)


def _share(page: float, many: int, gap: float, edge: float) -> float:
    return (page - 2 * edge - (many - 1) * gap) / many


def _rest(page: float, many: int, label: float, gap: float) -> float:
    return max(0.0, (page - many * label - (many - 1) * gap) / 2)
