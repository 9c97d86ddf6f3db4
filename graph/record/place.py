"""Where things lie: places that do not move, containers that do, moves and looks."""

from typing import Annotated, ClassVar

from .dating import Edtf
from .measure import Measure
from .part import HOLDERS, inside
from .record import SOURCE, Link, Points, Record, column
from .word import Seen

MOVABLE = ("object", "container", "part", "sample", "fragment", "element")


class Place(Record):
    """A building, room, bay or shelf: something that stays where it is."""

    kind: ClassVar[str] = "place"
    sheet: ClassVar[str] = "Places"
    meaning: ClassVar[str] = "a building, room, bay or shelf"

    number: str = column(
        "number",
        "number or short name; unique in the archive",
        needed=True,
        example="ST1/A2",
        also=("place",),
    )
    name: str | None = column("name", "in words")
    sort: str | None = column("kind", "building, room, bay, shelf", also=("type",))
    inside: Annotated[str | None, Points("lies in", ("place",))] = column(
        "inside", "number of the place around it"
    )
    note: str | None = column("note", "anything else")

    def links(self, key: str) -> tuple[Link, ...]:
        """Adds the undated edge to the place around it."""
        return Record.links(self, key) + inside(key, self.inside, None)


class Container(Record):
    """A bag, vial, box, drawer or roll: what moves with all inside it."""

    kind: ClassVar[str] = "container"
    sheet: ClassVar[str] = "Containers"
    meaning: ClassVar[str] = "a bag, vial, box, drawer, tray, roll or folder"

    number: str = column(
        "number",
        "number of the container",
        needed=True,
        example="BX-014",
        also=("container",),
    )
    name: str | None = column("name", "what it says or holds")
    sort: str | None = column("kind", "bag, box, tray, drawer...", also=("type",))
    inside: Annotated[str | None, Points("put into", HOLDERS)] = column(
        "inside", "container or place that it was first put into", also=("place",)
    )
    since: Edtf | None = column("since", "since when it lies there (EDTF)", also=("when",))
    size: Measure | None = column(
        "inside size", "with unit", example="400 x 300 x 120 mm", also=("size",)
    )
    requires: str | None = column("requires", "orientation, neighbours, climate")
    note: str | None = column("note", "anything else")

    def links(self, key: str) -> tuple[Link, ...]:
        """Adds where it first lay."""
        return Record.links(self, key) + inside(key, self.inside, self.since)


class Move(Record):
    """One act of moving one or many things; what lies inside them goes along.

    Attributes:
        origin: where they were taken from; None where not recorded.
        to: where they were put; None where the record does not say.
    """

    kind: ClassVar[str] = "move"
    sheet: ClassVar[str] = "Moves"
    meaning: ClassVar[str] = "one act of moving one or many things"
    same_by: ClassVar[tuple[str, ...]] = ("what", "to", "when")

    number: str | None = column("number", "number of the move, if it has one")
    what: Annotated[tuple[str, ...], Points("moves", MOVABLE, home=True)] = column(
        "what", "numbers of what was moved, separated by ;", needed=True
    )
    origin: Annotated[str | None, Points("taken out of", HOLDERS)] = column(
        "from", "where it was"
    )
    to: Annotated[str | None, Points("put into", HOLDERS)] = column(
        "to", "where it was put"
    )
    when: Edtf = column("when", "date (EDTF)", needed=True, also=("date",))
    by: str | None = column("by (role)", "role that moved it", also=("by",))
    authority: str | None = column(
        "on whose authority", "role that allowed it", also=("authority",)
    )
    why: str | None = column("why", "reason")
    manifest: str | None = column("manifest", "number of the list it was moved under")
    source: Annotated[str | None, Points(SOURCE, ("source",))] = column(
        "source", "number of the source that says so"
    )
    note: str | None = column("note", "anything else")

    def label(self) -> str:
        """The move in one line."""
        return f"{self.number or 'move'} of {self.when}"

    def links(self, key: str) -> tuple[Link, ...]:
        """Adds, for each thing moved, the edge to where it was put, dated."""
        put = [link for what in self.what for link in inside(what, self.to, self.when)]
        return (*Record.links(self, key), *put)


class Sighting(Record):
    """One look for one thing: seen, not seen, seen elsewhere, or only listed."""

    kind: ClassVar[str] = "sighting"
    sheet: ClassVar[str] = "Sightings"
    meaning: ClassVar[str] = "one look for one thing"
    same_by: ClassVar[tuple[str, ...]] = ("what", "when", "audit", "seen")

    number: str | None = column("number", "number of the look, if it has one")
    what: Annotated[str, Points("looks for", MOVABLE, home=True)] = column(
        "what", "number of what was looked for", needed=True
    )
    seen: Seen = column("seen", "what came of it", needed=True, also=("result",))
    where: Annotated[str | None, Points("looked in", HOLDERS)] = column(
        "where", "place or container looked in or found in", also=("place",)
    )
    when: Edtf = column("when", "date (EDTF)", needed=True, also=("date",))
    by: str | None = column("by (role)", "role that looked", also=("by",))
    audit: str | None = column(
        "audit or manifest",
        "number of the round or list",
        also=("audit", "round", "manifest"),
    )
    source: Annotated[str | None, Points(SOURCE, ("source",))] = column(
        "source", "number of the source that says so"
    )
    note: str | None = column("note", "anything else")

    def label(self) -> str:
        """The look in one line."""
        return f"{self.seen} {self.when}"
