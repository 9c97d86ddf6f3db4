"""What changed between two arrangements of one object: read from their words.

An arrangement is written from left to right, its pieces joined by hyphens, each with its
notes in brackets: "A-C (upside down)-B-D". Words of another shape are compared with
nothing, and that is said.
"""

import re
from collections.abc import Mapping
from dataclasses import dataclass
from enum import StrEnum

from .answer import Plain

__all__ = ["ChangeSort", "Changed", "StandingPiece", "changes", "read_arrangement"]

_PIECE = re.compile(r"\s*([^()\-–—|]{1,40}?)\s*(?:\(([^()]*)\))?\s*")
_BETWEEN = re.compile(r"[-–—|](?![^(]*\))")


class ChangeSort(StrEnum):
    """What became of a piece from one state to the next."""

    MOVED = "moved"
    TURNED = "turned"
    MIRRORED = "mirrored"
    UPSIDE_DOWN = "turned upside down"
    REPLACED = "replaced"
    ABSENT = "absent"
    NEW = "new"
    NOTED = "noted otherwise"


_BY_NOTE: Mapping[str, ChangeSort] = {
    "turned": ChangeSort.TURNED,
    "back to front": ChangeSort.TURNED,
    "mirrored": ChangeSort.MIRRORED,
    "upside down": ChangeSort.UPSIDE_DOWN,
}


@dataclass(frozen=True, slots=True)
class StandingPiece:
    """A piece in an arrangement: its place from the left, from 1, and how it stands."""

    name: str
    place: int
    notes: frozenset[str]


class Changed(Plain):
    """One change of one piece, with how it stood before and after, in words."""

    piece: str
    sort: str
    before: str
    after: str


def read_arrangement(words: str) -> tuple[StandingPiece, ...] | None:
    """Return the pieces that *words* name, or None where they are no such list.

    Example:
        >>> [p.name for p in read_arrangement("A-C (upside down)-B") or ()]
        ['A', 'C', 'B']
        >>> read_arrangement("leaves put back in right order") is None
        True
    """
    parts = _BETWEEN.split(words)
    found = [_PIECE.fullmatch(part) for part in parts]
    pieces = [
        StandingPiece(one[1], place, _notes(one[2]))
        for place, one in enumerate(found, start=1)
        if one is not None and one[1]
    ]
    names = {piece.name.casefold() for piece in pieces}
    return tuple(pieces) if len(parts) > 1 and len(names) == len(parts) else None


def changes(
    before: tuple[StandingPiece, ...], after: tuple[StandingPiece, ...]
) -> tuple[Changed, ...]:
    """Return what became of each piece, those of *before* first, from the left.

    Example:
        >>> was, now = read_arrangement("A-B-C"), read_arrangement("A-C (mirrored)-B")
        >>> [(c.piece, c.sort) for c in changes(was or (), now or ())]
        [('B', 'moved'), ('C', 'moved'), ('C', 'mirrored')]
    """
    now = {piece.name.casefold(): piece for piece in after}
    was = {piece.name.casefold(): piece for piece in before}
    new = {p.place: p for p in after if p.name.casefold() not in was}
    found: list[Changed] = []
    for piece in before:
        here = now.get(piece.name.casefold())
        if here is not None:
            found += _differences(piece, here)
        elif piece.place in new:
            came = new.pop(piece.place)
            found.append(_changed(piece, ChangeSort.REPLACED, f"{came.name} in its place"))
        else:
            found.append(_changed(piece, ChangeSort.ABSENT, "not named"))
    return (
        *found,
        *(
            Changed(piece=p.name, sort=ChangeSort.NEW, before="not named", after=_stands(p))
            for p in new.values()
        ),
    )


def _differences(was: StandingPiece, now: StandingPiece) -> list[Changed]:
    found = []
    if was.place != now.place:
        found.append(_changed(was, ChangeSort.MOVED, _stands(now)))
    sorts = {_BY_NOTE.get(n, ChangeSort.NOTED) for n in was.notes ^ now.notes}
    found += [_changed(was, sort, _stands(now)) for sort in sorted(sorts)]
    return found


def _changed(piece: StandingPiece, sort: ChangeSort, after: str) -> Changed:
    return Changed(piece=piece.name, sort=str(sort), before=_stands(piece), after=after)


def _stands(piece: StandingPiece) -> str:
    notes = f", {', '.join(sorted(piece.notes))}" if piece.notes else ""
    return f"place {piece.place}{notes}"


def _notes(text: str | None) -> frozenset[str]:
    return frozenset(" ".join(n.split()).casefold() for n in (text or "").split(",") if n)
