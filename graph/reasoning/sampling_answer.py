"""A sampled assessment: the beliefs about every thing, by chain, and what if.

What would be if something were read differently is told from the same draws where these
suffice: each draw is weighted by how much likelier the other reading makes it (importance
sampling; the error of the ratio by linearisation, Cochran 1977, from memory). Where the
weights leave too few effective draws, the other reading is drawn afresh.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from ..errors import Refused
from .assessment_model import AssessmentModel, Supposition
from .evidence import Aspect, Reading
from .factor_graph import Table
from .sampling import Drawn, SamplingPlan, SamplingRules, draw, prepare
from .sampling_error import error_of, kish

__all__ = ["SampledAnswer", "Supposed", "plan_sampling", "sample"]

Cells = npt.NDArray[np.float64]
CARRIED = 0.2
"""Share of the draws that must be effective after weighting; else it is drawn afresh."""
LOOSE = 2.0
"""How far over the target the error of a weighted answer may be."""
UNKNOWN = 1.0
"""The error of what could not be sampled well enough: it says nothing."""


@dataclass(frozen=True, slots=True)
class Supposed:
    """Beliefs under some suppositions, which are the last axis.

    Attributes:
        beliefs: per thing, P(made, placed).
        batches: the same by chain, (made, placed, chains, suppositions); None where exact.
        draws: per supposition, draws that it rests on; 0 where these are too few.
    """

    beliefs: Mapping[str, Cells]
    batches: Mapping[str, Cells] | None = None
    draws: tuple[int, ...] = ()

    def error(self, thing: str, states: npt.NDArray[np.bool_]) -> Cells:
        """Standard error of the probability of a set of states, per supposition."""
        if self.batches is None:
            return np.zeros(self.beliefs[thing].shape[-1])
        chains = self.batches[thing][states].sum(axis=0)
        rows = zip(chains.T, self.draws, strict=True)
        return np.array(
            [float(error_of(row, draws)) if draws else UNKNOWN for row, draws in rows]
        )


@dataclass(frozen=True)
class SampledAnswer:
    """Draws for a model, and all that follows from them.

    Attributes:
        model: the model.
        plan: what is drawn together, and its cost.
        drawn: the draws for the case as given.
    """

    model: AssessmentModel
    plan: SamplingPlan
    drawn: Drawn

    def given(self) -> dict[str, Cells]:
        """Per thing, P(made, placed)."""
        return _beliefs(self.model, self.drawn.shares)

    def source(self, source: str) -> Cells:
        """P(state of a source)."""
        return self.drawn.shares[_targets(self.model).index((self.model.sources[source],))]

    def under(self, suppositions: Sequence[Supposition]) -> Supposed:
        """Beliefs under every supposition, from these draws or from others."""
        columns = [self._under(one) for one in suppositions]
        things = [thing.id for thing in self.model.case.things]
        beliefs = {
            thing: np.stack([shares[thing] for shares, _, _ in columns], axis=-1)
            for thing in things
        }
        batches = {
            thing: np.stack([chains[thing] for _, chains, _ in columns], axis=-1)
            for thing in things
        }
        return Supposed(beliefs, batches, tuple(draws for _, _, draws in columns))

    def _under(self, one: Supposition) -> tuple[dict[str, Cells], dict[str, Cells], int]:
        if not one.rebuilds and not one.without:
            return self._told(self.drawn.shares, self.drawn.batches, self.drawn.draws)
        tables = [table[..., 0] for table in self.model.tables([one])]
        weights = self._weights(tables)
        if kish(weights) >= CARRIED * self.drawn.draws:
            batches = [self._weighted(t, weights) for t in self.plan.targets]
            shares = [batch.mean(axis=-1) for batch in batches]
            draws = int(kish(weights))
            worst = max(float(error_of(batch, draws).max()) for batch in batches)
            if worst <= LOOSE * self.plan.rules.error:
                return self._told(shares, batches, draws)
        drawn = draw(self.plan, tables)
        enough = drawn.enough(self.plan.rules)
        return self._told(drawn.shares, drawn.batches, drawn.draws if enough else 0)

    def _told(
        self, shares: Sequence[Cells], batches: Sequence[Cells], draws: int
    ) -> tuple[dict[str, Cells], dict[str, Cells], int]:
        return _beliefs(self.model, shares), _beliefs(self.model, batches), draws

    def _weights(self, tables: Sequence[Table]) -> Cells:
        """How much likelier other tables make each draw: (sweeps, chains)."""
        states = self.drawn.states
        logs = np.zeros(states.shape[1:])
        graph = self.model.graph
        for scope, old, new in zip(graph.scopes, graph.tables, tables, strict=True):
            if new is not old and not np.array_equal(new, old):
                logs += np.log(new / old)[tuple(states[list(scope)])]
        weights: Cells = np.exp(logs - logs.max())
        return weights

    def _weighted(self, target: tuple[int, ...], weights: Cells) -> Cells:
        """The weighted share of every state, by chain so that mean and spread are right."""
        shape = tuple(self.model.graph.cards[one] for one in target)
        at = np.ravel_multi_index(
            tuple(self.drawn.states[list(target)].astype(np.intp)), shape
        )
        size, chains = int(np.prod(shape)), weights.shape[1]
        flat = (at * chains + np.arange(chains)).ravel()
        mass = np.bincount(flat, weights.ravel(), size * chains).reshape(size, chains)
        total = weights.sum()
        share = mass.sum(axis=1, keepdims=True) / total
        moved = chains * (mass - share * weights.sum(axis=0)) / total
        batches: Cells = (share + moved).reshape(*shape, chains)
        return batches


def plan_sampling(
    model: AssessmentModel, rules: SamplingRules | None = None
) -> SamplingPlan:
    """What is to be drawn together for a model, and what it costs at most."""
    return prepare(model.graph, model.late, _targets(model), rules)


def sample(model: AssessmentModel, plan: SamplingPlan) -> SampledAnswer:
    """Draw until the answer is good enough.

    Raises:
        Refused: it could cost too much, or too few effective draws were reached within
            the largest number of sweeps; the text says how many, and how many are asked.
    """
    drawn = draw(plan)
    if not drawn.enough(plan.rules):
        raise Refused(
            "this case is too wide for an exact answer, and sampling did not settle: "
            f"after {drawn.draws} draws the smallest effective sample size is "
            f"{drawn.least_effective:.0f}, and at least {plan.rules.least} is asked for; "
            "no answer is given"
        )
    return SampledAnswer(model, plan, drawn)


def _targets(model: AssessmentModel) -> list[tuple[int, ...]]:
    """Both times of every part and fixing, the one of all else; then every source."""
    found = []
    for thing in model.case.things:
        aspects = (Aspect.MADE, Aspect.PLACED)
        readings = [Reading(thing.id, aspect) for aspect in aspects]
        found.append(tuple(model.times[one] for one in readings if one in model.times))
    return [*found, *((variable,) for variable in model.sources.values())]


def _beliefs(model: AssessmentModel, shares: Sequence[Cells]) -> dict[str, Cells]:
    """Per thing, (made, placed) and what axes may follow; one time on the diagonal."""
    count = len(model.case.phases)
    found = {}
    for thing, share in zip(model.case.things, shares, strict=False):
        if thing.kind.has_making:
            found[thing.id] = share
            continue
        table = np.zeros((count + 1, count, *share.shape[1:]))
        table[np.arange(1, count + 1), np.arange(count)] = share
        found[thing.id] = table
    return found
