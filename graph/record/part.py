"""Removed parts that are kept, and loose fragments that nobody can place yet."""

from typing import Annotated, ClassVar

from .dating import Edtf
from .measure import Measure
from .record import SOURCE, Link, Points, Record, column

HOLDERS = ("container", "place")


class KeptPart(Record):
    """Something taken off an object, or meant to have been.

    Attributes:
        element: the element it is or came from.
        removed_in: happening in which it came off.
        original_position: where it sat, measured or in words; None where not recorded.
        container: where it was put when it came off; later places come from moves.
        discarded: authority on which it was let go; None where it was not.
    """

    kind: ClassVar[str] = "part"
    sheet: ClassVar[str] = "Removed and kept"
    meaning: ClassVar[str] = "one part taken off an object"

    number: str = column(
        "number", "number of the part or its bag", needed=True, example="BG-014-1"
    )
    element: Annotated[str, Points("taken from", ("element",), home=True)] = column(
        "from element",
        "number of the element it is or came from",
        needed=True,
        also=("element",),
    )
    name: str | None = column("name", "what it is", example="hinge set H3")
    how_many: int | None = column("how many", "count, where it is a count", also=("count",))
    removed_in: Annotated[str | None, Points("removed in", ("happening",))] = column(
        "in which happening", "number of the happening", also=("removed in",)
    )
    removed_when: Edtf | None = column("removed when", "date (EDTF)", also=("when",))
    removed_by: str | None = column("by (role)", "role that removed it", also=("by",))
    reason: str | None = column("reason", "why it came off", also=("why",))
    consent: str | None = column("consent", "who consented", also=("authority",))
    original_position: str | None = column("original position", "where it sat exactly")
    container: Annotated[str | None, Points("put into", HOLDERS)] = column(
        "container", "where it was put", also=("place", "box")
    )
    label_text: str | None = column(
        "label text", "what the label says, to the letter", also=("label",)
    )
    review: Edtf | None = column("review when", "when it is to be looked at again")
    discarded: str | None = column("discarded on authority of", "role that let it go")
    used_up: str | None = column("used up in", "test or analysis that used it up")
    source: Annotated[str | None, Points(SOURCE, ("source",))] = column(
        "source", "number of the source that says so"
    )
    note: str | None = column("note", "anything else")

    def links(self, key: str) -> tuple[Link, ...]:
        """Adds where it lay from the day it came off."""
        return Record.links(self, key) + inside(key, self.container, self.removed_when)


class Fragment(Record):
    """A loose thing that is nobody's yet, or may belong to one of several."""

    kind: ClassVar[str] = "fragment"
    sheet: ClassVar[str] = "Loose fragments"
    meaning: ClassVar[str] = "a loose thing whose parent is not known"

    number: str = column("number", "number given on finding", needed=True, example="b05")
    name: str = column("name", "what it looks like", needed=True)
    container: Annotated[str | None, Points("put into", HOLDERS)] = column(
        "container", "where it lies", also=("box", "place")
    )
    found_when: Edtf | None = column("found when", "date (EDTF)", also=("when",))
    found_by: str | None = column("by (role)", "role that found it", also=("by",))
    material: str | None = column("material", "what it is made of")
    size: Measure | None = column("size", "length and width with unit", example="17 x 9 mm")
    thickness: Measure | None = column("thickness", "with unit", example="2.4 mm")
    weight: Measure | None = column("weight", "with unit", example="1.2 g")
    curvature: Measure | None = column(
        "radius of curvature", "radius of its curve, with unit", example="130 mm"
    )
    colour: str | None = column("colour", "in words")
    marks: str | None = column(
        "marks", "pattern, print, thread, tool marks, in words", also=("pattern",)
    )
    source: Annotated[str | None, Points(SOURCE, ("source",))] = column(
        "source", "number of the source that says so"
    )
    note: str | None = column("note", "anything else")

    def links(self, key: str) -> tuple[Link, ...]:
        """Adds where it has lain since it was found."""
        return Record.links(self, key) + inside(key, self.container, self.found_when)


def inside(key: str, holder: str | None, since: Edtf | None) -> tuple[Link, ...]:
    """The edge "key lay inside holder since", or none where no holder is recorded."""
    if holder is None:
        return ()
    begun, latest = (since.earliest, since.latest) if since else (None, None)
    return (Link(key, INSIDE, holder, begun, latest),)


INSIDE = "inside"
