"""The form for one decision: what a person chose, why, and on what it rests."""

from typing import TYPE_CHECKING

import streamlit as st
from pydantic import ValidationError

from vestige.graph.errors import VestigeError
from vestige.graph.ledger import State as Statement
from vestige.graph.record import Choice, Claim, Decision, Element, KeptPart, MuseumObject

from .. import language
from . import recording, shown, treated, words, words_treatment
from .desk import Desk
from .draft import Drafts
from .form import Names, Sheet, forget, named
from .meanwhile import BEGAN, end_of_record, warned
from .waiting import waiting
from .written import today

if TYPE_CHECKING:
    from vestige.graph.state import State

DECISION = "decision"
FIELDS = ("about", "choice", "reason", "consulted", "when", "rests_on", "note", "number")


def decide_page(desk: Desk, by: str, drafts: Drafts) -> None:
    """Show the form and what the assessment says now; record what was decided."""
    done = st.session_state.pop("decided", None)
    if done:
        st.success(shown.plain(words.RECORDED.format(number=done)))
        link = shown.link(words_treatment.TREAT_THIS, "treatment", d=done)
        shown.raw(f'<p class="vt-p">{link}</p>')
    shown.title(words.DECIDE, words.DECIDE_UNDER)
    if desk.known is not None:
        shown.line(words.KNOWN_PAST)
        return
    begun = _begun(desk, drafts)
    home = begun.get("object", "")
    if not home:
        shown.line(words.DECIDE_CHOOSE)
        return
    state, key, _ = desk.around(home)
    desk.listed(state, Element, KeptPart, Claim)  # the lists below name them
    sheet = Sheet(drafts, begun, DECISION, FIELDS, "de")
    shown.raw(
        f'<p class="vt-note">{words.ON_OBJECT} {shown.link(home, "object", o=home)}</p>'
    )
    top = st.container()  # cautions stand before anything else, also on a narrow screen
    left, right = st.columns([3, 2], gap="large")
    with left:
        _fields(sheet, state, key)
    form = {**begun, **sheet.typed()}
    about = form.get("about", "").split("; ")
    said = _assessed(desk, home, about)
    with top:
        shown.cautions(treated.cautions(desk, state, [home, *about]))
    with right:
        if said:
            shown.head(words.ASSESSED)
        for line in said:
            shown.line(line)
        shown.line(words.NO_DECISION, "note")
    _finish(desk, by, sheet, state, form, "; ".join(said))


def _begun(desk: Desk, drafts: Drafts) -> dict[str, str]:
    begun = drafts.read(DECISION)
    element = st.query_params.pop("e", "")
    if element:
        begun |= {"about": element, "object": st.query_params.pop("o", "")}
        st.session_state.pop("de-about", None)
        if DECISION not in waiting(drafts):
            begun.pop("key", None)
    if not begun.get("key"):
        begun |= {"key": desk.collection.keys.new(), BEGAN: end_of_record(desk)}
        begun.setdefault("when", today().isoformat())
    drafts.add(DECISION, begun)
    return begun


def _fields(sheet: Sheet, state: "State", home: str) -> None:
    elements = named(state, Element, lambda one: one.object == home)
    things = Names({**named(state, MuseumObject), **elements, **named(state, KeptPart)})
    sheet.several("about", words.D_ABOUT, list(things), things.get_label)
    sheet.choice("choice", words.D_CHOICE, [str(one) for one in Choice], language.word)
    sheet.text("reason", words.D_REASON)
    sheet.text("consulted", words.D_CONSULTED)
    sheet.text("when", words.D_WHEN)
    claims = named(state, Claim)
    sheet.several("rests_on", words.D_RESTS, list(claims), claims.get_label)
    sheet.text("note", words.F_NOTE)
    sheet.text("number", words.F_NUMBER)


def _assessed(desk: Desk, home: str, about: list[str]) -> list[str]:
    """What the assessment says today of what is decided on, to be kept with it."""
    try:
        verdicts = desk.assessment(home).verdicts
    except VestigeError:
        return []
    return [
        f"{one.thing.number}: {one.text}" for one in verdicts if one.thing.number in about
    ]


def _finish(
    desk: Desk, by: str, sheet: Sheet, state: "State", form: dict[str, str], said: str
) -> None:
    lacks = [
        label
        for name, label in (
            ("about", words.D_ABOUT),
            ("choice", words.D_CHOICE),
            ("reason", words.D_REASON),
            ("when", words.D_WHEN),
        )
        if not form.get(name)
    ]
    if lacks:
        shown.line(words.LACKS.format(what=", ".join(lacks)), "note")
    if not by:
        shown.line(words.NO_ROLE, "note")
    things = [state.named(one) for one in form.get("about", "").split("; ")]
    waits = warned(desk, sheet, [one for one in things if one])
    stopped = bool(lacks) or not by or waits
    with st.container(horizontal=True):
        pressed = st.button(words.RECORD_IT, type="primary", disabled=stopped)
        if st.button(words.CLEAR_IT):
            _clear(sheet.drafts)
            st.rerun()
    if not pressed:
        return
    try:
        number = _record(desk, by, state, form, said)
    except VestigeError as why:
        st.error(shown.plain(why))
        return
    except ValidationError as wrong:
        told = str(wrong.errors()[0]["msg"]).removeprefix("Value error, ")
        st.error(shown.plain(told))
        return
    _clear(sheet.drafts)
    st.session_state["decided"] = number
    st.rerun()


def _record(desk: Desk, by: str, state: "State", form: dict[str, str], said: str) -> str:
    """Record the decision, once however often it is asked; its number."""

    def keys(name: str) -> list[str]:
        found = [state.named(one) for one in form.get(name, "").split("; ") if one]
        return [one for one in found if one]

    nth = desk.collection.store.tally().get("decision", 0) + 1
    while desk.collection.store.named(f"D-{nth}"):
        nth += 1
    made = Decision.model_validate(
        {
            "number": form.get("number") or f"D-{nth}",
            "about": keys("about"),
            "choice": form["choice"],
            "reason": form["reason"],
            "consulted": [
                one.strip() for one in form.get("consulted", "").split(";") if one.strip()
            ],
            "by": recording.role_in(desk, by),
            "when": form["when"],
            "rests_on": keys("rests_on"),
            "assessment_said": said or None,
            "note": form.get("note") or None,
        }
    )
    key = form["key"]
    recording.record(
        desk,
        by,
        [Statement(Decision.kind, key, made.body())],
        batch=f"page-{key}",
        origin={"page": "decision"},
    )
    return made.number


def _clear(drafts: Drafts) -> None:
    drafts.keep(DECISION, {"object": drafts.read(DECISION).get("object", "")})
    forget("de")
