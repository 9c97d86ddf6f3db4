"""A small world for tests of stores: records whose body says outright what they add.

The stores are held to their contract with this reading, so that the tests do not hang on
what the records of the trade look like.
"""

from collections.abc import Iterable, Mapping
from typing import Any

from vestige.graph.ledger import State, Withdraw
from vestige.graph.record import Link
from vestige.graph.state import Change
from vestige.graph.store import Store

HOME = frozenset({"part of", "about"})


class Clock:
    """Record time that goes on by ``step`` milliseconds each time it is read."""

    def __init__(self, now: int = 1_700_000_000_000, step: int = 1000) -> None:
        self.now, self.step = now, step

    def __call__(self) -> int:
        self.now += self.step
        return self.now


def change_of(kind: str, key: str, body: Mapping[str, Any]) -> Change:
    """What a body says outright; the kind ``"unreadable"`` has no reading."""
    if kind == "unreadable":
        raise ValueError("a field is missing")
    links = [Link(one.get("src", key), one["word"], one["dst"], one.get("earliest"),
                  one.get("latest"), one.get("source"), one.get("strength"))
             for one in body.get("links", ())]  # fmt: skip
    return Change(
        body.get("label", key), tuple(body.get("names", ())), body.get("text", ""),
        tuple(links),
    )  # fmt: skip


def fold(number: str) -> str:
    return number.strip().casefold()


def link(word: str, dst: str, **more: object) -> dict[str, object]:
    """One link as a body says it."""
    return {"word": word, "dst": dst, **more}


def state(key: str, kind: str = "thing", **body: object) -> State:
    """State a record for the first time."""
    return State(kind, key, body)


def correct(
    store: Store, key: str, kind: str = "thing", why: str = "misread", **body: object
) -> State:
    """State a record in place of its current version."""
    return State(kind, key, body, store.version(key), why)


def withdraw(store: Store, key: str, why: str = "recorded by mistake") -> Withdraw:
    """Withdraw the current version of a record."""
    return Withdraw(key, store.version(key), why)


def keys(found: Iterable[Any]) -> list[str]:
    """The keys of versions, in the order given."""
    return [one.key for one in found]


def screen(store: Store) -> None:
    """An invented folding screen in three batches: parts, a claim, a correction."""
    store.append(
        "registrar",
        [
            state("O1", "object", label="folding screen", names=["X.12", "old 7"]),
            state("O2", "object", label="stand", names=["X.13"]),
            state("S1", "source", label="report of 1968"),
            state("E1", "element", label="panel", links=[link("part of", "O1")]),
            state("E2", "element", label="hinge", names=["X.12.b"],
                  links=[link("part of", "E1", source="S1"), link("made of", "M1")]),
            state("E3", "element", label="foot",
                  links=[link("part of", "O2"), link("made of", "M1")]),
            state("M1", "material", label="hide glue", text="Knochenleim, früh"),
        ],
        batch="first",
    )  # fmt: skip
    store.append(
        "conservator",
        [state("C1", "claim", label="original", text="old screw holes, Ébène veneer",
               links=[link("about", "E2", source="S1", strength="probable",
                           earliest=-3653, latest=0)])],
    )  # fmt: skip
    store.append(
        "conservator",
        [correct(store, "C1", "claim", "the holes are later", label="replacement",
                 text="screw holes of 1950", links=[link("about", "E2")])],
    )  # fmt: skip
