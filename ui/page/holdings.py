"""What there is, as far as a page can show it at once: the last of a kind, and how many.

What each question costs follows what is shown, however large the archive is; the few that
have to look at all that is kept are asked for by a person where there is much.
"""

from collections import Counter
from collections.abc import Callable, Sequence
from typing import TypeVar

import streamlit as st

from vestige.graph.record import MuseumObject, Question
from vestige.graph.state import State

from . import shown, words_holdings
from .desk import Desk

T = TypeVar("T")
MOST_LISTED = 50
"""Rows of one list on the start page."""
MOST_LOOKED_THROUGH = 2_000
"""Kept things that a page looks through unasked; beyond, it takes seconds."""
KEPT = ("object", "part", "sample", "fragment", "container", "caution", "element")


def last_of(desk: Desk, kind: str, most: int = MOST_LISTED) -> State:
    """The state of the records of a kind that were recorded last, in that order."""
    read = desk.collection.latest
    return desk.once(
        ("last of", kind, most),
        lambda: read(kind, most, known=desk.known, reader=desk.reader),
    )


def count_of(desk: Desk, *kinds: str) -> int:
    """How many records of some kinds there are, as far as the reader may know."""
    count = desk.collection.count_of
    return desk.once(
        ("count of", kinds),
        lambda: sum(count(one, known=desk.known, reader=desk.reader) for one in kinds),
    )


def last_objects(desk: Desk) -> list[tuple[str, MuseumObject]]:
    """The objects recorded or corrected last, noted as shown."""
    return desk.listed(last_of(desk, MuseumObject.kind), MuseumObject)


def elements_and_taken(
    desk: Desk, homes: Sequence[str]
) -> tuple[Counter[str], Counter[str]]:
    """Per object: how many elements it has, and how much was taken off or sampled."""

    def counted() -> tuple[Counter[str], Counter[str]]:
        archive, words = desk.collection, ["element of", "taken from", "drawn from"]
        ways = archive.store.walk(homes, words, "in", known=desk.known)
        seen = archive.known_of([one.src for one in ways], desk.known, desk.reader)
        up = {one.src: one.dst for one in ways if one.src in seen}
        elements, taken = Counter[str](), Counter[str]()
        for one in ways:
            if one.src not in seen:
                continue
            if one.word == "element of":
                elements[one.dst] += 1
            else:
                taken[_end(one.dst, up)] += 1
        return elements, taken

    return desk.once(("elements and taken", tuple(homes)), counted)


def _end(key: str, up: dict[str, str]) -> str:
    """Where the way up ends; what lies on itself by mistake ends where it is met again."""
    met = set[str]()
    while key in up and key not in met:
        met.add(key)
        key = up[key]
    return key


def open_questions(desk: Desk) -> tuple[State, list[tuple[str, Question]]]:
    """The open questions recorded last, and the state that names what they are about."""

    def read() -> tuple[State, list[tuple[str, Question]]]:
        every, most = count_of(desk, Question.kind), 4 * MOST_LISTED
        while True:
            last = last_of(desk, Question.kind, most)
            still = [pair for pair in last.all_of(Question) if not pair[1].answered]
            if len(still) >= MOST_LISTED or most >= every:
                break
            most *= 4
        still = still[-MOST_LISTED:]
        ends = {end for _, one in still for _, _, keys in one.references() for end in keys}
        keys = [key for key, _ in still]
        state = desk.collection.these(
            [*keys, *sorted(ends)], known=desk.known, reader=desk.reader
        )
        return state, still

    state, still = desk.once("open questions", read)
    desk.saw([key for key, _ in still])
    return state, still


def say_how_many(desk: Desk, listed: int, *kinds: str) -> None:
    """That there are more than are listed, where there are."""
    every = count_of(desk, *kinds)
    if every > listed:
        told = words_holdings.LAST_OF.format(shown=listed, all=f"{every:,}")
        shown.line(told, "note")


def when_asked(desk: Desk, name: str, ask: Callable[[], T]) -> T | None:
    """An answer that looks at all that is kept: at once, or when a person asks for it.

    What was answered stays on the page and says at which entry; None before.
    """
    every = count_of(desk, *KEPT)
    if every <= MOST_LOOKED_THROUGH:
        return ask()
    slot, mark = f"looked-{name}", (desk.known, desk.reader)
    now = desk.collection.store.head().seq
    told: tuple[object, int, T] | None = st.session_state.get(slot)
    if told is not None and told[0] != mark:
        told = None
    if told is None:
        shown.line(words_holdings.MANY_KEPT.format(count=f"{every:,}"), "note")
    elif told[1] != now:
        since = words_holdings.LOOKED_AT_ENTRY
        shown.line(since.format(then=told[1], count=now - told[1]), "note")
    if told is None or told[1] != now:
        label = words_holdings.LOOK_THROUGH.format(count=f"{every:,}")
        if st.button(label, key=f"look-{name}"):
            with st.spinner(words_holdings.LOOKING_THROUGH):
                st.session_state[slot] = (mark, now, ask())
            st.rerun()
    return told[2] if told else None
