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
    speak,
)
from . import words

IN_ADDRESS = "lang"
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
    st.session_state[_CHOSEN] = language
    st.session_state[_SPOKEN] = catalogue
    speak(catalogue)


def choice(folder: Path) -> None:
    """The list of languages, each under its own name."""

    def keep() -> None:
        language = st.session_state["language-box"]
        st.session_state[_CHOSEN] = language
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
    language = st.session_state[_CHOSEN].replace("_", "-")
    st.html(
        f"<script>document.documentElement.lang={json.dumps(language)}</script>",
        unsafe_allow_javascript=True,
    )
