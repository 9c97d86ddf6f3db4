"""Find colours for the drawings: far apart for every reader, dark enough on white.

Starts from colours that look right to the eye and changes them as little as it can
until every pair is at least TARGET apart under plain sight and the three colour
blindnesses, and every colour stands at least CONTRAST to 1 on white. Prints the result
and the closest pair. Run: ``python bench/palette_search.py``.
"""

from __future__ import annotations

import random
from itertools import combinations

from vestige.ui.drawing.colour_vision import DEFICIENCIES, contrast, distance

TARGET = 15.5
CONTRAST = 3.1
START = {
    "in place": "#12307f",
    "moved": "#2a8fd0",
    "from the start": "#6b2a86",
    "added": "#b1541f",
    "brought in": "#c02bb0",
    "later": "#b08a1e",
    "open": "#1c5a2c",
    "unexamined": "#807a78",
    "contradiction": "#b00020",
}


def closest(colours: dict[str, str]) -> tuple[float, str]:
    """Smallest distance of any pair under any sight, and which pair it is."""
    return min(
        (distance(colours[a], colours[b], sight), f"{a} / {b}, {sight}")
        for a, b in combinations(colours, 2)
        for sight in DEFICIENCIES
    )


def cost(colours: dict[str, str]) -> float:
    """Shortfall from the target, weighed above the change from the start."""
    short = sum(
        max(0.0, TARGET - distance(colours[a], colours[b], sight)) ** 2
        for a, b in combinations(colours, 2)
        for sight in DEFICIENCIES
    )
    pale = sum(max(0.0, CONTRAST - contrast(c)) for c in colours.values())
    change = sum(distance(colours[k], START[k]) for k in colours)
    return short * 10 + pale * 1000 + change


def search(seed: int, steps: int) -> dict[str, str]:
    """Random small steps, kept when they cost less. The red of contradiction stays."""
    rng = random.Random(seed)
    best, least = dict(START), cost(START)
    for _ in range(steps):
        name = rng.choice([k for k in START if k != "contradiction"])
        channels = [int(best[name][i : i + 2], 16) for i in (1, 3, 5)]
        moved = [min(255, max(0, c + rng.randint(-12, 12))) for c in channels]
        trial = best | {name: "#" + "".join(f"{c:02x}" for c in moved)}
        if (price := cost(trial)) < least:
            best, least = trial, price
    return best


if __name__ == "__main__":
    found = search(seed=3, steps=2500)
    for name, colour in found.items():
        print(f"{name:16} {colour}  contrast {contrast(colour):.2f}")
    apart, pair = closest(found)
    print(f"closest pair: {apart:.1f} ({pair})")
