"""Search across the collection: filters, a table, a line in time, an export to cite."""

import streamlit as st

from vestige.graph.record import KINDS

from .. import language
from ..drawing import WindowBar, WindowData, draw_windows
from . import shown, words
from .asked import LIMIT, Row, Rows, Wanted, cited, search
from .board import board
from .desk import Desk

MOST_DRAWN = 60
YEAR = 365.2425
"""Mean length of a Gregorian year in days."""


def search_page(desk: Desk) -> None:
    """Ask, and show what was found."""
    shown.title(words.FIND, words.FIND_UNDER)
    wanted = _wanted()
    if wanted.nothing:
        shown.line(words.FIND_BEGIN)
        return
    found = search(desk, wanted)
    shown.line(words.FIND_COUNT.format(count=len(found.rows)), "big")
    if found.cut:
        shown.line(words.FIND_LIMIT.format(limit=LIMIT), "note")
    if found.undated:
        shown.line(words.FIND_NOT_DATED.format(count=found.undated), "note")
    _tell(desk, found)
    shown.line(words.FIND_SAVED, "note")


def _wanted() -> Wanted:
    asked = st.text_input(words.FIND_WORDS, key="q", bind="query-params")
    one, two, three, four, five = st.columns(5)
    kinds = ["", *KINDS]
    kind = one.selectbox(
        words.FIND_KIND,
        kinds,
        key="kind",
        bind="query-params",
        format_func=lambda name: language.word(name) if name else words.FIND_ANY,
    )
    material = two.text_input(words.FIND_MATERIAL, key="material", bind="query-params")
    verdict = three.text_input(words.FIND_VERDICT, key="verdict", bind="query-params")
    after = four.text_input(words.FIND_AFTER, key="after", bind="query-params")
    before = five.text_input(words.FIND_BEFORE, key="before", bind="query-params")
    texts = [
        (text or "").strip() for text in (asked, kind, material, verdict, after, before)
    ]
    return Wanted(*texts)


def _tell(desk: Desk, found: Rows) -> None:
    rows = [
        (
            shown.to(one.thing),
            shown.word(one.thing.kind),
            shown.to(one.home, one.home.number) if one.home else words.NONE,
            one.material or words.NONE,
            shown.date(one.date) if one.date else words.NONE,
            shown.verdict(one.verdict) if one.verdict else "",
        )
        for one in found.rows
    ]
    if not rows:
        return
    shown.table(words.FIND_HEADS, rows, words.FIND)
    saved = [
        (
            *row[:4],
            str(one.date) if one.date else words.NONE,
            one.verdict,
            *cited(desk, one),
        )
        for row, one in zip(rows, found.rows, strict=True)
    ]
    shown.save_csv("found", (*words.FIND_HEADS, *words.CITED_HEADS), saved, "csv-found")
    _in_time(found)


def _in_time(found: Rows) -> None:
    bars = tuple(bar for one in found.rows if (bar := _bar(one)) is not None)[:MOST_DRAWN]
    if not bars:
        return
    shown.head(words.FIND_LINE)
    board(draw_windows(WindowData(title=words.FIND_LINE, bars=bars)), "in-time")


def _bar(row: Row) -> WindowBar | None:
    """The date of a record as a bar; None where it has no day at either end."""
    date = row.date
    if date is None or (date.earliest is None and date.latest is None):
        return None
    limit = "about" if date.soft else "firm"
    return WindowBar(
        row.thing.key,
        row.thing.label,
        language.date(date),
        None if date.earliest is None else 1970 + date.earliest / YEAR,
        None if date.latest is None else 1970 + (date.latest + 1) / YEAR,
        limit if date.earliest is not None else "not recorded",
        limit if date.latest is not None else "not recorded",
    )
