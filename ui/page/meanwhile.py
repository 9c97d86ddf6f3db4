"""What others recorded about the things of a form since somebody began it.

A form for something new replaces nothing, so the ledger cannot know that it is stale; what
it rests on may be. Before it is recorded, its page shows both versions.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Literal

import streamlit as st

from vestige.graph.errors import VestigeError
from vestige.graph.intake import columns_of
from vestige.graph.record import KINDS

from . import shown, words, words_recording
from .desk import Desk
from .form import Sheet
from .written import differences, form_of, written

if TYPE_CHECKING:
    from vestige.graph.state import State

BEGAN = "began"
"""Name under which a draft keeps where the record ended when it was begun."""
MOST = 40


@dataclass(frozen=True, slots=True)
class Since:
    """One record that was stated since a form was begun.

    Attributes:
        key: its key.
        by: role that recorded it.
        columns: heads, what stood there then ("" for not recorded), what stands there now;
            none where it was not there then.
    """

    key: str
    by: str
    columns: tuple[tuple[str, str, str], ...]


def end_of_record(desk: Desk) -> str:
    """Where the record ends now, as a draft keeps it."""
    return str(desk.collection.store.head().seq)


def since(desk: Desk, things: Iterable[str], began: str) -> list[Since]:
    """What was stated about things, or is a new version of them, after a draft began.

    Args:
        desk: whose reader asks.
        things: keys of the things that the form is about.
        began: what `end_of_record` said then; empty: nothing is compared.
    """
    found: dict[str, Since] = {}
    if not began:
        return []
    for thing in things:
        try:
            state, _ = desk.about(thing)
        except VestigeError:  # withdrawn, or closed: the form itself will say so
            continue
        near = [thing] + [src for link, src in state.pointing(thing) if link.src == src]
        for key in near:
            if key in state and state.held(key).seq > int(began):
                found.setdefault(key, _since(desk, state, key, int(began)))
    return list(found.values())


def _since(desk: Desk, state: "State", key: str, began: int) -> Since:
    held = state.held(key)
    older = [one for one in desk.collection.store.history(key) if one.seq <= began]
    if not older or not desk.sees(key):
        return Since(key, held.by, ())
    columns = columns_of(KINDS[held.record.kind])
    before = {
        name: written(state, column, older[-1].body.get(name))
        for name, column in columns.items()
    }
    return Since(
        key,
        held.by,
        tuple(differences(type(held.record), before, form_of(state, key))),
    )


def both_versions(
    rows: Sequence[tuple[str, str, str]],
) -> Literal["mine", "theirs"] | None:
    """Show where two versions of one record differ, and two ways on; which was chosen.

    Nothing is lost by either way.
    """
    st.warning(words.STALE_HEAD)
    shown.line(words.STALE_SAID)
    shown.table(words.STALE_HEADS, rows, words.STALE_HEAD)
    with st.container(horizontal=True):
        mine, theirs = st.button(words.STALE_OVER), st.button(words.STALE_THEIRS)
    return "mine" if mine else "theirs" if theirs else None


def warned(desk: Desk, sheet: Sheet, things: Iterable[str]) -> bool:
    """Show what was recorded meanwhile; whether it is still to be read."""
    from vestige.graph.answer.answer import thing

    found = since(desk, things, sheet.begun.get(BEGAN, ""))
    if not found:
        return False
    st.warning(words_recording.MEANWHILE)
    shown.line(words_recording.MEANWHILE_SAID)
    rows: list[tuple[object, ...]] = []
    for one in found:
        state, _ = desk.about(one.key)
        name = shown.to(thing(state, one.key))
        new = words_recording.MEANWHILE_NEW.format(by=one.by)
        rows += [(name, *column) for column in one.columns] or [
            (name, "", words_recording.NOT_THERE, new)
        ]
    heads = words_recording.MEANWHILE_HEADS
    shown.table(heads, rows, words_recording.MEANWHILE, most=MOST)
    if st.button(words_recording.MEANWHILE_GO, key=f"{sheet.prefix}-meanwhile"):
        sheet.drafts.add(sheet.draft, {BEGAN: end_of_record(desk)})
        st.rerun()
    return True
