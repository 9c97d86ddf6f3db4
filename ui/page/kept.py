"""Removed and kept: the shelf, one thing through time, what is missing or due, acts."""

import streamlit as st

from vestige.graph.record import Container, Fragment, KeptPart, Place, Record, Sample

from .. import language
from ..command.words_custody import drawn
from ..drawing import draw_custody
from . import shown, today, words
from .act import act_view, labels_view
from .board import board
from .desk import Desk
from .draft import Drafts
from .shown import Html
from .thing import located_row


def kept_page(desk: Desk, by: str, drafts: Drafts) -> None:
    """Show the shelf, a thing, or what is asked of them."""
    shown.title(words.KEPT, words.KEPT_UNDER)
    _follow_address()
    view = st.segmented_control(
        words.VIEW,
        words.KEPT_VIEWS,
        key="kept-view",
        required=True,
        label_visibility="collapsed",
    )
    if view == words.SHELF:
        _shelf(desk)
    elif view == words.ITEM:
        _item(desk)
    elif view == words.MISSING:
        today.missing(desk)
    elif view == words.DUE:
        today.due(desk)
    elif view == words.ACT:
        act_view(desk, by, drafts)
    else:
        labels_view(desk)


def _follow_address() -> None:
    """Turn to the view of what the address names, once each time it names another."""
    views = {
        "item": words.ITEM,
        "shelf": words.SHELF,
        "label": words.LABELS,
        "go": words.ACT,
    }
    asked = [(name, st.query_params[name]) for name in views if name in st.query_params]
    if asked and st.session_state.get("kept-asked") != asked:
        st.session_state["kept-view"] = views[asked[0][0]]
    st.session_state["kept-asked"] = asked
    st.session_state.setdefault("kept-view", words.SHELF)


def _chosen(
    desk: Desk, label: str, name: str, kinds: tuple[type[Record], ...]
) -> str | None:
    """One of these things, chosen here or named in the address."""
    state = desk.everything_kept()
    every = {state.number(key): one.label() for key, one in desk.listed(state, *kinds)}
    asked = st.query_params.get(name)
    key, memory = f"choose-{name}", f"asked-{name}"
    new = st.session_state.get(memory) != asked or key not in st.session_state
    if asked in every and new:
        st.session_state[key] = asked
    chosen = st.selectbox(
        label,
        list(every),
        index=None,
        placeholder=words.CHOOSE,
        key=key,
        format_func=lambda one: every.get(one, one),
    )
    if chosen and chosen != asked:
        for other in ("item", "shelf", "label", "go", "what"):
            st.query_params.pop(other, None)
        st.query_params[name] = chosen
        st.session_state["kept-asked"] = [(name, chosen)]
    st.session_state[memory] = chosen or asked
    return chosen or None


def _shelf(desk: Desk) -> None:
    number = _chosen(desk, words.CHOOSE_SHELF, "shelf", (Container, Place))
    if number is None:
        today.shelves(desk)
        return
    answer = desk.contents(number)
    shown.head(answer.about.label)
    shown.cautions(answer.cautions)
    shown.raw(f'<p class="vt-p">{words.PLACE}: {shown.place(answer.place)}</p>')
    shown.line(words.INSIDE.format(count=len(answer.things)))
    if answer.loose:
        told = "; ".join(f"{count} {word}" for word, count in sorted(answer.loose.items()))
        shown.line(words.LOOSE.format(told=told))
    rows = [
        (
            Html("&emsp;" * (one.depth - 1) + shown.to(one.located.thing)),
            Html(" < ".join(shown.to(each) for each in one.located.came_from))
            or words.NONE,
            shown.word(one.located.status),
            shown.seen(one.located.last_seen),
            "; ".join(
                f"{language.word(each.sort)}: {each.what}" for each in one.located.cautions
            ),
        )
        for one in answer.things
    ]
    if rows:
        shown.table(words.CONTENTS_HEADS, rows, answer.about.label)
        shown.save_csv(f"contents {number}", words.CONTENTS_HEADS, rows, "csv-contents")


def _item(desk: Desk) -> None:
    number = _chosen(desk, words.CHOOSE_ITEM, "item", (KeptPart, Sample, Fragment))
    if number is None:
        return
    answer = desk.custody(number)
    shown.head(answer.about.label)
    shown.cautions(answer.cautions)
    if answer.now.alarm:
        st.error(words.ALARM)
    shown.table(words.PLACES_HEADS, [located_row(answer.now)], answer.about.label)
    came = answer.now.came_from
    if came:
        way = Html(" < ".join(shown.to(one) for one in came))
        shown.raw(f'<p class="vt-p">{words.CAME_FROM} {way}</p>')
    shown.head(words.STRIP_HEAD)
    data = drawn(answer)
    if data.stays or data.sightings or data.gaps:
        board(draw_custody(data, width=900), "strip")
    else:
        shown.line(words.NO_STRIP)
    if answer.lacks:
        shown.head(words.GAPS_HEAD, 3)
        rows = [(shown.word(one.sort), one.text) for one in answer.lacks]
        shown.table(words.GAPS_HEADS, rows, words.GAPS_HEAD)
    _life(desk, number, answer.about.kind)
    record = shown.link(words.THE_RECORD, "record", id=answer.about.key)
    shown.raw(f'<p class="vt-p">{record}</p>')


def _life(desk: Desk, number: str, kind: str) -> None:
    if kind == "fragment":
        return
    answer = desk.life(number)
    shown.head(words.LIFE_HEAD, 3)
    shown.line(f"{words.STAGE}: {language.word(answer.stage)}")
    rows = [
        (
            shown.word(one.what),
            shown.date(one.when) if one.when else words.NONE,
            shown.to(one.where) if one.where else "",
            one.by or words.NONE,
        )
        for one in answer.turns
    ]
    if rows:
        shown.table(words.LIFE_HEADS, rows, words.LIFE_HEAD)
    for text in answer.contradictions:
        st.warning(shown.plain(text))
    if answer.depends:
        shown.head(words.DEPENDS_HEAD, 3)
        depends = [(shown.to(one.thing), one.why) for one in answer.depends]
        shown.table(words.DEPENDS_HEADS, depends, words.DEPENDS_HEAD)
