"""The form for a treatment or another happening, and the way on to what came of it."""

from collections.abc import Callable
from typing import TYPE_CHECKING

import streamlit as st

from vestige.graph.errors import BadValue, VestigeError
from vestige.graph.intake import split_list
from vestige.graph.record import (
    AgentClass,
    Batch,
    Became,
    Choice,
    Decision,
    Element,
    Happening,
    HappeningSort,
    Material,
    Phase,
    Source,
)

from .. import language
from . import recording, shown, treated, words
from . import words_treatment as told
from .desk import Desk, home_number
from .draft import Drafts
from .form import Names, Sheet, forget, named, object_choice
from .meanwhile import BEGAN, end_of_record, warned
from .waiting import in_the_way, waiting

if TYPE_CHECKING:
    from vestige.graph.state import State

Go = Callable[[str, dict[str, str]], None]
TREATMENT = "treatment"
FIELDS = ("object", *treated.HAPPENING)
NEXT = {
    HappeningSort.REMOVAL: "part",
    HappeningSort.SAMPLING: "sample",
    HappeningSort.PUTTING_BACK: Became.PUT_BACK.value,
}
"""What is recorded straight after a happening of this kind."""


def treatment_page(desk: Desk, by: str, drafts: Drafts, go: Go) -> None:
    """Show the form with the cautions of what is chosen; record; lead on."""
    _done(desk)
    shown.title(told.TREAT, told.TREAT_UNDER)
    if desk.known is not None:
        shown.line(words.KNOWN_PAST)
        return
    sheet = Sheet(drafts, _begun(desk, by, drafts), TREATMENT, FIELDS, "tr")
    home = object_choice(desk, sheet)
    if not home:
        return
    state, key, _ = desk.around(home)
    desk.listed(state, Element, Decision, Phase, Source)  # the lists below name them
    top = st.container()  # cautions stand before anything else, also on a narrow screen
    _fields(desk, sheet, state, key)
    form = {**sheet.begun, **sheet.typed()}
    with top:
        _cautions(desk, state, form)
    _finish(desk, by, sheet, state, form, go)


def _begun(desk: Desk, by: str, drafts: Drafts) -> dict[str, str]:
    """The draft; what the address asks for begins a new one, or goes into the old one."""
    asked = {name: st.query_params.pop(name, "") for name in ("o", "e", "d")}
    begun = drafts.read(TREATMENT)
    if any(asked.values()):
        number = asked["o"] or home_number(desk, asked["e"] or asked["d"])
        before = begun.get("carries_out" if asked["d"] else "object", "")
        if in_the_way(drafts, TREATMENT, before, asked["d"] or number):
            return begun
        if begun.get("object") != number or asked["d"]:
            state, _, _ = desk.around(number)
            begun = treated.begin(state, asked["d"], by) | {"object": number}
        if asked["e"]:
            begun["elements"] = asked["e"]
        if TREATMENT not in waiting(drafts):
            begun.pop("key", None)
        forget("tr")
    if not begun.get("key"):
        begun = treated.begin(desk.objects(), "", by) | begun
        begun |= {"key": desk.collection.keys.new(), BEGAN: end_of_record(desk)}
    drafts.keep(TREATMENT, begun)
    return begun


def _fields(desk: Desk, sheet: Sheet, state: "State", home: str) -> None:
    left, right = st.columns(2, gap="small")
    with left:
        _what(sheet, state, home)
    with right:
        sheet.text("when", told.T_WHEN)
        _used(desk, sheet)
        sheet.text("why", told.T_WHY)
    with st.expander(told.MORE):
        _more(sheet, state)


def _what(sheet: Sheet, state: "State", home: str) -> None:
    decisions = named(state, Decision)
    sheet.several("carries_out", told.T_CARRIES_OUT, list(decisions), decisions.get_label)
    sheet.choice("sort", told.T_SORT, [str(one) for one in HappeningSort], language.word)
    elements = named(state, Element, lambda one: one.object == home)
    sheet.several("elements", told.T_ELEMENTS, list(elements), elements.get_label)
    sheet.text("name", told.T_NAME)


def _used(desk: Desk, sheet: Sheet) -> None:
    """Materials and batches of the archive's list, and new ones by their name."""
    whole = recording.lists(desk)
    desk.listed(whole, Material, Batch)
    used = Names({**named(whole, Batch), **named(whole, Material)})
    sheet.several("used", told.T_USED, list(used), used.get_label, new=True)
    new = [one.name for one in treated.new_materials(desk, sheet.typed())]
    if new:
        shown.line(told.NEW_MATERIAL.format(names=", ".join(new)), "note")


def _more(sheet: Sheet, state: "State") -> None:
    sheet.text("technique", told.T_TECHNIQUE)
    sheet.text("by", told.T_BY)
    hands = [str(one) for one in AgentClass]
    sheet.choice("agent_class", told.T_CLASS, hands, language.word, none=words.NONE)
    for name, label, kind in (
        ("phase", told.T_PHASE, Phase),
        ("source", told.T_SOURCE, Source),
    ):
        every = named(state, kind)
        sheet.choice(name, label, list(every), every.get_label, none=words.NONE)
    sheet.text("note", told.T_NOTE)
    sheet.text("number", told.T_NUMBER)


def _cautions(desk: Desk, state: "State", form: dict[str, str]) -> None:
    from vestige.graph.answer.caution import GENERAL

    numbers = [form["object"], *split_list(form.get("elements", ""))]
    numbers += split_list(form.get("used", ""))
    shown.head(told.THINGS_HEAD)
    found = treated.cautions(desk, state, numbers)
    shown.cautions(found)
    if not found:
        shown.line(told.NO_CAUTION)
    usual = treated.usual(desk, form)
    if usual:
        shown.head(told.USUAL_HEAD, 3)
    for name in usual:
        shown.raw(f'<div class="vt-caution h">{shown.esc(told.USUAL[name])}</div>')
    shown.line(language.word(GENERAL), "note")


def _finish(
    desk: Desk, by: str, sheet: Sheet, state: "State", form: dict[str, str], go: Go
) -> None:
    made = _made(desk, by, form)
    things = [state.named(one) for one in split_list(form.get("elements", ""))]
    things += [state.named(one) for one in split_list(form.get("carries_out", ""))]
    waits = warned(desk, sheet, [one for one in things if one])
    with st.container(horizontal=True):
        pressed = st.button(
            told.RECORD_TREATMENT, type="primary", disabled=made is None or not by or waits
        )
        if st.button(words.CLEAR_IT):
            sheet.clear({"object": form["object"]})
            st.rerun()
    if not pressed or made is None:
        return
    try:
        treated.record(desk, by, form, made)
    except VestigeError as why:
        st.error(shown.plain(why))
        return
    sheet.clear({"object": form["object"]})
    st.session_state["treated"] = made.number
    follows = NEXT.get(made.sort)
    if follows in ("part", "sample"):
        go("removal", {"t": made.number, "what": follows})
    elif follows:
        go("kept", {"go": follows, "what": _kept_of(state, made)})
    st.rerun()


def _made(desk: Desk, by: str, form: dict[str, str]) -> Happening | None:
    """The happening as it would be recorded; None, and what lacks, where it is not so."""
    if not by:
        shown.line(words.NO_ROLE, "note")
    said = {**form, "name": form.get("name") or _name(form)}
    try:
        return treated.happening_of(desk, form["object"], said)
    except BadValue as lacks:
        shown.line(words.LACKS.format(what=lacks), "note")
        return None


def _name(form: dict[str, str]) -> str:
    """What it is called where nobody gave it a name: its kind and its elements."""
    if not form.get("elements") or not form.get("sort"):
        return ""
    return told.NAMED.format(choice=form["sort"], things=form["elements"])


def _kept_of(state: "State", made: Happening) -> str:
    """Numbers of the parts that are kept of its elements, one a line."""
    from vestige.graph.record import KeptPart

    found = [
        state.number(key)
        for element in made.elements
        for key, _ in state.about(element, KeptPart, "taken from")
    ]
    return "\n".join(found)


def _done(desk: Desk) -> None:
    number = st.session_state.pop("treated", None)
    if number:
        st.success(shown.plain(words.RECORDED.format(number=number)))
        onward(desk, number)


def onward(desk: Desk, number: str) -> None:
    """Links from a happening, by its number or key, to what is recorded after it."""
    state, key = desk.about(number)
    number = state.number(key)
    made = state.record(key, Happening)
    shown.head(told.WHAT_NEXT, 3)
    back, within = str(Became.PUT_BACK), str(Became.MOVED_WITHIN)
    own = "\n".join(state.number(one) for one in made.elements)
    links = [
        shown.link(told.NEXT_PART, "removal", t=number, what="part"),
        shown.link(told.NEXT_SAMPLE, "removal", t=number, what="sample"),
        shown.link(told.NEXT_BACK, "kept", go=back, what=_kept_of(state, made)),
        shown.link(told.NEXT_WITHIN, "kept", go=within, what=own),
    ]
    if any(_turned(state, one) for one in made.carries_out):
        element = next((state.number(one) for one in made.elements), "")
        home = state.number(made.object)
        links.append(shown.link(told.NEXT_TURNED, "observe", o=home, e=element))
    shown.raw("".join(f'<p class="vt-p">{one}</p>' for one in links))


def _turned(state: "State", decision: str) -> bool:
    record = state.held(decision).record if decision in state else None
    return isinstance(record, Decision) and record.choice is Choice.TURN


def carried_out(desk: Desk, key: str) -> None:
    """On the page of a decision: what carries it out, and the way to record that."""
    from vestige.graph.answer.answer import thing
    from vestige.graph.keeping.treatment import carrying_out

    state, _ = desk.about(key)
    found = carrying_out(state, key)
    if found:
        links = ", ".join(shown.to(thing(state, one)) for one in found)
        shown.raw(f'<p class="vt-p">{shown.esc(told.CARRIED_OUT_BY)}: {links}</p>')
    else:
        shown.line(told.NOT_CARRIED_OUT)
    if desk.known is None:
        link = shown.link(told.TREAT_THIS, "treatment", d=state.number(key))
        shown.raw(f'<p class="vt-p">{link}</p>')
