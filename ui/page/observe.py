"""The form for one observation: what was seen, how strongly, from what source.

Every field is kept as a draft when it is left, so that a page that is loaded again, or a
connection that drops, loses nothing.
"""

from pathlib import Path
from typing import TYPE_CHECKING

import streamlit as st

from vestige.graph.errors import BadValue, Conflict, VestigeError
from vestige.graph.record import (
    Claim,
    Element,
    Phase,
    Relation,
    Source,
    Stance,
    Strength,
)

from .. import language
from . import entry, shown, words
from .desk import Desk
from .draft import Drafts
from .form import (
    FIELDS,
    OBSERVATION,
    Names,
    Sheet,
    forget,
    named,
    object_choice,
    photograph,
)
from .meanwhile import both_versions

if TYPE_CHECKING:
    from vestige.graph.state import State

LAST = "last observation"
REMEMBERED = ("object", "element", "source", "when")


def observe_page(desk: Desk, by: str, drafts: Drafts) -> None:
    """Show the form, the guide, the preview, and record."""
    _tell_done()
    shown.title(words.OBSERVE, words.OBSERVE_UNDER)
    if desk.known is not None:
        shown.line(words.KNOWN_PAST)
        return
    sheet = Sheet(drafts, _begun(drafts, desk))
    if sheet.begun.get("correcting"):
        st.info(shown.plain(words.CORRECTING.format(number=sheet.begun["correcting"])))
    number = object_choice(desk, sheet)
    if not number:
        return
    state, home, _ = desk.around(number)
    desk.listed(state, Element, Phase, Source, Claim)  # the lists below name them
    left, right = st.columns([3, 2], gap="large")
    with left:
        form = _fields(sheet, state, home, desk.folder)
    with right:
        _guide(state, form)
    _finish(desk, by, sheet, state, home, form)


def _begun(drafts: Drafts, desk: Desk) -> dict[str, str]:
    """The draft, with what the address asks for; a new one begins as the last one did."""
    begun = drafts.read(OBSERVATION)
    asked = {
        "object": st.query_params.get("o", ""),
        "element": st.query_params.get("e", ""),
    }
    if asked["object"] and not begun.get("correcting"):
        begun |= asked
        for name in asked:
            st.session_state.pop(f"ob-{name}", None)
    elif not begun:
        begun = {k: v for k, v in drafts.read(LAST).items() if k in REMEMBERED}
    for name in ("o", "e"):
        st.query_params.pop(name, None)
    if not begun.get("key"):
        begun["key"] = desk.collection.keys.new()
    if not begun.get("photo key"):
        begun["photo key"] = desk.collection.keys.new()
    drafts.add(OBSERVATION, begun)
    return begun


def _fields(sheet: Sheet, state: "State", home: str, folder: Path) -> dict[str, str]:
    elements = named(state, Element, lambda one: one.object == home)
    sheet.choice("element", words.F_ELEMENT, list(elements), elements.get_label,
                 none=words.THE_OBJECT_ITSELF)  # fmt: skip
    relation = _relation(sheet, state)
    if relation:
        _asked(sheet, state, home, Relation(relation), elements)
        _strength(sheet, state)
    sources = named(state, Source)
    sheet.choice("source", words.F_SOURCE, list(sources), sources.get_label,
                 none=words.NO_SOURCE)  # fmt: skip
    sheet.text("note", words.F_NOTE)
    photograph(sheet, folder)
    said = named(state, Claim)
    repeated = Names({**said, **sources})
    sheet.choice("derived", words.F_DERIVED, list(repeated), repeated.get_label,
                 none=words.NOT_DERIVED)  # fmt: skip
    with st.expander(words.MORE_FIELDS):
        sheet.choice("stance", words.F_STANCE, [str(one) for one in Stance], language.word)
        for name, label in (
            ("when", words.F_WHEN),
            ("method", words.F_HOW),
            ("spot", words.F_SPOT),
            ("rival", words.F_RIVAL),
            ("number", words.F_NUMBER),
        ):
            sheet.text(name, label)
    typed = {name: str(st.session_state.get(f"ob-{name}") or "").strip() for name in FIELDS}
    return {**sheet.begun, **typed}


def _relation(sheet: Sheet, state: "State") -> str:
    def usual_word() -> None:
        chosen = st.session_state.get("ob-relation")
        if chosen:
            form = {"relation": chosen, "source": st.session_state.get("ob-source") or ""}
            st.session_state["ob-strength"] = str(entry.usual(state, form))
        sheet.keep()

    every = entry.relations_by_use(state)
    sheet.start("relation", every)
    chosen = st.selectbox(
        words.F_RELATION,
        every,
        key="ob-relation",
        index=None,
        placeholder=words.CHOOSE,
        on_change=usual_word,
        format_func=language.word,
    )
    return chosen or ""


def _asked(
    sheet: Sheet, state: "State", home: str, relation: Relation, elements: Names
) -> None:
    asks = entry.asked_by(relation)
    if asks.other:
        sheet.choice("other", words.F_OTHER, list(elements), elements.get_label)
    if asks.date:
        sheet.text("date", words.F_DATE)
    if asks.phase:
        phases = named(state, Phase, lambda one: one.object == home)
        sheet.choice("phase", words.F_PHASE, list(phases), phases.get_label)
    if asks.text:
        sheet.text("value", words.F_VALUE)


def _strength(sheet: Sheet, state: "State") -> None:
    every = [str(one) for one in Strength]
    sheet.start("strength", every)
    if st.session_state["ob-strength"] is None:
        form = {"relation": st.session_state["ob-relation"]}
        st.session_state["ob-strength"] = str(entry.usual(state, form))
    st.segmented_control(
        words.F_STRENGTH,
        every,
        key="ob-strength",
        on_change=sheet.keep,
        required=True,
        format_func=language.word,
    )


def _guide(state: "State", form: dict[str, str]) -> None:
    for kind in entry.guide(state, form):
        lists = (
            (words.GUIDE_ASKS, (kind.asks,)),
            (words.GUIDE_RIVALS, kind.rivals),
            (words.GUIDE_PITFALLS, kind.pitfalls),
        )
        told = "".join(
            f"<p class='vt-p'><b>{head}</b></p><ul>"
            + "".join(f"<li>{shown.esc(one)}</li>" for one in lines)
            + "</ul>"
            for head, lines in lists
        )
        usual = words.GUIDE_USUAL.format(word=language.word(kind.usual))
        basis = words.GUIDE_BASIS.format(basis=kind.basis)
        shown.raw(
            f'<div class="vt-sheet"><b>{shown.esc(kind.name)}</b> ({shown.esc(usual)})'
            f'{told}<p class="vt-note">{shown.esc(basis)}</p></div>'
        )


def _finish(
    desk: Desk, by: str, sheet: Sheet, state: "State", home: str, form: dict[str, str]
) -> None:
    """The preview, and the buttons."""
    form = {**form, "by": by}
    claim = _previewed(desk, state, home, form)
    if form.get("replaces"):
        form["reason"] = sheet.text("reason", words.F_REASON)
    with st.container(horizontal=True):
        ready = claim is not None and bool(by)
        pressed = st.button(words.RECORD_IT, type="primary", disabled=not ready)
        if st.button(words.CLEAR_IT):
            _clear(sheet.drafts)
            st.rerun()
    if pressed and claim is not None:
        _record(desk, by, sheet, claim, form)
    if st.session_state.get("stale"):
        _stale(desk, sheet, form)


def _previewed(desk: Desk, state: "State", home: str, form: dict[str, str]) -> Claim | None:
    """The claim as it would be quoted; None, and what lacks, where it is not complete."""
    try:
        number = form.get("number") or entry.free_number(desk)
        claim = entry.claim_of(state, home, form, number)
    except BadValue as lacks:
        shown.line(words.LACKS.format(what=lacks), "note")
        return None
    shown.head(words.PREVIEW)
    said = entry.preview(state, claim, form["key"])
    shown.raw(shown.claim(said, recorded=bool(form.get("replaces"))))
    if form.get("derived"):
        shown.line(words.PREVIEW_COPY.format(what=form["derived"]), "note")
    shown.problems(entry.problems(desk, claim, form["key"]))
    if not form["by"]:
        shown.line(words.NO_ROLE, "note")
    return claim


def _record(desk: Desk, by: str, sheet: Sheet, claim: Claim, form: dict[str, str]) -> None:
    try:
        moved = entry.record(desk, by, claim, form)
    except Conflict:
        st.session_state["stale"] = True
        return
    except VestigeError as why:
        st.error(shown.plain(why))
        return
    st.session_state["observed"] = (claim.number, moved)
    sheet.drafts.keep(LAST, {name: form.get(name, "") for name in REMEMBERED})
    _clear(sheet.drafts)
    st.rerun()


def _clear(drafts: Drafts) -> None:
    drafts.drop(OBSERVATION)
    forget("ob")
    st.session_state.pop("stale", None)


def _stale(desk: Desk, sheet: Sheet, form: dict[str, str]) -> None:
    """Both versions side by side, and two ways on; nothing is lost by either."""
    state, _ = desk.about(form["key"])
    theirs = entry.form_of(state, form["key"])
    chosen = both_versions(entry.differences(form, theirs))
    if chosen is None:
        return
    kept = entry.merged(desk, form, theirs) if chosen == "mine" else None
    _clear(sheet.drafts)
    if kept is not None:
        sheet.drafts.keep(OBSERVATION, {**kept, "by": ""})
    st.rerun()


def _tell_done() -> None:
    done = st.session_state.pop("observed", None)
    if done is None:
        return
    number, moved = done
    st.success(shown.plain(words.RECORDED.format(number=number)))
    if not moved:
        shown.line(words.NOT_MOVED, "note")
        return
    rows = [
        (
            shown.to(one.thing),
            shown.verdict(one.before.text) if one.before else words.NONE,
            shown.verdict(one.after.text) if one.after else words.NONE,
        )
        for one in moved
    ]
    shown.head(words.MOVED_HEAD)
    shown.table(words.MOVED_HEADS, rows, words.MOVED_HEAD)
