"""When things can have happened: one bar each on a scale of years.

A hollow bar says "at some time within"; a filled one "all through". A straight end is a
firm limit, a pointed one an approximate limit, an arrow an end without limit, and a
dashed end with a question mark one of which nothing is recorded. What is not recorded
is never drawn as a limit.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from functools import partial
from typing import Final

from . import words as said
from .palette import GRID, INK, PAPER, RULE
from .signs import key_rows, query
from .svg import (
    BODY,
    NOTE,
    PAGE_WIDTH,
    TITLE,
    Canvas,
    Drawing,
    Pen,
    Table,
    line_height,
    number,
    wrap,
)
from .time_scale import Scale, scale_of

__all__ = ["ENDS", "WindowBar", "WindowData", "draw_windows"]

#: Kinds of end.
ENDS: Final = ("firm", "about", "open", "not recorded")
_MARGIN = 14.0
_LABELS = 250.0
_HALF = 7.0
_TAPER = 9.0
_OUTLINE = Pen(INK, 1.5)
_DASHED = Pen(INK, 1.5, "4 3")


@dataclass(frozen=True, slots=True)
class WindowBar:
    """The dates of one happening or element.

    Attributes:
        key: the record's key.
        label: number and name as the reader knows it.
        words: the dates in words, e.g. "not before 1846, before August 1911".
        earliest: first possible year, decimal; None if there is no such limit.
        latest: last possible year, decimal; None if there is no such limit.
        start: kind of the earlier end, one of ``ENDS``.
        end: kind of the later end, one of ``ENDS``.
        lasting: whether it lasted all through, not "at some time within".
        unsure: whether the source itself is unsure of the date.
    """

    key: str
    label: str
    words: str
    earliest: float | None = None
    latest: float | None = None
    start: str = "firm"
    end: str = "firm"
    lasting: bool = False
    unsure: bool = False


@dataclass(frozen=True, slots=True)
class WindowData:
    """Everything in one drawing of dates, in the order in which it is to stand."""

    title: str
    bars: tuple[WindowBar, ...]


def draw_windows(data: WindowData, *, width: float = PAGE_WIDTH) -> Drawing:
    """Draw the dates of *data*, *width* px wide.

    Raises:
        ValueError: if an end is of no known kind, a firm or approximate end has no year,
            an end without limit has one, a window ends before it begins, or two bars
            share a key.
    """
    _check(data)
    canvas = Canvas("win", (data, width))
    y = canvas.lines(_MARGIN, 26, wrap(data.title, width - 2 * _MARGIN, TITLE), TITLE)
    years = [v for b in data.bars for v in (b.earliest, b.latest) if v is not None]
    left = _MARGIN + _LABELS + 16
    scale = scale_of(years, left, width - left - _MARGIN - 16)
    top = y + 16
    heights = [_height(bar) for bar in data.bars]
    scale.draw(canvas, top, top + sum(heights) + 4)
    cuts, y = [], top + 4
    for bar, height in zip(data.bars, heights, strict=True):
        canvas.polyline(((_MARGIN, y), (width - _MARGIN, y)), Pen(GRID, 1))
        _bar(canvas, scale, bar, y)
        y += height
        cuts.append(y)
    y = _key(canvas, data, (_MARGIN, y + 8, width - 2 * _MARGIN)) + 6
    words = _described(data)
    svg = canvas.document(width, y, data.title, words)
    return Drawing(svg, data.title, words, _table(data), (width, y), tuple(cuts))


def _check(data: WindowData) -> None:
    if len({bar.key for bar in data.bars}) < len(data.bars):
        raise ValueError("two bars have the same key")
    for bar in data.bars:
        for end, year in ((bar.start, bar.earliest), (bar.end, bar.latest)):
            if end not in ENDS:
                raise ValueError(f"{bar.key}: {end!r} is none of {', '.join(ENDS)}")
            if (end in ("firm", "about")) != (year is not None):
                raise ValueError(
                    f"{bar.key}: an end that is {end!r} goes with "
                    f"{'a year' if year is None else 'no year'}"
                )
        first, last = bar.earliest, bar.latest
        if first is not None and last is not None and first > last:
            raise ValueError(f"{bar.key}: the window ends before it begins")


def _label(bar: WindowBar) -> tuple[tuple[str, ...], tuple[str, ...]]:
    return wrap(bar.label, _LABELS, BODY), wrap(bar.words, _LABELS, NOTE)


def _height(bar: WindowBar) -> float:
    label, words = _label(bar)
    return len(label) * line_height(BODY) + len(words) * line_height(NOTE) + 9


def _bar(canvas: Canvas, scale: Scale, bar: WindowBar, top: float) -> None:
    label, words = _label(bar)
    start, end = _end_words(bar.start), _end_words(bar.end)
    more = said.ENDS_SAID.format(start=start, end=end)
    more += f" {said.LASTED if bar.lasting else said.AT_SOME_TIME}"
    with canvas.part(bar.key, more):
        y = canvas.lines(_MARGIN, top + 15, label, BODY)
        canvas.lines(_MARGIN, y - 1, words, NOTE)
        middle = top + _height(bar) / 2
        x1 = scale.left if bar.earliest is None else scale.x(bar.earliest)
        x2 = scale.right if bar.latest is None else scale.x(bar.latest)
        if x2 - x1 < 4:
            x1, x2 = (x1 + x2) / 2 - 2, (x1 + x2) / 2 + 2
        _shape(canvas, bar, (x1, x2), middle)
        _queries(canvas, bar, (x1, x2), middle)


def _shape(canvas: Canvas, bar: WindowBar, ends: tuple[float, float], y: float) -> None:
    """The bar between two x: closed where it has a limit, open where none is recorded."""
    missing = [end == "not recorded" for end in (bar.start, bar.end)]
    if bar.lasting and missing[0] != missing[1]:
        _fading(canvas, bar, ends, y)
        return
    (x1, x2), up, down = ends, number(y - _HALF), number(y + _HALF)
    paint = RULE if bar.lasting and not any(missing) else PAPER
    right = _end_path(bar.end, x2, y, 1) + f"L{number(x2)} {down}"
    left = _end_path(bar.start, x1, y, -1) + f"L{number(x1)} {up}"
    canvas.rect((x1, y - _HALF, x2 - x1, 2 * _HALF), fill=paint)
    canvas.path(
        f"M{number(x1)} {up}H{number(x2)}{f'M{number(x2)} {down}' if missing[1] else right}"
        f"H{number(x1)}{'' if missing[0] else left}",
        fill="none" if any(missing) else paint,
        pen=_DASHED if bar.unsure or any(missing) else _OUTLINE,
    )
    for x, end in ((x1, bar.start), (x2, bar.end)):
        if any(missing) and end == "firm":
            canvas.path(f"M{number(x)} {up}V{down}", pen=Pen(INK, 2.2))


def _fading(canvas: Canvas, bar: WindowBar, ends: tuple[float, float], y: float) -> None:
    """Lasting, one end not recorded: a stub at the known end, then ever less of it."""
    side = -1 if bar.start == "not recorded" else 1
    at = ends[1] if side < 0 else ends[0]
    for start, wide in ((0, 26), (30, 12), (46, 6)):
        left = at + start if side > 0 else at - start - wide
        canvas.rect((left, y - _HALF, wide, 2 * _HALF), fill=RULE, pen=_OUTLINE)
    query(canvas, at + side * 62, y)


def _queries(canvas: Canvas, bar: WindowBar, ends: tuple[float, float], y: float) -> None:
    """Question marks at ends that are not recorded (a fading bar has its own)."""
    missing = [end == "not recorded" for end in (bar.start, bar.end)]
    if bar.lasting and missing[0] != missing[1]:
        return
    for x, gone in zip((ends[0] - 9, ends[1] + 9), missing, strict=True):
        if gone:
            query(canvas, x, y)


def _end_path(kind: str, x: float, y: float, side: int) -> str:
    """The end of a bar at *x*: pointed if approximate, an arrow if without limit."""
    if kind == "about":
        return f"L{number(x + side * _TAPER)} {number(y)}"
    if kind == "open":
        wide, point = number(x), number(x + side * 13)
        ends = (y - 5 - _HALF, y + 5 + _HALF)
        first, last = ends if side > 0 else ends[::-1]
        return f"L{wide} {number(first)}L{point} {number(y)}L{wide} {number(last)}"
    return ""


def _sense(bar: WindowBar) -> str:
    return said.THROUGH if bar.lasting else said.WITHIN


def _end_words(kind: str) -> str:
    return said.LIMITS[kind]


_Draw = Callable[[float, float], None]


def _key(canvas: Canvas, data: WindowData, box: tuple[float, float, float]) -> float:
    kinds = {end for bar in data.bars for end in (bar.start, bar.end)}
    sample = WindowBar("", "", "")
    samples = (
        (any(not b.lasting for b in data.bars), sample, said.WITHIN),
        (
            any(b.lasting for b in data.bars),
            replace(sample, lasting=True),
            said.THROUGH,
        ),
        (
            "about" in kinds,
            replace(sample, start="about", end="about"),
            said.ABOUT_SIGN,
        ),
        ("open" in kinds, replace(sample, end="open"), said.NO_LIMIT),
        (
            "not recorded" in kinds,
            replace(sample, end="not recorded"),
            said.NOT_RECORDED,
        ),
        (
            any(b.unsure for b in data.bars),
            replace(sample, unsure=True),
            said.SOURCE_UNSURE,
        ),
    )
    entries: list[tuple[_Draw, float, str]] = [
        (partial(_sample, canvas, bar), 52, words) for shown, bar, words in samples if shown
    ]
    return key_rows(canvas, entries, box) if entries else box[1]


def _sample(canvas: Canvas, bar: WindowBar, x: float, y: float) -> None:
    _shape(canvas, bar, (x + 10, x + 36), y)
    if bar.end == "not recorded":
        query(canvas, x + 45, y)


def _described(data: WindowData) -> str:
    count = len(data.bars)
    items = said.ONE_ITEM if count == 1 else said.ITEMS.format(count=count)
    words = [f"{data.title}. {items}."]
    for bar in data.bars:
        sense = _sense(bar)
        if bar.unsure:
            sense = said.SENSE_UNSURE.format(sense=sense)
        start, end = _end_words(bar.start), _end_words(bar.end)
        words.append(
            said.DATED.format(
                label=bar.label, dates=bar.words, sense=sense, start=start, end=end
            )
        )
    return " ".join(words)


def _table(data: WindowData) -> Table:
    return said.WINDOW_HEADS, tuple(
        (
            bar.label,
            bar.words,
            _sense(bar),
            _end_words(bar.start),
            _end_words(bar.end),
            said.UNSURE if bar.unsure else "",
        )
        for bar in data.bars
    )
