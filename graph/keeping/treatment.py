"""What a treatment took: linked to it by the record, or only of its time.

A sample that names the happening, a decision that it carries out, and either of them with
the same source belong to it. One that is only of the same object, about the same elements
and dated within it is told apart as such.
"""

from dataclasses import dataclass

from ..record import Decision, Edtf, Happening, KeptPart, MuseumObject, Sample
from ..state import State
from .caution import came_from


@dataclass(frozen=True, slots=True)
class Taken:
    """A thing or record of a treatment.

    Attributes:
        key: its key.
        linked: True where the record names the happening or its report; False where only
            its date falls within it.
    """

    key: str
    linked: bool


def happenings_of(state: State, key: str) -> tuple[str, ...]:
    """Happenings asked for: itself, or all that concern an element or befell an object."""
    record = state.held(key).record
    if isinstance(record, Happening):
        return (key,)
    word = "happened to" if isinstance(record, MuseumObject) else "concerns"
    found = state.about(key, Happening, word)
    return tuple(one for one, _ in sorted(found, key=lambda pair: _day(pair[1].when)))


def parts_removed(state: State, happening: str) -> tuple[str, ...]:
    """Parts recorded as removed in it."""
    return tuple(key for key, _ in state.about(happening, KeptPart, "removed in"))


def samples_taken(state: State, happening: str) -> tuple[Taken, ...]:
    """Samples taken in it, and those of its object that are dated within it."""
    event = state.record(happening, Happening)
    found = [Taken(key, True) for key, _ in state.about(happening, Sample, "taken in")]
    known = {one.key for one in found}
    for key, sample in state.all_of(Sample):
        chain = came_from(state, key)
        ours = key not in known and sample.taken_in is None and event.object in chain
        if ours and sample.made_from is None and _within(sample.taken_when, event.when):
            found.append(Taken(key, bool(sample.source and sample.source == event.source)))
    return tuple(found)


def decisions_in(state: State, happening: str) -> tuple[Taken, ...]:
    """Decisions that it carries out, then those about what it concerns: by its report or
    dated within it."""
    event = state.record(happening, Happening)
    found = [Taken(key, True) for key in event.carries_out if key in state]
    for about in dict.fromkeys([*event.elements, event.object]):
        for key, one in state.about(about, Decision, "decides on"):
            if key in event.carries_out:
                continue
            linked = bool(one.source and one.source == event.source)
            if linked or _within(one.when, event.when):
                found.append(Taken(key, linked))
    return tuple(dict.fromkeys(found))


def carrying_out(state: State, decision: str) -> tuple[str, ...]:
    """Happenings recorded as carrying out a decision, in the order of their dates."""
    found = state.about(decision, Happening, "carries out")
    return tuple(one for one, _ in sorted(found, key=lambda pair: _day(pair[1].when)))


def _within(when: Edtf | None, window: Edtf | None) -> bool:
    """Whether a date can lie in a window; never where either is not recorded."""
    if when is None or window is None:
        return False
    bounds = (when.earliest, when.latest, window.earliest, window.latest)
    first, last, begins, ends = bounds
    if first is None or last is None or begins is None or ends is None:
        return False
    return first <= ends and last >= begins


def _day(when: Edtf | None) -> int:
    return -(10**9) if when is None or when.earliest is None else when.earliest
