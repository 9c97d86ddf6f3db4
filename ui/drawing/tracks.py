"""How lines run between two rows: down from a port, along a track, down to a port.

Between two rows lies a channel. Every line that is not straight gets one stretch along
a track in it. Lines of different statements never run on top of each other: tracks are
chosen so that the stretch down to a port never meets the stretch down from another port
at the same x (the vertical constraints of channel routing: Hashimoto and Stevens, 1971).
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

__all__ = ["Wire", "spread", "tracks"]

#: Two parallel strokes nearer than this look like one, px.
CLEAR = 5.0
_NUDGE = 7.0


@dataclass(slots=True)
class Wire:
    """One line in one channel: x where it leaves above and where it arrives below.

    ``reach`` tells from where to where the lower end may be moved.
    """

    top: float
    bottom: float
    reach: tuple[float, float] = (0.0, 0.0)

    @property
    def straight(self) -> bool:
        """Whether it needs no track."""
        return abs(self.top - self.bottom) < 0.5


def spread(
    wishes: Sequence[float], apart: Sequence[float], low: float, high: float
) -> list[float]:
    """Ports nearest to their *wishes*, in order, *apart* px at least, from *low* to *high*.

    ``apart[i]`` is the room between port i and the next. If there is less room than
    needed, the distances shrink in proportion. Least squares by pooling neighbours
    (isotonic regression).
    """
    offsets = [0.0]
    for room in apart[: len(wishes) - 1]:
        offsets.append(offsets[-1] + room)
    if offsets[-1] > high - low:
        scale = max(high - low, 0.0) / offsets[-1]
        return [low + o * scale for o in offsets]
    pools: list[tuple[float, int]] = []
    for wish, offset in zip(wishes, offsets, strict=True):
        mean, size = wish - offset, 1
        while pools and pools[-1][0] > mean:
            before, n = pools.pop()
            mean, size = (before * n + mean * size) / (n + size), n + size
        pools.append((mean, size))
    flat = [min(max(m, low), high - offsets[-1]) for m, n in pools for _ in range(n)]
    return [f + o for f, o in zip(flat, offsets, strict=True)]


def tracks(wires: Sequence[Wire]) -> list[int]:
    """The track of each wire, counted from above; -1 for a straight one.

    Where two wires block each other, the lower end of one is moved a little (the wire is
    changed in place).
    """
    order = [i for i, w in enumerate(wires) if not w.straight]
    order.sort(key=lambda i: _outermost_first(wires[i]))
    track = [-1] * len(wires)
    waiting = order
    while waiting:
        free = next((i for i in waiting if not _blockers(wires, waiting, i)), None)
        if free is None:
            free = min(waiting, key=lambda i: (len(_blockers(wires, waiting, i)), i))
            _nudge(wires, free)
        waiting.remove(free)
        track[free] = _lowest_free(wires, track, free)
    return track


def _outermost_first(wire: Wire) -> float:
    """Of wires that run the same way, the one that starts furthest on goes above."""
    return -wire.top if wire.bottom > wire.top else wire.top


def _blockers(wires: Sequence[Wire], waiting: Sequence[int], i: int) -> list[int]:
    """Wires that must have a track above wire *i*: they leave where *i* arrives."""
    return [j for j in waiting if j != i and abs(wires[j].top - wires[i].bottom) < CLEAR]


def _nudge(wires: Sequence[Wire], i: int) -> None:
    """Move the lower end of wire *i* to a free place within its reach, if there is one."""
    wire = wires[i]
    taken = [w.top for w in wires if w is not wire]
    taken += [w.bottom for w in wires if w is not wire]
    for step in range(1, 40):
        for side in (1, -1):
            x = wire.bottom + side * step * _NUDGE / 2
            within = wire.reach[0] <= x <= wire.reach[1]
            if within and all(abs(x - t) >= CLEAR for t in taken):
                wire.bottom = x
                return


def _lowest_free(wires: Sequence[Wire], track: Sequence[int], i: int) -> int:
    """The first track where wire *i* fits and lies under those it must lie under."""
    level = 0
    for j, t in enumerate(track):
        if t >= 0 and abs(wires[j].top - wires[i].bottom) < CLEAR:
            level = max(level, t + 1)
    while any(t == level and _meet(wires[i], wires[j]) for j, t in enumerate(track)):
        level += 1
    return level


def _meet(a: Wire, b: Wire) -> bool:
    left, right = min(a.top, a.bottom) - CLEAR, max(a.top, a.bottom) + CLEAR
    return left < max(b.top, b.bottom) and min(b.top, b.bottom) < right
