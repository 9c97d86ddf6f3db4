"""The report as one HTML file: nothing outside it is needed, every word is escaped."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from html import escape
from pathlib import Path
from typing import TYPE_CHECKING

from .layout import Block, Figure, Lines, Pairs, Paper, Section, Table
from .report_layout import laid_out

if TYPE_CHECKING:
    from vestige.graph.answer.report import ReportOf

    from ..drawing import Drawing

__all__ = ["html_of", "write_html"]

STYLE = """
:root { --rule: #5b6470; --pale: #eef0f2; }
body { font: 1rem/1.45 "Noto Sans", system-ui, sans-serif; color: #111; background: #fff;
  max-width: 72rem; margin: 0 auto; padding: 1rem 1.5rem 3rem; }
h1 { font-size: 1.7rem; margin: 0 0 .2rem; }
h2 { font-size: 1.2rem; margin: 2rem 0 .6rem; break-after: avoid; }
p.about { font-weight: bold; margin: 0; }
h1, p, td, dd, li { unicode-bidi: plaintext; }
.caution { border: 2px solid #111; padding: .4rem .8rem; }
.caution ul { margin: .2rem 0; padding-left: 1.2rem; }
dl { display: grid; grid-template-columns: 12rem 1fr; gap: .3rem 1rem; margin: 0; }
dt { color: #4a525c; } dd { margin: 0; }
.wide { overflow-x: auto; }
table { border-collapse: collapse; width: 100%; font-size: .88rem; margin: .6rem 0 1.2rem; }
caption { text-align: left; font-size: .9rem; padding-bottom: .3rem; }
th, td { border: 0 solid var(--rule); border-width: 1px 0; padding: .35rem .4rem;
  text-align: left; vertical-align: top; overflow-wrap: anywhere; white-space: pre-line; }
thead th { background: var(--pale); } tbody th { font-weight: normal; }
figure { margin: 0 0 1.2rem; } figure svg { max-width: 100%; height: auto; }
footer { border-top: 1px solid var(--rule); margin-top: 2rem; padding-top: .5rem;
  color: #4a525c; font-size: .85rem; }
@media print {
  @page { size: A4; margin: 18mm; }
  body { max-width: none; padding: 0; font-size: 9.5pt; }
  .first { break-after: page; } thead { display: table-header-group; }
  tr, figure { break-inside: avoid; } .wide { overflow: visible; }
}
"""


def write_html(report: ReportOf, path: Path, drawings: Mapping[str, Drawing]) -> None:
    """Write a report as one HTML file, UTF-8; the same report gives the same bytes.

    Args:
        report: the content.
        path: where to write.
        drawings: drawings by the names of their figures; what is not given is left out.
    """
    path.write_text(html_of(report, drawings), encoding="utf-8", newline="\n")


def html_of(report: ReportOf, drawings: Mapping[str, Drawing]) -> str:
    """The report as HTML text."""
    paper = laid_out(report)
    title = f"{paper.title}, {paper.number} {paper.name}"
    lines = [
        "<!DOCTYPE html>",
        '<html lang="en">',
        "<head>",
        '<meta charset="utf-8">',
        '<meta name="viewport" content="width=device-width, initial-scale=1">',
        '<meta http-equiv="Content-Security-Policy" content="default-src \'none\'; '
        "style-src 'unsafe-inline'\">",
        f"<title>{escape(title)}</title>",
        f"<style>{STYLE}</style>",
        "</head>",
        "<body>",
        *_body(paper, drawings),
        "</body>",
        "</html>",
    ]
    return "\n".join(lines) + "\n"


def _body(paper: Paper, drawings: Mapping[str, Drawing]) -> Iterator[str]:
    yield "<header>"
    yield f"<h1>{escape(paper.title)}</h1>"
    yield f'<p class="about">{escape(paper.number)} {escape(paper.name)}</p>'
    yield "</header>"
    yield '<main><div class="first">'
    for section in paper.first:
        yield from _section(section, drawings)
    yield "</div>"
    for section in paper.sections:
        yield from _section(section, drawings)
    yield "</main>"
    yield f"<footer>{escape(paper.foot)}</footer>"


def _section(section: Section, drawings: Mapping[str, Drawing]) -> Iterator[str]:
    yield f"<section><h2>{escape(section.title)}</h2>"
    for block in section.blocks:
        yield from _block(block, drawings)
    yield "</section>"


def _block(block: Block, drawings: Mapping[str, Drawing]) -> Iterator[str]:
    if isinstance(block, Lines):
        yield from _lines(block)
    elif isinstance(block, Pairs):
        yield from _pairs(block)
    elif isinstance(block, Table):
        yield from _table(block)
    elif block.name in drawings:
        yield from _figure(block, drawings[block.name])


def _lines(block: Lines) -> Iterator[str]:
    told = [escape(line) for line in block.lines]
    if block.form == "text":
        yield from (f"<p>{line}</p>" for line in told)
        return
    boxed = block.form == "caution"
    yield '<div class="caution">' if boxed else "<div>"
    yield "<ul>" + "".join(f"<li>{line}</li>" for line in told) + "</ul></div>"


def _pairs(block: Pairs) -> Iterator[str]:
    yield "<dl>"
    for name, value in block.pairs:
        yield f"<dt>{escape(name)}</dt><dd>{escape(value)}</dd>"
    yield "</dl>"


def _table(block: Table) -> Iterator[str]:
    yield '<div class="wide"><table>'
    yield f"<caption>{escape(block.caption)}</caption>"
    heads = "".join(f'<th scope="col">{escape(head)}</th>' for head in block.heads)
    yield f"<thead><tr>{heads}</tr></thead>"
    yield "<tbody>"
    yield from (_row(row) for row in block.rows)
    yield "</tbody></table></div>"


def _row(row: Sequence[str]) -> str:
    first, *others = (escape(cell) for cell in row)
    cells = "".join(f"<td>{cell}</td>" for cell in others)
    return f'<tr><th scope="row">{first}</th>{cells}</tr>'


def _figure(block: Figure, drawing: Drawing) -> Iterator[str]:
    """The drawing itself names what it shows; its words stand in it as a description."""
    yield "<figure>"
    yield drawing.svg.removeprefix('<?xml version="1.0" encoding="UTF-8"?>').strip()
    yield f"<figcaption>{escape(block.caption)}</figcaption>"
    yield "</figure>"
