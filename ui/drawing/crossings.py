"""The order within each row: boxes and passing lines, arranged to cross little.

The method is the layer-by-layer sweep of Sugiyama, Tagawa and Toda (IEEE Transactions
on Systems, Man, and Cybernetics 11, 1981) with barycentres, then exchanges of
neighbours. No random start: the same net gives the same order.
"""

from __future__ import annotations

from bisect import bisect_right, insort
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from itertools import pairwise

__all__ = ["Net", "arrange", "net_of"]

_SWEEPS = 12
_EXCHANGES = 4


@dataclass(slots=True)
class Net:
    """Rows of points joined row by row: boxes, and bends where a line passes a row.

    Attributes:
        row: row of each point; rows count from the top, 0.
        width: px of each point; a bend has ``BEND``.
        ups: for each point, the points joined to it in the row above.
        downs: for each point, the points joined to it in the row below.
        boxes: name of each box -> its point; the points after them are bends.
        chains: for each line, its points from the upper box to the lower.
    """

    row: list[int] = field(default_factory=list)
    width: list[float] = field(default_factory=list)
    ups: list[list[int]] = field(default_factory=list)
    downs: list[list[int]] = field(default_factory=list)
    boxes: dict[str, int] = field(default_factory=dict)
    chains: list[tuple[int, ...]] = field(default_factory=list)

    def add(self, row: int, width: float) -> int:
        """A new point; gives its number."""
        self.row.append(row)
        self.width.append(width)
        self.ups.append([])
        self.downs.append([])
        return len(self.row) - 1

    def is_box(self, point: int) -> bool:
        """Whether *point* is a box, not a bend."""
        return point < len(self.boxes)


def net_of(
    widths: Mapping[str, float],
    pairs: Sequence[tuple[str, str]],
    row_of: Mapping[str, int],
    bend: float,
) -> Net:
    """The net of boxes (*widths*) and lines (*pairs*, upper and lower), rows from the top.

    Raises:
        ValueError: if a line does not run from a higher row to a lower one.
    """
    net = Net()
    for key, width in widths.items():
        net.boxes[key] = net.add(row_of[key], width)
    for upper, lower in pairs:
        if row_of[upper] >= row_of[lower]:
            raise ValueError(f"the line from {upper} to {lower} does not run downwards")
        chain = [net.boxes[upper]]
        chain += [net.add(r, bend) for r in range(row_of[upper] + 1, row_of[lower])]
        chain.append(net.boxes[lower])
        for a, b in pairwise(chain):
            net.downs[a].append(b)
            net.ups[b].append(a)
        net.chains.append(tuple(chain))
    return net


def arrange(net: Net) -> list[list[int]]:
    """The points of each row from left to right, with few crossings."""
    order = _first_order(net)
    best, least = [r[:] for r in order], _all_crossings(net, order)
    for sweep in range(_SWEEPS):
        if least == 0:
            break
        _sweep(net, order, downwards=sweep % 2 == 0)
        count = _all_crossings(net, order)
        if count < least:
            best, least = [r[:] for r in order], count
    for _ in range(_EXCHANGES):
        if not least or not sum(_exchange(net, best, r) for r in range(len(best))):
            break
    return best


def _first_order(net: Net) -> list[list[int]]:
    """Points in the order a walk along the lines meets them: what is joined stays near."""
    order: list[list[int]] = [[] for _ in range(max(net.row, default=-1) + 1)]
    seen: set[int] = set()
    for start in sorted(range(len(net.row)), key=lambda p: (net.row[p], p)):
        stack = [start]
        while stack:
            point = stack.pop()
            if point in seen:
                continue
            seen.add(point)
            order[net.row[point]].append(point)
            stack += reversed(net.downs[point] + net.ups[point])
    return order


def _sweep(net: Net, order: list[list[int]], *, downwards: bool) -> None:
    rows = range(1, len(order)) if downwards else range(len(order) - 2, -1, -1)
    for r in rows:
        fixed = order[r - 1] if downwards else order[r + 1]
        place = {p: i for i, p in enumerate(fixed)}
        here = {p: float(i) for i, p in enumerate(order[r])}
        joined = net.ups if downwards else net.downs
        for p in order[r]:
            if joined[p]:
                here[p] = sum(place[q] for q in joined[p]) / len(joined[p])
        order[r].sort(key=here.__getitem__)


def _exchange(net: Net, order: list[list[int]], r: int) -> bool:
    """Exchange neighbours of row *r* where that removes crossings; whether any was."""
    above = {p: i for i, p in enumerate(order[r - 1])} if r else {}
    below = {p: i for i, p in enumerate(order[r + 1])} if r + 1 < len(order) else {}
    row, changed = order[r], False
    for i in range(len(row) - 1):
        a, b = row[i], row[i + 1]
        now = _between(net.ups[a], net.ups[b], above)
        now += _between(net.downs[a], net.downs[b], below)
        then = _between(net.ups[b], net.ups[a], above)
        then += _between(net.downs[b], net.downs[a], below)
        if then < now:
            row[i], row[i + 1] = b, a
            changed = True
    return changed


def _between(left: Sequence[int], right: Sequence[int], place: Mapping[int, int]) -> int:
    """Crossings of the lines of a left point with those of a right point."""
    return sum(place[p] > place[q] for p in left for q in right)


def _all_crossings(net: Net, order: Sequence[Sequence[int]]) -> int:
    return sum(_row_crossings(net, upper, lower) for upper, lower in pairwise(order))


def _row_crossings(net: Net, upper: Sequence[int], lower: Sequence[int]) -> int:
    place = {p: i for i, p in enumerate(lower)}
    met: list[int] = []
    count = 0
    for p in upper:
        ends = sorted(place[q] for q in net.downs[p])
        count += sum(len(met) - bisect_right(met, e) for e in ends)
        for e in ends:
            insort(met, e)
    return count
