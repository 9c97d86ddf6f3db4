"""The language that is spoken now: one for each run of a page, English where none is."""

from collections.abc import Callable
from contextvars import ContextVar

from .catalogue import ENGLISH, Catalogue

__all__ = ["asks", "fitting", "language", "preferred", "speak", "speaking", "tag"]

_NOW: ContextVar[Catalogue | None] = ContextVar("vestige language", default=None)
_ASKED: list[Callable[[], Catalogue | None]] = []
"""Who knows the language where a part of a page runs alone."""


def asks(who: Callable[[], Catalogue | None]) -> None:
    """Say who knows the language in a thread in which nobody has spoken yet."""
    _ASKED[:] = [who]


def speak(catalogue: Catalogue | None) -> None:
    """Speak this language from now on in this thread; None for English."""
    _NOW.set(catalogue or Catalogue(ENGLISH))


def speaking() -> Catalogue | None:
    """The catalogue that is spoken; None for plain English."""
    now = _NOW.get()
    if now is None and _ASKED:
        now = _ASKED[0]()
    return now if now is not None and now.texts else None


def language() -> str:
    """The language that is spoken, e.g. "en", "de", "pt_BR"."""
    now = _NOW.get()
    if now is None and _ASKED:
        now = _ASKED[0]()
    return now.language if now is not None else ENGLISH


def tag() -> str:
    """The language that is spoken as a tag for HTML (BCP 47), e.g. "pt-BR"."""
    return language().replace("_", "-")


def fitting(asked: str | None, there: tuple[str, ...]) -> str:
    """The language that fits what a browser asks for, e.g. "de-AT" -> "de".

    >>> fitting("de-AT", ("en", "de")), fitting("fr", ("en", "de")), fitting(None, ("en",))
    ('de', 'en', 'en')
    """
    return _fitting(asked or "", there) or ENGLISH


def preferred(header: str | None, there: tuple[str, ...]) -> str:
    """The language there is that an Accept-Language header (RFC 9110, 12.5.4) likes best.

    >>> preferred("fr-CH, de;q=0.7, en;q=0.8", ("en", "de"))
    'en'
    """
    liked: list[tuple[float, str]] = []
    for one in (header or "")[:500].split(","):
        tag, _, weight = one.strip().partition(";q=")
        try:
            liked.append((-float(weight or 1), tag))
        except ValueError:
            continue
    found = (_fitting(tag, there) for weight, tag in sorted(liked, key=_weight) if weight)
    return next((one for one in found if one), ENGLISH)


def _weight(liked: tuple[float, str]) -> float:
    return liked[0]


def _fitting(asked: str, there: tuple[str, ...]) -> str | None:
    wanted = asked.replace("-", "_")
    known = {one.lower(): one for one in there}
    while wanted:
        if wanted.lower() in known:
            return known[wanted.lower()]
        wanted = wanted.rpartition("_")[0]
    return None
