"""Conflicts, what is unknown, and decisions whose ground has moved, of one object."""

from typing import TYPE_CHECKING

import streamlit as st

from vestige.graph.record import MuseumObject

from .. import language
from . import shown, words
from .desk import Desk
from .shown import Html

if TYPE_CHECKING:
    from vestige.graph.answer.conflict import Conflict
    from vestige.graph.answer.decision import DecisionOf


def questions_page(desk: Desk) -> None:
    """Show what is open about one object."""
    shown.title(words.QUESTIONS, words.QUESTIONS_UNDER)
    number = choose_object(desk, words.WHOLE)
    if number is None:
        return
    found = desk.conflicts(number)
    shown.cautions(found.cautions)
    shown.head(words.CONFLICTS_HEAD)
    conflicts = [one for each in found.objects for one in each.conflicts]
    for one in conflicts:
        _conflict(one)
    if not conflicts:
        shown.line(words.NO_CONFLICT)
    for each in found.objects:
        if each.not_assessed:
            st.warning(shown.plain(each.not_assessed))
    _unknowns(desk, number)
    _decisions(desk, number)


def choose_object(desk: Desk, label: str, *, every: str | None = None) -> str | None:
    """The object chosen here or named in the address; "" where *every* was chosen."""
    homes = {
        one.number: one.label() for _, one in desk.listed(desk.objects(), MuseumObject)
    }
    options = ([""] if every is not None else []) + list(homes)
    asked = st.query_params.get("o")
    if asked in homes and "chosen-object" not in st.session_state:
        st.session_state["chosen-object"] = asked
    chosen = st.selectbox(
        label,
        options,
        index=0 if every is not None or len(options) == 1 else None,
        placeholder=words.CHOOSE,
        key="chosen-object",
        format_func=lambda one: homes.get(one, every or ""),
    )
    return None if chosen is None else str(chosen)


def _conflict(one: "Conflict") -> None:
    shown.head(language.word(str(one.sort)), 3)
    shown.line(one.text)
    shown.claims(one.claims)
    if one.explained_by:
        shown.raw(f'<p class="vt-note">{words.EXPLAINED}: {shown.to(one.explained_by)}</p>')


def _unknowns(desk: Desk, number: str) -> None:
    answer = desk.unknowns(number)
    rows = [
        (
            shown.word(str(one.sort)),
            one.text,
            Html(", ".join(shown.to(each, each.number) for each in one.things)),
            one.would_settle or words.NONE,
        )
        for each_object in answer.objects
        for one in each_object.unknowns
    ]
    shown.head(words.UNKNOWN_HEAD)
    if rows:
        shown.table(words.UNKNOWN_HEADS, rows, words.UNKNOWN_HEAD)
        shown.save_csv(f"unknown {number}", words.UNKNOWN_HEADS, rows, "csv-unknown")
    else:
        shown.line(words.NOTHING)
    shown.line(language.word(answer.note), "note")


def _decisions(desk: Desk, number: str) -> None:
    answer = desk.decisions(number)
    shown.head(words.DECISIONS_HEAD)
    for one in answer.decisions:
        decision(one)
    if not answer.decisions:
        shown.line(words.NOTHING)
    shown.line(language.word(answer.note), "note")


def decision(one: "DecisionOf") -> None:
    """One decision beside its ground."""
    about = Html(", ".join(shown.to(each) for each in one.about))
    reasons = "".join(f"<li>{shown.esc(why)}</li>" for why in one.why)
    rests = ", ".join(f"{each.number} ({each.now})" for each in one.rests_on)
    then = "".join(
        f"<li>{shown.to(each)}: {shown.verdict(verdict.text)}</li>"
        for each, verdict in one.then
    )
    shown.raw(
        f'<div class="vt-sheet">{shown.to(one.thing)} · <b>{shown.word(one.standing)}</b>'
        f"<br>{shown.word(one.choice)}: {about} ({shown.esc(one.by)}, "
        f"{shown.date(one.when)})"
        f"<br>{shown.esc(one.reason)}<ul>{reasons}</ul>"
        f"<p class='vt-note'>{words.RESTS_ON}: {shown.esc(rests or words.NONE)}</p>"
        f"<p class='vt-note'>{shown.esc(one.as_of)}</p><ul>{then}</ul></div>"
    )
