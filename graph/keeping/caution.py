"""Which hazards and restrictions a thing carries, and from where it has them.

A caution sits on the thing, and travels: from an object to its elements, from an element
to what was taken from it, from a container to what lies in it and from the contents to
the container. A move changes none of it.
"""

from dataclasses import dataclass

from ..record import Caution, Element, KeptPart, Record, Sample
from ..state import State
from .contents import contents
from .whereabouts import whereabouts


@dataclass(frozen=True, slots=True)
class Carried:
    """One caution on one thing.

    Attributes:
        caution: key of the caution.
        via: key of the thing that it was recorded of.
        how: why it holds here: "recorded of it", "of a part of it", "of what it came
            from", "of its holder"
            or "of what lies in it".
    """

    caution: str
    via: str
    how: str


def cautions(state: State, thing: str, on: int | None = None) -> tuple[Carried, ...]:
    """Every caution that a thing carries on a day, each once, the nearest reason first."""
    ways = [(thing, "recorded of it")]
    ways += [(one, "of a part of it") for one in parts_of(state, thing)]
    ways += [(one, "of what it came from") for one in came_from(state, thing)]
    holders = [spell.holder for spell in whereabouts(state, thing, on).holders]
    ways += [(holder, "of its holder") for holder in holders]
    for one in contents(state, thing, on):
        ways.append((one.thing, "of what lies in it"))
        ways += [(parent, "of what lies in it") for parent in came_from(state, one.thing)]
    found: dict[str, Carried] = {}
    for via, how in ways:
        for key, _ in state.about(via, Caution, "warns of"):
            found.setdefault(key, Carried(key, via, how))
    return tuple(found.values())


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
