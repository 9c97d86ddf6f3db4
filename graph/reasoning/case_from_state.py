"""From what is recorded of an object to the case that is assessed.

Nothing is decided here; what cannot be read is set aside with the reason and shown.

* An element of which an absence is recorded is no thing and has no phase.
* An object without phases on record gets the usual five, without dates.
* A claim without a source is the word of the role that made it.
* A second-hand source is taken for one word less sound than its kind.
* What a direct look at a date speaks of was there by that date: each such source adds
  one claim "seen by then" per thing, marked as derived.
* What our own treatment did is on record and is not inferred: happenings are things only
  where some claim speaks of them.
"""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field, replace

from ..errors import BadValue
from ..record import (
    STANDS_ALONE,
    TAKES_DATE,
    TAKES_PHASE,
    Claim,
    Edtf,
    Element,
    ElementSort,
    Hand,
    Happening,
    MuseumObject,
    Phase,
    Relation,
    Reliability,
    Source,
    SourceKind,
    Span,
    Stance,
)
from ..state import State
from .case import Case, CaseClaim, CasePhase, CaseSource, Thing, ThingKind, Years
from .evidence import speaks_of_time
from .first_use import row_for
from .premises import USUAL_RELIABILITY
from .strength import scale_named

__all__ = ["CaseReading", "case_of"]

KINDS = {
    ElementSort.PART: ThingKind.PART,
    ElementSort.FIXING: ThingKind.FIXING,
    ElementSort.LAYER: ThingKind.LAYER,
    ElementSort.FEATURE: ThingKind.FEATURE,
}
DIRECT = frozenset(
    {
        SourceKind.EXAMINATION,
        SourceKind.ANALYSIS,
        SourceKind.IMAGE,
        SourceKind.LAY_OBSERVATION,
    }
)
"""Kinds of source that saw what they speak of."""

SEEN_IN_LOOKING = frozenset(Relation) - {
    Relation.ABSENT_ON,
    Relation.ARRANGED,
    Relation.MAY_BELONG_TO,
    Relation.SUPPORTS,
    Relation.OPPOSES,
    Relation.DISPUTES,
}
"""Relations that a direct look can only report of what was there."""

USUAL_PHASES = (
    CasePhase("making", "making", Span.MAKING),
    CasePhase("use-life", "use-life", Span.USE),
    CasePhase("trade or collection", "trade or collection", Span.TRADE),
    CasePhase("museum", "museum", Span.MUSEUM),
    CasePhase("present treatment", "present treatment", Span.TREATMENT),
)
DERIVED = " seen"
"""End of the id of a claim that is derived from another one."""

LESS_SOUND = {
    Reliability.SOUND: Reliability.USUALLY_SOUND,
    Reliability.USUALLY_SOUND: Reliability.MIXED,
    Reliability.MIXED: Reliability.DOUBTFUL,
    Reliability.UNKNOWN: Reliability.DOUBTFUL,
    Reliability.DOUBTFUL: Reliability.DOUBTFUL,
}


@dataclass(frozen=True, slots=True)
class CaseReading:
    """A case, and what of the record did not go into it.

    Attributes:
        case: ids of things, phases, sources and claims are the keys of their records; a
            role that speaks without a source is ``"role NAME"``.
        set_aside: key of a record that could not be read, with the reason.
        usual_phases: True where the object has no phases on record.
    """

    case: Case
    set_aside: Mapping[str, str] = field(default_factory=dict)
    usual_phases: bool = False

    @property
    def core_named(self) -> bool:
        """Whether some element is named as the object itself; without one the phases
        hang in the air."""
        return any(thing.core for thing in self.case.things)

    def claim_key(self, claim: str) -> str:
        """Key of the record that a claim of the case comes from."""
        return claim.split(" ", 1)[0]


def case_of(state: State, object_key: str, present: float | None = None) -> CaseReading:
    """Read the case of one object out of a state.

    Args:
        state: what is known.
        object_key: key of the object.
        present: year in which the question is asked; None for the year of the state.

    Raises:
        NotRecorded: no object has this key.
    """
    return _Reader(state, object_key, present).reading()


class _Reader:
    def __init__(self, state: State, object_key: str, present: float | None) -> None:
        self.state, self.object_key = state, object_key
        self.object = state.record(object_key, MuseumObject)
        if present is None and state.known is not None:
            present = 1970 + state.known / (365.2425 * 86_400_000)
        self.present = present
        self.set_aside: dict[str, str] = {}
        self.sources: dict[str, CaseSource] = {}
        self.elements = dict(state.about(object_key, Element))
        self.treated = self._treated()

    def reading(self) -> CaseReading:
        phases = self._phases()
        claims = self._claims()
        things = self._things(claims)
        ids = {thing.id for thing in things}
        weighed = [claim for claim in claims.values() if self._stands(claim, ids, phases)]
        weighed += _seen_claims(weighed, self.sources, claims_when(self.state, weighed))
        self._add_copied()
        used = self._used_sources(weighed)
        case = Case(phases, things, used, tuple(weighed), self.present)
        return CaseReading(case, self.set_aside, phases == USUAL_PHASES)

    # ---------------------------------------------------------------- phases and things

    def _phases(self) -> tuple[CasePhase, ...]:
        found = self.state.about(self.object_key, Phase)
        if not found:
            return USUAL_PHASES
        ordered = sorted(found, key=lambda pair: (pair[1].order, pair[0]))
        return tuple(
            CasePhase(key, one.label(), one.span, _years(one.begins), _years(one.ends))
            for key, one in ordered
        )

    def _treated(self) -> frozenset[str]:
        """Elements that a record of the present treatment names."""
        phases = {key for key, one in self.state.about(self.object_key, Phase)
                  if one.span is Span.TREATMENT}  # fmt: skip
        happenings = (one for _, one in self.state.about(self.object_key, Happening))
        return frozenset(
            key for one in happenings if one.phase in phases for key in one.elements
        )

    def _things(self, claims: Mapping[str, CaseClaim]) -> tuple[Thing, ...]:
        known = {key: one for key, one in self.elements.items() if one.sort in KINDS}
        for key, element in self.elements.items():
            if key not in known:
                self.set_aside[key] = f"{element.sort}: it has no phase of its own"
        things = [self._thing(key, element, known) for key, element in known.items()]
        named = {claim.subject for claim in claims.values()}
        named |= {claim.other for claim in claims.values() if claim.other is not None}
        things += [
            Thing(key, ThingKind.HAPPENING)
            for key, _ in self.state.about(self.object_key, Happening)
            if key in named
        ]
        return tuple(things)

    def _thing(self, key: str, element: Element, known: Mapping[str, Element]) -> Thing:
        kind = KINDS[element.sort]
        near = (*element.touches, *((element.part_of,) if element.part_of else ()))
        touches = tuple(one for one in dict.fromkeys(near) if one in known and one != key)
        held = tuple(one for one in dict.fromkeys(element.held_by) if one in known)
        if not kind.has_making:
            touches, held = tuple(dict.fromkeys((*touches, *held))), ()
        core = bool(element.core) and kind.has_making
        return Thing(key, kind, core, held, touches, treated=key in self.treated)

    # ---------------------------------------------------------------- claims

    def _claims(self) -> dict[str, CaseClaim]:
        """Every claim about the object's elements and happenings that can be read."""
        found: dict[str, CaseClaim] = {}
        happenings = [key for key, _ in self.state.about(self.object_key, Happening)]
        for thing in (*self.elements, *happenings):
            for key, claim in self.state.about(thing, Claim):
                if claim.about != thing or key in found:
                    continue
                try:
                    found[key] = self._claim(key, claim)
                except BadValue as problem:
                    self.set_aside[key] = str(problem)
        return dict(sorted(found.items()))

    def _claim(self, key: str, claim: Claim) -> CaseClaim:
        scale_named(claim.scale).position(claim.strength)
        derived = claim.derived_from
        from_claim = derived if derived and self._is(derived, Claim) else None
        return CaseClaim(
            key,
            self._speaker(claim),
            claim.relation,
            claim.about,
            claim.other,
            claim.phase,
            _years_of(claim),
            str(claim.strength),
            claim.scale,
            claim.stance is Stance.AGAINST,
            claim.act,
            from_claim,
            _limit(claim.material),
        )

    def _speaker(self, claim: Claim) -> str:
        """Source of a claim, added to the case: as named, or the role that made it."""
        if claim.source is not None and self._is(claim.source, Source):
            self._add_source(claim.source)
            name = claim.source
        else:
            name = f"role {claim.by}" if claim.by else "nobody named"
            kind = SourceKind.EXAMINATION if claim.by else SourceKind.OTHER
            self.sources.setdefault(name, CaseSource(name, kind))
        copied = claim.derived_from
        if copied is None or copied == name or not self._is(copied, Source):
            return name
        self._add_source(copied)
        after = f"{name} after {copied}"
        base = self.sources[name]
        self.sources.setdefault(after, replace(base, id=after, copies=(copied,)))
        return after

    def _add_source(self, key: str) -> None:
        source = self.state.record(key, Source)
        reliability = source.reliability
        if source.hand is Hand.SECOND and reliability is None:
            reliability = LESS_SOUND[USUAL_RELIABILITY[source.sort]]
        copies = tuple(one for one in source.copies if self._is(one, Source) and one != key)
        self.sources[key] = CaseSource(key, source.sort, reliability, copies=copies)

    def _add_copied(self) -> None:
        """Sources that are copied but say nothing here themselves."""
        waiting = list(self.sources)
        while waiting:
            for copied in self.sources[waiting.pop()].copies:
                if copied not in self.sources:
                    self._add_source(copied)
                    waiting.append(copied)

    def _used_sources(self, claims: Iterable[CaseClaim]) -> tuple[CaseSource, ...]:
        wanted: set[str] = set()
        waiting = [claim.source for claim in claims]
        while waiting:
            one = waiting.pop()
            if one not in wanted:
                wanted.add(one)
                waiting += self.sources[one].copies
        return tuple(self.sources[key] for key in sorted(wanted))

    def _stands(
        self, claim: CaseClaim, things: set[str], phases: tuple[CasePhase, ...]
    ) -> bool:
        """Whether everything that a claim names is in the case; else it is set aside."""
        others = {claim.subject, claim.other} - {None}
        reason = ""
        if not others <= things:
            reason = "it names something that is no element of this object"
        elif claim.phase is not None and claim.phase not in {one.id for one in phases}:
            reason = "it names a phase of another object"
        elif claim.other is None and claim.relation in _JOINS:
            reason = f"{claim.relation!s} joins two things, and the other is not recorded"
        elif claim.relation in _MOVES and not self._is_made(claim.subject):
            reason = f"only a part or a fixing can be {claim.relation!s} anything"
        if reason:
            self.set_aside[claim.id] = reason
        return not reason

    def _is_made(self, thing: str) -> bool:
        element = self.elements.get(thing)
        return element is not None and KINDS[element.sort].has_making

    def _is(self, key: str, kind: type[Claim] | type[Source]) -> bool:
        return key in self.state and isinstance(self.state.held(key).record, kind)


_MOVES = frozenset({Relation.REUSED_FROM, Relation.MOVED_FROM})
_JOINS = (
    frozenset(one for one in Relation if speaks_of_time(one))
    - TAKES_DATE
    - TAKES_PHASE
    - STANDS_ALONE
    - _MOVES
)
"""Relations that say something of time only with another thing named."""


def claims_when(state: State, claims: Iterable[CaseClaim]) -> dict[str, Years]:
    """When what a claim reports was looked at: its own date, else that of its source."""
    found: dict[str, Years] = {}
    for claim in claims:
        record = state.record(claim.id, Claim)
        when = record.when
        if when is None and record.source is not None and record.source in state:
            source = state.held(record.source).record
            when = source.dated if isinstance(source, Source) else None
        found[claim.id] = _years(when)
    return found


def _seen_claims(
    claims: Iterable[CaseClaim],
    sources: Mapping[str, CaseSource],
    when: Mapping[str, Years],
) -> list[CaseClaim]:
    """One claim "seen by then" per thing and direct source, at its earliest look."""
    best: dict[tuple[str, str], tuple[float, CaseClaim]] = {}
    for claim in claims:
        source, latest = sources[claim.source], when[claim.id][1]
        direct = source.kind in DIRECT and not source.copies
        if latest is None or not direct or claim.relation not in SEEN_IN_LOOKING:
            continue
        for thing in (claim.subject, claim.other):
            known = best.get((claim.source, thing or ""))
            if thing is not None and (known is None or latest < known[0]):
                best[claim.source, thing] = (latest, claim)
    return [
        CaseClaim(
            f"{claim.id} {thing}{DERIVED}",
            source,
            Relation.SEEN_BY,
            thing,
            years=(latest, latest),
            strength="decisive",
            act=claim.act,
        )
        for (source, thing), (latest, claim) in sorted(best.items())
    ]


def _years(date: Edtf | None) -> Years:
    """Bounds of a date as decimal years, loosened by what is only approximate."""
    if date is None:
        return (None, None)
    low = None if date.earliest is None else date.earliest - date.start_slack
    high = None if date.latest is None else date.latest + date.end_slack
    return (_decimal(low), _decimal(None if high is None else high + 1))


def _decimal(day: int | None) -> float | None:
    return None if day is None else 1970 + day / 365.2425


def _years_of(claim: Claim) -> Years:
    """Date that a claim names; only where its relation takes one."""
    takes_date = claim.relation in TAKES_DATE
    return _years(Edtf.parse(claim.value)) if takes_date and claim.value else (None, None)


def _limit(material: str | None) -> float | None:
    """Largest ratio that a first use may count for: its row knows of exceptions."""
    row = row_for(material) if material else None
    return None if row is None else 1 / row.delta
