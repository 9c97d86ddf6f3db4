"""Facts of a fragment beside facts of a place: what fits, what does not, what is unknown.

Tolerances, where none is written with the measure (``2.4 ± 0.1 mm``): a tenth of the
larger figure, at least 0.2 mm; twice that where one of them is "about". Common practice,
no source. Points only put candidates in order; they are no probability.
"""

import re
from dataclasses import dataclass
from enum import StrEnum
from typing import Final

from ..record import Container, Element, Fragment, Measure
from .fragment_material import Alike, alike
from .fragment_place import Position, Vacancy

LEAST_MM: Final = 0.2
SHARE: Final = 0.1
LONGEST_IN_A_BOX_MM: Final = 1000.0
"""Boxes, bags, tins and vials are seldom a metre long; common practice, no source."""

FILLS: Final = 0.6
"""Share of an opening's width from which a thing is said to fill it; no source."""

_SMALL = re.compile(r"\b(?:box|bag|tin|vial|envelope|jar|tube)\b", re.I)
_SLIPS: Final = ((10.0, "a factor of ten, as between mm and cm"),
    (25.4, "a factor of 25.4, as between mm and inches"))  # fmt: skip
_IDLE: Final = frozenset(
    ("with", "from", "edge", "side", "part", "piece", "small", "large", "recorded",
     "length", "what", "like", "this", "that", "which", "other", "than", "only")
)  # fmt: skip


class Fit(StrEnum):
    """How one fact of a fragment stands to one of a place."""

    FITS = "fits"
    CLASHES = "does not fit"
    UNKNOWN = "says nothing"
    QUESTION = "to be asked"


@dataclass(frozen=True, slots=True)
class Fact:
    """One comparison.

    Attributes:
        of: what was compared, e.g. "thickness".
        fit: how it stands.
        words: what was compared with what.
        points: what it adds to the order of candidates; 0 where it says nothing.
        hard: True where this alone rules the place out.
    """

    of: str
    fit: Fit
    words: str
    points: int = 0
    hard: bool = False


def facts(
    fragment: Fragment, element: Element, place: Position, doubt: str | None = None
) -> tuple[Fact, ...]:
    """Every fact that can be compared, and every one that cannot.

    Args:
        fragment: the loose thing.
        element: element at which something lacks.
        place: what is known of the place.
        doubt: why the fragment's size is not used; None where it is.
    """
    size = (
        Fact("size", Fit.QUESTION, f"{fragment.size} is not used: {doubt}")
        if doubt
        else _size(fragment, element, place)
    )
    every = (
        _material(fragment, place),
        _thickness(fragment, place),
        size,
        _curvature(fragment, element),
        _words(fragment, element),
    )
    return tuple(one for one in every if one is not None)


def unit_question(fragment: Fragment, holder: Container | None) -> str | None:
    """A question about the unit of a size that cannot be as recorded; None where none.

    The record stays as it is: nobody but who measures again can say what was meant.
    """
    lengths = _lengths(fragment.size)
    if not lengths or holder is None:
        return None
    longest = max(lengths)
    room = _lengths(holder.size)
    told = f"{fragment.size} as recorded"
    if room and longest > sum(one * one for one in room) ** 0.5:
        why = f"is longer than the inside of {holder.number} ({holder.size}) cornerwise"
    elif (
        not room and longest > LONGEST_IN_A_BOX_MM and _SMALL.search(f"{holder.sort or ''}")
    ):
        why = (
            f"would hardly fit into {holder.number}, a {holder.sort}, whose inside size "
            "is not recorded"
        )
    else:
        return None
    return f"{told} {why}: is the unit right? Measure it again"


def _material(fragment: Fragment, place: Position) -> Fact:
    if place.vacancy is Vacancy.OPENING and place.material is None:
        return _around(fragment, place)
    mine, wanted = fragment.material, place.material
    if not mine or not wanted:
        return _unrecorded("material", mine, wanted)
    both = f"{mine}; {wanted}{f' {place.material_of}' if place.material_of else ''}"
    found = Alike.SAME if mine.casefold() == wanted.casefold() else alike(mine, wanted)
    if found is Alike.UNKNOWN:
        return Fact("material", Fit.QUESTION, f"{both}: are these names of one material?")
    points = {Alike.SAME: 2, Alike.POSSIBLE: 1}.get(found, -2)
    fit = Fit.FITS if points > 0 else Fit.CLASHES
    return Fact("material", fit, f"{both}: {found}", points, found is Alike.CLASH)


def _around(fragment: Fragment, place: Position) -> Fact:
    """What sat in an opening is not known; that it was of the same stuff is a hint."""
    told = "what sat in it is not recorded"
    same = alike(fragment.material, place.around) in (Alike.SAME, Alike.POSSIBLE)
    if place.around and same:
        words = f"{told}; {place.around} around it may be the same as {fragment.material}"
        return Fact("material", Fit.FITS, words, 1)
    return Fact("material", Fit.UNKNOWN, told)


def _thickness(fragment: Fragment, place: Position) -> Fact:
    mine, wanted = fragment.thickness, place.thickness
    one, other = _lengths(mine), _lengths(wanted)
    if place.vacancy is Vacancy.OPENING or mine is None or wanted is None:
        return _unrecorded("thickness", mine, None if place.vacancy is Vacancy.OPENING
                           else wanted)  # fmt: skip
    if not one or not other:
        return Fact("thickness", Fit.QUESTION, f"{mine} is no length; {wanted}")
    room = _tolerance(mine, wanted)
    whose = f" {place.thickness_of}" if place.thickness_of else ""
    both = f"{mine}; {wanted}{whose}, within ± {room:.2g} mm"
    if abs(one[0] - other[0]) <= room + 1e-9:
        return Fact("thickness", Fit.FITS, both, 3)
    return Fact("thickness", Fit.CLASHES, both.replace("within", "beyond"), -3, hard=True)


def _size(fragment: Fragment, element: Element, place: Position) -> Fact:
    mine, wanted = _lengths(fragment.size), _lengths(element.size)
    if place.vacancy is Vacancy.OPENING:
        return _section(fragment, element)
    if not mine or not wanted or fragment.size is None or element.size is None:
        return _unrecorded("size", fragment.size, element.size)
    room = _tolerance(fragment.size, element.size)
    pairs = list(zip(sorted(mine)[::-1], sorted(wanted)[::-1], strict=False))
    both = f"{fragment.size}; {element.size}"
    if any(one > other + room + 1e-9 for one, other in pairs):
        return _too_large(pairs, both)
    if len(mine) == len(wanted) and all(abs(a - b) <= room + 1e-9 for a, b in pairs):
        return Fact("size", Fit.FITS, f"{both}: the same within ± {room:.2g} mm", 2)
    return Fact("size", Fit.FITS, f"{both}: goes into it; a piece of it at most", 1)


def _too_large(pairs: list[tuple[float, float]], both: str) -> Fact:
    """Larger than what lacks: ruled out, but for a slip of the unit, which is asked."""
    for factor, told in _SLIPS:
        if all(abs(one / other / factor - 1) <= 0.02 for one, other in pairs if other):
            words = f"{both}: larger by {told}; is the unit right? Measure it again"
            return Fact("size", Fit.QUESTION, words)
    return Fact("size", Fit.CLASHES, f"{both}: larger than what lacks", -3, hard=True)


def _section(fragment: Fragment, element: Element) -> Fact:
    """An opening takes what is not wider than itself, whatever its length."""
    wide = [*_lengths(fragment.thickness), *_lengths(fragment.size)[1:]]
    opening = _lengths(element.size)
    if not wide or not opening or element.size is None:
        told = "width" if not wide else "size of the opening"
        return Fact("size", Fit.UNKNOWN, f"{told} is not recorded")
    given = fragment.thickness or fragment.size or element.size
    room = _tolerance(given, element.size)
    both = f"{min(wide):g} mm wide; opening {element.size}"
    if min(wide) > max(opening) + room:
        return Fact("size", Fit.CLASHES, f"{both}: too wide for it", -3, hard=True)
    if max(wide) >= FILLS * min(opening):
        return Fact("size", Fit.FITS, f"{both}: fills it", 1)
    return Fact("size", Fit.UNKNOWN, f"{both}: goes into it with room, which says nothing")


def _curvature(fragment: Fragment, element: Element) -> Fact | None:
    """A radius measured on a small piece is rough: it speaks against, never alone."""
    mine, wanted = fragment.curvature, element.curvature
    one, other = _lengths(mine), _lengths(wanted)
    if not one or not other or mine is None or wanted is None:
        return None if mine is None else _unrecorded("curvature", mine, wanted)
    both = f"radius {mine}; {wanted}"
    room = 2 * _tolerance(mine, wanted)
    if abs(one[0] - other[0]) <= room:
        return Fact("curvature", Fit.FITS, f"{both}, within ± {room:.2g} mm", 2)
    return Fact("curvature", Fit.CLASHES, f"{both}, beyond ± {room:.2g} mm", -2)


def _words(fragment: Fragment, element: Element) -> Fact | None:
    """Words that both records use: form, thread, pattern, colour."""
    mine = _said(fragment.name, fragment.marks, fragment.colour)
    theirs = _said(element.name, element.where, element.note)
    shared = sorted(mine & theirs - _said(fragment.material, element.material))
    if not shared:
        return None
    told = ", ".join(shared[:6])
    return Fact("description", Fit.FITS, f"both records say: {told}", min(len(shared), 2))


def _said(*texts: str | None) -> set[str]:
    text = " ".join(one for one in texts if one).casefold()
    figures = re.findall(r"\d+(?:\.\d+)? ?(?:mm|cm|°)", text)
    words = re.findall(r"[^\W\d_]{4,}", text)
    return {*figures, *words} - _IDLE


def _unrecorded(what: str, mine: object, theirs: object) -> Fact:
    lacks = [
        side
        for side, value in (("fragment", mine), ("place", theirs))
        if value in (None, "")
    ]
    known = f" ({mine or theirs})" if len(lacks) == 1 else ""
    told = f"not recorded of the {' and the '.join(lacks)}{known}"
    return Fact(what, Fit.UNKNOWN, told)


def _lengths(measure: Measure | None) -> tuple[float, ...]:
    """The figures of a length in mm; empty where there is none or it is no length."""
    if measure is None or measure.kind != "length":
        return ()
    return measure.in_unit("mm")


def _tolerance(one: Measure, other: Measure) -> float:
    """What two measures may differ by and still agree, mm."""
    written = [max(to_mm) for each in (one, other) if (to_mm := _spread(each))]
    if written:
        return sum(written)
    largest = max(*_lengths(one)[:1], *_lengths(other)[:1])
    about = one.approximate or other.approximate
    return max(LEAST_MM, SHARE * largest) * (2 if about else 1)


def _spread(measure: Measure) -> tuple[float, ...]:
    if not measure.tolerances:
        return ()
    factor = (
        measure.in_unit("mm")[0] / measure.magnitudes[0] if measure.magnitudes[0] else 1
    )
    return tuple(one * factor for one in measure.tolerances)
