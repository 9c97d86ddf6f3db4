"""What is unknown and what speaks about it, as a factor graph.

A *variable* is something that nobody saw: the phase in which a cord was made, or
whether a source is sound. A *factor* is one piece of knowledge about a few variables
at once: a prior, a claim, an order seen on the object. Its table says how probable the
report is in every combination of their states, P(report | truth), so that the product
of all tables, normalised, is the posterior.

Example:
    >>> graph = FactorGraph()
    >>> cord = graph.add_variable("cord made", 3)
    >>> graph.add_factor([cord], [0.4, 0.3, 0.3], "prior of cord")
    0
    >>> graph.names, graph.cards
    (['cord made'], [3])
"""

from collections.abc import Sequence

import numpy as np
import numpy.typing as npt

FLOOR = 1e-9
"""Smallest cell of a table, as a share of its largest: nothing is taken as impossible.

Cromwell's rule (Lindley): a zero could never be moved by any evidence. It also keeps the
division by a table defined, on which leave-one-out rests, and lets a contradiction show
as a very small probability of the evidence and not as a failure.
"""

Table = npt.NDArray[np.float64]


class FactorGraph:
    """A factor graph that is being built: variables first, then what speaks about them.

    Variables and factors are numbered from 0 in the order in which they were added.

    Attributes:
        names: name of every variable, each once.
        cards: number of states of every variable, at least 1.
        scopes: per factor, the variables that it speaks about.
        tables: per factor, one positive cell per joint state, axes in the order of its
            scope; read-only.
        labels: per factor, the record that it comes from; labels may repeat.
    """

    def __init__(self) -> None:
        self.names: list[str] = []
        self.cards: list[int] = []
        self.scopes: list[tuple[int, ...]] = []
        self.tables: list[Table] = []
        self.labels: list[str] = []
        self._known: set[str] = set()

    def add_variable(self, name: str, states: int) -> int:
        """Add an unknown with so many states and return its number.

        Raises:
            ValueError: the name is taken, or there is no state to be in.
        """
        if name in self._known:
            raise ValueError(f"the variable {name!r} is there already; names are unique")
        if states < 1:
            raise ValueError(f"the variable {name!r} has {states} states; it needs one")
        self._known.add(name)
        self.names.append(name)
        self.cards.append(states)
        return len(self.names) - 1

    def add_factor(self, scope: Sequence[int], table: npt.ArrayLike, label: str) -> int:
        """Add what one piece of knowledge says about the variables of *scope*.

        Args:
            scope: numbers of the variables, each once, at least one.
            table: P(report | joint state), one cell per joint state, axes in the order of
                *scope*. Only ratios matter to the posterior, the scale to ``log_z``.
                Cells below FLOOR times the largest are raised to it.
            label: the record that the factor comes from.

        Returns:
            The number of the factor.

        Raises:
            ValueError: a variable is unknown or named twice; the shape does not fit; a
                cell is negative or not a number; or all cells are zero.
        """
        variables = tuple(int(variable) for variable in scope)
        self._check_scope(variables, label)
        shape = tuple(self.cards[variable] for variable in variables)
        cells = _checked(table, shape, label)
        self.scopes.append(variables)
        self.tables.append(cells)
        self.labels.append(label)
        return len(self.scopes) - 1

    def _check_scope(self, scope: tuple[int, ...], label: str) -> None:
        if not scope:
            raise ValueError(f"the factor {label!r} speaks about no variable")
        if len(set(scope)) < len(scope):
            raise ValueError(f"the factor {label!r} names a variable twice: {scope}")
        for variable in scope:
            if not 0 <= variable < len(self.names):
                raise ValueError(
                    f"the factor {label!r} speaks about variable {variable}; "
                    f"there are {len(self.names)}, counted from 0"
                )


def _checked(table: npt.ArrayLike, shape: tuple[int, ...], label: str) -> Table:
    """The table as read-only positive numbers, or ValueError with what is wrong."""
    cells = np.array(table, dtype=np.float64)
    if cells.shape != shape:
        raise ValueError(
            f"the table of {label!r} has shape {cells.shape}; its scope has {shape}"
        )
    largest = cells.max()
    if not np.isfinite(largest) or not cells.min() >= 0:
        raise ValueError(
            f"the table of {label!r} has a cell that is negative, infinite or not a "
            "number; a cell is a probability or a likelihood"
        )
    if largest * FLOOR == 0:  # or so small that its floor could not be told from nothing
        raise ValueError(f"the table of {label!r} is zero throughout: nothing could be so")
    np.maximum(cells, largest * FLOOR, out=cells)
    cells.flags.writeable = False
    return cells
