"""The same question where the assessment is sampled: what a claim weighs, from the draws.

What is held at its drawn values leaves a narrow tree around the thing; in it everything is
exact. Per draw it tells P(account | what is held), and by which factor the evidence would
be likelier under another reading of a claim, summed over all that is free. The mean over
the draws, weighted by that factor, is the answer under the other reading: importance
sampling with the free unknowns summed out, which varies far less than weighting whole
draws (Rao-Blackwell; for such weights Liu 2001, section 2.5, from memory).

How sure a weight is comes from leaving out each chain in turn (the jackknife; Efron and
Tibshirani 1993, chapter 11, from memory). A claim has no weight told where the times that
it speaks of are held, or where too few draws would count without it.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import cached_property

import numpy as np
import numpy.typing as npt

from ..errors import Refused
from .account import states_apart
from .assessment import Assessment
from .evidence import Aspect, Reading
from .examination import Examination
from .factor_graph import Table
from .influence import against, bits
from .inquiry import ClaimWeight, Settling, aspect_of, by_touch, with_account
from .junction_tree import solve_cells
from .sampling_blocks import ROOM, block_around
from .sampling_error import jackknife, kish

__all__ = ["SampledInquiry"]

Cells = npt.NDArray[np.float64]
Mask = npt.NDArray[np.bool_]
DRAWS = 640
"""Draws that are looked at, spread evenly over all; their chains stay whole."""
AT_ONCE = 4_000_000
"""Table cells that are worked on at a time."""
OWN, OTHERS = 0.1, 0.2
"""Share of the draws that must count without a claim for its weight to be told: of one
about the thing itself, and of any other."""
TOLD = 2.0
"""Errors by which a weight must stand away from 0 to be told."""


@dataclass(frozen=True, slots=True)
class _Read:
    """The accounts under one reading of the claims.

    Attributes:
        mass: P(account) times the weight of the draw: (accounts, sweeps, chains).
    """

    mass: Cells

    @property
    def effective(self) -> float:
        """Share of the draws that count."""
        weights = self.mass.sum(axis=0)
        return kish(weights) / float(weights.size)

    def log_odds(self, inside: Mask) -> Cells:
        """log10 of the odds: of all draws, then without each chain in turn."""
        within = self.mass[inside].sum(axis=(0, 1))
        total = self.mass.sum(axis=(0, 1))
        parts = np.array([within, total])
        less = parts.sum(axis=1, keepdims=True) - parts
        every = np.concatenate([parts.sum(axis=1, keepdims=True), less], axis=1)
        share = np.clip(every[0] / every[1], 1e-12, 1 - 1e-12)
        odds: Cells = np.log10(share / (1 - share))
        return odds


class SampledInquiry:
    """The question in an assessment that is sampled.

    Attributes:
        untold: ids of claims about the thing whose weight the draws do not tell, after
            `weights`.
    """

    def __init__(self, assessment: Assessment, thing: str, room: int = ROOM) -> None:
        if assessment.sampled is None:
            raise ValueError("this assessment is exact")
        self.thing, self.kind = thing, assessment.case.thing(thing).kind
        self.classes = states_apart(assessment.case, self.kind)
        self.model, self.belief = assessment.model, assessment.beliefs[thing]
        self.untold: tuple[str, ...] = ()
        readings = [Reading(thing, one) for one in (Aspect.MADE, Aspect.PLACED)]
        times = self.model.times
        self.times = frozenset(times[one] for one in readings if one in times)
        self.every_time = frozenset(times.values())
        self.graph, target = with_account(self.model, thing, self.classes)
        self.block = block_around(self.graph, self._near(target), room)
        if target not in self.block.free:
            raise Refused(
                f"what is tied to {thing} is too much to be looked at together: from the "
                "draws of this sampled answer no reasons can be told for it"
            )
        self.free = frozenset(self.block.free)
        drawn = assessment.sampled.drawn.states
        step = max(1, -(-drawn.shape[1] * drawn.shape[2] // DRAWS))
        kept = drawn[:, ::step]
        self.shape = kept.shape[1:]
        account = np.zeros((1, *self.shape), dtype=np.int8)  # free, so never looked at
        states = np.concatenate([kept, account]).reshape(len(kept) + 1, -1)
        self.states = states.astype(np.intp)
        self.starts = np.cumsum([0, *(table.size for table in self.graph.tables)])
        self.cells = np.concatenate([table.ravel() for table in self.graph.tables])

    def _near(self, target: int) -> frozenset[int]:
        """The account, and what the factors about the thing speak of."""
        near = {target}
        for scope in self.graph.scopes:
            if not self.times.isdisjoint(scope):
                near |= set(scope)
        return frozenset(near)

    # ------------------------------------------------------------------ what is asked

    def weights(self, states: Mask) -> list[ClaimWeight]:
        """Weight of every claim that the draws tell, by falling weight."""
        inside = np.array([bool((one & states).any()) for one in self.classes])
        claims = self.model.heard.counted
        now, *without = self._silenced
        found, untold = [], []
        for claim, read in zip(claims, without, strict=True):
            moved = now.log_odds(inside) - read.log_odds(inside)
            weight, error = float(moved[0]), float(jackknife(moved[1:]))
            scope = self.graph.scopes[self.model.factors[claim.id]]
            own = not self.times.isdisjoint(scope)
            told = self._summed_out(scope) and read.effective >= (OWN if own else OTHERS)
            if not told:
                if own:
                    untold.append(claim.id)
            elif abs(weight) > TOLD * error:
                found.append(
                    ClaimWeight(claim.id, claim.source, claim.strength, weight, error)
                )
        self.untold = tuple(untold)
        return sorted(found, key=lambda one: (-round(one.weight, 9), one.claim))

    @cached_property
    def _silenced(self) -> list[_Read]:
        """The draws as they are, and without each claim that counts, in their order."""
        factors = [self.model.factors[claim.id] for claim in self.model.heard.counted]
        return self._read([(one, np.ones_like(self.graph.tables[one])) for one in factors])

    def _summed_out(self, scope: Sequence[int]) -> bool:
        """Whether all times that a claim speaks of, and those tied to them, are free.

        Where they are held, draws that go against a strong claim are so rare that their
        absence does not show: neither in the weights nor in how many of them count.
        """
        spoken = self.every_time.intersection(scope)
        tied = {
            one
            for other in self.graph.scopes
            if not spoken.isdisjoint(other)
            for one in other
        }
        return self.every_time & tied <= self.free

    def carried(
        self, states: Mask, claim: str, tables: Sequence[Table]
    ) -> list[tuple[float, float] | None]:
        """P(states) and its error with another table for a claim; None where not told."""
        inside = np.array([bool((one & states).any()) for one in self.classes])
        factor = self.model.factors[claim]
        told: list[tuple[float, float] | None] = []
        summed_out = self._summed_out(self.graph.scopes[factor])
        for read in self._read([(factor, table) for table in tables])[1:]:
            if read.effective < OWN or not summed_out:
                told.append(None)
                continue
            shares = 1 / (1 + 10 ** -read.log_odds(inside))
            told.append((float(shares[0]), float(jackknife(shares[1:]))))
        return told

    def settling(self, examinations: Sequence[Examination]) -> tuple[Settling, ...]:
        """Expected gain of every examination that can be used on this kind of thing."""
        usable = [one for one in examinations if self.kind in one.kinds]
        return by_touch(usable, [self._gain(one) for one in usable])

    def _gain(self, examination: Examination) -> float:
        aspect = aspect_of(examination, self.kind)
        has_making = aspect is Aspect.MADE
        axis = 1 if has_making else 0
        # What has one time only stands on the diagonal: its placing has the column.
        joint = np.array([np.where(one, self.belief, 0).sum(axis) for one in self.classes])
        now = joint.sum(axis=1)
        possible = now > 0
        given = joint[possible] / now[possible, None]
        outcomes = examination.outcomes(len(self.model.case.phases), has_making)
        seen = outcomes @ given.T
        share = now[possible] / now.sum()
        return float(bits(seen @ share) - share @ bits(seen))

    # ------------------------------------------------------------------ reading the draws

    def _read(self, changes: Sequence[tuple[int, Table]]) -> list[_Read]:
        """The draws as they are, and with each of these tables in the place of its own."""
        count = len(self.classes)
        mass = np.empty((len(changes) + 1, count, self.states.shape[1]))
        for part in self._parts():
            self._read_part(changes, part, mass)
        return [_Read(one.reshape(count, *self.shape)) for one in mass]

    def _parts(self) -> Iterator[slice]:
        width = max(len(self.block.first), int(self.block.plan.entries)) * len(self.classes)
        room = max(1, AT_ONCE // max(width, 1))
        for start in range(0, self.states.shape[1], room):
            yield slice(start, min(start + room, self.states.shape[1]))

    def _read_part(
        self, changes: Sequence[tuple[int, Table]], part: slice, mass: Cells
    ) -> None:
        states, count = self.states[:, part], len(self.classes)
        places = self.block.cells(states)
        cells = np.repeat(self.cells[places], count, axis=1)
        log_z, passed = solve_cells(self.block.plan, self._pinned(cells))
        heights = log_z.reshape(-1, count)
        shares = np.exp(heights - heights.max(axis=1, keepdims=True))
        shares /= shares.sum(axis=1, keepdims=True)
        mass[0, :, part] = shares.T
        divided, _ = against(self.block.plan.schedule, passed, cells, np.divide)
        seat = {factor: number for number, factor in enumerate(self.block.factors)}
        for row, (factor, table) in enumerate(changes, 1):
            flat = table.ravel()
            if factor in seat:
                own = self.block.factor_of == seat[factor]
                read = flat[places[own] - self.starts[factor]]
                kept = divided[own].reshape(*read.shape, count)
                likelier = (kept * read[:, :, None]).sum(axis=0)
            else:
                likelier = self._of_held(factor, flat, states)[:, None]
            mass[row, :, part] = (shares * likelier).T

    def _of_held(self, factor: int, flat: Cells, states: npt.NDArray[np.intp]) -> Cells:
        """How much likelier a table makes draws in which all that it speaks of is held."""
        scope = list(self.graph.scopes[factor])
        old = self.graph.tables[factor]
        at = np.ravel_multi_index(tuple(states[scope]), old.shape)
        likelier: Cells = flat[at] / old.ravel()[at]
        return likelier

    def _pinned(self, cells: Cells) -> Cells:
        """The cells with the account pinned to each of its states, draw by draw."""
        seat = len(self.block.factors) - 1  # the account's own factor is the last
        scope, shape = self.block.plan.scopes[seat], self.block.plan.shapes[seat]
        axis = scope.index(max(scope))  # and the account is the last unknown
        state = np.indices(shape)[axis].ravel()
        count = len(self.classes)
        other = state[:, None] != np.arange(cells.shape[1]) % count
        rows = np.flatnonzero(self.block.factor_of == seat)
        pinned = cells.copy()
        pinned[rows] = np.where(other, pinned[rows] * PINNED_OUT, pinned[rows])
        return pinned


PINNED_OUT = 1e-150
"""What a state counts as while the account is pinned to another."""
