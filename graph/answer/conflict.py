"""Which records contradict each other; all of them are kept and nothing is resolved."""

from collections.abc import Callable, Iterable, Iterator
from enum import StrEnum
from typing import ClassVar

from ..errors import BadValue, Refused
from ..keeping import life
from ..keeping.sample import sample_trees, things_sampled
from ..reasoning.date_conflict import date_conflicts, dates_of
from ..record import Claim, Container, Edtf, Fragment, MuseumObject, Relation, Stance, iso
from ..state import State
from .answer import Answer, Plain, Said, Thing, as_known, said, thing
from .assessment import AssessmentOf, Clash, assess_of
from .belonging import belonging
from .caution import warnings
from .sequence import SequenceAnswer, sequence_of
from .whereabouts import Located, located_of

NOTE = (
    "Everything listed is kept as it was said; Vestige resolves no contradiction. Other "
    "records may contradict each other in ways that nothing here looks for."
)
CLOSED = "restricted: ask"
CLOSE_DAYS = 2 * 366
"""A thing missed, then seen within so many days, is named: own rule, no source."""
SPEECH = (Relation.OPPOSES, Relation.DISPUTES)


class ConflictSort(StrEnum):
    """In what way records contradict each other."""

    UNLIKELY = "improbable together"
    DATES = "dates that cannot all be right"
    CIRCLE = "order in a circle"
    ACCOUNTS = "accounts that differ"
    DENIED = "said and denied"
    DISPUTED = "disputed by somebody"
    MISSED = "not seen, then seen"
    PLACES = "places"


class Conflict(Plain):
    """Records that contradict each other.

    Attributes:
        sort: in what way.
        text: the same in words.
        claims: the smallest set of claims found that do so.
        dates: phases and happenings whose own recorded dates take part.
        explained_by: source whose unsoundness would explain it; None where none would.
    """

    sort: str
    text: str
    claims: tuple[Said, ...]
    dates: tuple[Thing, ...] = ()
    explained_by: Thing | None = None


class ObjectConflicts(Plain):
    """The contradictions about one object.

    Attributes:
        about: the object; None for boxes and loose things that belong to none.
        not_assessed: why its claims could not be weighed together; empty where they were.
    """

    about: Thing | None
    conflicts: tuple[Conflict, ...]
    not_assessed: str = ""


class Conflicts(Answer):
    """Answer to `vestige conflicts [OBJECT]`.

    Attributes:
        about: the object asked about; None for the whole collection.
        objects: one entry per object that was looked at, also where nothing was found.
    """

    FORM: ClassVar[str] = "vestige.conflicts/1"
    about: Thing | None
    objects: tuple[ObjectConflicts, ...]
    note: str = NOTE


def conflicts_of(state: State, key: str) -> Conflicts:
    """Every contradiction found about one object."""
    return Conflicts(
        form=Conflicts.FORM,
        as_known=as_known(state),
        cautions=warnings(state, key),
        about=thing(state, key),
        objects=(object_conflicts(state, key),),
    )


def object_conflicts(state: State, key: str) -> ObjectConflicts:
    """The contradictions about one object, with why it could not be assessed, if so."""
    state.record(key, MuseumObject)
    try:
        assessed, lacking = assess_of(state, key), ""
    except (BadValue, Refused) as wrong:
        assessed, lacking = None, str(wrong)
    found = every_conflict(state, key, assessed, sequence_of(state, key))
    return ObjectConflicts(
        about=thing(state, key), conflicts=tuple(found), not_assessed=lacking
    )


def every_conflict(
    state: State, key: str, assessed: AssessmentOf | None, order: SequenceAnswer
) -> Iterator[Conflict]:
    """Contradictions of one object, of all sorts; each set of claims once.

    What is improbable comes last, and only where nothing more exact was said of the same
    claims; a source whose unsoundness would explain it is named at both.
    """
    clashes = assessed.clashes if assessed else ()
    blamed = {
        claim.key: clash.explained_by
        for clash in clashes
        for claim in clash.claims
        if clash.explained_by and _speaker(claim) == clash.explained_by.key
    }
    met: set[frozenset[str]] = set()
    for one in (*_exact(state, key, order), *_clashes(clashes)):
        claims = frozenset(claim.key for claim in one.claims)
        if claims and claims in met:
            continue
        met.add(claims)
        named = [blamed[claim.key] for claim in one.claims if claim.key in blamed]
        source = one.explained_by or next(iter(named), None)
        yield one.model_copy(update={"explained_by": source})


def _speaker(claim: Said) -> str:
    """Key of the source of a claim; of one without, the role as an assessment names it."""
    return claim.source.key if claim.source else f"role {claim.by}"


def _exact(state: State, key: str, order: SequenceAnswer) -> Iterator[Conflict]:
    yield from _dates(state, key)
    yield from _circles(order)
    claims = claims_of(state, key)
    yield from told_differently(state, claims)
    yield from _denied(state, claims)
    yield from _disputed(state, claims)
    yield from _missed_then_seen(state, claims)
    for one in _kept(state, key):
        yield from places_of(state, one)


def claims_of(state: State, key: str) -> list[tuple[str, Claim]]:
    """Claims that belong to an object: about it, its parts and what was taken of them."""
    own = belonging(state, key)
    return [(claim, one) for claim, one in state.all_of(Claim) if claim in own]


def _clashes(clashes: Iterable[Clash]) -> Iterator[Conflict]:
    for one in clashes:
        yield Conflict(
            sort=ConflictSort.UNLIKELY,
            text=one.text,
            claims=one.claims,
            explained_by=one.explained_by,
        )


def _dates(state: State, key: str) -> Iterator[Conflict]:
    for found in date_conflicts(dates_of(state, key)):
        claims = [one for one in found if isinstance(state.held(one).record, Claim)]
        dates = [one for one in found if one not in claims]
        named = [state.number(one) for one in claims] + [state.label(one) for one in dates]
        yield Conflict(
            sort=ConflictSort.DATES,
            text=f"not all of these can be right: {'; '.join(named)}",
            claims=tuple(said(state, one) for one in claims),
            dates=tuple(thing(state, one) for one in dates),
        )


def _circles(order: SequenceAnswer) -> Iterator[Conflict]:
    for loop in order.loops:
        names = ", ".join(step.later.label for step in loop.steps)
        yield Conflict(
            sort=ConflictSort.CIRCLE,
            text=f"these say in a circle that each is later than the next: {names}",
            claims=tuple(claim for step in loop.steps for claim in step.claims),
        )


def told_differently(
    state: State, claims: Iterable[tuple[str, Claim]]
) -> Iterator[Conflict]:
    """Accounts of one arrangement, count or material, in one phase, that differ.

    Materials differ where no word of one account stands in another: two names of one
    stuff, or one more exact, are no contradiction.
    """
    told: dict[tuple[str, Relation, str], list[tuple[str, str]]] = {}
    for key, one in claims:
        open_ = one.value and one.stance is Stance.FOR and CLOSED not in one.value
        if open_ and one.relation in _DIFFER:
            place = (one.about, one.relation, one.phase or "")
            told.setdefault(place, []).append((" ".join(str(one.value).split()), key))
    for (about, relation, phase), accounts in told.items():
        values = {_folded(relation, value): value for value, _ in reversed(accounts)}
        if len(values) < 2 or not _DIFFER[relation](list(values)):
            continue
        where = f" ({state.label(phase)})" if phase else ""
        yield Conflict(
            sort=ConflictSort.ACCOUNTS,
            text=f"{state.label(about)}{where}: {len(values)} accounts of "
            f"{_WHAT[relation]}: {'; '.join(reversed(values.values()))}",
            claims=tuple(said(state, key) for _, key in accounts),
        )


def _folded(relation: Relation, value: str) -> str:
    folded = value.casefold()
    return "".join(folded.split()) if relation is Relation.ARRANGED else folded


def _any(values: list[str]) -> bool:
    return len(values) > 1


def _nothing_shared(values: list[str]) -> bool:
    words = [set(value.replace(",", " ").replace(":", " ").split()) for value in values]
    pairs = [(a, b) for n, a in enumerate(words) for b in words[n + 1 :]]
    return any(not a & b for a, b in pairs)


_DIFFER: dict[Relation, Callable[[list[str]], bool]] = {
    Relation.ARRANGED: _any,
    Relation.COUNTED: _any,
    Relation.MADE_OF: _nothing_shared,
}
_WHAT = {
    Relation.ARRANGED: "how it was arranged",
    Relation.COUNTED: "how many there were",
    Relation.MADE_OF: "what it is made of",
}


def _denied(state: State, claims: Iterable[tuple[str, Claim]]) -> Iterator[Conflict]:
    """One statement made by somebody and denied by somebody."""
    told: dict[tuple[object, ...], dict[Stance, list[str]]] = {}
    for key, one in claims:
        value = " ".join((one.value or "").split()).casefold()
        named = one.other or one.phase or value or one.relation is Relation.AS_MADE
        if named and CLOSED not in value:
            statement = (one.about, one.relation, one.other, one.phase, value)
            told.setdefault(statement, {}).setdefault(one.stance, []).append(key)
    for sides in told.values():
        if len(sides) < 2:
            continue
        speaks_for, against = sides[Stance.FOR], sides[Stance.AGAINST]
        names = [", ".join(map(state.number, one)) for one in (speaks_for, against)]
        yield Conflict(
            sort=ConflictSort.DENIED,
            text=f"said by {names[0]} and denied by {names[1]}",
            claims=tuple(said(state, key) for key in (*speaks_for, *against)),
        )


def _disputed(state: State, claims: Iterable[tuple[str, Claim]]) -> Iterator[Conflict]:
    """What somebody recorded as opposing or disputing something."""
    for claim, one in claims:
        if one.relation not in SPEECH or one.stance is not Stance.FOR or not one.other:
            continue
        ends = [end for end in (one.other, one.about) if end in state]
        others = [end for end in ends if isinstance(state.held(end).record, Claim)]
        verb = "opposes" if one.relation is Relation.OPPOSES else "disputes"
        yield Conflict(
            sort=ConflictSort.DISPUTED,
            text=f"{one.number}: {state.label(one.about)} {verb} {state.label(one.other)}",
            claims=tuple(said(state, end) for end in (claim, *others)),
        )


def _missed_then_seen(
    state: State, claims: Iterable[tuple[str, Claim]]
) -> Iterator[Conflict]:
    """Looked for and missed by one source, seen by another shortly after.

    Both can be so only if it came between; which is told, for people to judge.
    """
    looks: dict[str, dict[Relation, list[tuple[Edtf, str, str | None]]]] = {}
    for key, one in claims:
        wanted = one.relation in (Relation.ABSENT_ON, Relation.SEEN_BY)
        if wanted and one.stance is Stance.FOR and one.value and CLOSED not in one.value:
            told = looks.setdefault(one.about, {}).setdefault(one.relation, [])
            told.append((Edtf.parse(one.value), key, one.source))
    for about, sides in looks.items():
        for missed, miss, first in sides.get(Relation.ABSENT_ON, ()):
            for seen, see, second in sides.get(Relation.SEEN_BY, ()):
                low, high = missed.earliest, seen.latest
                if low is None or high is None or first == second:
                    continue
                if 0 <= high - low <= CLOSE_DAYS:
                    yield Conflict(
                        sort=ConflictSort.MISSED,
                        text=f"{state.label(about)}: absent in {missed} and there by "
                        f"{seen}; both hold only if it came between {iso(low)} and "
                        f"{iso(high)}",
                        claims=(said(state, miss), said(state, see)),
                    )


def _kept(state: State, key: str) -> list[str]:
    """What was taken off or drawn from an object."""
    things = [one for one in things_sampled(state, key) if one != key]
    samples = [branch.sample for branch in sample_trees(state, key)]
    return [*things, *samples]


def places_of(state: State, key: str) -> Iterator[Conflict]:
    """Two places at a time, or listed as there by a paper and not seen by a person."""
    one = located_of(state, key)
    if one.conflict:
        others = ", ".join(stay.holder.label for stay in one.conflict)
        here = one.place[0].holder.label if one.place else "a place not recorded"
        text = f"{one.thing.label}: in {here} and at the same time in {others}"
        yield Conflict(sort=ConflictSort.PLACES, text=text, claims=())
    for lived in life(state, key).contradictions:
        text = f"{one.thing.label}: {lived}"
        yield Conflict(sort=ConflictSort.PLACES, text=text, claims=())
    if one.listed and one.not_seen:
        yield Conflict(sort=ConflictSort.PLACES, text=_listed(one), claims=())


def _listed(one: Located) -> str:
    look = one.not_seen
    assert look is not None
    by = f" by {look.by}" if look.by else ""
    return (
        f"{one.thing.label}: listed from records on {', '.join(one.listed)}, and looked "
        f"for on {look.when}{by} and not seen"
    )


def loose_conflicts(state: State) -> ObjectConflicts:
    """Contradictions about the places of boxes and loose things that are on no object."""
    keys = [key for kind in (Container, Fragment) for key, _ in state.all_of(kind)]
    found = [one for key in keys for one in places_of(state, key)]
    return ObjectConflicts(about=None, conflicts=tuple(found))
