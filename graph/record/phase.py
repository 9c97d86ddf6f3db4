"""A span in the life of one object in which its make-up did not change."""

from typing import Annotated, ClassVar

from .dating import Edtf
from .record import SOURCE, Points, Record, column
from .word import AgentClass, Span


class Phase(Record):
    """One phase of one object; phases are numbered in their order from 1.

    Attributes:
        number: unique in the archive; made from the object's number and the short name.
        order: place in the order of phases, counted from 1; 1 is the making.
        span: which part of the object's life it is; the verdict words depend on it.
        begins: when it began, EDTF; None where not recorded.
        ends: when it ended, EDTF; None where not recorded.
    """

    kind: ClassVar[str] = "phase"
    sheet: ClassVar[str] = "Phases"
    meaning: ClassVar[str] = "one span of an object's life, in order"

    number: str = column(
        "short name",
        "short name used in other sheets",
        needed=True,
        also=("phase", "number"),
        example="P1",
    )
    object: Annotated[str, Points("phase of", ("object",), home=True)] = column(
        "object", "number of the object", needed=True, example="ABC.1931.44"
    )
    order: int = column("order", "1 for the making, then upwards", needed=True, example="1")
    name: str = column("name", "plain name", needed=True, example="making")
    span: Span = column("span", "which part of its life", needed=True, also=("kind",))
    begins: Edtf | None = column(
        "from", "when it began (EDTF)", example="1770~", also=("begins",)
    )
    ends: Edtf | None = column(
        "to", "when it ended (EDTF)", example="1790~", also=("ends",)
    )
    agent_class: AgentClass | None = column(
        "by whom", "whose hand, as a class", also=("agent class",)
    )
    source: Annotated[str | None, Points(SOURCE, ("source",))] = column(
        "source", "number of the source that says so"
    )
    note: str | None = column("note", "anything else")

    def short_name(self) -> str:
        """The name used in the object's own sheets, e.g. ``"P1"``."""
        return self.number.rsplit("/", 1)[-1]

    def label(self) -> str:
        """Short name and plain name."""
        return f"{self.short_name()} {self.name}"
