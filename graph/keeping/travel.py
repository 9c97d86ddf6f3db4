"""What travels with things that are moved: all that lies in them, cautions, requirements.

One pass over the state serves a move of any size.
"""

from collections.abc import Sequence
from dataclasses import dataclass

from ..record import Caution, Container, Fragment, KeptPart, Sample
from ..state import State
from .caution import Carried, came_from
from .whereabouts import whereabouts

CARRIED_KINDS = (Container, KeptPart, Sample, Fragment)


@dataclass(frozen=True, slots=True)
class Load:
    """One thing that is moved, with what it carries.

    Attributes:
        thing: key of the thing.
        inside: keys of all that lies in it, at any depth.
        cautions: hazards and restrictions of it, of what it came from, of what lies in it
            and of what that came from; the nearest reason first.
        requires: container and what it asks for (orientation, neighbours, climate).
    """

    thing: str
    inside: tuple[str, ...]
    cautions: tuple[Carried, ...]
    requires: tuple[tuple[str, str], ...]


def loads(state: State, things: Sequence[str], on: int | None = None) -> tuple[Load, ...]:
    """What each of several things carries with it on a day, in the order given."""
    nested = _nested(state, things, on)
    return tuple(
        Load(
            one,
            tuple(nested[one]),
            _cautions(state, one, nested[one]),
            _requires(state, [one, *nested[one]]),
        )
        for one in things
    )


def _nested(state: State, things: Sequence[str], on: int | None) -> dict[str, list[str]]:
    found: dict[str, list[str]] = {one: [] for one in things}
    for key in state:
        if not isinstance(state.held(key).record, CARRIED_KINDS):
            continue
        where = whereabouts(state, key, on)
        if where.gone is None:
            for spell in where.holders:
                if spell.holder in found:
                    found[spell.holder].append(key)
    return {one: sorted(keys, key=state.number) for one, keys in found.items()}


def _cautions(state: State, thing: str, inside: Sequence[str]) -> tuple[Carried, ...]:
    ways = [(thing, "recorded of it")]
    ways += [(one, "of what it came from") for one in came_from(state, thing)]
    for one in inside:
        ways += [(via, "of what lies in it") for via in (one, *came_from(state, one))]
    found: dict[str, Carried] = {}
    for via, how in ways:
        for key, _ in state.about(via, Caution, "warns of"):
            found.setdefault(key, Carried(key, via, how))
    return tuple(found.values())


def _requires(state: State, things: Sequence[str]) -> tuple[tuple[str, str], ...]:
    found = []
    for one in things:
        record = state.held(one).record
        if isinstance(record, Container) and record.requires:
            found.append((one, record.requires))
    return tuple(found)
