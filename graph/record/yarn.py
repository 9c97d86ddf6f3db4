"""Yarn counts, and the designation of yarns by linear density and twist.

Direct counts give mass for a length (tex, dtex, denier), indirect ones length for a mass
(Nm, and the hanks to the pound of cotton, linen and worsted). The factor is always stated:
merchants also use others for the same name (583.1 for cotton with its usual moisture).
"""

import math
import re
from dataclasses import dataclass
from typing import Final

from ..errors import BadValue
from ..problem import Problem, Weight
from .cord import Cord, Twist, read_twist
from .measure import registry

#: Name of a system, its unit for pint, and by what it counts.
YARN_SYSTEMS: Final[dict[str, tuple[str, str]]] = {
    "tex": ("tex", "grams in 1,000 m"),
    "dtex": ("dtex", "grams in 10,000 m"),
    "den": ("denier", "grams in 9,000 m"),
    "Nm": ("number_meter", "metres in 1 g"),
    "Ne": ("number_english", "hanks of 840 yd in 1 lb, cotton"),
    "NeL": ("number_linen", "leas of 300 yd in 1 lb, linen"),
    "NeK": ("number_worsted", "hanks of 560 yd in 1 lb, worsted"),
}
_OTHER_NAMES: Final = {
    "denier": "den", "ne (cotton)": "Ne", "cotton": "Ne", "nec": "Ne",
    "linen": "NeL", "lea": "NeL", "linen lea": "NeL", "worsted": "NeK",
}  # fmt: skip


@dataclass(frozen=True, slots=True)
class YarnCount:
    """A count as written and what it is in tex.

    Attributes:
        count: the number as written.
        system: key of ``YARN_SYSTEMS``.
        tex: grams in 1,000 m.
        factor: tex × count for an indirect count, tex ÷ count for a direct one.
        indirect: whether a higher count is a finer yarn.
    """

    count: float
    system: str
    tex: float
    factor: float
    indirect: bool

    def in_words(self) -> str:
        """The count, its value in tex, and the factor used."""
        joint, by = "×" if self.indirect else "÷", YARN_SYSTEMS[self.system][1]
        return (
            f"{self.system} {self.count:g} = {self.tex:.6g} tex "
            f"(tex {joint} {self.system} = {self.factor:.6g}: {by})"
        )


def tex_of(count: float, system: str) -> YarnCount:
    """A yarn count in tex, with the factor used.

    Args:
        count: the number of the count, above 0.
        system: one of ``YARN_SYSTEMS``, or denier, cotton, linen (lea), worsted.

    Raises:
        BadValue: unknown system, or a count that is not a number above 0.
    """
    known = {name.lower(): name for name in YARN_SYSTEMS} | _OTHER_NAMES
    name = known.get(system.strip().lower())
    if name is None:
        raise BadValue(
            f"{system!r} is no yarn count Vestige knows; it knows {', '.join(YARN_SYSTEMS)}"
        )
    if not (math.isfinite(count) and count > 0):
        raise BadValue(f"a yarn count of {count:g} cannot be; write a number above 0")
    units = registry()
    one = units.Quantity(1.0, YARN_SYSTEMS[name][0])
    indirect = not one.is_compatible_with("tex")
    factor = float((1 / one if indirect else one).to("tex").magnitude)
    tex = factor / count if indirect else factor * count
    return YarnCount(count, name, tex, factor, indirect)


_NUMBER = r"\d+(?:[.,]\d+)?"
_SINGLE = re.compile(rf"({_NUMBER})\s*(d?tex)(?:\s*([SZ])\s*(\d+))?")
_STAGE = re.compile(rf"\s*[×x]\s*(\d+)\s*([SZ])\s*({_NUMBER})")
_RESULT = re.compile(rf"\s*;\s*R\s*({_NUMBER})\s*(d?tex)\s*")


@dataclass(frozen=True, slots=True)
class Twisting:
    """One twisting: how many were twisted, which way, with how many turns to the metre."""

    strands: int
    twist: Twist
    turns: float


@dataclass(frozen=True, slots=True)
class YarnDesignation:
    """A yarn by linear density and twist, from the single outwards.

    After ISO 1139, Textiles, Designation of yarns (from memory): ``34 tex S 600 × 2 Z 400;
    R 69,3 tex`` is a single of 34 tex spun S with 600 turns to the metre, two of them plied
    Z with 400, which gives 69.3 tex. Read are singles of one kind and any number of
    further stages. Not read: unlike singles in brackets, filament numbers, and the
    designation from the resultant inwards.

    Attributes:
        text: as written.
        single_tex: linear density of one single in tex.
        twistings: spinning first; empty when no twist is written.
        resultant_tex: the resultant as written, in tex; None when it is not written.
    """

    text: str
    single_tex: float
    twistings: tuple[Twisting, ...]
    resultant_tex: float | None

    @property
    def nominal_tex(self) -> float:
        """Linear density of all singles side by side, without take-up."""
        return self.single_tex * math.prod(step.strands for step in self.twistings)

    @property
    def take_up(self) -> float | None:
        """Share by which twisting made it heavier for its length; None if not written."""
        if self.resultant_tex is None:
            return None
        return self.resultant_tex / self.nominal_tex - 1

    @property
    def cord(self) -> Cord | None:
        """The same as a construction; None when the twist of the single is not written."""
        if not self.twistings or self.twistings[0].strands != 1:
            return None
        cord = Cord(self.twistings[0].twist)
        for step in self.twistings[1:]:
            cord = Cord(step.twist, ((step.strands, cord),))
        return cord

    def problems(self) -> tuple[Problem, ...]:
        """Whether the arithmetic holds: twisting shortens, so the resultant is heavier.

        A loss, or a gain of more than half, is worth a second look; it may yet be right,
        since plying against a hard spin lengthens (own limits, no source).
        """
        gain = self.take_up
        if gain is None or 0 <= gain <= 0.5:
            return ()
        return (
            Problem(
                "resultant off",
                f"{self.text!r}: the singles together are {self.nominal_tex:g} tex, the "
                f"resultant is given as {self.resultant_tex:g} tex.",
                "Twisting usually makes it somewhat heavier; look at the numbers again.",
                weight=Weight.QUERY,
            ),
        )


def read_designation(text: str) -> YarnDesignation:
    """Read a designation such as ``34 tex S 600 × 2 Z 400; R 69,3 tex``.

    A comma is a decimal comma here, as the standard writes it.

    Raises:
        BadValue: it is not such a designation.
    """
    text = text.strip()
    single = _SINGLE.match(text)
    if not single:
        raise _bad(text)
    twistings = []
    if single[3]:
        twistings.append(Twisting(1, read_twist(single[3]), float(single[4])))
    at = single.end()
    while stage := _STAGE.match(text, at):
        twistings.append(Twisting(int(stage[1]), read_twist(stage[2]), _number(stage[3])))
        at = stage.end()
    result = _RESULT.fullmatch(text, at)
    if not result and text[at:].strip():
        raise _bad(text)
    density = _in_tex(single[1], single[2])
    if density == 0 or any(step.strands == 0 for step in twistings):
        raise _bad(text)
    return YarnDesignation(
        text, density, tuple(twistings), _in_tex(result[1], result[2]) if result else None
    )


def _bad(text: str) -> BadValue:
    return BadValue(
        f"{text!r} cannot be read as the designation of a yarn; "
        "write it as 34 tex S 600 × 2 Z 400; R 69,3 tex"
    )


def _number(text: str) -> float:
    return float(text.replace(",", "."))


def _in_tex(number: str, unit: str) -> float:
    return float(registry().Quantity(_number(number), unit).to("tex").magnitude)
