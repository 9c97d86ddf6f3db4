"""Twist, and how yarns and cords are laid up.

Twist is S or Z: hold the thread upright; S when its strands slope like the middle stroke of
the letter S, Z when like that of Z. "Clockwise" is refused: it depends on the end one
looks from and on what is turned, and published pages use it in opposite senses.

Construction is written from the outside in with the number of strands: ``S(2z)`` is two
z-spun singles plied S, ``Z(3S(2z))`` three of these cabled Z. Capitals stand for plying and
cabling, small letters for spinning; ``i`` for a strand without twist; ``+`` joins unlike
strands: ``S(2z+1s)``. Braids have strands and a path instead of twist and are not written
so.
"""

import re
from dataclasses import dataclass
from functools import lru_cache
from typing import Final, Literal

from pydantic import GetCoreSchemaHandler
from pydantic_core import CoreSchema

from ..errors import BadValue
from .written import as_text_field

Twist = Literal["S", "Z", "I"]

_TWISTS: Final[dict[str, Twist]] = {"S": "S", "Z": "Z", "I": "I"}
_MIRROR: Final[dict[Twist, Twist]] = {"S": "Z", "Z": "S", "I": "I"}
_TURNING = re.compile(
    r"(?:anti|counter)?[ -]?clock[ -]?wise|c?cw|acw|(?:left|right)(?:[ -]?hand(?:ed)?)?"
    r"(?:[ -]?(?:lay|laid|twist))?",
    re.IGNORECASE,
)
_BY_THE_LETTER: Final = (
    "hold it upright and write S if the strands slope like the middle stroke of the "
    "letter S, Z if they slope like that of Z"
)
_STRAND = re.compile(r"(\d*)([SZ])\(|(\d*)([szi])(?![SZszi(])")
_DEEPEST: Final = 8  # stages; a hawser has four


def read_twist(text: str) -> Twist:
    """The direction of one twist: ``S``, ``Z``, or ``I`` for none; small letters too.

    Raises:
        BadValue: anything else; "clockwise" and "right-hand" above all.
    """
    twist = _TWISTS.get(text.strip().upper())
    if twist:
        return twist
    if _TURNING.fullmatch(text.strip()):
        raise BadValue(
            f"{text.strip()!r} is no direction of twist: it is used in both senses; "
            + _BY_THE_LETTER
        )
    raise BadValue(f"{text.strip()!r} is no direction of twist; {_BY_THE_LETTER}")


@dataclass(frozen=True, slots=True)
class Cord:
    """A yarn or cord by its twists.

    Attributes:
        twist: the last, outermost twist.
        strands: number and make of the strands that were twisted; empty for a single.
    """

    twist: Twist
    strands: tuple[tuple[int, "Cord"], ...] = ()

    @classmethod
    def parse(cls, text: str) -> "Cord":
        """Read a construction such as ``S(2z)``; blanks do not count.

        Raises:
            BadValue: it is not such a notation; the message says what would be right.
        """
        return _remembered(text)

    @property
    def final_twist(self) -> Twist:
        """The twist that shows on the outside: S for ``S(2z)``."""
        return self.twist

    @property
    def singles(self) -> int:
        """Number of singles in the whole: 6 for ``Z(3S(2z))``."""
        return sum(count * cord.singles for count, cord in self.strands) or 1

    @property
    def stages(self) -> int:
        """Times something was twisted: 1 for a single, 2 for ``S(2z)``."""
        return 1 + max((cord.stages for _, cord in self.strands), default=0)

    @property
    def alternates(self) -> bool:
        """Whether every stage turns against the one inside it, the usual practice."""
        return all(
            cord.twist != self.twist and "I" not in (cord.twist, self.twist)
            and cord.alternates
            for _, cord in self.strands
        )  # fmt: skip

    def mirrored(self) -> "Cord":
        """The cord as its mirror image, or a reversed negative, shows it: S for Z."""
        strands = tuple((count, cord.mirrored()) for count, cord in self.strands)
        return Cord(_MIRROR[self.twist], strands)

    def turned_end_for_end(self) -> "Cord":
        """The cord held by its other end: the same, a helix has no upper end."""
        return self

    def in_words(self) -> str:
        """Plain English, from the inside out: "2 z-spun singles plied S"."""
        if not self.strands:
            return "1 " + _single_words(self.twist, 1)
        inner = " and ".join(_strand_words(count, cord) for count, cord in self.strands)
        done = "plied" if self.stages == 2 else "cabled"
        return f"{inner} {done} {self.twist}"

    def __str__(self) -> str:
        if not self.strands:
            return self.twist.lower()
        inner = "+".join(f"{count}{cord}" for count, cord in self.strands)
        return f"{self.twist}({inner})"

    @classmethod
    def __get_pydantic_core_schema__(
        cls, source: object, handler: GetCoreSchemaHandler
    ) -> CoreSchema:
        """A field of this type takes the notation or a Cord; it is written as notation."""
        return as_text_field(cls, cls.parse)


def _single_words(twist: Twist, count: int) -> str:
    singles = "single" if count == 1 else "singles"
    return f"untwisted {singles}" if twist == "I" else f"{twist.lower()}-spun {singles}"


def _strand_words(count: int, cord: Cord) -> str:
    if not cord.strands:
        return f"{count} {_single_words(cord.twist, count)}"
    return f"{count} strand{'s' if count > 1 else ''} (each {cord.in_words()})"


@lru_cache(maxsize=4_096)
def _remembered(text: str) -> Cord:
    bare = re.sub(r"\s+", "", text)
    if _TURNING.fullmatch(text.strip()):
        read_twist(text)
    cord, end = _read_strand(bare, 0, text, 0)
    if end != len(bare):
        raise _bad(
            text, f"{bare[end:]!r} stands behind the end", "write the last twist first"
        )
    if cord[0] != 1:
        raise _bad(text, "a number stands before the whole", "write the last twist first")
    return cord[1]


def _bad(text: str, wrong: str, right: str) -> BadValue:
    return BadValue(
        f"{text!r} cannot be read as a construction: {wrong}; {right}, "
        "such as S(2z): two z-spun singles plied S"
    )


def _read_strand(bare: str, at: int, text: str, depth: int) -> tuple[tuple[int, Cord], int]:
    """One strand with its number, from a place on; with the place behind it."""
    found = _STRAND.match(bare, at)
    if not found or depth > _DEEPEST:
        raise _bad(text, _what_is_there(bare[at:]), "write twists as S, Z, s, z or i")
    count = int(found[1] or found[3] or 1)
    if not 1 <= count <= 10_000:
        raise _bad(text, f"{count} strands cannot be", "write how many there are")
    if found[4]:
        return (count, Cord(_TWISTS[found[4].upper()])), found.end()
    strands, end = _read_strands(bare, found.end(), text, depth + 1)
    return (count, Cord(_TWISTS[found[2]], strands)), end


def _read_strands(
    bare: str, at: int, text: str, depth: int
) -> tuple[tuple[tuple[int, Cord], ...], int]:
    strands = []
    while True:
        strand, at = _read_strand(bare, at, text, depth)
        strands.append(strand)
        closing = bare[at : at + 1]
        if closing == ")":
            break
        if closing != "+":
            wrong = f"{closing!r} joins no strands" if closing else "a bracket is open"
            raise _bad(text, wrong, "close every bracket, join unlike strands with +")
        at += 1
    if sum(count for count, _ in strands) < 2:
        raise _bad(text, "one strand alone is not plied", "write how many there are")
    return tuple(strands), at + 1


def _what_is_there(rest: str) -> str:
    if not rest:
        return "something is missing"
    if re.match(r"\d*[sz]\(", rest):
        return "a small letter stands for spinning and holds no strands"
    if re.match(r"\d*[SZ](?!\()", rest):
        return "a capital stands for plying and needs its strands in brackets"
    return f"{rest!r} is no twist"
