"""A thing is in one place at a time: what a move or a look may not say of places.

The rules follow from that and from boxes not lying in themselves.
"""

from collections.abc import Iterator

from ..problem import Weight
from ..record import Edtf, Move
from ..state import State
from .breach import Breach
from .turn import surely_before
from .whereabouts import Spell, left_since, spells, whereabouts


def from_elsewhere(state: State, key: str, thing: str, move: Move) -> Iterator[Breach]:
    """A move from where the thing is not, or to where it is already."""
    stays = spells(state, thing, move.when.latest)
    at = next((i for i, one in enumerate(stays) if one.says == key), len(stays))
    before = stays[at - 1] if at else None
    if before is None or left_since(state, before, thing, move.when.latest):
        return
    ways = [before.holder]
    ways += [one.holder for one in _around(state, before.holder, move.when)]
    since = f" since {before.since}" if before.since else ""
    told = f"{state.number(thing)} is recorded in {_way(state, ways)}{since}"
    sure = before.since is None or before.since == move.when
    sure = sure or surely_before(before.since, move.when)
    if move.origin and move.origin not in ways:
        yield Breach(
            key,
            "origin",
            "not there",
            f"{told}, not in {state.number(move.origin)}.",
            f"Move it from {state.number(before.holder)}, or record first where it was "
            "seen.",
            Weight.ERROR if sure else Weight.QUERY,
        )
    elif before.holder == move.to:
        yield Breach(
            key,
            "to",
            "there already",
            f"{told} already.",
            "If somebody saw it there, a sighting says so better.",
            Weight.QUERY,
        )


def _around(state: State, holder: str, when: Edtf) -> tuple[Spell, ...]:
    return whereabouts(state, holder, when.latest).holders if holder in state else ()


def goes_along(state: State, key: str, thing: str, move: Move) -> Iterator[Breach]:
    """A thing listed beside the container that it lies in would be taken out of it."""
    others = set(move.what) - {thing}
    if not others:
        return
    stays = [one for one in spells(state, thing, move.when.latest) if one.says != key]
    holder = stays[-1].holder if stays else None
    ways = [holder] if holder else []
    if holder is not None and holder in state:
        ways += [one.holder for one in whereabouts(state, holder, move.when.latest).holders]
    inside = next((one for one in ways if one in others), None)
    if inside:
        yield Breach(
            key,
            "what",
            "goes along",
            f"{state.number(thing)} lies in {state.number(inside)}, which is moved in the "
            "same act; listed by itself it would be taken out.",
            f"Leave {state.number(thing)} out: what lies inside goes along.",
        )


def same_day(state: State, key: str, thing: str, move: Move) -> Iterator[Breach]:
    """Two moves of a thing on one day to two places, and nothing tells which was last."""
    if move.when.earliest is None or move.when.earliest != move.when.latest:
        return
    for other_key, other in state.about(thing, Move, "moves"):
        if other_key == key or other.when != move.when or other.to in (move.to, None):
            continue
        if move.to is None or move.origin == other.to or other.origin == move.to:
            continue
        first, second = state.number(other.to or ""), state.number(move.to)
        yield Breach(
            key,
            "to",
            "two places at once",
            f"{state.number(thing)} was moved to {first} on {move.when} and cannot be put "
            f"into {second} on the same day as well.",
            f"If it was moved on, write {first} as the place it was taken from.",
        )


def in_itself(
    state: State, key: str, field: str, thing: str, holder: str, when: Edtf | None
) -> Iterator[Breach]:
    """A box put into itself, or into something that lies in it."""
    for day in dict.fromkeys([when.latest if when else None, None]):
        ways = [holder]
        if holder in state:
            ways += [one.holder for one in whereabouts(state, holder, day).holders]
        if thing in ways:
            ring = [thing, *ways[: ways.index(thing) + 1]]
            yield Breach(
                key,
                field,
                "inside itself",
                f"{state.number(thing)} would lie in itself: "
                f"{' > '.join(map(state.number, ring))}.",
                "Put it somewhere that does not lie in it.",
            )
            return


def _way(state: State, ways: list[str]) -> str:
    return " > ".join(map(state.number, ways))
