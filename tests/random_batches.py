"""Random batches for tests of stores, and every question that takes a record time."""

from collections.abc import Callable, Iterator
from typing import Any

from hypothesis import strategies as st
from small_archive import HOME, change_of, fold, link

from vestige.graph.errors import Conflict, Refused
from vestige.graph.ledger import Act, State, Withdraw
from vestige.graph.store import Direction, SqliteStore, Store

KEYS = [f"K{i}" for i in range(6)]
KINDS = ["object", "element"]
WORDS = ["part of", "made of"]
TEXTS = ["hinge", "hinge panel", "Ébène", ""]
NUMBERS = ["X.1", "x.1", "X.2", "X.3", "X.4"]
POINTED = KEYS[:3]  # stated at the start; most batches that point at them are let in

Batch = list[tuple[str, str | None, dict[str, Any] | None]]
Programme = list[tuple[int, Batch]]

pointer = st.tuples(
    st.sampled_from(WORDS),
    st.sampled_from(POINTED),
    st.none() | st.sampled_from(POINTED),
    st.none() | st.sampled_from(POINTED),
)
bodies = st.fixed_dictionaries(
    {
        "links": st.lists(
            pointer.map(
                lambda p: link(p[0], p[1], **{"src": p[2]} if p[2] else {}, source=p[3])
            ),
            max_size=2,
        ),
        "text": st.sampled_from(TEXTS),
        "names": st.lists(st.sampled_from(NUMBERS), max_size=2),
        "own": st.sampled_from([True, True, True, False]),
    }
)
stated = st.tuples(st.sampled_from(KEYS), st.sampled_from(KINDS), bodies)
withdrawn = st.tuples(st.sampled_from(KEYS[1:]), st.none(), st.none())
batches = st.lists(
    stated | stated | withdrawn, min_size=1, max_size=3, unique_by=lambda a: a[0]
)
programmes = st.lists(
    st.tuples(st.sampled_from([0, 1, 700]), batches), min_size=2, max_size=8
)


def new(clock: Callable[[], int] = lambda: 1) -> SqliteStore:
    return SqliteStore(
        ":memory:", change_of=change_of, home_words=HOME, fold=fold, clock=clock
    )


def acts_of(store: Store, batch: Batch) -> list[Act]:
    """Acts on the current versions; ``own`` puts a number of its own before the others."""
    acts: list[Act] = []
    for key, kind, body in batch:
        version = store.version(key)
        if kind is not None and body is not None:
            names = [f"no {key}"] * bool(body["own"]) + body["names"]
            said = body | {"names": names}
            acts.append(State(kind, key, said, version or None, "misread"))
        elif version:
            acts.append(Withdraw(key, version, "mistaken"))
    return acts


def run(programme: Programme) -> SqliteStore:
    """An archive of every batch that its rules let in."""
    moment = [1_000]
    store = new(lambda: moment[0])
    store.append("r", [State("object", key, {}) for key in POINTED])
    for step, batch in programme:
        moment[0] += step
        try:
            store.append("r", acts_of(store, batch))
        except (Refused, Conflict):
            assert store.head().at <= moment[0]
    return store


def answers(store: Store, known: int | None) -> Iterator[object]:
    """Every read that takes a record time."""
    yield store.get(KEYS, known)
    yield store.tally(known)
    for kind in KINDS:
        yield store.of_kind(kind, known)
        yield store.latest(kind, 2, known)
    for number in NUMBERS:
        yield store.named(number, known)
    directions: tuple[Direction, Direction] = ("out", "in")
    for direction in directions:
        yield store.edges(KEYS, None, direction, known)
        yield store.edges(KEYS, WORDS[:1], direction, known)
        for key in POINTED:
            yield store.walk([key], WORDS, direction, known=known)
    for key in KEYS:
        yield store.gather(key, known)
    for text in ("hinge", "ebene", "pan*"):
        yield store.search(text, known=known)
        yield store.search(text, "element", 1, known)
