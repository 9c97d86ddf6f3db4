"""The case: all that an assessment of one object is given, as plain values.

A case knows nothing of records, sheets or files. Whoever holds the recorded state
translates it; whoever tests the reasoning writes one down by hand.
"""

from collections.abc import Iterable
from dataclasses import dataclass
from enum import StrEnum

from ..errors import BadValue
from ..record import TAKES_DATE, TAKES_PHASE, Relation, Reliability, SourceKind, Span
from .strength import DEFAULT_SCALE, scale_named

__all__ = [
    "Case",
    "CaseClaim",
    "CasePhase",
    "CaseSource",
    "Thing",
    "ThingKind",
    "Years",
]

Years = tuple[float | None, float | None]
"""Earliest and latest year, as decimal years; None where there is no bound."""

UNBOUND: Years = (None, None)


class ThingKind(StrEnum):
    """What sort of thing is assessed."""

    PART = "part"
    FIXING = "fixing"
    LAYER = "layer"
    FEATURE = "feature"
    HAPPENING = "happening"

    @property
    def has_making(self) -> bool:
        """Whether it was made and also put in place; the others have one time only."""
        return self in (ThingKind.PART, ThingKind.FIXING)


@dataclass(frozen=True, slots=True)
class CasePhase:
    """One phase of the object; the case lists them in order, the making first.

    Attributes:
        id: name by which claims refer to it.
        name: what people call it.
        span: which part of the object's life it is.
        begins: bounds of the year in which it begins.
        ends: bounds of the year in which it ends.
    """

    id: str
    name: str
    span: Span
    begins: Years = UNBOUND
    ends: Years = UNBOUND


@dataclass(frozen=True, slots=True)
class Thing:
    """Something on the object that an answer is wanted for.

    Attributes:
        id: stable name.
        kind: part, fixing, layer, feature or happening.
        core: True where it is the object by definition: made in the first phase.
        held_by: its present fixings, where they are recorded.
        touches: things that it is in contact with.
        prior: probability of having been made in each phase, before any claim; sums to 1.
            None for the default of its kind.
        treated: True where a record of the present treatment names it.
    """

    id: str
    kind: ThingKind
    core: bool = False
    held_by: tuple[str, ...] = ()
    touches: tuple[str, ...] = ()
    prior: tuple[float, ...] | None = None
    treated: bool = False


@dataclass(frozen=True, slots=True)
class CaseSource:
    """Who or what speaks.

    Attributes:
        id: stable name.
        kind: what it is; sets the defaults.
        reliability: how sound it is held to be; None leaves it to the kind.
        soundness: prior over the soundness grid, given outright; None for the default.
        one_story: probability that it tells one story whatever the truth; None for the
            default of the kind.
        copies: sources that it copies.
    """

    id: str
    kind: SourceKind = SourceKind.EXAMINATION
    reliability: Reliability | None = None
    soundness: tuple[float, float, float, float] | None = None
    one_story: float | None = None
    copies: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class CaseClaim:
    """One thing seen or said.

    Attributes:
        id: stable name; the factor that it becomes bears it.
        source: who says so.
        relation: what is said.
        subject: what it is said of.
        other: the other thing, where the relation joins two.
        phase: phase named by the claim.
        years: bounds of the date named by the claim.
        strength: word on the scale.
        scale: id of the scale.
        against: True where it denies what it says.
        act: claims of one act of looking or telling share this word; None for an act of
            its own.
        derived_from: claim of which this one is a copy.
        limit: largest likelihood ratio it may be taken for (a material whose first use
            has exceptions); None for no limit of its own.
    """

    id: str
    source: str
    relation: Relation
    subject: str
    other: str | None = None
    phase: str | None = None
    years: Years = UNBOUND
    strength: str = "moderate"
    scale: str = DEFAULT_SCALE
    against: bool = False
    act: str | None = None
    derived_from: str | None = None
    limit: float | None = None

    @property
    def statement(self) -> tuple[object, ...]:
        """What it says, without who says it or how strongly."""
        named = (self.relation, self.subject, self.other, self.phase, self.years)
        return (*named, self.against)


@dataclass(frozen=True, slots=True)
class Case:
    """One object with its phases, things, sources and claims.

    Attributes:
        phases: in order, the making first; at least one.
        things: everything an answer is wanted for, each id once.
        sources: everybody who speaks.
        claims: everything said.
        present: the year in which the question is asked; ends the last phase.

    Raises:
        BadValue: an id that is used twice or names nothing, a claim without the phase,
            date or other thing that its relation needs, an unknown word of strength, or
            a prior that is no probability distribution.
    """

    phases: tuple[CasePhase, ...]
    things: tuple[Thing, ...]
    sources: tuple[CaseSource, ...]
    claims: tuple[CaseClaim, ...]
    present: float | None = None

    def __post_init__(self) -> None:
        if not self.phases:
            raise BadValue("a case needs at least one phase: the making")
        phases = _distinct("phase", (phase.id for phase in self.phases))
        things = _distinct("thing", (thing.id for thing in self.things))
        sources = _distinct("source", (source.id for source in self.sources))
        _distinct("claim", (claim.id for claim in self.claims))
        for thing in self.things:
            _check_thing(thing, things, len(self.phases))
        for source in self.sources:
            _check_source(source, sources)
        for claim in self.claims:
            _check_claim(claim, things, sources, phases)

    def phase_number(self, phase: str) -> int:
        """Place of a phase in the order, counted from 0.

        Raises:
            BadValue: no phase has this id.
        """
        for number, one in enumerate(self.phases):
            if one.id == phase:
                return number
        raise BadValue(f"no phase of this object is called {phase!r}")

    def thing(self, id_: str) -> Thing:
        """The thing with this id.

        Raises:
            BadValue: there is none.
        """
        for one in self.things:
            if one.id == id_:
                return one
        raise BadValue(f"nothing on this object is called {id_!r}")


def _distinct(what: str, ids: Iterable[str]) -> frozenset[str]:
    found: set[str] = set()
    for id_ in ids:
        if id_ in found:
            raise BadValue(f"two {what}s are called {id_!r}; ids are unique")
        found.add(id_)
    return frozenset(found)


def _known(what: str, id_: str, known: frozenset[str], where: str) -> None:
    if id_ not in known:
        raise BadValue(f"{where} names the {what} {id_!r}, which is not in the case")


def _check_thing(thing: Thing, things: frozenset[str], phases: int) -> None:
    for other in (*thing.held_by, *thing.touches):
        _known("thing", other, things, thing.id)
        if other == thing.id:
            raise BadValue(f"{thing.id} cannot hold or touch itself")
    if thing.held_by and not thing.kind.has_making:
        raise BadValue(f"{thing.id} is a {thing.kind}; only parts are held by fixings")
    if thing.core and not thing.kind.has_making:
        raise BadValue(f"{thing.id} is a {thing.kind}; only a part can be the core")
    if thing.prior is not None:
        _check_distribution(thing.prior, phases, f"the prior of {thing.id}")


def _check_source(source: CaseSource, sources: frozenset[str]) -> None:
    for copied in source.copies:
        _known("source", copied, sources, source.id)
    if source.soundness is not None:
        _check_distribution(source.soundness, 4, f"the soundness of {source.id}")
    if source.one_story is not None and not 0 <= source.one_story < 1:
        raise BadValue(f"one_story of {source.id} is {source.one_story}; wanted [0, 1)")


def _check_claim(
    claim: CaseClaim,
    things: frozenset[str],
    sources: frozenset[str],
    phases: frozenset[str],
) -> None:
    _known("source", claim.source, sources, claim.id)
    _known("thing", claim.subject, things, claim.id)
    if claim.other is not None:
        _known("thing", claim.other, things, claim.id)
        if claim.other == claim.subject:
            raise BadValue(f"{claim.id}: a thing cannot stand in a relation to itself")
    if claim.phase is not None:
        _known("phase", claim.phase, phases, claim.id)
    if claim.relation in TAKES_PHASE and claim.phase is None:
        raise BadValue(f"{claim.id}: {claim.relation!s} needs a phase")
    if claim.relation in TAKES_DATE and claim.years == UNBOUND and claim.phase is None:
        raise BadValue(f"{claim.id}: {claim.relation!s} needs a date or a phase")
    scale_named(claim.scale).position(claim.strength)


def _check_distribution(values: tuple[float, ...], length: int, what: str) -> None:
    if len(values) != length:
        raise BadValue(f"{what} has {len(values)} values; wanted {length}")
    if min(values) < 0 or abs(sum(values) - 1) > 1e-6:
        raise BadValue(f"{what} is no distribution: values below 0 or a sum other than 1")
