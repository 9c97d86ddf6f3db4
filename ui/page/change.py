"""What changed since a day: records, and the verdicts and decisions that they moved."""

from collections import Counter
from typing import TYPE_CHECKING

import streamlit as st

from .. import language
from . import shown, words
from .desk import Desk
from .open_question import choose_object, decision

if TYPE_CHECKING:
    from vestige.graph.answer.change import ObjectChanges

FEW = 25
"""Changed records that are listed at once; more are folded."""


def changes_page(desk: Desk) -> None:
    """Show what was recorded after a day."""
    shown.title(words.CHANGES, words.CHANGES_UNDER)
    since = st.text_input(words.CHANGES_SINCE, key="since", bind="query-params")
    number = choose_object(desk, words.CHANGES_WHICH, every=words.ALL_OBJECTS)
    if not since:
        return
    found = [one for one in desk.changes(since.strip(), number or None) if one.records]
    for one in found:
        _object(one)
    if not found:
        shown.line(words.NO_CHANGES)


def _object(one: "ObjectChanges") -> None:
    shown.head(one.about.label if one.about else words.NO_OBJECT)
    if one.first_recorded:
        shown.line(words.FIRST_RECORDED, "note")
    if one.not_assessed:
        st.warning(shown.plain(one.not_assessed))
    if one.moved:
        moved = [
            (
                shown.to(each.thing),
                shown.verdict(each.before.text) if each.before else words.NONE,
                shown.verdict(each.after.text) if each.after else words.NONE,
                shown.Html("".join(shown.claim(because.claim) for because in each.because)),
            )
            for each in one.moved
        ]
        heads = (*words.MOVED_HEADS, words.BECAUSE)
        shown.table(heads, moved, words.MOVED_HEAD)
    for each_decision in one.decisions:
        decision(each_decision)
    rows = [
        (
            shown.to(each.thing),
            shown.word(each.how),
            shown.date(each.day),
            each.by,
            each.reason or words.NONE,
            "; ".join(
                f"{c.column}: {c.before or words.NONE} → {c.after or words.NONE}"
                for c in each.columns
            ),
        )
        for each in one.records
    ]
    name = one.about.number if one.about else words.NO_OBJECT
    if len(rows) > FEW:
        tally = Counter(each.thing.kind for each in one.records)
        told = ", ".join(f"{language.word(kind)}: {count}" for kind, count in tally.items())
        with st.expander(shown.plain(words.MANY_RECORDS.format(told=told))):
            shown.table(words.CHANGES_HEADS, rows, f"{words.CHANGES} {name}")
    else:
        shown.table(words.CHANGES_HEADS, rows, f"{words.CHANGES} {name}")
    shown.save_csv(f"changes {name}", words.CHANGES_HEADS, rows, f"csv-changes-{name}")
