"""A scale of years across a drawing: where a year stands, and which years are marked."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from .palette import GRID
from .svg import NOTE, Canvas, Pen, text_width

__all__ = ["Scale", "scale_of", "stacked"]

#: Years between marks; a quarter of a year is the finest.
_STEPS = (0.25, 0.5, 1, 2, 5, 10, 20, 25, 50, 100, 200, 250, 500, 1000, 2000, 5000)


@dataclass(frozen=True, slots=True)
class Scale:
    """Years *start* to *end* (decimal, astronomical) on px *left* to *left* + *width*."""

    start: float
    end: float
    left: float
    width: float

    @property
    def right(self) -> float:
        """The right end, px."""
        return self.left + self.width

    def x(self, year: float) -> float:
        """Where *year* stands, px; years outside stand at the near end."""
        share = (year - self.start) / (self.end - self.start)
        return self.left + self.width * min(1.0, max(0.0, share))

    def marks(self) -> list[tuple[float, str]]:
        """Years to mark and their words, at least 60 px apart."""
        most = max(1, int(self.width // 60))
        span = self.end - self.start
        step = next((s for s in _STEPS if span / s <= most), _STEPS[-1])
        first = math.ceil(self.start / step - 1e-9)
        last = math.floor(self.end / step + 1e-9)
        return [(i * step, _words(i * step)) for i in range(first, last + 1)]

    def draw(self, canvas: Canvas, top: float, bottom: float) -> None:
        """Grid lines from *top* to *bottom* with their years above."""
        for year, words in self.marks():
            x = self.x(year)
            canvas.polyline(((x, top), (x, bottom)), Pen(GRID, 1))
            half = text_width(words, NOTE) / 2
            x = min(max(x, self.left + half), self.right - half)
            canvas.text(x, top - 6, words, NOTE, anchor="middle")


def scale_of(years: Sequence[float], left: float, width: float) -> Scale:
    """A scale over all *years* with a little air at both ends; a century without any."""
    if not years:
        return Scale(1900.0, 2000.0, left, width)
    low, high = min(years), max(years)
    air = max((high - low) * 0.03, 0.25)
    return Scale(low - air, high + air, left, width)


def stacked(wanted: Sequence[tuple[float, float]], gap: float = 8.0) -> list[int]:
    """For each (left, right) stretch, the first line on which it meets no other."""
    ends: list[list[tuple[float, float]]] = []
    out: list[int] = []
    for left, right in wanted:
        level = 0
        while level < len(ends) and any(
            left < r + gap and lft < right + gap for lft, r in ends[level]
        ):
            level += 1
        if level == len(ends):
            ends.append([])
        ends[level].append((left, right))
        out.append(level)
    return out


def _words(year: float) -> str:
    """A mark in words: the year, with the month where it is not January."""
    whole = math.floor(year)
    month = round((year - whole) * 12) + 1
    named = f"{whole}" if whole > 0 else f"{1 - whole} BC"
    return named if month == 1 else f"{named}-{month:02}"
