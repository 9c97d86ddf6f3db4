"""What surrounds every page: the sidebar, the day as known, the list of pages."""

from collections.abc import Callable
from dataclasses import dataclass, replace
from functools import partial
from pathlib import Path
from typing import Any

import streamlit as st

from vestige.graph.collection import Collection
from vestige.graph.errors import VestigeError

from .. import language
from ..gate import words as gate_words
from ..gate.present import Present
from ..gate.sign_in import SIGN_OUT as GATE_SIGN_OUT
from . import look, shown, tongue, words, words_recording, words_treatment
from .bring import bring_page
from .change import changes_page
from .correct import correct_page
from .decide import decide_page
from .desk import Desk, Shelf
from .draft import Drafts
from .grounds import grounds_page
from .kept import kept_page
from .observe import observe_page
from .open_question import questions_page
from .record import record_page
from .removal import removal_page
from .role import role_choice
from .search import search_page
from .thing import thing_page
from .today import first_run, today
from .treatment import treatment_page
from .waiting import drafts_wait

RECORDS = frozenset({"observe", "bring", "decide", "treatment", "removal", "correct"})
"""Pages that are there for recording alone."""


@st.cache_resource(show_spinner=False)
def opened(folder: str) -> tuple[Collection, Shelf]:
    """The archive of this process with what was answered; opened once."""
    return Collection.open(folder), Shelf()


@dataclass(frozen=True, slots=True)
class Frame:
    """The app around one archive.

    Attributes:
        folder: folder of the archive.
        who: who looks.
    """

    folder: Path
    who: Present

    def show(self) -> None:
        """Draw the sidebar and the page that the address asks for."""
        st.set_page_config(words.APP, page_icon=_icon(), layout="wide")
        shown.raw(f"<style>{look.CSS}</style>")
        try:
            collection, _ = opened(str(self.folder))
            drafts = Drafts(collection.folder or self.folder, self.who.name)
        except VestigeError as why:
            st.error(shown.plain(why))
            return
        view, day, words_asked, by = self._sidebar(collection, drafts)
        try:
            desk = self._desk(collection, day)
        except VestigeError as why:
            st.error(shown.plain(why))
            return
        pages = _pages(desk, view, by, drafts)
        if not self.who.records:
            for path in RECORDS:
                del pages[path]
        if words_asked:
            _go_to(desk, pages, words_asked)
        chosen = st.navigation(list(pages.values()))
        if day:
            st.info(shown.plain(words.AS_KNOWN_BAR.format(day=day)))
        try:
            chosen.run()
        except VestigeError as why:
            shown.title(words.NOT_FOUND)
            told = str(why).replace(words.LISTS_IT, words.FIND_LISTS_IT)
            st.error(shown.plain(told))

    def _desk(self, collection: Collection, day: str = "") -> Desk:
        """The desk for whoever looks.

        Raises:
            BadValue: where the day as known cannot be read.
        """
        who, shelf = self.who, opened(str(self.folder))[1]
        return replace(
            Desk.on(collection, who.reader, day, shelf, who.who), holds=who.holds
        )

    def _sidebar(
        self, collection: Collection, drafts: Drafts
    ) -> tuple[str, str, str | None, str]:
        with st.sidebar:
            asked = _search_box()
            view = st.selectbox(
                words.WORKING_AS,
                words.VIEWS,
                key="view",
                bind="query-params",
                format_func=language.word,
                help=words.VIEW_HELP,
            )
            day = st.text_input(
                words.KNOWN,
                key="known",
                bind="query-params",
                placeholder=words.KNOWN_NOW,
                help=words.KNOWN_HELP,
            )
            by = role_choice(self._desk(collection), drafts)
            if st.toggle(words.LARGE, key="large", bind="query-params"):
                shown.raw(f"<style>{look.LARGE}</style>")
            tongue.choice(self.folder)
            self._foot(collection)
            tongue.say_to_readers()
        return view or words.VIEWS[0], (day or "").strip(), asked, by

    def _foot(self, collection: Collection) -> None:
        role = self.who.role
        reading = words.READING_AS.format(role=role) if role else words.READING_PUBLIC
        ends = words.RECORD_ENDS.format(mark=collection.mark())
        told = self._signed_in() if self.who.name else (words.MACHINE_ONLY, reading)
        for text in (*told, ends):
            shown.line(text, "note")

    def _signed_in(self) -> tuple[object, ...]:
        said = gate_words.SIGNED_IN_AS.format(name=self.who.name, role=self.who.role)
        leave = shown.Html(
            f'<a href="{GATE_SIGN_OUT}" target="_self">{gate_words.SIGN_OUT}</a>'
        )
        return (said, leave) if self.who.records else (said, gate_words.READS_ONLY, leave)


def _search_box() -> str | None:
    """Words that were typed or scanned and not yet looked for."""

    def asked() -> None:
        st.session_state["to-find"] = st.session_state.get("find-box", "").strip()
        st.session_state["find-box"] = ""

    st.text_input(
        words.SEARCH,
        key="find-box",
        on_change=asked,
        help=words.SEARCH_HELP,
        type="search",
        placeholder=words.SEARCH_FOR,
    )
    found: str | None = st.session_state.pop("to-find", None)
    return found


def _pages(desk: Desk, view: str, by: str, drafts: Drafts) -> dict[str, Any]:
    """Every page by its address; those of one thing are not in the list at the side."""

    def go(name: str, query: dict[str, str]) -> None:
        if name not in pages:  # this account records nothing
            st.warning(gate_words.READS_ONLY)
            return
        st.switch_page(pages[name], query_params=query)

    def start() -> None:
        if desk.empty():
            first_run(desk, by, records="bring" in pages)
            return
        drafts_wait(drafts)
        today(desk, view)

    listed: list[tuple[str, str, str, Callable[[], None]]] = [
        ("", words.TODAY, "today", start),
        ("find", words.FIND, "search", partial(search_page, desk)),
        ("object", words.OBJECT, "account_tree", partial(thing_page, desk, go)),
        ("observe", words.OBSERVE, "edit_note", partial(observe_page, desk, by, drafts)),
        ("kept", words.KEPT, "inventory_2", partial(kept_page, desk, by, drafts)),
        ("questions", words.QUESTIONS, "rule", partial(questions_page, desk)),
        ("changes", words.CHANGES, "history", partial(changes_page, desk)),
        ("bring", words.BRING, "upload_file", partial(bring_page, desk, by)),
    ]
    pages = {
        path: st.Page(
            _named(shows, path or "today"),
            title=title,
            icon=f":material/{icon}:",
            url_path=path or None,
            default=not path,
        )
        for path, title, icon, shows in listed
    }
    hidden: list[tuple[str, str, Callable[[], None]]] = [
        ("element", words.ELEMENT, partial(grounds_page, desk)),
        ("decide", words.DECIDE, partial(decide_page, desk, by, drafts)),
        (
            "treatment",
            words_treatment.TREAT,
            partial(treatment_page, desk, by, drafts, go),
        ),
        ("removal", words_treatment.REMOVAL, partial(removal_page, desk, by, drafts)),
        ("correct", words_recording.CORRECT, partial(correct_page, desk, by, drafts)),
        ("record", words.RECORD, partial(record_page, desk, drafts, go)),
    ]
    for path, title, shows in hidden:
        pages[path] = st.Page(
            _named(shows, path), title=title, url_path=path, visibility="hidden"
        )
    return pages


def _named(shows: Callable[[], None], name: str) -> Callable[[], None]:
    """A page as a function with a name, by which Streamlit tells pages apart."""

    def page() -> None:
        shows()

    page.__name__ = page.__qualname__ = name
    return page


def _go_to(desk: Desk, pages: dict[str, Any], asked: str) -> None:
    """Open what bears this number, or look for these words."""
    number = desk.number_of(asked)
    if number is None:
        st.switch_page(pages["find"], query_params={"q": asked})
    state, key = desk.about(number)
    kind = state.held(key).record.kind
    page, name = {
        "object": ("object", "o"),
        "element": ("element", "e"),
        "container": ("kept", "shelf"),
        "place": ("kept", "shelf"),
        "part": ("kept", "item"),
        "sample": ("kept", "item"),
        "fragment": ("kept", "item"),
    }.get(kind, ("record", "id"))
    st.switch_page(pages[page], query_params={name: number})


@st.cache_resource(show_spinner=False)
def _icon() -> Any:
    """The mark of the app: three layers, the middle one hatched; drawn, not fetched."""
    from PIL import Image, ImageDraw

    picture = Image.new("RGB", (64, 64), "#ffffff")
    pen = ImageDraw.Draw(picture)
    pen.rectangle((6, 8, 58, 22), fill="#072871")
    pen.rectangle((6, 26, 58, 40), outline="#b1540b", width=3)
    for x in range(-8, 60, 9):
        pen.line((max(6, x), 40 - max(0, 6 - x), x + 14, 26), fill="#b1540b", width=3)
    pen.rectangle((6, 44, 58, 56), outline="#29652d", width=4)
    return picture
