"""Labels as PDF: words first, then a QR code of the stable id, marks in words and signs.

The code is a QR code of version 1 (21 modules) at error correction level Q, from which
about a quarter of the code words can be restored, with the quiet zone of 4 modules that
ISO/IEC 18004 asks for. At that level version 1 holds 16 alphanumeric characters; a label
code has 15.
"""

from __future__ import annotations

import json
import re
from collections.abc import Sequence
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING, Any, Final

from vestige.graph.errors import BadValue

from .label_sheet import MODULES, PAD_MM, LabelSheet
from .report import compiled

if TYPE_CHECKING:
    from vestige.graph.answer.label import LabelMark, LabelOf, Labels

__all__ = ["LEVEL", "qr_svg", "write_labels"]

LEVEL: Final = "q"
QUIET: Final = 4
_BREAKS_ANYWHERE = re.compile(
    "[\u0e00-\u0eff\u1000-\u109f\u1780-\u17ff\u2e80-\u9fff\uac00-\ud7af\uf900-\ufaff"
    "\U00020000-\U0003ffff]"
)
"""Scripts written without blanks, whose lines break between signs (UAX 14)."""


def write_labels(answer: Labels, path: Path, sheet: LabelSheet, copies: int = 1) -> int:
    """Write labels as PDF; the number of pages.

    Args:
        answer: what they say.
        path: where to write.
        sheet: how they stand on the paper.
        copies: how many of each, one beside the other.

    Raises:
        BadValue: where a label's words do not fit at the least size that can be read.
        Refused: where characters have no glyph in any font, naming them.
    """
    many = [_printed(one) for one in answer.labels for _ in range(copies)]
    pages = _pages(many, sheet)
    data = {
        "day": answer.day,
        "title": _title(answer),
        "sheet": {
            "paper": sheet.paper,
            "size": sheet.size,
            "columns": sheet.columns,
            "margins": sheet.margins,
            "gaps": sheet.gaps,
            "code": sheet.module * MODULES,
            "pad": PAD_MM,
        },
        "pages": pages,
    }
    path.write_bytes(_compiled(json.dumps(data, ensure_ascii=False), sheet))
    return len(pages)


def qr_svg(code: str) -> str:
    """The QR code of a text as an SVG of one path, quiet zone included, one unit a module.

    Neighbouring modules of a row are one rectangle; rows overlap by a hundredth of a
    module, since a viewer may else show white seams between them.
    """
    import segno

    made = segno.make(code, error=LEVEL, micro=False, boost_error=False)
    side = made.symbol_size(border=QUIET)[0]
    path = "".join(
        f"M{QUIET + run.start()} {QUIET + y}h{run.end() - run.start()}v1.01"
        f"h-{run.end() - run.start()}z"
        for y, row in enumerate(made.matrix)
        for run in re.finditer("1+", "".join("1" if dark else "0" for dark in row))
    )
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {side} {side}" '
        f'width="{side}" height="{side}"><rect width="{side}" height="{side}" '
        f'fill="#fff"/><path fill="#000" d="{path}"/></svg>'
    )


def _title(answer: Labels) -> str:
    numbers = [one.about.number for one in answer.labels]
    more = f" and {len(numbers) - 3} more" if len(numbers) > 3 else ""
    return f"Labels of {', '.join(numbers[:3])}{more}"


def _pages(labels: list[dict[str, Any]], sheet: LabelSheet) -> list[list[Any]]:
    """Labels by page; None where a place of the sheet is used up."""
    places: list[Any] = [None] * sheet.skip + labels
    each = sheet.columns * sheet.rows
    return [places[i : i + each] for i in range(0, len(places), each)]


def _printed(one: LabelOf) -> dict[str, Any]:
    where = f"in {one.container}" if one.container else None
    parts = [one.name, one.object, one.removed_from, _joined(one.date, where)]
    return {
        "number": _line(one.about.number),
        "lines": [_line(text) for text in parts if text],
        "marks": [
            {"sort": sort, **_line(words)}
            for sort in ("hazard", "restriction")
            if (words := _mark(one.marks, sort))
        ],
        "code": one.code,
        "svg": qr_svg(one.code),
        "alt": f"QR code of {one.code}",
    }


def _joined(*texts: str | None) -> str:
    return "; ".join(text for text in texts if text)


def _mark(marks: Sequence[LabelMark], sort: str) -> str:
    words = [one.words for one in marks if one.sort == sort]
    return f"{sort.upper()}: {'; '.join(words)}" if words else ""


def _line(text: str) -> dict[str, Any]:
    """A text, and the words in it that a line cannot break."""
    tight = [word for word in text.split() if not _BREAKS_ANYWHERE.search(word)]
    return {"text": text, "tight": sorted(set(tight), key=len)[-3:]}


def _compiled(data: str, sheet: LabelSheet) -> bytes:
    import typst

    try:
        return compiled(data, "label.typ")
    except typst.TypstError as wrong:
        found = re.search(r"does not fit: (.*?)\"?$", str(wrong), re.M)
        if found is None:
            raise
        wide, high = sheet.size
        raise BadValue(
            f"the label of {found[1]} does not fit on {wide:g} x {high:g} mm, however "
            "small it is written; take larger labels, as --size "
            f"{_larger(sheet)}"
        ) from None


def _larger(sheet: LabelSheet) -> str:
    wide, high = replace(sheet).size
    return f"{wide * 1.4:.0f}x{high * 1.4:.0f}mm"
