"""In which order unknowns are summed out, and the cliques that this makes.

Greedy min-fill (fewest new neighbours first), ties by the size of the table made; the
heuristic is standard (Kjærulff 1990, from memory). Unknowns that speak to the whole
object, such as sources, come last: ordered among the rest they would join everything.
"""

import heapq
import math
from collections.abc import Collection, Sequence


def neighbours(count: int, scopes: Sequence[Sequence[int]]) -> list[set[int]]:
    """Per variable, those that share a factor with it."""
    near: list[set[int]] = [set() for _ in range(count)]
    for scope in scopes:
        for variable in scope:
            near[variable].update(scope)
    for variable in range(count):
        near[variable].discard(variable)
    return near


def elimination_order(
    cards: Sequence[int], scopes: Sequence[Sequence[int]], late: Collection[int] = ()
) -> list[int]:
    """A good order in which to sum out all variables, those of ``late`` last."""
    held = frozenset(late)
    early = [
        tuple(variable for variable in scope if variable not in held) for scope in scopes
    ]
    order = _greedy(cards, [scope for scope in early if scope], held)
    return [*order, *sorted(held)]


def _greedy(
    cards: Sequence[int], scopes: Sequence[Sequence[int]], left_out: frozenset[int]
) -> list[int]:
    count = len(cards)
    near = neighbours(count, scopes)
    size = [math.log(card) for card in cards]

    def score(variable: int) -> tuple[int, float]:
        around = near[variable]
        inner = sum(len(around & near[one]) for one in around)
        fill = (len(around) * (len(around) - 1) - inner) // 2
        return fill, size[variable] + sum(size[one] for one in around)

    now = [score(variable) for variable in range(count)]
    heap = [(now[v], v) for v in range(count) if v not in left_out]
    heapq.heapify(heap)
    done = set(left_out)
    order: list[int] = []
    while heap:
        found, variable = heapq.heappop(heap)
        if variable in done or found != now[variable]:
            continue
        done.add(variable)
        order.append(variable)
        for one in _sum_out(variable, near):
            if one not in done and (fresh := score(one)) != now[one]:
                now[one] = fresh
                heapq.heappush(heap, (fresh, one))
    return order


def _sum_out(variable: int, near: list[set[int]]) -> set[int]:
    """Join the neighbours of a variable to each other; everyone whose score may change."""
    around = near[variable]
    changed = set(around)
    joined = False
    for one in around:
        missing = around - near[one] - {one}
        if missing:
            near[one] |= missing
            joined = True
        near[one].discard(variable)
    if joined:
        for one in around:
            changed |= near[one]
    return changed


def buckets_of(
    order: Sequence[int], count: int, scopes: Sequence[Sequence[int]]
) -> list[frozenset[int]]:
    """Per place in the order, the variable summed out with all that it then touches."""
    near = neighbours(count, scopes)
    buckets = []
    for variable in order:
        around = near[variable]
        buckets.append(frozenset(around) | {variable})
        for one in around:
            near[one] |= around
            near[one].discard(one)
            near[one].discard(variable)
    return buckets
