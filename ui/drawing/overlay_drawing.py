"""One face laid on another: marks that meet, marks that should have met, and the rest.

Told apart by shape, so that a grey print reads the same: marks of the first face are
circles, of the second squares; those that meet are filled and joined, those that should
have met and did not are open with a cross, those that lie beyond the other face are
small. Two edges stand side by side, each mark at its height.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field
from functools import partial

from .overlay_data import (
    LONELY,
    MET,
    OverlayData,
    OverlayLineData,
    OverlayMarkData,
)
from .palette import INK, PAPER, RED, RULE
from .signs import cross, key_rows
from .svg import (
    NOTE,
    NOTE_BOLD,
    PAGE_WIDTH,
    TITLE,
    Canvas,
    Drawing,
    Pen,
    Point,
    Table,
    line_height,
    text_width,
    wrap,
)

__all__ = ["draw_overlay"]

_MARGIN = 14.0
_PLOT_HIGH = 560.0
_EDGE_HIGH = 460.0
_SIGN = 5.0
_LABEL_GAP = 12.0
_CLEAR = 8.0


def draw_overlay(data: OverlayData, *, width: float = PAGE_WIDTH) -> Drawing:
    """Draw *data*; *width* is the width in px."""
    canvas = Canvas("ovl", (data, width))
    room = width - 2 * _MARGIN
    y = canvas.lines(_MARGIN, 26, wrap(data.title, room, TITLE), TITLE)
    for note in data.notes:
        y = canvas.lines(_MARGIN, y - 2, wrap(note, room, NOTE), NOTE) + 2
    sheet = (_EdgeSheet if data.edges else _FaceSheet)(canvas, data, width, y + 8)
    y = sheet.draw()
    y = _key(canvas, data, y + 18, room) + 6
    words = _described(data)
    svg = canvas.document(width, y, data.title, words)
    return Drawing(svg, data.title, words, _table(data), (width, y))


@dataclass(slots=True)
class _FaceSheet:
    """Two outlines over each other, with the marks and lines of both."""

    canvas: Canvas
    data: OverlayData
    width: float
    top: float

    def draw(self) -> float:
        """Draw outlines, lines, then marks; the lower edge."""
        points = self._all_points()
        low = (min(x for x, _ in points), min(y for _, y in points))
        high = (max(x for x, _ in points), max(y for _, y in points))
        span = (max(high[0] - low[0], 1.0), max(high[1] - low[1], 1.0))
        room = self.width - 2 * _MARGIN - 20
        scale = min(room / span[0], _PLOT_HIGH / span[1])
        left = _MARGIN + 10 + (room - span[0] * scale) / 2
        bottom = self.top + span[1] * scale

        def at(point: Point) -> Point:
            return (
                left + (point[0] - low[0]) * scale,
                bottom - (point[1] - low[1]) * scale,
            )

        self._outlines(at)
        for line in self.data.lines:
            self._line(line, at)
        labels = _Labels(self.canvas, self.width)
        for mark in self.data.marks:
            labels.keep_clear(at(mark.at_mm))
        for mark in self.data.marks:
            _mark(self.canvas, mark, at(mark.at_mm), labels)
        return bottom + 14

    def _all_points(self) -> list[Point]:
        points = [p for outline in self.data.outlines_mm for p in outline]
        points += [mark.at_mm for mark in self.data.marks]
        return points + [p for line in self.data.lines for p in line.points_mm]

    def _outlines(self, at: Callable[[Point], Point]) -> None:
        first, second = self.data.outlines_mm
        pens = ((second, Pen(INK, 1.6)), (first, Pen(RULE, 1.6, "7 4")))
        for corners, pen in pens:
            self.canvas.polyline([at(p) for p in (*corners, corners[0])], pen)

    def _line(self, line: OverlayLineData, at: Callable[[Point], Point]) -> None:
        points = [at(p) for p in line.points_mm]
        points += points[:1] if line.closed else []
        with self.canvas.part(line.number, f"{line.kind}, {_whose(self.data, line.first)}"):
            pen = Pen(INK, 1.6, "6 3" if line.first else "")
            self.canvas.polyline(points, pen)


@dataclass(slots=True)
class _EdgeSheet:
    """Two edges upright beside each other, each mark at its height."""

    canvas: Canvas
    data: OverlayData
    width: float
    top: float

    def draw(self) -> float:
        """Draw both edges, the ties between marks that meet, and the marks."""
        ends = [p[1] for outline in self.data.outlines_mm for p in outline]
        ends += [mark.at_mm[1] for mark in self.data.marks]
        low, high = min(ends), max(ends)
        top = self.top + 20
        scale = _EDGE_HIGH / max(high - low, 1.0)
        bottom = top + _EDGE_HIGH
        columns = (self.width * 0.42, self.width * 0.58)

        def at(height: float) -> float:
            return bottom - (height - low) * scale

        for name, x, outline in zip(
            (self.data.first, self.data.second),
            columns,
            self.data.outlines_mm,
            strict=True,
        ):
            self.canvas.text(x, self.top + 8, name, NOTE_BOLD, anchor="middle")
            a, b = at(outline[0][1]), at(outline[-1][1])
            box = (x - 9, min(a, b), 18.0, abs(b - a))
            self.canvas.rect(box, fill=PAPER, pen=Pen(RULE, 1.2))
        self._ties(columns, at)
        taken: tuple[list[float], list[float]] = ([], [])
        for mark in sorted(self.data.marks, key=lambda one: -one.at_mm[1]):
            self._mark(mark, columns[0 if mark.first else 1], at(mark.at_mm[1]), taken)
        return bottom + 14

    def _ties(self, columns: tuple[float, float], at: Callable[[float], float]) -> None:
        heights = {m.number: m.at_mm[1] for m in self.data.marks if not m.first}
        for mark in self.data.marks:
            if mark.first and mark.partner in heights:
                a = (columns[0] + 9, at(mark.at_mm[1]))
                b = (columns[1] - 9, at(heights[mark.partner]))
                self.canvas.polyline((a, b), Pen(INK, 1.6))

    def _mark(
        self,
        mark: OverlayMarkData,
        x: float,
        y: float,
        taken: tuple[list[float], list[float]],
    ) -> None:
        column = taken[0 if mark.first else 1]
        words = f"{mark.number}  {mark.at_mm[1]:.0f} mm"
        line = y + 4
        if column and line < column[-1] + line_height(NOTE):
            line = column[-1] + line_height(NOTE)
        column.append(line)
        side = -1 if mark.first else 1
        with self.canvas.part(mark.number, _said(mark)):
            _sign(self.canvas, mark, x, y)
            self.canvas.polyline(
                ((x + side * 10, y), (x + side * 24, line - 4)), Pen(RULE, 0.8)
            )
            anchor = "end" if mark.first else "start"
            self.canvas.text(x + side * 28, line, words, NOTE, anchor=anchor)


@dataclass(slots=True)
class _Labels:
    """Where words can stand without touching each other."""

    canvas: Canvas
    width: float
    taken: list[tuple[float, float, float, float]] = field(default_factory=list)

    def keep_clear(self, at: Point) -> None:
        """Leave the place of a sign free of words."""
        x, y = at
        self.taken.append((x - _CLEAR, y - _CLEAR, x + _CLEAR, y + _CLEAR))

    def put(self, words: str, x: float, y: float) -> None:
        """Write *words* beside (x, y) where there is room; leave them out elsewhere."""
        wide, high = text_width(words, NOTE), line_height(NOTE)
        for dx, dy in (
            (_LABEL_GAP, 4.0),
            (-_LABEL_GAP - wide, 4.0),
            (-wide / 2, -_LABEL_GAP),
            (-wide / 2, _LABEL_GAP + 9),
        ):
            box = (x + dx, y + dy - high + 3, x + dx + wide, y + dy + 3)
            inside = box[0] >= _MARGIN and box[2] <= self.width - _MARGIN
            if inside and not any(_touch(box, other) for other in self.taken):
                self.taken.append(box)
                room = (box[0] - 1, box[1] + 2, wide + 2, high - 2)
                self.canvas.rect(room, fill=PAPER)
                self.canvas.text(x + dx, y + dy, words, NOTE)
                return


def _touch(
    a: tuple[float, float, float, float], b: tuple[float, float, float, float]
) -> bool:
    return a[0] < b[2] and b[0] < a[2] and a[1] < b[3] and b[1] < a[3]


def _mark(canvas: Canvas, mark: OverlayMarkData, at: Point, labels: _Labels) -> None:
    with canvas.part(mark.number, _said(mark)):
        _sign(canvas, mark, *at)
        # One label for two marks that meet: the second's stands in the table.
        if mark.first or mark.fate != MET:
            labels.put(mark.number, *at)


def _sign(canvas: Canvas, mark: OverlayMarkData, x: float, y: float) -> None:
    size = _SIGN if mark.fate in (MET, LONELY) else _SIGN * 0.6
    filled = INK if mark.fate == MET and mark.first else PAPER
    pen = Pen(RED if mark.fate == LONELY else INK, 1.5)
    if mark.first:
        canvas.circle(x, y, size * 0.8, fill=filled, pen=pen)
    else:
        fill = "none" if mark.fate == MET else PAPER
        side = size * 2.6 if mark.fate == MET else size * 1.8
        canvas.rect((x - side / 2, y - side / 2, side, side), fill=fill, pen=pen)
    if mark.fate == LONELY:
        cross(canvas, x, y, RED)


def _whose(data: OverlayData, first: bool) -> str:
    return f"on {data.first if first else data.second}"


def _said(mark: OverlayMarkData) -> str:
    if mark.fate == MET and mark.residual_mm is not None:
        return f"{mark.kind}: meets {mark.partner}, {mark.residual_mm:.1f} mm apart."
    return f"{mark.kind}: {mark.fate}."


def _key(canvas: Canvas, data: OverlayData, y: float, room: float) -> float:
    def sample(first: bool, fate: str) -> Callable[[float, float], None]:
        mark = OverlayMarkData(first, "", "", (0.0, 0.0), fate)
        return lambda x, y: _sign(canvas, mark, x + 8, y)

    here = {(m.first, m.fate) for m in data.marks}
    entries: list[tuple[Callable[[float, float], None], float, str]] = [
        (sample(first, fate), 16, f"on {data.first if first else data.second}, {fate}")
        for fate in (MET, LONELY)
        for first in (True, False)
        if (first, fate) in here
    ]
    if any(m.fate not in (MET, LONELY) for m in data.marks):
        entries.append((sample(True, ""), 16, "small: the other does not reach there"))
    if not data.edges:
        outline = partial(_stroke, canvas, Pen(RULE, 1.6, "7 4"))
        entries.append((outline, 28, f"outline of {data.first}"))
        stays = partial(_stroke, canvas, Pen(INK, 1.6))
        entries.append((stays, 28, f"outline of {data.second}"))
    return key_rows(canvas, entries, (_MARGIN, y, room))


def _stroke(canvas: Canvas, pen: Pen, x: float, y: float) -> None:
    canvas.polyline(((x, y), (x + 28, y)), pen)


def _described(data: OverlayData) -> str:
    met = [m for m in data.marks if m.first and m.fate == MET]
    lonely = [m for m in data.marks if m.fate == LONELY]
    pairs = "; ".join(
        f"{m.number} with {m.partner}"
        + ("" if m.residual_mm is None else f", {m.residual_mm:.1f} mm apart")
        for m in met
    )
    alone = ", ".join(f"{m.number} {_whose(data, m.first)}" for m in lonely)
    beyond = [m.number for m in data.marks if m.fate not in (MET, LONELY)]
    drawn = [f"{n.number}, {n.kind} {_whose(data, n.first)}" for n in data.lines]
    mirror = " in mirror image" if data.mirrored else ""
    laid = "beside" if data.edges else f"laid{mirror} on"
    notes = " ".join(data.notes)
    return (
        f"{data.title}. {data.first} {laid} {data.second}. {notes} "
        f"Marks that meet: {pairs or 'none'}. Should have met and did not: "
        f"{alone or 'none'}. Where the other does not reach: "
        f"{', '.join(beyond) or 'none'}. Lines and outlines: {'; '.join(drawn) or 'none'}."
    )


def _table(data: OverlayData) -> Table:
    heads = ("Mark", "Of", "Kind", "At, mm", "What became of it", "Partner", "Apart, mm")
    return heads, tuple(
        (
            m.number,
            data.first if m.first else data.second,
            m.kind,
            f"{m.at_mm[1]:.1f}" if data.edges else f"{m.at_mm[0]:.1f}, {m.at_mm[1]:.1f}",
            m.fate,
            m.partner,
            "" if m.residual_mm is None else f"{m.residual_mm:.1f}",
        )
        for m in data.marks
    )
