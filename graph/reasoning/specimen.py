"""What is recorded of the stuff of elements, read together for comparing them.

The features of an element are its own, those that its twist gives, and those that analyses
of it, of its samples and of its kept parts found. Where one feature was recorded several
times, amounts are averaged and the least limit of detection stands; where the records
contradict each other, the feature stays open and cannot be compared.
"""

import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from typing import Final

from ..record import (
    UNITS,
    Claim,
    Cord,
    Element,
    Feature,
    FeatureSort,
    KeptPart,
    MaterialClass,
    Measure,
    Relation,
    Result,
    Sample,
    Stance,
    Strength,
)
from ..state import State
from .same_batch import batches

__all__ = ["COMPUTED", "Finding", "Reading", "Specimen", "batches_of", "class_of",
           "findings", "specimen_of", "specimens_of"]  # fmt: skip

CLOSED: Final = "restricted: ask"
"""Beginning of the words that stand for what a reader may not see."""
COMPUTED: Final = "computed likeness of recorded features"
"""What stands under "how seen" in an observation that a computed ratio led to; such pairs
teach no further ratio."""
_UNIT_OF: Final = {kind: sign for sign, kind in reversed(UNITS.items())}


@dataclass(frozen=True, slots=True)
class Finding:
    """What is known of one feature of one thing.

    Attributes:
        name: the feature.
        said: as written; several records one after the other.
        sort: what can be compared: "amount of length", "count", "grade of 4", "words", or
            "presence" where it was only found or not found; "open" where the records
            contradict each other.
        number: amount in the base unit of its kind, count or grade; None where none.
        spread: how far the number is sharp: its ± or half of its last digit.
        limit: looked for and less than this; None where not.
        present: True found, False looked for and not found without a limit, None else.
        words: what is said in words, folded.
    """

    name: str
    said: str
    sort: str
    number: float | None = None
    spread: float = 0.0
    limit: float | None = None
    present: bool | None = None
    words: str = ""


@dataclass(frozen=True, slots=True)
class Reading:
    """Features recorded in one place: an element's own, or those of one analysis.

    Attributes:
        key: the record that says so.
        features: what it says.
    """

    key: str
    features: tuple[Feature, ...]


@dataclass(frozen=True, slots=True)
class Specimen:
    """One element with all that is recorded of its stuff.

    Attributes:
        key: key of the element.
        object: key of its object.
        material_class: its class; None where not recorded.
        batch: key of the element that stands for its batch, as far as one is known.
        readings: where its features are recorded.
        findings: its features by name; what is not recorded is not in it.
    """

    key: str
    object: str
    material_class: MaterialClass | None
    batch: str
    readings: tuple[Reading, ...]
    findings: Mapping[str, Finding] = field(hash=False)


def class_of(element: Element) -> MaterialClass | None:
    """Class of an element's stuff as recorded; what has a twist is cord or thread."""
    if element.material_class is None and element.twist is not None:
        return MaterialClass.CORD
    return element.material_class


def specimen_of(state: State, key: str, batch: str | None = None) -> Specimen:
    """Read what is recorded of one element's stuff.

    Raises:
        NotRecorded: it is no element.
    """
    element = state.record(key, Element)
    if element.name.startswith(CLOSED):
        return Specimen(key, element.object, class_of(element), batch or key, (), {})
    own = (*element.features, *(_of_twist(element.twist) if element.twist else ()))
    readings = [Reading(key, own)] if own else []
    for result_key, result in _results(state, key):
        if result.features and not result.found.startswith(CLOSED):
            readings.append(Reading(result_key, result.features))
    said = [one for reading in readings for one in reading.features]
    return Specimen(
        key,
        element.object,
        class_of(element),
        batch or key,
        tuple(readings),
        findings(said),
    )


def specimens_of(state: State, material_class: MaterialClass) -> tuple[Specimen, ...]:
    """Every element of a class with features on record that this reader may see."""
    keys = [
        key
        for key, one in state.all_of(Element)
        if class_of(one) is material_class and not one.name.startswith(CLOSED)
    ]
    batch = batches_of(state, keys)
    found = (specimen_of(state, key, batch[key]) for key in keys)
    return tuple(one for one in found if one.findings)


def batches_of(state: State, keys: Iterable[str]) -> dict[str, str]:
    """For every element, the one that stands for its batch.

    Of one batch are elements of one object that are part of the same element (the hinges
    of a set), or that somebody calls the same stuff and nobody denies it. Claims that a
    computed likeness led to do not count here.
    """
    wanted = list(keys)
    inside = set(wanted)
    elements = {key: state.record(key, Element) for key in wanted}
    pairs = [(key, one.part_of) for key, one in elements.items() if one.part_of]
    sets: dict[str, list[str]] = {}
    for key, whole in pairs:
        sets.setdefault(whole, []).append(key)
    joined = {frozenset({group[0], one}) for group in sets.values() for one in group[1:]}
    denied: set[frozenset[str]] = set()
    for _, claim in state.all_of(Claim):
        if claim.relation is not Relation.SAME_STUFF or claim.other is None:
            continue
        pair = frozenset({claim.about, claim.other})
        if not pair <= inside or not _of_one_object(elements, pair):
            continue
        if claim.stance is Stance.AGAINST:
            denied.add(pair)
        elif claim.strength is not Strength.NEUTRAL and claim.method != COMPUTED:
            joined.add(pair)
    kept = sorted(tuple(sorted(pair)) for pair in joined - denied)
    return batches(wanted, [(one, two) for one, two in kept])


def findings(features: Iterable[Feature]) -> dict[str, Finding]:
    """What several records say together of each feature."""
    by_name: dict[str, list[Feature]] = {}
    for one in features:
        if one.sort is not FeatureSort.NOT_RECORDED:
            by_name.setdefault(one.name, []).append(one)
    return {name: _together(name, said) for name, said in sorted(by_name.items())}


# ------------------------------------------------------------------ several records as one


def _together(name: str, said: list[Feature]) -> Finding:
    words = "; ".join(dict.fromkeys(one.said for one in said))
    sorts = {_sort(one) for one in said}
    open_ = Finding(name, words, "open")
    if len(sorts - {"presence"}) > 1:
        return open_
    sort = max(sorts, key=lambda one: (one != "presence", one))
    if sort == "words":
        folded = {one.words.casefold() for one in said}
        alone = len(folded) == 1 and sorts == {"words"}
        return Finding(name, words, sort, words=folded.pop()) if alone else open_
    return _numbers(name, words, sort, said) or open_


def _numbers(name: str, words: str, sort: str, said: list[Feature]) -> Finding | None:
    """Amounts, limits and presence put together; None where they contradict."""
    pairs = [_sharp(one) for one in said if one.sort not in _UNMEASURED]
    limits = [_base(one.measure) for one in said
              if one.sort is FeatureSort.BELOW and one.measure]  # fmt: skip
    limit = min(limits, default=None)
    found = any(one.sort is FeatureSort.FOUND for one in said)
    missed = any(one.sort is FeatureSort.NOT_FOUND for one in said)
    if missed and (pairs or found):
        return None
    if not pairs:
        if found and limit is not None:
            return None
        present = True if found else (False if missed and limit is None else None)
        return Finding(name, words, sort, limit=limit, present=present)
    numbers = [number for number, _ in pairs]
    mean = sum(numbers) / len(numbers)
    if limit is not None and max(numbers) > limit:
        return None
    spread = (max(numbers) - min(numbers)) / 2 + max(spread for _, spread in pairs)
    return Finding(name, words, sort, mean, spread)


_UNMEASURED = (FeatureSort.FOUND, FeatureSort.NOT_FOUND, FeatureSort.BELOW)


def _sort(one: Feature) -> str:
    if one.sort in (FeatureSort.AMOUNT, FeatureSort.BELOW) and one.measure:
        return f"amount of {one.measure.kind}"
    if one.sort is FeatureSort.GRADE:
        return f"grade of {one.grades}"
    if one.sort in (FeatureSort.FOUND, FeatureSort.NOT_FOUND):
        return "presence"
    return str(one.sort)


def _base(measure: Measure) -> float:
    return measure.in_unit(_UNIT_OF[measure.kind])[0]


def _sharp(one: Feature) -> tuple[float, float]:
    """A number and how far it is sharp, in the base unit of its kind."""
    if one.measure is None:
        return float(one.count or 0), 0.0
    number = _base(one.measure)
    per_unit = Measure(f"1 {one.measure.unit}")
    if one.measure.tolerances:
        return number, one.measure.tolerances[0] * _base(per_unit)
    step = _last_digit(one.measure.text) * _base(per_unit)
    return number, step if one.measure.approximate else step / 2


def _last_digit(text: str) -> float:
    """What one step of the last written digit is worth: 0.1 for ``0.4 mm``."""
    bottom = re.search(r"\d/(\d+)", text)
    if bottom:
        return 1 / max(int(bottom[1]), 1)
    if any(sign in text for sign in "½¼¾⅓⅔⅛⅜⅝⅞"):
        return 0.125
    decimals = re.search(r"(\d+)([.,])(\d+)(?!.*\d[.,]\d)", text)
    if not decimals or _parts_thousands(*decimals.groups()):
        return 1.0
    return float(10.0 ** -len(decimals[3]))


def _parts_thousands(before: str, sign: str, after: str) -> bool:
    return sign == "," and len(after) == 3 and not before.startswith("0")


# ------------------------------------------------------------------ where features stand


def _of_twist(cord: Cord) -> tuple[Feature, ...]:
    """What a construction says, as features; they go together but are seen apart."""
    singles = set(_spins(cord))
    spin = singles.pop().lower() if len(singles) == 1 else "mixed"
    told = [f"spin of singles = {spin}", f"number of singles = {cord.singles}"]
    if cord.strands:
        told.insert(0, f"final twist = {cord.final_twist}")
    return tuple(Feature(one) for one in told)


def _spins(cord: Cord) -> Iterable[str]:
    if not cord.strands:
        return [cord.twist]
    return [spin for _, strand in cord.strands for spin in _spins(strand)]


def _results(state: State, key: str) -> list[tuple[str, Result]]:
    """Analyses of an element, of its samples, and of what was taken off it and kept."""
    parts = [part for part, _ in state.about(key, KeptPart)]
    samples = [one for holder in (key, *parts) for one, _ in state.about(holder, Sample)]
    found = {
        result_key: result
        for thing in (key, *parts, *samples)
        for result_key, result in state.about(thing, Result)
        if result.of == thing
    }
    return sorted(found.items())


def _of_one_object(elements: Mapping[str, Element], pair: frozenset[str]) -> bool:
    return len({elements[key].object for key in pair}) == 1
