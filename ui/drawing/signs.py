"""Signs drawn as paths: grades, cautions, what became of a part, unknown ends.

None of them is set as a character: a missing glyph is replaced without a word on the
screen and stops the archival PDF. Each stands beside words that say the same.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from itertools import pairwise
from typing import Final

from .palette import GRADES, INK, PAPER, RED, VERDICTS, pattern
from .svg import NOTE, NOTE_BOLD, Canvas, Pen, number, text_width

__all__ = [
    "STATUSES",
    "caution",
    "cross",
    "differs",
    "fill",
    "grade_dots",
    "key_rows",
    "letter",
    "query",
    "status",
    "swatch",
]

#: Physical status of a part -> sign, strokes within 8 px of the middle.
#: "in place" has none: the absence of a sign is the common case.
STATUSES: Final[dict[str, str]] = {
    "in place": "",
    "moved on the object": "M-5.5 0H5.5M2 -3.5L5.5 0L2 3.5M-5.5 -3.5V3.5",
    "removed and kept": "M-5 -1V5H5V-1M0 2.5V-5.5M-3 -2.5L0 -5.5L3 -2.5",
    "whereabouts not recorded": "",
    "removal not documented": "M0 5V-5M-3.5 -1.5L0 -5L3.5 -1.5",
    "consumed": "M-5 -5H5L0 1ZM0 1V5.5",
    "discarded": "M-4.5 -4.5L4.5 4.5M4.5 -4.5L-4.5 4.5",
    "transferred": "M-6 -2.5H4.5M1.5 -5.5L4.5 -2.5M6 2.5H-4.5M-1.5 5.5L-4.5 2.5",
}


def fill(canvas: Canvas, key: str) -> str:
    """Paint for a verdict's swatch. A solid is a plain fill: tiles show seams in PDF."""
    verdict = VERDICTS[key]
    if not verdict.tile:
        return verdict.colour
    return canvas.paint(f"v-{key}", pattern(verdict.tile, verdict.colour))


def swatch(canvas: Canvas, key: str, box: tuple[float, float, float, float]) -> None:
    """The pattern of verdict *key* in *box* (x, y, width, height), outlined."""
    canvas.rect(box, fill=fill(canvas, key), pen=Pen(VERDICTS[key].colour, 1.2))


def letter(canvas: Canvas, key: str, x: float, y: float) -> None:
    """The letter of verdict *key* centred on *x* with its base line at *y*."""
    sign = VERDICTS[key].letter
    if sign == "?":
        query(canvas, x, y - 4.5)
    else:
        canvas.text(x, y, sign, NOTE_BOLD, anchor="middle")


def grade_dots(canvas: Canvas, grade: str, x: float, y: float) -> float:
    """Three dots from *x* on, middle at *y*, as many filled as the grade has; their end."""
    for i in range(3):
        filled = INK if i < GRADES[grade].dots else PAPER
        canvas.circle(x + 3 + i * 8, y, 2.7, fill=filled, pen=Pen(INK, 1.1))
    return x + 25


def caution(canvas: Canvas, x: float, y: float) -> None:
    """A warning triangle with its stroke and dot, middle at (*x*, *y*)."""
    a, b, c = number(x), number(y - 7), number(y + 6)
    canvas.path(
        f"M{a} {b}L{number(x + 7.5)} {c}H{number(x - 7.5)}Z", fill=PAPER, pen=Pen(INK, 1.6)
    )
    canvas.path(f"M{a} {number(y - 2.5)}V{number(y + 1.6)}", pen=Pen(INK, 1.8))
    canvas.path(f"M{a} {number(y + 3)}v1.8", pen=Pen(INK, 1.8))


def query(canvas: Canvas, x: float, y: float, colour: str = INK) -> None:
    """A question mark, middle at (*x*, *y*), 10 px high."""
    canvas.path(
        f"M{number(x - 2.8)} {number(y - 2.3)}a2.8 2.8 0 1 1 4.3 2.4q-1.5 .9 -1.5 2.3",
        pen=Pen(colour, 1.7),
    )
    canvas.path(f"M{number(x)} {number(y + 3.6)}v1.8", pen=Pen(colour, 1.8))


def cross(canvas: Canvas, x: float, y: float, colour: str = INK) -> None:
    """A diagonal cross, middle at (*x*, *y*)."""
    canvas.path(f"M{number(x - 4)} {number(y - 4)}l8 8m0 -8l-8 8", pen=Pen(colour, 1.8))


def differs(canvas: Canvas, x: float, y: float) -> None:
    """Two bars with a stroke through them: not the same. Middle at (*x*, *y*)."""
    canvas.path(
        f"M{number(x - 6)} {number(y - 2.5)}h12m-12 5h12M{number(x - 3.5)} "
        f"{number(y + 6)}l7 -12",
        pen=Pen(RED, 1.8),
    )


def status(canvas: Canvas, word: str, x: float, y: float) -> None:
    """The sign for a physical status in a ring, middle at (*x*, *y*)."""
    if word == "in place":
        return
    open_ = "3 2" if word == "removal not documented" else ""
    canvas.circle(x, y, 9.5, fill=PAPER, pen=Pen(INK, 1.2, open_))
    if word == "whereabouts not recorded":
        query(canvas, x, y)
        return
    canvas.path(_moved(STATUSES[word], x, y), pen=Pen(INK, 1.5))


def key_rows(
    canvas: Canvas,
    entries: Sequence[tuple[Callable[[float, float], None], float, str]],
    box: tuple[float, float, float],
) -> float:
    """A key: entries (draw at x and middle y; width of the sign; words) in rows.

    *box* is left, top and width; gives the lower edge of the key.
    """
    left, top, width = box
    x, y = left, top + 10
    for draw, sign_width, words in entries:
        wide = sign_width + 6 + text_width(words, NOTE) + 16
        if x > left and x + wide > left + width:
            x, y = left, y + 22
        draw(x, y)
        canvas.text(x + sign_width + 6, y + 4, words, NOTE)
        x += wide
    return y + 12


def _moved(path: str, x: float, y: float) -> str:
    """A path of absolute M, L, H, V and Z moved by (*x*, *y*)."""
    out: list[str] = []
    for step in _steps(path):
        command, values = step[0], [float(v) for v in step[1:].split()]
        if command == "H":
            values = [values[0] + x]
        elif command == "V":
            values = [values[0] + y]
        elif values:
            values = [values[0] + x, values[1] + y]
        out.append(command + " ".join(number(v) for v in values))
    return "".join(out)


def _steps(path: str) -> list[str]:
    starts = [i for i, ch in enumerate(path) if ch.isalpha()] + [len(path)]
    return [path[a:b] for a, b in pairwise(starts)]
