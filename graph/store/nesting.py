"""Which records say what a thing lies in, and what lies in a holder, to any depth.

A thing lies where it was last put, moved or seen; a sighting says so as well as a move,
and what was only seen there must be found from both ends.
"""

from collections.abc import Iterable
from typing import Final

from ..record import INSIDE
from .contract import Edge, Store

PLACED_BY: Final = ("moves", "looks for", "befell")
"""Words of the records that say where a thing is and what became of it."""
MOST_NESTED: Final = 32


def outwards(store: Store, keys: Iterable[str], known: int | None = None) -> set[str]:
    """Things and everything that ever held them, with the records that say so."""
    found: set[str] = set()
    fresh = set(keys)
    for _ in range(MOST_NESTED):
        if not fresh:
            break
        put = store.walk(sorted(fresh), [INSIDE], "out", known=known)
        things = fresh | {edge.dst for edge in put}
        told = store.edges(sorted(things), list(PLACED_BY), "in", known)
        looks = [edge.src for edge in told if edge.word == "looks for"]
        looked = store.edges(looks, ["looked in"], "out", known) if looks else []
        found |= things | {edge.record for edge in (*put, *told)}
        fresh = {edge.dst for edge in looked} - found
    return found


def inwards(store: Store, holders: Iterable[str], known: int | None = None) -> set[str]:
    """Holders and everything that was ever put into or seen in them, at any depth."""
    found: set[str] = set()
    fresh = set(holders)
    for _ in range(MOST_NESTED):
        if not fresh:
            break
        put = store.walk(sorted(fresh), [INSIDE], "in", known=known)
        things = fresh | _src(put)
        looked = store.edges(sorted(things), ["looked in"], "in", known)
        found |= things
        looks = sorted(_src(looked))
        sought = store.edges(looks, ["looks for"], "out", known) if looks else []
        fresh = {edge.dst for edge in sought} - found
    return found


def _src(edges: Iterable[Edge]) -> set[str]:
    return {edge.src for edge in edges}
