"""Reads what Vestige wrote, back into records, and says what else stands in the file.

Only own properties are read: from them each record comes back to the letter. Then the
records are written again; whatever the file says beyond that is not ours and is handed
on, and whatever of it is missing was taken out by somebody.
"""

import datetime
import json
from collections import defaultdict
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from functools import cache
from typing import TYPE_CHECKING, Any, Final

from pydantic import ValidationError

from vestige.graph.errors import BadValue, Refused
from vestige.graph.problem import Place, Problem, Weight
from vestige.graph.record import KINDS
from vestige.graph.record.record import head_of, word_list
from vestige.graph.state import Held, State

from .history_writer import PastAct, write_past
from .mapping import FieldTerm, KindTerm, full, kind_terms
from .record_writer import write_state
from .term import concept, key_in

if TYPE_CHECKING:
    from pyoxigraph import Quad

TYPE: Final = "http://www.w3.org/1999/02/22-rdf-syntax-ns#type"
About = dict[str, list[Any]]


@dataclass(frozen=True, slots=True)
class ReadBack:
    """What a file of ours says.

    Attributes:
        held: the records, in the order in which they were said.
        problems: what could not be read, each at its record and field.
        beyond: statements that no record of the file explains, as N-Triples.
        missing: statements that its records would make and that are not in the file.
        past: everything that was ever said, where the file tells; else empty.
    """

    held: tuple[Held, ...]
    problems: tuple[Problem, ...]
    beyond: tuple[str, ...]
    missing: tuple[str, ...]
    past: tuple[PastAct, ...] = ()


def is_ours(quads: Iterable["Quad"]) -> bool:
    """Whether some statement is about a record of Vestige."""
    record = full("ves:Record")
    return any(
        quad.predicate.value == TYPE and getattr(quad.object, "value", "") == record
        for quad in quads
    )


def read_back(quads: Iterable["Quad"], file: str) -> ReadBack:
    """Read the records of a file that Vestige wrote.

    Raises:
        Refused: it was written for a reader who may not see everything.
    """
    quads = list(quads)
    about: dict[str, About] = defaultdict(lambda: defaultdict(list))
    for quad in quads:
        about[str(getattr(quad.subject, "value", ""))][quad.predicate.value].append(
            quad.object
        )
    reading = _Reading(about, file)
    reading.read()
    held = tuple(one for _, one in sorted(reading.found, key=lambda pair: pair[0]))
    past = reading.past()
    again = [*write_state(State(held)), *write_past(past)]
    ours = {f"{s} {p} {o}" for one in again for s, p, o in one.triples}
    said = {_line(quad) for quad in quads}
    beyond, missing = tuple(sorted(said - ours)), tuple(sorted(ours - said))
    return ReadBack(held, tuple(reading.problems), beyond, missing, past)


def _line(quad: "Quad") -> str:
    return f"{quad.subject} {quad.predicate} {quad.object}"


@cache
def words_by_iri() -> dict[str, str]:
    """Every word of a list by the IRI of its concept."""
    return {
        concept(words.__name__, word): str(word)
        for model in KINDS.values()
        for info in model.model_fields.values()
        if (words := word_list(info)) is not None
        for word in words
    }


class _Reading:
    """Statements on their way back into records."""

    def __init__(self, about: Mapping[str, About], file: str) -> None:
        self.about, self.file = about, file
        self.problems: list[Problem] = []
        self.found: list[tuple[tuple[int, str], Held]] = []
        self.keys: dict[str, str] = {}
        self.by_class = {full(kind.term): kind for kind in kind_terms().values()}

    def read(self) -> None:
        entries = [
            iri for iri, said in self.about.items()
            if full("ves:Record") in [getattr(o, "value", "") for o in said.get(TYPE, ())]
        ]  # fmt: skip
        closed = [one for one in entries if full("ves:restricted") in self.about[one]]
        if closed:
            raise Refused(
                f"{self.file} was written for a reader who may not see {len(closed)} of "
                "its records, so it is not the whole; export again as somebody who may"
            )
        for entry in entries:
            said = self.about[entry]
            self.keys[self._one(said, "ves:states")] = self._one(said, "ves:key")
        for entry in entries:
            self._record(entry)

    def _record(self, entry: str) -> None:
        meta = self.about[entry]
        key, me = self._one(meta, "ves:key"), self._one(meta, "ves:states")
        said = self.about.get(me, {})
        kinds = [
            self.by_class[o.value]
            for o in said.get(TYPE, ())
            if getattr(o, "value", "") in self.by_class
        ]
        if len(kinds) != 1 or not key:
            self._note("", key or entry, "is of no one kind that Vestige knows")
            return
        order = self._lists(key, self._one(meta, "ves:list_order"))
        body = self._body(kinds[0], key, said, order)
        try:
            record = KINDS[kinds[0].kind].model_validate(body)
            at = _milliseconds(self._one(meta, "prov:generatedAtTime"))
            rank = int(self._one(meta, "ves:sequence") or 0)
        except (ValidationError, ValueError) as wrong:
            self._invalid(kinds[0], key, body, wrong)
            return
        held = Held(key, record, rank, at, self._one(meta, "ves:recorded_by"))
        self.found.append(((rank, key), held))

    def past(self) -> tuple[PastAct, ...]:
        """Everything that was ever said, in order; empty where the file does not tell."""
        found = []
        for said in self.about.values():
            position = self._one(said, "ves:position")
            if not position.isdigit():
                continue
            classes = [getattr(o, "value", "") for o in said.get(TYPE, ())]
            body = said.get(full("ves:body"))
            try:
                at = _milliseconds(self._one(said, "prov:generatedAtTime"))
            except BadValue as wrong:
                self._note("", self._one(said, "ves:key"), str(wrong))
                continue
            found.append(
                PastAct(
                    int(position), self._one(said, "ves:key"), self._one(said, "ves:kind"),
                    str(body[0].value) if body else None, self._one(said, "ves:reason"),
                    at, self._one(said, "ves:recorded_by"),
                    full("ves:PastAct") not in classes,
                )
            )  # fmt: skip
        return tuple(sorted(found, key=lambda one: one.position))

    def _one(self, said: Mapping[str, list[Any]], term: str) -> str:
        values = said.get(full(term), ())
        return str(values[0].value) if values else ""

    def _lists(self, key: str, order: str) -> dict[str, list[object]]:
        try:
            found = json.loads(order) if order else {}
            return {name: list(values) for name, values in dict(found).items()}
        except (ValueError, TypeError, RecursionError):
            self._note("", key, "has an order of lists that cannot be read", Weight.QUERY)
            return {}

    def _body(
        self,
        kind: KindTerm,
        key: str,
        said: Mapping[str, list[Any]],
        order: Mapping[str, Any],
    ) -> dict[str, object]:
        body: dict[str, object] = {}
        for field in kind.fields.values():
            given = said.get(full(field.term), ())
            values = [self._value(kind, field, key, one) for one in given]
            values = [one for one in values if one is not None]
            if not values:
                continue
            if field.many:
                body[field.name] = _in_order(values, order.get(field.name))
            elif len(values) == 1:
                body[field.name] = values[0]
            else:
                heads = f"has {len(values)} values in '{field.label}', which holds one"
                self._note(kind.kind, key, heads)
        return body

    def _value(self, kind: KindTerm, field: FieldTerm, key: str, value: Any) -> object:
        said = str(value.value)
        if field.value == "record":
            found = self.keys.get(said) or key_in(said)
            if found is None:
                self._note(kind.kind, key, f"names {said}, which is no record")
            return found
        if field.value == "word":
            word = words_by_iri().get(said)
            if word is None:
                self._note(kind.kind, key, f"has {said} in '{field.label}', no word of it")
            return word
        if field.value == "yes or no":
            return {"true": True, "1": True, "false": False, "0": False}.get(said, said)
        if field.value == "whole number":
            return int(said) if said.lstrip("-").isdigit() else said
        return said

    def _invalid(
        self, kind: KindTerm, key: str, body: Mapping[str, object], wrong: Exception
    ) -> None:
        if not isinstance(wrong, ValidationError):
            self._note(kind.kind, key, f"cannot be read: {wrong}")
            return
        model = KINDS[kind.kind]
        number = str(body.get("number") or key)
        for detail in wrong.errors(include_url=False):
            name = str(detail["loc"][0]) if detail["loc"] else ""
            head = head_of(name, model.model_fields[name]) if name else ""
            said = str(detail.get("ctx", {}).get("error", "")) or detail["msg"]
            place = Place(self.file, model.sheet, 0, head)
            self.problems.append(
                Problem("unreadable", f"{kind.kind} {number}: {said}", "", place)
            )

    def _note(self, kind: str, key: str, wrong: str, weight: Weight = Weight.ERROR) -> None:
        sheet = KINDS[kind].sheet if kind else ""
        place = Place(self.file, sheet)
        self.problems.append(
            Problem("unreadable", f"{kind or 'record'} {key} {wrong}", "", place, weight)
        )


def _in_order(values: list[Any], order: Any) -> list[Any]:
    """Values in the order that was written beside them; sorted where that does not fit."""
    if isinstance(order, list) and set(map(str, order)) == set(map(str, values)):
        return order
    return sorted(values, key=str)


def _milliseconds(moment: str) -> int:
    """A record time back in milliseconds since 1970.

    Raises:
        BadValue: no such time.
    """
    try:
        when = datetime.datetime.fromisoformat(moment.replace("Z", "+00:00"))
    except ValueError:
        raise BadValue(f"'{moment}' is no time such as 2026-01-31T12:00:00.000Z") from None
    return round(when.timestamp() * 1000)
