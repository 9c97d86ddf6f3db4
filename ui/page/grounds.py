"""The page of one element: its verdict, the grounds, the rival, what would settle it."""

from typing import TYPE_CHECKING

import streamlit as st

from .. import language
from . import shown, words, words_treatment
from .desk import Desk
from .shown import Html

if TYPE_CHECKING:
    from collections.abc import Iterable

    from vestige.graph.answer.assessment import Weighed, WhyOf


def grounds_page(desk: Desk) -> None:
    """Show why the verdict on one element is what it is."""
    number = st.query_params.get("e", "")
    if not number:
        shown.title(words.ELEMENT)
        shown.line(words.CHOOSE_ELEMENT)
        return
    why = desk.why(number)
    one = why.verdict
    shown.title(why.about.label)
    back = shown.to(why.object)
    shown.raw(f'<p class="vt-note">{words.BACK_TO} {back}</p>')
    shown.cautions(why.cautions)
    shown.raw(
        f'<p class="vt-big">{shown.verdict(one.text)}</p>'
        f'<p class="vt-p">{shown.grade(one.grade)}</p>'
    )
    sort, status = language.word(one.sort), language.word(one.status)
    shown.line(f"{sort} · {one.material or words.NONE} · {status}", "note")
    _account(why)
    left, right = st.columns(2, gap="large")
    with left:
        _side(words.FOR_HEAD, why.speaks_for, words.NO_CLAIM)
    with right:
        _side(words.AGAINST_HEAD, why.speaks_against, words.NOTHING_AGAINST)
        if why.untold:
            shown.head(words.UNTOLD_HEAD)
            shown.claims(why.untold)
        _rival(why)
    _settle(why)
    if why.method != "exact":
        shown.line(why.method, "note")
    enter = shown.link(
        words.ENTER_ABOUT, "observe", o=why.object.number, e=why.about.number
    )
    places = shown.link(words.THE_RECORD, "record", id=why.about.key)
    decide = shown.link(
        words.DECIDE_ABOUT, "decide", o=why.object.number, e=why.about.number
    )
    about = {"o": why.object.number, "e": why.about.number}
    treat = shown.link(words_treatment.TREAT_LINK, "treatment", **about)
    off = shown.link(words_treatment.REMOVAL_LINK, "removal", **about)
    shown.raw(f'<p class="vt-p">{enter} · {decide} · {treat} · {off} · {places}</p>')
    shown.line(language.word(why.note), "note")


def _account(why: "WhyOf") -> None:
    if why.account and why.account != why.verdict.text:
        shown.head(words.ACCOUNT)
        shown.line(language.verdict(why.account))
    if why.carried_by:
        shown.head(words.CARRIED)
        shown.claims(why.carried_by)


def _side(head: str, weighed: "Iterable[Weighed]", none: str) -> None:
    shown.head(head)
    found = list(weighed)
    if not found:
        shown.line(none)
    shown.claims(
        [one.claim for one in found], {one.claim.key: _weight(one) for one in found}
    )


def _weight(one: "Weighed") -> str:
    """What a claim does to the odds, as a factor in two figures."""
    factor = language.figures(10 ** abs(one.weight))
    said = words.WEIGHT_FOR if one.weight >= 0 else words.WEIGHT_AGAINST
    return said.format(factor=factor)


def _rival(why: "WhyOf") -> None:
    shown.head(words.RIVAL_HEAD)
    shown.line(language.verdict(why.verdict.rival) or words.NO_RIVAL)
    shown.claims([one.claim for one in why.rival_claims])


def _settle(why: "WhyOf") -> None:
    if why.settling:
        shown.head(words.SETTLE_HEAD)
        rows = [(shown.word(name), shown.word(touch)) for name, touch, _ in why.settling]
        shown.table(words.SETTLE_HEADS, rows, words.SETTLE_HEAD)
    hangs = [*why.verdict.hangs_on]
    hangs += [
        words.FALLS_IF.format(number=number, word=language.word(word))
        for number, word in why.falls_if
    ]
    if hangs:
        shown.head(words.FALLS_HEAD)
        shown.raw("<ul>" + "".join(f"<li>{shown.esc(one)}</li>" for one in hangs) + "</ul>")
    if why.sources:
        with st.expander(words.HEARD_HEAD):
            rows_heard: list[tuple[Html, str, str]] = [
                (
                    shown.to(one.source),
                    language.number(one.before, 2),
                    language.number(one.after, 2),
                )
                for one in why.sources
            ]
            shown.table(words.HEARD_HEADS, rows_heard, words.HEARD_HEAD)
