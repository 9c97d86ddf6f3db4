"""Two passes over a tree of cliques: everything to the roots, and back to the leaves.

The same passes run in three kinds of arithmetic: with probabilities as they are, which is
fast; with their logarithms, which cannot underflow; and with logarithms and the best
instead of the sum, which finds the most probable state.

Plain numbers reach down to about 1e-308. Tables and messages are scaled to a largest cell
of one, and message cells below TINY are raised to it. That changes the result by no more
than the probability that the result itself puts on the raised cells, which is added up on
the way back; if it matters, or if a scale falls below SMALL, the plain pass gives up and
the logarithms are used. So what comes out is either right or comes out the slow way.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field

import numpy as np

from .factor_graph import Table
from .message_schedule import Cells, Rank, Schedule

TINY = 1e-180
SMALL = 1e-100
NEGLIGIBLE = 1e-13
"""Probability on raised cells up to which a plain result stands."""
NOUGHT = 1e-300
"""What a zero counts as where logarithms are needed."""


class TooSmall(ArithmeticError):
    """Plain numbers do not reach; to be done again in logarithms."""


@dataclass(frozen=True, slots=True)
class Arithmetic:
    """How probabilities are written, multiplied, divided, and summed over states."""

    logarithmic: bool
    times: np.ufunc
    over: np.ufunc
    sums: np.ufunc

    @property
    def one(self) -> float:
        """A probability of one."""
        return 0.0 if self.logarithmic else 1.0

    def written(self, probabilities: Table) -> Table:
        """Probabilities in this arithmetic."""
        if not self.logarithmic:
            return probabilities
        return np.log(np.maximum(probabilities, NOUGHT))

    def read(self, numbers: Table) -> Table:
        """The probabilities again."""
        return np.exp(numbers) if self.logarithmic else numbers

    def logarithm(self, numbers: Table) -> Table:
        """Natural logarithms of the probabilities."""
        return numbers if self.logarithmic else np.log(numbers)


PLAIN = Arithmetic(False, np.multiply, np.divide, np.add)
LOGARITHMS = Arithmetic(True, np.add, np.subtract, np.logaddexp)
BEST = Arithmetic(True, np.add, np.subtract, np.maximum)


@dataclass(slots=True)
class Collected:
    """The state of the work after the pass to the roots.

    Attributes:
        arithmetic: how the numbers are written.
        cells: tables and messages, a column per variant.
        tables: per rank, the product of what its cliques took up: own states by separator
            states by (clique, variant).
        scales: per rank, what its messages were divided by: (clique, variant).
        log_z: natural log of the probability of the evidence, per variant.
        raised: ranks some of whose message cells were raised to TINY.
    """

    arithmetic: Arithmetic
    cells: Table
    tables: list[Table] = field(default_factory=list)
    scales: list[Table] = field(default_factory=list)
    log_z: Table = field(default_factory=lambda: np.zeros(1))
    raised: list[int] = field(default_factory=list)


def collect(schedule: Schedule, evidence: Table, arithmetic: Arithmetic) -> Collected:
    """Pass everything to the roots.

    Args:
        schedule: the order of work.
        evidence: the cells of all tables one after the other, a column per variant.
        arithmetic: the kind of numbers to use.

    Raises:
        TooSmall: plain numbers underflow.
    """
    variants = evidence.shape[1]
    work = Collected(arithmetic, np.empty((schedule.cells, variants)))
    work.cells[0] = arithmetic.one
    work.log_z = np.zeros(variants)
    _multiply_pools(schedule, arithmetic.written(evidence), work)
    for rank in schedule.ranks:
        table = taken_up(rank, work)
        shape = (rank.summed, -1, len(rank.variables) * variants)
        message = arithmetic.sums.reduce(table.reshape(shape), axis=0)
        scale = message.max(axis=0)
        if not arithmetic.logarithmic:
            _must_reach(scale)
        message = arithmetic.over(message, scale, out=message)
        if not arithmetic.logarithmic and message.min() < TINY:
            np.maximum(message, TINY, out=message)
            work.raised.append(len(work.tables))
        work.cells[rank.block] = message.reshape(-1, variants)
        work.tables.append(table)
        work.scales.append(scale)
        work.log_z += arithmetic.logarithm(scale).reshape(-1, variants).sum(axis=0)
    return work


def _must_reach(scale: Table) -> None:
    if not scale.min() > SMALL:
        raise TooSmall


def _multiply_pools(schedule: Schedule, evidence: Table, work: Collected) -> None:
    """Tables over the same variables into one, scaled to a largest cell of one."""
    arithmetic = work.arithmetic
    for pool in schedule.pools:
        product = evidence.take(pool.layers[0], axis=0)
        for layer in pool.layers[1:]:
            part = product[:, : layer.shape[1]]
            arithmetic.times(part, evidence.take(layer, axis=0), out=part)
        scale = product.max(axis=0)
        if not arithmetic.logarithmic:
            _must_reach(scale)
        arithmetic.over(product, scale, out=product)
        work.cells[pool.block] = product.reshape(-1, evidence.shape[1])
        work.log_z += arithmetic.logarithm(scale).sum(axis=0)


def taken_up(rank: Rank, work: Collected) -> Table:
    """The product of all that the cliques of a rank take up."""
    times = work.arithmetic.times
    columns = len(rank.variables) * work.cells.shape[1]
    full = (*rank.shape, columns)
    inner: list[Table | None] = [None] * len(rank.slots)
    whole: Table | None = None
    for number, slot in enumerate(rank.slots):
        part = _copied(work.cells, slot.cells).reshape(*slot.shape, columns)
        held = inner[number]
        if held is not None:
            times(part, held, out=part)
        if slot.within < 0:
            fits = whole is not None and whole.shape == full
            out = whole if fits else None
            # In C order, since the way back reshapes in place.
            whole = part if whole is None else times(whole, part, out=out, order="C")
        else:
            other = inner[slot.within]
            inner[slot.within] = part if other is None else times(other, part, order="C")
    if whole is None:
        return np.full(full, work.arithmetic.one)
    return (
        whole if whole.shape == full else np.array(np.broadcast_to(whole, full), order="C")
    )


def _copied(cells: Table, where: Cells | slice) -> Table:
    return cells[where].copy() if isinstance(where, slice) else cells.take(where, axis=0)


@dataclass(frozen=True, slots=True)
class Distributed:
    """Beliefs after the pass back to the leaves.

    Attributes:
        beliefs: per rank, the joint posterior of each clique; its axes, then (clique,
            variant) together.
        shares: the marginals of all variables, a column per variant; a variable finds its
            own by its address in the schedule.
        raised: most probability that rests on cells raised to TINY; NEGLIGIBLE at most.
    """

    beliefs: tuple[Table, ...]
    shares: Table
    raised: float = 0.0


def distribute(schedule: Schedule, work: Collected) -> Distributed:
    """Pass the news back from the roots; the tables of *work* are used up.

    Raises:
        TooSmall: cells that were raised to TINY matter to the result.
    """
    arithmetic = work.arithmetic
    variants = work.cells.shape[1]
    answers = np.full_like(work.cells, arithmetic.one)
    shares = np.empty((sum(schedule.tree.cards), variants))
    beliefs: list[Table] = []
    on_raised = np.zeros(variants)
    for number in range(len(schedule.ranks) - 1, -1, -1):
        rank, table = schedule.ranks[number], work.tables.pop()
        message, answer = work.cells[rank.block], answers[rank.block]
        if number in work.raised:
            on_raised += np.where(message <= TINY, answer, 0).sum(axis=0)
        scale = work.scales[number]
        news = arithmetic.over(answer, message).reshape(-1, len(scale))
        arithmetic.over(news, scale, out=news)
        belief = table.reshape(rank.summed, *news.shape)
        arithmetic.times(belief, news, out=belief)
        _marginals(rank, belief, arithmetic, shares)
        heard = [slot.heard for slot in rank.slots]
        answer_back(rank, table, arithmetic, answers, heard)
        beliefs.append(arithmetic.read(table))
    if on_raised.max() > NEGLIGIBLE:
        raise TooSmall
    return Distributed(
        tuple(reversed(beliefs)), arithmetic.read(shares), float(on_raised.max())
    )


def evidence_beliefs(schedule: Schedule, passed: Distributed) -> Table:
    """What is believed about each table of evidence, laid out as the cells of the work."""
    beliefs = np.empty((schedule.cells, passed.shares.shape[1]))
    for rank, belief in zip(schedule.ranks, passed.beliefs, strict=True):
        answer_back(rank, belief, PLAIN, beliefs, [True] * len(rank.slots))
    return beliefs


def _marginals(rank: Rank, belief: Table, arithmetic: Arithmetic, shares: Table) -> None:
    """Sum a belief down to each variable that leaves the tree here."""
    own = rank.shape[: len(rank.shares)]
    joint = arithmetic.sums.reduce(belief, axis=1).reshape(*own, -1)
    for axis, block in enumerate(rank.shares):
        away = tuple(other for other in range(len(own)) if other != axis)
        marginal = arithmetic.sums.reduce(joint, axis=away) if away else joint
        shares[block] = marginal.reshape(-1, shares.shape[1])


def answer_back(
    rank: Rank,
    belief: Table,
    arithmetic: Arithmetic,
    answers: Table,
    wanted: Sequence[bool],
) -> None:
    """Write what a rank believes about each table it took up to where that table stands.

    A slot that lies within another is summed from that one's answer, which is smaller
    than the clique; so whoever wants a slot wants those around it.
    """
    found: list[Table] = [belief] * len(rank.slots)
    for number in range(len(rank.slots) - 1, -1, -1):
        if not wanted[number]:
            continue
        slot = rank.slots[number]
        around = belief if slot.within < 0 else found[slot.within]
        found[number] = arithmetic.sums.reduce(around, axis=slot.away, keepdims=True)
        answers[slot.cells] = found[number].reshape(-1, answers.shape[1])


def trace(
    schedule: Schedule, tables: Sequence[Table], choose: Callable[[Table], Cells]
) -> Cells:
    """Choose the states of all variables, roots first, each given those before it.

    Args:
        schedule: the order of work.
        tables: per rank, the product that its cliques took up, or their beliefs.
        choose: from tables (states, cliques, variants), the state for each clique and
            variant.

    Returns:
        States, (variables, variants).
    """
    variants = tables[0].shape[-1] // len(schedule.ranks[0].variables) if tables else 1
    states = np.zeros((len(schedule.tree.cards), variants), dtype=np.intp)
    for rank, table in zip(reversed(schedule.ranks), reversed(tables), strict=True):
        own, rows = len(rank.shares), len(rank.variables)
        if not own:
            continue
        around = states[rank.variables[:, own:]]
        at = np.zeros((rows, variants), dtype=np.intp)
        for axis, card in enumerate(rank.shape[own:]):
            at = at * card + around[:, axis]
        options = table.reshape(rank.summed, -1, rows, variants)
        chosen = choose(options[:, at, np.arange(rows)[:, None], np.arange(variants)])
        split = np.unravel_index(chosen, rank.shape[:own])
        for axis, state in enumerate(split):
            states[rank.variables[:, axis]] = state
    return states
