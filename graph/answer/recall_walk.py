"""From the name of a material to all that it may have touched, by walks in a store.

Walks go from the material outwards, so that their cost follows the size of the answer,
not that of the archive. What was found is only gathered here; `recall` says what counts.
"""

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, field

from ..errors import NotRecorded
from ..keeping.recall import CONTACT, TAKEN, Wanted
from ..reasoning.first_use import row_for
from ..store import Edge, Stated, Store

SPEAKS = ("used", "result of", "names", "about", "made of", "same stuff as")
"""Words of edges by which a record speaks of a material or batch; not those by which a
batch is of it: a material in daily use has batches without number."""

SPOKEN_OF = ("concerns", "happened to", "about", "result of", "names", "warns of")
"""Words of edges from a record to what it speaks of."""

MOST = 1_000_000
"""More records of one word than any archive holds: a recall is never cut short."""


Readable = Callable[[Sequence[Stated]], list[Stated]]
"""Leaves of versions of records those whose words the reader may see."""


@dataclass(slots=True)
class _Names:
    may_read: Readable
    keys: set[str] = field(default_factory=set)
    loose: set[str] = field(default_factory=set)
    words: list[str] = field(default_factory=list)


def walk_recall(
    store: Store, name: str, may_read: Readable, known: int | None = None
) -> tuple[list[str], Wanted, str | None]:
    """Keys that a recall has to look at, what is recalled, and the record named, if any.

    Args:
        store: the archive.
        name: number of a material, batch or result; or a material, or a class of product,
            in words.
        may_read: leaves of versions those whose words the reader may see; the names of
            what is closed are not looked for, and so not told.
        known: record time as known, milliseconds since 1970; None for now.

    Raises:
        NotRecorded: where a record is named that is no material, batch or result, or a
            result that is of nothing whose material is recorded.
    """
    names = _Names(may_read)
    found = store.named(name, known) or store.get([name], known)
    named = found[0] if found else None
    _resolve(store, name, named, names, known)
    words = tuple(dict.fromkeys(names.words))
    wanted = Wanted(frozenset(names.keys), frozenset(names.loose), words)
    keys = _reached(store, wanted, known)
    keys += [named.key] if named else []
    return keys, wanted, named.key if named else None


def _resolve(
    store: Store, name: str, named: Stated | None, names: _Names, known: int | None
) -> None:
    if named is None:
        names.words += synonyms(name)
        _materials_called(store, names, known)
    elif named.kind == "material":
        _add_material(store, named, names, known)
    elif named.kind == "batch":
        names.keys.add(named.key)
        names.loose.add(str(named.body["material"]))
    elif named.kind == "result":
        _resolve_result(store, named, names, known)
    else:
        raise NotRecorded(
            f"{name} is a record of the kind {named.kind}: name a material, a "
            "batch, a result, or a class of product in words"
        )


def _resolve_result(store: Store, result: Stated, names: _Names, known: int | None) -> None:
    """What a result is about: a batch or material, or what a sampled element is made of."""
    [of] = store.get([str(result.body["of"])], known)
    if of.kind in ("material", "batch"):
        _resolve(store, of.label, of, names, known)
        return
    ways = store.walk([of.key], [*TAKEN], "out", known=known)
    around = store.get(sorted({of.key, *(edge.dst for edge in ways)}), known)
    things = names.may_read(around)
    made_of = [one.body.get("material") for one in things if one.kind == "element"]
    if not any(made_of):
        raise NotRecorded(
            f"{result.body['number']}: no material is recorded, that you may read, of what "
            "it speaks of; name the material in words"
        )
    for text in made_of:
        names.words += synonyms(str(text)) if text else []
    _materials_called(store, names, known)


def synonyms(name: str) -> list[str]:
    """A material word and those that the table of first dates holds to mean the same."""
    row = row_for(name)
    return [name, *(word for word in (row.words if row else ()) if word != name)]


def _materials_called(store: Store, names: _Names, known: int | None) -> None:
    """Materials that bear one of the words as a name or class, with all their names."""
    for word in list(names.words):
        folded = word.casefold()
        for one in names.may_read(store.search(word, "material", MOST, known)):
            body = one.body
            others = body.get("other_names")
            listed = [
                body.get("name"),
                body.get("material_class"),
                body.get("supplier_name"),
            ]
            listed += others if isinstance(others, list) else []
            if any(folded == str(text).casefold() for text in listed):
                _add_material(store, one, names, known)


def _add_material(store: Store, material: Stated, names: _Names, known: int | None) -> None:
    batches = store.edges([material.key], ["batch of"], "in", known)
    names.keys |= {material.key, *(edge.src for edge in batches)}
    if not names.may_read([material]):
        return
    body = material.body
    others = body.get("other_names")
    called = [str(body["name"]), *(others if isinstance(others, list) else [])]
    names.words += [word for text in called for word in synonyms(str(text))]
    if body.get("supplier_name"):
        names.words.append(str(body["supplier_name"]))


def _reached(store: Store, wanted: Wanted, known: int | None) -> list[str]:
    """Keys of what speaks of the material, what that concerns, and what that touches."""
    seeds = sorted(wanted.keys | wanted.loose)
    linked = store.edges(seeds, list(SPEAKS), "in", known)
    speaking = _keys(linked)
    for word in wanted.words:
        speaking |= {one.key for one in store.search(word, None, MOST, known)}
    if not speaking:
        return sorted(seeds)
    aimed = store.edges(sorted(speaking), list(SPOKEN_OF), "out", known)
    touched = speaking | _keys(aimed)
    near = touched
    for way in ("out", "in"):
        words: Sequence[str] = [*CONTACT, "part of"]
        near = near | _keys(
            store.edges(sorted(touched), words, "out" if way == "out" else "in", known)
        )
    taken = store.walk(sorted(near), [*TAKEN], "in", known=known)
    around = near | _keys(taken)
    told = store.edges(sorted(touched), ["concerns", "about"], "in", known)
    return sorted(around | _keys(told) | set(seeds))


def _keys(edges: Iterable[Edge]) -> set[str]:
    return {key for edge in edges for key in (edge.src, edge.dst, edge.record)}
