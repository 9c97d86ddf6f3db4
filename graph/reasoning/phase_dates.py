"""When the phases of an object were, as far as is known, and what a date says of them.

A phase reaches from its boundary to the next one. The boundaries are known within
bounds only, so many possible sets of them are drawn, all in order, and what a date says
is averaged over the draws. Within a phase every year is as likely as any other: the
uniform phase model of Buck, Cavanagh & Litton 1996 (from memory). The draws are shared
by all things of one object in the average only, not jointly: two dated things of one
object are taken as independent of where exactly the boundary lies.
"""

from collections.abc import Callable, Sequence
from itertools import pairwise

import numpy as np
import numpy.typing as npt

from ..errors import BadValue
from .case import CasePhase, Years

__all__ = ["PhaseDates"]

Shares = npt.NDArray[np.float64]
DRAWS = 200
SWEEPS = 40
OPEN_SPAN = 100.0
"""Years that a span is taken to reach back where nothing bounds its beginning: own rule."""


class PhaseDates:
    """Possible boundaries of the phases.

    Args:
        phases: in order.
        present: year that ends the last phase; None where not given.
        seed: of the draws.

    Attributes:
        known: whether any bound is recorded at all; if not, dates say nothing here.
        boundaries: shape (phases + 2, draws), ascending along the first axis; decimal
            years. The first span stands for "older than the object" and reaches
            OPEN_SPAN years back.

    Raises:
        BadValue: the bounds leave no order of the phases possible.
    """

    def __init__(
        self, phases: Sequence[CasePhase], present: float | None = None, seed: int = 0
    ) -> None:
        low, high = _boundary_bounds(phases, present)
        self.known = any(bound is not None for bound in (*low, *high[:-1]))
        if not self.known:
            self.boundaries: Shares = np.zeros((len(phases) + 2, 1))
            return
        ends = [*(f"the beginning of {one.name}" for one in phases), "the end of the last"]
        drawn = _draw(*_closed(low, high, ends), np.random.default_rng(seed))
        self.boundaries = np.concatenate([drawn[:1] - OPEN_SPAN, drawn])

    def share_from(self, years: Years) -> Shares:
        """Older first, then per phase, the share of its time after a date, in [0, 1].

        Between the earliest and the latest year of the date the share rises evenly; a
        missing bound is taken from the other.
        """
        return self._average(years, _area_after)

    def share_within(self, years: Years) -> Shares:
        """Older first, then per phase, the share of its time within a date's bounds."""
        return self._average(years, _area_within)

    def width_within(self, years: Years) -> float:
        """Length of the date's bounds as a share of the object's whole time, (0, 1]."""
        whole = self.boundaries[[1, -1]]
        length = np.maximum(whole[1] - whole[0], 1.0)
        return float(np.mean(np.maximum(_area_within(years, whole)[0], 1.0) / length))

    def _average(self, years: Years, area: Callable[[Years, Shares], Shares]) -> Shares:
        length = np.maximum(np.diff(self.boundaries, axis=0), 1e-9)
        share = np.clip(area(years, self.boundaries) / length, 0.0, 1.0)
        mean: Shares = share.mean(axis=1)
        return mean


def _boundary_bounds(
    phases: Sequence[CasePhase], present: float | None
) -> tuple[list[float | None], list[float | None]]:
    """Recorded bounds of every boundary: between the end of one phase and the next."""
    low: list[float | None] = [phases[0].begins[0]]
    high: list[float | None] = [phases[0].begins[1]]
    for before, after in pairwise(phases):
        ends, begins = before.ends, after.begins
        low.append(_lowest(ends[0], begins[0]))
        high.append(_highest(ends[1], begins[1]))
    low.append(_highest(phases[-1].ends[0], None) if present is None else present)
    high.append(phases[-1].ends[1] if present is None else present)
    return low, high


def _lowest(one: float | None, other: float | None) -> float | None:
    return min((year for year in (one, other) if year is not None), default=None)


def _highest(one: float | None, other: float | None) -> float | None:
    return max((year for year in (one, other) if year is not None), default=None)


def _closed(
    low: list[float | None], high: list[float | None], names: Sequence[str]
) -> tuple[list[float], list[float]]:
    """The same bounds with every gap filled from the neighbours, in order."""
    known = [year for year in (*low, *high) if year is not None]
    lows, highs = [], []
    last = min(known) - (OPEN_SPAN if low[0] is None else 0.0)
    for year in low:
        last = last if year is None else max(last, year)
        lows.append(last)
    last = max(known)
    for year in reversed(high):
        last = last if year is None else min(last, year)
        highs.append(last)
    highs.reverse()
    for name, first, latest in zip(names, lows, highs, strict=True):
        if first > latest:
            raise BadValue(
                f"the phases cannot follow one another: {name} would lie after "
                f"{first:.0f} and before {latest:.0f}; look at the years of the phases"
            )
    return lows, highs


def _draw(
    lows: list[float], highs: list[float], random: np.random.Generator
) -> npt.NDArray[np.float64]:
    """Ordered boundaries, uniform within their bounds: Gibbs between neighbours."""
    low, high = np.array(lows), np.array(highs)
    start = np.maximum.accumulate((low + high) / 2)
    drawn = np.tile(np.minimum(start, high)[:, None], (1, DRAWS))
    for _ in range(SWEEPS):
        for row in range(len(lows)):
            first = np.full(DRAWS, low[row])
            last = np.full(DRAWS, high[row])
            if row:
                first = np.maximum(first, drawn[row - 1])
            if row + 1 < len(lows):
                last = np.minimum(last, drawn[row + 1])
            drawn[row] = first + (last - first) * random.random(DRAWS)
    return drawn


def _area_after(years: Years, edges: Shares) -> Shares:
    """Per phase and draw, the time after a date, with an even rise between its bounds."""
    begin, full = _both(years)
    rise = max(full - begin, 1e-9)
    inside = np.clip(edges - begin, 0.0, rise)
    area = inside**2 / (2 * rise) + np.maximum(edges - full, 0.0)
    time: Shares = np.diff(area, axis=0)
    return time


def _area_within(years: Years, edges: Shares) -> Shares:
    """Per phase and draw, the time within a date's bounds."""
    low = -np.inf if years[0] is None else years[0]
    high = np.inf if years[1] is None else years[1]
    # A date without length would lie in no phase: a day counts as a day.
    time: Shares = np.diff(np.clip(edges, low, max(high, low + 1 / 365)), axis=0)
    return time


def _both(years: Years) -> tuple[float, float]:
    low, high = years
    first = low if low is not None else high
    last = high if high is not None else low
    if first is None or last is None:
        raise BadValue("a date without any bound says nothing")
    return first, last
