"""Files of triples: written the same to the byte each time, read within bounds.

N-Quads is the form of record; TriG, Turtle and JSON-LD are made from it. Nothing is ever
fetched: a context that a JSON-LD file names but does not hold is refused.
"""

import contextlib
import io
import json
from collections.abc import Iterable, Iterator
from pathlib import Path
from typing import TYPE_CHECKING, Any, Final

from vestige.graph.errors import BadValue, Refused

from .mapping import prefixes, short
from .own_ontology import context
from .record_writer import Written

if TYPE_CHECKING:
    import pyoxigraph

FORMATS: Final = {
    "turtle": ".ttl",
    "trig": ".trig",
    "nquads": ".nq",
    "jsonld": ".jsonld",
}
"""Names of the forms, and the ending of their files."""

ENDINGS: Final = {
    ".ttl": "TURTLE", ".nt": "N_TRIPLES", ".nq": "N_QUADS", ".trig": "TRIG",
    ".jsonld": "JSON_LD", ".json": "JSON_LD", ".rdf": "RDF_XML", ".owl": "RDF_XML",
    ".xml": "RDF_XML",
}  # fmt: skip

LARGEST_FILE: Final = 2_000_000_000
MOST_QUADS: Final = 5_000_000
"""Some half a kilobyte of memory each (measured), and as much again to read records."""
DEEPEST: Final = 200
LONGEST_LITERAL: Final = 1_000_000


def library() -> Any:
    """pyoxigraph, or a sentence on how to get it.

    Raises:
        Refused: it is not installed.
    """
    try:
        import pyoxigraph
    except ImportError:
        raise Refused(
            "linked data needs two more libraries: install Vestige with the extra 'linked' "
            "(pip install 'vestige[linked]')"
        ) from None
    return pyoxigraph


def nquads(written: Iterable[Written]) -> str:
    """Every triple in the graph of its record, one line each, in order."""
    return "".join(
        f"{s} {p} {o} {one.graph} .\n" for one in written for s, p, o in one.triples
    )


def ntriples(written: Iterable[Written]) -> str:
    """Every triple once, without its graph, in order."""
    return "".join(
        sorted({f"{s} {p} {o} .\n" for one in written for s, p, o in one.triples})
    )


def serialized(written: Iterable[Written], form: str) -> bytes:
    """What was written, in one of `FORMATS`; the same records give the same bytes.

    Raises:
        BadValue: there is no such form.
    """
    if form not in FORMATS:
        raise BadValue(f"'{form}' is no form; the forms are {', '.join(FORMATS)}")
    if form == "nquads":
        return nquads(written).encode()
    if form == "jsonld":
        return _json_ld(written)
    lib = library()
    if form == "turtle":
        quads = lib.parse(ntriples(written), format=lib.RdfFormat.N_TRIPLES)
        to = lib.RdfFormat.TURTLE
    else:
        quads = lib.parse(nquads(written), format=lib.RdfFormat.N_QUADS)
        to = lib.RdfFormat.TRIG
    out: bytes = lib.serialize(quads, format=to, prefixes=prefixes())
    return out


def _json_ld(written: Iterable[Written]) -> bytes:
    """JSON-LD with its context inside; one graph for each record."""
    lib = library()
    graphs = []
    for one in written:
        nodes: dict[str, dict[str, Any]] = {}
        lines = "".join(f"{s} {p} {o} .\n" for s, p, o in one.triples)
        for quad in lib.parse(lines, format=lib.RdfFormat.N_TRIPLES):
            subject = nodes.setdefault(
                quad.subject.value, {"@id": short(quad.subject.value)}
            )
            _add(subject, quad.predicate.value, quad.object, lib)
        name = short(one.graph.strip("<>"))
        graphs.append({"@id": name, "@graph": list(nodes.values())})
    document = {"@context": context(), "@graph": graphs}
    return (json.dumps(document, ensure_ascii=False, indent=1) + "\n").encode()


def _add(subject: dict[str, Any], predicate: str, value: Any, lib: Any) -> None:
    term = short(predicate)
    if term == "rdf:type":
        subject.setdefault("@type", []).append(short(value.value))
        return
    held = subject.setdefault(term, [])
    held.append(_node_or_value(value, lib))


def _node_or_value(value: Any, lib: Any) -> dict[str, str]:
    if not isinstance(value, lib.Literal):
        return {"@id": short(value.value)}
    if value.language:
        return {"@value": value.value, "@language": value.language}
    kind = short(value.datatype.value)
    return (
        {"@value": value.value}
        if kind == "xsd:string"
        else {
            "@value": value.value,
            "@type": kind,
        }
    )


def read_quads(path: Path) -> "list[pyoxigraph.Quad]":
    """Every quad of a file, within bounds.

    Raises:
        BadValue: it cannot be read; the text says where.
        Refused: it is too large, or asks for something to be fetched.
    """
    ending = ENDINGS.get(path.suffix.casefold())
    if ending is None:
        raise BadValue(f"{path.name}: the ending is none of {', '.join(sorted(ENDINGS))}")
    if path.stat().st_size > LARGEST_FILE:
        raise Refused(f"{path.name} has more than {LARGEST_FILE:,} bytes")
    data = path.read_bytes()
    return list(parsed(data, ending, path.name))


def parsed(data: bytes, form: str, name: str) -> "Iterator[pyoxigraph.Quad]":
    """Quads of some bytes; ``form`` is a name of pyoxigraph's ``RdfFormat``.

    Raises:
        BadValue, Refused: as `read_quads`.
    """
    lib = library()
    if form == "JSON_LD":
        _refuse_context(data, name)
    if form == "RDF_XML":
        _refuse_entities(data, name)
    try:
        quads = lib.parse(
            io.BytesIO(data), format=getattr(lib.RdfFormat, form), base_iri="urn:x-file:"
        )
        for count, quad in enumerate(quads, 1):
            if count > MOST_QUADS:
                raise Refused(
                    f"{name} holds more than {MOST_QUADS:,} statements; divide it"
                )
            value = getattr(quad.object, "value", "")
            if len(value) > LONGEST_LITERAL:
                raise Refused(
                    f"{name}: statement {count} holds a text of {len(value):,} signs; "
                    f"{LONGEST_LITERAL:,} is the most"
                )
            yield quad
    except (SyntaxError, ValueError, OSError) as wrong:
        if isinstance(wrong, BadValue):
            raise
        where = (
            f", line {wrong.lineno}"
            if isinstance(wrong, SyntaxError) and wrong.lineno
            else ""
        )
        raise BadValue(f"{name}{where} cannot be read as RDF: {wrong}") from None


def _refuse_entities(data: bytes, name: str) -> None:
    """An XML file that declares entities can grow without end or reach for other files."""
    if b"<!ENTITY" in data or b"<!DOCTYPE" in data:
        raise Refused(
            f"{name} declares XML entities, which can grow without end; write the file "
            "again without its document type, or as Turtle"
        )
    deep = _xml_depth(data)
    if deep > DEEPEST:
        raise Refused(f"{name} is nested more than {DEEPEST} deep")


def _xml_depth(data: bytes) -> int:
    """How deep elements are nested, as far as one beyond what is allowed."""
    from xml.parsers import expat

    depth = deepest = 0

    def enter(tag: str, attributes: dict[str, str]) -> None:
        nonlocal depth, deepest
        depth += 1
        deepest = max(deepest, depth)
        if depth > DEEPEST:
            raise _TooDeepError

    def leave(tag: str) -> None:
        nonlocal depth
        depth -= 1

    parser = expat.ParserCreate()
    parser.StartElementHandler, parser.EndElementHandler = enter, leave
    with contextlib.suppress(
        _TooDeepError, expat.ExpatError
    ):  # its reader says what is wrong
        parser.Parse(data, True)
    return deepest


class _TooDeepError(Exception):
    """Ends the walk through a file that is nested too deep."""


def _refuse_context(data: bytes, name: str) -> None:
    """A context that would have to be fetched, or a structure without an end."""
    for where, found in _contexts(loaded(data, name)):
        if isinstance(found, str):
            raise Refused(
                f"{name}: {where} names the context {found}, which would have to be "
                "fetched; Vestige fetches nothing. Put the context into the file"
            )


def loaded(data: bytes, name: str) -> Any:
    """JSON that is not nested without end.

    Raises:
        BadValue: no JSON.
        Refused: nested more than `DEEPEST` deep.
    """
    deep = _depth(data)
    if deep > DEEPEST:
        raise Refused(f"{name} is nested {deep} deep; {DEEPEST} is the most")
    try:
        return json.loads(data)
    except ValueError as wrong:
        raise BadValue(f"{name} is no JSON: {wrong}") from None


def _depth(data: bytes) -> int:
    """How deep brackets are nested, those inside texts left out."""
    deepest = depth = 0
    inside = skip = False
    for sign in data:
        if skip:
            skip = False
        elif inside:
            skip = sign == 0x5C
            inside = sign != 0x22
        elif sign == 0x22:
            inside = True
        elif sign in b"[{":
            depth += 1
            deepest = max(deepest, depth)
        elif sign in b"]}":
            depth -= 1
    return deepest


def _contexts(value: Any, where: str = "the file") -> Iterator[tuple[str, Any]]:
    """Every context in a JSON-LD document, those inside lists one by one."""
    if isinstance(value, list):
        for one in value:
            yield from _contexts(one, where)
    if not isinstance(value, dict):
        return
    for name, one in value.items():
        if name in ("@context", "@import"):
            for each in one if isinstance(one, list) else [one]:
                yield where, each
        yield from _contexts(one, f"'{name}'")
