"""What a person decided, why, and what is still open."""

from typing import Annotated, ClassVar

from .dating import Edtf
from .record import SOURCE, Points, Record, column
from .word import Choice


class Decision(Record):
    """A choice about elements, made by a person; never made by the assessment."""

    kind: ClassVar[str] = "decision"
    sheet: ClassVar[str] = "Decisions"
    meaning: ClassVar[str] = "one choice, with its reason"

    number: str = column(
        "number", "your own number for it", needed=True, example="D-2021-02"
    )
    about: Annotated[
        tuple[str, ...], Points("decides on", ("element", "object", "part"), home=True)
    ] = column("about", "numbers of what it is about, separated by ;", needed=True)
    choice: Choice = column("decision", "what was chosen", needed=True)
    reason: str = column(
        "reason", "why, in the words of who decided", needed=True, also=("why",)
    )
    consulted: tuple[str, ...] = column(
        "who was consulted", "roles, separated by ;", default=(), also=("consulted",)
    )
    by: str = column("by (role)", "role that decided", needed=True, also=("by",))
    when: Edtf = column("when", "date (EDTF)", needed=True, also=("date",))
    rests_on: Annotated[tuple[str, ...], Points("rests on", ("claim",))] = column(
        "rests on", "numbers of the observations it rests on, separated by ;", default=()
    )
    assessment_said: str | None = column("assessment said", "what the assessment said then")
    source: Annotated[str | None, Points(SOURCE, ("source",))] = column(
        "source", "number of the source that says so"
    )
    note: str | None = column("note", "anything else")

    def label(self) -> str:
        """Number and choice."""
        return f"{self.number} {self.choice}"


class Question(Record):
    """Something nobody knows yet; "open" is an answer."""

    kind: ClassVar[str] = "question"
    sheet: ClassVar[str] = "Open questions"
    meaning: ClassVar[str] = "something nobody knows yet"

    number: str = column("number", "your own number for it", needed=True, example="Q1")
    about: Annotated[
        tuple[str, ...],
        Points(
            "asks about",
            ("object", "element", "part", "sample", "container", "happening", "fragment"),
            home=True,
        ),
    ] = column("about", "numbers of what it is about, separated by ;", needed=True)
    asked: str = column("question", "the question", needed=True)
    would_settle: str | None = column("what would settle it", "in words")
    answered: str | None = column("answer", "empty while it is open")
    note: str | None = column("note", "anything else")

    def label(self) -> str:
        """Number and question."""
        return f"{self.number} {self.asked}"
