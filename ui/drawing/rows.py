"""Which row of a drawing an item belongs in: the order itself, and the phase bands.

The rows are counted from the earliest, 0, upwards. Every line of the drawing runs from
a higher row to a lower one. A statement that would close a loop is turned round for the
layout only and reported, so that it can be drawn as what it is: a contradiction.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping, Sequence
from itertools import pairwise

__all__ = ["disagreeing", "rows", "turned"]

Pair = tuple[str, str]


def turned(pairs: Sequence[Pair]) -> tuple[bool, ...]:
    """For each (upper, lower) pair, whether it closes a loop with those before it.

    Also true for an item stated to be above itself.
    """
    below: dict[str, set[str]] = defaultdict(set)
    out: list[bool] = []
    for upper, lower in pairs:
        closes = upper == lower or _reaches(below, lower, upper)
        out.append(closes)
        if upper != lower:
            below[lower if closes else upper].add(upper if closes else lower)
    return tuple(out)


def rows(
    pairs: Sequence[Pair],
    band_of: Mapping[str, int],
    *,
    most: int | None = None,
    size_of: Mapping[str, int] | None = None,
) -> dict[str, int]:
    """The row of every item named in *pairs* or *band_of*, as low as its ground allows.

    An item with nothing under it stands close under what lies on it. Items of a later
    band stand in higher rows than all items of an earlier one.

    Args:
        pairs: (upper, lower), free of loops.
        band_of: phase number of the items whose phase is known and agrees with the
            order (see :func:`disagreeing`).
        most: room of one row; None for no limit. An item larger than that has a row of
            its own.
        size_of: room that an item takes, where it is not 1.

    Raises:
        ValueError: if *pairs* and *band_of* together make a loop.
    """
    every = list(dict.fromkeys([*pairs, *_fences(band_of)]))
    order = _sorted_upwards(every, band_of)
    above, below = _neighbours(every)
    shelf = _Shelf(most, size_of or {})
    for item in order:
        shelf.put(item, max((shelf.row[b] + 1 for b in below[item]), default=0))
    real_below = {upper for upper, _ in pairs}
    real_above = {lower for _, lower in pairs}
    for item in reversed(order):
        if item in real_above and item not in real_below:
            shelf.raise_to(item, min(shelf.row[a] for a in above[item]) - 1)
    kept = [item for item in order if not item.startswith(_FENCE)]
    used = {r: i for i, r in enumerate(sorted({shelf.row[item] for item in kept}))}
    return {item: used[shelf.row[item]] for item in kept}


class _Shelf:
    """Items in rows, with room for so many in each; fences take no room."""

    def __init__(self, most: int | None, size_of: Mapping[str, int]) -> None:
        self.row: dict[str, int] = {}
        self._most, self._size_of = most, size_of
        self._filled: defaultdict[int, int] = defaultdict(int)

    def put(self, item: str, lowest: int) -> None:
        """Into the first row from *lowest* upwards that has room."""
        while not self._fits(item, lowest):
            lowest += 1
        self._set(item, lowest)

    def raise_to(self, item: str, highest: int) -> None:
        """Into the first row from *highest* downwards that has room; never lower."""
        old = self.row[item]
        self._filled[old] -= self._size(item)
        while highest > old and not self._fits(item, highest):
            highest -= 1
        self._set(item, max(old, highest))

    def _set(self, item: str, row: int) -> None:
        self.row[item] = row
        self._filled[row] += self._size(item)

    def _size(self, item: str) -> int:
        return 0 if item.startswith(_FENCE) else self._size_of.get(item, 1)

    def _fits(self, item: str, row: int) -> bool:
        size, filled = self._size(item), self._filled[row]
        return self._most is None or not size or not filled or filled + size <= self._most


def disagreeing(pairs: Sequence[Pair], band_of: Mapping[str, int]) -> frozenset[str]:
    """Items whose phase contradicts the order: above an item of a later phase, or below
    one of an earlier phase. Both items of each such pair are given.

    *pairs* are (upper, lower), free of loops.
    """
    order = _sorted_upwards(pairs, band_of)
    _, below = _neighbours(pairs)
    under: dict[str, set[str]] = {}
    wrong: set[str] = set()
    for item in order:
        under[item] = set().union(*({b} | under[b] for b in below[item]))
        band = band_of.get(item)
        if band is None:
            continue
        later = {u for u in under[item] if band_of.get(u, band) > band}
        wrong |= later | ({item} if later else set())
    return frozenset(wrong)


_FENCE = "\0"


def _fences(band_of: Mapping[str, int]) -> list[Pair]:
    """Pairs that keep each band above the one before it, through one fence item each."""
    bands = sorted(set(band_of.values()))
    pairs: list[Pair] = []
    for earlier, later in pairwise(bands):
        fence = f"{_FENCE}{later}"
        pairs += [(fence, item) for item, b in band_of.items() if b == earlier]
        pairs += [(item, fence) for item, b in band_of.items() if b == later]
    return pairs


def _neighbours(
    pairs: Sequence[Pair],
) -> tuple[defaultdict[str, list[str]], defaultdict[str, list[str]]]:
    above: defaultdict[str, list[str]] = defaultdict(list)
    below: defaultdict[str, list[str]] = defaultdict(list)
    for upper, lower in pairs:
        above[lower].append(upper)
        below[upper].append(lower)
    return above, below


def _sorted_upwards(pairs: Sequence[Pair], others: Mapping[str, int]) -> list[str]:
    """All items, every one after what lies under it; ties in the order of naming."""
    items = dict.fromkeys([i for upper, lower in pairs for i in (lower, upper)])
    items |= dict.fromkeys(others)
    above, below = _neighbours(pairs)
    waiting = {item: len(below[item]) for item in items}
    ready = [item for item in items if not waiting[item]]
    for item in ready:
        for upper in above[item]:
            waiting[upper] -= 1
            if not waiting[upper]:
                ready.append(upper)
    if len(ready) < len(items):
        left = sorted(i for i in items if waiting[i] and not i.startswith(_FENCE))
        raise ValueError(f"these items are stated in a loop: {', '.join(left[:8])}")
    return ready


def _reaches(below: Mapping[str, set[str]], start: str, goal: str) -> bool:
    seen, open_ = {start}, [start]
    while open_:
        item = open_.pop()
        if item == goal:
            return True
        fresh = below.get(item, set()) - seen
        seen |= fresh
        open_ += sorted(fresh)
    return False
