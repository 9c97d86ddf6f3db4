"""The mapping table: how each noun and field of Vestige stands in published words.

The table is ``mapping.toml``; labels, definitions and kinds of value come from the nouns of
``vestige.graph.record``. A noun or field that the table does not mention still has its own
class or property and is written without loss; it only has no closer parent.
"""

import tomllib
from dataclasses import dataclass, field
from functools import cache
from importlib.resources import files
from types import UnionType
from typing import Any, Literal, Union, get_args, get_origin

from vestige.graph.errors import BadValue
from vestige.graph.record import KINDS, Edtf, Measure, Record, pointing_fields
from vestige.graph.record.record import is_list, word_list

Value = Literal["record", "word", "date", "measure", "whole number", "yes or no", "text"]


@dataclass(frozen=True, slots=True)
class Step:
    """One step of a path: a property, and the node it leads to.

    Attributes:
        property: as ``prefix:name``.
        cls: class of the node; empty at the end of a path.
        node: name of the node, unique among those of one record; empty at the end.
    """

    property: str
    cls: str = ""
    node: str = ""


@dataclass(frozen=True, slots=True)
class Path:
    """What a field says in published words.

    Attributes:
        steps: from the record outwards; the last one ends at the field's value.
        words: written only where the noun's class field holds one of these; empty: always.
        to: written only to things of these kinds (of elements: sorts); empty: to all.
        parent: whether the field's own property is a subproperty of the one step.
        spelt: what stands for a word at the end of the path; empty: its concept.
    """

    steps: tuple[Step, ...]
    words: frozenset[str] = frozenset()
    to: frozenset[str] = frozenset()
    parent: bool = False
    spelt: dict[str, str] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class Sort:
    """Classes that a record has beside that of its noun.

    Attributes:
        field: field that decides.
        words: for these words; empty: whatever it holds.
        absent: True: where the field is empty.
        classes: as ``prefix:name``.
    """

    field: str
    words: frozenset[str]
    absent: bool
    classes: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class FieldTerm:
    """One field of a noun.

    Attributes:
        name: name of the field.
        term: own property, as ``prefix:name``.
        value: what it holds.
        many: whether it may hold several.
        needed: whether a record without it cannot be.
        label, definition: head and note of its column.
        points_to: kinds that it may name.
        words: name of the list that its word is from; empty where it is from none.
        parent: property above its own.
        paths: what it says in published words.
    """

    name: str
    term: str
    value: Value
    many: bool
    needed: bool
    label: str
    definition: str
    points_to: tuple[str, ...]
    words: str
    parent: str
    paths: tuple[Path, ...]


@dataclass(frozen=True, slots=True)
class KindTerm:
    """One noun.

    Attributes:
        kind: word by which the ledger knows it.
        term: own class, as ``prefix:name``.
        label, definition: what it is.
        parents: classes above its own.
        sorts: further classes, by what a field holds.
        fields: its fields, by name.
    """

    kind: str
    term: str
    label: str
    definition: str
    parents: tuple[str, ...]
    sorts: tuple[Sort, ...]
    fields: dict[str, FieldTerm]


@dataclass(frozen=True, slots=True)
class OwnTerm:
    """A class or property of our own that belongs to no noun."""

    term: str
    is_class: bool
    parents: tuple[str, ...]
    domain: str
    range: str
    label: str
    definition: str


@cache
def table() -> dict[str, Any]:
    """The table as it stands in the file."""
    text = files(__package__).joinpath("mapping.toml").read_text(encoding="utf-8")
    return tomllib.loads(text)


@cache
def prefixes() -> dict[str, str]:
    """Namespaces by prefix."""
    return dict(table()["prefix"])


@cache
def full(term: str) -> str:
    """The IRI of a term.

    >>> full("crm:E22_Human-Made_Object")
    'http://www.cidoc-crm.org/cidoc-crm/E22_Human-Made_Object'

    Raises:
        BadValue: the prefix is not in the table.
    """
    prefix, _, name = term.partition(":")
    try:
        return prefixes()[prefix] + name
    except KeyError:
        raise BadValue(f"'{term}' has a prefix that the table does not know") from None


def short(iri: str) -> str:
    """An IRI as ``prefix:name`` where the table knows its namespace; else as it is."""
    for prefix, namespace in prefixes().items():
        if iri.startswith(namespace):
            return f"{prefix}:{iri[len(namespace) :]}"
    return iri


@cache
def kind_terms() -> dict[str, KindTerm]:
    """Every noun by its kind."""
    return {kind: _kind(kind, model) for kind, model in KINDS.items()}


@cache
def own_terms() -> tuple[OwnTerm, ...]:
    """Own terms that belong to no noun."""
    return tuple(
        OwnTerm(
            f"ves:{row['name']}",
            bool(row.get("class")),
            tuple(row["parents"]),
            row.get("domain", ""),
            row.get("range", ""),
            row["label"],
            row["definition"],
        )
        for row in table()["own"]
    )


def _kind(kind: str, model: type[Record]) -> KindTerm:
    sorts = [
        Sort(
            row["field"],
            frozenset(row.get("words", ())),
            bool(row.get("absent")),
            tuple(row["classes"]),
        )
        for row in table()["sort"]
        if row["kind"] == kind
    ]
    return KindTerm(
        kind,
        f"ves:{model.__name__}",
        kind,
        model.meaning,
        tuple(table()["class"].get(kind, ["crm:E1_CRM_Entity"])),
        tuple(sorts),
        {name: _field(kind, model, name) for name in model.model_fields},
    )


def _field(kind: str, model: type[Record], name: str) -> FieldTerm:
    info = model.model_fields[name]
    points = pointing_fields(model).get(name)
    words = word_list(info)
    value = "record" if points else "word" if words else _value_of(info.annotation)
    paths = _paths(kind, name)
    above = next((one.steps[0].property for one in paths if one.parent), "")
    return FieldTerm(
        name,
        f"ves:{kind}_{name}",
        value,
        is_list(info),
        info.is_required(),
        info.title or name,
        info.description or info.title or name,
        points.to if points else (),
        words.__name__ if words else "",
        above or _usual_parent(value),
        paths,
    )


def _usual_parent(value: Value) -> str:
    return {"record": "ves:names", "word": "crm:P2_has_type"}.get(value, "crm:P3_has_note")


def _value_of(annotation: Any) -> Value:
    if get_origin(annotation) in (Union, UnionType, tuple):
        inner = [one for one in get_args(annotation) if one not in (type(None), ...)]
        annotation = inner[0] if inner else str
        if get_origin(annotation) is tuple:
            return _value_of(annotation)
    known: dict[Any, Value] = {
        Edtf: "date", Measure: "measure", int: "whole number", bool: "yes or no",
    }  # fmt: skip
    return known.get(annotation, "text")


def _paths(kind: str, name: str) -> tuple[Path, ...]:
    return tuple(
        Path(
            read_path(row["path"]),
            frozenset(row.get("words", ())),
            frozenset(row.get("to", ())),
            bool(row.get("parent")),
            dict(row.get("as", {})),
        )
        for row in table()["path"]
        if row["field"] == name and (kind in row["kinds"] or row["kinds"] == ["*"])
    )


def read_path(text: str) -> tuple[Step, ...]:
    """The steps of a path as the table writes it.

    >>> [step.property for step in read_path("crm:P1 > crm:E42#number > crm:P190")]
    ['crm:P1', 'crm:P190']
    """
    parts = [one.strip() for one in text.split(">")]
    steps = []
    for place in range(0, len(parts), 2):
        cls, _, node = (
            parts[place + 1].partition("#") if place + 1 < len(parts) else ("",) * 3
        )
        steps.append(Step(parts[place], cls, node))
    return tuple(steps)


def classes_of(term: KindTerm, body: dict[str, Any]) -> tuple[str, ...]:
    """Classes of one record: that of its noun, those above, and those of its sort."""
    classes = [term.term, *term.parents]
    for sort in term.sorts:
        held = body.get(sort.field)
        fits = held in sort.words if sort.words else held is not None
        if (held is None) if sort.absent else fits:
            classes += sort.classes
    return tuple(dict.fromkeys(classes))
