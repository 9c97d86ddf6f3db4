"""The page of one object: verdicts drawn, order, arrangements, what came off, a report."""

from collections import Counter
from collections.abc import Callable, Sequence
from typing import TYPE_CHECKING

import streamlit as st

from vestige.graph.record import MuseumObject

from .. import language
from ..drawing import draw_arrangements, draw_verdicts
from ..drawing.palette import VERDICTS, verdict_class
from . import shown, words, words_holdings, words_treatment
from .board import board
from .desk import Desk
from .drawn import arrangements_drawn, verdicts_drawn
from .holdings import count_of, last_objects, say_how_many
from .shown import Html

if TYPE_CHECKING:
    from vestige.graph.answer.arrangement import Account, Stage
    from vestige.graph.answer.assessment import AssessmentOf, VerdictOf
    from vestige.graph.answer.whereabouts import Located

WIDE = 820.0
"""Width of a drawing on a page, px: its text is then as large as it was meant."""
MOST_DRAWN = 150
"""Elements in one drawing; beyond, a browser needs seconds to draw it."""
MOST_ROWS = 100
"""Elements in the table."""


def thing_page(desk: Desk, go: Callable[[str, dict[str, str]], None]) -> None:
    """Show one object in the view that was asked for."""
    number = st.query_params.get("o") or _choose(desk)
    if not number:
        return
    state, home, _ = desk.around(number)
    record = state.record(home, MuseumObject)
    with st.spinner(words_holdings.RECKONING):
        answer = desk.assessment(number)
    made = language.date(record.made) if record.made else words.NONE
    under = words.OBJECT_UNDER.format(made=made, elements=len(answer.verdicts))
    shown.title(record.label(), under)
    shown.cautions(answer.cautions)
    view = st.segmented_control(
        words.VIEW,
        words.OBJECT_VIEWS,
        default=words.VIEW_ELEMENTS,
        key="look",
        bind="query-params",
        required=True,
        label_visibility="collapsed",
    )
    shows = {
        words.VIEW_ORDER: _order,
        words.VIEW_ARRANGED: _arranged,
        words.VIEW_PLACES: _places,
        words.VIEW_REPORT: _report,
    }
    if view in shows:
        shows[view](desk, record.number)
    else:
        _elements(answer, go)
    _foot(record.number)


def _choose(desk: Desk) -> str | None:
    shown.title(words.CHOOSE_OBJECT)
    every = [one for _, one in last_objects(desk)]
    names = {one.label(): one.number for one in every}
    chosen = st.selectbox(
        words.OBJECT, list(names), index=None, placeholder=words.CHOOSE, key="choose-object"
    )
    other = ""
    if count_of(desk, MuseumObject.kind) > len(every):
        say_how_many(desk, len(every), MuseumObject.kind)
        other = st.text_input(words_holdings.OBJECT_NUMBER, key="object-number").strip()
    if chosen is None and not other:
        return None
    st.query_params["o"] = other or names[chosen or ""]
    st.rerun()
    return None


def _foot(number: str) -> None:
    enter = shown.link(words.ENTER_HERE, "observe", o=number)
    asked = shown.link(words.QUESTIONS, "questions", o=number)
    treat = shown.link(words_treatment.TREAT_LINK, "treatment", o=number)
    shown.raw(f'<p class="vt-p">{enter} · {treat} · {asked}</p>')


def _elements(answer: "AssessmentOf", go: Callable[[str, dict[str, str]], None]) -> None:
    tally = Counter(verdict_class(one.text).key for one in answer.verdicts)
    tags = "".join(
        f"<span>{shown.chip(one)}{tally[key]} {shown.word(one.words)}</span>"
        for key, one in VERDICTS.items()
        if tally[key]
    )
    shown.raw(f'<div class="vt-tags">{tags}</div>')
    for one in answer.warnings:
        st.warning(shown.plain(one))
    some = _of_kind(answer)
    if len(answer.verdicts) > MOST_DRAWN:
        some = _sought(some)
    if len(some) > MOST_DRAWN:
        told = words.MANY_ELEMENTS.format(shown=MOST_DRAWN, all=len(some))
        shown.line(told, "note")
    if not some:
        return
    picked = board(
        draw_verdicts(verdicts_drawn(answer, some[:MOST_DRAWN]), width=WIDE),
        "verdicts",
        opens=True,
    )
    if picked:
        numbers = {one.thing.key: one.thing.number for one in answer.verdicts}
        if picked in numbers:
            go("element", {"e": numbers[picked]})
    shown.line(words.CHOOSE_ELEMENT, "note")
    shown.table(words.VERDICT_HEADS, map(_row, some[:MOST_ROWS]), answer.about.label)
    if len(some) > MOST_ROWS:
        told = words_holdings.ELEMENTS_OF
        shown.line(told.format(shown=MOST_ROWS, all=f"{len(some):,}"), "note")
    heads = words.VERDICT_HEADS  # in the language of this page
    st.download_button(
        words.SAVE_TABLE,
        lambda: _saved(heads, some),  # made when it is asked for
        shown.file_name(f"verdicts {answer.about.number}", "csv"),
        "text/csv",
        key="csv-v",
        on_click="ignore",
    )
    _doubts(answer)


def _row(one: "VerdictOf") -> tuple[Html, ...]:
    return (
        shown.to(one.thing),
        shown.verdict(one.text),
        shown.grade(one.grade),
        Html(shown.esc(shown.word(one.status))),
        Html(shown.verdict_words(one.rival) if one.rival else words.NONE),
    )


def _saved(heads: "Sequence[str]", some: "tuple[VerdictOf, ...]") -> bytes:
    from vestige.graph.intake import csv_table

    rows = [[shown.bare(cell) for cell in _row(one)] for one in some]
    return csv_table(heads, rows)


def _sought(some: "tuple[VerdictOf, ...]") -> "tuple[VerdictOf, ...]":
    """Those of very many elements that bear a verdict or whose name was asked for."""
    tally = Counter(verdict_class(one.text).key for one in some)
    told = words_holdings.VERDICT_COUNT
    names = {
        key: told.format(verdict=shown.word(one.words), count=tally[key])
        for key, one in VERDICTS.items()
        if tally[key]
    }
    chosen = st.pills(
        words_holdings.WHICH_VERDICT,
        list(names),
        key="which-verdict",
        format_func=lambda key: names.get(key, key),
    )
    name = st.text_input(words_holdings.FIND_ELEMENT, key="find-element").casefold().strip()
    found = tuple(
        one
        for one in some
        if (chosen is None or verdict_class(one.text).key == chosen)
        and name in one.thing.label.casefold()
    )
    if not found:
        shown.line(words_holdings.NO_SUCH_ELEMENT)
    return found


def _of_kind(answer: "AssessmentOf") -> "tuple[VerdictOf, ...]":
    sorts = list(dict.fromkeys(one.sort for one in answer.verdicts))
    chosen = st.pills(
        words.KIND_OF_ELEMENT,
        [words.ALL_KINDS, *sorts],
        default=words.ALL_KINDS,
        key="kind-of-element",
        format_func=lambda one: words.SORTS.get(one, one),
    )
    if chosen in (None, words.ALL_KINDS):
        return answer.verdicts
    return tuple(one for one in answer.verdicts if one.sort == chosen)


def _doubts(answer: "AssessmentOf") -> None:
    if answer.clashes:
        shown.head(words.CLASHES_HEAD)
    for one in answer.clashes:
        shown.line(one.text)
        if one.explained_by:
            shown.raw(
                f'<p class="vt-note">{words.EXPLAINED}: {shown.to(one.explained_by)}</p>'
            )
        shown.claims(one.claims)
    if answer.set_aside:
        shown.head(words.SET_ASIDE_HEAD)
        for text in answer.set_aside:
            shown.line(text)
    shown.line(words.METHOD.format(method=answer.method), "note")
    shown.line(language.word(answer.note), "note")


def _order(desk: Desk, number: str) -> None:
    from ..paper.pictures import order_drawing

    report = desk.report(number)
    order = report.sequence
    if not order.steps and not order.loops:
        shown.line(words.NO_ORDER)
        return
    for loop in order.loops:
        shown.head(words.LOOP_HEAD, 3)
        shown.claims(said for step in loop.steps for said in step.claims)
    if len(order.levels) and sum(map(len, order.levels)) <= MOST_DRAWN:
        board(order_drawing(report), "order")
    rows = [
        (
            shown.to(step.later),
            shown.to(step.earlier),
            Html(", ".join(shown.link(c.number, "record", id=c.key) for c in step.claims)),
        )
        for step in order.steps
    ]
    shown.table(words.ORDER_HEADS, rows, words.VIEW_ORDER)
    if order.redundant:
        shown.line(words.REDUNDANT.format(count=order.redundant), "note")
    if order.unrelated:
        names = ", ".join(one.number for one in order.unrelated)
        shown.line(words.UNORDERED.format(names=names), "note")


def _arranged(desk: Desk, number: str) -> None:
    answer = desk.arrangements(number)
    if not answer.stages:
        shown.line(words.NO_ARRANGEMENT)
        return
    data = arrangements_drawn(answer)
    if data is not None:
        board(draw_arrangements(data), "arranged")
    for stage in answer.stages:
        _stage(stage)


def _stage(stage: "Stage") -> None:
    shown.head(stage.phase.label if stage.phase else words.NO_PHASE)
    if stage.disputed:
        st.warning(words.DISPUTED)
    for account in stage.accounts:
        _account(account)


def _account(account: "Account") -> None:
    strength = language.word(account.strength) if account.strength else words.DENIED
    voices = words.VOICES.format(count=len(account.voices)) if account.voices else ""
    shown.head(
        f"{account.words}  ({', '.join(one for one in (strength, voices) if one)})", 3
    )
    shown.claims((*account.speaks_for, *account.speaks_against))


def _places(desk: Desk, number: str) -> None:
    answer = desk.location(number)
    rows = [located_row(one) for one in answer.things]
    if not rows:
        shown.line(words.NOTHING)
        return
    shown.table(words.PLACES_HEADS, rows, words.VIEW_PLACES)
    shown.save_csv(f"places {number}", words.PLACES_HEADS, rows, "csv-places")


def located_row(one: "Located") -> tuple[object, ...]:
    """A row that says where one thing is."""
    alarm = Html(f"<br><b>{words.ALARM}</b>") if one.alarm else Html("")
    return (
        shown.to(one.thing),
        shown.word(one.status),
        Html(shown.place(one.place) + alarm),
        shown.word(one.certainty),
        shown.seen(one.last_seen),
    )


def _report(desk: Desk, number: str) -> None:
    import tempfile
    from pathlib import Path

    from ..paper import write_report

    shown.line(words.REPORT_SAID)
    if not st.button(words.REPORT_MAKE, type="primary"):
        return
    report = desk.report(number)
    with tempfile.TemporaryDirectory() as folder:
        for ending, label in (
            ("pdf", words.REPORT_SAVE_PDF),
            ("html", words.REPORT_SAVE_HTML),
        ):
            file = Path(folder) / f"report.{ending}"
            write_report(report, file)
            name = shown.file_name(f"report {number}", ending)
            st.download_button(
                label, file.read_bytes(), name, key=f"report-{ending}", on_click="ignore"
            )
