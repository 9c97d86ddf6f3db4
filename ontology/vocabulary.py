"""The word lists as SKOS, with scope notes, matches and sources; and the museum's own.

An institution adds to them in ``vocabulary.ttl`` in the archive's folder: other labels and
languages, narrower concepts, matches with thesauri. It adds to the lists and never changes
what a word of ours means.
"""

import tomllib
from collections.abc import Iterator
from functools import cache
from importlib.resources import files
from pathlib import Path
from typing import Any, Final

from vestige.graph.errors import Refused
from vestige.graph.record import KINDS, Relation, evidence_guide
from vestige.graph.record.record import word_list
from vestige.graph.record.word import SYNONYMS

from .mapping import full, prefixes, short
from .rdf_file import library, read_quads
from .record_writer import TYPE, Triple, Written
from .term import concept, named, text

OWN_FILE: Final = "vocabulary.ttl"
LARGEST: Final = 100_000
MATERIAL: Final = "Material"


@cache
def _notes() -> dict[str, Any]:
    read = files(__package__).joinpath("vocabulary.toml").read_text(encoding="utf-8")
    return tomllib.loads(read)


@cache
def word_lists() -> dict[str, tuple[str, ...]]:
    """Every closed list by its name; and the materials that the table knows."""
    found: dict[str, tuple[str, ...]] = {}
    for model in KINDS.values():
        for info in model.model_fields.values():
            words = word_list(info)
            if words is not None:
                found[words.__name__] = tuple(str(one) for one in words)
    return found | {MATERIAL: tuple(_notes()["match"][MATERIAL])}


def vocabulary_triples() -> Iterator[Triple]:
    """The lists as SKOS."""
    for name, words in word_lists().items():
        scheme = named(f"voc:{name}")
        yield scheme, TYPE, named("skos:ConceptScheme")
        title = _notes()["scheme"].get(name, name)
        yield scheme, named("skos:prefLabel"), text(title) + "@en"
        yield scheme, named("skos:note"), text("Source: " + _notes()["source"]) + "@en"
        for word in words:
            me = f"<{concept(name, word)}>"
            yield me, TYPE, named("skos:Concept")
            yield (
                me,
                TYPE,
                named("crm:E57_Material" if name == MATERIAL else "crm:E55_Type"),
            )
            yield me, named("skos:inScheme"), scheme
            yield scheme, named("skos:hasTopConcept"), me
            yield me, named("skos:prefLabel"), text(word) + "@en"
            for prop, said in (*_scope(name, word), *_synonyms(name, word)):
                yield me, named(prop), text(said) + "@en"
            yield from _match(me, name, word)


def _scope(name: str, word: str) -> Iterator[tuple[str, str]]:
    note = _notes()["note"].get(name, {}).get(word)
    if note:
        yield "skos:scopeNote", note
    if name != Relation.__name__:
        return
    for kind in evidence_guide():
        if word in kind.relations:
            yield "skos:note", f"{kind.name}. It misleads: {'; '.join(kind.pitfalls)}."
            yield "skos:note", f"Source: {kind.basis}"


def _synonyms(name: str, word: str) -> Iterator[tuple[str, str]]:
    for words, others in SYNONYMS.items():
        if words.__name__ == name:
            yield from (("skos:altLabel", one) for one, to in others.items() if to == word)


def _match(me: str, name: str, word: str) -> Iterator[Triple]:
    found = _notes()["match"].get(name, {}).get(word)
    if found:
        how, number, _label = found
        yield me, named(f"skos:{how}Match"), named(f"aat:{number}")


def written_vocabulary() -> Written:
    """The lists, in a graph of their own."""
    return Written(named("voc:"), tuple(sorted(set(vocabulary_triples()))))


def own_vocabulary(folder: Path) -> Written | None:
    """What the institution added; None where it added nothing.

    Raises:
        BadValue: the file cannot be read.
        Refused: it says something that is no vocabulary, or changes a word of ours.
    """
    path = folder / OWN_FILE
    if not path.is_file():
        return None
    if path.stat().st_size > LARGEST * 100:
        raise Refused(f"{OWN_FILE} is larger than a vocabulary")
    triples = []
    for quad in read_quads(path):
        _refuse_change(quad)
        triples.append((str(quad.subject), str(quad.predicate), str(quad.object)))
    return Written(f"<{full('voc:')}own>", tuple(sorted(set(triples))))


def _refuse_change(quad: Any) -> None:
    prop = short(quad.predicate.value)
    subject = getattr(quad.subject, "value", "")
    if str(quad.subject).startswith("_:") or str(quad.object).startswith("_:"):
        raise Refused(f"{OWN_FILE}: every concept needs a name of its own (an IRI)")
    if not prop.startswith("skos:") and prop not in ("rdf:type", "rdfs:label"):
        raise Refused(f"{OWN_FILE}: {prop} is no property of a vocabulary (SKOS)")
    ours = {concept(name, word) for name, words in word_lists().items() for word in words}
    language = getattr(quad.object, "language", None)
    if subject in ours and prop == "skos:prefLabel" and language in (None, "en"):
        raise Refused(
            f"{OWN_FILE}: the English word of {short(subject)} is fixed, since records are "
            "kept by it; add yours as skos:altLabel, or in another language"
        )


def vocabulary_turtle(folder: Path | None = None) -> str:
    """The lists in Turtle, with what the institution added where a folder is given."""
    own = own_vocabulary(folder) if folder else None
    every = {*written_vocabulary().triples, *(own.triples if own else ())}
    lib = library()
    lines = "".join(f"{s} {p} {o} .\n" for s, p, o in sorted(every))
    parsed = lib.parse(lines, format=lib.RdfFormat.N_TRIPLES)
    out: bytes = lib.serialize(parsed, format=lib.RdfFormat.TURTLE, prefixes=prefixes())
    return out.decode()
