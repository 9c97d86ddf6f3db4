"""The object: the whole thing on the bench."""

from typing import Annotated, ClassVar

from .dating import Edtf
from .record import SOURCE, Points, Record, column


class MuseumObject(Record):
    """One object of a collection.

    Attributes:
        number: the institution's number.
        made: when it was made, as far as the papers say; not a verdict.
        owner: role or body that holds title; kept apart from `held_by`.
        held_by: role or body that has it in custody.
    """

    kind: ClassVar[str] = "object"
    sheet: ClassVar[str] = "Object"
    meaning: ClassVar[str] = "one object; a workbook may hold several"

    number: str = column(
        "number",
        "the institution's number",
        needed=True,
        also=("object number", "accession number"),
        example="ABC.1931.44",
    )
    name: str = column(
        "name", "what it is, in a few words", needed=True, example="painted folding screen"
    )
    other_numbers: tuple[str, ...] = column(
        "other numbers",
        "old and foreign numbers, separated by ;",
        default=(),
        also=("old numbers",),
        example="D.88; L.3",
    )
    made: Edtf | None = column(
        "made when", "EDTF date from the papers", example="1770~/1790~"
    )
    where: str | None = column("where", "where it was made", also=("place made",))
    owner: str | None = column("owner", "who holds title, as a role or body")
    held_by: str | None = column(
        "held by", "who has custody, as a role or body", also=("keeper", "custodian")
    )
    source: Annotated[str | None, Points(SOURCE, ("source",))] = column(
        "source", "number of the source that says so"
    )
    note: str | None = column("note", "anything else", also=("notes", "remarks"))
