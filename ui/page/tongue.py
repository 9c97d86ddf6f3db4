"""The language of a page: chosen in the sidebar, first guessed from the browser.

It stands in the address (`lang=de`), so that a link that is passed on reads the same. The
words of Streamlit itself ("Browse files", the tools of a table) stay in English.
"""

import json
from pathlib import Path
from typing import Any

import streamlit as st
from streamlit.runtime.scriptrunner import get_script_run_ctx

from ..language import (
    Catalogue,
    asks,
    catalogue_of,
    fitting,
    languages,
    own_name,
    retold,
    speak,
    tag,
)
from . import words

IN_ADDRESS = "lang"
WORDED = ("view", "kind", "look")
"""What addresses name in words: kept apart from the language of who passed them on."""
SHOWN = ("look", "kept-view", "kind-of-element")
"""Choices that are kept in the words that were shown."""
_SPOKEN, _CHOSEN = "language-spoken", "language-chosen"


def _of_session() -> Catalogue | None:
    """What the session of this thread speaks; a part of a page may run alone."""
    if get_script_run_ctx(suppress_warning=True) is None:
        return None
    spoken: Any = st.session_state.get(_SPOKEN)
    return spoken if isinstance(spoken, Catalogue) else None


asks(_of_session)


def begin(folder: Path) -> None:
    """Speak the language that was chosen, or the browser's; before anything is drawn."""
    there = languages(folder)
    guess = fitting(st.context.locale, there)
    asked = st.query_params.get(IN_ADDRESS) or st.session_state.get(_CHOSEN) or guess
    language = fitting(asked, there)
    if language != guess:  # a page that is changed or loaded again keeps it
        st.query_params[IN_ADDRESS] = language
    catalogue = catalogue_of(language, folder)
    if _CHOSEN not in st.session_state:
        _read_address(catalogue, folder)
    elif st.session_state[_CHOSEN] != language:
        _turn(catalogue, folder)
    st.session_state[_CHOSEN] = language
    st.session_state[_SPOKEN] = catalogue
    speak(catalogue)


def _read_address(catalogue: Catalogue, folder: Path) -> None:
    """Take an address that was passed on by somebody who reads another language.

    Streamlit drops a value that the list of choices does not have, and what is set here
    then stands.
    """
    for name in WORDED:
        said = st.query_params.get(name)
        told = retold(said, catalogue, folder) if said else None
        if told != said:
            plain = name not in SHOWN
            st.session_state[name] = retold(str(said), None, folder) if plain else told


def _turn(catalogue: Catalogue, folder: Path) -> None:
    """Say what is chosen on the pages in another language."""
    for name in SHOWN:
        said = st.session_state.get(name)
        if isinstance(said, str):
            st.session_state[name] = retold(said, catalogue, folder)


def choice(folder: Path) -> None:
    """The list of languages, each under its own name."""

    def keep() -> None:
        language = st.session_state["language-box"]
        st.query_params[IN_ADDRESS] = language

    there = languages(folder)
    st.selectbox(
        words.LANGUAGE,
        there,
        index=there.index(st.session_state[_CHOSEN]),
        format_func=own_name,
        key="language-box",
        on_change=keep,
        help=words.LANGUAGE_HELP,
    )


def say_to_readers() -> None:
    """Tell screen readers in which language the page is."""
    st.html(
        f"<script>document.documentElement.lang={json.dumps(tag())}</script>",
        unsafe_allow_javascript=True,
    )
