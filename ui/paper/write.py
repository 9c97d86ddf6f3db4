"""Writing a report into a file: the ending of its name says as what."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from vestige.graph.errors import BadValue

if TYPE_CHECKING:
    from vestige.graph.answer.report import ReportOf

__all__ = ["write_report"]

ENDINGS = (".pdf", ".html")


def write_report(report: ReportOf, path: str | Path) -> None:
    """Write a report as PDF or HTML, as the file's ending says.

    Raises:
        BadValue: where the name has another ending.
        Refused: where a PDF cannot print some character.
        OSError: where the file cannot be written.
    """
    file = Path(path)
    ending = file.suffix.lower()
    if ending not in ENDINGS:
        raise BadValue(
            f"'{file.name}' cannot be written: a report is a .pdf or an .html file; "
            f"name it for example {file.stem or 'report'}.pdf"
        )
    from .pictures import drawings_of

    drawings = drawings_of(report)
    if ending == ".pdf":
        from .report import write_pdf

        write_pdf(report, file, drawings)
    else:
        from .html import write_html

        write_html(report, file, drawings)
