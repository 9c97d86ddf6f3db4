"""Archives at random, every field of every noun from its own definition."""

import random
from collections.abc import Callable, Sequence
from typing import Any

from pydantic import ValidationError

from vestige.graph.collection import Collection
from vestige.graph.ledger import State
from vestige.graph.record import KINDS, Record
from vestige.graph.record.record import word_list
from vestige.graph.store import SqliteStore
from vestige.ontology.mapping import FieldTerm, kind_terms

TEXTS = (
    "plain", 'quoted "thus"', "back\\slash", "two\nlines", "tab\there", "é ü ł 漢字 🜂",
    "שלום", "<b>&amp;</b>", "=1+1", "urn:uuid:not-a-thing", "true", "01", "a b", "x" * 300,
    "_:b0", "@en", "^^xsd:integer", "'''", '"""', "\u2028line", "e\u0301", "\u007f",
)  # fmt: skip
DATES = (
    "1905", "1770~/1790~", "../1908-02", "1985/..", "1985/", "2004-06-~11", "-0999",
    "Y170000002", "[1667,1668..1670]", "201X", "2001-24", "1846?", "2021-06-30", "1560-12",
)  # fmt: skip
MEASURES = ("12 mm", "12.50 mm", "212 ± 2 mm", "120 x 340 mm", "ca. 3 cm", "30°", "5 mg")
MOMENTS = 1_500_000_000_000


class Clock:
    """A clock that a test sets."""

    def __init__(self) -> None:
        self.now = MOMENTS

    def __call__(self) -> int:
        return self.now


def a_value(field: FieldTerm, draw: random.Random, keys: dict[str, list[str]]) -> Any:
    """One value that may stand in a field; None where there can be none."""
    if field.value == "record":
        there = [key for kind in field.points_to for key in keys.get(kind, ())]
        return draw.choice(there) if there else None
    written: dict[str, Sequence[Any]] = {
        "date": DATES, "measure": MEASURES, "whole number": range(10_000),
        "yes or no": (True, False), "twist": ("S", "Z", "S(2z)"),
        "features": ("tin = 8.1 wt%", "lead = not found", "count = 3"),
    }  # fmt: skip
    return draw.choice(written.get(field.value) or written.get(field.name) or TEXTS)


def a_body(
    kind: str, number: str, draw: random.Random, keys: dict[str, list[str]]
) -> dict[str, Any]:
    """What one record might say; not all of it need be lawful."""
    body: dict[str, Any] = {}
    for field in kind_terms()[kind].fields.values():
        if field.name == "number":
            body["number"] = number
        elif field.needed or draw.random() < 0.6:
            words = word_list(KINDS[kind].model_fields[field.name])

            def one(field: FieldTerm = field, words: Any = words) -> Any:
                return draw.choice(list(words)) if words else a_value(field, draw, keys)

            found = [v for v in (one() for _ in range(draw.randint(1, 3))) if v is not None]
            if found:
                body[field.name] = list(dict.fromkeys(found)) if field.many else found[0]
    if kind == "mark":
        measured = {"x", "y", "height", "points", "size", "angle", "scatter"}
        body = {name: value for name, value in body.items() if name not in measured}
        body |= (
            {"x": "12.50 mm", "y": "3 mm"} if draw.random() < 0.5 else {"height": "7 mm"}
        )
    if kind == "claim" and body.get("other") == body.get("about"):
        body.pop("other", None)
    return body


def random_archive(
    seed: int, rounds: int = 2, store: Callable[..., SqliteStore] = SqliteStore
) -> Collection:
    """An archive in memory with up to ``rounds`` records of each kind.

    Recorded in several batches by several roles; some records stand corrected.
    """
    draw, clock = random.Random(seed), Clock()
    collection = Collection(store(":memory:", clock=clock), keys=_keys(seed))
    keys: dict[str, list[str]] = {}
    for place in range(rounds):
        for kind, model in KINDS.items():
            record = _a_record(kind, model, f"{kind}-{place}", draw, keys)
            if record is None:
                continue
            clock.now += draw.choice([0, 1, 86_400_000])
            key = collection.keys.new()
            by = draw.choice(["registrar", "conservator", "student of 'things'"])
            collection.record(by, [State(kind, key, record.body())])
            keys.setdefault(kind, []).append(key)
    return collection


def _keys(seed: int) -> Any:
    from vestige.graph.record import KeyMaker

    return KeyMaker(seed=seed)


def _a_record(
    kind: str,
    model: type[Record],
    number: str,
    draw: random.Random,
    keys: dict[str, list[str]],
) -> Record | None:
    for _ in range(6):
        try:
            return model.model_validate(a_body(kind, number, draw, keys))
        except (ValidationError, ValueError):
            continue
    return None
