"""What is due to be looked at again, and what stands in the way of letting a thing go.

A date that is not exact is due from its first day and overdue after its last. Nothing here
says that a thing may be disposed of; it lists what the record holds against it.
"""

from dataclasses import dataclass
from enum import StrEnum

from ..record import Caution, CautionSort, Edtf, KeptPart, Question, Sample
from ..state import State
from .caution import cautions
from .disposal import dependents
from .whereabouts import whereabouts


class Standing(StrEnum):
    """How a date stands to a day."""

    OVERDUE = "overdue"
    DUE = "due"
    LATER = "later"


@dataclass(frozen=True, slots=True)
class Due:
    """One date on which something is to be looked at again.

    Attributes:
        thing: key of the thing; of the caution, for a restriction or hazard.
        what: what is due, in words.
        when: the date.
        standing: how it stands to the day asked about.
    """

    thing: str
    what: str
    when: Edtf
    standing: Standing


@dataclass(frozen=True, slots=True)
class Block:
    """Something recorded that stands in the way of letting a thing go.

    Attributes:
        sort: "depends on it", "restriction", "hazard", "consent", "retention" or
            "open question".
        text: in words.
        says: key of the record that says so; None where something is lacking.
    """

    sort: str
    text: str
    says: str | None


def standing(when: Edtf, day: int) -> Standing:
    """How a date stands to a day, days since 1970-01-01."""
    if when.latest is not None and when.latest < day:
        return Standing.OVERDUE
    if when.earliest is None or when.earliest <= day:
        return Standing.DUE
    return Standing.LATER


def due(state: State, day: int) -> tuple[Due, ...]:
    """Every review date recorded, the earliest first; also those that are later."""
    found = []
    for key in state:
        record = state.held(key).record
        if not isinstance(record, (KeptPart, Sample, Caution)) or record.review is None:
            continue
        found.append(Due(key, _what(record), record.review, standing(record.review, day)))
    return tuple(sorted(found, key=lambda one: (_first(one.when), state.number(one.thing))))


def without_date(state: State) -> tuple[str, ...]:
    """Kept parts and samples that are somewhere and bear no review date."""
    kept: list[tuple[str, KeptPart | Sample]] = [
        *state.all_of(KeptPart),
        *state.all_of(Sample),
    ]
    found = [
        key
        for key, one in kept
        if one.review is None and whereabouts(state, key).gone is None
    ]
    return tuple(sorted(found, key=state.number))


def blocks(state: State, thing: str) -> tuple[Block, ...]:
    """What is recorded that stands in the way of letting a thing go, each once."""
    found = [
        Block("depends on it", f"{state.label(one.key)}: {one.why}", one.key)
        for one in dependents(state, thing)
    ]
    for carried in cautions(state, thing):
        one = state.record(carried.caution, Caution)
        sort = "restriction" if one.sort is CautionSort.RESTRICTION else "hazard"
        ask = f"; ask {one.ask}" if one.ask else ""
        text = f"{one.what} ({carried.how}{ask})"
        found.append(Block(sort, text, carried.caution))
    record = state.held(thing).record
    if isinstance(record, KeptPart) and not record.consent:
        found.append(
            Block("consent", "with whose consent it came off is not recorded", None)
        )
    if isinstance(record, Sample) and not record.permission:
        found.append(Block("consent", "who permitted the sampling is not recorded", None))
    if isinstance(record, Sample) and record.retention:
        found.append(Block("retention", record.retention, thing))
    for key, question in state.about(thing, Question, "asks about"):
        if not question.answered:
            found.append(Block("open question", question.asked, key))
    return tuple(dict.fromkeys(found))


def _what(record: KeptPart | Sample | Caution) -> str:
    if isinstance(record, Caution):
        basis = f" ({record.basis})" if record.basis else ""
        return f"review of the {record.sort}{basis}"
    return "review of its retention"


def _first(when: Edtf) -> int:
    return -(10**9) if when.earliest is None else when.earliest
