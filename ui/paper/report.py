"""The report as PDF: tagged, archival (PDF/A-2a, PDF/UA-1), with its fonts inside."""

from __future__ import annotations

import json
import re
from collections.abc import Mapping
from dataclasses import asdict
from pathlib import Path
from typing import TYPE_CHECKING, Any, Final, Literal

from vestige.graph.errors import Refused

from .layout import Block, Figure, Lines, Pairs, Section, Table
from .report_layout import laid_out

if TYPE_CHECKING:
    from vestige.graph.answer.report import ReportOf

    from ..drawing import Drawing

__all__ = ["compiled", "printable", "stretches", "write_pdf"]

HERE = Path(__file__).parent
PAGE_WIDTH_MM = 174.0
PAGE_HEIGHT_MM = 225.0
STANDARDS: Final[list[Literal["a-2a", "ua-1"]]] = ["a-2a", "ua-1"]
"""ISO 19005-2 level A and ISO 14289-1: for the archive, and for readers who listen."""


def write_pdf(report: ReportOf, path: Path, drawings: Mapping[str, Drawing]) -> None:
    """Write a report as PDF.

    Args:
        report: the content.
        path: where to write.
        drawings: drawings by the names of their figures; what is not given is left out.

    Raises:
        Refused: where characters have no glyph in any font, naming them.
    """
    data = json.dumps(printable(report, drawings), ensure_ascii=False, sort_keys=True)
    path.write_bytes(compiled(data))


def printable(report: ReportOf, drawings: Mapping[str, Drawing]) -> dict[str, Any]:
    """The laid-out report as plain data for the template."""
    paper = laid_out(report)
    return {
        "title": paper.title,
        "number": paper.number,
        "name": paper.name,
        "made": paper.made,
        "foot": paper.foot,
        "first": [_section(one, drawings) for one in paper.first],
        "sections": [_section(one, drawings) for one in paper.sections],
    }


def _section(section: Section, drawings: Mapping[str, Drawing]) -> dict[str, Any]:
    blocks = [_block(one, drawings) for one in section.blocks]
    return {"title": section.title, "blocks": [one for one in blocks if one]}


def _block(block: Block, drawings: Mapping[str, Drawing]) -> dict[str, Any] | None:
    if isinstance(block, Lines):
        return {"kind": "lines", **asdict(block)}
    if isinstance(block, Pairs):
        return {"kind": "pairs", **asdict(block)}
    if isinstance(block, Table):
        return {"kind": "table", **asdict(block)}
    if block.name not in drawings:
        return None
    return {"kind": "figure", "parts": _parts(block, drawings[block.name])}


def _parts(figure: Figure, drawing: Drawing) -> list[dict[str, Any]]:
    """The drawing in parts that each fit a page."""
    scale = min(PAGE_WIDTH_MM / drawing.width, 25.4 / 96)
    most = PAGE_HEIGHT_MM / scale
    parts: list[dict[str, Any]] = []
    for top, bottom in stretches(drawing, most):
        more = f" (continued, part {len(parts) + 1})" if parts else ""
        low = min(1.0, most / (bottom - top))
        parts.append(
            {
                "svg": _window(drawing, top, bottom),
                "alt": drawing.description if not parts else f"{figure.caption}{more}",
                "width": drawing.width * scale * low,
                "caption": figure.caption + more,
            }
        )
    return parts


def stretches(drawing: Drawing, most: float) -> list[tuple[float, float]]:
    """Heights, px from above, between which a drawing is cut for the pages.

    Args:
        drawing: with the heights at which it may be cut.
        most: height that fits a page, px; a stretch without a cut stays whole above it.
    """
    found: list[tuple[float, float]] = []
    top, last = 0.0, 0.0
    for cut in (*sorted(drawing.cuts), drawing.height):
        if cut - top > most and last > top:
            found.append((top, last))
            top = last
        last = cut
    return [*found, (top, drawing.height)]


def _window(drawing: Drawing, top: float, bottom: float) -> str:
    """The same SVG seen through a window from ``top`` to ``bottom``."""
    if top == 0 and bottom == drawing.height:
        return drawing.svg
    head, rest = drawing.svg.split(">", 1)
    for name in ("viewBox", "height", "width"):
        head = re.sub(rf'\s{name}="[^"]*"', "", head)
    box = f"0 {top:g} {drawing.width:g} {bottom - top:g}"
    size = f'width="{drawing.width:g}" height="{bottom - top:g}"'
    return f'{head} viewBox="{box}" {size}>{rest}'


def compiled(data: str, template: str = "report.typ") -> bytes:
    """The PDF; fonts of the machine are asked only where ours lack a character.

    Args:
        data: JSON that the template prints.
        template: file beside this one.

    Raises:
        Refused: where characters have no glyph in any font, naming them.
    """
    import typst

    try:
        return _pdf(data, template, ours_only=True)
    except typst.TypstError as lacking:
        if not _lacking(str(lacking)):
            raise
    try:
        return _pdf(data, template, ours_only=False)
    except typst.TypstError as lacking:
        found = _lacking(str(lacking))
        if not found:
            raise
        raise Refused(_advice(found, template)) from None


def _pdf(data: str, template: str, *, ours_only: bool) -> bytes:
    import typst

    made: bytes = typst.compile(
        HERE / template,
        root=HERE,
        font_paths=[HERE / "fonts"],
        ignore_system_fonts=ours_only,
        sys_inputs={"data": data},
        pdf_standards=[*STANDARDS],
        format="pdf",
    )
    return made


def _lacking(message: str) -> list[str]:
    """Texts that no font can show, out of the message of the typesetter."""
    found = re.findall(r'the text `?"((?:[^"\\]|\\.)*)"`? could not be displ', message)
    return [
        re.sub(r"\\u\{([0-9a-f]+)\}", lambda code: chr(int(code[1], 16)), text)
        for text in found
    ]


def _advice(texts: list[str], template: str) -> str:
    shown = ", ".join(f"'{one}' ({_codes(one)})" for one in dict.fromkeys(texts))
    html = (
        ", or write the report as .html, which takes any character"
        if template == "report.typ"
        else ""
    )
    return (
        f"no font on this machine can print {shown}, and a paper with empty boxes is not "
        "written: install a font that has these characters (a Noto font for their script)"
        f"{html}"
    )


def _codes(text: str) -> str:
    return " ".join(f"U+{ord(one):04X}" for one in text)
