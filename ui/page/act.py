"""Acts on things, and labels: entered by hand or scanned line by line."""

import tempfile
from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import TYPE_CHECKING

import streamlit as st

from vestige.graph.errors import BadValue, Refused, VestigeError
from vestige.graph.record import (
    Became,
    Container,
    Fate,
    Move,
    Place,
    Record,
    Sighting,
)

from .. import language
from ..command.acting import a_date, found_all, the_holder
from . import recording, shown, words, words_refusal, words_treatment
from .desk import Desk
from .draft import Drafts
from .form import Names, Sheet
from .meanwhile import BEGAN, end_of_record, warned
from .shown import Html
from .written import today, validated

if TYPE_CHECKING:
    from vestige.graph.answer.acting import ActOf

DRAFT = "act"
FIELDS = ("sort", "became", "things", "holder", "when", "authority", "why")


def act_view(desk: Desk, by: str, drafts: Drafts) -> None:
    """Enter an act, check it, record it: all or nothing."""
    shown.line(words_treatment.ACT_UNDER, "note")
    if desk.known is not None:
        shown.line(words.KNOWN_PAST)
        return
    done = st.session_state.pop("acted", None)
    if done:
        st.success(shown.plain(done))
    sheet = Sheet(drafts, _begun(desk, drafts), DRAFT, FIELDS, "act")
    _fields(desk, sheet)
    form = {**sheet.begun, **sheet.typed()}
    if not by:
        shown.line(words.NO_ROLE, "note")
        return
    if not things_in(form):
        return
    try:
        keys, records = records_of(desk, form, by)
    except VestigeError as wrong:
        st.error(shown.plain(wrong))
        return
    if sheet.begun.get("compared") != form["things"]:  # compare from when they were named
        sheet.begun.update({"compared": form["things"], BEGAN: end_of_record(desk)})
        drafts.keep(DRAFT, sheet.begun | sheet.typed())
    waits = warned(desk, sheet, keys)
    _check_and_do(desk, by, sheet, keys, records, waits)


def _begun(desk: Desk, drafts: Drafts) -> dict[str, str]:
    """The draft, with what the address asks for."""
    begun = drafts.read(DRAFT)
    turn, what = _asked()
    if what and st.session_state.get("act-asked") != (turn, what):
        begun |= {"things": what}
        if turn in list(Became):
            begun |= {"sort": "became", "became": turn}
        for name in ("things", "sort", "became"):
            st.session_state.pop(f"act-{name}", None)
        drafts.keep(DRAFT, begun)
    st.session_state["act-asked"] = (turn, what)
    begun.setdefault("when", today().isoformat())
    return begun


def _fields(desk: Desk, sheet: Sheet) -> None:
    sorts = {
        "moved": words.ACT_MOVED,
        "seen": words.ACT_SEEN,
        "not seen": words.ACT_NOT_SEEN,
        "became": words_treatment.ACT_BECAME,
    }
    sort = sheet.pick("sort", words.ACT_SORT, list(sorts), lambda one: sorts[one])
    if sort == "became":
        turns = [str(one) for one in Became if one is not Became.DIVIDED]
        sheet.choice("became", words_treatment.ACT_TURN, turns, language.word)
    sheet.area("things", words.ACT_THINGS)
    state = desk.everything_kept()
    every = Names(
        {
            state.number(key): one.label()
            for key, one in desk.listed(state, Container, Place)
        }
    )
    label = {
        "moved": words.ACT_TO,
        "became": words_treatment.ACT_TO_TOO,
    }.get(sort, words.ACT_WHERE)
    sheet.choice("holder", label, list(every), every.get_label)
    sheet.text("when", words.ACT_WHEN)
    if sort in ("moved", "became"):
        sheet.text("authority", words.ACT_AUTHORITY)
        sheet.text("why", words.ACT_WHY)


def things_in(form: Mapping[str, str]) -> list[str]:
    """Numbers and label codes in a form, one a line."""
    return [one.strip() for one in form.get("things", "").split("\n") if one.strip()]


def records_of(
    desk: Desk, form: Mapping[str, str], by: str
) -> tuple[list[str], list[Record]]:
    """Keys of the things of an act, and its records.

    Raises:
        BadValue: where a field lacks or cannot be read.
        NotRecorded: naming everything that cannot be found.
    """
    keys = list(dict.fromkeys(found_all(desk.collection, things_in(form))))
    shared: dict[str, object] = {"when": a_date(form.get("when", "")), "by": by}
    where = the_holder(desk.collection, form.get("holder") or None)
    asked = {name: form.get(name) or None for name in ("authority", "why")}
    sort = form.get("sort", "moved")
    if sort in ("seen", "not seen"):
        looks = {"seen": sort, "where": where}
        return keys, [validated(Sighting, shared | looks | {"what": key}) for key in keys]
    if sort == "became":
        return keys, _became(form, keys, where, shared | asked)
    _must_have(form, ("holder", "authority", "why"))
    return keys, [validated(Move, shared | asked | {"what": keys, "to": where})]


def _became(
    form: Mapping[str, str],
    keys: list[str],
    where: str | None,
    shared: Mapping[str, object],
) -> list[Record]:
    """The turn, and the move that goes with it where they were put somewhere by it."""
    _must_have(form, ("became",))
    turn = validated(Fate, {**shared, "what": keys, "became": form["became"]})
    if where is None:
        return [turn]
    why = shared.get("why") or form["became"]
    return [turn, validated(Move, {**shared, "what": keys, "to": where, "why": why})]


def _must_have(form: Mapping[str, str], names: Sequence[str]) -> None:
    labels = {
        "holder": words.ACT_TO,
        "authority": words.ACT_AUTHORITY,
        "why": words.ACT_WHY,
        "became": words_treatment.ACT_TURN,
    }
    lacks = [labels[name] for name in names if not form.get(name)]
    if lacks:
        raise BadValue(words.LACKS.format(what=", ".join(lacks)))


def _check_and_do(
    desk: Desk,
    by: str,
    sheet: Sheet,
    keys: Sequence[str],
    records: Sequence[Record],
    waits: bool,
) -> None:
    from vestige.graph.answer.acting import act_of

    typed = sheet.typed()
    word = typed.get("became") or typed.get("sort", "")
    said = f"{language.word(word)}: {', '.join(things_in(typed))}"
    before = desk.collection.inside_all(keys, reader=desk.reader)
    problems, _ = recording.act(desk, by, records, dry_run=True)
    _tell(act_of(before, said, keys, problems, False))
    shown.problems(problems)
    stopped = waits or any(one.weight == "error" for one in problems)
    if st.button(words.ACT_DO, type="primary", disabled=stopped):
        _, receipt = recording.act(desk, by, records)
        st.session_state["acted"] = (
            words.ACT_DONE.format(said=said) if receipt else words.ACT_STOPPED
        )
        kept = ("sort", "holder", "authority", "when")
        sheet.clear({name: typed.get(name, "") for name in kept})
        st.session_state["act-asked"] = _asked()
        st.rerun()


def _asked() -> tuple[str, str]:
    return st.query_params.get("go", ""), st.query_params.get("what", "")


def _tell(answer: "ActOf") -> None:
    rows = []
    for one in answer.things:
        shown.cautions(one.cautions)
        inside = Html(", ".join(shown.to(each, each.number) for each in one.inside))
        needs = "; ".join(
            f"{each.container.number}: {each.requires}" for each in one.requires
        )
        rows.append((shown.to(one.thing), shown.place(one.place), inside, needs))
    shown.table(words.ACT_HEADS, rows, answer.said)


def labels_view(desk: Desk) -> None:
    """Labels for some things, as PDF."""
    shown.line(words.LABELS_UNDER, "note")
    asked = st.query_params.get("label", "")
    if asked and st.session_state.get("label-asked") != asked:
        st.session_state["label-things"] = asked
    st.session_state["label-asked"] = asked
    named = st.text_area(words.LABELS_WHAT, key="label-things").split("\n")
    named = [one.strip() for one in named if one.strip()]
    holder = _holder_for_labels(desk)
    sheets = {words.LABELS_SINGLE: None, words.LABELS_A4: "3x8"}
    paper = st.segmented_control(
        words.LABELS_SHEET, list(sheets), default=words.LABELS_SINGLE, required=True
    )
    if not named and not holder:
        return
    if st.button(words.LABELS_MAKE, type="primary"):
        try:
            made = _labels(desk, named, holder, sheets[str(paper)])
        except VestigeError as wrong:
            st.error(shown.plain(wrong))
            return
        st.download_button(
            words.LABELS_SAVE, made, "labels.pdf", "application/pdf", on_click="ignore"
        )


def _holder_for_labels(desk: Desk) -> str:
    state = desk.everything_kept()
    every = {state.number(key): one.label() for key, one in desk.listed(state, Container)}
    chosen = st.selectbox(
        words.LABELS_ALL_IN,
        list(every),
        index=None,
        placeholder=words.CHOOSE,
        key="label-holder",
        format_func=lambda one: every.get(one, one),
    )
    return chosen or ""


def _labels(desk: Desk, named: list[str], holder: str, sheet: str | None) -> bytes:
    """The PDF.

    Raises:
        NotRecorded: where a number is not known.
        Refused: where there is nothing to label, or a text cannot be printed.
    """
    from vestige.graph.answer.label import labels_of

    from ..paper.label import write_labels
    from ..paper.label_sheet import read_sheet

    keys = list(found_all(desk.collection, named))
    if holder:
        keys += [one.located.thing.key for one in desk.contents(holder).things]
    if not keys:
        raise Refused(words_refusal.NOTHING_IN.format(holder=holder))
    state = desk.collection.inside_all(keys, known=desk.known, reader=desk.reader)
    day = today().isoformat()
    answer = labels_of(state, list(dict.fromkeys(keys)), day)
    with tempfile.TemporaryDirectory() as folder:
        file = Path(folder) / "labels.pdf"
        write_labels(answer, file, read_sheet(sheet, None, None, None, None))
        return file.read_bytes()
