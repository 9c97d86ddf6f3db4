"""An element of an object: part, fixing, layer, feature, or an absence looked for."""

from typing import Annotated, ClassVar, Self

from pydantic import model_validator

from .cord import Cord
from .dating import Edtf
from .feature import Feature, MaterialClass, twice_named
from .measure import Measure
from .record import SOURCE, Points, Record, column
from .word import AgentClass, ElementSort, Judgement, Status

ELEMENT = ("element",)


class Element(Record):
    """Something on an object that can be spoken of by itself.

    Four axes are never merged: phase of arrival is the assessment's answer, agent class,
    physical status and judgement stand here as somebody recorded them.

    Attributes:
        part_of: the element it belongs to; None where it belongs to the object directly.
        core: True for an element that *is* the object by definition: its making is the
            first phase.
        held_by: fixings that hold it in its present place.
        touches: elements that it is in contact with.
        status: physical status as recorded; None where not recorded.
    """

    kind: ClassVar[str] = "element"
    sheet: ClassVar[str] = "Elements"
    meaning: ClassVar[str] = "a part, fixing, layer or feature, or something looked for"

    number: str = column(
        "number",
        "your own number for it; unique in the archive",
        needed=True,
        also=("element", "element number"),
        example="SCR-14",
    )
    object: Annotated[str, Points("element of", ("object",), home=True)] = column(
        "object",
        "number of the object; may be empty where the workbook has one object",
        needed=True,
        example="ABC.1931.44",
    )
    name: str = column("name", "what it is", needed=True, example="hinge set H3")
    sort: ElementSort = column(
        "kind",
        "part, fixing, layer, feature or absence",
        needed=True,
        also=("sort", "type"),
    )
    part_of: Annotated[str | None, Points("part of", ELEMENT)] = column(
        "part of", "number of the element that it belongs to", also=("parent",)
    )
    material: str | None = column("material", "what it is made of", example="brassed steel")
    size: Measure | None = column(
        "size", "size with its unit", example="560 mm", also=("dimensions", "measurements")
    )
    thickness: Measure | None = column(
        "thickness", "with its unit; of a loss: of the wall around it", example="2.4 mm"
    )
    curvature: Measure | None = column(
        "radius of curvature", "radius of its curve, with unit", example="130 mm"
    )
    where: str | None = column("where on the object", "in words", also=("position",))
    held_by: Annotated[tuple[str, ...], Points("held by", ELEMENT)] = column(
        "held by",
        "numbers of the fixings that hold it, separated by ;",
        default=(),
        also=("fixed by", "fastened by"),
    )
    touches: Annotated[tuple[str, ...], Points("touches", ELEMENT)] = column(
        "touches", "numbers of the elements it touches, separated by ;", default=()
    )
    core: bool | None = column("core", "yes where this element is the object itself")
    twist: Cord | None = column(
        "twist",
        "cord or thread, from the outside in, e.g. S(2z)",
        example="S(2z)",
        also=("cord", "yarn"),
    )
    material_class: MaterialClass | None = column(
        "class of material", "class of stuff, for comparing it with others of its class"
    )
    features: tuple[Feature, ...] = column(
        "features",
        "what was measured or seen of the stuff: name = value with unit, separated by ;",
        default=(),
        example="diameter = 0.4 mm; fibre = flax; lead = not found",
    )
    looked_for_by: str | None = column(
        "looked for by",
        "for an absence: by what method it was looked for",
        example="x-radiograph",
    )
    status: Status | None = column("status", "where it stands now, physically")
    agent_class: AgentClass | None = column(
        "by whom", "whose hand, as a class", also=("agent class",)
    )
    judgement: Judgement | None = column("judgement", "what those who judged called it")
    judged_by: str | None = column("judged by", "role that judged")
    judged_when: Edtf | None = column("judged when", "date (EDTF)")
    source: Annotated[str | None, Points(SOURCE, ("source",))] = column(
        "source", "number of the source that says so"
    )
    note: str | None = column("note", "anything else", also=("notes", "remarks"))

    @model_validator(mode="after")
    def _looked_for(self) -> Self:
        if self.sort is ElementSort.ABSENCE and not self.looked_for_by:
            raise ValueError(
                "an absence needs the method by which it was looked for: "
                "fill in 'looked for by'"
            )
        return self

    @model_validator(mode="after")
    def _features_once(self) -> Self:
        if twice := twice_named(self.features):
            raise ValueError(f"the feature '{twice}' stands there twice; keep one of them")
        return self
