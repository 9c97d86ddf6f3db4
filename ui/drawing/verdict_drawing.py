"""What on an object is original, as a board: a card for each part, grouped by place.

A card shows the verdict by the pattern of its strip, by a letter and in words; the grade
by the dash of its outline, by dots and in words. The strip stands apart from the card
where the part is not in place on the object now, with a sign and words for what became
of it. A part with a caution carries a triangle and the caution's words.

More than ``FOLD_ABOVE`` parts are not drawn one by one: the largest groups are folded
into one card each, which says how many parts it stands for and what they are.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import partial
from typing import Final

from ..language import verdict, word
from . import words as said
from .palette import GRADES, INK, PAPER, verdict_class
from .signs import (
    STATUSES,
    caution,
    differs,
    fill,
    grade_dots,
    key_rows,
    letter,
    status,
    swatch,
)
from .svg import (
    BODY,
    BODY_BOLD,
    NOTE,
    PAGE_WIDTH,
    TITLE,
    Canvas,
    Drawing,
    Face,
    Pen,
    line_height,
    wrap,
)
from .verdict_data import VerdictData, VerdictGroup, VerdictPart, checked
from .verdict_words import Grouped, count_words, counted, described, folded_words, table_of

__all__ = ["FOLD_ABOVE", "VerdictData", "VerdictGroup", "VerdictPart", "draw_verdicts"]

FOLD_ABOVE: Final = 150
_MARGIN = 14.0
_GAP = 14.0
_STRIP = 15.0
_APART = 5.0
_TEXT = 44.0

_Draw = Callable[[float, float], None]


def draw_verdicts(
    data: VerdictData, *, width: float = PAGE_WIDTH, fold_above: int = FOLD_ABOVE
) -> Drawing:
    """Draw the board, *width* px wide, with at most about *fold_above* cards.

    Raises:
        ValueError: if a part's group, grade or status is not known, its verdict is not in
            the words of an assessment, or two parts share a key.
    """
    parts_of = checked(data).parts
    grouped = [
        (g, [p for p in parts_of if p.group == g.key])
        for g in (VerdictGroup("", ""), *data.groups)
    ]
    grouped = [(g, parts) for g, parts in grouped if parts]
    folded = _folded(grouped, fold_above)
    canvas = Canvas("ver", (data, width, fold_above))
    board = _Board(canvas, width, [])
    y = board.heading(data, grouped, folded)
    for group, parts in grouped:
        y = board.group(group, parts, group.key in folded, y)
    y = board.key(data, y + 6) + 6
    words = described(data, grouped, folded)
    return Drawing(
        canvas.document(width, y, data.title, words),
        data.title,
        words,
        table_of(data),
        (width, y),
        tuple(board.cuts),
    )


def _folded(grouped: Grouped, most: int) -> frozenset[str]:
    """Groups to fold, the largest first, until no more than *most* cards are left."""
    cards = sum(len(parts) for _, parts in grouped)
    folded: set[str] = set()
    for group, parts in sorted(grouped, key=lambda g: -len(g[1])):
        if cards <= most or len(parts) < 2:
            break
        folded.add(group.key)
        cards -= len(parts) - 1
    return frozenset(folded)


@dataclass(frozen=True, slots=True)
class _Line:
    """A line of a card, with the sign before it and the room that both need."""

    words: str
    face: Face = NOTE
    sign: _Draw | None = None
    shift: float = 0.0
    above: float = 0.0

    @property
    def height(self) -> float:
        return line_height(self.face) + self.above


@dataclass(frozen=True, slots=True)
class _Board:
    """The canvas, its width and the heights where the board may be cut."""

    canvas: Canvas
    width: float
    cuts: list[float]

    @property
    def room(self) -> float:
        return self.width - 2 * _MARGIN

    def heading(self, data: VerdictData, grouped: Grouped, folded: frozenset[str]) -> float:
        """Title, count, and all parts by verdict with the key to it; the lower edge."""
        c = self.canvas
        y = c.lines(_MARGIN, 26, wrap(data.title, self.room, TITLE), TITLE) - 3
        words = count_words(data, grouped, folded)
        y = c.lines(_MARGIN, y, wrap(words, self.room, NOTE), NOTE) - 4
        if not data.parts:
            return y
        y = self.bar(data.parts, (_MARGIN, y, self.room)) + 4
        verdicts: list[_Entry] = [
            (partial(_verdict_sign, c, v.key), 30, f"{word(v.words)}: {n}")
            for v, n in counted(data.parts)
        ]
        return key_rows(c, verdicts, (_MARGIN, y, self.room)) + 6

    def bar(self, parts: Sequence[VerdictPart], box: tuple[float, float, float]) -> float:
        """Parts counted by verdict, drawn in proportion; the lower edge."""
        x, y, width = box
        for each, count in counted(parts):
            wide = width * count / len(parts)
            swatch(self.canvas, each.key, (x, y, wide, 14))
            x += wide
        return y + 14

    def group(
        self, group: VerdictGroup, parts: Sequence[VerdictPart], folded: bool, y: float
    ) -> float:
        """A group's heading and cards; the lower edge."""
        if group.label:
            y = self.canvas.lines(
                _MARGIN, y + 16, wrap(group.label, self.room, BODY_BOLD), BODY_BOLD
            )
            y -= 8
        if folded:
            y = self.folded(group, parts, y)
            self.cuts.append(y + 3)
            return y + 6
        wide = (self.room - _GAP) / 2
        for i in range(0, len(parts), 2):
            row = parts[i : i + 2]
            texts = [self.lines(part, wide) for part in row]
            tall = max(sum(line.height for line in text) for text in texts) + 13
            for j, (part, text) in enumerate(zip(row, texts, strict=True)):
                self.card(part, text, (_MARGIN + j * (wide + _GAP), y, wide, tall))
            y += tall + 7
            self.cuts.append(y - 3)
        return y

    def lines(self, part: VerdictPart, wide: float) -> list[_Line]:
        """The lines of a card, each with the sign drawn before it."""
        c, room = self.canvas, wide - _TEXT - 8

        def dots(x: float, y: float) -> None:
            grade_dots(c, part.grade, x - 1, y)

        out = [_Line(t, BODY) for t in wrap(part.label, room, BODY)]
        out += [_Line(t) for t in wrap(verdict(part.verdict), room, NOTE)]
        out.append(_Line(word(part.grade), NOTE, dots, 28))
        away = part.status != "in place"
        words = ": ".join(s for s in (word(part.status) if away else "", part.place) if s)
        out += _signed(words, room, (lambda x, y: status(c, part.status, x + 9, y)), away)
        rival = verdict(part.rival)
        words = said.RIVAL.format(text=rival) if rival else ""
        out += _signed(words, room, lambda x, y: differs(c, x + 9, y))
        words = said.CAUTION.format(text=part.caution) if part.caution else ""
        out += _signed(words, room, lambda x, y: caution(c, x + 9, y))
        return out

    def card(
        self,
        part: VerdictPart,
        text: Sequence[_Line],
        box: tuple[float, float, float, float],
    ) -> None:
        """One part."""
        c, (x, y, wide, tall) = self.canvas, box
        its = verdict_class(part.verdict)
        outline = Pen(its.colour, 2, GRADES[part.grade].dash)
        left = x + _STRIP + (0 if part.status == "in place" else _APART)
        more = said.OF_PART.format(
            verdict=verdict(part.verdict), grade=word(part.grade), status=word(part.status)
        )
        with c.part(part.key, more):
            c.rect((left, y, x + wide - left, tall), fill=PAPER, pen=outline)
            c.rect((x, y, _STRIP, tall), fill=fill(c, its.key), pen=Pen(its.colour, 2))
            letter(c, its.key, x + _STRIP + 16, y + 17)
            top = y + 3
            for line in text:
                top += line.height
                if line.sign:
                    line.sign(x + _TEXT, top - 4.5)
                c.text(x + _TEXT + line.shift, top - 1, line.words, line.face)

    def folded(self, group: VerdictGroup, parts: Sequence[VerdictPart], y: float) -> float:
        """A whole group as one card with its counts; the lower edge."""
        c, words = self.canvas, folded_words(parts)
        lines = wrap(words, self.room - 20, NOTE)
        tall = 14 + len(lines) * line_height(NOTE) + 22
        with c.part(group.key or "object", said.FOLDED_GROUP):
            c.rect((_MARGIN, y, self.room, tall), fill=PAPER, pen=Pen(INK, 1.3))
            c.rect((_MARGIN + 4, y + tall, self.room - 8, 3), fill=PAPER, pen=Pen(INK, 1))
            lower = self.bar(parts, (_MARGIN + 10, y + 9, self.room - 20))
            c.lines(_MARGIN + 10, lower + 15, lines, NOTE)
        return y + tall + 5

    def key(self, data: VerdictData, y: float) -> float:
        """What dots and signs mean; the lower edge."""
        c = self.canvas
        grades = {p.grade for p in data.parts}
        sure: list[_Entry] = [
            (partial(_grade_sign, c, g), 58, word(g)) for g in GRADES if g in grades
        ]
        seen = {p.status for p in data.parts if p.status != "in place"}
        signs: list[_Entry] = [
            (partial(_status_sign, c, s), 18, word(s)) for s in STATUSES if s in seen
        ]
        if any(p.caution for p in data.parts):
            signs.append((lambda x, y: caution(c, x + 9, y), 18, said.A_CAUTION))
        for entries in filter(None, (sure, signs)):
            y = key_rows(c, entries, (_MARGIN, y, self.room)) + 2
        if seen:
            c.text(_MARGIN, y + 10, said.APART, NOTE)
            y += 16
        return y


_Entry = tuple[_Draw, float, str]


def _verdict_sign(canvas: Canvas, key: str, x: float, y: float) -> None:
    swatch(canvas, key, (x, y - 8, 15, 16))
    letter(canvas, key, x + 24, y + 4)


def _grade_sign(canvas: Canvas, grade: str, x: float, y: float) -> None:
    grade_dots(canvas, grade, x, y)
    canvas.polyline(((x + 30, y), (x + 58, y)), Pen(INK, 2, GRADES[grade].dash))


def _status_sign(canvas: Canvas, word: str, x: float, y: float) -> None:
    status(canvas, word, x + 9, y)


def _signed(words: str, room: float, sign: _Draw, drawn: bool = True) -> list[_Line]:
    """*words* in lines, the first with *sign* before it; none if there are no words."""
    if not drawn:
        return [_Line(t) for t in wrap(words, room, NOTE)]
    lines = wrap(words, room - 24, NOTE)
    return [
        _Line(t, NOTE, None if i else sign, 24, 0 if i else 6) for i, t in enumerate(lines)
    ]
