"""The start page: what waits for a conservator, a registrar, a researcher."""

from typing import TYPE_CHECKING

import streamlit as st

from vestige.graph.errors import VestigeError
from vestige.graph.keeping import whereabouts
from vestige.graph.record import Container, MuseumObject, Place, Question

from .. import language
from . import shown, words, words_holdings
from .desk import Desk
from .holdings import (
    MOST_LISTED,
    count_of,
    elements_and_taken,
    last_objects,
    last_of,
    open_questions,
    say_how_many,
    when_asked,
)
from .shown import Html

if TYPE_CHECKING:
    from vestige.graph.answer.assessment import VerdictOf
    from vestige.graph.state import State

MOST_ASSESSED = 8
"""Objects that the start page assesses; beyond, the page would keep its reader waiting."""
MOST_ELEMENTS = 300
"""Elements of an object that is assessed on this page."""
MOST_NAMED = 12
"""Objects that are named where they are not assessed."""


def today(desk: Desk, view: str) -> None:
    """Show what waits, in the order of the view's work."""
    shown.title(words.TODAY, words.TODAY_UNDER[view])
    order = {
        "conservator": (review, open_verdicts, asked, objects, due),
        "registrar": (missing, due, shelves, objects),
        "researcher": (objects, asked, open_verdicts, missing),
    }
    for part in order[view]:
        part(desk)


def objects(desk: Desk) -> None:
    """The objects recorded last, with how much is recorded of each."""
    listed = last_objects(desk)
    elements, taken = elements_and_taken(desk, [key for key, _ in listed])
    rows = [
        (
            shown.link(one.label(), "object", o=one.number),
            shown.date(one.made) if one.made else words.NONE,
            elements[key] or words.NONE,
            taken[key] or words.NONE,
        )
        for key, one in listed
    ]
    shown.head(words.OBJECTS_HEAD)
    if rows:
        shown.table(words.OBJECTS_HEADS, rows, words.OBJECTS_HEAD)
        say_how_many(desk, len(rows), MuseumObject.kind)
    else:
        shown.line(words.NOTHING)


def review(desk: Desk) -> None:
    """Decisions whose ground has moved, of the first objects."""
    from vestige.graph.answer.decision import LOOK_AGAIN

    shown.head(words.REVIEW_HEAD)
    homes = [one for _, one in last_objects(desk)]
    again = [
        (shown.to(one.thing), Html(", ".join(shown.to(each) for each in one.about)), why)
        for home in homes[-MOST_ASSESSED:]
        if _may_be_reckoned(desk, home)
        for one in desk.decisions(home.number).decisions
        if one.standing == LOOK_AGAIN
        for why in one.why[:1]
    ]
    if again:
        shown.table(words.REVIEW_HEADS, again, words.REVIEW_HEAD)
    else:
        shown.line(words.REVIEW_NONE)


def open_verdicts(desk: Desk) -> None:
    """Elements whose verdict is open, of the objects recorded last."""
    shown.head(words.OPEN_HEAD)
    homes = [one for _, one in last_objects(desk)]
    rows, without = [], []
    for home in homes[-MOST_ASSESSED:]:
        if not _may_be_reckoned(desk, home):
            without.append(home.number)
            continue
        try:
            answer = desk.assessment(home.number)
        except VestigeError as why:
            without.append(f"{home.number} ({why})")
            continue
        rows += [_open_row(home, one) for one in answer.verdicts if one.word != "unexamined"
                 and one.grade == "open"]  # fmt: skip
    if rows:
        shown.table(words.OPEN_HEADS, rows, words.OPEN_HEAD)
    else:
        shown.line(words.NOTHING)
    every, most = count_of(desk, MuseumObject.kind), min(len(homes), MOST_ASSESSED)
    if len(homes) <= MOST_ASSESSED + MOST_NAMED:
        without += [one.number for one in homes[:-MOST_ASSESSED]]
    else:
        told = words_holdings.NOT_RECKONED_OF_MANY
        shown.line(told.format(shown=most, all=f"{every:,}"), "note")
    if without:
        shown.line(words.NOT_RECKONED.format(names=", ".join(without)), "note")


def _may_be_reckoned(desk: Desk, home: MuseumObject) -> bool:
    """Whether its verdicts are reckoned here: not those of very many elements."""
    key = desk.collection.find(home.number, desk.known, desk.reader)
    elements, _ = elements_and_taken(desk, [one for one, _ in last_objects(desk)])
    return elements[key] <= MOST_ELEMENTS


def _open_row(home: MuseumObject, one: "VerdictOf") -> tuple[Html, Html, Html]:
    return (
        shown.to(one.thing),
        shown.link(home.number, "object", o=home.number),
        shown.verdict(one.text),
    )


def asked(desk: Desk) -> None:
    """Questions that nobody has answered."""
    shown.head(words.ASKED_HEAD)
    state, still = open_questions(desk)
    rows = [
        (
            shown.link(one.label(), "record", id=key),
            _about(state, key),
            one.would_settle or words.NONE,
        )
        for key, one in still
    ]
    if rows:
        shown.table(words.ASKED_HEADS, rows, words.ASKED_HEAD)
    else:
        shown.line(words.NOTHING)
    if len(rows) == MOST_LISTED:
        every = count_of(desk, Question.kind)
        told = words_holdings.LAST_ASKED
        shown.line(told.format(shown=len(rows), all=f"{every:,}"), "note")


def _about(state: "State", key: str) -> Html:
    from vestige.graph.answer.answer import thing

    ends = [link.dst for link, _ in state.said(key, "asks about")]
    return Html(", ".join(shown.to(thing(state, end)) for end in ends)) or Html(words.NONE)


def missing(desk: Desk) -> None:
    """Everything without a known place."""
    shown.head(words.MISSING_HEAD)
    answer = when_asked(desk, "missing", desk.missing)
    if answer is None:
        return
    rows = [
        (
            shown.to(one.thing),
            Html(" < ".join(shown.to(each) for each in one.came_from[:1])),
            one.reason,
            shown.seen(one.last_seen),
        )
        for one in answer.things
    ]
    if rows:
        shown.table(words.MISSING_HEADS, rows, words.MISSING_HEAD)
        shown.save_csv("missing", words.MISSING_HEADS, rows, "csv-missing")
    else:
        shown.line(words.NOTHING)


def due(desk: Desk) -> None:
    """What is due for review or overdue."""
    shown.head(words.DUE_HEAD)
    answer = when_asked(desk, "due", desk.due)
    if answer is None:
        return
    rows = [
        (
            shown.to(one.thing),
            one.what,
            shown.date(one.when),
            shown.word(one.standing),
            one.ask or words.NONE,
        )
        for one in answer.due
    ]
    if rows:
        shown.table(words.DUE_HEADS, rows, words.DUE_HEAD)
    else:
        shown.line(words.NOTHING)
    if answer.undated:
        shown.line(words.UNDATED.format(count=len(answer.undated)), "note")
    shown.line(language.word(answer.note), "note")


def shelves(desk: Desk) -> None:
    """Boxes, cabinets and places."""
    from vestige.graph.answer.answer import thing
    from vestige.graph.answer.whereabouts import stay_of

    shown.head(words.SHELVES_HEAD)
    kinds = (Place, Container)
    holders = [
        key
        for kind in kinds
        for key, _ in desk.listed(last_of(desk, kind.kind, MOST_LISTED // 2), kind)
    ]
    read = desk.collection.holders_of
    state = desk.once(
        "shelves", lambda: read(holders, known=desk.known, reader=desk.reader)
    )
    rows = []
    for key in holders:
        way = [stay_of(state, one) for one in whereabouts(state, key).holders]
        rows.append((shown.to(thing(state, key)), shown.place(way)))
    if rows:
        shown.table(words.SHELVES_HEADS, rows, words.SHELVES_HEAD)
        say_how_many(desk, len(rows), *(kind.kind for kind in kinds))
    else:
        shown.line(words.NOTHING)


def first_run(desk: Desk, by: str, *, records: bool) -> None:
    """Lead somebody with an empty archive to a first verdict."""
    import tempfile
    from pathlib import Path

    from vestige.graph.intake import write_template

    shown.title(words.FIRST_TITLE, words.FIRST_UNDER)
    shown.head(words.FIRST_1)
    shown.line(words.FIRST_1_SAID)
    with tempfile.TemporaryDirectory() as folder:
        for label, name, example in (
            (words.FIRST_EMPTY, "my-object.xlsx", False),
            (words.FIRST_EXAMPLE, "example.xlsx", True),
        ):
            file = Path(folder) / name
            write_template(file, example=example)
            st.download_button(label, file.read_bytes(), name, key=name, on_click="ignore")
        shown.head(words.FIRST_2)
        shown.line(words.FIRST_2_SAID)
        shown.raw(f'<p class="vt-p">{shown.link(words.BRING, "bring")}</p>')
        if records and st.button(words.FIRST_2_EXAMPLE, type="primary"):
            from .bring import bring_in

            bring_in(desk, Path(folder) / "example.xlsx", by or words.VIEWS[0])
            st.rerun()
    shown.head(words.FIRST_3)
    shown.line(words.FIRST_3_SAID)
    shown.line(words.NO_DECISION, "note")
