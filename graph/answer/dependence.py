"""What depends on this part if it is taken off: it lists, and recommends nothing."""

from typing import ClassVar

from ..errors import NotRecorded
from ..keeping.dependence import bonds, coming_off
from ..record import Claim, Decision, Element, KeptPart, Question, Record, Result, Sample
from ..state import State
from .answer import Answer, Plain, Said, Thing, as_known, said, thing
from .caution import warnings

LIMITS = (
    "This lists what is recorded. What nobody recorded does not stand here; whether "
    "anything is taken off is for people to decide."
)


class Bound(Plain):
    """How another element stands to this one.

    Attributes:
        status: where the other stands; None where not recorded.
        first: True where it would have to come off, or be opened, first.
    """

    other: Thing
    how: str
    status: str | None
    says: Thing
    first: bool


class Depends(Answer):
    """Answer to `vestige depends ELEMENT`.

    Attributes:
        steps: in what order things would have to come off, this one last; things in one
            step are not ordered by the record.
        loop: where the record goes in a circle, and no order follows.
        open: what the record does not tell.
    """

    FORM: ClassVar[str] = "vestige.depends/1"
    about: Thing
    status: str | None
    bonds: tuple[Bound, ...]
    steps: tuple[tuple[Thing, ...], ...]
    loop: tuple[Thing, ...]
    claims: tuple[Said, ...]
    decisions: tuple[Thing, ...]
    samples: tuple[Thing, ...]
    results: tuple[Thing, ...]
    taken: tuple[Thing, ...]
    questions: tuple[Thing, ...]
    open: tuple[str, ...]
    note: str = LIMITS


def depends_of(state: State, key: str) -> Depends:
    """What rests on an element, and what stands in its way.

    Raises:
        NotRecorded: where the thing is no element.
    """
    record = state.held(key).record
    if not isinstance(record, Element):
        raise NotRecorded(f"{state.label(key)} is no element ({record.kind}); name one")
    bound = tuple(
        Bound(
            other=thing(state, one.other),
            how=one.how,
            status=_status(state, one.other),
            says=thing(state, one.says),
            first=one.first,
        )
        for one in bonds(state, key)
    )
    order = coming_off(state, key)
    named = {edge for link, edge in state.pointing(key, "names") if edge == link.src}
    about = {one for one, _ in state.about(key, Claim, "about")}
    claims = tuple(said(state, one) for one in sorted(named | about, key=state.number))
    return Depends(
        form=Depends.FORM,
        as_known=as_known(state),
        cautions=warnings(state, key),
        about=thing(state, key),
        status=_status(state, key),
        bonds=bound,
        steps=tuple(tuple(thing(state, one) for one in step) for step in order.steps),
        loop=tuple(thing(state, one) for one in order.loop),
        claims=claims,
        decisions=_of(state, key, Decision, named | about),
        samples=_of(state, key, Sample),
        results=_of(state, key, Result),
        taken=_of(state, key, KeptPart),
        questions=_of(state, key, Question),
        open=tuple(_open(record, bound)),
    )


def _of(
    state: State, key: str, kind: type[Record], claims: set[str] | None = None
) -> tuple[Thing, ...]:
    """Records of a kind about an element, and those that rest on claims about it."""
    found = [one for about in (key, *sorted(claims or ())) for one, _ in state.about(
        about, kind)]  # fmt: skip
    return tuple(thing(state, one) for one in dict.fromkeys(found))


def _open(record: Element, bound: tuple[Bound, ...]) -> list[str]:
    hows = {one.how for one in bound}
    lacks = []
    if "holds it" not in hows:
        lacks.append("how it is held is not recorded")
    if not hows & {"touches it", "abuts it", "is held by it", "is a part of it"}:
        lacks.append("what it touches, bears or holds is not recorded")
    if not hows & {"lies over it", "lies under it"}:
        lacks.append("what lies over or under it is not recorded")
    if record.status is None:
        lacks.append("its physical status is not recorded")
    return lacks


def _status(state: State, key: str) -> str | None:
    status = state.record(key, Element).status
    return str(status) if status else None
