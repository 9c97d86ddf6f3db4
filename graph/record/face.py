"""A face or an edge of an element, with its own coordinates in millimetres."""

from enum import StrEnum
from typing import Annotated, ClassVar, Self

from pydantic import model_validator

from .dating import Edtf
from .measure import Measure
from .record import SOURCE, Points, Record, column
from .word import SYNONYMS

__all__ = ["Face", "FaceReading", "FaceSide", "FaceSort", "corner_of", "length_in_mm"]


class FaceSort(StrEnum):
    """Whether marks have two coordinates or one."""

    FACE = "face"
    EDGE = "edge"  # known by heights along it alone


class FaceSide(StrEnum):
    """Which face or edge of its piece, as one stands before the front of it."""

    FRONT = "front"
    BACK = "back"
    LEFT = "left"
    RIGHT = "right"
    TOP = "top"
    BOTTOM = "bottom"
    INSIDE = "inside"
    OUTSIDE = "outside"


class FaceReading(StrEnum):
    """Whether coordinates were read the right way round."""

    DIRECT = "as seen"
    MIRRORED = "mirrored"
    NOT_DECLARED = "not known"


SYNONYMS[FaceReading] = {
    "direct": FaceReading.DIRECT,
    "reversed": FaceReading.MIRRORED,
    "not declared": FaceReading.NOT_DECLARED,
}
SYNONYMS[FaceSide] = {
    "recto": FaceSide.FRONT,
    "verso": FaceSide.BACK,
    "underside": FaceSide.BOTTOM,
}


def length_in_mm(measure: Measure, head: str, *, above: float | None = 0.0) -> float:
    """The one length that a measure gives, in millimetres.

    Args:
        measure: the measure as written, with its unit.
        head: head of its column, for the message.
        above: what it must exceed; None where 0 is allowed.

    Raises:
        ValueError: another kind of unit, several sizes, or too small a length.
    """
    if measure.kind != "length":
        raise ValueError(f"'{head}' is a length, and {measure} is a {measure.kind}")
    sizes = measure.in_unit("mm")
    if len(sizes) != 1:
        raise ValueError(f"'{head}' is one length, and {measure} gives {len(sizes)}")
    if above is not None and sizes[0] <= above:
        raise ValueError(f"'{head}' must be more than {above:g} mm; it is {measure}")
    return sizes[0]


def corner_of(measure: Measure, head: str) -> tuple[float, float]:
    """The point that a measure such as ``"120 x 340 mm"`` gives: x, y in millimetres.

    Raises:
        ValueError: another kind of unit, or not two sizes.
    """
    if measure.kind != "length" or len(measure.magnitudes) != 2:
        raise ValueError(f"'{head}' holds points such as 120 x 340 mm; {measure} is none")
    x, y = measure.in_unit("mm")
    return x, y


class Face(Record):
    """Where marks are measured: x to the right, y upwards, from the lower left corner.

    As the face is seen by somebody who stands before it; an edge has heights alone.

    Attributes:
        piece: name of the leaf or board in arrangements ("A"); None: the number of the
            element.
        examined: whether it was looked at for marks; None: it was where it bears any.
        reading: None where no picture is named: read on the thing itself, as seen. With
            a picture: as the picture says of itself, else not known.
        scale: millimetres that one pixel of the picture stands for.
        origin_x, origin_y: pixel of the lower left corner of the face.
    """

    kind: ClassVar[str] = "face"
    sheet: ClassVar[str] = "Faces"
    meaning: ClassVar[str] = "one face or edge of an element, on which marks are measured"

    number: str = column(
        "number", "your own number for it", needed=True, also=("face",), example="A-right"
    )
    element: Annotated[str, Points("face of", ("element",), home=True)] = column(
        "element", "number of the element whose face it is", needed=True
    )
    sort: FaceSort = column(
        "kind", "face (x and y) or edge (heights alone)", needed=True, also=("sort",)
    )
    side: FaceSide = column("side", "which face or edge, seen from the front", needed=True)
    piece: str | None = column(
        "piece", "name of the leaf or board in arrangements", also=("leaf",), example="A"
    )
    width: Measure | None = column("width", "of a face, with its unit", example="560 mm")
    height: Measure | None = column(
        "height",
        "of a face; of an edge its length; with its unit",
        also=("length",),
        example="1800 mm",
    )
    outline: tuple[Measure, ...] = column(
        "outline",
        "corners in order where it is no rectangle, separated by ;",
        default=(),
        example="0 x 0 mm; 560 x 0 mm; 280 x 900 mm",
    )
    examined: bool | None = column(
        "examined", "no where nobody looked for marks, yes where it bears none"
    )
    picture: Annotated[str | None, Points("measured on", ("picture",))] = column(
        "picture", "number of the picture on which marks were measured, if on one"
    )
    scale: Measure | None = column(
        "one pixel is", "what one pixel of the picture stands for", example="0.25 mm"
    )
    origin_x: int | None = column("corner x", "its lower left corner, pixels from the left")
    origin_y: int | None = column("corner y", "its lower left corner, pixels from the top")
    reading: FaceReading | None = column(
        "read", "as seen, mirrored (a reversed picture) or not known"
    )
    source: Annotated[str | None, Points(SOURCE, ("source",))] = column(
        "source", "number of the source that says so"
    )
    by: str | None = column("by (role)", "role that measured it", also=("by",))
    when: Edtf | None = column("when", "when it was measured (EDTF)", also=("date",))
    note: str | None = column("note", "anything else")

    @model_validator(mode="after")
    def _measured(self) -> Self:
        if self.height is None:
            edge = self.sort is FaceSort.EDGE
            what = "an edge needs its length" if edge else "a face needs its height"
            raise ValueError(f"{what} in the column 'height'")
        length_in_mm(self.height, "height")
        if self.sort is FaceSort.FACE and self.width is None:
            raise ValueError("a face needs its width in the column 'width'")
        if self.width is not None:
            length_in_mm(self.width, "width")
        if self.outline and len(self.outline) < 3:
            raise ValueError("'outline' needs three corners or more")
        for corner in self.outline:
            corner_of(corner, "outline")
        if self.scale is not None:
            length_in_mm(self.scale, "one pixel is")
        return self

    def label(self) -> str:
        """Its number, and which face or edge it is."""
        return f"{self.number} ({self.side} {self.sort})"

    def piece_name(self, element_number: str) -> str:
        """Name of its piece in arrangements."""
        return self.piece or element_number
