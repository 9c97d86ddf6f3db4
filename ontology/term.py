"""IRIs of records and concepts, and terms as N-Triples writes them.

A record's IRI is a UUID made from its key, bit for bit (version 8 of RFC 9562, "custom"):
the same record has the same IRI in every export, and no host name is in it. A key of
another form than Vestige's own gets a UUID of version 5; the key itself is written beside
it, so that none is lost.
"""

import re
import uuid
from functools import lru_cache
from typing import Final

from vestige.graph.record.identity import CROCKFORD

from .mapping import full

_KEY: Final = re.compile(f"[{CROCKFORD}]{{20}}")
_OTHER_KEYS: Final = uuid.UUID("5f0c8a54-9c1e-8b7e-9d3a-0f5d7f1c2b6a")
_ESCAPED: Final = {
    "\\": "\\\\", '"': '\\"', "\n": "\\n", "\r": "\\r", "\t": "\\t", "\b": "\\b",
    "\f": "\\f",
}  # fmt: skip
_TO_ESCAPE: Final = re.compile(r'[\\"\x00-\x1f\x7f]')


@lru_cache(maxsize=1 << 20)
def node(key: str) -> str:
    """The IRI of a record.

    >>> node("0123456789ABCDEFGHJK")
    'urn:uuid:00443214-c742-854b-98d7-3e1194c00000'
    """
    if not _KEY.fullmatch(key):
        return f"urn:uuid:{uuid.uuid5(_OTHER_KEYS, key)}"
    bits = 0
    for sign in key:
        bits = bits * 32 + CROCKFORD.index(sign)
    bits <<= 22  # 100 bits of the key, then noughts, in the 122 bits that are free
    high, middle, low = bits >> 74, bits >> 62 & 0xFFF, bits & (1 << 62) - 1
    number = high << 80 | 0x8 << 76 | middle << 64 | 0b10 << 62 | low
    return f"urn:uuid:{uuid.UUID(int=number)}"


@lru_cache(maxsize=4096)
def concept(words: str, word: str) -> str:
    """The IRI of a word of a list.

    >>> concept("ElementSort", "part")
    'https://w3id.org/vestige/voc#ElementSort-part'
    """
    return full(f"voc:{words}-{slug(word)}")


def slug(word: str) -> str:
    """A word as it stands in an IRI.

    >>> slug("user, family or source community")
    'user-family-or-source-community'
    """
    return re.sub(r"[^a-z0-9]+", "-", word.casefold()).strip("-")


@lru_cache(maxsize=1 << 16)
def named(term: str) -> str:
    """A term of the table as N-Triples writes it."""
    return f"<{full(term)}>"


def text(value: str) -> str:
    """A plain text as N-Triples writes it.

    >>> text('6" nail')
    '"6\\\\" nail"'
    """
    return '"' + _TO_ESCAPE.sub(_escape, value) + '"'


def _escape(found: re.Match[str]) -> str:
    sign = found[0]
    return _ESCAPED.get(sign, f"\\u{ord(sign):04X}")


def typed(value: str, datatype: str) -> str:
    """A text with a datatype, given as ``prefix:name``."""
    return f"{text(value)}^^<{full(datatype)}>"


def key_in(iri: str) -> str | None:
    """The key that an IRI was made from; None where it is no such IRI.

    >>> key_in("urn:uuid:00443214-c742-854b-98d7-3e1194c00000")
    '0123456789ABCDEFGHJK'
    """
    try:
        found = uuid.UUID(iri.removeprefix("urn:uuid:"))
    except ValueError:
        return None
    number = found.int
    bits = number >> 80 << 74 | (number >> 64 & 0xFFF) << 62 | number & (1 << 62) - 1
    bits >>= 22
    key = "".join(CROCKFORD[bits >> shift & 31] for shift in range(95, -1, -5))
    return key if node(key) == iri else None
