"""The form for what was taken off: a part that is kept or a sample, until its label."""

from typing import TYPE_CHECKING

import streamlit as st

from vestige.graph.errors import BadValue, VestigeError
from vestige.graph.record import (
    Container,
    Element,
    Happening,
    KeptPart,
    Place,
    Record,
    Sample,
)

from .. import language
from . import shown, treated, words
from . import words_treatment as told
from .desk import Desk, home_number
from .draft import Drafts
from .form import Names, Sheet, forget, named, object_choice
from .meanwhile import BEGAN, end_of_record, warned
from .shown import Html
from .waiting import in_the_way, waiting
from .written import free_number

if TYPE_CHECKING:
    from vestige.graph.state import State

REMOVAL = "removal"
FIELDS = tuple(
    dict.fromkeys(
        ("object", "happening", "what", "when", "by", *treated.PART, *treated.SAMPLE)
    )
)
PREFIX = {"part": "RM-", "sample": "SA-"}


def removal_page(desk: Desk, by: str, drafts: Drafts) -> None:
    """Show the form, say what a documented removal still lacks, record, lead on."""
    _done(desk)
    shown.title(told.REMOVAL, told.REMOVAL_UNDER)
    if desk.known is not None:
        shown.line(words.KNOWN_PAST)
        return
    sheet = Sheet(drafts, _begun(desk, by, drafts), REMOVAL, FIELDS, "rm")
    home = object_choice(desk, sheet)
    if not home:
        return
    state, key, _ = desk.around(home)
    desk.listed(state, Element, Happening)  # the lists below name them
    kinds = {"part": told.R_PART, "sample": told.R_SAMPLE}
    what = sheet.pick("what", told.R_WHAT, list(kinds), lambda one: kinds[one])
    _number(desk, sheet, what)
    left, right = st.columns(2, gap="small")
    with left:
        _where_from(sheet, state, key)
        (_part_left if what == KeptPart.kind else _sample_left)(sheet)
    with right:
        _where_to(desk, sheet)
        if what == Sample.kind:
            sheet.text("permission", told.S_PERMISSION)
            sheet.text("retention", told.S_RETENTION)
    _finish(desk, by, sheet, state, {**sheet.begun, **sheet.typed()})


def _begun(desk: Desk, by: str, drafts: Drafts) -> dict[str, str]:
    """The draft; a happening or an element in the address begins one of it."""
    begun = drafts.read(REMOVAL)
    names = ("t", "o", "e", "what")
    asked = {name: st.query_params.pop(name, "") for name in names}
    if asked["t"] or asked["o"] or asked["e"]:
        number = asked["o"] or home_number(desk, asked["t"] or asked["e"])
        before = begun.get("happening" if asked["t"] else "object", "")
        if in_the_way(drafts, REMOVAL, before, asked["t"] or number):
            return begun
        if number != begun.get("object") or asked["t"] != begun.get("happening"):
            begun = {}
        begun |= _taken_over(desk, number, asked["t"], by)
        begun |= {"element": asked["e"]} if asked["e"] else {}
        begun["what"] = asked["what"] or begun.get("what", "part")
        if REMOVAL not in waiting(drafts):
            begun.pop("key", None)
        forget("rm")
    if not begun.get("key"):
        begun |= {"key": desk.collection.keys.new(), BEGAN: end_of_record(desk)}
    drafts.keep(REMOVAL, begun)
    return begun


def _taken_over(desk: Desk, home: str, number: str, by: str) -> dict[str, str]:
    """What is known of it from the happening in which it came off."""
    taken = {"object": home, "happening": number, "by": by}
    if not number:
        return taken
    state, _, key = desk.around(number)
    one = state.record(key, Happening)
    if len(one.elements) == 1:
        taken["element"] = state.number(one.elements[0])
    return taken | {
        "when": str(one.when or ""),
        "by": one.by or by,
        "reason": one.why or "",
    }


def _number(desk: Desk, sheet: Sheet, what: str) -> None:
    """A number that nothing bears yet, as long as nobody wrote one."""
    key = "rm-number"
    given = st.session_state.get(key, sheet.begun.get("number", ""))
    other = "sample" if what == "part" else "part"
    if not given or given == free_number(desk, other, PREFIX[other]):
        st.session_state[key] = free_number(desk, what, PREFIX[what])


def _where_from(sheet: Sheet, state: "State", home: str) -> None:
    sheet.text("number", told.R_NUMBER)
    elements = named(state, Element, lambda one: one.object == home)
    sheet.choice("element", told.R_ELEMENT, list(elements), elements.get_label)
    done = named(state, Happening, lambda one: one.object == home)
    sheet.choice(
        "happening", told.R_HAPPENING, list(done), done.get_label, none=told.NO_HAPPENING
    )
    sheet.text("name", told.R_NAME)


def _part_left(sheet: Sheet) -> None:
    sheet.text("reason", told.R_REASON)
    sheet.text("consent", told.R_CONSENT)
    sheet.text("original_position", told.R_POSITION)


def _sample_left(sheet: Sheet) -> None:
    sheet.text("question", told.S_QUESTION)
    sheet.text("spot", told.S_SPOT)
    sheet.text("size", told.S_SIZE)
    sheet.text("amount", told.S_AMOUNT)


def _where_to(desk: Desk, sheet: Sheet) -> None:
    kept = desk.everything_kept()
    desk.listed(kept, Container, Place)
    holders = Names({**named(kept, Container), **named(kept, Place)})
    sheet.choice(
        "container",
        told.R_CONTAINER,
        list(holders),
        holders.get_label,
        none=words.NONE,
    )
    if st.session_state.get("rm-what") != Sample.kind:
        sheet.text("label_text", told.R_LABEL)
        sheet.text("how_many", told.R_MANY)
    sheet.text("review", told.R_REVIEW)
    sheet.text("when", told.R_WHEN)
    sheet.text("by", told.R_BY)
    sheet.text("note", told.R_NOTE)


def _finish(
    desk: Desk, by: str, sheet: Sheet, state: "State", form: dict[str, str]
) -> None:
    made = _made(desk, by, state, form)
    about = [state.named(form.get(name, "")) for name in ("element", "happening")]
    waits = warned(desk, sheet, [one for one in about if one])
    found = treated.problems(desk, form["key"], made) if made else ()
    shown.problems(found)
    stopped = made is None or any(one.weight == "error" for one in found)
    with st.container(horizontal=True):
        pressed = st.button(
            told.RECORD_REMOVAL, type="primary", disabled=stopped or waits or not by
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
    kept = ("object", "happening", "what", "when", "by")
    sheet.clear({name: form.get(name, "") for name in kept})
    st.session_state["taken"] = made.number
    st.rerun()


def _made(
    desk: Desk, by: str, state: "State", form: dict[str, str]
) -> KeptPart | Sample | None:
    """What would be recorded, and at once what its documentation lacks."""
    if not by:
        shown.line(words.NO_ROLE, "note")
    try:
        made = treated.taken_of(desk, form)
    except BadValue as lacks:
        shown.line(words.LACKS.format(what=lacks), "note")
        return None
    _documented(made, treated.lacks_of(state, made))
    return made


def _documented(made: Record, lacks: tuple[str, ...]) -> None:
    if not isinstance(made, KeptPart):
        return
    if lacks:
        named_ = ", ".join(told.LACKED[one] for one in lacks)
        st.warning(shown.plain(told.NOT_DOCUMENTED.format(lacks=named_)))
    else:
        shown.line(told.DOCUMENTED)


def _done(desk: Desk) -> None:
    """What was recorded, what it lacks, and the ways on: label, page, another one."""
    before = st.session_state.pop("treated", None)
    if before:
        st.success(shown.plain(words.RECORDED.format(number=before)))
    number = st.session_state.pop("taken", None)
    if not number:
        return
    answer = desk.life(number)
    stage = language.word(answer.stage)
    st.success(shown.plain(told.TAKEN_OFF.format(number=number, stage=stage)))
    links = [shown.link(told.LABEL_LINK, "kept", label=number)]
    if answer.lacks:
        lacks = ", ".join(told.LACKED[one] for one in answer.lacks)
        st.warning(shown.plain(told.NOT_DOCUMENTED.format(lacks=lacks)))
        links.append(shown.link(told.COMPLETE_IT, "correct", id=answer.about.key))
    links.append(shown.link(told.ITS_PAGE, "kept", item=number))
    links += _status(desk, number)
    shown.raw("".join(f'<p class="vt-p">{one}</p>' for one in links))
    shown.head(told.ANOTHER, 3)


def _status(desk: Desk, number: str) -> list[Html]:
    """The element's own status, which a removal does not change by itself."""
    state, key = desk.about(number)
    record = state.held(key).record
    if not isinstance(record, KeptPart) or record.element not in state:
        return []
    element = state.record(record.element, Element)
    status = language.word(element.status) if element.status else words.NONE
    said = told.STATUS_OF.format(element=element.number, status=status)
    return [shown.link(said, "correct", id=record.element)]
