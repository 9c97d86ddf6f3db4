"""A mark on a face or along an edge, as it was measured."""

from typing import Annotated, ClassVar, Self

from pydantic import model_validator

from .dating import Edtf
from .face import FaceSide, corner_of, length_in_mm
from .measure import Measure
from .record import SOURCE, Points, Record, column


class Mark(Record):
    """A point, a line or an outline on a face, or a height along an edge.

    A point has x and y; a line or outline has points; a mark on an edge has a height.
    Every measure bears its unit; what is written "212 ± 2 mm" brings its own scatter.

    Attributes:
        what: what it is (a drip, a hinge cut); only marks of one kind are matched.
        phase: phase in which it was made; marks of different phases are never matched.
        side: for a mark on an edge, the side from which it is cut or on which it shows.
        hinge: True for a cut or ghost of a hinge: leaves so joined must be able to fold.
    """

    kind: ClassVar[str] = "mark"
    sheet: ClassVar[str] = "Marks"
    meaning: ClassVar[str] = "one mark on a face or along an edge, measured"

    number: str = column(
        "number", "your own number for it", needed=True, also=("mark",), example="H1-A-r-1"
    )
    face: Annotated[str, Points("on face", ("face",), home=True)] = column(
        "face", "number of the face or edge", needed=True, also=("edge",), example="A-right"
    )
    what: str = column(
        "kind", "what it is; only marks of one kind meet", needed=True, example="hinge cut"
    )
    x: Measure | None = column("x", "from the left, with its unit", example="120 ± 1 mm")
    y: Measure | None = column("y", "upwards from below, with its unit", example="340 mm")
    height: Measure | None = column(
        "height", "along an edge, from its lower end", example="212 ± 2 mm"
    )
    points: tuple[Measure, ...] = column(
        "points",
        "of a line or outline, in order, separated by ;",
        default=(),
        example="12 x 30 mm; 15 x 80 mm",
    )
    closed: bool | None = column("outline", "yes where the points close to an outline")
    size: Measure | None = column("size", "diameter or length, with its unit")
    angle: Measure | None = column(
        "direction", "of its long axis, from x anticlockwise", example="30°"
    )
    scatter: Measure | None = column(
        "scatter", "how far the reading may lie off", also=("tolerance",), example="2 mm"
    )
    side: FaceSide | None = column("side", "for an edge: front or back, if known")
    hinge: bool | None = column(
        "hinge", "yes for a cut or ghost of a hinge: leaves so joined must fold"
    )
    phase: Annotated[str | None, Points("in phase", ("phase",))] = column(
        "phase", "short name of the phase it belongs to, if known", example="P1"
    )
    source: Annotated[str | None, Points(SOURCE, ("source",))] = column(
        "source", "number of the source that says so"
    )
    by: str | None = column("by (role)", "role that measured it", also=("by",))
    when: Edtf | None = column("when", "when it was measured (EDTF)", also=("date",))
    note: str | None = column("note", "anything else")

    @model_validator(mode="after")
    def _placed(self) -> Self:
        self._one_place()
        for measure, head in ((self.x, "x"), (self.y, "y"), (self.height, "height")):
            if measure is not None:
                length_in_mm(measure, head, above=None)
        for measure, head in ((self.size, "size"), (self.scatter, "scatter")):
            if measure is not None:
                length_in_mm(measure, head)
        for point in self.points:
            corner_of(point, "points")
        if self.angle is not None and self.angle.kind != "angle":
            raise ValueError(f"'direction' is an angle such as 30°; {self.angle} is none")
        return self

    def _one_place(self) -> None:
        if (self.x is None) != (self.y is None):
            missing = "x" if self.x is None else "y"
            raise ValueError(f"'{missing}' is missing: a point needs x and y")
        ways = [self.x is not None, self.height is not None, bool(self.points)]
        if sum(ways) != 1:
            told = "no place" if not any(ways) else "several places"
            raise ValueError(
                f"the mark has {told}: give 'x' and 'y', or 'height' on an edge, or "
                "'points' of a line"
            )
        if self.points and len(self.points) < 2:
            raise ValueError("'points' needs two or more points for a line")

    def label(self) -> str:
        """Its number and what it is."""
        return f"{self.number} {self.what}"

    @property
    def is_edge_mark(self) -> bool:
        """Whether it is known by a height alone."""
        return self.height is not None
