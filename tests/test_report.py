"""The report of one invented object: the same content as PDF and as HTML."""

import datetime
import re
from collections.abc import Iterator
from html.parser import HTMLParser
from pathlib import Path
from typing import Any

import pypdf
import pytest
from pypdf.generic import DictionaryObject

from vestige.graph.answer.report import ReportOf, report_of
from vestige.graph.collection import Collection
from vestige.graph.errors import BadValue, NotRecorded, Refused
from vestige.graph.ledger import State as Say
from vestige.graph.record import KINDS
from vestige.graph.state import PUBLIC, Reader
from vestige.ui.drawing import Drawing
from vestige.ui.paper import write_report
from vestige.ui.paper.html import html_of
from vestige.ui.paper.pictures import drawings_of
from vestige.ui.paper.report import stretches
from vestige.ui.paper.report_layout import laid_out

HEAD = "entry 42, seal 4f2c91"
MADE = datetime.date(2026, 3, 1)
ODD = r'#text(red)[x] $x^2$ <script>alert("1")</script> \ & *bold* @ref'

RECORDS: dict[str, tuple[str, dict[str, Any]]] = {
    "CHEST": ("object", {"number": "X.7", "name": "painted chest", "made": "1770~/1790~"}),
    "P1": ("phase", {"number": "X.7/P1", "object": "CHEST", "order": 1, "name": "making",
                     "span": "making", "begins": "1770~", "ends": "1790~"}),
    "P2": ("phase", {"number": "X.7/P2", "object": "CHEST", "order": 2,
                     "name": "museum workshop", "span": "museum", "begins": "1950"}),
    "BODY": ("element", {"number": "CH-1", "object": "CHEST", "name": "carcase",
                         "sort": "part", "core": True, "status": "in place"}),
    "HINGE": ("element", {"number": "CH-2", "object": "CHEST", "name": "hinge",
                          "sort": "fixing", "material": "steel",
                          "status": "removed and kept", "touches": ["BODY"]}),
    "PAINT": ("element", {"number": "CH-3", "object": "CHEST", "name": ODD,
                          "sort": "layer", "touches": ["BODY"]}),
    "LOCK": ("element", {"number": "CH-4", "object": "CHEST", "name": "lock",
                         "sort": "part", "status": "whereabouts not recorded"}),
    "NONE": ("element", {"number": "CH-5", "object": "CHEST", "name": "varnish",
                         "sort": "absence", "looked_for_by": "ultraviolet light"}),
    "LOOK": ("source", {"number": "S-1", "name": "examination", "sort": "examination",
                        "dated": "2020-05", "by": "conservator", "hand": "first-hand"}),
    "BOOK": ("source", {"number": "S-2", "name": "catalogue", "sort": "catalogue",
                        "dated": "1931", "hand": "second-hand"}),
    "COPY": ("source", {"number": "S-3", "name": "later catalogue", "sort": "catalogue",
                        "copies": ["BOOK"]}),
    "ORAL": ("source", {"number": "S-4", "name": "what the aunt told",
                        "sort": "oral account", "access": "registrar"}),
    "C1": ("claim", {"number": "O-1", "about": "PAINT", "relation": "lies over",
                     "other": "BODY", "strength": "strong", "source": "LOOK"}),
    "C2": ("claim", {"number": "O-2", "about": "HINGE", "relation": "made in",
                     "phase": "P2", "strength": "strong", "source": "LOOK",
                     "rival": "an older hinge put back"}),
    "C3": ("claim", {"number": "O-3", "about": "CHEST", "relation": "counted as",
                     "value": "three drawers", "strength": "moderate", "source": "COPY"}),
    "C4": ("claim", {"number": "O-4", "about": "CHEST", "relation": "counted as",
                     "value": "four drawers", "strength": "moderate", "source": "LOOK"}),
    "GLUE": ("material", {"number": "M-1", "name": "hide glue",
                          "material_class": "adhesive"}),
    "GLUED": ("batch", {"number": "B-1", "material": "GLUE", "mixed_as": "20 % in water"}),
    "TREAT": ("happening", {"number": "T-1", "object": "CHEST", "name": "hinge taken off",
                            "sort": "treatment", "when": "2020-06-15", "by": "conservator",
                            "elements": ["HINGE"], "used": ["GLUED"]}),
    "ROOM": ("place", {"number": "R-1", "name": "store room", "sort": "room"}),
    "BOX": ("container", {"number": "BX-1", "name": "grey box", "sort": "box",
                          "inside": "ROOM"}),
    "KEPT": ("part", {"number": "K-1", "element": "HINGE", "name": "hinge",
                      "removed_in": "TREAT", "removed_when": "2020-06-15",
                      "removed_by": "conservator", "container": "BOX"}),
    "SEEN": ("sighting", {"what": "KEPT", "seen": "seen", "where": "BOX",
                          "when": "2021-03-02", "by": "registrar"}),
    "GONE": ("part", {"number": "K-2", "element": "HINGE", "name": "screw"}),
    "V1": ("sample", {"number": "V-1", "element": "PAINT", "name": "cross-section",
                      "state": "partly used", "container": "BOX"}),
    "R1": ("result", {"number": "A-1", "of": "V1", "method": "microscopy",
                      "found": "two layers"}),
    "D1": ("decision", {"number": "D-1", "about": ["HINGE"], "choice": "remove",
                        "reason": "it strained the lid", "consulted": ["curator"],
                        "by": "conservator", "when": "2020-06-14"}),
    "Q1": ("question", {"number": "Q-1", "about": ["LOCK"],
                        "asked": "when did the lock go?"}),
    "W2": ("caution", {"number": "W-2", "about": ["BOX"], "sort": "hazard",
                       "what": "mould in the box", "known": "known"}),
    "W1": ("caution", {"number": "W-1", "about": ["PAINT"], "sort": "hazard",
                       "what": "arsenic in the green", "known": "suspected"}),
    "OTHER": ("object", {"number": "X.8", "name": "another chest"}),
    "OTHERS": ("element", {"number": "OT-1", "object": "OTHER", "name": "a stranger",
                           "sort": "part"}),
}  # fmt: skip


def acts(records: dict[str, tuple[str, dict[str, Any]]]) -> list[Say]:
    return [
        Say(kind, key, KINDS[kind].model_validate(body).body())
        for key, (kind, body) in records.items()
    ]


@pytest.fixture(scope="module")
def chest(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Collection]:
    with Collection.create(tmp_path_factory.mktemp("chest")) as made:
        made.record("conservator", acts(RECORDS))
        yield made


@pytest.fixture(scope="module")
def report(chest: Collection) -> ReportOf:
    return report_of(chest.around("CHEST"), "CHEST", HEAD, MADE)


@pytest.fixture(scope="module")
def pdf(report: ReportOf, tmp_path_factory: pytest.TempPathFactory) -> pypdf.PdfReader:
    file = tmp_path_factory.mktemp("paper") / "chest.pdf"
    write_report(report, file)
    return pypdf.PdfReader(file)


@pytest.fixture(scope="module")
def html(report: ReportOf) -> str:
    return html_of(report, drawings_of(report))


def plain(text: str) -> str:
    """Words without their spaces: a line break on paper is no difference."""
    return re.sub(r"\s+", "", text)


def printed(pdf: pypdf.PdfReader) -> str:
    return plain("".join(page.extract_text() for page in pdf.pages))


class Shown(HTMLParser):
    """What a reader of the HTML sees, and which tags made it."""

    def __init__(self, text: str) -> None:
        super().__init__()
        self.words, self.tags, self.links = "", [""], [""]
        self.feed(text)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.tags.append(tag)
        self.links += [v or "" for name, v in attrs if name in ("src", "href", "action")]

    def handle_data(self, data: str) -> None:
        self.words += data


SAID = (
    "painted chest", "about 1770 to about 1790", "hinge taken off", "hide glue",
    "20 % in water", "grey box", "15 June 2020", "2 March 2021", "it strained the lid",
    "curator", "when did the lock go?", "three drawers", "four drawers", "two layers",
    "first-hand", "an older hinge put back", "ultraviolet light", HEAD,
)  # fmt: skip


@pytest.mark.parametrize("words", SAID)
def test_both_papers_say_what_the_record_says(
    words: str, pdf: pypdf.PdfReader, html: str
) -> None:
    assert plain(words) in printed(pdf)
    assert plain(words) in plain(Shown(html).words)


def test_both_papers_say_the_same(
    report: ReportOf, pdf: pypdf.PdfReader, html: str
) -> None:
    paper = laid_out(report)
    for section in (*paper.first, *paper.sections):
        assert plain(section.title) in printed(pdf)
        assert plain(section.title) in plain(Shown(html).words)


def test_what_looks_like_markup_is_printed_as_it_stands(
    pdf: pypdf.PdfReader, html: str
) -> None:
    assert plain(ODD) in printed(pdf)
    assert plain(ODD) in plain(Shown(html).words)
    assert "script" not in Shown(html).tags


def test_the_html_needs_nothing_from_outside(html: str) -> None:
    shown = Shown(html)
    assert not [link for link in shown.links if link and not link.startswith("#")]
    assert not re.search(r"url\((?!['\"]?#)|@import", html)


def test_the_html_is_built_for_readers_who_listen(html: str) -> None:
    # HTML Living Standard, sections on tables; WCAG 2.2, 1.3.1 and 3.1.1
    assert '<html lang="en">' in html
    tables, shown = html.count("<table>"), Shown(html)
    assert shown.tags.count("caption") == tables > 5
    assert shown.tags.count("h1") == 1
    assert html.count("<th ") == html.count("<th scope=")


def test_the_same_report_gives_the_same_bytes(report: ReportOf, html: str) -> None:
    assert html_of(report, drawings_of(report)) == html


def test_the_pdf_says_what_it_is(pdf: pypdf.PdfReader) -> None:
    # ISO 14289-1 (PDF/UA-1), clause 7: tagged, with a title and a language
    root: Any = pdf.trailer["/Root"]
    assert root["/MarkInfo"]["/Marked"]
    assert str(root["/Lang"]).startswith("en")
    assert root["/ViewerPreferences"]["/DisplayDocTitle"]
    assert pdf.metadata is not None
    assert pdf.metadata.title == "Examination and treatment report, X.7 painted chest"
    assert pdf.metadata.creation_date is not None
    assert pdf.metadata.creation_date.date() == MADE


def test_the_pdf_claims_the_archival_form(pdf: pypdf.PdfReader) -> None:
    # ISO 19005-2, 6.6.4: part and conformance level stand in the XMP metadata
    root: Any = pdf.trailer["/Root"]
    xmp = root["/Metadata"].get_object().get_data().decode()
    assert re.search(r"pdfaid:part>2<", xmp)
    assert re.search(r"pdfaid:conformance>A<", xmp)
    assert re.search(r"pdfuaid:part>1<", xmp)


def test_every_font_is_in_the_pdf(pdf: pypdf.PdfReader) -> None:
    fonts = {}
    for page in pdf.pages:
        resources: Any = page["/Resources"]
        for font in resources.get("/Font", {}).values():
            below = font.get_object()["/DescendantFonts"][0].get_object()
            descriptor = below["/FontDescriptor"].get_object()
            fonts[descriptor["/FontName"]] = descriptor
    assert any("NotoSans" in name for name in fonts)
    for descriptor in fonts.values():
        assert {"/FontFile", "/FontFile2", "/FontFile3"} & set(descriptor)


def test_every_picture_in_the_pdf_has_words(pdf: pypdf.PdfReader) -> None:
    figures: list[DictionaryObject] = []
    root: Any = pdf.trailer["/Root"]
    todo: list[Any] = [root["/StructTreeRoot"]]
    while todo:
        node = todo.pop().get_object()
        if isinstance(node, list):
            todo += node
        elif isinstance(node, DictionaryObject):
            figures += [node] if node.get("/S") == "/Figure" else []
            todo += [node["/K"]] if "/K" in node else []
    assert figures
    assert all(len(str(figure["/Alt"])) > 20 for figure in figures)


def test_every_page_tells_its_record_state_and_number(pdf: pypdf.PdfReader) -> None:
    for number, page in enumerate(pdf.pages, 1):
        text = plain(page.extract_text())
        assert plain(f"made 2026-03-01 from record state {HEAD}") in text
        assert plain(f"page {number} of {len(pdf.pages)}") in text


def test_cautions_stand_before_everything_on_the_first_page(pdf: pypdf.PdfReader) -> None:
    text = plain(pdf.pages[0].extract_text())
    assert text.index("arsenic") < text.index(plain("What it is"))
    assert text.index(plain("mould in the box")) < text.index(plain("What it is"))
    assert plain("treat as hazardous until your safety officer") in text


def test_no_paper_says_that_anything_is_safe(pdf: pypdf.PdfReader, html: str) -> None:
    words = Shown(html).words.replace("safety officer", "")
    assert "safe" not in words.casefold()


def test_what_is_not_recorded_is_said(report: ReportOf) -> None:
    facts = dict(laid_out(report).first[1].blocks[0].pairs)  # type: ignore[union-attr]
    assert facts["Owner"] == "not recorded"
    assert facts["Object"] == "painted chest, number X.7"


def test_a_part_without_a_place_is_an_alarm(report: ReportOf, pdf: pypdf.PdfReader) -> None:
    alarms = {one.located.thing.number for one in report.taken if one.located.alarm}
    assert alarms == {"K-2", "CH-4"}
    assert plain("K-2 screw: MISSING") in plain(pdf.pages[0].extract_text())


def test_counts_on_the_first_page_add_up(report: ReportOf) -> None:
    groups = (report.original, report.later, report.undecided, report.unexamined)
    assert sum(map(len, groups)) == len(report.assessment.verdicts) == 4
    assert [one.number for one in report.later] == ["CH-2"]
    assert "CH-4" in [one.number for one in report.unexamined]


def test_accounts_that_differ_are_shown_together(report: ReportOf) -> None:
    texts = [one.text for one in report.contradictions]
    assert any("three drawers; four drawers" in text for text in texts)


def test_a_copied_source_stands_in_the_list(report: ReportOf) -> None:
    numbers = [one.thing.number for one in report.sources]
    assert numbers == ["S-1", "S-2", "S-3"]


def test_nothing_of_another_object_comes_in(chest: Collection) -> None:
    made = report_of(chest.whole(), "CHEST", HEAD, MADE)
    assert made == report_of(chest.around("CHEST"), "CHEST", HEAD, MADE)


def test_an_element_has_no_report(chest: Collection) -> None:
    with pytest.raises(NotRecorded, match="is no object"):
        report_of(chest.around("CHEST"), "HINGE", HEAD, MADE)


def told(chest: Collection, reader: Reader) -> str:
    made = report_of(chest.around("CHEST", reader=reader), "CHEST", HEAD, MADE)
    return html_of(made, drawings_of(made))


def test_closed_words_are_on_no_paper(tmp_path: Path) -> None:
    with Collection.create(tmp_path) as made:
        closed = {"number": "O-9", "about": "BODY", "relation": "noted", "source": "ORAL",
                  "value": "a tale", "strength": "weak"}  # fmt: skip
        more = {"C9": ("claim", closed)}
        made.record("conservator", acts(RECORDS | more))
        assert "the aunt" in told(made, Reader("registrar"))
        public = told(made, PUBLIC)
        assert "the aunt" not in public
        assert "restricted: ask registrar" in public


def test_a_character_that_no_font_has_is_named(report: ReportOf, tmp_path: Path) -> None:
    # U+10FFFD is for private use (The Unicode Standard, chapter 23.5): no font shows it
    facts = report.facts.model_copy(update={"name": "chest \U0010fffd"})
    odd = report.model_copy(update={"facts": facts})
    with pytest.raises(Refused, match=r"U\+10FFFD.*\.html"):
        write_report(odd, tmp_path / "odd.pdf")
    assert not (tmp_path / "odd.pdf").exists()
    write_report(odd, tmp_path / "odd.html")
    assert "\U0010fffd" in (tmp_path / "odd.html").read_text(encoding="utf-8")


def test_a_long_drawing_goes_on_over_the_page_and_loses_nothing() -> None:
    cuts = tuple(float(height) for height in range(90, 1000, 70))
    long = Drawing("<svg/>", "long", "words", ((), ()), (500.0, 1000.0), cuts)
    parts = stretches(long, 300.0)
    assert [top for top, _ in parts] == [0.0, *(bottom for _, bottom in parts[:-1])]
    assert parts[-1][1] == 1000.0
    assert all(0 < bottom - top <= 300.0 for top, bottom in parts)
    assert {bottom for _, bottom in parts[:-1]} <= set(cuts)


def test_a_drawing_without_cuts_stays_whole() -> None:
    whole = Drawing("<svg/>", "whole", "words", ((), ()), (500.0, 1000.0))
    assert stretches(whole, 300.0) == [(0.0, 1000.0)]


def test_an_open_verdict_puts_nothing_into_a_phase(report: ReportOf) -> None:
    drawn = drawings_of(report)["order"].description
    coat = next(one for one in report.elements if one.thing.number == "CH-3")
    assert coat.verdict is not None
    assert coat.verdict.text.startswith("open between")
    assert "phase: open between added in P2 museum workshop; original" in drawn
    assert "Phase P2 museum workshop, from 1950: no item" in drawn


def test_another_ending_is_refused_with_what_would_be_right(
    report: ReportOf, tmp_path: Path
) -> None:
    with pytest.raises(BadValue, match=r"chest\.pdf"):
        write_report(report, tmp_path / "chest.docx")


def test_an_object_with_nothing_recorded_still_has_a_report(
    chest: Collection, tmp_path: Path
) -> None:
    made = report_of(chest.around("OTHER"), "OTHER", HEAD, MADE)
    write_report(made, tmp_path / "other.pdf")
    text = printed(pypdf.PdfReader(tmp_path / "other.pdf"))
    assert plain("Parts taken off: not recorded") in text
    assert plain("That does not mean that there is none") in text
