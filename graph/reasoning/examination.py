"""Standard examinations: what each could tell, and what it costs the object.

The list itself is data: ``examination.toml``. How often an examination comes to a result,
and how often that result is right, is common practice without a source: rough, alike for
all objects, and shown with every use. The list ranks what could be known; it recommends
nothing.
"""

import re
import tomllib
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from enum import StrEnum
from importlib.resources import files
from typing import Any

import numpy as np
import numpy.typing as npt

from ..errors import BadValue
from ..record import Scope
from .case import ThingKind
from .evidence import OLDER, Aspect

__all__ = ["STANDARD_EXAMINATIONS", "Examination", "Touch", "read_examinations"]

Cells = npt.NDArray[np.float64]


class Touch(StrEnum):
    """What an examination costs the object, the least first."""

    NONE = "does not touch it"
    TOUCH = "touches it"
    SAMPLE = "takes a small sample"
    CONSUMES = "uses a sample up"
    APART = "parts have to be taken apart"

    @property
    def takes_sample(self) -> bool:
        """Whether an existing sample could spare the object."""
        return self in (Touch.SAMPLE, Touch.CONSUMES)


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
        tells: what it could tell, in words.
        needs: what a restriction would have to allow.
        synonyms: how its method is named in results.
        excludes: words that make a method another one, e.g. fluorescence beside X-ray.
        basis: where the row comes from.
        stuff: words of materials that it can be used on; empty: any.
    """

    name: str
    touch: Touch
    kinds: tuple[ThingKind, ...]
    aspect: Aspect
    result: float
    right: float
    tells: str = ""
    needs: tuple[Scope, ...] = ()
    synonyms: tuple[str, ...] = ()
    excludes: tuple[str, ...] = ()
    basis: str = "common practice, no source"
    stuff: tuple[str, ...] = ()

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

    def suits(self, material: str | None) -> bool:
        """Whether it can be used on a material; on one that is not recorded, it may."""
        if not self.stuff or not material or material.startswith("restricted"):
            return True
        return any(word in material.casefold() for word in self.stuff)

    def is_method(self, method: str) -> bool:
        """Whether a method, as a result names it, is this examination.

        >>> section = next(e for e in STANDARD_EXAMINATIONS if e.name == "cross-section")
        >>> section.is_method("section, light microscopy"), section.is_method("XRF")
        (True, False)
        """
        said = frozenset(_words(method))
        if any(said >= frozenset(_words(one)) for one in self.excludes):
            return False
        return any(said >= frozenset(_words(one)) for one in (*self.synonyms, self.name))


def _words(text: str) -> list[str]:
    """Words of a method: hyphens stay, so that SEM-EDX is also SEM and EDX."""
    whole = re.findall(r"[\w-]+", text.casefold())
    return [*whole, *(part for word in whole for part in word.split("-"))]


def read_examinations(text: str) -> tuple[Examination, ...]:
    """Read a list of examinations, as TOML.

    Raises:
        BadValue: a row that lacks something, or holds a word or number that cannot be.
    """
    rows = tomllib.loads(text).get("examination", [])
    found = tuple(_row(row) for row in rows)
    names = [one.name for one in found]
    for name in names:
        if names.count(name) > 1:
            raise BadValue(f"two examinations are called {name!r}; names are unique")
    return found


def _row(row: Mapping[str, Any]) -> Examination:
    name = row.get("name", "without a name")
    try:
        one = Examination(
            row["name"],
            Touch[row["touch"].upper()],
            tuple(ThingKind(kind) for kind in row["kinds"]),
            Aspect(row["aspect"]),
            float(row["result"]),
            float(row["right"]),
            row["tells"],
            tuple(Scope(scope) for scope in row["needs"]),
            tuple(row["synonyms"]),
            tuple(row.get("excludes", ())),
            row["basis"],
            tuple(row.get("stuff", ())),
        )
    except (KeyError, ValueError) as wrong:
        raise BadValue(f"examination {name!r} cannot be read: {wrong}") from None
    if not (0 < one.result <= 1 and 0 < one.right <= 1):
        raise BadValue(f"examination {name!r}: result and right are shares in (0, 1]")
    return one


STANDARD_EXAMINATIONS: Sequence[Examination] = read_examinations(
    files(__package__).joinpath("examination.toml").read_text(encoding="utf-8")
)
