"""How much more an examination would make known, of one thing and of the whole object.

The gain about a thing is the mutual information between what an account says of it and
the outcome of the examination, in bits. What is learnt of one thing also bears upon
others, so the gain over the object is the sum of such gains about every thing; things
that hang together count each.

The gain about the thing itself needs nothing but its belief. The gain over the object
takes a pass for every state of what is looked at, so it is reckoned for the most telling
looks only, within a budget of cells; the others say so by None.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from .account import Mask, states_apart
from .assessment import Assessment
from .assessment_model import AS_GIVEN
from .case import Thing
from .evidence import Aspect, Reading
from .examination import Examination
from .influence import joint_of
from .junction_tree import Posterior, solve

__all__ = ["ExpectedGain", "expected_gains"]

Cells = npt.NDArray[np.float64]
BUDGET = 4e7
"""Cells that the gains over the object may go through, all passes together."""
LEAST_LOOKS = 3
"""Looks of which the gain over the object is reckoned whatever it costs."""
MOST_LOOKS = 24
SLIGHT = 1e-3
"""Bits below which a gain about the thing itself is not followed over the object."""
PINNED_OUT = 1e-150
"""What a state counts as while its variable is pinned to another."""


@dataclass(frozen=True, slots=True)
class ExpectedGain:
    """What one examination of one thing could be expected to tell.

    Attributes:
        thing: id of the thing.
        examination: what would be done.
        bits: expected gain about the thing itself.
        over_object: the same summed over every thing of the object, at least `bits`; None
            where it was not reckoned.
    """

    thing: str
    examination: Examination
    bits: float
    over_object: float | None


def expected_gains(
    assessment: Assessment,
    examinations: Sequence[Examination],
    suits: Callable[[str, Examination], bool] = lambda thing, examination: True,
) -> tuple[ExpectedGain, ...]:
    """Every examination of every thing it can be used on, the most telling first.

    The core is left out: it is original by definition, and no look can change that.

    Args:
        assessment: the assessment.
        examinations: what could be done.
        suits: whether an examination can be used on the thing with this id, beside its
            kind; every one if left out.
    """
    case = assessment.case
    found = [
        (_own_gain(assessment, thing, one), thing, one)
        for thing in case.things
        if not thing.core
        for one in examinations
        if thing.kind in one.kinds and suits(thing.id, one)
    ]
    found.sort(key=lambda row: (-round(row[0], 9), row[1].id, row[2].name))
    wide = _over_object(assessment, found)
    gains = [
        ExpectedGain(thing.id, one, bits, wide.get((_look(thing, one), one.name)))
        for bits, thing, one in found
    ]
    return tuple(
        sorted(
            gains,
            key=lambda one: (
                -round(one.bits if one.over_object is None else one.over_object, 9),
                one.thing,
                one.examination.name,
            ),
        )
    )


def _look(thing: Thing, examination: Examination) -> Reading:
    """Which time of a thing an examination looks at."""
    aspect = examination.aspect if thing.kind.has_making else Aspect.PLACED
    return Reading(thing.id, aspect)


def _own_gain(assessment: Assessment, thing: Thing, examination: Examination) -> float:
    belief = assessment.beliefs[thing.id]
    made = _look(thing, examination).aspect is Aspect.MADE
    joint = np.stack(
        [
            np.where(states, belief, 0.0).sum(axis=1 if made else 0)
            for states in states_apart(assessment.case, thing.kind)
        ]
    )
    outcome = examination.outcomes(len(assessment.case.phases), made)
    return _mutual(outcome @ joint.T)


def _mutual(joint: Cells) -> float:
    """Mutual information of the two axes of a table of shares, in bits."""
    joint = joint / joint.sum()  # a belief holds traces of what cannot be
    rows, columns = joint.sum(axis=1, keepdims=True), joint.sum(axis=0, keepdims=True)
    inside = joint > 0
    ratio = np.divide(joint, rows * columns, out=np.ones_like(joint), where=inside)
    return max(float((joint * np.log2(ratio)).sum()), 0.0)


def _over_object(
    assessment: Assessment, ranked: Sequence[tuple[float, Thing, Examination]]
) -> dict[tuple[Reading, str], float]:
    """Gain over the object of the most telling looks, by what is looked at and how."""
    if assessment.posterior is None:
        return {}
    wanted: dict[Reading, list[Examination]] = {}
    states = len(assessment.case.phases) + 1
    room = BUDGET // max(assessment.plan.entries * states, 1)
    most = int(min(max(room, LEAST_LOOKS), MOST_LOOKS))
    for bits, thing, one in ranked:
        look = _look(thing, one)
        if bits >= SLIGHT and (look in wanted or len(wanted) < most):
            wanted.setdefault(look, []).append(one)
    classes = {
        thing.id: states_apart(assessment.case, thing.kind)
        for thing in assessment.case.things
        if not thing.core
    }
    gains: dict[tuple[Reading, str], float] = {}
    for look, examinations in wanted.items():
        joints = _joints(assessment, look, classes)
        for one in examinations:
            made = look.aspect is Aspect.MADE
            outcome = one.outcomes(len(assessment.case.phases), made)
            total = sum(_mutual(outcome @ joint) for joint in joints)
            gains[look, one.name] = float(total)
    return gains


def _joints(
    assessment: Assessment, look: Reading, classes: dict[str, list[Mask]]
) -> list[Cells]:
    """P(state looked at, account) for every thing: one pass a state, in a few batches."""
    model, plan = assessment.model, assessment.plan
    variable = model.times[look]
    assert assessment.posterior is not None  # _over_object asks of exact ones only
    weight = assessment.posterior.marginal(variable)
    room = max(1, int(model.params.budget // max(plan.entries, 1)))
    held = next(f for f, scope in enumerate(model.graph.scopes) if variable in scope)
    axis = model.graph.scopes[held].index(variable)
    shares: dict[str, list[Cells]] = {thing: [] for thing in classes}
    for start in range(0, len(weight), room):
        pins = range(start, min(start + room, len(weight)))
        tables = model.tables([AS_GIVEN] * len(pins))
        tables[held] = _pinned(tables[held], axis, pins)
        posterior = solve(plan, tables)
        for thing, masks in classes.items():
            belief = _belief(assessment, posterior, thing)
            shares[thing].append(np.stack([belief[one].sum(axis=0) for one in masks]))
    return [(np.concatenate(one, axis=1) * weight).T for one in shares.values()]


def _pinned(table: Cells, axis: int, pins: range) -> Cells:
    """A table whose variable is pinned to another state in every variant."""
    out = table.copy()
    for variant, state in enumerate(pins):
        here = np.moveaxis(out[..., variant], axis, 0)
        here[np.arange(len(here)) != state] *= PINNED_OUT
    return out


def _belief(assessment: Assessment, posterior: Posterior, thing: str) -> Cells:
    """P(made, placed | state pinned) of a thing, the variants last."""
    model = assessment.model
    count = len(model.case.phases)
    if thing in model.joint:
        factor = model.joint[thing]
        more = tuple(range(2, len(model.graph.scopes[factor])))
        whole: Cells = joint_of(posterior, factor).sum(axis=more)
        return whole.reshape(count + 1, count, -1)
    placed = posterior.marginal(model.times[Reading(thing, Aspect.PLACED)])
    table: Cells = np.zeros((count + 1, count, placed.reshape(count, -1).shape[1]))
    table[np.arange(1, count + 1), np.arange(count)] = placed.reshape(count, -1)
    return table
