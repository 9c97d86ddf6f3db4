"""Find things that would be part of, inside, or made from themselves."""

from collections.abc import Callable, Iterable, Sequence
from functools import lru_cache
from typing import Final

from ..record import KINDS, pointing_fields
from .resolution import Resolution
from .sheet_row import SheetRow

LOOPLESS: Final = frozenset(
    {
        "part of",
        "lies in",
        "put into",
        "derived from",
        "copies",
        "prepared from",
        "about",
    }
)
"""Words of edges that never lead back to where they began."""


def note_loops(rows: Sequence[SheetRow], who: Resolution) -> None:
    """Note every loop once, at the first of its rows in the order of the sheets."""

    def onward(key: str) -> list[str]:
        kind, said = who.said_of(key)
        return [one for name in _fields(kind) for one in _keys(said.get(name))]

    for loop in loops((row.key for row in rows if row.key), onward):
        here = [row for row in map(who.row_of, loop) if row is not None]
        if here:
            _note(min(here, key=rows.index), loop, who)


def loops(starts: Iterable[str], onward: Callable[[str], Iterable[str]]) -> list[list[str]]:
    """One loop for each edge that leads back onto the way by which it was reached."""
    done: set[str] = set()
    found: list[list[str]] = []
    for start in starts:
        if start in done:
            continue
        way = {start: None}
        stack = [(start, iter(onward(start)))]
        while stack:
            key, more = stack[-1]
            follower = next(more, None)
            if follower is None:
                stack.pop()
                way.pop(key)
                done.add(key)
            elif follower in way:
                walked = list(way)
                found.append(walked[walked.index(follower) :])
            elif follower not in done:
                way[follower] = None
                stack.append((follower, iter(onward(follower))))
    return found


def _note(row: SheetRow, loop: Sequence[str], who: Resolution) -> None:
    at = loop.index(row.key)
    ring = [*loop[at:], *loop[:at], row.key]
    name = next(
        name for name in _fields(row.kind.kind) if ring[1] in _keys(row.values.get(name))
    )
    way = " > ".join(who.numbering.number_of(key) for key in ring)
    row.wrong(
        name,
        "loop",
        f"Following '{row.sheet.heads.get(name, name)}' leads back to its begin: {way}.",
        "Empty or correct this cell in one of these rows.",
    )


@lru_cache(maxsize=64)
def _fields(kind: str) -> tuple[str, ...]:
    """Fields of a kind that name a record of the same kind and must not lead back."""
    if kind not in KINDS:
        return ()
    return tuple(
        name
        for name, points in pointing_fields(KINDS[kind]).items()
        if points.word in LOOPLESS and kind in points.to
    )


def _keys(value: object) -> list[str]:
    if isinstance(value, str):
        return [value]
    if isinstance(value, (list, tuple)):
        return [one for one in value if isinstance(one, str)]
    return []
