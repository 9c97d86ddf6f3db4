"""Who or what speaks: sources, and the roles under which people are recorded."""

from typing import Annotated, ClassVar

from .dating import Edtf
from .record import Points, Record, column
from .word import Hand, Reliability, SourceKind


class Source(Record):
    """A paper, picture, person, laboratory or examination that makes claims.

    Attributes:
        dated: when the source itself was made; its content is dated only second.
        copies: sources that it copies; a copy adds exactly nothing.
        reliability: how sound it is held to be, once for all its claims; None leaves it
            to the kind of source.
        access: role to be asked before it is shown; None where everybody may read it.
    """

    kind: ClassVar[str] = "source"
    sheet: ClassVar[str] = "Sources"
    meaning: ClassVar[str] = "a paper, picture, person, laboratory or examination"

    number: str = column("number", "your own number for it", needed=True, example="S-12")
    name: str = column(
        "name", "what it is", needed=True, example="workshop day-book 1958", also=("title",)
    )
    sort: SourceKind = column("kind", "what kind of source", needed=True, also=("type",))
    dated: Edtf | None = column("dated", "date of the source itself (EDTF)", also=("date",))
    by: str | None = column("by (role)", "role that made it", also=("by", "author"))
    hand: Hand | None = column(
        "first or second hand", "did it see for itself", also=("hand",)
    )
    reliability: Reliability | None = column("reliability", "how sound, for all its claims")
    copies: Annotated[tuple[str, ...], Points("copies", ("source",))] = column(
        "copies",
        "numbers of sources that it copies, separated by ;",
        default=(),
        also=("copied from", "derived from"),
    )
    access: str | None = column(
        "who may read", "role to ask; empty: everybody", also=("access",)
    )
    consent: str | None = column("consent", "for an oral account: consent as given")
    kept_at: str | None = column("kept at", "where the paper itself is")
    note: str | None = column("note", "anything else")


class Role(Record):
    """A role under which people act; names stay out of the archive."""

    kind: ClassVar[str] = "role"
    sheet: ClassVar[str] = "Roles"
    meaning: ClassVar[str] = "a role under which people are recorded"

    number: str = column(
        "short name", "as used in other sheets", needed=True, example="OC", also=("role",)
    )
    name: str = column(
        "name", "the role in words", needed=True, example="objects conservator"
    )
    begins: Edtf | None = column("from", "since when (EDTF)")
    ends: Edtf | None = column("to", "until when (EDTF)")
    note: str | None = column("note", "anything else")
