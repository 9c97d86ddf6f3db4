"""Are two things of one stuff, and what in the archive is most like a thing?

A computed ratio never enters an assessment by itself. The answer offers the observation
that one could record of it, with the word that the ratio is worth, and no stronger one.
"""

from collections.abc import Iterable, Sequence
from typing import ClassVar, Final

from ..errors import BadValue, NotRecorded
from ..reasoning.feature_comparison import Verdict, rank_alike, rows_of
from ..reasoning.likeness_ratio import (
    REFERENCES_NEEDED,
    Likeness,
    compare_specimens,
    word_of_ratio,
)
from ..reasoning.same_batch import SAMENESS
from ..reasoning.specimen import COMPUTED, Specimen, specimen_of, specimens_of
from ..reasoning.strength import DEFAULT_SCALE, scale_named
from ..record import Claim, Element, KeptPart, Relation, Sample, Stance, head_of
from ..state import State
from .answer import Answer, Plain, Said, Thing, as_known, said, thing
from .caution import warnings

NEUTRAL: Final = "neutral"
SHOWN: Final = 12
"""So many of the things most alike are listed."""

PITFALLS: Final = (
    "One stuff is not one event: a stock lasts for years, and old stuff is used again.",
    "Different stuff is not a different event: one hand may take from two batches.",
    "The population is what this archive holds and somebody recorded, not all that was "
    "ever made; stuff of one workshop is more alike than the ratio knows.",
    "Pairs that were called one stuff by eye are more alike than such pairs at large; "
    "where the ratio was learnt from them, it says too much.",
    "Ageing, dirt and the place of a measurement change features; so do instruments.",
)


class FeatureLine(Plain):
    """One feature of both.

    Attributes:
        one, other: as written; None where not recorded.
        verdict: agree, differ, found in neither, not recorded, or cannot be told.
        score: 1 alike to 0 as far apart as any on record; None where it does not count.
        reason: why it cannot be told; None for none.
    """

    name: str
    one: str | None
    other: str | None
    verdict: str
    score: float | None
    reason: str | None


class Ratio(Plain):
    """A likelihood ratio with what it rests on.

    Attributes:
        value: how many times more probable this likeness is for one stuff than for two.
        lowest, highest: what it is held between; the highest is twice the reference items.
        word: strongest word of the scale that is worth no more; for a value below 1, of
            its inverse.
        stance: "for" or "against" one stuff.
        scale: id of the scale; `scale_name` is what people call it.
        cost: Cllr in bits on known pairs left out of the learning: 0 perfect, 1 nothing.
        same_pairs, different_pairs: pairs of known origin that it was learnt from.
    """

    value: float
    lowest: float
    highest: float
    word: str
    stance: str
    scale: str
    scale_name: str
    cost: float
    same_pairs: int
    different_pairs: int


class Comparison(Answer):
    """Answer to `vestige compare A B`.

    Attributes:
        material_class: class of both; None where not recorded or not one.
        similarity: Gower's, 0 to 1, over `counted` features; None where none counts.
        references: reference items: batches of the class on other objects with at least
            half of these features on record.
        as_near: how many of them are at least as like `one` as `other` is.
        ratio: None where the archive cannot bear one; `reason` says why.
        recorded: what is already said of the sameness of the two.
        offer: the observation that one could record, by column head; None where there is
            nothing to record. It is not recorded.
    """

    FORM: ClassVar[str] = "vestige.compare/1"
    one: Thing
    other: Thing
    material_class: str | None
    features: tuple[FeatureLine, ...]
    similarity: float | None
    counted: int
    references: int
    references_needed: int = REFERENCES_NEEDED
    as_near: int
    ratio: Ratio | None
    reason: str | None
    recorded: tuple[Said, ...]
    offer: dict[str, str] | None
    pitfalls: tuple[str, ...] = PITFALLS


class Near(Plain):
    """One thing that is like the one asked about.

    Attributes:
        on: its object.
        similarity: Gower's, 0 to 1, over `counted` features.
        agree, differ: names of the features that agree and that differ.
        one_batch: whether the two are recorded as of one batch.
    """

    about: Thing
    on: Thing
    similarity: float
    counted: int
    agree: tuple[str, ...]
    differ: tuple[str, ...]
    one_batch: bool


class Alike(Answer):
    """Answer to `vestige alike A`: the most alike of its class, the nearest first.

    Attributes:
        features: number of its own features on record.
        others: things of its class with features on record, it not counted.
        comparable: how many of those share a feature with it.
        reason: why nothing can be said; None where something is.
    """

    FORM: ClassVar[str] = "vestige.alike/1"
    about: Thing
    material_class: str | None
    features: int
    others: int
    comparable: int
    nearest: tuple[Near, ...]
    reason: str | None


def comparison_of(state: State, one: str, other: str) -> Comparison:
    """Compare two elements; a kept part or sample stands for the element it came from.

    Args:
        state: the whole archive as this reader may see it.
        one: key of the first.
        other: key of the second.

    Raises:
        BadValue: both are the same element.
        NotRecorded: one of them is no element and came from none.
    """
    keys = element_behind(state, one), element_behind(state, other)
    if keys[0] == keys[1]:
        raise BadValue(f"{state.label(keys[0])} is compared with itself; name another one")
    first, second, population = _population(state, *keys)
    found = compare_specimens(first, second, population)
    no_class = _no_class(state, first, second)
    recorded = _recorded(state, keys)
    ratio = _ratio(found)
    return Comparison(
        form=Comparison.FORM,
        as_known=as_known(state),
        cautions=(*warnings(state, keys[0]), *warnings(state, keys[1])),
        one=thing(state, keys[0]),
        other=thing(state, keys[1]),
        material_class=None if no_class else str(first.material_class),
        features=_lines(found),
        similarity=found.similarity,
        counted=found.counted,
        references=found.references,
        as_near=found.as_near,
        ratio=ratio,
        reason=None if ratio else no_class or found.reason,
        recorded=tuple(said(state, key) for key in recorded),
        offer=_offer(state, keys, found, ratio, recorded),
    )


def alike_of(state: State, key: str) -> Alike:
    """What in the archive is most like an element, among things of its class.

    Raises:
        NotRecorded: it is no element and came from none.
    """
    asked = element_behind(state, key)
    specimen = specimen_of(state, asked)
    population: tuple[Specimen, ...] = ()
    if specimen.material_class is not None:
        population = specimens_of(state, specimen.material_class)
        specimen = next((one for one in population if one.key == asked), specimen)
    others = [one for one in population if one.key != asked]
    ranked = rank_alike(specimen, population)
    return Alike(
        form=Alike.FORM,
        as_known=as_known(state),
        cautions=warnings(state, asked),
        about=thing(state, asked),
        material_class=str(specimen.material_class) if specimen.material_class else None,
        features=len(specimen.findings),
        others=len(others),
        comparable=len(ranked),
        nearest=tuple(
            _near(state, specimen, one, (score, count), population)
            for one, score, count in ranked[:SHOWN]
        ),
        reason=_nothing_to_rank(specimen, others),
    )


def element_behind(state: State, key: str) -> str:
    """The element that a key names, or that a kept part or a sample came from.

    Raises:
        NotRecorded: it is something else.
    """
    record = state.held(key).record
    for _ in range(len(state)):
        if isinstance(record, Element):
            return key
        if not isinstance(record, (KeptPart, Sample)):
            break
        key = record.element
        record = state.held(key).record
    wanted = "name an element, or a sample or kept part of one"
    raise NotRecorded(
        f"{state.label(key)} is no element but of kind {record.kind}: {wanted}"
    )


# ------------------------------------------------------------------ parts of the answer


def _population(
    state: State, one: str, other: str
) -> tuple[Specimen, Specimen, Sequence[Specimen]]:
    """The two, and everything of their class; nothing where their classes differ."""
    first, second = specimen_of(state, one), specimen_of(state, other)
    if first.material_class is None or first.material_class != second.material_class:
        return first, second, ()
    population = specimens_of(state, first.material_class)
    by_key = {specimen.key: specimen for specimen in population}
    return by_key.get(one, first), by_key.get(other, second), population


def _no_class(state: State, first: Specimen, second: Specimen) -> str:
    """Why the two are not of one class; "" where they are."""
    lacking = [one for one in (first, second) if one.material_class is None]
    if lacking:
        names = " and ".join(state.number(one.key) for one in lacking)
        return (
            f"class of material not recorded for {names}: fill it in on the sheet "
            "Elements, so that there is a population to compare with"
        )
    if first.material_class != second.material_class:
        return f"one is {first.material_class}, the other {second.material_class}"
    return ""


def _lines(found: Likeness) -> tuple[FeatureLine, ...]:
    return tuple(
        FeatureLine(
            name=row.name,
            one=row.one,
            other=row.other,
            verdict=str(row.verdict),
            score=row.score,
            reason=row.reason or None,
        )
        for row in found.rows
    )


def _ratio(found: Likeness) -> Ratio | None:
    if found.ratio is None or found.highest is None or found.lowest is None:
        return None
    against = found.ratio < 1
    return Ratio(
        value=found.ratio,
        lowest=found.lowest,
        highest=found.highest,
        word=word_of_ratio(1 / found.ratio if against else found.ratio),
        stance=str(Stance.AGAINST if against else Stance.FOR),
        scale=DEFAULT_SCALE,
        scale_name=scale_named(DEFAULT_SCALE).name,
        cost=found.cost if found.cost is not None else 1.0,
        same_pairs=found.same_pairs,
        different_pairs=found.different_pairs,
    )


def _recorded(state: State, keys: Iterable[str]) -> list[str]:
    """Claims that already say whether the two are of one stuff, hand or make."""
    pair = set(keys)
    return [
        key
        for key, claim in state.all_of(Claim)
        if claim.relation in SAMENESS and {claim.about, claim.other} == pair
    ]


def _offer(
    state: State,
    keys: tuple[str, str],
    found: Likeness,
    ratio: Ratio | None,
    recorded: Iterable[str],
) -> dict[str, str] | None:
    """The row that one could record; none where it says nothing or is there already."""
    there = {state.record(key, Claim).method for key in recorded}
    if ratio is None or ratio.word == NEUTRAL or COMPUTED in there:
        return None
    values = {
        "about": state.number(keys[0]),
        "relation": str(Relation.SAME_STUFF),
        "other": state.number(keys[1]),
        "strength": ratio.word,
        "stance": ratio.stance,
        "method": COMPUTED,
        "scale": ratio.scale,
        "note": (
            f"likeness {found.similarity:.2f} on {found.counted} features; likelihood "
            f"ratio {ratio.value:.3g}, held between {ratio.lowest:.2g} and "
            f"{ratio.highest:g}; {found.references} reference items; cost {ratio.cost:.2f}"
        ),
    }
    fields = Claim.model_fields
    return {head_of(name, fields[name]): value for name, value in values.items()}


def _near(
    state: State,
    asked: Specimen,
    one: Specimen,
    rank: tuple[float, int],
    population: Sequence[Specimen],
) -> Near:
    rows = rows_of(asked, one, population)
    return Near(
        about=thing(state, one.key),
        on=thing(state, one.object),
        similarity=rank[0],
        counted=rank[1],
        agree=tuple(row.name for row in rows if row.verdict is Verdict.AGREE),
        differ=tuple(row.name for row in rows if row.verdict is Verdict.DIFFER),
        one_batch=one.batch == asked.batch,
    )


def _nothing_to_rank(specimen: Specimen, others: Sequence[Specimen]) -> str | None:
    if specimen.material_class is None:
        return "class of material not recorded: fill it in on the sheet Elements"
    if not specimen.findings:
        return "no features recorded: fill them in on the sheet Elements or Results"
    if not others:
        return f"nothing else of the class {specimen.material_class} has features on record"
    return None
