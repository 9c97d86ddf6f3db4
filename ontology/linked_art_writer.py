"""Writes one object as Linked Art: what readers of that profile understand, and no more.

Objects, parts, production, part addition and removal, moves, custody and location. It is a
view for others, not for keeping: claims, evidence and what is open have no place in the
profile, and nothing is concluded here. Where something is, is what the moves and looks
tell; where they tell nothing, no location is written.
"""

import json
from collections.abc import Iterator
from typing import Any

from vestige.graph.answer.whereabouts import Located, locate
from vestige.graph.record import (
    Edtf,
    Element,
    ElementSort,
    Happening,
    HappeningSort,
    KeptPart,
    MuseumObject,
    Record,
)
from vestige.graph.record.daycount import iso
from vestige.graph.state import State

from .mapping import table
from .record_writer import closed_for
from .term import node

Document = dict[str, Any]
BODILY = (ElementSort.PART, ElementSort.FIXING)


def linked_art(state: State, places: State, home: str) -> bytes:
    """One object as a Linked Art document.

    Args:
        state: what belongs to the object, as the reader may see it.
        places: where it and what was taken off it is, as the reader may see it.
        home: key of the object.
    """
    where = {one.thing.key: one for one in locate(places, home).things}
    document = _Writing(state, where).whole(home)
    context = {"@context": table()["linked_art"]["context"]}
    text = json.dumps(context | document, ensure_ascii=False, indent=1)
    return (text + "\n").encode()


class _Writing:
    def __init__(self, state: State, where: dict[str, Located]) -> None:
        self.state, self.where = state, where
        kept = state.all_of(KeptPart)
        self.kept = {key: one for key, one in kept if not closed_for(one.body())}

    def whole(self, home: str) -> Document:
        thing = self.state.record(home, MuseumObject)
        document = self._named("HumanMadeObject", home, thing)
        if closed_for(thing.body()):
            return document
        if thing.owner:
            document["current_owner"] = [_group(home, "owner", thing.owner)]
        if thing.held_by:
            document["current_custodian"] = _group(home, "keeper", thing.held_by)
        self._put_place(document, home)
        making = self._making(home, thing.made)
        if making:
            document["produced_by"] = making
        off = {one.element for one in self.kept.values()}
        parts = [self._part(key) for key in self._bodies() if key not in off]
        document |= {"part": parts} if parts else {}
        removals = list(self._removals())
        document |= {"diminished_by": removals} if removals else {}
        for name, sorts in (
            ("augmented_by", (HappeningSort.PUTTING_BACK,)),
            ("modified_by", (HappeningSort.REPAIR, HappeningSort.MODIFICATION,
                             HappeningSort.RESTORATION, HappeningSort.TREATMENT)),
        ):  # fmt: skip
            found = list(self._happenings(name, sorts))
            document |= {name: found} if found else {}
        return document

    def _bodies(self) -> Iterator[str]:
        for key, element in self.state.all_of(Element):
            if element.sort in BODILY and not closed_for(element.body()):
                yield key

    def _named(self, kind: str, key: str, record: Record) -> Document:
        me = node(key)
        document: Document = {"id": me, "type": kind}
        if closed_for(record.body()):
            return document
        document["_label"] = record.label()
        names = [("Identifier", text) for text in record.names()]
        name = getattr(record, "name", None)
        names += [("Name", name)] if name else []
        document["identified_by"] = [
            {"id": f"{me}#called-{nth}", "type": kind_of, "content": text}
            for nth, (kind_of, text) in enumerate(names, 1)
        ]
        return document

    def _part(self, key: str) -> Document:
        element = self.state.record(key, Element)
        document = self._named("HumanMadeObject", key, element)
        if element.material:
            made_of = {"id": f"{node(key)}#material", "type": "Material"}
            document["made_of"] = [made_of | {"_label": element.material}]
        return document

    def _making(self, home: str, made: Edtf | None) -> Document | None:
        for key, one in self.state.all_of(Happening):
            if one.sort is HappeningSort.MAKING and not closed_for(one.body()):
                return self._event("Production", key, one.name, one.when)
        if made is None:
            return None
        return {"id": f"{node(home)}#making", "type": "Production"} | _span(
            f"{node(home)}#made", made
        )

    def _event(self, kind: str, key: str, name: str, when: Edtf | None) -> Document:
        document = {"id": node(key), "type": kind, "_label": name}
        return document | (_span(f"{node(key)}#when", when) if when else {})

    def _happenings(
        self, name: str, sorts: tuple[HappeningSort, ...]
    ) -> Iterator[Document]:
        kind = "PartAddition" if name == "augmented_by" else "Modification"
        for key, one in self.state.all_of(Happening):
            if one.sort not in sorts or closed_for(one.body()):
                continue
            document = self._event(kind, key, one.name, one.when)
            bodies = [each for each in one.elements if each in set(self._bodies())]
            if kind == "PartAddition" and bodies:
                document["added"] = [self._part(each) for each in bodies]
            if one.technique:
                technique = {"id": f"{node(key)}#technique", "type": "Type"}
                document["technique"] = [technique | {"_label": one.technique}]
            yield document

    def _removals(self) -> Iterator[Document]:
        """One removal for each part that was taken off, with where it is now."""
        for key, one in self.kept.items():
            if one.element not in set(self._bodies()):
                continue
            removal: Document = {"id": f"{node(key)}#removal", "type": "PartRemoval"}
            when = one.removed_when or self._when_removed(one)
            removal |= _span(f"{node(key)}#removed", when) if when else {}
            part = self._part(one.element)
            self._put_place(part, key)
            yield removal | {"removed": [part]}

    def _when_removed(self, one: KeptPart) -> Edtf | None:
        if one.removed_in is None or one.removed_in not in self.state:
            return None
        return self.state.record(one.removed_in, Happening).when

    def _put_place(self, document: Document, key: str) -> None:
        """Its present place, if moves and looks agree and nobody missed it there."""
        located = self.where.get(key)
        if located is None or located.conflict or located.gone:
            return
        if located.alarm or located.not_seen:
            return
        for stay in located.place:
            if stay.holder.kind == "place":
                place = {"id": node(stay.holder.key), "type": "Place"}
                document["current_location"] = place | {"_label": stay.holder.label}
                return


def _group(key: str, what: str, label: str) -> Document:
    return {"id": f"{node(key)}#{what}", "type": "Group", "_label": label}


def _span(iri: str, when: Edtf) -> Document:
    span: Document = {"id": iri, "type": "TimeSpan", "_label": str(when)}
    if when.earliest is not None:
        first = iso(when.earliest - when.start_slack).lstrip("+")
        span["begin_of_the_begin"] = f"{first}T00:00:00Z"
    if when.latest is not None:
        last = iso(when.latest + when.end_slack).lstrip("+")
        span["end_of_the_end"] = f"{last}T23:59:59Z"
    return {"timespan": span}
