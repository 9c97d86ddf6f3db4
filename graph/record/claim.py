"""A claim: one thing seen or said, by whom, from what source, how strongly."""

from typing import Annotated, ClassVar, Self

from pydantic import model_validator

from .dating import Edtf
from .record import SOURCE, Link, Points, Record, column
from .word import (
    STANDS_ALONE,
    TAKES_DATE,
    TAKES_PHASE,
    TAKES_TEXT,
    Relation,
    Stance,
    Strength,
)

ANYTHING = (
    "object", "element", "happening", "part", "sample", "fragment", "container", "source",
    "claim", "result", "picture", "decision",
)  # fmt: skip
SCALE = "trade-words-1"


class Claim(Record):
    """Nothing is true in Vestige except that somebody said it.

    Attributes:
        about: what the claim is about.
        relation: what it says.
        other: the other element, where the relation joins two.
        value: date (EDTF), words or count, where the relation takes a value.
        phase: phase named by the claim, or in which it holds.
        act: claims of one act of looking or telling share this word; a copy repeats the
            act of what it was derived from, so it adds nothing.
        scale: id of the scale on which `strength` is a word.
    """

    kind: ClassVar[str] = "claim"
    sheet: ClassVar[str] = "Observations"
    meaning: ClassVar[str] = "one thing seen or said"

    number: str = column(
        "number",
        "your own number for it",
        needed=True,
        example="SV8",
        also=("observation",),
    )
    about: Annotated[str, Points("about", ANYTHING, home=True)] = column(
        "about", "number of the element (or other thing)", needed=True, also=("element",)
    )
    relation: Relation = column(
        "relation", "what is said of it", needed=True, also=("says", "relation word")
    )
    other: Annotated[str | None, Points("names", ANYTHING)] = column(
        "other element", "number of the other element", also=("other",)
    )
    value: str | None = column("value", "date (EDTF), number or words", example="1846")
    phase: Annotated[str | None, Points("in phase", ("phase",))] = column(
        "phase", "short name of the phase", example="P1"
    )
    strength: Strength = column("strength", "how strongly it speaks", needed=True)
    stance: Stance = column("for or against", "empty: for", default=Stance.FOR)
    method: str | None = column("how seen", "method of looking", example="raking light")
    by: str | None = column("by (role)", "role that saw or said it", also=("by",))
    when: Edtf | None = column("when", "when it was seen or said (EDTF)", also=("date",))
    source: Annotated[str | None, Points(SOURCE, ("source",))] = column(
        "source", "number of the source", needed=False
    )
    derived_from: Annotated[str | None, Points("derived from", ("claim", "source"))] = (
        column("derived from", "number of the observation or source it repeats")
    )
    act: str | None = column(
        "same look as", "observations of one act of looking share a word", also=("act",)
    )
    region: str | None = column("region", "where in the world, for first-use dates")
    material: str | None = column(
        "material", "material that dates it, if one does", example="titanium white, rutile"
    )
    rival: str | None = column(
        "other explanation", "what else could explain it", also=("rival",)
    )
    spot: str | None = column("spot", "where exactly, in words")
    picture: Annotated[tuple[str, ...], Points("shown in", ("picture",))] = column(
        "picture", "numbers of pictures, separated by ;", default=()
    )
    scale: str = column("scale", "id of the strength scale", default=SCALE)
    note: str | None = column("note", "the observation in words", also=("text", "notes"))

    @model_validator(mode="after")
    def _complete(self) -> Self:
        lacking = self._lacking()
        if lacking:
            raise ValueError(f"'{self.relation}' {lacking}")
        if self.relation in TAKES_DATE:
            Edtf.parse(self.value or "")
        if self.other is not None and self.other == self.about:
            raise ValueError("a thing cannot stand in a relation to itself")
        return self

    def _lacking(self) -> str:
        """What the relation needs and the claim does not have; empty where nothing."""
        relation = self.relation
        if relation in TAKES_DATE:
            return "" if self.value else "needs a date in the column 'value'"
        if relation in TAKES_PHASE:
            return "" if self.phase else "needs a phase in the column 'phase'"
        if relation in TAKES_TEXT:
            return "" if self.value or self.note else "needs words in the column 'value'"
        if relation is Relation.STOOD_AGAINST and not self.phase:
            return "needs a phase in the column 'phase': in which they stood so"
        if self.other or relation in STANDS_ALONE:
            return ""
        return "joins two things: name the other one in 'other element'"

    def label(self) -> str:
        """Number and what it says, in one line."""
        said = [self.number, str(self.relation)]
        return " ".join(said + ([self.value] if self.value else []))

    def links(self, key: str) -> tuple[Link, ...]:
        """The claim's own links, and the edge that it asserts between two things."""
        own = Record.links(self, key)
        if self.other is None:
            return own
        seen = self.when
        return (
            *own,
            Link(
                self.about,
                str(self.relation) if self.stance is Stance.FOR else f"not {self.relation}",
                self.other,
                seen.earliest if seen else None,
                seen.latest if seen else None,
                self.source,
                str(self.strength),
            ),
        )
