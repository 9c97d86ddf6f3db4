"""The boxes of a sequence drawing before they have a place: their words and sizes."""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Final

from .layered import Box, Line
from .sequence_data import SequenceData, SequenceItem
from .sequence_plan import Plan
from .svg import BODY, NOTE, Face, line_height, text_width, wrap

__all__ = ["BOX_WIDTH", "Card", "Label", "cards_of", "for_layout", "room_of"]

#: The words at a line, in lines.
Label = tuple[str, ...]
#: Width of a box that no line asks to be wider, px.
BOX_WIDTH: Final = 160.0
_PAIR_GAP = 20.0
_PORT = 11.0


@dataclass(frozen=True, slots=True)
class Card:
    """One box as it will be set: its lines of text and its size.

    ``complete`` tells whether the whole label is in the lines.
    """

    item: SequenceItem
    lines: tuple[tuple[str, Face], ...]
    width: float
    height: float
    complete: bool = True


def cards_of(data: SequenceData, planned: Plan, labels: Sequence[Label]) -> dict[str, Card]:
    """Every item's box, wide enough for its lines and their words."""
    arriving: defaultdict[str, float] = defaultdict(float)
    for drawn, label in zip(planned.lines, labels, strict=True):
        arriving[drawn.lower] += max(_PORT, room_of(label)[0] + 10)
    leaving = Counter(drawn.upper for drawn in planned.lines)
    cards = {}
    for item in data.items:
        lines_need = max(arriving[item.key], leaving[item.key] * _PORT) + 24
        width = max(BOX_WIDTH, lines_need)
        lines = _text_of(item, data, planned, width - 20)
        height = sum(line_height(face) for _, face in lines) + 11
        complete = not any(text.endswith("…") for text, _ in lines)
        cards[item.key] = Card(item, lines, width, height, complete)
    return cards


def _text_of(
    item: SequenceItem, data: SequenceData, planned: Plan, width: float
) -> tuple[tuple[str, Face], ...]:
    notes = [", ".join(s for s in (item.kind, item.when) if s)]
    if item.key in planned.astray:
        label = next(p.label for p in data.phases if p.key == item.phase)
        notes.append(f"phase {label} and order disagree")
    elif not item.phase and data.phases:
        notes.append(item.phase_words or "phase not recorded")
    if item.key in planned.unordered or item.key in planned.loose:
        notes.append("no order recorded")
    lines = [(text, BODY) for text in wrap(item.label, width, BODY, lines=4)]
    lines += [(t, NOTE) for note in notes for t in wrap(note, width, NOTE, lines=3)]
    return tuple(lines)


def for_layout(
    planned: Plan, cards: Mapping[str, Card], labels: Sequence[Label]
) -> tuple[dict[str, Box], list[Line], dict[str, tuple[str, float]]]:
    """Boxes of groups, lines between them, and where each item stands in its group."""
    boxes: dict[str, Box] = {}
    offset: dict[str, tuple[str, float]] = {}
    for i, group in enumerate(planned.groups):
        width = sum(cards[k].width for k in group) + _PAIR_GAP * (len(group) - 1)
        boxes[str(i)] = Box(width, max(cards[k].height for k in group))
        x = -width / 2
        for key in group:
            offset[key] = (str(i), x + cards[key].width / 2)
            x += cards[key].width + _PAIR_GAP
    lines = [
        Line(
            offset[d.upper][0],
            offset[d.lower][0],
            room_of(label),
            _stretch(offset[d.upper][1], cards[d.upper]),
            _stretch(offset[d.lower][1], cards[d.lower]),
        )
        for d, label in zip(planned.lines, labels, strict=True)
    ]
    return boxes, lines, offset


def room_of(label: Label) -> tuple[float, float]:
    """Width and height that the words at a line take, px."""
    if not label:
        return 0.0, 0.0
    return max(text_width(t, NOTE) for t in label) + 2, len(label) * line_height(NOTE) + 1


def _stretch(middle: float, card: Card) -> tuple[float, float]:
    half = card.width / 2 - 8
    return middle - half, middle + half
