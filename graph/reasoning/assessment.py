"""What is original and what came later, as probabilities: the assessment of one case.

`cost_of` says before it is paid what an answer would cost. Within the budget the answer
is exact; past it the whole model is sampled, and the answer says so, with its error; where
sampling does not settle either, nothing is answered. The model is never made simpler on
the way: a sampling error can be stated, what a simpler model gives up cannot. The same
case and the same premises give the same answer, to the last digit.
"""

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace

import numpy as np
import numpy.typing as npt

from .assessment_model import AssessmentModel, Supposition, build_model
from .case import Case
from .elimination import neighbours
from .evidence import Aspect, Reading
from .factor_graph import FactorGraph
from .influence import joint_of
from .junction_tree import Plan, Posterior, plan, solve
from .premises import Params
from .sampling import SamplingCost, SamplingPlan, SamplingRules
from .sampling_answer import SampledAnswer, Supposed, plan_sampling, sample
from .solve_again import fits, solve_again

__all__ = [
    "Assessment",
    "Cost",
    "SourceView",
    "assess",
    "assess_again",
    "beliefs_under",
    "cheapest_plan",
    "cost_of",
    "log_evidence",
    "supposed",
]

Cells = npt.NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class Cost:
    """What the answer to a case costs; known before it is paid.

    Attributes:
        exact: whether exact work stays within the budget.
        width: number of unknowns that must be looked at together, less one.
        entries: cells of all tables together, in exact work.
        megabytes: room that they take.
        sampling: what sampling costs at most; None where the answer is exact. Every
            supposition that the draws for the case do not carry costs as much again.
    """

    exact: bool
    width: int
    entries: float
    megabytes: float
    sampling: SamplingCost | None = None


@dataclass(frozen=True, slots=True)
class SourceView:
    """What the evidence makes of a source.

    Attributes:
        id: the source.
        before: how often its reports were taken to depend on the truth, before any claim.
        after: the same in the light of all claims.
        story: phase of which it most probably says everything to be; None where no
            one-story state is left.
        story_before, story_after: probability that it tells one story whatever the truth.
    """

    id: str
    before: float
    after: float
    story: str | None
    story_before: float
    story_after: float


@dataclass(frozen=True, slots=True)
class Assessment:
    """The posterior of one case.

    Attributes:
        model: the case as a factor graph, with its premises.
        cost: what exact work costs.
        plan: the elimination plan; it serves every other question about this case.
        posterior: the solved tree; None where the answer is sampled.
        beliefs: per thing, P(made, placed): rows older, phase 0, phase 1...; columns
            phase 0, phase 1...; sums to 1. What has one time only stands on the diagonal.
        sources: what the evidence makes of every source that is weighed.
        sampled: the draws; None where the answer is exact.
        messages: messages that were reckoned to take an earlier assessment further; None
            where it was made afresh.
    """

    model: AssessmentModel
    cost: Cost
    plan: Plan
    posterior: Posterior | None
    beliefs: Mapping[str, Cells]
    sources: tuple[SourceView, ...]
    sampled: SampledAnswer | None = field(default=None, repr=False)
    messages: int | None = None

    @property
    def error(self) -> float:
        """Largest standard error of a probability; 0 where exact."""
        return self.sampled.drawn.error if self.sampled else 0.0

    @property
    def effective(self) -> float | None:
        """Smallest effective sample size of a probability that is not rare, or None."""
        return self.sampled.drawn.least_effective if self.sampled else None

    @property
    def case(self) -> Case:
        """The case that was assessed."""
        return self.model.case

    @property
    def exact(self) -> bool:
        """Whether the probabilities are exact."""
        return self.posterior is not None


def cost_of(
    case: Case, params: Params | None = None, rules: SamplingRules | None = None
) -> Cost:
    """What an assessment would cost, without doing it.

    Raises:
        BadValue: a claim that cannot be read.
    """
    params = params or Params()
    model = build_model(case, params)
    planned = cheapest_plan(model.graph, model.late, params.budget)
    return _cost(planned, None if planned.exact else plan_sampling(model, rules))


def assess(
    case: Case,
    params: Params | None = None,
    rules: SamplingRules | None = None,
    beforehand: Callable[[Cost], None] | None = None,
) -> Assessment:
    """Assess a case: exactly within the budget of the premises, sampled past it.

    Args:
        case: the case.
        params: the premises.
        rules: when sampling stops, and what it must reach.
        beforehand: told what sampling costs at most, before it is paid; not called where
            the answer is exact.

    Raises:
        BadValue: a claim that cannot be read.
        Refused: past the budget, and sampling would cost too much or did not settle.
    """
    params = params or Params()
    model = build_model(case, params)
    planned = cheapest_plan(model.graph, model.late, params.budget)
    if planned.exact:
        return _exact(model, planned, solve(planned, model.graph.tables))
    how = plan_sampling(model, rules)
    cost = _cost(planned, how)
    if beforehand is not None:
        beforehand(cost)
    return _sampled(model, planned, how, cost)


def assess_again(
    previous: Assessment, case: Case, rules: SamplingRules | None = None
) -> Assessment:
    """Assess a case that differs little from one assessed before, under its premises.

    Where the unknowns are the same and every report is about things that the earlier tree
    holds together, only what the changes touch is reckoned again; else all is.

    Args:
        previous: the earlier assessment.
        case: the case as it is now.
        rules: when sampling stops, if it comes to that.

    Raises:
        BadValue: a claim that cannot be read.
        Refused: past the budget, and sampling would cost too much or did not settle.
    """
    model = build_model(case, previous.model.params)
    same = model.graph.names == previous.model.graph.names
    if previous.posterior is None or not same or not fits(previous.plan, model.graph):
        return assess(case, previous.model.params, rules)
    found = solve_again(previous.posterior, model.graph)
    next_one = _exact(model, found.posterior.plan, found.posterior)
    return replace(next_one, messages=found.messages)


def _exact(model: AssessmentModel, planned: Plan, posterior: Posterior) -> Assessment:
    beliefs = {
        thing.id: _belief(model, posterior, thing.id)[..., 0] for thing in model.case.things
    }
    sources = tuple(
        _source_view(model, source, posterior.marginal(variable))
        for source, variable in model.sources.items()
    )
    return Assessment(model, _cost(planned, None), planned, posterior, beliefs, sources)


def _sampled(
    model: AssessmentModel, planned: Plan, how: SamplingPlan, cost: Cost
) -> Assessment:
    answer = sample(model, how)
    sources = tuple(
        _source_view(model, source, answer.source(source)) for source in model.sources
    )
    return Assessment(model, cost, planned, None, answer.given(), sources, answer)


def supposed(assessment: Assessment, suppositions: Sequence[Supposition]) -> Supposed:
    """Beliefs about every thing under every supposition, with the error where sampled."""
    if assessment.sampled is not None:
        return assessment.sampled.under(suppositions)
    return Supposed(beliefs_under(assessment.model, assessment.plan, suppositions))


def beliefs_under(
    model: AssessmentModel, planned: Plan, suppositions: Sequence[Supposition]
) -> dict[str, Cells]:
    """Per thing, P(made, placed) under every supposition; these are the last axis.

    All suppositions go through one tree together, or in as few parts as the budget asks.
    """
    parts = [
        {thing.id: _belief(model, posterior, thing.id) for thing in model.case.things}
        for posterior in _solved(model, planned, suppositions)
    ]
    return {
        thing.id: np.concatenate([part[thing.id] for part in parts], axis=-1)
        for thing in model.case.things
    }


def log_evidence(
    model: AssessmentModel, planned: Plan, suppositions: Sequence[Supposition]
) -> Cells:
    """Natural logarithm of the probability of all claims under every supposition.

    Only differences mean anything.
    """
    parts = [
        np.atleast_1d(posterior.log_z)
        for posterior in _solved(model, planned, suppositions)
    ]
    return np.concatenate(parts)


def _solved(
    model: AssessmentModel, planned: Plan, suppositions: Sequence[Supposition]
) -> Iterator[Posterior]:
    room = max(1, int(model.params.budget // max(planned.entries, 1)))
    for start in range(0, len(suppositions), room):
        yield solve(planned, model.tables(suppositions[start : start + room]))


def cheapest_plan(graph: FactorGraph, late: Sequence[int], budget: float) -> Plan:
    """The cheapest of a few plans: with all, the busiest, or no unknowns kept to the end.

    A source that speaks of few things is best summed out among them, one that speaks of
    the whole object last; where the line lies differs from object to object.

    Args:
        graph: the graph.
        late: unknowns that may speak to the whole object.
        budget: cells up to which the plan counts as exact.
    """
    near = neighbours(len(graph.cards), graph.scopes)
    least = (0, BUSY) if len(near) > LARGE else (0, BUSY, len(near) + 1)
    plans = [
        plan(graph, budget, tuple(one for one in late if len(near[one]) >= count))
        for count in least
    ]
    return min(plans, key=lambda one: one.entries)


BUSY = 10
"""Neighbours from which on an unknown is taken to speak to the whole object."""
LARGE = 500
"""Unknowns above which an order without any kept to the end takes too long to find."""


def _cost(planned: Plan, sampling: SamplingPlan | None) -> Cost:
    cost = sampling.cost if sampling else None
    megabytes = planned.bytes / 1e6
    return Cost(planned.exact, planned.width, planned.entries, megabytes, cost)


def _belief(model: AssessmentModel, posterior: Posterior, thing: str) -> Cells:
    """P(made, placed) with a trailing axis for the batch, of length 1 without one."""
    count = len(model.case.phases)
    if thing not in model.joint:
        placed = posterior.marginal(model.times[Reading(thing, Aspect.PLACED)])
        spread = placed.reshape(count, -1)
        table = np.zeros((count + 1, count, spread.shape[1]))
        table[np.arange(1, count + 1), np.arange(count)] = spread
        return _checked(table, thing)
    factor = model.joint[thing]
    belief = joint_of(posterior, factor)
    # A factor of made and placed may hold more: the fixing, the re-assembly.
    third = tuple(range(2, len(model.graph.scopes[factor])))
    return _checked(belief.sum(axis=third).reshape(count + 1, count, -1), thing)


def _checked(belief: Cells, thing: str) -> Cells:
    """The belief, if it is one: a verdict on anything else would be worse than none.

    Raises:
        ArithmeticError: the shares do not sum to one; a fault of the program.
    """
    totals = belief.sum(axis=(0, 1))
    if not np.allclose(totals, 1, atol=1e-6):
        raise ArithmeticError(f"the shares of {thing} sum to {totals}, not to 1")
    return belief


def _source_view(model: AssessmentModel, source: str, after: Cells) -> SourceView:
    voice = model.voices[source]
    prior = voice.prior / voice.prior.sum()
    told = np.array([after[voice.story == k].sum() for k in range(len(model.case.phases))])
    story = model.case.phases[int(told.argmax())].id if told.sum() > 0 else None
    return SourceView(
        source,
        float(prior @ voice.validity),
        float(after @ voice.validity),
        story,
        float(prior[voice.story >= 0].sum()),
        float(told.sum()),
    )
