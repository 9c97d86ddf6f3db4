"""Samples, what was prepared from them, and what analysis found."""

from typing import Annotated, ClassVar

from .dating import Edtf
from .measure import Measure
from .part import HOLDERS, inside
from .record import SOURCE, Link, Points, Record, column
from .word import SampleState


class Sample(Record):
    """Something taken to be studied, or a preparation made from it."""

    kind: ClassVar[str] = "sample"
    sheet: ClassVar[str] = "Samples"
    meaning: ClassVar[str] = "one sample, or one preparation from a sample"

    number: str = column("number", "number of the sample", needed=True, example="V02")
    element: Annotated[str, Points("drawn from", ("element", "part"), home=True)] = column(
        "from", "number of the element or part", needed=True, also=("from element",)
    )
    name: str | None = column("name", "what it is")
    made_from: Annotated[str | None, Points("prepared from", ("sample",))] = column(
        "prepared from", "number of the sample it was made from"
    )
    question: str | None = column("question", "what it was taken to find out")
    spot: str | None = column("spot", "where exactly, in words or mm")
    size: Measure | None = column("size", "size or mass with unit", example="0.4 mm")
    permission: str | None = column("permission", "who allowed it")
    taken_when: Edtf | None = column("taken when", "date (EDTF)", also=("when",))
    taken_by: str | None = column("by (role)", "role that took it", also=("by",))
    left: str | None = column("what is left", "in words", also=("remainder",))
    state: SampleState | None = column("state", "what became of it")
    container: Annotated[str | None, Points("put into", HOLDERS)] = column(
        "container", "where it is kept", also=("box", "place")
    )
    review: Edtf | None = column("review when", "when it is to be looked at again")
    source: Annotated[str | None, Points(SOURCE, ("source",))] = column(
        "source", "number of the source that says so"
    )
    note: str | None = column("note", "anything else")

    def links(self, key: str) -> tuple[Link, ...]:
        """Adds where it has lain since it was taken."""
        return Record.links(self, key) + inside(key, self.container, self.taken_when)


class Result(Record):
    """What one analysis of a sample or element found, also when it found nothing."""

    kind: ClassVar[str] = "result"
    sheet: ClassVar[str] = "Results"
    meaning: ClassVar[str] = "what one analysis found, or did not find"

    number: str = column("number", "your own number for it", needed=True, example="R-07")
    of: Annotated[str, Points("result of", ("sample", "element", "part"), home=True)] = (
        column(
            "sample or element",
            "number of what was analysed",
            needed=True,
            also=("sample", "of"),
        )
    )
    method: str = column("method", "technique", needed=True, example="SEM-EDX")
    found: str = column(
        "result", "what was found, or that nothing was", needed=True, also=("found",)
    )
    by: str | None = column("by (role)", "role or laboratory", also=("by", "laboratory"))
    when: Edtf | None = column("when", "date (EDTF)", also=("date",))
    used_up: bool | None = column("used up", "yes where the sample was consumed")
    source: Annotated[str | None, Points(SOURCE, ("source",))] = column(
        "report", "number of the source that reports it", also=("source",)
    )
    note: str | None = column("note", "anything else")

    def label(self) -> str:
        """Number, method and result."""
        return f"{self.number} {self.method}: {self.found}"
