"""Hazards and restrictions. None of them ever says that a thing is without danger."""

from typing import Annotated, ClassVar, Self

from pydantic import model_validator

from .dating import Edtf
from .record import SOURCE, Points, Record, column
from .word import CautionSort, Known, Scope


class Caution(Record):
    """A hazard or a restriction on an object, element, part, sample, record or picture.

    Attributes:
        known: for a hazard, how it is known; a negative test speaks of one spot only.
        forbids: for a restriction, what may not be done without the authority's word.
        ask: role to ask; shown also to those who may see nothing else, unless *silent*.
        hide: True where the content is shown only as "restricted".
        silent: True where the authority does not allow even that: to who may not see it,
            it is not there at all.
    """

    kind: ClassVar[str] = "caution"
    sheet: ClassVar[str] = "Cautions"
    meaning: ClassVar[str] = "a hazard or a restriction"

    number: str = column("number", "your own number for it", needed=True, example="C-01")
    about: Annotated[
        tuple[str, ...],
        Points(
            "warns of",
            (
                "object",
                "element",
                "part",
                "sample",
                "container",
                "material",
                "picture",
                "claim",
                "source",
                "fragment",
            ),
            home=True,
        ),
    ] = column("about", "numbers of what it concerns, separated by ;", needed=True)
    sort: CautionSort = column("kind", "hazard or restriction", needed=True)
    what: str = column("what", "the hazard or the rule, in words", needed=True)
    known: Known | None = column("known or suspected", "for a hazard: how it is known")
    forbids: tuple[Scope, ...] = column(
        "forbids", "for a restriction, separated by ;", default=()
    )
    basis: str | None = column("basis", "test, method, date, spot, or agreement")
    authority: str | None = column("authority", "who set it, as a role or body")
    ask: str | None = column("whom to ask", "role to ask")
    when: Edtf | None = column("since", "date (EDTF)", also=("when",))
    review: Edtf | None = column("review when", "when it is to be reviewed")
    hide: bool | None = column("hide content", "yes where the content is closed")
    silent: bool | None = column(
        "leave no trace", "yes where others may not even learn that there is something"
    )
    source: Annotated[str | None, Points(SOURCE, ("source",))] = column(
        "source", "number of the source that says so"
    )
    note: str | None = column("note", "anything else")

    @model_validator(mode="after")
    def _complete(self) -> Self:
        if self.sort is CautionSort.RESTRICTION and not self.ask:
            raise ValueError("a restriction needs the role to ask: fill in 'whom to ask'")
        if self.silent and not self.hide:
            raise ValueError(
                "'leave no trace' closes the content too: write yes under 'hide content'"
            )
        if self.sort is CautionSort.HAZARD and self.known is None:
            raise ValueError(
                "a hazard needs 'known or suspected' (known, suspected, "
                "tested negative, not tested)"
            )
        return self

    def label(self) -> str:
        """Number and what it warns of."""
        return f"{self.number} {self.what}"
