"""Every page in an invented language, so that nothing stays English unnoticed."""

import re
from collections.abc import Iterator
from pathlib import Path
from typing import TYPE_CHECKING

import pytest
from browsing import SCREEN, choose, look, still
from page_drawing import drawn
from streamlit.testing.v1 import AppTest

from vestige.ui.language import speak
from vestige.ui.language.template import all_messages, modules
from vestige.ui.language.wording import texts_in

if TYPE_CHECKING:
    from playwright.sync_api import Page

SPOKEN = "eo"
"""A language that CLDR knows and the package has no catalogue of."""
PAGES: dict[str, list[dict[str, str]]] = {
    "today": [{"view": "conservator"}, {"view": "registrar"}, {"view": "researcher"}],
    "find": [{}, {"kind": "element", "verdict": "original", "before": "1990"}],
    "object": [
        {"o": "FEN.1954.3", "look": look}
        for look in (
            "Elements",
            "Order of layers and events",
            "Arrangements",
            "What was taken off",
            "Report",
        )
    ],
    "element": [{"e": "SCR-16"}],
    "observe": [{"o": "FEN.1954.3", "e": "LUT-17"}],
    "kept": [{"item": "RM-27-1"}, {"shelf": "BX-014"}],
    "questions": [{"o": "FEN.1954.3"}],
    "changes": [{"since": "2020-01-01", "o": "FEN.1954.3"}],
    "bring": [{}],
    "decide": [{"o": "FEN.1954.3", "e": "LUT-17"}],
    "record": [{"id": "SX6b"}],
    "treatment": [{"o": "FEN.1954.3"}],
    "removal": [{"o": "FEN.1954.3"}],
    "correct": [{"id": "SX6b"}, {"id": "LUT-17"}],
}
OURS = re.compile(r"⟦[^⟦⟧]*⟧")


def pseudo() -> str:
    """A catalogue in which every text stands in brackets."""

    def quoted(text: str) -> str:
        plain = text.replace("\\", "\\\\").replace('"', '\\"').replace("\n", "\\n")
        return f'"{plain}"'

    lines = ['msgid ""\nmsgstr "Content-Type: text/plain; charset=utf-8\\n"\n']
    for context, english in all_messages():
        lines.append(f"msgctxt {quoted(context)}\n" if context else "")
        lines.append(f"msgid {quoted(english)}\nmsgstr {quoted(f'⟦{english}⟧')}\n\n")
    return "".join(lines)


@pytest.fixture
def invented(museum: Path) -> Iterator[Path]:
    """The museum with a catalogue of its own."""
    home = museum / "languages"
    home.mkdir(exist_ok=True)
    (home / f"{SPOKEN}.po").write_text(pseudo(), "utf-8")
    yield museum
    speak(None)


def told(page: AppTest) -> str:
    """Everything that a page says: our HTML, and the words of every widget."""
    said: list[str] = []
    for one in [*page.main, *page.sidebar]:
        kind, proto = one.type, one.proto
        if kind == "html":
            body = re.sub(r"<(style|script)>.*?</\1>", "", str(proto.body), flags=re.S)
            said += re.findall(r'aria-label="([^"]*)"', body)
            said.append(re.sub(r"<[^>]*>", "\n", body))
        for name in ("label", "help", "placeholder", "body"):
            text = getattr(proto, name, "")
            said += [text] if isinstance(text, str) and kind != "html" else []
        said += [str(text) for text in getattr(one, "options", [])]
    return "\n".join(said)


def left_in_english(text: str) -> list[str]:
    """Our English sentences in what remains when everything in brackets is taken out."""
    before = ""
    while before != text:
        before, text = text, OURS.sub("¦", text)
    plain = re.sub(r"\\(.)", r"\1", text)
    of_pages = [one for one in modules() if ".language." not in one.__name__]
    ours = {text for one in of_pages for each in texts_in(one).values() for text in each}
    return [english for english in sorted(ours) if _in(english, plain)]


def _in(english: str, text: str) -> bool:
    """Whether a text is there: as a line of its own, or by its longest fixed stretch."""
    parts = re.split(r"\{\w+\}", english)
    if len(parts) == 1:
        return english.count(" ") >= 2 and english in {
            line.strip() for line in text.split("\n")
        }
    longest = max(parts, key=len).strip()
    return longest.count(" ") >= 2 and longest in text


@pytest.mark.parametrize("name", PAGES)
def test_no_sentence_of_a_page_stays_in_english(
    name: str, invented: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    for query in PAGES[name]:
        page = drawn(invented, name, {**query, "lang": SPOKEN}, monkeypatch)
        assert not page.exception, page.exception
        text = told(page)
        assert text.count("⟦") > 20, (name, query)
        assert left_in_english(text) == [], (name, query)


def test_the_language_is_turned_in_the_middle_of_the_work(
    museum: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    page = drawn(museum, "object", {"o": "FEN.1954.3", "look": "Arrangements"}, monkeypatch)
    assert "⟦" not in told(page)
    page.sidebar.selectbox(key="language-box").set_value("de").run()
    assert not page.exception
    assert page.query_params["lang"] in ("de", ["de"])
    assert "Elemente" in told(page)
    assert page.session_state["look"] == "Anordnungen"


def test_an_address_in_another_language_leads_to_the_same_view(
    museum: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    query = {"o": "FEN.1954.3", "look": "Arrangements", "view": "registrar", "lang": "de"}
    page = drawn(museum, "object", query, monkeypatch)
    assert not page.exception
    assert page.session_state["look"] == "Anordnungen"
    assert page.session_state["view"] == "registrar"


def test_a_reader_turns_the_language_and_keeps_their_place(
    page: "Page", address: str
) -> None:
    look(page, f"{address}/object?o={SCREEN}&look=Arrangements")
    page.wait_for_function("() => document.documentElement.lang === 'en'")
    choose(page, "Language", "Deutsch")
    # WCAG 2.2, 3.1.1: the language of a page can be told by a program
    page.wait_for_function("() => document.documentElement.lang === 'de'")
    chosen = page.get_by_role("radio", name="Anordnungen")
    chosen.wait_for()
    page.reload()
    still(page)
    page.wait_for_function("() => document.documentElement.lang === 'de'")
    assert chosen.get_attribute("aria-checked") == "true"
    assert page.get_by_text("um 1770 bis um 1790").is_visible()
    page.get_by_role("link", name="Suchen", exact=True).click()
    page.get_by_role("heading", name="Suchen").wait_for()
    still(page)
    choose(page, "Art des Datensatzes", "Ereignis")
    page.get_by_text(re.compile(r"^\d+ gefunden$")).wait_for()
