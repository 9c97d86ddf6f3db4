"""Drafts that wait: begun, kept, and not recorded yet."""

import streamlit as st

from . import shown, words, words_recording, words_treatment
from .correction import REASON
from .draft import Drafts

PAGES = {
    "observation": ("observe", ("relation", "note", "other", "value", "date")),
    "decision": ("decide", ("choice", "reason", "note")),
    "treatment": ("treatment", ("name", "technique", "note", "used")),
    "removal": ("removal", ("name", "original_position", "label_text", "question", "spot")),
    "correction": ("correct", (REASON,)),
    "act": ("kept", ("things",)),
}
"""Page of each draft, and the fields that somebody must have written for it to count."""


def waiting(drafts: Drafts) -> list[str]:
    """Names of the drafts in which something was written."""
    return [
        name
        for name, (_, fields) in PAGES.items()
        if any(drafts.read(name).get(field) for field in fields)
    ]


def in_the_way(drafts: Drafts, name: str, thing: str, asked: str) -> bool:
    """Whether a draft about another thing than the one asked for waits; says so then."""
    if thing == asked or name not in waiting(drafts):
        return False
    st.warning(shown.plain(words_recording.DRAFT_FIRST.format(thing=thing)))
    return True


def drafts_wait(drafts: Drafts) -> None:
    """Say what waits, with a link to go on."""
    for name in waiting(drafts):
        page = PAGES[name][0]
        asked = {"go": "on"} if name == "act" else {}
        go = shown.link(words.DRAFT_GO, page, **asked)
        shown.raw(f'<p class="vt-p">{shown.esc(words_treatment.WAITS[name])} {go}</p>')
