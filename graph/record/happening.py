"""What happened to an object: making, repair, damage, treatment, loan."""

from typing import Annotated, ClassVar

from .dating import Edtf
from .record import SOURCE, Points, Record, column
from .word import AgentClass, HappeningSort


class Happening(Record):
    """An event of one object, in a phase, with a date window.

    Attributes:
        elements: elements that it made, put, moved, mended or took.
        used: materials and batches that it used.
        carries_out: decisions that it carries out, as far as somebody recorded it.
    """

    kind: ClassVar[str] = "happening"
    sheet: ClassVar[str] = "Happenings"
    meaning: ClassVar[str] = "a making, repair, damage, treatment, loan..."

    number: str = column(
        "number",
        "your own number for it",
        needed=True,
        also=("event",),
        example="T-2019-07",
    )
    object: Annotated[str, Points("happened to", ("object",), home=True)] = column(
        "object", "number of the object", needed=True
    )
    name: str = column("name", "what happened, in a few words", needed=True)
    sort: HappeningSort = column(
        "kind", "what kind of happening", needed=True, also=("type",)
    )
    when: Edtf | None = column("when", "date (EDTF)", also=("date",))
    phase: Annotated[str | None, Points("in phase", ("phase",))] = column(
        "phase", "short name of the phase"
    )
    by: str | None = column("by (role)", "role that did it", also=("by",))
    agent_class: AgentClass | None = column("by whom", "whose hand, as a class")
    elements: Annotated[tuple[str, ...], Points("concerns", ("element",))] = column(
        "elements", "numbers of elements concerned, separated by ;", default=()
    )
    used: Annotated[tuple[str, ...], Points("used", ("material", "batch"))] = column(
        "material or batch",
        "numbers of materials or batches used, separated by ;",
        default=(),
        also=("materials", "used"),
    )
    technique: str | None = column("technique", "how")
    carries_out: Annotated[tuple[str, ...], Points("carries out", ("decision",))] = column(
        "carries out",
        "numbers of the decisions that it carries out, separated by ;",
        default=(),
        also=("decision", "decisions"),
        example="D-2021-02",
    )
    why: str | None = column("why", "reason given")
    source: Annotated[str | None, Points(SOURCE, ("source",))] = column(
        "source", "number of the source that says so"
    )
    note: str | None = column("note", "anything else")
