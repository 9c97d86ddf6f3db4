"""Claims, said in the language that is spoken.

An answer quotes a claim as an English sentence: a thing, a relation, and another thing, a
date, a phase or words. The relation is found again and said through the catalogue; all
that somebody wrote stays letter by letter. Where a sentence could be parted in two ways,
or is a note in somebody's own words, it stays in English, whole.
"""

import re

from vestige.graph.record.word import TAKES_DATE

from . import words_claim as words
from .chosen import speaking
from .spoken import date
from .wording import english

__all__ = ["claim"]

_DATED = frozenset(str(one) for one in TAKES_DATE)
_NOTE = ": "


def claim(text: str) -> str:
    """The sentence of a claim in the language spoken."""
    if speaking() is None:
        return text
    denied = english(words, "DENIED").format(claim="")
    bare = text.removeprefix(denied)
    told = _told(bare)
    if told is None:
        return text
    return told if bare == text else words.DENIED.format(claim=told)


def _told(text: str) -> str | None:
    parted = [
        (relation, one, other)
        for relation, form in english(words, "FORMS").items()
        for one, other in _parted(text, form)
    ]
    if len(parted) != 1:
        return None
    [(relation, one, other)] = parted
    if not one or _NOTE in one:
        return None
    tail = date(other) if relation in _DATED else other
    return str(words.FORMS[relation]).format(one=one, other=tail)


def _parted(text: str, form: str) -> list[tuple[str, str]]:
    """Every way in which a sentence has this form."""
    verb = form.removeprefix("{one}").removesuffix("{other}")
    if not form.endswith("{other}"):
        return [(text.removesuffix(verb), "")] if text.endswith(verb) else []
    if verb not in text:
        return []
    places = [found.start() for found in re.finditer(f"(?={re.escape(verb)})", text)]
    return [(text[:place], text[place + len(verb) :]) for place in places]
