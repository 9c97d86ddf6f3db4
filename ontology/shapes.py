"""SHACL shapes, made from the nouns, and what they find, in words for people.

Core constraints only, so that any SHACL engine can use them. The checks are those that a
graph can hold: what a record needs, how often, of what kind a value or a named record is,
which words a list has. What only a whole history shows is found by `vestige check`.
"""

from collections.abc import Iterable, Iterator
from typing import TYPE_CHECKING, Any, Final

from vestige.graph.errors import Refused
from vestige.graph.problem import Place, Problem, Weight
from vestige.graph.record import KINDS
from vestige.graph.record.record import extra_of, word_list

from .mapping import FieldTerm, KindTerm, full, kind_terms, prefixes, short
from .own_ontology import DATATYPES
from .rdf_file import ntriples
from .record_writer import Written
from .term import concept, text

if TYPE_CHECKING:
    import rdflib

SHAPES: Final = "https://w3id.org/vestige/shapes#"
MOST_STATEMENTS: Final = 200_000
"""Statements that are checked in one go; pySHACL needs some 40 s for 370,000 (measured)."""


def shapes_turtle() -> str:
    """The shapes in Turtle: one for each noun, one for the record's entry."""
    lines = [f"@prefix {name}: <{iri}> ." for name, iri in sorted(prefixes().items())]
    lines += [f"@prefix vsh: <{SHAPES}> .", "", *_entry_shape()]
    for kind in kind_terms().values():
        lines += [
            f"vsh:{kind.term[4:]} a sh:NodeShape ;",
            f"    sh:targetClass {kind.term} ;",
        ]
        properties = [_property_shape(kind, field) for field in kind.fields.values()]
        lines += [" ;\n".join(properties) + " .", ""]
    return "\n".join(lines) + "\n"


def _entry_shape() -> Iterator[str]:
    yield "vsh:Record a sh:NodeShape ; sh:targetClass ves:Record ;"
    needed = [
        ("ves:key", "the key of the record is missing, or there are several"),
        ("ves:states", "the entry does not say which record it states"),
        ("ves:sequence", "the place of the record in the order of saying is missing"),
    ]
    yield (
        " ;\n".join(
            f"    sh:property [ sh:path {path} ; sh:minCount 1 ; sh:maxCount 1 ; "
            f"sh:message {text(said)}@en ]"
            for path, said in needed
        )
        + " ."
    )
    yield ""


def _property_shape(kind: KindTerm, field: FieldTerm) -> str:
    said = [f"sh:path {field.term}", f"sh:name {text(field.label)}@en"]
    if field.needed:
        said.append("sh:minCount 1")
    if not field.many:
        said.append("sh:maxCount 1")
    said += _kind_of_value(kind, field)
    said.append(f"sh:message {text(_message(kind, field))}@en")
    return f"    sh:property [ {' ; '.join(said)} ]"


def _kind_of_value(kind: KindTerm, field: FieldTerm) -> list[str]:
    if field.value == "record":
        classes = [kind_terms()[one].term for one in field.points_to]
        if len(classes) == 1:
            return [f"sh:class {classes[0]}"]
        every = " ".join(f"[ sh:class {one} ]" for one in classes)
        return [f"sh:or ( {every} )"]
    if field.value == "word":
        words = word_list(KINDS[kind.kind].model_fields[field.name]) or ()
        return [f"sh:in ( {' '.join(f'<{concept(field.words, one)}>' for one in words)} )"]
    return [f"sh:datatype {DATATYPES[field.value]}"]


def _message(kind: KindTerm, field: FieldTerm) -> str:
    """What would be right, in the words of the sheet."""
    if field.value == "record":
        right = "names a record of these kinds: " + ", ".join(field.points_to)
    elif field.value == "word":
        words = word_list(KINDS[kind.kind].model_fields[field.name]) or ()
        right = "holds one of these words: " + ", ".join(map(str, words))
    else:
        right = f"holds {_plain(field)}"
    often = "once" if field.needed and not field.many else "at most once"
    often = "" if field.many and not field.needed else often
    often = "at least once" if field.many and field.needed else often
    article = "an" if kind.label[0] in "aeiou" else "a"
    tail = f", {often}" if often else ""
    return f"'{field.label}' of {article} {kind.label} {right}{tail}"


def _plain(field: FieldTerm) -> str:
    return {
        "date": "a date in EDTF, such as 1905 or 1770~/1790~",
        "measure": "a measure with its unit, such as 12 mm",
        "whole number": "a whole number",
        "yes or no": "yes or no",
    }.get(field.value, "words")


def check_written(written: Iterable[Written], file: str) -> tuple[Problem, ...]:
    """What the shapes find in written records."""
    return check_triples(ntriples(written), file)


def check_triples(triples: str, file: str) -> tuple[Problem, ...]:
    """What the shapes find in N-Triples; each problem at its sheet, record and field.

    Raises:
        Refused: more statements than are checked in one go, or no SHACL library.
    """
    count = triples.count("\n")
    if count > MOST_STATEMENTS:
        raise Refused(
            f"{count:,} statements are more than the {MOST_STATEMENTS:,} that are checked "
            "in one go; check one object, or its file"
        )
    try:
        import pyshacl
        import rdflib
    except ImportError:
        raise Refused(
            "checking shapes needs pyshacl: install Vestige with the extra 'linked' "
            "(pip install 'vestige[linked]')"
        ) from None
    data = rdflib.Graph()
    data.parse(data=triples, format="nt")
    shapes = rdflib.Graph().parse(data=shapes_turtle(), format="turtle")
    _, found, _ = pyshacl.validate(
        data, shacl_graph=shapes, advanced=False, inference="none", do_owl_imports=False
    )
    return tuple(sorted(set(_problems(found, data, file)), key=str))


def _problems(found: "rdflib.Graph", data: "rdflib.Graph", file: str) -> Iterator[Problem]:
    import rdflib

    sh, ves = rdflib.Namespace(prefixes()["sh"]), rdflib.Namespace(prefixes()["ves"])
    closed = {
        data.value(entry, ves.states) for entry in data.subjects(ves.restricted, None)
    }
    for result in found.subjects(rdflib.RDF.type, sh.ValidationResult):
        focus = found.value(result, sh.focusNode)
        path = short(str(found.value(result, sh.resultPath) or ""))
        kind, number = _who(data, focus)
        field = (
            next((f for f in kind.fields.values() if f.term == path), None)
            if kind
            else None
        )
        sheet = KINDS[kind.kind].sheet if kind else ""
        message = str(found.value(result, sh.resultMessage) or "")
        value = found.value(result, sh.value)
        if value is not None and value in closed:
            continue  # what it is may not be seen, so it cannot be judged
        given = f"; here it holds {_shown(value, data)}" if value is not None else ""
        what = f"{kind.label} {number}" if kind else str(focus)
        yield Problem(
            "shape",
            f"{what}: {message}{given}.",
            _right(kind, field),
            Place(file, sheet, 0, field.label if field else path),
            Weight.ERROR,
        )


def _right(kind: KindTerm | None, field: FieldTerm | None) -> str:
    if kind is None or field is None:
        return ""
    example = extra_of(KINDS[kind.kind].model_fields[field.name]).get("example")
    return f"For example: {example}." if example else ""


def _who(data: "rdflib.Graph", focus: Any) -> tuple[KindTerm | None, str]:
    import rdflib

    classes = {str(one) for one in data.objects(focus, rdflib.RDF.type)}
    for kind in kind_terms().values():
        if full(kind.term) in classes:
            number = data.value(focus, rdflib.URIRef(full(f"ves:{kind.kind}_number")))
            label = data.value(focus, rdflib.RDFS.label)
            return kind, str(number or label or focus)
    return None, ""


def _shown(value: Any, data: "rdflib.Graph") -> str:
    import rdflib

    label = data.value(value, rdflib.RDFS.label) if not hasattr(value, "datatype") else None
    return f"'{label or short(str(value))}'"
