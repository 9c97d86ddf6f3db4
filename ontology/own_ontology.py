"""Our own ontology, made from the mapping table: Turtle, JSON-LD context, and a page.

Each class and property has a label, a definition and what stands above it in CIDOC CRM,
CRMsci, CRMinf or PROV-O. Nothing here says more than the table and the nouns do.
"""

from collections.abc import Iterator

from .mapping import (
    FieldTerm,
    KindTerm,
    Path,
    full,
    kind_terms,
    own_terms,
    prefixes,
    table,
)
from .term import text

DATATYPES = {
    "date": "edtf:EDTF",
    "whole number": "xsd:integer",
    "yes or no": "xsd:boolean",
    "measure": "xsd:string",
    "text": "xsd:string",
}
"""Datatype of the literal that holds a field's value."""


def ontology_turtle() -> str:
    """The ontology in Turtle, in the order of the nouns."""
    lines = [f"@prefix {name}: <{iri}> ." for name, iri in sorted(prefixes().items())]
    lines += ["", *_head()]
    for own in own_terms():
        kind = "rdfs:Class" if own.is_class else "rdf:Property"
        above = "rdfs:subClassOf" if own.is_class else "rdfs:subPropertyOf"
        said = [f"a {kind}", *(f"{above} {one}" for one in own.parents)]
        said += [f"rdfs:domain {own.domain}"] if own.domain else []
        said += [f"rdfs:range {own.range}"] if own.range else []
        if not own.is_class and not own.range:
            said.append("rdfs:range rdfs:Literal")
        lines += _term(own.term, said, own.label, own.definition)
    for kind_term in kind_terms().values():
        lines += _class(kind_term)
        for field in kind_term.fields.values():
            lines += _property(kind_term, field)
    return "\n".join(lines) + "\n"


def _head() -> list[str]:
    return [
        f"<{full('ves:').rstrip('#')}> a owl:Ontology ;",
        f"    rdfs:label {text('Vestige: composite museum objects')}@en ;",
        f"    rdfs:comment {text('Extends ' + table()['standards'] + '.')}@en ;",
        f"    owl:versionInfo {text(table()['version'])} .",
        "",
    ]


def _term(term: str, said: list[str], label: str, definition: str) -> list[str]:
    every = [
        *said,
        f"rdfs:label {text(label)}@en",
        f"skos:definition {text(definition)}@en",
    ]
    return [term + " " + " ;\n    ".join(every) + " .", ""]


def _class(kind: KindTerm) -> list[str]:
    said = ["a rdfs:Class", *(f"rdfs:subClassOf {one}" for one in kind.parents)]
    return _term(kind.term, said, kind.label, kind.definition)


def _property(kind: KindTerm, field: FieldTerm) -> list[str]:
    said = ["a rdf:Property", f"rdfs:subPropertyOf {field.parent}"]
    said += [f"rdfs:domain {kind.term}", f"rdfs:range {_range(field)}"]
    return _term(field.term, said, field.label, field.definition)


def _range(field: FieldTerm) -> str:
    if field.value == "record":
        kinds = kind_terms()
        only = field.points_to[0] if len(field.points_to) == 1 else ""
        return kinds[only].term if only else "crm:E1_CRM_Entity"
    return "crm:E55_Type" if field.value == "word" else "rdfs:Literal"


def context() -> dict[str, object]:
    """The JSON-LD context: prefixes, and how each own property is to be read.

    It is written into every file, so that nothing has to be fetched.
    """
    found: dict[str, object] = dict(sorted(prefixes().items()))
    for kind in kind_terms().values():
        for field in kind.fields.values():
            if field.value in ("record", "word"):
                found[field.term] = {"@type": "@id"}
            elif field.value not in {"text", "measure"}:
                found[field.term] = {"@type": DATATYPES[field.value]}
    return found


def ontology_page() -> str:
    """The mapping as a page for people, in Markdown."""
    lines = [
        "# How Vestige stands in published words",
        "",
        f"Version {table()['version']}; {table()['standards']}. Made from "
        "`ontology/mapping.toml`; do not edit.",
        "",
        "A record is written twice over: field by field in own properties, from which it",
        "can be read back without loss, and in the published words that its fields have.",
        "`A > B#x > C` reads: property A to a node of class B, property C from there.",
        "",
    ]
    for kind in kind_terms().values():
        lines += _kind_lines(kind)
    lines += ["## Own terms beside the nouns", ""]
    lines += [
        f"* `{one.term}` ({', '.join(one.parents)}): {one.definition}"
        for one in own_terms()
    ]
    return "\n".join(lines) + "\n"


def _kind_lines(kind: KindTerm) -> Iterator[str]:
    yield f"## {kind.label}: {kind.definition}"
    yield ""
    yield f"Class `{kind.term}`, a kind of {', '.join(f'`{one}`' for one in kind.parents)}."
    for sort in kind.sorts:
        held = "is empty" if sort.absent else "is " + " or ".join(sorted(sort.words))
        held = held if sort.absent or sort.words else "holds anything"
        also = ", ".join(f"`{one}`" for one in sort.classes)
        yield f"Where *{sort.field}* {held}: also {also}."
    yield ""
    yield "| field | own property | above it | in published words |"
    yield "|---|---|---|---|"
    for field in kind.fields.values():
        paths = "<br>".join(_path_words(one) for one in field.paths) or "own property only"
        yield f"| {field.label} | `{field.term}` | `{field.parent}` | {paths} |"
    yield ""


def _path_words(path: Path) -> str:
    steps = " > ".join(
        f"{step.property} > {step.cls}#{step.node}" if step.cls else step.property
        for step in path.steps
    )
    when = f" where it is {' or '.join(sorted(path.words))}" if path.words else ""
    to = f", to {' or '.join(sorted(path.to))}" if path.to else ""
    return f"`{steps}`{when}{to}"
