"""The form to correct or withdraw any record: the earlier version always stays."""

from typing import TYPE_CHECKING

import streamlit as st

from vestige.graph.errors import BadValue, Conflict, VestigeError
from vestige.graph.intake import Column, columns_of
from vestige.graph.record import Record

from .. import language
from . import correction, shown, words
from . import words_recording as told
from .desk import Desk
from .draft import Drafts
from .form import Sheet, forget
from .meanwhile import both_versions
from .written import differences, form_of

if TYPE_CHECKING:
    from vestige.graph.state import State

CORRECTION = "correction"


def correct_page(desk: Desk, by: str, drafts: Drafts) -> None:
    """Show every column of one record as it stands, and record what is changed."""
    _done()
    shown.title(told.CORRECT, told.CORRECT_UNDER)
    if desk.known is not None:
        shown.line(words.KNOWN_PAST)
        return
    begun = _begun(desk, drafts)
    if not begun.get("key"):
        shown.line(told.CORRECT_WHICH)
        return
    if not _there(desk, begun["key"]):
        st.error(shown.plain(told.GONE))
        if st.button(words.CLEAR_IT):
            drafts.drop(CORRECTION)
            st.rerun()
        return
    state, key = desk.about(begun["key"])
    if not desk.sees(key):
        shown.line(told.CORRECT_CLOSED)
        return
    kind = type(state.held(key).record)
    sheet = Sheet(drafts, begun, CORRECTION, (*kind.model_fields, correction.REASON), "co")
    from vestige.graph.answer.answer import thing

    shown.raw(f'<p class="vt-p">{shown.to(thing(state, key))}</p>')
    for name, column in columns_of(kind).items():
        _field(sheet, name, column)
    _finish(desk, by, sheet, state, {**begun, **sheet.typed()})


def _done() -> None:
    """What was recorded last, and the way to it where it still stands."""
    said, key = st.session_state.pop("corrected", ("", ""))
    if said:
        st.success(shown.plain(said))
    if key:
        link = shown.link(words.THE_RECORD, "record", id=key)
        shown.raw(f'<p class="vt-p">{link}</p>')


def _begun(desk: Desk, drafts: Drafts) -> dict[str, str]:
    begun = drafts.read(CORRECTION)
    asked = st.query_params.pop("id", "")
    if asked:
        state, key = desk.about(asked)
        if begun.get("key") != key and not _in_the_way(desk, begun):
            begun = {**form_of(state, key), "key": key}
            begun["replaces"] = str(state.held(key).seq)
            forget("co")
            drafts.keep(CORRECTION, begun)
    return begun


def _there(desk: Desk, key: str) -> bool:
    """Whether a record still stands; somebody may have withdrawn it meanwhile."""
    try:
        desk.about(key)
    except VestigeError:
        return False
    return True


def _in_the_way(desk: Desk, begun: dict[str, str]) -> bool:
    """Whether something was changed in the draft about another record; says so then."""
    if not begun.get("key") or not _there(desk, begun["key"]):
        return False
    state, key = desk.about(begun["key"])
    before = correction.version(desk, key, int(begun["replaces"]))
    kind = type(state.held(key).record)
    if not begun.get(correction.REASON) and not differences(kind, before, begun):
        return False
    label = state.label(key)
    st.warning(shown.plain(told.DRAFT_FIRST.format(thing=label)))
    return True


def _field(sheet: Sheet, name: str, column: Column) -> None:
    head = language.column(column.head)
    if column.words is not None and not column.many:
        every = [str(one) for one in column.words]
        none = None if column.needed else words.NONE
        sheet.choice(name, head, every, language.word, none=none)
        return
    sheet.text(name, told.SEVERAL.format(note=head) if column.many else head)


def _finish(
    desk: Desk, by: str, sheet: Sheet, state: "State", form: dict[str, str]
) -> None:
    reason = sheet.text(correction.REASON, told.WHY)
    key, kind = form["key"], type(state.held(form["key"]).record)
    made = _made(desk, sheet, form, kind)
    lacking = not reason or not by or made is None
    if not by:
        shown.line(words.NO_ROLE, "note")
    if st.button(told.RECORD_CORRECTION, type="primary", disabled=lacking):
        _try(desk, by, sheet, form, made)
    with st.expander(told.WITHDRAW_HEAD):
        shown.line(told.WITHDRAW_SAID)
        sure = st.checkbox(told.WITHDRAW_SURE, key="co-sure")
        if st.button(told.WITHDRAW_DO, disabled=not (sure and reason and by)):
            _try(desk, by, sheet, form, None)
    if st.button(words.CLEAR_IT):
        _again(sheet, state, key)
    if st.session_state.get("co-stale") or _newer(state, form):
        _stale(desk, sheet, state, form)


def _newer(state: "State", form: dict[str, str]) -> bool:
    return str(state.held(form["key"]).seq) != form.get("replaces")


def _made(
    desk: Desk, sheet: Sheet, form: dict[str, str], kind: type[Record]
) -> Record | None:
    """The record as it would be; None, and what lacks, where nothing can be recorded."""
    before = correction.version(desk, form["key"], int(form["replaces"]))
    rows = differences(kind, before, form)
    if not rows:
        shown.line(words.LACKS.format(what=told.NOTHING_CHANGED), "note")
        return None
    shown.head(told.CHANGES_HEAD)
    said = [(head, old or words.NONE, new or words.NONE) for head, old, new in rows]
    shown.table(told.CHANGES_HEADS, said, told.CHANGES_HEAD)
    try:
        made = correction.corrected(desk, form)
    except BadValue as lacks:
        shown.line(words.LACKS.format(what=lacks), "note")
        return None
    found = correction.problems(desk, form["key"], made)
    shown.problems(found)
    return None if any(one.weight == "error" for one in found) else made


def _try(
    desk: Desk, by: str, sheet: Sheet, form: dict[str, str], made: Record | None
) -> None:
    """Record the correction; without *made*, the withdrawal."""
    try:
        number = correction.record(desk, by, form, made)
    except Conflict:
        st.session_state["co-stale"] = True
        return
    except VestigeError as why:
        st.error(shown.plain(why))
        return
    sheet.clear()
    said = told.CORRECTED if made else told.WITHDRAWN
    there = form["key"] if made else ""
    st.session_state["corrected"] = (said.format(number=number), there)
    st.rerun()


def _again(sheet: Sheet, state: "State", key: str) -> None:
    """The form with what the record says now."""
    sheet.clear({**form_of(state, key), "key": key, "replaces": str(state.held(key).seq)})
    st.rerun()


def _stale(desk: Desk, sheet: Sheet, state: "State", form: dict[str, str]) -> None:
    """Both versions side by side, and two ways on; nothing is lost by either."""
    key = form["key"]
    kind = type(state.held(key).record)
    chosen = both_versions(differences(kind, form, form_of(state, key)))
    if chosen == "mine":
        kept = correction.merged(desk, form, form_of(state, key))
        kept |= {"key": key, "replaces": str(state.held(key).seq)}
        kept[correction.REASON] = form.get(correction.REASON, "")
        sheet.clear(kept)
        st.rerun()
    elif chosen == "theirs":
        _again(sheet, state, key)
