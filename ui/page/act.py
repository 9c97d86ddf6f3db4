"""Acts on things, and labels: entered by hand or scanned line by line."""

import datetime
import tempfile
from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING

import streamlit as st
from pydantic import ValidationError

from vestige.graph.errors import BadValue, Refused, VestigeError
from vestige.graph.record import Container, Edtf, Move, Place, Record, Seen, Sighting

from ..command.acting import a_date, found_all, the_holder
from . import shown, words, words_refusal
from .desk import Desk
from .shown import Html

if TYPE_CHECKING:
    from vestige.graph.answer.acting import ActOf


def act_view(desk: Desk, by: str) -> None:
    """Enter an act, check it, record it: all or nothing."""
    shown.line(words.ACT_UNDER, "note")
    if desk.known is not None:
        shown.line(words.KNOWN_PAST)
        return
    done = st.session_state.pop("acted", None)
    if done:
        st.success(shown.plain(done))
    sort = st.segmented_control(
        words.ACT_SORT,
        words.ACT_SORTS,
        default=words.ACT_MOVED,
        required=True,
        key="act-sort",
    )
    named = st.text_area(words.ACT_THINGS, key="act-things").split("\n")
    label = words.ACT_TO if sort == words.ACT_MOVED else words.ACT_WHERE
    holder = _holder(desk, label)
    today = datetime.datetime.now().astimezone().date().isoformat()
    when = st.text_input(words.ACT_WHEN, value=today, key="act-when")
    authority = why = ""
    if sort == words.ACT_MOVED:
        authority = st.text_input(words.ACT_AUTHORITY, key="act-authority")
        why = st.text_input(words.ACT_WHY, key="act-why")
    if not by:
        shown.line(words.NO_ROLE, "note")
        return
    named = [one.strip() for one in named if one.strip()]
    if not named:
        return
    try:
        keys = list(dict.fromkeys(found_all(desk.collection, named)))
        records = _records(desk, str(sort), keys, holder, when, by, authority, why)
    except VestigeError as wrong:
        st.error(shown.plain(wrong))
        return
    _check_and_do(desk, by, f"{sort}: {', '.join(named)}", keys, records)


def _holder(desk: Desk, label: str) -> str:
    state = desk.everything_kept()
    every = {
        state.number(key): one.label() for key, one in desk.listed(state, Container, Place)
    }
    chosen = st.selectbox(
        label,
        list(every),
        index=None,
        placeholder=words.CHOOSE,
        key="act-holder",
        format_func=lambda one: every.get(one, one),
    )
    return chosen or ""


def _records(  # noqa: PLR0913, PLR0917  # one field of the form each
    desk: Desk,
    sort: str,
    keys: Sequence[str],
    holder: str,
    when: str,
    by: str,
    authority: str,
    why: str,
) -> list[Record]:
    """The records of an act.

    Raises:
        BadValue: where a field lacks or cannot be read.
    """
    day: Edtf = a_date(when)
    where = the_holder(desk.collection, holder or None)
    try:
        if sort != words.ACT_MOVED:
            seen = Seen("seen" if sort == words.ACT_SEEN else "not seen")
            return [
                Sighting(what=key, seen=seen, where=where, when=day, by=by) for key in keys
            ]
        lacks = [
            label
            for label, value in (
                (words.ACT_TO, where),
                (words.ACT_AUTHORITY, authority),
                (words.ACT_WHY, why),
            )
            if not value
        ]
        if lacks or where is None:
            raise BadValue(words.LACKS.format(what=", ".join(lacks)))
        return [
            Move(what=tuple(keys), to=where, when=day, by=by, authority=authority, why=why)
        ]
    except ValidationError as wrong:
        told = str(wrong.errors()[0]["msg"]).removeprefix("Value error, ")
        raise BadValue(told) from None


def _check_and_do(
    desk: Desk, by: str, said: str, keys: Sequence[str], records: Sequence[Record]
) -> None:
    from vestige.graph.answer.acting import act_of

    before = desk.collection.inside_all(keys, reader=desk.reader)
    problems, _ = desk.collection.act(by, records, dry_run=True)
    _tell(act_of(before, said, keys, problems, False))
    shown.problems(problems)
    stopped = any(one.weight == "error" for one in problems)
    if st.button(words.ACT_DO, type="primary", disabled=stopped):
        _, receipt = desk.collection.act(by, records)
        st.session_state["acted"] = (
            words.ACT_DONE.format(said=said) if receipt else words.ACT_STOPPED
        )
        for name in ("act-things", "act-why"):
            st.session_state.pop(name, None)
        st.rerun()


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
    day = datetime.datetime.now().astimezone().date().isoformat()
    answer = labels_of(state, list(dict.fromkeys(keys)), day)
    with tempfile.TemporaryDirectory() as folder:
        file = Path(folder) / "labels.pdf"
        write_labels(answer, file, read_sheet(sheet, None, None, None, None))
        return file.read_bytes()
