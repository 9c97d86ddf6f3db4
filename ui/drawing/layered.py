"""A layered drawing of a partial order: places for boxes, right-angled lines between.

Pure geometry, deterministic: which row an item belongs in comes from
:mod:`.rows`, the order in the rows from :mod:`.crossings`, the columns from
:mod:`.columns`, the lines from :mod:`.tracks`. Lengths in px, y downwards.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from itertools import pairwise, zip_longest

from .columns import columns
from .crossings import Net, arrange, net_of
from .svg import Point
from .tracks import Wire, spread, tracks

__all__ = ["Box", "Layout", "Line", "layered"]

_BEND = 8.0
_TRACK = 9.0
_PORTS = 11.0
_LABEL_GAP = 10.0


@dataclass(frozen=True, slots=True)
class Box:
    """Size of one box, px."""

    width: float
    height: float


@dataclass(frozen=True, slots=True)
class Line:
    """A line from a box in a higher row to a box in a lower one.

    Attributes:
        upper: name of the upper box.
        lower: name of the lower box.
        label: width and height of words to the right of its lower end, px; none if 0.
        leaves: the stretch of the upper box it may leave from, from the middle of the
            box, px; None for the whole width.
        arrives: the same for the lower box.
    """

    upper: str
    lower: str
    label: tuple[float, float] = (0.0, 0.0)
    leaves: tuple[float, float] | None = None
    arrives: tuple[float, float] | None = None


@dataclass(frozen=True, slots=True)
class Layout:
    """Where everything stands.

    Attributes:
        places: middle of each box.
        routes: corners of each line from its upper box to its lower one.
        rows: top and bottom of each row; index 0 is the earliest, at the bottom.
        width: of the whole.
        height: of the whole.
    """

    places: dict[str, Point]
    routes: tuple[tuple[Point, ...], ...]
    rows: tuple[tuple[float, float], ...]
    width: float
    height: float


def layered(
    boxes: Mapping[str, Box],
    lines: Sequence[Line],
    row_of: Mapping[str, int],
    *,
    gap: float = 28.0,
    channel: float = 32.0,
) -> Layout:
    """Lay out *boxes* in the rows of *row_of* (0 is the lowest) and the *lines* between.

    Args:
        boxes: name -> size. A box needs 11 px of width for each line on one of its sides
            and the room of their labels; with less, its lines may touch.
        lines: each from a higher row to a lower one; two boxes may share several.
        row_of: name -> row, for every box.
        gap: room between two boxes of a row.
        channel: least room between two rows.

    Raises:
        ValueError: if a line does not run downwards.
    """
    top = max(row_of.values(), default=-1)
    from_top = {key: top - row_of[key] for key in boxes}
    pairs = [(line.upper, line.lower) for line in lines]
    net = net_of({k: b.width for k, b in boxes.items()}, pairs, from_top, _BEND)
    x = columns(net, arrange(net), gap)
    channels = _wires(net, lines, x, top + 1)
    level = _levels(channels)
    tops, bottoms = _heights(net, boxes, lines, level, channel)
    middles = [(a + b) / 2 for a, b in zip(tops, bottoms, strict=True)]
    places = {k: (x[p], middles[net.row[p]]) for k, p in net.boxes.items()}
    edges = _Edges(
        {k: y + boxes[k].height / 2 for k, (_, y) in places.items()},
        {k: y - boxes[k].height / 2 for k, (_, y) in places.items()},
        bottoms,
    )
    routes = _routes(net, lines, channels, level, edges)
    return Layout(
        places,
        routes,
        tuple(reversed(list(zip(tops, bottoms, strict=True)))),
        max((x[p] + w / 2 for p, w in enumerate(net.width)), default=0.0),
        bottoms[-1] if bottoms else 0.0,
    )


_Wired = dict[tuple[int, int], Wire]


def _wires(net: Net, lines: Sequence[Line], x: Sequence[float], rows: int) -> list[_Wired]:
    """For each channel, its wires under their key (line, step of its chain)."""
    leaves = _ports_below(net, lines, x)
    arrives = _ports_above(net, lines, x, leaves)
    channels: list[_Wired] = [{} for _ in range(max(rows - 1, 0))]
    for i, chain in enumerate(net.chains):
        last = len(chain) - 2
        for step, (a, b) in enumerate(pairwise(chain)):
            start = leaves[i] if step == 0 else x[a]
            end, reach = x[b], (x[b] - 10, x[b] + 10)
            if step == last:
                end, reach = arrives[i], _span(net, x, b, lines[i].arrives)
            channels[net.row[a]][i, step] = Wire(start, end, reach)
    return channels


def _levels(channels: Sequence[_Wired]) -> list[list[int]]:
    """Tracks of all channels, downwards: a wire moved in one starts there in the next."""
    level = []
    for wired, following in zip_longest(channels, channels[1:], fillvalue=_Wired()):
        level.append(tracks(list(wired.values())))
        for (line, step), wire in wired.items():
            if (line, step + 1) in following:
                following[line, step + 1].top = wire.top if wire.straight else wire.bottom
    return level


def _span(
    net: Net, x: Sequence[float], point: int, part: tuple[float, float] | None
) -> tuple[float, float]:
    """From where to where lines may meet the box *point*."""
    half = net.width[point] / 2 - 6
    low, high = part or (-half, half)
    return x[point] + max(low, -half), x[point] + min(high, half)


def _ports_below(net: Net, lines: Sequence[Line], x: Sequence[float]) -> dict[int, float]:
    """Where each line leaves its upper box: over its next point, if that is in reach."""
    groups: dict[tuple[int, Point], list[int]] = {}
    for i, line in enumerate(lines):
        box = net.chains[i][0]
        groups.setdefault((box, _span(net, x, box, line.leaves)), []).append(i)
    ports: dict[int, float] = {}
    for (box, (low, high)), group in groups.items():
        group.sort(key=lambda i: (x[net.chains[i][1]], i))
        near = [_near(net, x, lines[i], i, x[box]) for i in group]
        wish = [_toward(x[box], low, high, goal) for goal in near]
        ports |= zip(group, spread(wish, [_PORTS] * len(group), low, high), strict=True)
    return ports


def _ports_above(
    net: Net, lines: Sequence[Line], x: Sequence[float], leaves: Mapping[int, float]
) -> dict[int, float]:
    """Where each line arrives: under the point before, with room for its words."""
    groups: dict[tuple[int, Point], list[int]] = {}
    came = {i: leaves[i] if len(c) == 2 else x[c[-2]] for i, c in enumerate(net.chains)}
    for i, line in enumerate(lines):
        box = net.chains[i][-1]
        groups.setdefault((box, _span(net, x, box, line.arrives)), []).append(i)
    ports: dict[int, float] = {}
    for (box, (low, high)), group in groups.items():
        group.sort(key=lambda i: (came[i], i))
        wish = [_toward(x[box], low, high, came[i]) for i in group]
        room = [max(_PORTS, lines[i].label[0] + _LABEL_GAP) for i in group]
        end = max(low, high - max(lines[group[-1]].label[0] - 8, 0.0))
        ports |= zip(group, spread(wish, room, low, end), strict=True)
    return ports


def _near(net: Net, x: Sequence[float], line: Line, i: int, middle: float) -> float:
    """The place nearest to *middle* where line *i* can end a straight way down."""
    chain = net.chains[i]
    if len(chain) > 2:
        return x[chain[1]]
    low, high = _span(net, x, chain[1], line.arrives)
    return min(max(middle, low), high - max(line.label[0] - 8, 0.0))


def _toward(middle: float, low: float, high: float, goal: float) -> float:
    """The goal if it is in reach, else the near end of the inner half of the stretch."""
    if low <= goal <= high:
        return goal
    inner = ((low + middle) / 2, (high + middle) / 2)
    return inner[0] if goal < low else inner[1]


def _heights(
    net: Net,
    boxes: Mapping[str, Box],
    lines: Sequence[Line],
    level: Sequence[Sequence[int]],
    channel: float,
) -> tuple[list[float], list[float]]:
    """Top and bottom of each row, from the top."""
    tall = [0.0] * (len(level) + 1 if net.boxes else 0)
    for key, point in net.boxes.items():
        tall[net.row[point]] = max(tall[net.row[point]], boxes[key].height)
    worded = [0.0] * (len(tall) + 1)
    for i, line in enumerate(lines):
        row = net.row[net.chains[i][-1]]
        worded[row] = max(worded[row], line.label[1])
    tops, bottoms, y = [], [], 0.0
    for row, height in enumerate(tall):
        tops.append(y)
        bottoms.append(y + height)
        count = max(level[row], default=-1) + 1 if row < len(level) else 0
        y += height + max(channel, _TRACK * (count + 1)) + worded[row + 1]
    return tops, bottoms


@dataclass(frozen=True, slots=True)
class _Edges:
    below: dict[str, float]
    above: dict[str, float]
    bottoms: list[float]


def _routes(
    net: Net,
    lines: Sequence[Line],
    channels: Sequence[_Wired],
    level: Sequence[Sequence[int]],
    edges: _Edges,
) -> tuple[tuple[Point, ...], ...]:
    wire_at = {}
    for row, wired in enumerate(channels):
        for (key, wire), track in zip(wired.items(), level[row], strict=True):
            wire_at[key] = (wire, edges.bottoms[row] + _TRACK * (track + 1))
    routes = []
    for i, line in enumerate(lines):
        first = wire_at[i, 0][0]
        corners: list[Point] = [(first.top, edges.below[line.upper])]
        for step in range(len(net.chains[i]) - 1):
            wire, y = wire_at[i, step]
            if not wire.straight:
                corners += [(wire.top, y), (wire.bottom, y)]
        corners.append((corners[-1][0], edges.above[line.lower]))
        routes.append(tuple(corners))
    return tuple(routes)
