"""Where marks of a kind are expected on an edge, before any other edge is looked at.

Two edges agree by chance the more easily, the narrower the heights at which such marks
are set anyway. `EvenHeights` knows no usual height; `HeightHabit` learns the object's.
"""

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from typing import Final, Protocol

import numpy as np

from .mark import SCATTER_SIGMAS, Edge, EdgeMark, Floats

__all__ = ["EVEN_HEIGHTS", "EvenHeights", "HeightHabit", "Heights"]


class Heights(Protocol):
    """Where marks of a kind are expected on an edge of one piece alone."""

    def density(self, edge: Edge, marks: Sequence[EdgeMark]) -> Floats:
        """Return marks of each one's kind per millimetre at its height, shape (n,)."""

    def draw(
        self, edge: Edge, marks: Sequence[EdgeMark], rng: np.random.Generator
    ) -> Floats:
        """Return heights for *marks* as chance would have them, shape (n,)."""


class EvenHeights:
    """Marks are expected at any height alike."""

    def density(self, edge: Edge, marks: Sequence[EdgeMark]) -> Floats:
        """Return the number of marks of each kind over the length of the edge."""
        counts = [sum(m.kind == mark.kind for m in marks) for mark in marks]
        return np.asarray(counts, dtype=np.float64) / edge.length_mm

    def draw(
        self, edge: Edge, marks: Sequence[EdgeMark], rng: np.random.Generator
    ) -> Floats:
        """Return heights anywhere along the edge."""
        return rng.uniform(0.0, edge.length_mm, len(marks))


@dataclass(frozen=True, slots=True)
class HeightHabit:
    """Marks are expected where this workshop usually sets them.

    Hinges are set at about the same heights on every leaf, so two edges that never met
    agree more closely than chance along the whole edge would have it. This takes the
    usual heights, and how far they vary, from the object's own edges: the variation is
    the median distance to the third nearest mark of the kind (the nearest is likely the
    partner), and one mark in ten may be anywhere. Ours, no source.

    Attributes:
        edges: the edges to learn from.
    """

    edges: tuple[Edge, ...]
    elsewhere: float = 0.1
    _usual: Mapping[str, tuple[Floats, float]] = field(init=False, repr=False)

    def __post_init__(self) -> None:
        kinds = {m.kind for edge in self.edges for m in edge.marks}
        usual = {kind: self._learn(kind) for kind in sorted(kinds)}
        object.__setattr__(self, "_usual", usual)

    def _learn(self, kind: str) -> tuple[Floats, float]:
        marks = [m for edge in self.edges for m in edge.marks if m.kind == kind]
        heights = np.array([m.height_mm for m in marks], dtype=np.float64)
        least = max(m.scatter_mm for m in marks) / SCATTER_SIGMAS
        if len(heights) < 4:
            return heights, math.inf  # too few to know a habit
        gaps = np.sort(np.abs(heights[:, None] - heights), axis=1)[:, 3]
        return heights, max(float(np.median(gaps)), least)

    def density(self, edge: Edge, marks: Sequence[EdgeMark]) -> Floats:
        """Return the density at the usual heights, or even where no habit is known."""
        even = EvenHeights().density(edge, marks)
        shape = np.array([self._shape(m, edge) for m in marks], dtype=np.float64)
        return even * (self.elsewhere + (1 - self.elsewhere) * shape)

    def _shape(self, mark: EdgeMark, edge: Edge) -> float:
        heights, width = self._usual.get(mark.kind, (np.zeros(0), math.inf))
        if math.isinf(width):
            return 1.0
        own = edge.length_mm - mark.height_mm if edge.inverted else mark.height_mm
        off = (own - heights) / width
        bells = np.exp(-(off**2) / 2) / (math.sqrt(2 * math.pi) * width)
        return float(bells.mean()) * edge.length_mm

    def draw(
        self, edge: Edge, marks: Sequence[EdgeMark], rng: np.random.Generator
    ) -> Floats:
        """Return heights of another edge of as many marks, each varied by the habit."""
        heights = EvenHeights().draw(edge, marks, rng)
        for kind in sorted({m.kind for m in marks}):
            which = [i for i, m in enumerate(marks) if m.kind == kind]
            usual, width = self._usual.get(kind, (np.zeros(0), math.inf))
            if math.isinf(width):
                continue
            donors = self._donors(kind, len(which), edge.id)
            some = (
                donors[rng.integers(len(donors))]
                if donors
                else rng.choice(usual, len(which))
            )
            heights[which] = some + rng.normal(0.0, width, len(which))
        return np.clip(heights, 0.0, edge.length_mm)

    def _donors(self, kind: str, count: int, but: str) -> list[Floats]:
        rows = (
            [m.height_mm for m in edge.marks if m.kind == kind]
            for edge in self.edges
            if edge.id != but
        )
        return [np.array(sorted(row)) for row in rows if len(row) == count]


EVEN_HEIGHTS: Final = EvenHeights()
