"""Which hazards and restrictions a thing carries, and from where it has them.

A caution sits on the thing, and travels: from an object to its elements, from an element
to what was taken from it, from a container to what lies in it and from the contents to
the container. A move changes none of it. A loose fragment is suspected of what lies on
the object that it may belong to, until it is known to be another's.
"""

from dataclasses import dataclass

from ..record import Caution, CautionSort, Element, KeptPart, Known, Record, Sample
from ..state import State
from .contents import contents
from .fragment import suspects
from .whereabouts import whereabouts


@dataclass(frozen=True, slots=True)
class Carried:
    """One caution on one thing.

    Attributes:
        caution: key of the caution.
        via: key of the thing that it was recorded of.
        how: why it holds here: "recorded of it", "of a part of it", "of what it came
            from", "of what it belongs to", "of what it may belong to", "of its holder",
            "of what lies in it" or "of what something in it may belong to".
    """

    caution: str
    via: str
    how: str


def cautions(state: State, thing: str, on: int | None = None) -> tuple[Carried, ...]:
    """Every caution that a thing carries on a day, each once, the nearest reason first."""
    ways = [(thing, "recorded of it")]
    ways += [(one, "of a part of it") for one in parts_of(state, thing)]
    ways += [(one, "of what it came from") for one in came_from(state, thing)]
    ways += _of_parents(state, thing)
    holders = [spell.holder for spell in whereabouts(state, thing, on).holders]
    ways += [(holder, "of its holder") for holder in holders]
    for one in contents(state, thing, on):
        ways.append((one.thing, "of what lies in it"))
        ways += [(parent, "of what lies in it") for parent in came_from(state, one.thing)]
        ways += [
            (parent, "of what something in it may belong to")
            for parent, _ in _of_parents(state, one.thing)
        ]
    found: dict[str, Carried] = {}
    for via, how in ways:
        for key, _ in state.about(via, Caution, "warns of"):
            found.setdefault(key, Carried(key, via, how))
    return tuple(found.values())


def _of_parents(state: State, thing: str) -> list[tuple[str, str]]:
    """What a loose fragment may belong to, nearest first, and hazardous parts beside it."""
    ways: list[tuple[str, str]] = []
    for one in suspects(state, thing):
        how = "of what it belongs to" if one.settled else "of what it may belong to"
        parents = [one.element, *came_from(state, one.element)]
        beside = [part for part in parts_of(state, parents[-1]) if _hazardous(state, part)]
        ways += [(parent, how) for parent in (*parents, *beside)]
    return ways


def _hazardous(state: State, part: str) -> bool:
    """Whether a hazard is recorded of it that no test of it was without."""
    return any(
        one.sort is CautionSort.HAZARD and one.known is not Known.NEGATIVE
        for _, one in state.about(part, Caution, "warns of")
    )


def came_from(state: State, thing: str) -> list[str]:
    """What a part or sample was taken from, and what that belongs to, nearest first."""
    chain: list[str] = []
    step: str | None = thing
    while step is not None and step in state:
        step = _parent(state.held(step).record)
        if step is None or step in chain:
            break
        chain.append(step)
    return chain


def parts_of(state: State, thing: str) -> list[str]:
    """Elements of an object, or elements that belong to an element, at any depth."""
    found: list[str] = []
    todo = [thing]
    while todo:
        step = todo.pop()
        for word in ("element of", "part of"):
            fresh = [key for key, _ in state.about(step, Element, word) if key not in found]
            found += fresh
            todo += fresh
    return sorted(found)


def _parent(record: Record) -> str | None:
    if isinstance(record, KeptPart):
        return record.element
    if isinstance(record, Sample):
        return record.made_from or record.element
    if isinstance(record, Element):
        return record.part_of or record.object
    return None
