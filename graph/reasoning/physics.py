"""What holds of any object before anybody says anything: priors and physical ties.

* The *core* is the object by definition: made and placed in the first phase.
* A part is in its present place since its present *fixings* are: as long as one fixing
  of an earlier phase still holds it, it has not moved since. With fixings on record a
  move costs no improbability of its own; the fixings explain it.
* Parts without recorded fixings move together, in one *re-assembly* of the object, or
  now and then by themselves.
* Things that *touch* tend to share a phase, mildly, and without moving any prior.
"""

import numpy as np
import numpy.typing as npt

from ..record import Relation
from .attachment import contacts, fixings
from .case import Case, Thing, ThingKind
from .evidence import Aspect, Reading
from .factor_graph import FactorGraph
from .premises import Params
from .shared_prior import pull_together, scaled_to_margins
from .thing_prior import (
    NEVER,
    made_prior,
    moved_later,
    phase_prior,
    recorded_phases,
    shares,
)

__all__ = ["Physics"]

Cells = npt.NDArray[np.float64]

MOVES = frozenset({Relation.PLACED_IN, Relation.MOVED_FROM, Relation.REUSED_FROM})


class Physics:
    """Adds the times of every thing, their priors and their ties to a graph.

    Args:
        case: the case.
        params: the premises.
        odds: further factor on the odds of the first phase.
        graph: the graph to add to.

    Attributes:
        times: variable of every time.
        joint: per part or fixing, a factor that holds both its times.
        hubs: variables that many things depend on.
    """

    def __init__(self, case: Case, params: Params, odds: float, graph: FactorGraph) -> None:
        self.case, self.params, self.graph = case, params, graph
        self.count, self.odds = len(case.phases), odds
        self.times: dict[Reading, int] = {}
        self.joint: dict[str, int] = {}
        self._held = fixings(case)
        self._recorded = recorded_phases(case, params)
        self._things = sorted(case.things, key=lambda thing: thing.id)
        self._made_prior: dict[str, Cells] = {}
        self._placed_prior: dict[str, Cells] = {}
        self._reassembly = self._add_reassembly()
        self.hubs = () if self._reassembly is None else (self._reassembly,)
        self._add_times()
        # Fixings come before what they hold, so that their priors are known.
        for thing in sorted(self._things, key=lambda one: len(self._held[one.id]) > 0):
            self._tie(thing)
        for one, two in contacts(case):
            self._touch(one, two)

    def usual(self, reading: Reading, phase: int) -> float:
        """How often a time is of a phase, before any claim."""
        if reading.aspect is Aspect.MADE:
            return float(self._made_prior[reading.thing][phase + 1])
        return float(self._placed_prior[reading.thing][phase])

    # -------------------------------------------------------------- what is shared

    def _add_reassembly(self) -> int | None:
        """Whether, and in which later phase, the object was put together anew.

        It ties parts together only where at least two of them are said to have been put
        in place or moved; otherwise every part's share in it is its own.
        """
        said = {claim.subject for claim in self.case.claims if claim.relation in MOVES}
        loose = sum(self._is_loose(one) and one.id in said for one in self._things)
        if self.count < 2 or loose < 2 or self.params.reassembly <= 0:
            return None
        variable = self.graph.add_variable("re-assembly", self.count)
        self.graph.add_factor([variable], self._reassembly_prior(), "re-assembly")
        return variable

    def _is_loose(self, thing: Thing) -> bool:
        """Whether nothing on record says what keeps a part in its place."""
        held = len(self._held[thing.id]) > 0
        return thing.kind is ThingKind.PART and not thing.core and not held

    def _reassembly_prior(self) -> Cells:
        prior = np.full(self.count, self.params.reassembly / max(self.count - 1, 1))
        prior[0] = 1 - self.params.reassembly
        return prior

    # -------------------------------------------------------------- made and placed

    def _add_times(self) -> None:
        for thing in self._things:
            if thing.kind.has_making:
                made = self.graph.add_variable(f"made: {thing.id}", self.count + 1)
                self.times[Reading(thing.id, Aspect.MADE)] = made
                recorded = self._recorded[thing.id]
                prior = made_prior(thing, recorded, self.params, self.odds)
                self._made_prior[thing.id] = prior
                self.graph.add_factor([made], prior, f"prior:{thing.id}")
            placed = self.graph.add_variable(f"placed: {thing.id}", self.count)
            self.times[Reading(thing.id, Aspect.PLACED)] = placed

    def _tie(self, thing: Thing) -> None:
        placed = self.times[Reading(thing.id, Aspect.PLACED)]
        if not thing.kind.has_making:
            prior = phase_prior(thing, self._recorded[thing.id], self.params, self.odds)
            self.graph.add_factor([placed], prior, f"prior:{thing.id}")
            self._placed_prior[thing.id] = prior
            return
        made = self.times[Reading(thing.id, Aspect.MADE)]
        if self._held[thing.id] and not thing.core:
            self._tie_to_fixings(thing, made, placed)
        elif self._is_loose(thing):
            self._tie_to_reassembly(thing, made, placed)
        else:
            table = moved_later(self.params.reuse, self._recorded[thing.id])
            self._tie_freely(thing, [made, placed], table)
        if thing.core:
            self._fix_core(thing, made, placed)

    def _fix_core(self, thing: Thing, made: int, placed: int) -> None:
        """The core as evidence, not as prior, so that what touches it feels the pull."""
        table = np.full((self.count + 1, self.count), NEVER)
        table[1, 0] = 1.0
        self.graph.add_factor([made, placed], table, f"core:{thing.id}")

    def _tie_freely(self, thing: Thing, scope: list[int], table: Cells) -> None:
        """A thing in place since made, or moved later; *table* is P(placed | made)."""
        self.joint[thing.id] = self.graph.add_factor(scope, table, f"placed:{thing.id}")
        self._placed_prior[thing.id] = shares(self._made_prior[thing.id] @ table)

    def _tie_to_reassembly(self, thing: Thing, made: int, placed: int) -> None:
        alone = moved_later(self.params.stray, self._recorded[thing.id])
        table = np.stack([alone] * self.count, axis=-1)
        for phase in range(1, self.count):
            joins = np.zeros((self.count + 1, self.count))
            joins[: phase + 1, phase] = self.params.joins
            stays = 1 - joins.sum(1, keepdims=True)
            table[:, :, phase] = joins + stays * alone
        given_made = table @ self._reassembly_prior()
        if self._reassembly is None:
            self._tie_freely(thing, [made, placed], given_made)
            return
        scope = [made, placed, self._reassembly]
        self.joint[thing.id] = self.graph.add_factor(scope, table, f"placed:{thing.id}")
        self._placed_prior[thing.id] = shares(self._made_prior[thing.id] @ given_made)

    # -------------------------------------------------------------- held by

    def _tie_to_fixings(self, thing: Thing, made: int, placed: int) -> None:
        earliest, fixed = self._earliest(thing)
        prior = self._made_prior[thing.id]
        goes = scaled_to_margins(self._goes_with(), prior, fixed)
        table = self._placed_since(thing) * goes[:, None, :]
        scope = [made, placed, earliest]
        self.joint[thing.id] = self.graph.add_factor(scope, table, f"held:{thing.id}")
        weight = prior[:, None, None] * table * fixed
        self._placed_prior[thing.id] = shares(weight.sum(axis=(0, 2)))

    def _earliest(self, thing: Thing) -> tuple[int, Cells]:
        """The phase of the earliest of a thing's fixings, and its prior."""
        first, *others = self._held[thing.id]
        variable = self.times[Reading(first, Aspect.PLACED)]
        prior = self._placed_prior[first]
        grid = np.indices((self.count,) * 3)
        table = (grid[2] == np.minimum(grid[0], grid[1])).astype(np.float64)
        for number, fixing in enumerate(others, start=2):
            name = f"held since, of {number}: {thing.id}"
            earlier = self.graph.add_variable(name, self.count)
            one = self.times[Reading(fixing, Aspect.PLACED)]
            scope = [variable, one, earlier]
            self.graph.add_factor(scope, table, f"held:{thing.id}")
            prior = np.einsum("a,b,abc->c", prior, self._placed_prior[fixing], table)
            variable = earlier
        return variable, prior

    def _goes_with(self) -> Cells:
        """How readily a fixing holds a thing made later than it: only if re-driven."""
        made = np.arange(-1, self.count)[:, None]
        fixed = np.arange(self.count)[None, :]
        table: Cells = np.where(made <= fixed, 1.0, self.params.redriven)
        return table

    def _placed_since(self, thing: Thing) -> Cells:
        """P(placed | made, earliest fixing), axes (made, placed, fixing)."""
        spread = moved_later(self.params.stray, self._recorded[thing.id])
        table = np.repeat(spread[:, :, None] * (1 - self.params.held), self.count, axis=2)
        for made in range(-1, self.count):
            for fixed in range(self.count):
                table[made + 1, max(made, fixed), fixed] += self.params.held
        return table

    # -------------------------------------------------------------- touching

    def _touch(self, one: str, two: str) -> None:
        scope = [self.times[Reading(name, Aspect.PLACED)] for name in (one, two)]
        parts = self.case.thing(one).kind.has_making
        pull = self.params.contact if parts else self.params.contact_layers
        table = pull_together(self._placed_prior[one], self._placed_prior[two], pull)
        self.graph.add_factor(scope, table, f"contact:{one}:{two}")
