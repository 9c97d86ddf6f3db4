"""Marks clicked on a photograph, in a real browser: the rows are those of the scale."""

import csv
import io
from pathlib import Path
from typing import TYPE_CHECKING

import pytest

from vestige.graph.errors import BadValue
from vestige.graph.record import Face
from vestige.ui.paper.mark_page import HEADS, mark_page

if TYPE_CHECKING:
    from playwright.sync_api import Browser

FACE = {
    "number": "<b>A</b>-front",
    "element": "LEAF",
    "sort": "face",
    "side": "front",
    "width": "200 mm",
    "height": "100 mm",
    "picture": "PH",
    "scale": "0.5 mm",
    "origin_x": 0,
    "origin_y": 200,
}


@pytest.fixture
def photograph(tmp_path: Path) -> Path:
    from PIL import Image

    file = tmp_path / "leaf.png"
    Image.new("RGB", (400, 200), "#d8cfc0").save(file)
    return file


def test_a_click_is_a_row_in_millimetres(
    browser: "Browser", photograph: Path, tmp_path: Path
) -> None:
    out = tmp_path / "marks.html"
    out.write_text(mark_page(Face.model_validate(FACE), photograph), encoding="utf-8")
    page = browser.new_page()
    asked: list[str] = []
    page.on("request", lambda one: asked.append(one.url))
    page.goto(out.as_uri())
    assert page.locator("h1 b").count() == 0  # the number of the face is text
    page.get_by_label("kind").fill("=hole")
    page.locator("#photo").click(position={"x": 100, "y": 50})
    page.get_by_label("pixels from the left").fill("300")
    page.get_by_label("from the top").fill("200")
    page.get_by_role("button", name="Place").click()
    text = page.locator("#rows").input_value()
    first, second = csv.DictReader(io.StringIO(text))
    assert tuple(first) == HEADS
    # 0.5 mm a pixel from the lower left corner at (0, 200): reckoned by hand.
    assert (first["x"], first["y"]) == ("50.00 mm", "75.00 mm")
    assert (second["x"], second["y"]) == ("150.00 mm", "0.00 mm")
    assert first["kind"] == "'=hole"  # no spreadsheet computes it
    page.get_by_role("button", name="Take back the last").click()
    assert page.locator("#said").inner_text() == "1 mark placed"
    assert all(url.startswith(("file:", "data:")) for url in asked)
    page.close()


def test_what_is_to_be_minded_stands_first_as_text(photograph: Path) -> None:
    face = Face.model_validate(FACE)
    page = mark_page(face, photograph, ["! HAZARD <arsenic> @DATA@; ask R2"])
    line = "! HAZARD &lt;arsenic&gt; @DATA@; ask R2"
    assert page.index(line) < page.index("Name the kind")


def test_a_face_without_a_scale_is_refused(photograph: Path) -> None:
    bare = {name: one for name, one in FACE.items() if name != "scale"}
    with pytest.raises(BadValue, match="scale"):
        mark_page(Face.model_validate(bare), photograph)


def test_a_file_that_is_no_picture_is_refused(tmp_path: Path) -> None:
    file = tmp_path / "leaf.png"
    file.write_text("<script>", encoding="utf-8")
    with pytest.raises(BadValue, match="no PNG or JPEG"):
        mark_page(Face.model_validate(FACE), file)
