"""The choice in the sidebar: in which role entries are recorded."""

import streamlit as st

from . import shown, words, words_recording
from .desk import Desk
from .draft import Drafts
from .recording import is_new, roles_of

DESK_DRAFT = "desk"


def role_choice(desk: Desk, drafts: Drafts) -> str:
    """The role, remembered beside the archive; empty where none is said or none is held.

    With accounts only the roles of the account can be chosen; without, one of the
    archive's or a new one, which is said to be new.
    """
    if desk.holds == ():
        return ""
    every = roles_of(desk)
    last = drafts.read(DESK_DRAFT).get("by", "")
    free = desk.holds is None
    options = list(dict.fromkeys([*([last] if last and free else []), *every]))
    first = last if last in options else next(iter(options), "") if not free else ""

    def keep() -> None:
        chosen = st.session_state.get("by") or ""
        drafts.add(DESK_DRAFT, {"by": chosen})

    chosen = st.selectbox(
        words.RECORDING_AS,
        options,
        index=options.index(first) if first else None,
        key="by",
        placeholder=words.CHOOSE_OR_WRITE if free else words.CHOOSE,
        accept_new_options=free,
        on_change=keep,
        format_func=lambda one: every.get(one, one),
        help=words.RECORDING_HELP if free else words_recording.HELD_HELP,
    )
    by = (chosen or "").strip()
    if is_new(desk, by) and free:
        shown.line(words_recording.NEW_ROLE.format(role=by), "note")
    return by
