"""The order in which things came to be: a strict partial order over claims.

The Harris matrix of archaeology, for any parts and layers of an object: only immediate
relations are kept, those that follow from others are listed with the chain they follow
by (Harris 1979, law of stratigraphic succession, as given in the encyclopaedia article
"Harris matrix"). What no chain of claims relates stays unrelated: neither height nor a
common level says anything about time.

Claims that run in a circle cannot all be right. Each such group is shown by its
shortest loop; every order claim inside it is set aside, and the rest keeps its order.
"""

from collections import Counter
from collections.abc import Iterable, Mapping
from collections.abc import Sequence as Many
from dataclasses import dataclass, field
from enum import StrEnum

from ..errors import NotRecorded
from .stratigraphy import Before, OrderRelation, Same, Strata, ends, shortest, steps

__all__ = [
    "Before",
    "Contradiction",
    "Order",
    "OrderRelation",
    "Same",
    "Sequence",
    "sequence",
]


class Order(StrEnum):
    """What the claims say of two things."""

    LATER = "later"
    EARLIER = "earlier"
    SAME = "one and the same"
    UNRELATED = "not related by evidence"
    CONTRADICTED = "undetermined: the claims contradict each other"


@dataclass(frozen=True, slots=True)
class Contradiction:
    """Claims that run in a circle.

    Attributes:
        things: all things of the group, whose order among themselves is undetermined.
        loop: a shortest circle of claims; each relation begins where the one before it
            ended, and the last ends where the first began.
        set_aside: every relation that was left out of the order because of it.
    """

    things: tuple[str, ...]
    loop: tuple[OrderRelation, ...]
    set_aside: tuple[OrderRelation, ...]

    @property
    def claims(self) -> tuple[str, ...]:
        """Ids of the claims on the loop, in its order."""
        return tuple(step.claim for step in self.loop)


@dataclass(frozen=True, slots=True)
class Sequence:
    """The order that the claims leave, once contradictory ones are set aside.

    Attributes:
        things: all things, in the order given.
        immediate: relations that nothing else implies; two claims for one and the same
            pair of layers both stand here.
        redundant: relations that follow from immediate ones (see `why_redundant`).
        levels: earliest first; a thing stands one level above the highest thing that it
            is later than. Things of one level are not thereby of one time. Members of
            a contradiction have no level.
        contradictions: every contradictory group.
    """

    things: tuple[str, ...]
    immediate: tuple[Before, ...]
    redundant: tuple[Before, ...]
    levels: tuple[tuple[str, ...], ...]
    contradictions: tuple[Contradiction, ...]
    _layers: Strata = field(repr=False, compare=False)
    _groups: Strata = field(repr=False, compare=False)
    _steps: Mapping[str, tuple[OrderRelation, ...]] = field(repr=False, compare=False)

    def layer_of(self, thing: str) -> tuple[str, ...]:
        """Return everything that is one layer with *thing*, itself included.

        Raises:
            NotRecorded: when *thing* is not in the sequence.
        """
        self._check(thing)
        home = self._layers.home
        return tuple(name for name in self.things if home[name] == home[thing])

    def later(self, a: str, b: str) -> bool:
        """Say whether uncontradicted claims show *a* later than *b*.

        Raises:
            NotRecorded: when one of the two is not in the sequence.
        """
        self._check(a, b)
        return self._layers.later(a, b)

    def compare(self, a: str, b: str) -> Order:
        """Return what the claims say of *a* in relation to *b*.

        CONTRADICTED means that a chain between the two exists, but only through claims
        that were set aside.

        Raises:
            NotRecorded: when one of the two is not in the sequence.
        """
        self._check(a, b)
        if self._layers.home[a] == self._layers.home[b]:
            return Order.SAME
        if self._layers.later(a, b):
            return Order.LATER
        if self._layers.later(b, a):
            return Order.EARLIER
        groups = self._groups
        one_group = groups.home[a] == groups.home[b]
        if one_group or groups.later(a, b) or groups.later(b, a):
            return Order.CONTRADICTED
        return Order.UNRELATED

    def incomparable(self, a: str, b: str) -> bool:
        """Say whether the claims leave open which of the two came first.

        Raises:
            NotRecorded: when one of the two is not in the sequence.
        """
        return self.compare(a, b) in (Order.UNRELATED, Order.CONTRADICTED)

    def chain(self, a: str, b: str) -> tuple[OrderRelation, ...] | None:
        """Return the fewest claims that show *a* later than *b*, from *a* down to *b*.

        A correlation is turned so that the chain reads on. None when *a* is not shown
        to be later than *b*.

        Raises:
            NotRecorded: when one of the two is not in the sequence.
        """
        if not self.later(a, b):
            return None
        return shortest(self._steps, a, b)

    def why_redundant(self, relation: Before) -> tuple[OrderRelation, ...]:
        """Return the shortest chain of immediate relations that *relation* follows by.

        Raises:
            NotRecorded: when *relation* is not one of `redundant`.
        """
        if relation not in self.redundant:
            raise NotRecorded(f"claim {relation.claim} is not a redundant relation")
        implied = set(self.redundant)
        drawn = {
            thing: tuple(step for step in onward if step not in implied)
            for thing, onward in self._steps.items()
        }
        found = shortest(drawn, relation.later, relation.earlier)
        assert found is not None  # a reduction keeps what it implies
        return found

    def _check(self, *things: str) -> None:
        for thing in things:
            if thing not in self._layers.home:
                raise NotRecorded(f"{thing} is not in this sequence")


def sequence(things: Iterable[str], relations: Iterable[OrderRelation]) -> Sequence:
    """Put *things* in the order that *relations* give them.

    Work grows with relations × layers / 64 (bit sets), and only inside contradictory
    groups with the square of their size.

    Raises:
        NotRecorded: when a relation names something that is not among *things*.
    """
    things = tuple(dict.fromkeys(things))
    relations = tuple(dict.fromkeys(relations))
    _check_names(set(things), relations)
    befores = [relation for relation in relations if isinstance(relation, Before)]
    groups = Strata.of_groups(things, relations)
    contradictions = _contradictions(things, relations, groups)
    aside = {one for found in contradictions for one in found.set_aside}
    sound = [relation for relation in relations if relation not in aside]
    layers = Strata.of_groups(things, sound)
    redundant = layers.implied(one for one in befores if one not in aside)
    not_drawn = redundant | aside
    return Sequence(
        things=things,
        immediate=tuple(one for one in befores if one not in not_drawn),
        redundant=tuple(one for one in befores if one in redundant),
        levels=_levels(things, layers, contradictions),
        contradictions=contradictions,
        _layers=layers,
        _groups=groups,
        _steps=steps(things, sound),
    )


def _check_names(known: set[str], relations: Many[OrderRelation]) -> None:
    for relation in relations:
        for name in ends(relation):
            if name not in known:
                raise NotRecorded(f"claim {relation.claim} names {name}, not in the list")


def _levels(
    things: Many[str], layers: Strata, contradictions: Many[Contradiction]
) -> tuple[tuple[str, ...], ...]:
    height: list[int] = []
    for nodes in layers.next_below:
        height.append(1 + max((height[node] for node in nodes), default=-1))
    undetermined = {name for found in contradictions for name in found.things}
    levels: dict[int, list[str]] = {}
    for name in things:
        if name not in undetermined:
            levels.setdefault(height[layers.home[name]], []).append(name)
    return tuple(tuple(levels[level]) for level in sorted(levels))


def _contradictions(
    things: Many[str], relations: Many[OrderRelation], groups: Strata
) -> tuple[Contradiction, ...]:
    inside: dict[int, list[OrderRelation]] = {}
    for relation in relations:
        first, second = ends(relation)
        if groups.home[first] == groups.home[second]:
            inside.setdefault(groups.home[first], []).append(relation)
    members: dict[int, list[str]] = {}
    for name in things:
        members.setdefault(groups.home[name], []).append(name)
    return tuple(
        Contradiction(
            tuple(members[group]),
            _shortest_loop(members[group], inside[group]),
            _on_loops(inside[group]),
        )
        for group in members
        if any(isinstance(one, Before) for one in inside.get(group, ()))
    )


def _on_loops(inside: Many[OrderRelation]) -> tuple[OrderRelation, ...]:
    """Return the relations of a contradictory group that may lie on a loop.

    Every order claim does. A correlation does not when it only hangs something on to a
    layer: such a thing is still the same layer, whatever is wrong with the loop.
    """
    befores = [one for one in inside if isinstance(one, Before)]
    correlated = [one for one in inside if isinstance(one, Same)]
    held = {name for one in befores for name in ends(one)}
    while True:
        pairs = {frozenset(ends(one)) for one in correlated}
        reach = Counter(name for pair in pairs for name in pair)
        loose = {name for name, count in reach.items() if count == 1} - held
        if not loose:
            break
        correlated = [one for one in correlated if loose.isdisjoint(ends(one))]
    aside = {*befores, *correlated}
    return tuple(one for one in inside if one in aside)


def _shortest_loop(
    things: Many[str], inside: Many[OrderRelation]
) -> tuple[OrderRelation, ...]:
    onward = steps(things, inside)
    best: tuple[OrderRelation, ...] = ()
    for relation in inside:
        # every loop has an order claim on it: let it begin there
        if isinstance(relation, Before) and len(best) != 1:
            most = len(best) - 2 if best else len(inside)
            back = shortest(onward, relation.earlier, relation.later, most)
            if back is not None:
                best = (relation, *back)
    return best
