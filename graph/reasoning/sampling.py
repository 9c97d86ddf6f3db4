"""A sampled answer where the exact one is too wide: with its error, or none.

Blocked Gibbs sampling: unknowns are drawn together, exactly, in trees that are narrow
while the others are held (see `sampling_blocks`), and the blocks take turns. What is
averaged is not the state drawn but the whole belief given what is held (Gelfand & Smith
1990, from memory), which has the same mean and varies less.

Half of the chains are one run and half another, with starts of their own; their distance
is part of the error. A sampled answer has no probability of the evidence, and so no claim
about it is made here.

Drawing stops when every error is at most the target, every effective sample size at least
what is asked for and the chains agree, looked at after every round, or at the largest
number of sweeps, which is known beforehand.
"""

from collections.abc import Sequence
from dataclasses import dataclass, field

import numpy as np
import numpy.typing as npt

from ..errors import Refused
from .factor_graph import FactorGraph, Table
from .message_passing import (
    LOGARITHMS,
    PLAIN,
    Arithmetic,
    Distributed,
    TooSmall,
    collect,
    distribute,
    trace,
)
from .sampling_blocks import ROOM, Block, Places, blocks_of
from .sampling_error import effective_draws, error_of, split_rhat, standard_error

__all__ = ["Drawn", "SamplingCost", "SamplingPlan", "SamplingRules", "draw", "prepare"]

Cells = npt.NDArray[np.float64]
RARE = 0.01
"""Share below which, or above one less which, a state asks for no sample size: its
error is what matters, and the standard error of a rare state cannot be told well."""


@dataclass(frozen=True, slots=True)
class SamplingRules:
    """When drawing stops, and what must be reached.

    Attributes:
        error: standard error of every probability at which drawing may stop.
        rhat: split R-hat at which drawing may stop; 1.1 is the advice of Gelman and others
            2013, section 11.5 (from memory).
        least: effective sample size that every probability must reach; more than there
            are chains, so that chains which never move cannot reach it.
        chains: chains side by side, an even number; half of them are the second run.
        warm_up: sweeps that are thrown away, as they still know their start.
        round: sweeps between two looks at the error; even.
        most: sweeps after which drawing stops in any case.
        most_work: table cells to be computed, at most, for one answer.
        seed: of all that is random.
        room: most cells of one table while unknowns are drawn together.
    """

    error: float = 0.01
    rhat: float = 1.1
    least: int = 100
    chains: int = 32
    warm_up: int = 10
    round: int = 10
    most: int = 80
    most_work: float = 4e10
    seed: int = 1
    room: int = ROOM


@dataclass(frozen=True, slots=True)
class SamplingCost:
    """What a sampled answer costs at most; known before it is paid.

    Attributes:
        blocks: trees that take turns.
        held: most unknowns held at a time.
        draws: draws that are kept, at most.
        entries: table cells for one draw of everything.
        work: table cells to be computed in all, at most.
    """

    blocks: int
    held: int
    draws: int
    entries: float
    work: float


@dataclass(frozen=True)
class SamplingPlan:
    """Blocks for a graph; they serve any tables of it.

    Attributes:
        graph: the graph.
        blocks: what is drawn together.
        targets: groups of variables whose joint is asked for.
        rules: when drawing stops.
    """

    graph: FactorGraph
    blocks: tuple[Block, ...]
    targets: tuple[tuple[int, ...], ...]
    rules: SamplingRules

    @property
    def cost(self) -> SamplingCost:
        """What it costs at most."""
        rules, count = self.rules, len(self.graph.cards)
        entries = float(sum(block.plan.entries for block in self.blocks))
        return SamplingCost(
            len(self.blocks),
            max((count - len(block.free) for block in self.blocks), default=0),
            rules.chains * rules.most,
            entries,
            entries * rules.chains * (rules.warm_up + rules.most),
        )

    def shape(self, target: int) -> tuple[int, ...]:
        """States of a target's variables."""
        return tuple(self.graph.cards[one] for one in self.targets[target])


@dataclass(frozen=True, slots=True)
class Drawn:
    """What came of drawing.

    Attributes:
        shares: per target, P(its variables); axes as asked.
        batches: the same by chain, chains last.
        errors: per target, the standard error of every share.
        effective: per target, its smallest effective sample size over the states that
            are not rare; infinite where all are.
        rhat: largest split R-hat over the states that are not rare.
        apart: largest distance of the two runs, in standard errors of their difference.
        draws: draws kept.
        states: the draws themselves: (variables, sweeps, chains).
    """

    shares: tuple[Cells, ...]
    batches: tuple[Cells, ...] = field(repr=False)
    errors: tuple[Cells, ...]
    effective: tuple[float, ...]
    rhat: float
    apart: float
    draws: int
    states: npt.NDArray[np.int8] = field(repr=False)

    @property
    def error(self) -> float:
        """Largest standard error."""
        return max((float(one.max()) for one in self.errors), default=0.0)

    @property
    def least_effective(self) -> float:
        """Smallest effective sample size."""
        return min(self.effective, default=float("inf"))

    def enough(self, rules: SamplingRules) -> bool:
        """Whether the smallest effective sample size is what is asked for."""
        return self.least_effective >= rules.least


def prepare(
    graph: FactorGraph,
    late: Sequence[int],
    targets: Sequence[Sequence[int]],
    rules: SamplingRules | None = None,
) -> SamplingPlan:
    """Choose what is drawn together, and so what it will cost; nothing is drawn yet.

    Args:
        graph: the graph.
        late: variables that speak to the whole object.
        targets: groups of variables whose joint is asked for.
        rules: when drawing stops.
    """
    rules = rules or SamplingRules()
    blocks = tuple(blocks_of(graph, late, rules.room))
    return SamplingPlan(graph, blocks, tuple(map(tuple, targets)), rules)


def draw(plan: SamplingPlan, tables: Sequence[Table] | None = None) -> Drawn:
    """Draw until the stop rule says enough.

    The answer need not be good enough: see `Drawn.enough`.

    Args:
        plan: from `prepare`.
        tables: one per factor; those of the graph if None.

    Raises:
        Refused: it could cost more work than the rules allow; nothing was drawn.
    """
    if plan.cost.work > plan.rules.most_work:
        raise Refused(
            f"sampling could need {plan.cost.work:.2g} table cells in all "
            f"({plan.cost.draws} draws), which is over the limit of "
            f"{plan.rules.most_work:.2g}; nothing was drawn"
        )
    run = _Run(plan, plan.graph.tables if tables is None else tables)
    for _ in range(plan.rules.warm_up):
        run.sweep()
    while True:
        run.keep_round()
        found = run.drawn()
        if run.kept >= plan.rules.most:
            return found
        settled = found.error <= plan.rules.error and found.rhat <= plan.rules.rhat
        if found.enough(plan.rules) and settled:
            return found


class _Run:
    """The chains, where they are now, and what they have told so far."""

    def __init__(self, plan: SamplingPlan, tables: Sequence[Table]) -> None:
        self.plan, self.rules = plan, plan.rules
        self.cells = np.concatenate([np.ravel(table) for table in tables])
        # Two runs that share nothing: a generator each, for the start and for all draws.
        seeds = np.random.SeedSequence(self.rules.seed).spawn(2)
        self.chance = [np.random.default_rng(seed) for seed in seeds]
        half = self.rules.chains // 2
        cards = np.array(plan.graph.cards)[:, None]
        starts = [one.random((len(cards), half)) for one in self.chance]
        self.states: Places = (np.hstack(starts) * cards).astype(np.intp)
        self.seats = [_Seats(block, plan) for block in plan.blocks]
        covered = np.zeros(len(plan.targets), dtype=np.intp)
        for seat in self.seats:
            covered[seat.targets] += 1
        sizes = [int(np.prod(plan.shape(target))) for target in range(len(plan.targets))]
        self.starts = np.cumsum([0, *sizes])
        self.covered = np.repeat(covered, sizes)
        self.unseen = np.flatnonzero(covered == 0)
        self.rounds: list[tuple[Cells, Cells]] = []
        self.trail: list[npt.NDArray[np.int8]] = []
        self.kept = 0

    def sweep(self) -> Cells:
        """Draw everything once; the beliefs about all targets, (cells, chains)."""
        told = np.zeros((self.starts[-1], self.rules.chains))
        for block, seat in zip(self.plan.blocks, self.seats, strict=True):
            passed = self._draw(block)
            seat.tell(passed, told, self.starts)
        told /= np.maximum(self.covered, 1)[:, None]
        columns = np.arange(self.rules.chains)
        for target in map(int, self.unseen):
            variables = self.plan.targets[target]
            at = np.ravel_multi_index(
                tuple(self.states[list(variables)]), self.plan.shape(target)
            )
            told[self.starts[target] + at, columns] += 1
        return told

    def keep_round(self) -> None:
        """One round of sweeps that are kept."""
        shape = (self.starts[-1], self.rules.chains)
        total, squares = np.zeros(shape), np.zeros(shape)
        for _ in range(self.rules.round):
            told = self.sweep()
            total += told
            squares += told * told
            self.trail.append(self.states.astype(np.int8))
        self.rounds.append((total, squares))
        self.kept += self.rules.round

    def _draw(self, block: Block) -> Distributed:
        """Draw a block given all else, and what is believed of it before drawing."""
        evidence = self.cells[block.cells(self.states)]
        try:
            return self._drawn_in(block, evidence, PLAIN)
        except TooSmall:
            return self._drawn_in(block, evidence, LOGARITHMS)

    def _drawn_in(self, block: Block, evidence: Cells, kind: Arithmetic) -> Distributed:
        schedule = block.plan.schedule
        work = collect(schedule, evidence, kind)
        products = [table.copy() for table in work.tables]
        passed = distribute(schedule, work)  # gives up, where it must, before any draw

        def choose(options: Cells) -> Places:
            if kind.logarithmic:
                options = np.exp(options - options.max(axis=0))
            heights = np.cumsum(options, axis=0)
            rows, half = options.shape[1], self.rules.chains // 2
            shares = np.hstack([one.random((rows, half)) for one in self.chance])
            chosen = (heights < shares * heights[-1]).sum(axis=0)
            capped: Places = np.minimum(chosen, len(options) - 1)
            return capped

        self.states[list(block.free)] = trace(schedule, products, choose)
        return passed

    # ------------------------------------------------------------------ what is told

    def drawn(self) -> Drawn:
        """What the rounds so far tell."""
        totals = np.stack([total for total, _ in self.rounds])
        chains = totals.sum(axis=0) / self.kept
        shares = chains.mean(axis=1)
        draws = self.kept * self.rules.chains
        errors = error_of(chains, draws)
        one, other = np.split(chains, 2, axis=1)
        distance = np.abs(one.mean(axis=1) - other.mean(axis=1))
        spread = np.hypot(standard_error(one), standard_error(other))
        common = (shares > RARE) & (shares < 1 - RARE)
        sizes = effective_draws(shares * (1 - shares), errors)
        sizes = np.where(common, sizes, np.inf)
        rhat = self._rhat()[common].max(initial=1.0)
        apart = (distance / np.maximum(spread, 1 / draws)).max(initial=0.0)
        return Drawn(
            self._by_target(shares),
            self._by_target(chains),
            self._by_target(errors),
            tuple(float(one.min(initial=np.inf)) for one in self._by_target(sizes)),
            float(rhat),
            float(apart),
            draws,
            np.stack(self.trail, axis=1),
        )

    def _rhat(self) -> Cells:
        count = max(len(self.rounds) // 2, 1)
        halves = [self.rounds[:count], self.rounds[-count:]][: len(self.rounds)]
        draws = count * self.rules.round
        means, variances = [], []
        for rounds in halves:
            mean = np.sum([total for total, _ in rounds], axis=0) / draws
            square = np.sum([squares for _, squares in rounds], axis=0)
            means.append(mean)
            variances.append(np.maximum(square - draws * mean**2, 0) / (draws - 1))
        return split_rhat(np.hstack(means), np.hstack(variances), draws)

    def _by_target(self, cells: Cells) -> tuple[Cells, ...]:
        parts = np.split(cells, self.starts[1:-1]) if len(self.starts) > 1 else []
        shapes = [self.plan.shape(target) for target in range(len(self.plan.targets))]
        return tuple(
            one.reshape(*shape, *one.shape[1:])
            for one, shape in zip(parts, shapes, strict=True)
        )


class _Seats:
    """Where in the beliefs of a block the targets stand that it draws whole.

    Attributes:
        targets: their numbers.
    """

    def __init__(self, block: Block, plan: SamplingPlan) -> None:
        place = {variable: number for number, variable in enumerate(block.free)}
        self.block = block
        self.groups: dict[tuple[int, tuple[int, ...]], list[tuple[int, int]]] = {}
        tree, seat = block.plan.tree, block.plan.schedule.seat
        for number, target in enumerate(plan.targets):
            if not all(one in place for one in target):
                continue
            variables = [place[one] for one in target]
            clique = tree.home(variables)
            held = tree.cliques[clique].variables
            if set(variables) <= set(held):
                rank, row = seat[clique]
                axes = tuple(held.index(one) for one in variables)
                self.groups.setdefault((rank, axes), []).append((number, row))
        self.targets = [one for group in self.groups.values() for one, _ in group]

    def tell(self, passed: Distributed, told: Cells, starts: Places) -> None:
        """Add the belief about every target to its cells."""
        for (number, axes), group in self.groups.items():
            rank = self.block.plan.schedule.ranks[number]
            belief = passed.beliefs[number]
            belief = belief.reshape(*rank.shape, len(rank.variables), told.shape[1])
            part = belief[..., [row for _, row in group], :]
            away = tuple(axis for axis in range(len(rank.shape)) if axis not in axes)
            left = sorted(axes)
            turn = [left.index(axis) for axis in axes]
            joint = part.sum(axis=away).transpose([*turn, len(axes), len(axes) + 1])
            joint = joint.reshape(-1, len(group), told.shape[1])
            first = starts[[target for target, _ in group]]
            told[first[None, :] + np.arange(len(joint))[:, None]] += joint
