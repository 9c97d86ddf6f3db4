"""Linked Art (JSON) as statements of CIDOC CRM, for the words that the table knows.

The profile's context is never fetched. A word that the table does not know becomes no
statement; it is handed back with the place where it stood, so that nothing drops unseen.
"""

from collections.abc import Iterator
from dataclasses import dataclass, field
from typing import Any, Final

from .mapping import full, table

LABEL: Final = "_label"
HEAD: Final = ("@context", "id", "type")


@dataclass
class Walked:
    """What came of a document.

    Attributes:
        triples: subject and property as IRIs, object as a text pair: its form ("iri" or
            "text") and its value.
        unread: words that the table does not know, each with its place and value.
    """

    triples: list[tuple[str, str, tuple[str, str]]] = field(default_factory=list)
    unread: list[str] = field(default_factory=list)


def is_linked_art(document: Any) -> bool:
    """Whether a JSON document names the profile's context."""
    wanted = table()["linked_art"]["context"]
    named = document.get("@context") if isinstance(document, dict) else None
    return wanted in (named if isinstance(named, list) else [named])


def walk(document: dict[str, Any]) -> Walked:
    """Every statement of a Linked Art document that the table knows."""
    done = Walked()
    _thing(document, "", "urn:x-file:thing", done)
    return done


def _thing(said: dict[str, Any], place: str, spare: str, done: Walked) -> str:
    """Statements about one node; its IRI, made from its place where it bears none."""
    iri = str(said.get("id") or spare)
    words = table()["linked_art"]
    kind = said.get("type")
    cls = words["class"].get(kind)
    if cls:
        done.triples.append((iri, full("rdf:type"), ("iri", full(cls))))
    elif kind is not None:
        done.unread.append(f"{place or 'the whole'}: type {kind!r}")
    for name, value in said.items():
        if name in HEAD:
            continue
        where = f"{place}/{name}"
        prop = "rdfs:label" if name == LABEL else _property(words, name, kind)
        if prop is None:
            done.unread.append(f"{where}: {value!r}")
            continue
        for end in _ends(value, where, iri, done):
            done.triples.append((iri, full(prop), end))
    return iri


def _property(words: dict[str, Any], name: str, kind: Any) -> str | None:
    if name in ("part", "part_of"):
        words = words[name]
        name = str(kind)
    else:
        words = words["property"]
    found: str | None = words.get(name)
    return found


def _ends(value: Any, where: str, iri: str, done: Walked) -> Iterator[tuple[str, str]]:
    for place, one in enumerate(value if isinstance(value, list) else [value], 1):
        if isinstance(one, dict):
            spare = f"{iri}#{where.rsplit('/', 1)[-1]}-{place}"
            yield "iri", _thing(one, where, spare, done)
        elif isinstance(one, str) and one.startswith(("http://", "https://", "urn:")):
            yield "iri", one
        else:
            yield "text", str(one)
