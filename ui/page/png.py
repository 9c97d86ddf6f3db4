"""A drawing as PNG, for those whose programs take no SVG; the same marks, as dots."""

import math
import tempfile
from pathlib import Path
from typing import TYPE_CHECKING

from ..paper import report as paper

if TYPE_CHECKING:
    from ..drawing import Drawing

DOTS_PER_INCH = 144.0
"""Two dots for each px of the drawing, which counts 72 of them to the inch here."""
_PAGE = (
    "#set page(width: {w}pt, height: {h}pt, margin: 0pt)\n"
    '#image("drawing.svg", width: 100%)\n'
)
FONTS = Path(paper.__file__).parent / "fonts"


def png_of(drawing: "Drawing") -> bytes:
    """The drawing at twice its size in px, on white, in the font that Vestige brings."""
    import typst

    wide, high = (math.ceil(side) for side in drawing.size)
    with tempfile.TemporaryDirectory() as folder:
        home = Path(folder)
        (home / "drawing.svg").write_text(drawing.svg, encoding="utf-8")
        (home / "page.typ").write_text(_PAGE.format(w=wide, h=high), encoding="utf-8")
        made = typst.compile(
            home / "page.typ",
            root=home,
            font_paths=[FONTS],
            format="png",
            ppi=DOTS_PER_INCH,
        )
    return bytes(made)
