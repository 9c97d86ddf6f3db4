"""What became of a part, a sample or a thing that came off: each turn with its date.

A move says where a thing was put, a look whether it was seen; a fate says what it became.
Where a thing stands in its life is read from all three and is written down nowhere.
"""

from enum import StrEnum
from typing import Annotated, ClassVar, Self

from pydantic import model_validator

from .dating import Edtf
from .record import SOURCE, Points, Record, column


class Became(StrEnum):
    """The turns that a removed part or a sample can take."""

    MOVED_WITHIN = "moved within the object"
    PUT_BACK = "put back"
    REMOVED_AGAIN = "removed again"
    ON_LOAN = "on loan"
    AT_LABORATORY = "at the laboratory"
    RETURNED = "returned"
    DIVIDED = "divided"
    CONSUMED = "consumed"
    DISCARDED = "discarded with authority"
    DISCARDED_UNRECORDED = "discarded without record"
    MISSING = "missing"
    FOUND = "found"


class Fate(Record):
    """One turn in the life of one or several things.

    Attributes:
        what: what it befell.
        became: the turn.
        authority: role that allowed it; needed where something is discarded with it.
        into: the pieces, where it was divided.
    """

    kind: ClassVar[str] = "fate"
    sheet: ClassVar[str] = "What became of it"
    meaning: ClassVar[str] = "one turn in the life of a part, sample or loose thing"
    same_by: ClassVar[tuple[str, ...]] = ("what", "became", "when")

    number: str | None = column("number", "number of the act, if it has one")
    what: Annotated[
        tuple[str, ...],
        Points("befell", ("part", "sample", "fragment", "element", "container"), home=True),
    ] = column("what", "numbers of what it befell, separated by ;", needed=True)
    became: Became = column("became", "what became of it", needed=True, also=("turn",))
    when: Edtf = column("when", "date (EDTF)", needed=True, also=("date",))
    by: str | None = column("by (role)", "role that did it", also=("by",))
    authority: str | None = column(
        "on whose authority", "role that allowed it", also=("authority",)
    )
    why: str | None = column("why", "reason", also=("reason",))
    into: Annotated[tuple[str, ...], Points("divided into", ("part", "sample"))] = column(
        "divided into", "numbers of the pieces, separated by ;", default=()
    )
    source: Annotated[str | None, Points(SOURCE, ("source",))] = column(
        "source", "number of the source that says so"
    )
    note: str | None = column("note", "anything else")

    @model_validator(mode="after")
    def _complete(self) -> Self:
        if self.became is Became.DISCARDED and not (self.authority and self.why):
            raise ValueError(
                "what is discarded with authority needs 'on whose authority' and 'why'; "
                "where nobody recorded them, write 'discarded without record'"
            )
        if self.became is Became.DIVIDED and not self.into:
            raise ValueError("what was divided needs 'divided into', the pieces")
        return self

    def label(self) -> str:
        """The turn in one line."""
        return f"{self.number or 'turn'}: {self.became} {self.when}"
