"""Pictures and the regions on them."""

from typing import Annotated, ClassVar

from .claim import ANYTHING
from .dating import Edtf
from .record import SOURCE, Points, Record, column


class Picture(Record):
    """An image file; the original stays untouched beside the archive.

    Attributes:
        file: name of the file, relative to the archive's pictures.
        checksum: SHA-256 of the file, hex; None until it was read.
        mirrored: True where the print is known to be reversed.
    """

    kind: ClassVar[str] = "picture"
    sheet: ClassVar[str] = "Pictures"
    meaning: ClassVar[str] = "one image file"

    number: str = column("number", "your own number for it", needed=True, example="PH-01")
    of: Annotated[tuple[str, ...], Points("shows", ANYTHING, home=True)] = column(
        "of", "numbers of what it shows, separated by ;", needed=True
    )
    name: str | None = column("name", "what is to be seen; also the text alternative")
    file: str | None = column("file", "name of the file")
    taken: Edtf | None = column("taken when", "date (EDTF)", also=("when",))
    by: str | None = column("by (role)", "role that took it", also=("by",))
    light: str | None = column("light", "kind of light or method", example="raking")
    mirrored: bool | None = column("mirrored", "yes where it is reversed")
    checksum: str | None = column("checksum", "SHA-256 of the file, hex")
    source: Annotated[str | None, Points(SOURCE, ("source",))] = column(
        "source", "number of the source it belongs to"
    )
    note: str | None = column("note", "anything else")


class Region(Record):
    """A rectangle on a picture, in pixels of the full picture (Web Annotation xywh)."""

    kind: ClassVar[str] = "region"
    sheet: ClassVar[str] = "Regions"
    meaning: ClassVar[str] = "a rectangle on a picture that shows something"
    same_by: ClassVar[tuple[str, ...]] = ("picture", "of", "x", "y")

    number: str | None = column("number", "number of the region, if it has one")
    picture: Annotated[str, Points("region of", ("picture",))] = column(
        "picture", "number of the picture", needed=True
    )
    of: Annotated[str, Points("marks", ANYTHING, home=True)] = column(
        "of", "number of what is marked", needed=True
    )
    x: int = column("x", "left edge, pixels from the left", needed=True)
    y: int = column("y", "top edge, pixels from the top", needed=True)
    width: int = column("width", "pixels", needed=True)
    height: int = column("height", "pixels", needed=True)
    note: str | None = column("note", "anything else")
