"""The order in which things came about, as a drawing: latest above, earliest below.

One box is one layer, element, feature or happening; a line says that the upper one is
later, and carries the ids of the claims that say so. Where lines cross without meeting,
the level one is broken. Phases are bands behind; what is not known to be in a phase
stands in a hole of the band. Statements that contradict each other are drawn as they
were made, in red dashes with the word "contradiction".
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from itertools import pairwise

from .layered import Layout, layered
from .palette import BAND, INK, PAPER, RED, RULE
from .sequence_cards import BOX_WIDTH, Card, Label, cards_of, for_layout, room_of
from .sequence_data import (
    SameEvent,
    SequenceData,
    SequenceItem,
    SequenceLoop,
    SequencePhase,
    SequenceRelation,
)
from .sequence_plan import Drawn, Plan, plan
from .sequence_words import claim_words, described, labels_of, table_of
from .signs import key_rows
from .svg import (
    NOTE,
    NOTE_BOLD,
    PAGE_WIDTH,
    TITLE,
    Canvas,
    Drawing,
    Pen,
    Point,
    line_height,
    number,
    wrap,
)

__all__ = [
    "SameEvent",
    "SequenceData",
    "SequenceItem",
    "SequenceLoop",
    "SequencePhase",
    "SequenceRelation",
    "draw_sequence",
]

_MARGIN = 14.0
_BOX_GAP = 28.0
_GUTTER = 106.0
_PAD = 8.0
#: A band reaches over the words above its uppermost boxes.
_ABOVE = 19.0
#: A box with more lines than this on its upper side shows their claims in the table only.
_MOST_LABELS = 10

_ORDER = Pen(INK, 1.4)
_AGAINST = Pen(RED, 2, "6 3")
_THIN = Pen(RULE, 0.8)
_OUTLINE = Pen(INK, 1.3)


def draw_sequence(data: SequenceData, *, width: float = PAGE_WIDTH) -> Drawing:
    """Draw the order of *data*.

    *width* px hold so many boxes side by side; the drawing is wider if lines that pass or
    boxes with many lines ask for it.

    Raises:
        ValueError: if a relation or phase names something that is not given, or two
            items share a key.
    """
    gutter = _GUTTER if data.phases else 0.0
    across = int((width - gutter - 4 * _MARGIN + _BOX_GAP) // (BOX_WIDTH + _BOX_GAP))
    planned = plan(data, max(2, across))
    labels = labels_of(planned, _MOST_LABELS)
    cards = cards_of(data, planned, labels)
    boxes, lines, offset = for_layout(planned, cards, labels)
    row_of = {str(i): r for i, r in enumerate(planned.row_of)}
    layout = layered(boxes, lines, row_of, gap=_BOX_GAP)
    whole = max(width, gutter + layout.width + 4 * _MARGIN)
    canvas = Canvas("seq", (data, width))
    top = _heading(canvas, data, planned, whole) + 20
    left = _MARGIN + gutter + (whole - gutter - 2 * _MARGIN - layout.width) / 2
    spots = {
        key: (layout.places[group][0] + dx + left, layout.places[group][1] + top)
        for key, (group, dx) in offset.items()
    }
    routes = [tuple((x + left, y + top) for x, y in route) for route in layout.routes]
    sheet = _Sheet(canvas, data, planned, cards, spots, routes, labels, whole)
    sheet.bands(layout, top)
    sheet.holes()
    sheet.relations()
    sheet.pairs()
    for key, spot in spots.items():
        _draw_card(canvas, cards[key], spot)
    y = sheet.key(sheet.loose(top + layout.height + 20) + 4) + 8
    words = described(data, planned)
    return Drawing(
        canvas.document(whole, y, data.title, words),
        data.title,
        words,
        table_of(data, planned),
        (whole, y),
        sheet.cuts(layout, top),
    )


def _heading(canvas: Canvas, data: SequenceData, planned: Plan, whole: float) -> float:
    room = whole - 2 * _MARGIN
    y = canvas.lines(_MARGIN, 26, wrap(data.title, room, TITLE), TITLE)
    words = "Latest above, earliest below."
    if planned.lines:
        drawn = len(planned.lines)
        words += f" {drawn} relation{'s' if drawn > 1 else ''} drawn."
    if data.left_out:
        words += f" {data.left_out} more follow from these and are left out."
    return canvas.lines(_MARGIN, y - 3, wrap(words, room, NOTE))


_Draw = Callable[[float, float], None]


@dataclass(frozen=True, slots=True)
class _Sheet:
    """Everything the marks of one drawing are made from."""

    canvas: Canvas
    data: SequenceData
    planned: Plan
    cards: Mapping[str, Card]
    spots: Mapping[str, Point]
    routes: Sequence[tuple[Point, ...]]
    labels: Sequence[Label]
    whole: float

    def cuts(self, layout: Layout, top: float) -> tuple[float, ...]:
        """Heights between two rows, where a long drawing may go on over the page."""
        rows = reversed(layout.rows)
        return tuple(lower + top + _PAD for _, lower in rows)

    def bands(self, layout: Layout, top: float) -> None:
        """A tinted band with its name for each phase that has items."""
        rows: defaultdict[int, set[int]] = defaultdict(set)
        for group, row in zip(self.planned.groups, self.planned.row_of, strict=True):
            if group[0] in self.planned.band_of:
                rows[self.planned.band_of[group[0]]].add(row)
        for band, used in rows.items():
            upper = layout.rows[max(used)][0] + top - _ABOVE
            lower = layout.rows[min(used)][1] + top + _PAD
            self._band(self.data.phases[band], upper, lower)

    def _band(self, phase: SequencePhase, upper: float, lower: float) -> None:
        left, right = _MARGIN + _GUTTER, self.whole - _MARGIN
        with self.canvas.part(phase.key, "Phase of the object."):
            self.canvas.rect((left, upper, right - left, lower - upper), fill=BAND)
            for y in (upper, lower):
                self.canvas.polyline(((_MARGIN, y), (right, y)), _THIN)
            room = _GUTTER - 10
            named = wrap(phase.label, room, NOTE_BOLD, lines=4)
            y = self.canvas.lines(_MARGIN, upper + 14, named, NOTE_BOLD)
            self.canvas.lines(_MARGIN, y, wrap(phase.when, room, NOTE, lines=3), NOTE)

    def holes(self) -> None:
        """White round what is not known to be in a phase: the band must not claim it."""
        for key, (x, y) in self.spots.items():
            if self.data.phases and key not in self.planned.band_of:
                w = self.cards[key].width + 2 * _PAD
                h = self.cards[key].height + 2 * _PAD
                self.canvas.rect((x - w / 2, y - h / 2, w, h), fill=PAPER)

    def relations(self) -> None:
        """The lines, broken where they cross, with their arrows and claims."""
        for drawn, route in zip(self.planned.lines, self.routes, strict=True):
            _stroke(self.canvas, route, drawn)
        for x, y, i in _crossings(self.routes):
            gap = ((x, y - 5), (x, y + 5))
            self.canvas.polyline(gap, Pen(PAPER, 8))
            _stroke(self.canvas, gap, self.planned.lines[i])
        for drawn, route, label in zip(
            self.planned.lines, self.routes, self.labels, strict=True
        ):
            self._marked(drawn, route, label)

    def _marked(self, drawn: Drawn, route: Sequence[Point], label: Label) -> None:
        r, (x, y) = drawn.relation, route[-1]
        key = r.claims[0] if r.claims else f"{r.later} {r.earlier}"
        more = f"{r.later} {r.words} {r.earlier}. {claim_words(r.claims)}"
        with self.canvas.part(key, more):
            if drawn.upwards:
                _arrow(self.canvas, *route[0], up=True)
            elif drawn.against and not drawn.double:
                _arrow(self.canvas, x, y, up=False)
            if label:
                wide, tall = room_of(label)
                self.canvas.rect((x + 4, y - tall - 1, wide + 1, tall - 1), fill=PAPER)
                self.canvas.lines(x + 5, y - tall + 10, label, NOTE)

    def pairs(self) -> None:
        """The double line between neighbours of one group."""
        said = {frozenset((s.one, s.other)): s for s in self.data.same}
        for left, right in (p for g in self.planned.groups for p in pairwise(g)):
            same = said.get(frozenset((left, right)), SameEvent(left, right))
            start = self.spots[left][0] + self.cards[left].width / 2
            end = self.spots[right][0] - self.cards[right].width / 2
            more = f"{left} {same.words} {right}. {claim_words(same.claims)}"
            with self.canvas.part(
                same.claims[0] if same.claims else f"{left} {right}", more
            ):
                _double(self.canvas, start, end, self.spots[left][1])

    def loose(self, y: float) -> float:
        """Items with neither order nor phase, in a grid of their own; the lower edge."""
        keys = self.planned.loose
        if not keys:
            return y
        self.canvas.polyline(((_MARGIN, y), (self.whole - _MARGIN, y)), _THIN)
        self.canvas.text(_MARGIN, y + 18, "Neither order nor phase recorded", NOTE_BOLD)
        across = max(1, int((self.whole - 2 * _MARGIN + 10) // (BOX_WIDTH + 10)))
        y += 28
        for i in range(0, len(keys), across):
            row = [self.cards[k] for k in keys[i : i + across]]
            tall = max(card.height for card in row)
            for j, card in enumerate(row):
                x = _MARGIN + j * (BOX_WIDTH + 10) + BOX_WIDTH / 2
                _draw_card(self.canvas, card, (x, y + tall / 2))
            y += tall + 10
        return y

    def key(self, y: float) -> float:
        """What the lines and shapes mean; the lower edge."""
        canvas, lines = self.canvas, self.planned.lines

        def line(pen: Pen) -> _Draw:
            return lambda x, y: canvas.polyline(((x, y), (x + 28, y)), pen)

        def shape(kind: str) -> _Draw:
            return lambda x, y: _outline(canvas, kind, (x, y - 8, 28, 16))

        entries: list[tuple[_Draw, float, str]] = []
        if any(not d.against for d in lines):
            entries.append((line(_ORDER), 28, "the upper one is later"))
        if any(d.against for d in lines):
            words = "contradiction, the arrow points to what is said to be earlier"
            entries.append((line(_AGAINST), 28, words))
        if any(len(g) > 1 for g in self.planned.groups):
            entries.append((lambda x, y: _double(canvas, x, x + 28, y), 28, "same event"))
        seen = [i.kind for i in self.data.items]
        entries += [(shape(k), 28, k) for k in _SHAPES if k in seen]
        if not entries:
            return y
        return key_rows(canvas, entries, (_MARGIN, y, self.whole - 2 * _MARGIN))


#: Kinds with a shape of their own; every other kind is a plain box.
_SHAPES = ("layer", "feature", "absence", "happening", "event")


def _stroke(canvas: Canvas, route: Sequence[Point], drawn: Drawn) -> None:
    pen = _AGAINST if drawn.against else _ORDER
    for away in (-2.2, 2.2) if drawn.double else (0,):
        canvas.polyline([(x + away, y + away) for x, y in route], pen)


def _double(canvas: Canvas, start: float, end: float, y: float) -> None:
    for dy in (-2.5, 2.5):
        canvas.polyline(((start, y + dy), (end, y + dy)), _ORDER)


def _arrow(canvas: Canvas, x: float, y: float, *, up: bool) -> None:
    """An arrow head whose point touches the box at (*x*, *y*)."""
    canvas.path(f"M{number(x)} {number(y)}l-5 {9 if up else -9}h10Z", fill=RED)


def _crossings(routes: Sequence[Sequence[Point]]) -> list[tuple[float, float, int]]:
    """Where an upright stretch of a line (its number) crosses a level one of another."""
    level, upright = [], []
    for i, route in enumerate(routes):
        for (x1, y1), (x2, y2) in pairwise(route):
            if abs(y1 - y2) < 0.1:
                level.append((min(x1, x2), max(x1, x2), y1, i))
            else:
                upright.append((x1, y1, y2, i))
    return [
        (x, y, j)
        for left, right, y, i in level
        for x, top, bottom, j in upright
        if i != j and left + 1 < x < right - 1 and top + 1 < y < bottom - 1
    ]


def _outline(canvas: Canvas, kind: str, box: tuple[float, float, float, float]) -> None:
    x, y, w, h = box
    if kind in ("feature", "absence"):
        cut = min(12.0, h / 2)
        canvas.path(
            f"M{number(x)} {number(y)}h{number(w - cut)}l{number(cut)} {number(cut)}"
            f"v{number(h - cut)}h{number(-w)}Z",
            fill=PAPER,
            pen=Pen(INK, 1.3, "5 2") if kind == "absence" else _OUTLINE,
        )
        return
    corner = min(h / 2, 12.0) if kind in ("happening", "event") else 0.0
    canvas.rect(box, fill=PAPER, pen=_OUTLINE, round_by=corner)
    if kind == "layer":
        canvas.rect((x, y + h - 4, w, 4), fill=RULE)


def _draw_card(canvas: Canvas, card: Card, spot: Point) -> None:
    x, y = spot[0] - card.width / 2, spot[1] - card.height / 2
    whole = "" if card.complete else f"In full: {card.item.label}."
    with canvas.part(card.item.key, whole):
        _outline(canvas, card.item.kind, (x, y, card.width, card.height))
        y += 3
        for text, face in card.lines:
            y += line_height(face)
            canvas.text(x + 10, y - 1, text, face)
