"""Where a thing was, in time: a bar for each stay, a hatched gap for each time unknown.

A filled bar is a recorded stay, a hollow dashed one is inferred. A pointed end lies
somewhere in the span of the point. Ticks are sightings. A gap goes through all places,
because during it the thing is recorded in none. Where stays are too short to be seen,
the time in which they lie is drawn a second time, enlarged.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from contextlib import AbstractContextManager
from functools import partial

from .custody_data import (
    SIGHTINGS,
    CustodyData,
    CustodyGap,
    CustodyPlace,
    CustodySighting,
    CustodyStay,
    checked,
)
from .custody_words import described, heading_words, table_of
from .palette import GRID, INK, PAPER, RED, RULE, pattern
from .signs import cross, key_rows, query
from .svg import (
    BODY,
    BODY_BOLD,
    NOTE,
    NOTE_BOLD,
    PAGE_WIDTH,
    TITLE,
    Canvas,
    Drawing,
    Pen,
    line_height,
    number,
    text_width,
    wrap,
)
from .time_scale import Scale, scale_of, stacked

__all__ = [
    "CustodyData",
    "CustodyGap",
    "CustodyPlace",
    "CustodySighting",
    "CustodyStay",
    "draw_custody",
]

_MARGIN = 14.0
_LABELS = 168.0
_BAR = 13.0
_LEAST = 3.0
_Draw = Callable[[float, float], None]
#: Stays narrower than this ask for an enlarged second strip, px.
_NARROW = 10.0


def draw_custody(data: CustodyData, *, width: float = PAGE_WIDTH) -> Drawing:
    """Draw where the thing of *data* was, *width* px wide.

    Raises:
        ValueError: if a place is not given, a sighting is of no known kind, a time ends
            before it begins, or a stay has no year at all.
    """
    checked(data)
    canvas = Canvas("cus", (data, width))
    room = width - 2 * _MARGIN
    y = canvas.lines(_MARGIN, 26, wrap(data.title, room, TITLE), TITLE)
    y = canvas.lines(_MARGIN, y - 3, wrap(heading_words(data), room, NOTE), NOTE)
    left = _MARGIN + _LABELS + 8
    scale = scale_of(_years(data), left, width - left - _MARGIN - 14)
    near = _enlarged(data, scale)
    y = _strip(canvas, data, scale, y + 14, near)
    cuts = [y]
    if near is not None:
        start, end = (math.floor(year) for year in (near.start, near.end))
        words = f"{start} to {end}, enlarged"
        canvas.text(_MARGIN, y + 24, words, BODY_BOLD)
        y = _strip(canvas, data, near, y + 54)
        cuts.append(y)
    y = _key(canvas, data, (_MARGIN, y + 10, room)) + 6
    words = described(data)
    svg = canvas.document(width, y, data.title, words)
    return Drawing(svg, data.title, words, table_of(data), (width, y), tuple(cuts))


def _years(data: CustodyData) -> list[float]:
    years = [v for s in data.stays for v in (*(s.begins or ()), *(s.ends or ()))]
    years += [v for g in data.gaps for v in (g.start, g.end)]
    years += [s.year for s in data.sightings]
    return years + ([data.until] if data.until is not None else [])


def _enlarged(data: CustodyData, scale: Scale) -> Scale | None:
    """A scale over the time of the stays too short to be seen, if that helps."""
    short = [
        s
        for s in data.stays
        if s.begins and s.ends and scale.x(s.ends[1]) - scale.x(s.begins[0]) < _NARROW
    ]
    if not short:
        return None
    years = [v for s in short for v in (*(s.begins or ()), *(s.ends or ()))]
    near = scale_of([min(years) - 0.5, max(years) + 0.5], scale.left, scale.width)
    return near if near.end - near.start < (scale.end - scale.start) / 3 else None


def _strip(
    canvas: Canvas, data: CustodyData, scale: Scale, top: float, near: Scale | None = None
) -> float:
    """One strip with all places on *scale*; the lower edge. What comes again on the scale
    *near* has its words only there."""
    lanes = [_Lane(canvas, data, scale, place.key, near) for place in data.places]
    labels = [_label_height(place.label) for place in data.places]
    tall = [max(lane.height, label) for lane, label in zip(lanes, labels, strict=True)]
    bottom = top + sum(tall)
    scale.draw(canvas, top, bottom)
    gaps = [g for g in data.gaps if g.end > scale.start and g.start < scale.end]
    for gap in gaps:
        _hatch(canvas, scale, gap, (top, bottom))
    y = top
    for place, lane, height in zip(data.places, lanes, tall, strict=True):
        canvas.polyline(((_MARGIN, y), (scale.right, y)), Pen(GRID, 1))
        with canvas.part(place.key, "A place."):
            canvas.lines(_MARGIN, y + 16, wrap(place.label, _LABELS, BODY, lines=3), BODY)
        lane.draw(y)
        y += height
    canvas.polyline(((_MARGIN, y), (scale.right, y)), Pen(GRID, 1))
    return _gap_words(canvas, scale, gaps, y)


def _label_height(label: str) -> float:
    return len(wrap(label, _LABELS, BODY, lines=3)) * line_height(BODY) + 8


class _Lane:
    """The stays and sightings of one place on one scale."""

    def __init__(
        self,
        canvas: Canvas,
        data: CustodyData,
        scale: Scale,
        place: str,
        near: Scale | None,
    ) -> None:
        self.canvas, self.scale, self.until = canvas, scale, data.until
        self.stays = [s for s in data.stays if s.place == place and self._seen(s)]
        self.sightings = [
            s
            for s in data.sightings
            if s.place == place and scale.start <= s.year <= scale.end
        ]
        first = near.start if near else scale.end + 1
        self.worded = {s.key for s in self.stays if self._years_of(s)[0] < first}
        self.worded |= {s.key for s in self.sightings if s.named and s.year < first}
        worded = [(self._ends(s)[0], s.words) for s in self.stays if s.key in self.worded]
        worded += [
            (scale.x(s.year), s.words) for s in self.sightings if s.key in self.worded
        ]
        stretches = [self._stretch(x, words) for x, words in worded]
        self.lefts = [left for left, _ in stretches]
        self.levels = stacked(stretches)
        self.words_height = (max(self.levels, default=-1) + 1) * line_height(NOTE)

    @property
    def height(self) -> float:
        return self.words_height + _BAR + 16

    def draw(self, top: float) -> None:
        """Bars and ticks, with their words above them on white."""
        y, step = top + self.words_height + 8, line_height(NOTE)
        spots = [
            (left, top + (level + 1) * step + 2)
            for left, level in zip(self.lefts, self.levels, strict=True)
        ]
        free = iter(spots)
        for stay in self.stays:
            known = "Inferred." if stay.inferred else "Recorded."
            with self._part(stay.key, stay.words, known):
                self._bar(stay, y)
                if stay.key in self.worded:
                    self._words(stay.words, *next(free))
        for seen in self.sightings:
            kind = f"{SIGHTINGS[seen.kind].capitalize()}."
            with self._part(seen.key, seen.words, kind):
                _tick(self.canvas, seen.kind, self.scale.x(seen.year), y + _BAR / 2)
                if seen.key in self.worded:
                    self._words(seen.words, *next(free))

    def _part(self, key: str, words: str, more: str) -> AbstractContextManager[None]:
        """A part whose name has its words whether or not they are drawn."""
        return self.canvas.part(key, more if key in self.worded else f"{words}. {more}")

    def _seen(self, stay: CustodyStay) -> bool:
        first, last = self._years_of(stay)
        return last > self.scale.start and first < self.scale.end

    def _years_of(self, stay: CustodyStay) -> tuple[float, float]:
        """From when to when the stay is drawn: an end not recorded is drawn where the
        other is, with its question mark."""
        known = [*(stay.begins or ()), *(stay.ends or ())]
        last = max(known)
        if stay.still:
            last = self.scale.end if self.until is None else max(last, self.until)
        return min(known), last

    def _ends(self, stay: CustodyStay) -> tuple[float, float]:
        first, last = self._years_of(stay)
        x1, x2 = self.scale.x(first), self.scale.x(last)
        return (x1, x2) if x2 - x1 >= _LEAST else (x1, x1 + _LEAST)

    def _stretch(self, x: float, words: str) -> tuple[float, float]:
        """Where *words* go that begin at *x*: never beyond the right end."""
        wide = text_width(words, NOTE)
        left = max(self.scale.left, min(x, self.scale.right - wide))
        return left, left + wide

    def _words(self, words: str, x: float, y: float) -> None:
        self.canvas.rect((x - 1, y - 11, text_width(words, NOTE) + 2, 13), fill=PAPER)
        self.canvas.text(x, y, words, NOTE)

    def _bar(self, stay: CustodyStay, y: float) -> None:
        """The bar: points over the spans in which it began and ended."""
        x1, x2 = self._ends(stay)
        inner1 = max(x1, self.scale.x(stay.begins[1])) if stay.begins else x1
        inner2 = min(x2, self.scale.x(stay.ends[0])) if stay.ends else x2
        inner2 = max(inner1, inner2)
        low, middle = number(y + _BAR), number(y + _BAR / 2)
        d = f"M{number(x1)} {middle}L{number(inner1)} {number(y)}H{number(inner2)}"
        d += f"L{number(x2)} {middle}L{number(inner2)} {low}H{number(inner1)}Z"
        pen = Pen(INK, 1.3, "4 2") if stay.inferred else Pen(INK, 1.3)
        self.canvas.path(d, fill=PAPER if stay.inferred else RULE, pen=pen)
        if stay.still:
            self.canvas.path(
                f"M{number(x2)} {number(y - 3)}l10 {number(_BAR / 2 + 3)}l-10 "
                f"{number(_BAR / 2 + 3)}Z",
                fill=PAPER if stay.inferred else RULE,
                pen=Pen(INK, 1.3),
            )
        if self._years_of(stay)[0] < self.scale.start:
            d = f"M{number(x1 + 5)} {number(y - 2)}l5 {number(_BAR + 4)}"
            self.canvas.path(d, pen=Pen(PAPER, 3))
        if stay.begins is None:
            query(self.canvas, x1 - 8, y + _BAR / 2)
        if stay.ends is None and not stay.still:
            query(self.canvas, x2 + 8, y + _BAR / 2)


def _tick(canvas: Canvas, kind: str, x: float, y: float) -> None:
    """A sighting at *x*, in the middle of the bar at *y*."""
    if kind == "not seen":
        canvas.circle(x, y, 7, fill=PAPER, pen=Pen(INK, 1.1))
        cross(canvas, x, y)
        return
    canvas.polyline(((x, y - 10), (x, y + 10)), Pen(PAPER, 4))
    canvas.polyline(((x, y - 10), (x, y + 10)), Pen(INK, 1.8))
    filled = INK if kind == "confirmed" else PAPER
    canvas.circle(x, y, 4, fill=filled, pen=Pen(INK, 1.5))


def _paint(canvas: Canvas) -> str:
    tile = '<path d="M0 0V8" stroke="C" stroke-width="1.6"/>'
    return canvas.paint("gap", pattern(tile, RED, turn=45))


def _hatch(
    canvas: Canvas, scale: Scale, gap: CustodyGap, ends: tuple[float, float]
) -> None:
    x1, x2 = scale.x(gap.start), scale.x(gap.end)
    wide = max(_LEAST, x2 - x1)
    box = (x1, ends[0], wide, ends[1] - ends[0])
    canvas.rect(box, fill=_paint(canvas), pen=Pen(RED, 1.2))


def _gap_words(
    canvas: Canvas, scale: Scale, gaps: Sequence[CustodyGap], top: float
) -> float:
    """Under the strip, the length of each gap in words; the lower edge."""
    words = [f"gap: {g.words}" for g in gaps]
    stretches = []
    for gap, said in zip(gaps, words, strict=True):
        wide = text_width(said, NOTE_BOLD)
        middle = (scale.x(gap.start) + scale.x(gap.end)) / 2
        left = max(_MARGIN, min(middle - wide / 2, scale.right - wide))
        stretches.append((left, left + wide))
    levels = stacked(stretches)
    for gap, said, (left, _), level in zip(gaps, words, stretches, levels, strict=True):
        x1, x2 = scale.x(gap.start), max(scale.x(gap.end), scale.x(gap.start) + _LEAST)
        with canvas.part(
            f"gap {number(gap.start)} {number(gap.end)}", "Place not recorded."
        ):
            canvas.polyline(((x1, top + 5), (x2, top + 5)), Pen(RED, 4))
            canvas.text(left, top + 20 + level * line_height(NOTE), said, NOTE_BOLD)
    rows = max(levels, default=-1) + 1
    return top + (rows * line_height(NOTE) + 12 if rows else 0)


def _key(canvas: Canvas, data: CustodyData, box: tuple[float, float, float]) -> float:
    def bar(x: float, y: float) -> None:
        canvas.rect((x, y - 6, 30, 12), fill=RULE, pen=Pen(INK, 1.3))

    def hollow(x: float, y: float) -> None:
        canvas.rect((x, y - 6, 30, 12), fill=PAPER, pen=Pen(INK, 1.3, "4 2"))

    def point(x: float, y: float) -> None:
        d = f"M{number(x)} {number(y)}l12 -6h18v12h-18Z"
        canvas.path(d, fill=RULE, pen=Pen(INK, 1.3))

    def gap(x: float, y: float) -> None:
        canvas.rect((x, y - 6, 30, 12), fill=_paint(canvas), pen=Pen(RED, 1.2))

    def tick(kind: str, x: float, y: float) -> None:
        _tick(canvas, kind, x + 8, y)

    soft = any(e and e[0] < e[1] for s in data.stays for e in (s.begins, s.ends))
    shown: list[tuple[bool, _Draw, float, str]] = [
        (any(not s.inferred for s in data.stays), bar, 30, "recorded stay"),
        (any(s.inferred for s in data.stays), hollow, 30, "inferred stay"),
        (soft, point, 30, "began or ended somewhere in the point"),
        (bool(data.gaps), gap, 30, "place not recorded"),
    ]
    kinds = {s.kind for s in data.sightings}
    shown += [(k in kinds, partial(tick, k), 16, v) for k, v in SIGHTINGS.items()]
    entries = [(draw, wide, words) for wanted, draw, wide, words in shown if wanted]
    return key_rows(canvas, entries, box) if entries else box[1]
