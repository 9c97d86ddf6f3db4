"""One question about one thing: which account of it is so, and what moves the answer.

The graph of the case gets one more unknown, the account of the thing. Pinning that
unknown takes as many passes as there are accounts, all at once or in as few parts as the
budget asks; every claim's leave-one-out follows from them.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property

import numpy as np
import numpy.typing as npt

from .account import states_apart
from .assessment import Assessment, cheapest_plan
from .assessment_model import AssessmentModel
from .case import ThingKind
from .evidence import Aspect, Reading
from .examination import Examination, Touch
from .factor_graph import FactorGraph
from .influence import influence, value_of_information
from .junction_tree import solve

__all__ = ["ClaimWeight", "Inquiry", "Settling", "by_touch", "log_odds", "with_account"]

Cells = npt.NDArray[np.float64]
Mask = npt.NDArray[np.bool_]


@dataclass(frozen=True, slots=True)
class ClaimWeight:
    """What one claim does to the verdict.

    Attributes:
        claim: id of the claim.
        source: who says so.
        strength: its word.
        weight: log10 of the factor on the odds of the verdict; above 0 it speaks for it.
        error: standard error of *weight*; 0 where the assessment is exact.
    """

    claim: str
    source: str
    strength: str
    weight: float
    error: float = 0.0


@dataclass(frozen=True, slots=True)
class Settling:
    """What an examination of this thing could tell.

    Attributes:
        name: the examination.
        touch: what it costs the object.
        bits: expected gain in certainty about this thing, in bits; at most log2 of the
            number of accounts.
    """

    name: str
    touch: Touch
    bits: float


class Inquiry:
    """The question in an assessment that is exact."""

    def __init__(self, assessment: Assessment, thing: str) -> None:
        self.thing, self.kind = thing, assessment.case.thing(thing).kind
        self.classes = states_apart(assessment.case, self.kind)
        self.model = assessment.model
        graph, self.target = with_account(self.model, thing, self.classes)
        # The new unknown hangs on one clique, and adds no more than a leaf to the tree.
        leaf = float(sum(one.size for one in self.classes))
        budget = self.model.params.budget + leaf
        planned = cheapest_plan(graph, self.model.late, budget)
        self.posterior = solve(planned, graph.tables)

    def weights(self, states: Mask) -> list[ClaimWeight]:
        """Weight of every claim for a set of states, by falling weight."""
        inside = np.array([bool((one & states).any()) for one in self.classes])
        factors, without = self.model.factors, self._without
        now = log_odds(self.posterior.marginal(self.target), inside)
        found = []
        for claim in self.model.heard.counted:
            weight = now - log_odds(without[factors[claim.id]], inside)
            found.append(ClaimWeight(claim.id, claim.source, claim.strength, weight))
        return sorted(found, key=lambda one: (-round(one.weight, 9), one.claim))

    @cached_property
    def _without(self) -> dict[int, Cells]:
        """P(account) without each claim in turn, by the factor of the claim."""
        return influence(self.posterior, self.target, list(self.model.factors.values()))

    def settling(self, examinations: Sequence[Examination]) -> tuple[Settling, ...]:
        """Expected gain of every examination that can be used on this kind of thing."""
        usable = [one for one in examinations if self.kind in one.kinds]
        if not usable:
            return ()
        tests = [self._test(one) for one in usable]
        gains = value_of_information(self.posterior, self.target, tests)
        return by_touch(usable, gains)

    def _test(self, examination: Examination) -> tuple[int, Cells]:
        aspect = aspect_of(examination, self.kind)
        count = len(self.model.case.phases)
        variable = self.model.times[Reading(self.thing, aspect)]
        return variable, examination.outcomes(count, aspect is Aspect.MADE)


def aspect_of(examination: Examination, kind: ThingKind) -> Aspect:
    """Which time of a thing an examination tells of: what has one time has its placing."""
    return examination.aspect if kind.has_making else Aspect.PLACED


def by_touch(
    examinations: Sequence[Examination], gains: Sequence[float] | Cells
) -> tuple[Settling, ...]:
    """Examinations with their gains: non-touching ones first, then by gain."""
    found = [
        Settling(one.name, one.touch, float(gain))
        for one, gain in zip(examinations, gains, strict=True)
    ]
    touches = list(Touch)
    return tuple(
        sorted(found, key=lambda one: (touches.index(one.touch), -round(one.bits, 9)))
    )


def with_account(
    model: AssessmentModel, thing: str, classes: Sequence[Mask]
) -> tuple[FactorGraph, int]:
    """The graph of a model and the number of the new variable; old numbers stay.

    The factor that ties the account to the times of the thing is the last.
    """
    graph = FactorGraph()
    for name, states in zip(model.graph.names, model.graph.cards, strict=True):
        graph.add_variable(name, states)
    rows = zip(model.graph.scopes, model.graph.tables, model.graph.labels, strict=True)
    for scope, table, label in rows:
        graph.add_factor(scope, table, label)
    target = graph.add_variable(f"account: {thing}", len(classes))
    placed = model.times[Reading(thing, Aspect.PLACED)]
    table = np.stack(classes, axis=-1).astype(np.float64)
    made = model.times.get(Reading(thing, Aspect.MADE))
    if made is None:
        count = len(model.case.phases)
        when = table[np.arange(1, count + 1), np.arange(count)]
        graph.add_factor([placed, target], when, f"account:{thing}")
    else:
        graph.add_factor([made, placed, target], table, f"account:{thing}")
    return graph, target


def log_odds(shares: Cells, inside: Mask) -> float:
    """log10 of the odds of the accounts inside against those outside."""
    share = float(np.clip(shares[inside].sum() / shares.sum(), 1e-12, 1 - 1e-12))
    return float(np.log10(share / (1 - share)))
