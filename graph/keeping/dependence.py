"""What depends on an element if it is taken off, and in what order things would come off.

The order says what stands in the way according to the record: what lies over, what holds,
what passes through, what closes it in. It says nothing of whether that ought to be done.
"""

from collections.abc import Iterator
from dataclasses import dataclass

from ..record import Element
from ..state import State

_OVER = {
    "lies over": "lies over it",
    "bridges": "bridges it",
    "fills": "fills it",
    "passes through": "passes through it",
    "cuts": "cuts into it",
    "impression of": "is an impression of it",
    "ghost of": "is a ghost of it",
    "trapped in": "is trapped in it",
    "held by": "is held by it",
    "touches": "touches it",
    "abuts": "abuts it",
    "lies under": "lies under it",
    "part of": "is a part of it",
    "cut by": "is cut by it",
    "continues across": "continues across from it",
    "matches": "matches it",
}
"""How another element stands to the one asked about, where the edge comes from it."""

_FROM = {
    "lies under": "lies over it",
    "held by": "holds it",
    "trapped in": "encloses it",
    "touches": "touches it",
    "abuts": "abuts it",
    "lies over": "lies under it",
    "bridges": "is bridged by it",
    "fills": "is filled by it",
    "passes through": "is passed through by it",
    "part of": "is what it belongs to",
    "cuts": "is cut by it",
    "cut by": "cuts it",
    "impression of": "left the impression that it is",
    "ghost of": "left the ghost that it is",
    "continues across": "continues across from it",
    "matches": "matches it",
}
"""The same, where the edge comes from the one asked about."""

FIRST_IN = frozenset({"lies over", "bridges", "passes through", "fills"})
FIRST_OUT = frozenset({"lies under", "held by", "trapped in"})


@dataclass(frozen=True, slots=True)
class Bond:
    """How another element stands to the one asked about.

    Attributes:
        other: its key.
        how: in words, e.g. "is held by it".
        says: key of the record that says so.
        first: True where the other would have to come off, or be opened, first.
    """

    other: str
    how: str
    says: str
    first: bool


@dataclass(frozen=True, slots=True)
class Order:
    """In what order things would have to come off.

    Attributes:
        steps: elements in steps, the first to come off first; the one asked about last.
            What stands in one step is not ordered by the record.
        loop: elements of which the record says in a circle that each comes off first.
    """

    steps: tuple[tuple[str, ...], ...]
    loop: tuple[str, ...]


def bonds(state: State, element: str) -> tuple[Bond, ...]:
    """Every recorded relation of an element to another, each once, in order of number."""
    found = dict.fromkeys(_bonds(state, element))
    return tuple(sorted(found, key=lambda one: (state.number(one.other), one.how)))


def coming_off(state: State, element: str) -> Order:
    """What would have to come off before an element, and before that."""
    before: dict[str, set[str]] = {}
    waiting = [element]
    while waiting:
        key = waiting.pop()
        if key in before:
            continue
        before[key] = {one.other for one in bonds(state, key) if one.first}
        waiting += sorted(before[key])
    steps: list[tuple[str, ...]] = []
    done: set[str] = set()
    while len(done) < len(before):
        ready = [
            key for key, firsts in before.items() if key not in done and firsts <= done
        ]
        if not ready:
            break
        steps.append(tuple(sorted(ready, key=state.number)))
        done |= set(ready)
    left = [key for key in before if key not in done]
    return Order(tuple(steps), tuple(sorted(left, key=state.number)))


def on_object(state: State, key: str) -> bool:
    """Whether an element is recorded as on its object, or nothing says otherwise."""
    status = state.record(key, Element).status
    return status in (None, "in place", "moved on the object")


def _bonds(state: State, element: str) -> Iterator[Bond]:
    for link, says in state.pointing(element):
        if link.word in _OVER and _is_element(state, link.src):
            first = link.word in FIRST_IN and on_object(state, link.src)
            yield Bond(link.src, _OVER[link.word], says, first)
    for link, says in state.said(element):
        if link.word in _FROM and _is_element(state, link.dst):
            first = link.word in FIRST_OUT and on_object(state, link.dst)
            yield Bond(link.dst, _FROM[link.word], says, first)


def _is_element(state: State, key: str) -> bool:
    return key in state and isinstance(state.held(key).record, Element)
