"""Reads CIDOC CRM data of others, Linked Art among them, into claims of that source.

What is understood: human-made objects and their parts, productions, modifications, part
additions and removals, moves, changes of title and custody, materials, types, dimensions,
notes, and "ends before the start of". All else is handed back to the letter. Nothing is
guessed: a happening whose object the file does not name is left, a thing without a number
keeps its IRI as its number, and names of people are not taken over, since Vestige records
people by role.
"""

from collections import defaultdict, deque
from collections.abc import Callable, Iterable
from dataclasses import dataclass, field
from typing import Final

from vestige.graph.record import (
    Claim,
    Edtf,
    Element,
    ElementSort,
    Happening,
    HappeningSort,
    KeptPart,
    Move,
    MuseumObject,
    Place,
    Record,
    Relation,
    Source,
    SourceKind,
    Strength,
)

from .foreign_graph import ForeignGraph

THINGS: Final = ("crm:E22_Human-Made_Object",)
ON_WHOLE: Final = {
    "crm:E12_Production": ("crm:P108_has_produced", HappeningSort.MAKING),
    "crm:E11_Modification": ("crm:P31_has_modified", HappeningSort.MODIFICATION),
    "crm:E80_Part_Removal": ("crm:P112_diminished", HappeningSort.REMOVAL),
    "crm:E79_Part_Addition": ("crm:P110_augmented", HappeningSort.MODIFICATION),
    "crm:E8_Acquisition": ("crm:P24_transferred_title_of", HappeningSort.ACQUISITION),
    "crm:E10_Transfer_of_Custody": (
        "crm:P30_transferred_custody_of", HappeningSort.OTHER,
    ),
}  # fmt: skip
"""Classes of happenings: the property that names the object, and the sort they become."""

SAID_OF_THINGS: Final = {
    "crm:P2_has_type": "type",
    "crm:P3_has_note": "note",
    "crm:P44_has_condition": "condition",
    "crm:P55_has_current_location": "current location",
}
"""What becomes a note, by its head; owners and keepers, people as a rule, are left."""


@dataclass(slots=True)
class Understood:
    """What came of a foreign file.

    Attributes:
        records: what would be recorded, by key, in order; the source first.
        unread: statements that were not understood, as they stood.
        remarks: why something was left or named otherwise, in sentences.
    """

    records: dict[str, Record] = field(default_factory=dict)
    unread: list[str] = field(default_factory=list)
    remarks: list[str] = field(default_factory=list)


class Taken:
    """Numbers that are borne already, by records of the archive or of this file."""

    def __init__(self, borne: Callable[[str], bool]) -> None:
        self._borne = borne
        self._mine: set[str] = set()

    def free(self, number: str) -> bool:
        """Whether nobody bears a number yet; from then on somebody does."""
        folded = number.casefold()
        if not number or folded in self._mine or self._borne(number):
            return False
        self._mine.add(folded)
        return True


def understand(
    graph: ForeignGraph, source: Source, new_key: Callable[[], str], taken: Taken
) -> Understood:
    """Read what Vestige understands of foreign statements.

    Args:
        graph: the statements.
        source: the file, as the source of every claim.
        new_key: makes keys.
        taken: numbers that are borne already.
    """
    reading = _Reading(graph, source, new_key, taken)
    reading.things()
    for cls, (prop, sort) in ON_WHOLE.items():
        reading.happenings(cls, prop, sort)
    reading.moves()
    reading.order()
    reading.descriptions()
    reading.done.unread = graph.unread()
    return reading.done


class _Reading:
    def __init__(
        self,
        graph: ForeignGraph,
        source: Source,
        new_key: Callable[[], str],
        taken: Taken,
    ) -> None:
        self.graph, self.new_key, self.taken = graph, new_key, taken
        self.done = Understood()
        self.keys: dict[str, str] = {}  # of objects and elements, by IRI
        self.kept: dict[str, str] = {}  # of removed parts, by IRI of the thing
        self.places: dict[str, str] = {}
        self.events: dict[str, str] = {}
        self.objects: dict[str, str] = {}  # object of each thing, by IRI
        self.claims = 0
        self.source = self._put(source)
        self.source_number = source.number

    def _put(self, record: Record) -> str:
        key = self.new_key()
        self.done.records[key] = record
        return key

    def _number(self, iri: str, prefer: Iterable[str] = ()) -> str:
        for number in (*prefer, iri):
            if self.taken.free(number):
                return number
        nth = 2
        while not self.taken.free(f"{iri} ({nth})"):
            nth += 1
        self.done.remarks.append(
            f"{iri} is a number in this archive already; here it is '{iri} ({nth})'"
        )
        return f"{iri} ({nth})"

    def _wholes(self) -> dict[str, str]:
        """The whole that each part belongs to, as far as the file says one."""
        graph = self.graph
        found: dict[str, str] = {}
        for whole in graph.of_class(*THINGS):
            for part in graph.peek(whole, "crm:P46_is_composed_of"):
                found.setdefault(part, whole)
        for cls, of, part_prop in (
            ("crm:E80_Part_Removal", "crm:P112_diminished", "crm:P113_removed"),
            ("crm:E79_Part_Addition", "crm:P110_augmented", "crm:P111_added"),
        ):
            for event in graph.of_class(cls):
                wholes = graph.peek(event, of)
                for part in graph.peek(event, part_prop):
                    if len(wholes) == 1 and part != wholes[0]:
                        found.setdefault(part, wholes[0])
        return found

    def things(self) -> None:
        """Objects, then their parts as elements; of a part in a part, the chain."""
        wholes = self._wholes()
        every = set(self.graph.of_class(*THINGS)) | set(wholes) | set(wholes.values())
        every |= self._by_range()
        for iri in sorted(every - set(wholes)):
            self._object(iri)
        parts: dict[str, list[str]] = defaultdict(list)
        for iri, whole in sorted(wholes.items()):
            parts[whole].append(iri)
        waiting = deque(sorted(every - set(wholes)))
        while waiting:
            whole = waiting.popleft()
            for iri in parts[whole]:
                self._element(iri, whole)
                waiting.append(iri)
        self.done.remarks += [
            f"{iri} is a part of itself; left" for iri in sorted(every - set(self.objects))
        ]

    def _by_range(self) -> set[str]:
        """Things without a class that a property of happenings asks to be physical."""
        found = {
            thing
            for cls, (prop, _) in ON_WHOLE.items()
            for event in self.graph.of_class(cls)
            for thing in self.graph.peek(event, prop)
            if not self.graph.has_class(thing)
        }
        self.done.remarks += [
            f"{iri} bears no class; what befell it asks for a physical thing (E18), and as "
            "an object it is recorded"
            for iri in sorted(found)
        ]
        return found

    def _object(self, iri: str) -> None:
        numbers = self.graph.identifiers(iri)
        number = self._number(iri, numbers)
        others = tuple(dict.fromkeys(one for one in (*numbers, iri) if one != number))
        name = self.graph.label(iri) or "name not recorded"
        record = MuseumObject(
            number=number, name=name, other_numbers=others, source=self.source
        )
        self.keys[iri] = self._put(record)
        self.objects[iri] = self.keys[iri]
        self.graph.mark_types([iri])

    def _element(self, iri: str, whole: str) -> None:
        above = self.keys[whole]
        inside = above if isinstance(self.done.records[above], Element) else None
        record = Element(
            number=self._number(iri, self.graph.identifiers(iri)),
            object=self.objects[whole],
            name=self.graph.label(iri) or "name not recorded",
            sort=ElementSort.PART,
            part_of=inside,
            source=self.source,
        )
        self.keys[iri] = self._put(record)
        self.objects[iri] = self.objects[whole]
        self.graph.read(whole, "crm:P46_is_composed_of", iri)
        self.graph.mark_types([iri])

    def happenings(self, cls: str, prop: str, sort: HappeningSort) -> None:
        """Happenings of one class; those whose object is not known here are left."""
        for iri in self.graph.of_class(cls):
            place = self.graph.place()
            about = [one for one in self.graph.things(iri, prop) if one in self.objects]
            homes = sorted({self.objects[one] for one in about})
            if len(homes) != 1:
                told = "of no object in this file" if not homes else "of several objects"
                self.done.remarks.append(f"{iri} ({cls}) is {told}; left")
                self.graph.undo(place)
                continue
            if iri not in self.events:
                self._happening(iri, cls, sort, homes[0], about)

    def _happening(
        self, iri: str, cls: str, sort: HappeningSort, home: str, about: list[str]
    ) -> None:
        graph = self.graph
        removed = graph.things(iri, "crm:P113_removed")
        added = graph.things(iri, "crm:P111_added")
        parts = [self.keys[one] for one in (*removed, *added, *about) if one in self.keys]
        elements = [one for one in parts if isinstance(self.done.records[one], Element)]
        plain = cls.partition("_")[2].replace("_", " ").casefold()
        record = Happening(
            number=self._number(iri),
            object=home,
            name=graph.label(iri) or plain,
            sort=sort,
            when=graph.when(iri),
            elements=tuple(dict.fromkeys(elements)),
            technique="; ".join(self._names(iri, "crm:P32_used_general_technique")) or None,
            source=self.source,
            note="; ".join([plain, *self._notes(iri)]),
        )
        self.events[iri] = self._put(record)
        graph.mark_types([iri])
        for one in removed:
            if one in self.keys:
                self._kept(one, iri, record.when)

    def _kept(self, iri: str, event: str, when: Edtf | None) -> None:
        if iri in self.kept:
            self.done.remarks.append(f"{iri} was removed more than once; see happenings")
            return
        record = KeptPart(
            number=self._number(f"{iri} (removed)"),
            element=self.keys[iri],
            name=self.graph.label(iri) or None,
            removed_in=self.events[event],
            removed_when=when,
            source=self.source,
        )
        self.kept[iri] = self._put(record)

    def _names(self, iri: str, prop: str) -> list[str]:
        return [self.graph.label(one) or one for one in self.graph.things(iri, prop)]

    def _notes(self, iri: str) -> list[str]:
        notes = self.graph.texts(iri, "crm:P3_has_note")
        for one in self.graph.things(iri, "crm:P67i_is_referred_to_by"):
            notes += self.graph.texts(one, "crm:P190_has_symbolic_content")
            self.graph.mark_types([one])
        return notes

    def moves(self) -> None:
        """Dated moves of things; of a removed thing, the part that is kept moves."""
        for iri in self.graph.of_class("crm:E9_Move"):
            place = self.graph.place()
            things = self.graph.things(iri, "crm:P25_moved")
            to = self.graph.things(iri, "crm:P26_moved_to")
            when = self.graph.when(iri)
            known = [one for one in things if one in self.keys]
            if not known or len(to) != 1 or when is None:
                has = {"a thing": known, "one place to": len(to) == 1, "a date": when}
                lacks = " and ".join(what for what, there in has.items() if not there)
                self.done.remarks.append(f"{iri} (move) lacks {lacks} known here; left")
                self.graph.undo(place)
                continue
            from_ = self.graph.things(iri, "crm:P27_moved_from")
            record = Move(
                number=self._number(iri),
                what=tuple(self.kept.get(one) or self.keys[one] for one in known),
                origin=self._place(from_[0]) if len(from_) == 1 else None,
                to=self._place(to[0]),
                when=when,
                source=self.source,
                note=self.graph.label(iri) or None,
            )
            self._put(record)
            self.graph.mark_types([iri])

    def _place(self, iri: str) -> str:
        if iri not in self.places:
            number = self._number(iri)
            label = self.graph.label(iri) or None
            self.places[iri] = self._put(Place(number=number, name=label))
            self.graph.mark_types([iri])
        return self.places[iri]

    def order(self) -> None:
        """That one happening ended before another began."""
        for prop in (
            "crm:P183_ends_before_the_start_of",
            "crm:P182_ends_before_or_with_the_start_of",
        ):
            for iri, key in sorted(self.events.items()):
                for other in self.graph.things(iri, prop):
                    if other in self.events:
                        words = "ends before the start of it, the file says"
                        self._claim(
                            key, Relation.EARLIER_THAN, words, other=self.events[other]
                        )

    def descriptions(self) -> None:
        """Materials, types, sizes, notes and places said of things."""
        for iri, key in list(self.keys.items()):
            for name in self._names(iri, "crm:P45_consists_of"):
                self._claim(key, Relation.MADE_OF, name)
            for prop, head in SAID_OF_THINGS.items():
                said = self.graph.texts(iri, prop) + self._names(iri, prop)
                for text in said:
                    self._claim(key, Relation.NOTED, f"{head}: {text}")
            for text in self._notes(iri):
                self._claim(key, Relation.NOTED, f"note: {text}")
            for one in self.graph.things(iri, "crm:P43_has_dimension"):
                self._size(key, one)

    def _size(self, key: str, iri: str) -> None:
        values = self.graph.texts(iri, "crm:P90_has_value")
        units = self._names(iri, "crm:P91_has_unit")
        kinds = self._names(iri, "crm:P2_has_type")
        if len(values) != 1 or len(units) != 1:
            return
        self.graph.mark_types([iri])
        size = f"{' '.join(kinds)} {values[0]} {units[0]}".strip()
        self._claim(key, Relation.NOTED, f"dimension: {size}")

    def _claim(
        self, about: str, relation: Relation, value: str, other: str | None = None
    ) -> None:
        self.claims += 1
        self._put(
            Claim(
                number=self._number(f"{self.source_number}/{self.claims}"),
                about=about,
                relation=relation,
                other=other,
                value=value,
                strength=Strength.NEUTRAL,
                source=self.source,
            )
        )


def file_source(number: str, name: str, checksum: str, unread: int) -> Source:
    """A foreign file as a source."""
    return Source(
        number=number,
        name=f"linked data file {name}",
        sort=SourceKind.OTHER,
        note=f"SHA-256 {checksum}; {unread} statements were not understood and stand in "
        "the file, kept as it came",
    )
