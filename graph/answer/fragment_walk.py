"""Which records a question about a loose fragment needs, found without reading them all.

Elements where something lacks are found by the words of their records (loss, slot, lost,
removal not documented and so on), which the archive indexes; the number taken for each
word is bounded, and where more bear it the answer says so.
"""

from collections.abc import Sequence
from typing import Final

from ..keeping import PARENTAGE, VACANT_WORDS
from ..record import Status
from ..store import Edge, Stated, Store

MOST_FOR_A_WORD: Final = 300
MOST_OBJECTS: Final = 60
SAID: Final = tuple(str(one) for one in PARENTAGE)
DENIED: Final = tuple(f"not {one}" for one in PARENTAGE)


def walk_fragment(
    store: Store, fragment: str, home: str | None, known: int | None
) -> tuple[list[str], list[str], tuple[str, ...]]:
    """Records for the question whose a fragment is.

    Args:
        store: where they are kept.
        fragment: key of the fragment.
        home: key of the object to look at, wholly; None to look for vacant places
            anywhere.
        known: record time of the view.

    Returns:
        Keys of the elements to compare it with; keys of things whose place, claims and
        cautions are needed besides; and the words for which not all were taken.
    """
    named = [edge.dst for edge in store.edges([fragment], [*SAID, *DENIED], "out", known)]
    claims = [edge.src for edge in store.edges([fragment], ["about"], "in", known)]
    cut: tuple[str, ...] = ()
    if home is None:
        vacant, cut = _vacant(store, fragment, known)
    else:
        vacant = [edge.src for edge in store.edges([home], ["element of"], "in", known)]
    elements = sorted({*named, *vacant})
    bodies, cut_bodies = _bodies(store, elements, known)
    parts = [edge.src for edge in store.edges(elements, ["taken from"], "in", known)]
    return elements, sorted({*claims, *parts, *bodies, fragment}), cut + cut_bodies


def suspected(store: Store, things: Sequence[str], known: int | None) -> list[str]:
    """What fragments among some things may belong to, and what is hazardous beside it.

    Returns:
        Keys of the elements named by claims, and of the parts of their objects that bear
        a caution; empty, after one read, where no claim names a parent.
    """
    named = {edge.dst for edge in store.edges(things, SAID, "out", known)}
    if not named:
        return []
    homes = {edge.dst for edge in store.edges(sorted(named), ["element of"], "out", known)}
    beside = [edge.src for edge in store.edges(sorted(homes), ["element of"], "in", known)]
    warned = {edge.dst for edge in store.edges(beside, ["warns of"], "in", known)}
    return sorted(named | warned)


def _vacant(
    store: Store, fragment: str, known: int | None
) -> tuple[list[str], tuple[str, ...]]:
    """Elements whose own record, or whose kept part's, says that something lacks."""
    asked = [(word, word) for word in (*VACANT_WORDS, *(f"{w}s" for w in _COUNTED))]
    asked += [(str(one), str(one)) for one in (Status.UNDOCUMENTED, Status.UNKNOWN_PLACE)]
    asked += [
        (f"{Status.KEPT} {word}", f"{Status.KEPT} ({word})")
        for word in _materials(store, fragment, known)
    ]
    found: set[str] = set()
    cut: list[str] = []
    for words, told in asked:
        some, more = _said(store, words, "element", known)
        found |= {one.key for one in some}
        cut += [told] if more else []
    unseen, more = _said(store, "not seen", "sighting", known)
    looked = [edge.dst for edge in _out(store, unseen, "looks for", known)]
    found |= {edge.dst for edge in store.edges(looked, ["taken from"], "out", known)}
    return sorted(found), (*cut, *(["not seen"] if more else []))


_COUNTED: Final = ("hole", "slot", "socket", "chip", "gap")


def _materials(store: Store, fragment: str, known: int | None) -> list[str]:
    return [
        word
        for one in store.get([fragment], known)
        for word in str(one.body.get("material") or "").split()
        if word.isalpha()
    ]


def _said(
    store: Store, words: str, kind: str, known: int | None
) -> tuple[list[Stated], bool]:
    found = store.search(words, kind, MOST_FOR_A_WORD + 1, known)
    return found[:MOST_FOR_A_WORD], len(found) > MOST_FOR_A_WORD


def _out(store: Store, found: Sequence[Stated], word: str, known: int | None) -> list[Edge]:
    return store.edges([one.key for one in found], [word], "out", known)


def _bodies(
    store: Store, elements: Sequence[str], known: int | None
) -> tuple[list[str], tuple[str, ...]]:
    """What lies around these elements; the body of the object where nothing is named."""
    near = store.edges(elements, ["part of", "touches"], "out", known)
    placed = {edge.src for edge in near}
    bare = [
        one
        for one in store.get(elements, known)
        if one.body.get("sort") == "feature" and one.key not in placed
    ]
    homes = sorted({str(one.body["object"]) for one in bare if one.body.get("object")})
    inside = store.edges(homes[:MOST_OBJECTS], ["element of"], "in", known)
    cut = ("losses whose surroundings are not named",) if len(homes) > MOST_OBJECTS else ()
    return sorted({*(edge.dst for edge in near), *(edge.src for edge in inside)}), cut
