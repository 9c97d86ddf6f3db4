"""Standard examinations: what each could tell, and what it costs the object.

How often an examination comes to a result, and how often that result is right, is common
practice without a source: rough, alike for all objects, and shown with every use. The
list ranks what could be known; it recommends nothing.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum

import numpy as np
import numpy.typing as npt

from .case import ThingKind
from .evidence import OLDER, Aspect

__all__ = ["STANDARD_EXAMINATIONS", "Examination", "Touch"]

Cells = npt.NDArray[np.float64]
PART, FIXING, LAYER = ThingKind.PART, ThingKind.FIXING, ThingKind.LAYER
FEATURE = ThingKind.FEATURE


class Touch(StrEnum):
    """What an examination costs the object, the least first."""

    NONE = "does not touch it"
    SAMPLE = "takes a small sample"
    CONSUMES = "uses a sample up"


@dataclass(frozen=True, slots=True)
class Examination:
    """One way of looking.

    Attributes:
        name: what people call it.
        touch: what it costs the object.
        kinds: kinds of things that it can be used on.
        aspect: whether it tells when a thing was made or when it came to its place; for
            what has one time only, both are that time.
        result: how often it comes to a result at all, in (0, 1].
        right: how often a result names the true phase, in (0, 1].
    """

    name: str
    touch: Touch
    kinds: tuple[ThingKind, ...]
    aspect: Aspect
    result: float
    right: float

    def outcomes(self, phases: int, with_older: bool) -> Cells:
        """P(outcome | state): one row per phase named and one for "no result".

        Args:
            phases: number of phases.
            with_older: whether the states begin with "older than the object"; such a
                thing is told as of the first phase.
        """
        states = np.arange(OLDER if with_older else 0, phases)
        named = np.maximum(states, 0)
        wrong = (1 - self.right) / max(phases - 1, 1)
        table = np.full((phases + 1, len(states)), self.result * wrong)
        table[named, np.arange(len(states))] = self.result * self.right
        table[phases] = 1 - self.result
        columns: Cells = table / table.sum(axis=0)
        return columns


STANDARD_EXAMINATIONS: Sequence[Examination] = (
    Examination(
        "raking light and magnification: order, tool marks, wear",
        Touch.NONE,
        (PART, FIXING, LAYER, FEATURE),
        Aspect.PLACED,
        result=0.5,
        right=0.8,
    ),
    Examination(
        "ultraviolet light: coatings, retouching, repairs",
        Touch.NONE,
        (LAYER,),
        Aspect.PLACED,
        result=0.4,
        right=0.75,
    ),
    Examination(
        "X-radiography: holes, shanks and joins",
        Touch.NONE,
        (PART, FIXING, FEATURE),
        Aspect.PLACED,
        result=0.6,
        right=0.85,
    ),
    Examination(
        "elements by X-ray fluorescence: first use of pigments and alloys",
        Touch.NONE,
        (PART, FIXING, LAYER),
        Aspect.MADE,
        result=0.4,
        right=0.8,
    ),
    Examination(
        "search of day-books, inventories and old photographs",
        Touch.NONE,
        (PART, FIXING, LAYER, FEATURE, ThingKind.HAPPENING),
        Aspect.PLACED,
        result=0.3,
        right=0.8,
    ),
    Examination(
        "cross-section: order of layers",
        Touch.SAMPLE,
        (LAYER,),
        Aspect.PLACED,
        result=0.8,
        right=0.85,
    ),
    Examination(
        "binder or fibre identified: first use of materials",
        Touch.SAMPLE,
        (PART, FIXING, LAYER),
        Aspect.MADE,
        result=0.6,
        right=0.8,
    ),
    Examination(
        "tree rings",
        Touch.SAMPLE,
        (PART,),
        Aspect.MADE,
        result=0.4,
        right=0.95,
    ),
    Examination(
        "radiocarbon",
        Touch.CONSUMES,
        (PART, FIXING),
        Aspect.MADE,
        result=0.5,
        right=0.7,
    ),
)
