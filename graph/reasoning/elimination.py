"""In which order unknowns are summed out.

Finding the best order is as hard as the inference itself; two greedy rules are standard
(Kjærulff 1990, from memory) and neither wins always: *min-fill* takes the variable that
joins the fewest new neighbours, *min-weight* the one whose table is the smallest.
Unknowns that speak to the whole object, such as sources, can be held to the end: ordered
among the rest they would join everything.
"""

import heapq
import math
from collections.abc import Collection, Sequence
from enum import StrEnum

Score = tuple[float, float]


class Rule(StrEnum):
    """What makes a variable the next to be summed out."""

    FILL = "min-fill"
    WEIGHT = "min-weight"


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
    cards: Sequence[int],
    scopes: Sequence[Sequence[int]],
    late: Collection[int] = (),
    rule: Rule = Rule.FILL,
) -> list[int]:
    """A good order in which to sum out all variables, those of ``late`` last.

    Args:
        cards: states per variable.
        scopes: variables per factor.
        late: variables to be summed out last; the rest is ordered as if they were known.
        rule: which greedy rule orders the rest; ties go by the other.
    """
    held = frozenset(late)
    early = [tuple(one for one in scope if one not in held) for scope in scopes]
    return [*_greedy(cards, early, held, rule), *sorted(held)]


def _greedy(
    cards: Sequence[int],
    scopes: Sequence[Sequence[int]],
    left_out: frozenset[int],
    rule: Rule,
) -> list[int]:
    near = neighbours(len(cards), scopes)
    size = [math.log(card) for card in cards]

    def score(variable: int) -> Score:
        around = near[variable]
        weight = size[variable] + sum(size[one] for one in around)
        if rule is Rule.WEIGHT:
            return weight, 0
        inner = sum(len(around & near[one]) for one in around)
        return (len(around) * (len(around) - 1) - inner) // 2, weight

    now = [score(variable) for variable in range(len(cards))]
    heap = [(now[v], v) for v in range(len(cards)) if v not in left_out]
    heapq.heapify(heap)
    done = set(left_out)
    order: list[int] = []
    while heap:
        found, variable = heapq.heappop(heap)
        if variable in done or found != now[variable]:
            continue  # its score has changed since; the newer entry is in the heap
        done.add(variable)
        order.append(variable)
        for one in _sum_out(variable, near, widely=rule is Rule.FILL):
            if one not in done and (fresh := score(one)) != now[one]:
                now[one] = fresh
                heapq.heappush(heap, (fresh, one))
    return order


def _sum_out(variable: int, near: list[set[int]], *, widely: bool) -> set[int]:
    """Join the neighbours of a variable to each other; everyone whose score may change.

    Args:
        variable: the one that goes.
        near: neighbours of each, changed in place.
        widely: whether a score also depends on ties between the neighbours.
    """
    around = near[variable]
    changed = set(around)
    joined = False
    for one in around:
        missing = around - near[one] - {one}
        if missing:
            near[one] |= missing
            joined = True
        near[one].discard(variable)
    if joined and widely:
        for one in around:
            changed |= near[one]
    return changed


def touched(order: Sequence[int], scopes: Sequence[Sequence[int]]) -> list[frozenset[int]]:
    """Per place in the order, the later variables that its variable then touches.

    What is left of a place goes on to the place of its next variable, so that one walk
    through the order finds them all.
    """
    place = {variable: position for position, variable in enumerate(order)}
    rests: list[set[int]] = [set() for _ in order]
    for scope in scopes:
        rests[min(place[one] for one in scope)].update(scope)
    for variable, rest in zip(order, rests, strict=True):
        rest.discard(variable)
        if rest:
            rests[min(place[one] for one in rest)].update(rest)
    return [frozenset(rest) for rest in rests]
