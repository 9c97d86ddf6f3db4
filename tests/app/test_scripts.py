"""Names and notes in any script: on a page, in a drawing, on paper.

The sentences are the first of the Universal Declaration of Human Rights in languages of
different scripts, written from memory.
"""

import html
import re
import unicodedata
from pathlib import Path
from typing import Any

import pytest
from defusedxml.ElementTree import fromstring
from page_drawing import drawn
from pypdf import PdfReader

from vestige.graph.answer.report import ReportOf
from vestige.graph.collection import Collection
from vestige.graph.errors import Refused
from vestige.graph.record import Claim, Element, ElementSort, Relation, Strength
from vestige.graph.state import Reader
from vestige.ui.drawing import VerdictData, VerdictPart, draw_verdicts
from vestige.ui.drawing.svg import BODY, text_width, wrap
from vestige.ui.language import runs_left
from vestige.ui.page import Desk, Shelf
from vestige.ui.paper.html import html_of
from vestige.ui.paper.report import write_pdf

SAID = {
    "ARA": "يولد جميع الناس أحرارًا متساوين في الكرامة والحقوق.",
    "HEB": "כל בני האדם נולדו בני חורין ושווים בערכם ובזכויותיהם.",
    "HIN": "सभी मनुष्यों को गौरव और अधिकारों के मामले में जन्मजात स्वतन्त्रता प्राप्त है।",
    "ZHO": "人人生而自由,在尊严和权利上一律平等。",
    "YOR": "Gbogbo ènìyàn ni a bí ní òmìnira; iyì àti è̩tó̩ kò̩ò̩kan sì dó̩gba.",
    "VIE": "Mọi người sinh ra đều được tự do và bình đẳng về nhân phẩm và quyền lợi.",
    "ELL": "Όλοι οι άνθρωποι γεννιούνται ελεύθεροι και ίσοι στην αξιοπρέπεια.",
}
HOME = "FEN.1954.3"


@pytest.fixture(scope="module")
def written(museum: Path) -> Path:
    """The museum with an element, and a note about it, in each script."""
    with Collection.open(museum) as archive:
        home = archive.find(HOME)
        elements = [
            Element(number=f"EL-{name}", object=home, name=text, sort=ElementSort.PART)
            for name, text in SAID.items()
        ]
        _, done = archive.act("OC", elements)
        assert done is not None
        claims = [
            Claim(number=f"CL-{name}", about=archive.find(f"EL-{name}"), value=text,
                  relation=Relation.NOTED, strength=Strength.WEAK, note=text)
            for name, text in SAID.items()
        ]  # fmt: skip
        archive.act("OC", claims)
    return museum


@pytest.mark.parametrize("name", SAID)
def test_a_page_shows_every_letter_and_sets_apart_what_runs_left(
    name: str, written: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    page = drawn(written, "record", {"id": f"CL-{name}", "lang": "de"}, monkeypatch)
    assert not page.exception
    body = "\n".join(str(one.proto.body) for one in page.main if one.type == "html")
    shown = html.unescape(body)
    assert shown.count(SAID[name]) >= 2  # what is said, and the note
    leftwards = runs_left(SAID[name])
    assert leftwards is (name in ("ARA", "HEB"))
    # HTML Living Standard, 4.5.24: bdi isolates a span from the text around it
    assert bool(re.search(rf"<bdi>[^<]*{re.escape(SAID[name])}", shown)) is leftwards


@pytest.mark.parametrize("name", SAID)
def test_a_drawing_breaks_no_letter_from_its_marks(name: str) -> None:
    for width in (40.0, 90.0, 160.0):
        lines = wrap(SAID[name], width, BODY, lines=99)
        assert "".join(lines).replace(" ", "") == SAID[name].replace(" ", "")
        for line in lines:
            assert not unicodedata.category(line[0]).startswith("M")
            assert unicodedata.combining(line[-1]) != 9  # a virama joins two consonants
            assert text_width(line, BODY) <= width or len(line) < 12


def test_a_drawing_says_which_way_a_line_runs() -> None:
    parts = tuple(
        VerdictPart(key=name, label=text, verdict="open", grade="open", group="",
                    status="in place", place="", rival="")
        for name, text in SAID.items()
    )  # fmt: skip
    svg = draw_verdicts(VerdictData(title="T", parts=parts, groups=())).svg
    texts = fromstring(svg).iter("{http://www.w3.org/2000/svg}text")
    lines = {one.text: one.get("unicode-bidi") for one in texts if one.text}
    for text, said in lines.items():
        assert said == ("plaintext" if runs_left(text) else None)
    told = re.sub(r"\s", "", "".join(lines))
    assert all(re.sub(r"\s", "", text) in told for text in SAID.values())


def _printed(report: ReportOf, out: Path) -> bool:
    """Whether it could be printed; else the characters that lack a font are named."""
    try:
        write_pdf(report, out, {})
    except Refused as why:
        if "U+" not in str(why):
            raise
        return False
    return True


def test_a_paper_prints_every_script_or_names_what_no_font_has(
    written: Path, tmp_path: Path
) -> None:
    with Collection.open(written) as archive:
        desk = Desk.on(archive, Reader(None), None, Shelf())
        report = desk.report(HOME)
    page = html_of(report, {})
    assert all(html.escape(text, quote=False) in page for text in SAID.values())
    out = tmp_path / "r.pdf"
    if not _printed(report, out):  # this machine lacks a font: nothing is left out
        assert not out.exists()
        return
    fonts = set()
    for sheet in PdfReader(out).pages:
        resources: Any = sheet["/Resources"]
        named = resources.get("/Font", {}).values()
        fonts |= {str(one.get_object()["/BaseFont"]) for one in named}
    assert len(fonts) >= 4, fonts  # Latin, Arabic, Devanagari and Chinese letters
