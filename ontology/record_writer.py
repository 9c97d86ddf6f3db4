"""Writes records: field by field in own properties, and in published words.

The first is read back without loss; the second is what others understand. A closed record
leaves nothing but that it is there and whom to ask.
"""

import datetime
import json
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass

from vestige.graph.record import Element, Measure
from vestige.graph.state import Held, State

from .mapping import FieldTerm, KindTerm, Path, classes_of, kind_terms
from .term import concept, named, node, text, typed
from .time_span import span_of

Triple = tuple[str, str, str]
TYPE = named("rdf:type")
NOTICE = "restricted: ask "
BOUND_OF = {
    "ves:beginning": "crm:P82a_begin_of_the_begin",
    "ves:end": "crm:P82b_end_of_the_end",
}


@dataclass(frozen=True, slots=True)
class Written:
    """What one record says, with the graph that it is said in.

    Attributes:
        graph: IRI of the record's entry, as N-Triples writes it.
        triples: what it says, sorted, each once.
    """

    graph: str
    triples: tuple[Triple, ...]


def write_state(state: State, keys: Iterable[str] | None = None) -> Iterator[Written]:
    """Write the records of a state, in the order in which they were said.

    Args:
        state: as the reader may see it; what is closed there is written as closed.
        keys: the records to write; None for all.
    """
    chosen = list(state if keys is None else keys)
    held = sorted((state.held(key) for key in chosen), key=lambda one: (one.seq, one.key))
    for rank, one in enumerate(held, 1):
        yield write_record(state, one, rank)


def write_record(state: State, held: Held, rank: int) -> Written:
    """Write one record; ``rank`` is its place in the order of saying."""
    entry = f"<{node(held.key)}#record>"
    body = held.record.body()
    ask = closed_for(body)
    said = set(_entry(held, entry, rank, body, ask))
    if not ask:
        said.update(_Writing(state, kind_terms()[held.record.kind], held, body).triples())
    return Written(entry, tuple(sorted(said)))


def closed_for(body: Mapping[str, object]) -> str:
    """Whom to ask for a record whose content is closed; empty where it is open."""
    for value in body.values():
        if isinstance(value, str) and value.startswith(NOTICE):
            return value.removeprefix(NOTICE)
    return ""


def moment(at: int) -> str:
    """A record time, milliseconds since 1970, as xsd:dateTime in UTC."""
    when = datetime.datetime.fromtimestamp(at / 1000, datetime.UTC)
    return typed(when.isoformat(timespec="milliseconds")[:-6] + "Z", "xsd:dateTime")


def _entry(
    held: Held, entry: str, rank: int, body: Mapping[str, object], ask: str
) -> Iterator[Triple]:
    yield entry, TYPE, named("ves:Record")
    yield entry, TYPE, named("prov:Entity")
    yield entry, named("ves:key"), text(held.key)
    yield entry, named("ves:states"), f"<{node(held.key)}>"
    yield entry, named("ves:sequence"), typed(str(rank), "xsd:integer")
    if ask:
        yield entry, named("ves:restricted"), text(ask)
        return
    yield entry, named("prov:generatedAtTime"), moment(held.at)
    yield entry, named("ves:recorded_by"), text(held.by)
    lists = {
        name: value
        for name, value in body.items()
        if isinstance(value, list) and len(value) > 1
    }
    if lists:
        ordered = json.dumps(lists, ensure_ascii=False, sort_keys=True)
        yield entry, named("ves:list_order"), text(ordered)


class _Writing:
    """One record on its way into triples."""

    def __init__(
        self, state: State, kind: KindTerm, held: Held, body: Mapping[str, object]
    ) -> None:
        self.state, self.kind, self.body = state, kind, body
        self.me = f"<{node(held.key)}>"
        self.base = node(held.key)
        self.label = held.record.label()
        self.classes = classes_of(kind, dict(body))

    def triples(self) -> Iterator[Triple]:
        for cls in self.classes:
            yield self.me, TYPE, named(cls)
        yield self.me, named("rdfs:label"), text(self.label)
        for name, value in self.body.items():
            field = self.kind.fields[name]
            values = value if isinstance(value, list) else [value]
            for place, one in enumerate(values, 1):
                nth = f".{place}" if isinstance(value, list) else ""
                yield self.me, named(field.term), self._own(field, one)
                if field.value == "word":
                    yield from word_triples(field.words, str(one))
                for path in field.paths:
                    if self._fits(path, field, one):
                        yield from self._walk(path, field, one, nth)

    def _own(self, field: FieldTerm, value: object) -> str:
        if field.value == "record":
            return f"<{node(str(value))}>"
        if field.value == "word":
            return f"<{concept(field.words, str(value))}>"
        if field.value == "date":
            return typed(str(value), "edtf:EDTF")
        if isinstance(value, bool):
            return typed("true" if value else "false", "xsd:boolean")
        if isinstance(value, int):
            return typed(str(value), "xsd:integer")
        return text(str(value))

    def _fits(self, path: Path, field: FieldTerm, value: object) -> bool:
        if path.words and not path.words & {
            str(self.body.get(sort.field)) for sort in self.kind.sorts
        }:
            return False
        return not path.to or self._kind_of(str(value)) in path.to

    def _kind_of(self, key: str) -> str:
        """The kind of a record that is named; of an element, its sort."""
        if key not in self.state:
            return ""
        record = self.state.held(key).record
        return str(record.sort) if isinstance(record, Element) else record.kind

    def _walk(
        self, path: Path, field: FieldTerm, value: object, nth: str
    ) -> Iterator[Triple]:
        at = self.me
        for step in path.steps[:-1]:
            there = f"<{self.base}#{step.node}{nth}>"
            yield at, named(step.property), there
            yield there, TYPE, named(step.cls)
            at = there
        last = path.steps[-1].property
        if last == "crm:P4_has_time-span":
            yield from self._span(at, field, str(value), nth)
        elif last == "crm:P43_has_dimension":
            yield from self._dimensions(at, field, str(value), nth)
        elif path.spelt:
            yield at, named(last), text(path.spelt[str(value)])
        else:
            yield at, named(last), self._own(field, value)
            if last in BOUND_OF:  # one end of a span that two fields give
                outer = named(BOUND_OF[last])
                for prop, bound in span_of(str(value)):
                    if prop == outer:
                        yield at, prop, bound

    def _span(self, at: str, field: FieldTerm, value: str, nth: str) -> Iterator[Triple]:
        there = f"<{self.base}#{field.name}{nth}>"
        yield at, named("crm:P4_has_time-span"), there
        yield there, TYPE, named("crm:E52_Time-Span")
        for prop, bound in span_of(value):
            yield there, prop, bound

    def _dimensions(
        self, at: str, field: FieldTerm, value: str, nth: str
    ) -> Iterator[Triple]:
        measure = Measure.parse(value)
        for place, size in enumerate(measure.magnitudes, 1):
            there = f"<{self.base}#{field.name}{nth}-{place}>"
            unit = named("voc:unit-" + _unit_name(measure.unit))
            yield at, named("crm:P43_has_dimension"), there
            yield there, TYPE, named("crm:E54_Dimension")
            yield there, named("crm:P3_has_note"), text(value)
            yield there, named("crm:P90_has_value"), _decimal(size)
            yield there, named("crm:P91_has_unit"), unit
            yield unit, TYPE, named("crm:E58_Measurement_Unit")
            yield unit, named("rdfs:label"), text(measure.unit)


def word_triples(words: str, word: str) -> Iterator[Triple]:
    """What is said of a word wherever it is used: enough to be read without the list."""
    me = f"<{concept(words, word)}>"
    yield me, TYPE, named("skos:Concept")
    yield me, TYPE, named("crm:E55_Type")
    yield me, named("skos:prefLabel"), text(word) + "@en"
    yield me, named("skos:inScheme"), named(f"voc:{words}")


def _unit_name(unit: str) -> str:
    return "".join(
        one if one.isalnum() and one.isascii() else f"-{ord(one):x}-" for one in unit
    )


def _decimal(number: float) -> str:
    plain = repr(number)
    if "e" in plain:
        return typed(plain, "xsd:double")
    return typed(plain, "xsd:decimal")
