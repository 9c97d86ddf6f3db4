"""Where every box and bend stands from left to right: straight long lines, even boxes.

The bends of one long line, and boxes that follow each other without a branch, form a
column with one x, unless two such columns cross. Columns are drawn to the middle of what
they are joined to, and a little to the middle of all; then everything is pushed apart as
far as the order in the rows demands, once from the left and once from the right, and the
mean of the two is taken. The mean of two arrangements that keep the distances keeps them
too, so no two boxes can overlap.
"""

from __future__ import annotations

from collections.abc import Sequence
from itertools import combinations, pairwise

from .crossings import Net

__all__ = ["columns"]

_ROUNDS = 40
#: Pull to the middle of the drawing. It keeps parts without a line between them near and
#: the whole narrow; on random orders of 100 items it also made the level lines shorter.
_TO_MIDDLE = 0.1
#: Nothing wishes itself further out than the fullest row, times this.
_ROOM = 0.8


def columns(net: Net, order: Sequence[Sequence[int]], gap: float) -> list[float]:
    """Middle x of every point, the leftmost edge at 0. *gap* px are kept between boxes."""
    block_of = _blocks(net, order)
    limits = _limits(net, order, block_of, gap)
    sequence = _left_to_right(limits, block_of)
    x = _pushed(dict.fromkeys(sequence, 0.0), limits, sequence)
    pulls = _pulls(net, block_of)
    reach = _ROOM * max((_least_width(net, row, gap) for row in order), default=0.0) / 2
    for _ in range(_ROUNDS):
        middle = sum(x.values()) / max(len(x), 1)
        wish = {b: _wish([x[o] for o in pulls[b]], middle, reach) for b in sequence}
        x = _apart(wish, limits, sequence)
    left = min((x[block_of[p]] - w / 2 for p, w in enumerate(net.width)), default=0.0)
    return [x[b] - left for b in block_of]


def _blocks(net: Net, order: Sequence[Sequence[int]]) -> list[int]:
    """The column of each point, named by its first point."""
    crossed = _crossed(net, order)
    block_of = list(range(len(net.row)))
    for row in order:
        for a, b in _unbranched(net, row):
            if (a, b) not in crossed:
                block_of[b] = block_of[a]
    return block_of


def _unbranched(net: Net, row: Sequence[int]) -> list[tuple[int, int]]:
    """Steps down from *row* that are the only one from their start and into their end.

    From box to box or from bend to bend: a line may leave a box beside its middle, so a
    box need not stand right over a long line, and many of them take less room.
    """
    steps = [(p, net.downs[p][0]) for p in row if len(net.downs[p]) == 1]
    alike = [(p, q) for p, q in steps if net.is_box(p) == net.is_box(q)]
    return [(p, q) for p, q in alike if len(net.ups[q]) == 1]


def _crossed(net: Net, order: Sequence[Sequence[int]]) -> set[tuple[int, int]]:
    """Unbranched steps that cross another such step."""
    place = {p: i for row in order for i, p in enumerate(row)}
    crossed: set[tuple[int, int]] = set()
    for row in order:
        for left, right in combinations(_unbranched(net, row), 2):
            if place[right[1]] < place[left[1]]:
                crossed |= {left, right}
    return crossed


_Limits = dict[int, dict[int, float]]


def _limits(
    net: Net, order: Sequence[Sequence[int]], block_of: Sequence[int], gap: float
) -> _Limits:
    """For each column, the columns to its right and the least distance of middles."""
    limits: _Limits = {b: {} for b in block_of}
    for row in order:
        for a, b in pairwise(row):
            right = limits[block_of[a]]
            right[block_of[b]] = max(right.get(block_of[b], 0.0), _least(net, a, b, gap))
    return limits


def _left_to_right(limits: _Limits, block_of: Sequence[int]) -> list[int]:
    """Columns, each after all those to its left.

    There is always such a sequence: columns run downwards and never cross, and "left of"
    has no loops among curves of that kind.
    """
    waiting = dict.fromkeys(block_of, 0)
    for rights in limits.values():
        for right in rights:
            waiting[right] += 1
    ready = [b for b, n in waiting.items() if not n]
    for block in ready:
        for right in limits[block]:
            waiting[right] -= 1
            if not waiting[right]:
                ready.append(right)
    return ready


def _pulls(net: Net, block_of: Sequence[int]) -> dict[int, list[int]]:
    """What each column is drawn to: the columns at the ends of its lines."""
    pulls: dict[int, list[int]] = {b: [] for b in block_of}
    for p, downs in enumerate(net.downs):
        for q in downs:
            a, b = block_of[p], block_of[q]
            if a != b:
                pulls[a].append(b)
                pulls[b].append(a)
    return pulls


def _wish(joined: Sequence[float], middle: float, reach: float) -> float:
    """Toward what it is joined to and a little to the middle, never beyond *reach*."""
    if not joined:
        return middle
    wish = (1 - _TO_MIDDLE) * sum(joined) / len(joined) + _TO_MIDDLE * middle
    return min(max(wish, middle - reach), middle + reach)


def _least_width(net: Net, row: Sequence[int], gap: float) -> float:
    """Width of a row with everything as near as may be, less the halves at its ends."""
    return sum(_least(net, a, b, gap) for a, b in pairwise(row))


def _least(net: Net, a: int, b: int, gap: float) -> float:
    """Least distance of the middles of two neighbours in a row."""
    space = gap if net.is_box(a) and net.is_box(b) else gap * 0.6
    return (net.width[a] + net.width[b]) / 2 + space


def _pushed(
    wish: dict[int, float], limits: _Limits, sequence: Sequence[int]
) -> dict[int, float]:
    """Every column at its wish or further right, distances kept."""
    x = dict(wish)
    for block in sequence:
        for right, least in limits[block].items():
            x[right] = max(x[right], x[block] + least)
    return x


def _apart(
    wish: dict[int, float], limits: _Limits, sequence: Sequence[int]
) -> dict[int, float]:
    """Near the wishes, distances kept, neither side preferred."""
    rightwards = _pushed(wish, limits, sequence)
    leftwards = dict(wish)
    for block in reversed(sequence):
        for right, least in limits[block].items():
            leftwards[block] = min(leftwards[block], leftwards[right] - least)
    return {b: (rightwards[b] + leftwards[b]) / 2 for b in sequence}
