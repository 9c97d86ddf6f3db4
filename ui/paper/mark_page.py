"""A page on which marks are clicked on the photograph of a face.

One HTML file with the photograph in it, which asks for nothing from outside. A click, or
two numbers typed, places a mark; the page gives the rows of the sheet Marks, in
millimetres by the scale that the face declares. Nothing is recorded by it.
"""

import base64
import json
import re
from collections.abc import Sequence
from html import escape
from pathlib import Path

import numpy as np

from vestige.graph.errors import BadValue
from vestige.graph.reasoning.picture_scale import picture_scale_of
from vestige.graph.record import Face

__all__ = ["HEADS", "mark_page"]

HEADS = ("number", "face", "kind", "x", "y", "scatter")
"""Columns of the sheet Marks that the page fills in."""
LARGEST = 40_000_000
KINDS = {b"\x89PNG\r\n\x1a\n": "image/png", b"\xff\xd8\xff": "image/jpeg"}


def mark_page(face: Face, photograph: Path, cautions: Sequence[str] = ()) -> str:
    """The page for one face and its photograph.

    Args:
        face: the face; it says at what scale its picture shows it.
        photograph: the file.
        cautions: what is to be minded, in words; they stand first on the page.

    Raises:
        BadValue: the face declares no scale, or the file is no PNG or JPEG, or too large.
    """
    scale = picture_scale_of(face)
    corner, right, down = scale.to_mm(np.array([[0, 0], [1, 0], [0, 1]], dtype=np.float64))
    data = {
        "face": face.number,
        "heads": HEADS,
        "corner": corner.tolist(),
        "right": (right - corner).tolist(),
        "down": (down - corner).tolist(),
    }
    picture = f"data:{_kind(photograph)};base64,{_text(photograph)}"
    said = json.dumps(data, ensure_ascii=False).replace("<", "\\u003c")
    warned = "".join(f'<p class="caution">{escape(line)}</p>' for line in cautions)
    parts = {
        "@FACE@": escape(face.label()),
        "@CAUTIONS@": warned,
        "@DATA@": said,
        "@PICTURE@": picture,
    }
    return re.sub("|".join(parts), lambda found: parts[found[0]], PAGE)


def _kind(photograph: Path) -> str:
    with photograph.open("rb") as file:
        begin = file.read(8)
    kind = next((kind for sign, kind in KINDS.items() if begin.startswith(sign)), None)
    if kind is None:
        raise BadValue(f"{photograph.name} is no PNG or JPEG; save the photograph as one")
    if photograph.stat().st_size > LARGEST:
        raise BadValue(f"{photograph.name} is larger than 40 MB; take a smaller copy")
    return kind


def _text(photograph: Path) -> str:
    return base64.b64encode(photograph.read_bytes()).decode("ascii")


PAGE = """<!doctype html>
<html lang="en"><head><meta charset="utf-8"><title>Marks on @FACE@</title>
<meta name="viewport" content="width=device-width">
<meta http-equiv="Content-Security-Policy"
 content="default-src 'none'; img-src data:; script-src 'unsafe-inline';
 style-src 'unsafe-inline'">
<style>
body { font: 16px/1.4 sans-serif; margin: 1rem; color: #1a1a17 }
#shown { position: relative; display: inline-block; border: 1px solid #666 }
#photo { max-width: 100%; display: block; cursor: crosshair }
#shown b { position: absolute; transform: translate(-50%, -50%); color: #fff;
 background: #12307f; border: 2px solid #fff; border-radius: 50%; width: 1.3em;
 height: 1.3em; font-size: 12px; text-align: center; pointer-events: none }
input, button { font: inherit; min-height: 2.6rem; padding: 0 .6rem; margin: .2rem }
.caution { border: 2px solid #b00020; border-left-width: 10px; padding: .4rem }
textarea { width: 100%; height: 12rem; font: 14px monospace }
</style></head><body>
<h1>Marks on @FACE@</h1>@CAUTIONS@
<p>Name the kind, then click each mark on the photograph. The rows below go into the sheet
Marks; nothing is recorded before they are imported.</p>
<p><label>kind <input id="kind" value="hole"></label>
<label>scatter, mm <input id="scatter" value="1" inputmode="decimal" size="4"></label>
<label>begin numbers with <input id="begin" size="10"></label>
<button id="undo" type="button">Take back the last</button></p>
<p><label>or type: pixels from the left <input id="px" size="6"></label>
<label>from the top <input id="py" size="6"></label>
<button id="add" type="button">Place</button></p>
<div id="shown"><img id="photo" alt="photograph of @FACE@" src="@PICTURE@"></div>
<p id="said" role="status">no mark placed yet</p>
<p><label for="rows">Rows of the sheet Marks</label></p><textarea id="rows"></textarea>
<p><a id="save" download="Marks.csv">Save as Marks.csv</a></p>
<script>
const data = @DATA@, marks = [], one = id => document.getElementById(id);
one("begin").value = data.face + "-";
const mm = (x, y, n) => data.corner[n] + x * data.right[n] + y * data.down[n];
function cell(text) {
  if (/^'*[=+\\-@\\t\\r]/.test(text)) text = "'" + text;
  return /[",\\n]/.test(text) ? '"' + text.replaceAll('"', '""') + '"' : text;
}
function place(x, y) {
  if (!isFinite(x) || !isFinite(y)) {
    one("said").textContent = "two numbers, please";
    return;
  }
  marks.push({x, y, kind: one("kind").value.trim(), scatter: one("scatter").value.trim()});
  show();
}
function show() {
  const photo = one("photo"), shown = one("shown");
  shown.querySelectorAll("b").forEach(dot => dot.remove());
  const rows = [data.heads.join(",")];
  marks.forEach((mark, nth) => {
    const dot = document.createElement("b");
    dot.textContent = nth + 1;
    dot.style.left = 100 * mark.x / photo.naturalWidth + "%";
    dot.style.top = 100 * mark.y / photo.naturalHeight + "%";
    shown.append(dot);
    rows.push([one("begin").value + (nth + 1), data.face, mark.kind,
      mm(mark.x, mark.y, 0).toFixed(2) + " mm", mm(mark.x, mark.y, 1).toFixed(2) + " mm",
      mark.scatter ? mark.scatter + " mm" : ""].map(cell).join(","));
  });
  const text = rows.join("\\r\\n") + "\\r\\n";
  one("rows").value = text;
  one("save").href = "data:text/csv;charset=utf-8," + encodeURIComponent("\\ufeff" + text);
  const word = marks.length === 1 ? " mark" : " marks";
  one("said").textContent = marks.length + word + " placed";
}
one("photo").addEventListener("click", event => {
  const photo = one("photo"), box = photo.getBoundingClientRect();
  place((event.clientX - box.left) * photo.naturalWidth / box.width,
        (event.clientY - box.top) * photo.naturalHeight / box.height);
});
one("add").addEventListener("click", () => place(parseFloat(one("px").value),
                                                  parseFloat(one("py").value)));
one("undo").addEventListener("click", () => { marks.pop(); show(); });
one("begin").addEventListener("input", show);
</script></body></html>
"""
