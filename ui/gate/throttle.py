"""Guesses are slowed down: after a few wrong passwords comes a wait, longer each time."""

import time
from collections import OrderedDict
from collections.abc import Callable
from dataclasses import dataclass

FREE = 5
"""Wrong guesses from one address at one name before a wait."""
FREE_ADDRESS = 25
"""Wrong guesses from one address at any names before a wait."""
FREE_NAME = 50
"""Wrong guesses at one name from any addresses before a wait."""
FIRST_WAIT, LONGEST_WAIT = 60.0, 3600.0
"""Seconds; each further wrong guess doubles the wait."""
REMEMBERED = 10_000


@dataclass(frozen=True, slots=True)
class _Missed:
    count: int
    until: float


class Throttle:
    """Counts wrong guesses by name and address; keeps no more than it can hold.

    One name is slowed for one address first, so that a stranger cannot easily shut its
    owner out. Behind a reverse proxy every address is that of the proxy, unless the
    settings name it among their proxies.

    Args:
        clock: seconds that only go forward.
    """

    def __init__(self, clock: Callable[[], float] = time.monotonic) -> None:
        self._clock = clock
        self._missed: OrderedDict[tuple[str, str], _Missed] = OrderedDict()

    def wait(self, name: str, address: str) -> float:
        """Seconds until the next guess is heard; 0.0 for at once."""
        now = self._clock()
        ends = [
            self._missed[mark].until
            for mark, _ in _marks(name, address)
            if mark in self._missed
        ]
        return max(0.0, max(ends, default=now) - now)

    def wrong(self, name: str, address: str) -> None:
        """Count a wrong guess. It is counted before the check, and taken back if right."""
        now = self._clock()
        for mark, free in _marks(name, address):
            count = (self._missed[mark].count if mark in self._missed else 0) + 1
            over = min(count - free, 12)
            wait = min(FIRST_WAIT * 2**over, LONGEST_WAIT) if over >= 0 else 0.0
            self._missed[mark] = _Missed(count, now + wait)
            self._missed.move_to_end(mark)
        while len(self._missed) > REMEMBERED:
            self._missed.popitem(last=False)

    def right(self, name: str, address: str) -> None:
        """Forget the wrong guesses at a name from an address."""
        self._missed.pop((name.casefold(), address), None)
        for mark, _ in _marks(name, address)[1:]:
            if mark in self._missed:
                one = self._missed[mark]
                self._missed[mark] = _Missed(max(0, one.count - 1), self._clock())


def _marks(name: str, address: str) -> list[tuple[tuple[str, str], int]]:
    folded = name.casefold()
    return [
        ((folded, address), FREE),
        (("", address), FREE_ADDRESS),
        ((folded, ""), FREE_NAME),
    ]
