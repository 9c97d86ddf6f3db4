"""How the pieces of an object stood side by side, one row for each state.

A line joins the same piece in two states that follow each other: heavy where it stands in
another place, thin where it stayed. A state is compared with the one above it, another
reading of a state and the state after that with the state itself. A piece that differs
has a heavy outline and the sign for "not the same", and the row says it in words.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from functools import partial

from .palette import INK, PAPER, RED, RULE
from .signs import differs, key_rows
from .svg import (
    BODY_BOLD,
    NOTE,
    NOTE_BOLD,
    PAGE_WIDTH,
    TITLE,
    Canvas,
    Drawing,
    Face,
    Pen,
    Point,
    Table,
    line_height,
    text_width,
    wrap,
)

__all__ = [
    "ArrangementData",
    "ArrangementPiece",
    "ArrangementPlace",
    "ArrangementState",
    "draw_arrangements",
]

_MARGIN = 14.0
_GUTTER = 176.0
_JOINT = 30.0
_PIECE = 104.0
_LEAST_PIECE = 40.0
_TALL = 74.0
_BETWEEN = 46.0
_LETTER = Face(26, bold=True)


@dataclass(frozen=True, slots=True)
class ArrangementPiece:
    """A piece whose place changes: a leaf, a panel, a string.

    Attributes:
        key: the record's key.
        letter: the short name drawn large, e.g. "A".
        label: what is on it, e.g. "river bend".
    """

    key: str
    letter: str
    label: str = ""


@dataclass(frozen=True, slots=True)
class ArrangementPlace:
    """What stands in one place: a piece, or nothing if *piece* is "".

    Attributes:
        piece: key of the piece.
        note: how it stands, e.g. "turned upside down"; "" as usual.
    """

    piece: str
    note: str = ""


@dataclass(frozen=True, slots=True)
class ArrangementState:
    """One state of the object.

    Attributes:
        key: the record's key.
        label: its name, e.g. "Second hanging".
        when: its dates in words.
        places: from left to right as one stands before it.
        strength: how strongly the evidence speaks for it, in a word of its scale.
        basis: ids of the claims it rests on.
        joints: what holds neighbours together, in words; one fewer than the places, or
            none at all where nothing is recorded.
        away: keys of pieces that were not in place.
        rival: whether it is another reading of the state above, not a later state.
    """

    key: str
    label: str
    when: str
    places: tuple[ArrangementPlace, ...]
    strength: str = ""
    basis: tuple[str, ...] = ()
    joints: tuple[str, ...] = ()
    away: tuple[str, ...] = ()
    rival: bool = False


@dataclass(frozen=True, slots=True)
class ArrangementData:
    """Everything in one drawing; states earliest first."""

    title: str
    pieces: tuple[ArrangementPiece, ...]
    states: tuple[ArrangementState, ...]


def draw_arrangements(data: ArrangementData, *, width: float = PAGE_WIDTH) -> Drawing:
    """Draw the states of *data*; *width* is the least width in px, more is taken if needed.

    Raises:
        ValueError: if a state names a piece that is not given, names one twice, or its
            joints are neither none nor one fewer than its places.
    """
    _check(data)
    most = max((len(s.places) for s in data.states), default=1)
    free = width - 2 * _MARGIN - _GUTTER - (most - 1) * _JOINT
    size = min(_PIECE, max(_LEAST_PIECE, free / most))
    whole = max(width, _GUTTER + 2 * _MARGIN + most * size + (most - 1) * _JOINT)
    canvas = Canvas("arr", (data, width))
    y = canvas.lines(_MARGIN, 26, wrap(data.title, whole - 2 * _MARGIN, TITLE), TITLE)
    sheet = _Sheet(canvas, data, {p.key: p for p in data.pieces}, size, whole)
    y = sheet.heading(most, y)
    tops, cuts = [], []
    for i in range(len(data.states)):
        tops.append(y)
        y += sheet.height(i) + _BETWEEN
        cuts.append(y - _BETWEEN + 4)
    for i in range(1, len(tops)):
        sheet.moves(i, tops)
    for i, top in enumerate(tops):
        sheet.state(i, top)
    y = sheet.key(y - _BETWEEN + 18) + 6
    words = _described(data)
    svg = canvas.document(whole, y, data.title, words)
    return Drawing(svg, data.title, words, _table(data), (whole, y), tuple(cuts))


def _check(data: ArrangementData) -> None:
    known = {p.key for p in data.pieces}
    for state in data.states:
        named = [p.piece for p in state.places if p.piece] + list(state.away)
        if not set(named) <= known:
            missing = ", ".join(sorted(set(named) - known))
            raise ValueError(f"{state.key}: these pieces are not given: {missing}")
        if len(set(named)) < len(named):
            raise ValueError(f"{state.key}: a piece stands in two places")
        if state.joints and len(state.joints) != len(state.places) - 1:
            raise ValueError(
                f"{state.key}: {len(state.places)} places have {len(state.places) - 1} "
                f"joints, not {len(state.joints)}"
            )


def _compared(states: tuple[ArrangementState, ...], i: int) -> int | None:
    """The state that state *i* is compared with: the one before that is not a rival."""
    before = [j for j in range(i) if not states[j].rival]
    return before[-1] if before else None


def _differing(data: ArrangementData, i: int) -> tuple[str, ...]:
    """Keys of the pieces that stand otherwise than in the state compared with."""
    other = _compared(data.states, i)
    if other is None:
        return ()
    was, now = _standing(data.states[other]), _standing(data.states[i])
    return tuple(p.key for p in data.pieces if was.get(p.key) != now.get(p.key))


def _difference(data: ArrangementData, i: int) -> str:
    """What differs from the state compared with, in words; "" if there is none."""
    other = _compared(data.states, i)
    if other is None:
        return ""
    letters = {p.key: p.letter for p in data.pieces}
    words = [letters[k] for k in _differing(data, i)]
    was, now = data.states[other].joints, data.states[i].joints
    if was and now and was != now:
        words.append("joints")
    said = f"differs: {', '.join(words)}" if words else "no difference recorded"
    if other == i - 1:
        return said
    return f"compared with {data.states[other].label}, {said}"


def _standing(state: ArrangementState) -> dict[str, tuple[int, str]]:
    return {p.piece: (i, p.note) for i, p in enumerate(state.places) if p.piece}


@dataclass(frozen=True, slots=True)
class _Sheet:
    canvas: Canvas
    data: ArrangementData
    pieces: Mapping[str, ArrangementPiece]
    size: float
    whole: float

    def left(self, place: int) -> float:
        return _MARGIN + _GUTTER + place * (self.size + _JOINT)

    def heading(self, most: int, y: float) -> float:
        """What a row is, and the numbers of the places; the lower edge."""
        words = (
            "One row for each state, earliest above. Left to right as one stands before it."
        )
        y = self.canvas.lines(_MARGIN, y - 3, wrap(words, self.whole - 28, NOTE), NOTE) + 8
        for i in range(most):
            x = self.left(i) + self.size / 2
            self.canvas.text(x, y, f"place {i + 1}", NOTE, anchor="middle")
        return y + 8

    def gutter(self, i: int) -> list[tuple[str, Face]]:
        """The words at the left of row *i*."""
        state, room = self.data.states[i], _GUTTER - 16
        lines = [(t, BODY_BOLD) for t in wrap(_named(state), room, BODY_BOLD)]
        notes = [state.when, f"evidence: {state.strength}" if state.strength else ""]
        notes.append(", ".join(state.basis))
        for words in filter(None, notes):
            lines += [(t, NOTE) for t in wrap(words, room, NOTE)]
        said = _difference(self.data, i)
        lines += [(t, NOTE_BOLD) for t in wrap(said, room, NOTE_BOLD)]
        if state.away:
            gone = ", ".join(self.pieces[k].letter for k in state.away)
            lines += [(t, NOTE) for t in wrap(f"not in place: {gone}", room, NOTE)]
        return lines

    def below(self, i: int) -> float:
        """Room under the pieces of row *i* for the words of its joints."""
        return max((len(t) for t in self.joints(i)), default=0) * line_height(NOTE) + 4

    def joints(self, i: int) -> list[tuple[str, ...]]:
        room = self.size + _JOINT - 8
        return [wrap(j, room, NOTE, lines=3) for j in self.data.states[i].joints]

    def height(self, i: int) -> float:
        words = sum(line_height(face) for _, face in self.gutter(i)) + 6
        return max(_TALL + self.below(i), words)

    def moves(self, i: int, tops: list[float]) -> None:
        """Lines from the pieces of the state compared with to those of row *i*."""
        other = _compared(self.data.states, i)
        if other is None or other != i - 1 or self.data.states[i].rival:
            # A line behind a row between would seem to come from that row; a line to
            # another reading would seem to be a move.
            return
        was, now = _standing(self.data.states[other]), _standing(self.data.states[i])
        start, end = tops[other] + _TALL, tops[i]
        for key in (k for k in was if k in now):
            a = (self.left(was[key][0]) + self.size / 2, start)
            b = (self.left(now[key][0]) + self.size / 2, end)
            moved = was[key][0] != now[key][0]
            self.canvas.polyline((a, b), Pen(INK, 2.4) if moved else Pen(RULE, 1))

    def state(self, i: int, top: float) -> None:
        """One row: its words, its pieces, its joints."""
        c, state = self.canvas, self.data.states[i]
        with c.part(state.key, ""):
            y = top
            for words, face in self.gutter(i):
                y += line_height(face)
                c.text(_MARGIN, y, words, face)
        different = set(_differing(self.data, i))
        for j, place in enumerate(state.places):
            self.place(place, (self.left(j), top), place.piece in different)
        for j, lines in enumerate(self.joints(i)):
            self.joint(lines, (self.left(j) + self.size, top))

    def place(self, place: ArrangementPlace, at: Point, different: bool) -> None:
        """A piece in its place, or an empty place."""
        c, (x, y), size = self.canvas, at, self.size
        middle = x + size / 2
        if not place.piece:
            c.rect((x, y, size, _TALL), fill=PAPER, pen=Pen(RULE, 1, "4 3"))
            c.text(middle, y + _TALL / 2 + 4, "empty", NOTE, anchor="middle")
            return
        piece = self.pieces[place.piece]
        with c.part(
            piece.key, "Differs from the state compared with." if different else ""
        ):
            pen = Pen(RED, 3) if different else Pen(INK, 1.3)
            c.rect((x, y, size, _TALL), fill=PAPER, pen=pen)
            c.text(middle, y + 34, piece.letter, _LETTER, anchor="middle")
            words = ", ".join(s for s in (piece.label, place.note) if s)
            for k, line in enumerate(wrap(words, size - 8, NOTE, lines=2)):
                c.text(middle, y + 51 + k * line_height(NOTE), line, NOTE, anchor="middle")
            if different:
                differs(c, x + 13, y + 13)

    def joint(self, lines: tuple[str, ...], at: Point) -> None:
        """Two ties between neighbours, and below what they are."""
        c, (x, y) = self.canvas, at
        for dy in (18, _TALL - 18):
            _tie(c, x, y + dy)
        for k, line in enumerate(lines):
            base, wide = y + _TALL + 13 + k * line_height(NOTE), text_width(line, NOTE)
            middle = x + _JOINT / 2
            c.rect((middle - wide / 2 - 2, base - 11, wide + 4, 14), fill=PAPER)
            c.text(middle, base, line, NOTE, anchor="middle")

    def key(self, y: float) -> float:
        c = self.canvas
        entries: list[tuple[Callable[[float, float], None], float, str]] = [
            (partial(_stroke, c, Pen(INK, 2.4)), 28, "in another place than before"),
            (partial(_stroke, c, Pen(RULE, 1)), 28, "in the same place"),
            (lambda x, y: differs(c, x + 8, y), 16, "differs from the state compared with"),
        ]
        if any(s.joints for s in self.data.states):
            entries.append((partial(_tie, c), _JOINT, "joint"))
        return key_rows(c, entries, (_MARGIN, y, self.whole - 2 * _MARGIN))


def _tie(canvas: Canvas, x: float, y: float) -> None:
    canvas.rect((x, y - 4, _JOINT, 8), fill=PAPER, pen=Pen(INK, 1.2))


def _stroke(canvas: Canvas, pen: Pen, x: float, y: float) -> None:
    canvas.polyline(((x, y), (x + 28, y)), pen)


def _named(state: ArrangementState) -> str:
    return f"or: {state.label}" if state.rival else state.label


def _order(data: ArrangementData, state: ArrangementState) -> str:
    letters = {p.key: p.letter for p in data.pieces}
    named = [
        "empty" if not p.piece else letters[p.piece] + (f" ({p.note})" if p.note else "")
        for p in state.places
    ]
    return ", ".join(named) or "nothing in place"


def _described(data: ArrangementData) -> str:
    letters = {p.key: p.letter for p in data.pieces}
    named = "; ".join(
        f"{p.letter}, {p.label}" if p.label else p.letter for p in data.pieces
    )
    words = [f"{data.title}. {len(data.states)} states, earliest first. Pieces: {named}."]
    for i, state in enumerate(data.states):
        said = (
            f"{_named(state)}, {state.when or 'date not recorded'}: {_order(data, state)}"
        )
        said += f"; evidence: {state.strength}" if state.strength else ""
        said += f"; claims: {', '.join(state.basis)}" if state.basis else ""
        said += f"; joints: {', '.join(state.joints)}" if state.joints else ""
        gone = ", ".join(letters[k] for k in state.away)
        said += f"; not in place: {gone}" if gone else ""
        difference = _difference(data, i)
        said += f"; {difference}" if difference else ""
        words.append(said + ".")
    return " ".join(words)


def _table(data: ArrangementData) -> Table:
    letters = {p.key: p.letter for p in data.pieces}
    heads = (
        *("State", "When", "Left to right", "Evidence"),
        *("Claims", "Joints", "Not in place", "Differs"),
    )
    return heads, tuple(
        (
            _named(s),
            s.when or "not recorded",
            _order(data, s),
            s.strength,
            ", ".join(s.basis),
            ", ".join(s.joints) or "not recorded",
            ", ".join(letters[k] for k in s.away),
            _difference(data, i),
        )
        for i, s in enumerate(data.states)
    )
