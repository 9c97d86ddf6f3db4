"""The page of any record: what it says, who said it, what it rests on, what names it."""

from collections.abc import Callable
from datetime import UTC, datetime
from enum import StrEnum
from typing import TYPE_CHECKING

import streamlit as st

from vestige.graph.errors import VestigeError
from vestige.graph.record import (
    Claim,
    Decision,
    Edtf,
    Happening,
    Measure,
    Picture,
    head_of,
    pointing_fields,
)

from .. import language
from . import entry, photo, shown, words, words_recording
from .desk import Desk, home_number
from .draft import Drafts
from .form import OBSERVATION, forget
from .shown import Html
from .treatment import carried_out, onward

if TYPE_CHECKING:
    from vestige.graph.state import Held, State


def record_page(
    desk: Desk, drafts: Drafts, go: Callable[[str, dict[str, str]], None]
) -> None:
    """Show one record, as far as this reader may see it."""
    number = st.query_params.get("id", "")
    if not number:
        shown.title(words.RECORD)
        shown.line(words.FIND_BEGIN)
        return
    state, key = desk.about(number)
    held = state.held(key)
    day = datetime.fromtimestamp(held.at / 1000, UTC).date().isoformat()
    under = words.RECORD_UNDER.format(
        kind=language.word(held.record.meaning),
        by=held.by,
        day=language.date(day),
        seq=held.seq,
    )
    shown.title(held.record.label(), under)
    _home(desk, key)
    _fields(state, held)
    _pictures(desk, state, held)
    _behind(desk, key)
    _pointing(state, key)
    _onward(desk, held)
    may = desk.holds != () and desk.known is None and desk.sees(key)
    if may:
        link = shown.link(words_recording.CORRECT_LINK, "correct", id=key)
        shown.raw(f'<p class="vt-p">{link}</p>')
    if may and isinstance(held.record, Claim) and st.button(words.CORRECT_IT):
        form = entry.form_of(state, key)
        drafts.keep(OBSERVATION, {**form, "object": home_number(desk, key)})
        forget("ob")
        go("observe", {})


def _onward(desk: Desk, held: "Held") -> None:
    """From a decision to what carries it out; from a happening to what came of it."""
    if isinstance(held.record, Decision):
        carried_out(desk, held.key)
    elif isinstance(held.record, Happening) and desk.known is None:
        onward(desk, held.key)


def _home(desk: Desk, key: str) -> None:
    try:
        home = home_number(desk, key)
    except VestigeError:
        return
    link = shown.link(home, "object", o=home)
    shown.raw(f'<p class="vt-note">{words.ON_OBJECT} {link}</p>')


def _fields(state: "State", held: "Held") -> None:
    record = held.record
    pointing = pointing_fields(type(record))
    rows: list[tuple[str, object]] = []
    for name, field in type(record).model_fields.items():
        value = getattr(record, name)
        if value in (None, (), "", {}):
            continue
        head = language.column(head_of(name, field))
        rows.append((head, _said(state, name in pointing, value)))
    shown.head(words.FIELDS_HEAD)
    shown.facts(rows)


def _said(state: "State", points: bool, value: object) -> object:
    from vestige.graph.answer.answer import thing

    if not points:
        values = value if isinstance(value, tuple) else (value,)
        return Html(", ".join(map(_plain, values)))
    keys = (value,) if isinstance(value, str) else tuple(map(str, value))  # type: ignore[call-overload]
    return Html(", ".join(shown.to(thing(state, key)) for key in keys))


def _plain(value: object) -> Html:
    """A value as the reader's language writes it, where it is no free text."""
    if isinstance(value, StrEnum):
        return shown.word(value.value)
    if isinstance(value, Edtf):
        return shown.date(value)
    return shown.own(language.quantity(value) if isinstance(value, Measure) else value)


def _pictures(desk: Desk, state: "State", held: "Held") -> None:
    """The picture itself, or those that a claim is shown in, as small copies."""
    record = held.record
    if isinstance(record, Picture):
        found = [record]
    elif isinstance(record, Claim):
        desk.saw(record.picture)
        found = [state.record(key, Picture) for key in record.picture if key in state]
    else:
        return
    for one in found:
        if one.file is None:  # none is recorded, or it is closed to this reader
            continue
        file = photo.kept_file(desk.folder, one.file)
        small = photo.small_copy(file) if file else None
        if file is None:
            shown.line(words.NO_FILE.format(file=one.file), "note")
        elif small is None:
            shown.line(words.NOT_SHOWN, "note")
        else:
            st.image(small, alt=one.label(), width=640)


def _behind(desk: Desk, key: str) -> None:
    try:
        answer = desk.sources(key)
    except VestigeError:
        return
    shown.cautions(answer.cautions)
    if answer.sources:
        shown.head(words.BEHIND_HEAD)
        rows = [
            (
                shown.to(one.thing),
                shown.word(one.sort),
                shown.date(one.dated) if one.dated else words.NONE,
                shown.word(one.soundness),
                Html(", ".join(shown.to(each) for each in one.first)) or words.NONE,
            )
            for one in answer.sources
        ]
        shown.table(words.BEHIND_HEADS[:5], rows, words.BEHIND_HEAD)
    claims = {said.key: said for one in answer.sources for said in one.claims}
    claims |= {said.key: said for said in answer.unsourced}
    others = [said for said in claims.values() if said.key != key]
    if others:
        shown.head(words.RESTS_HEAD)
        shown.claims(others[:60])


def _pointing(state: "State", key: str) -> None:
    from vestige.graph.answer.answer import thing

    pairs = {
        (link.src, link.word) for link, says in state.pointing(key) if says == link.src
    }
    if not pairs:
        return
    shown.head(words.POINTED_HEAD)
    rows = [(shown.to(thing(state, src)), shown.word(word)) for src, word in sorted(pairs)]
    shown.table(words.POINTED_HEADS, rows, words.POINTED_HEAD, most=60)
