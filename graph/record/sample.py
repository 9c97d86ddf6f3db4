"""Samples, what was prepared from them, and what analysis found."""

from typing import Annotated, ClassVar, Self

from pydantic import model_validator

from .dating import Edtf
from .feature import Feature, twice_named
from .measure import Measure
from .part import HOLDERS, inside
from .record import SOURCE, Link, Points, Record, column
from .word import SampleState


class Sample(Record):
    """Something taken to be studied, or a preparation made from it.

    Attributes:
        preparation: block, section, slide, extract...; None for the sample as taken.
        amount: how much there was of it at first; None where not recorded.
        parent_used: for a preparation, how much of its parent it used up. Kept apart from
            `amount`: a block weighs more than the crumb in it.
        picture: region of a picture, or picture, that shows the spot.
    """

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
    preparation: str | None = column(
        "kind of preparation",
        "block, section, slide, extract...; empty: as it was taken",
        also=("preparation",),
    )
    size: Measure | None = column("size", "how large, with unit", example="0.4 mm")
    amount: Measure | None = column(
        "amount",
        "how much was taken or made: mass, volume or length, with unit",
        also=("mass",),
        example="2.5 mg",
    )
    parent_used: Measure | None = column(
        "amount of parent used",
        "for a preparation: how much of the sample it was made from went into it",
        example="0.5 mg",
    )
    picture: Annotated[str | None, Points("spot shown in", ("region", "picture"))] = column(
        "spot on picture", "number of the region of a picture, or of the picture"
    )
    taken_in: Annotated[str | None, Points("taken in", ("happening",))] = column(
        "in which happening", "number of the happening", also=("taken in",)
    )
    permission: str | None = column("permission", "who allowed it")
    taken_when: Edtf | None = column("taken when", "date (EDTF)", also=("when",))
    taken_by: str | None = column("by (role)", "role that took it", also=("by",))
    left: str | None = column("what is left", "in words", also=("remainder",))
    state: SampleState | None = column("state", "what became of it")
    container: Annotated[str | None, Points("put into", HOLDERS)] = column(
        "container", "where it is kept", also=("box", "place")
    )
    retention: str | None = column(
        "retention rule",
        "how long it is to be kept, and on whose rule",
        also=("retention",),
        example="keep indefinitely",
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
    of: Annotated[
        str,
        Points("result of", ("sample", "element", "part", "batch", "material"), home=True),
    ] = column(
        "sample or element",
        "number of what was analysed or tested; also a batch or material",
        needed=True,
        also=("sample", "of"),
    )
    method: str = column("method", "technique", needed=True, example="SEM-EDX")
    found: str = column(
        "result", "what was found, or that nothing was", needed=True, also=("found",)
    )
    features: tuple[Feature, ...] = column(
        "features",
        "what was measured, for comparing: name = value with unit, separated by ;",
        default=(),
        example="tin = 8.1 wt%; zinc = found; lead < 0.05 wt%",
    )
    by: str | None = column("by (role)", "role or laboratory", also=("by", "laboratory"))
    when: Edtf | None = column("when", "date (EDTF)", also=("date",))
    used_up: bool | None = column("used up", "yes where the sample was consumed")
    amount_used: Measure | None = column(
        "amount used",
        "how much of the sample it used up, with unit; '0 mg' where nothing",
        example="0.2 mg",
    )
    source: Annotated[str | None, Points(SOURCE, ("source",))] = column(
        "report", "number of the source that reports it", also=("source",)
    )
    note: str | None = column("note", "anything else")

    @model_validator(mode="after")
    def _features_once(self) -> Self:
        if twice := twice_named(self.features):
            raise ValueError(f"the feature '{twice}' stands there twice; keep one of them")
        return self

    def label(self) -> str:
        """Number, method and result."""
        return f"{self.number} {self.method}: {self.found}"
