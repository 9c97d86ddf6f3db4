"""What was put on or into objects: materials, and the batches they came in."""

from typing import Annotated, ClassVar

from .dating import Edtf
from .record import SOURCE, Points, Record, column


class Material(Record):
    """A material by its generic name and grade; never a hazard statement of our own."""

    kind: ClassVar[str] = "material"
    sheet: ClassVar[str] = "Materials"
    meaning: ClassVar[str] = "a material used or found, by its generic name"

    number: str = column("number", "your own number for it", needed=True, example="M-07")
    name: str = column(
        "name", "generic name", needed=True, example="ethyl methacrylate copolymer"
    )
    other_names: tuple[str, ...] = column(
        "other names",
        "names and abbreviations that mean the same, separated by ;",
        default=(),
        also=("synonyms",),
        example="CN; nitrocellulose",
    )
    material_class: str | None = column("class", "class of material", example="adhesive")
    supplier_name: str | None = column("trade name", "as on the tin")
    source: Annotated[str | None, Points(SOURCE, ("source",))] = column(
        "source", "number of the source that says so"
    )
    note: str | None = column("note", "anything else")


class Batch(Record):
    """One delivery or mixture of a material."""

    kind: ClassVar[str] = "batch"
    sheet: ClassVar[str] = "Batches"
    meaning: ClassVar[str] = "one delivery or mixture of a material"

    number: str = column("number", "number of the batch", needed=True, example="B-2019-3")
    material: Annotated[str, Points("batch of", ("material",))] = column(
        "material", "number of the material", needed=True
    )
    opened: Edtf | None = column("opened", "date (EDTF)")
    mixed_as: str | None = column(
        "mixed as", "concentration and solvent, in words", example="20 % in acetone"
    )
    note: str | None = column("note", "anything else")

    def label(self) -> str:
        """Number and how it was mixed."""
        return f"{self.number} ({self.mixed_as})" if self.mixed_as else self.number
