"""Everything that the examination and treatment report of one object says.

The report computes nothing of its own: it brings together the answers that the commands
give (verdicts, order, whereabouts, cautions) and the records of the object, so that the
paper can say no more than the archive does.
"""

import datetime
from collections.abc import Iterator
from typing import ClassVar, TypeVar

from ..record import (
    Batch,
    Claim,
    Decision,
    Edtf,
    Element,
    Happening,
    KeptPart,
    Material,
    MuseumObject,
    Phase,
    Question,
    Record,
    Relation,
    Result,
    Sample,
    Source,
    Status,
    Strength,
)
from ..state import State
from .answer import Answer, Said, Thing, as_known, first_sources, said, thing
from .assessment import AssessmentOf, VerdictOf, assess_of
from .belonging import belonging
from .caution import warnings
from .contradiction import contradictions
from .report_parts import (
    Contradiction,
    DecisionIn,
    ElementIn,
    Facts,
    HappeningIn,
    PhaseIn,
    QuestionIn,
    ResultIn,
    SampleIn,
    SourceIn,
    TakenIn,
    UsedIn,
)
from .sequence import SequenceAnswer, sequence_of
from .whereabouts import located_of

R = TypeVar("R", bound=Record)

MOST_OBSERVATIONS = 3
"""How many observations of an element the report quotes; the archive has the others."""

OFF_THE_OBJECT = (Status.KEPT, Status.UNDOCUMENTED, Status.UNKNOWN_PLACE)


class ReportOf(Answer):
    """Answer to `vestige report OBJECT`: the content of the paper.

    Attributes:
        head: the record state that it was made from, as the foot of every page names it.
        made: day on which it was made, ISO.
        original, later, undecided, unexamined: elements by what their verdicts say; each
            element that bears a verdict is in one of the four.
        taken: what was taken off, and elements that are off the object without a record
            of what became of them.
    """

    FORM: ClassVar[str] = "vestige.report/1"
    about: Thing
    head: str
    made: str
    facts: Facts
    assessment: AssessmentOf
    sequence: SequenceAnswer
    original: tuple[Thing, ...]
    later: tuple[Thing, ...]
    undecided: tuple[Thing, ...]
    unexamined: tuple[Thing, ...]
    phases: tuple[PhaseIn, ...]
    elements: tuple[ElementIn, ...]
    happenings: tuple[HappeningIn, ...]
    taken: tuple[TakenIn, ...]
    samples: tuple[SampleIn, ...]
    results: tuple[ResultIn, ...]
    decisions: tuple[DecisionIn, ...]
    questions: tuple[QuestionIn, ...]
    contradictions: tuple[Contradiction, ...]
    sources: tuple[SourceIn, ...]


def report_of(
    state: State, key: str, head: str, made: datetime.date | None = None
) -> ReportOf:
    """Bring together the report of one object.

    Args:
        state: the state around the object, as its reader may see it.
        key: the object's key.
        head: the record state in words, e.g. the ledger's last number and seal.
        made: day of making; None for today.

    Raises:
        NotRecorded: where the key is no object.
    """
    own = state.record(key, MuseumObject)
    belongs = belonging(state, key)
    assessment = assess_of(state, key)
    order = sequence_of(state, key)
    sorts = {word: _of_sort(assessment.verdicts, word) for word in ("original", "later")}
    open_ones = [one for one in assessment.verdicts if one.word.startswith("open")]
    silent = [one for one in assessment.verdicts if one.word == "unexamined"]
    return ReportOf(
        form=ReportOf.FORM,
        as_known=as_known(state),
        cautions=warnings(state, key),
        about=thing(state, key),
        head=head,
        made=(made or datetime.datetime.now(datetime.UTC).date()).isoformat(),
        facts=_facts(state, own),
        assessment=assessment,
        sequence=order,
        original=sorts["original"],
        later=sorts["later"],
        undecided=tuple(one.thing for one in open_ones),
        unexamined=tuple(one.thing for one in silent),
        phases=_phases(state, belongs),
        elements=_elements(state, belongs, assessment),
        happenings=_happenings(state, belongs),
        taken=_taken(state, belongs),
        samples=_samples(state, belongs),
        results=_results(state, belongs),
        decisions=_decisions(state, belongs),
        questions=_questions(state, belongs),
        contradictions=contradictions(state, assessment, order),
        sources=_sources(state, belongs),
    )


def _of_sort(verdicts: tuple[VerdictOf, ...], sort: str) -> tuple[Thing, ...]:
    """Elements whose verdict is original, or is later than the making."""
    starts = {
        "original": ("original", "older material"),
        "later": ("added", "old material", "later"),
    }[sort]
    return tuple(one.thing for one in verdicts if one.word.startswith(starts))


def _facts(state: State, own: MuseumObject) -> Facts:
    return Facts(
        number=own.number,
        name=own.name,
        other_numbers=own.other_numbers,
        made=words(own.made),
        where=own.where,
        owner=own.owner,
        held_by=own.held_by,
        source=_named(state, own.source),
        note=own.note,
    )


def _phases(state: State, belongs: frozenset[str]) -> tuple[PhaseIn, ...]:
    found = [one for _, one in _all(state, belongs, Phase)]
    return tuple(
        PhaseIn(
            short=one.short_name(),
            name=one.name,
            span=str(one.span),
            begins=words(one.begins),
            ends=words(one.ends),
            source=_named(state, one.source),
        )
        for one in sorted(found, key=lambda one: one.order)
    )


def _elements(
    state: State, belongs: frozenset[str], assessment: AssessmentOf
) -> tuple[ElementIn, ...]:
    verdicts = {one.thing.key: one for one in assessment.verdicts}
    return tuple(
        ElementIn(
            thing=thing(state, key),
            name=one.name,
            sort=str(one.sort),
            material=one.material,
            where=one.where,
            status=str(one.status) if one.status else None,
            judgement=str(one.judgement) if one.judgement else None,
            looked_for_by=one.looked_for_by,
            verdict=verdicts.get(key),
            observations=_observations(state, key),
        )
        for key, one in _all(state, belongs, Element)
    )


def _observations(state: State, key: str) -> tuple[Said, ...]:
    """The strongest claims about an element; what only names it comes after them."""
    ranks = {word: rank for rank, word in enumerate(Strength)}
    found = [
        (ranks[claim.strength], claim.about != key, claim.number, one)
        for word in ("about", "names")
        for one, claim in state.about(key, Claim, word)
        if claim.relation is not Relation.NOTED
    ]
    unique = dict.fromkeys(one for *_, one in sorted(found))
    return tuple(said(state, one) for one in list(unique)[:MOST_OBSERVATIONS])


def _happenings(state: State, belongs: frozenset[str]) -> tuple[HappeningIn, ...]:
    found = []
    for key, one in _all(state, belongs, Happening):
        first = one.when.earliest if one.when else None
        found.append((first is None, first or 0, _happening(state, key, one)))
    return tuple(one for *_, one in sorted(found, key=lambda row: row[:2]))


def _happening(state: State, key: str, one: Happening) -> HappeningIn:
    return HappeningIn(
        thing=thing(state, key),
        sort=str(one.sort),
        when=words(one.when),
        by=one.by,
        phase=state.label(one.phase) if one.phase else None,
        elements=tuple(thing(state, key) for key in one.elements),
        used=tuple(_used(state, key) for key in one.used),
        technique=one.technique,
        why=one.why,
        source=_named(state, one.source),
        note=one.note,
    )


def _used(state: State, key: str) -> UsedIn:
    record = state.held(key).record
    batch = record if isinstance(record, Batch) else None
    material = state.record(batch.material, Material) if batch else record
    if not isinstance(material, Material):
        return UsedIn(thing=thing(state, key))
    return UsedIn(
        thing=thing(state, key),
        material=material.name,
        material_class=material.material_class,
        trade_name=material.supplier_name,
        mixed_as=batch.mixed_as if batch else None,
    )


def _taken(state: State, belongs: frozenset[str]) -> tuple[TakenIn, ...]:
    parts = list(_all(state, belongs, KeptPart))
    told = {one.element for _, one in parts}
    kept = [
        TakenIn(
            located=located_of(state, key),
            how_many=one.how_many,
            removed_when=words(one.removed_when),
            removed_by=one.removed_by,
            reason=one.reason,
            consent=one.consent,
            original_position=one.original_position,
            review=words(one.review),
            note=one.note,
            recorded=True,
        )
        for key, one in parts
    ]
    untold = [
        TakenIn(located=located_of(state, key), recorded=False, note=one.note)
        for key, one in _all(state, belongs, Element)
        if one.status in OFF_THE_OBJECT and key not in told
    ]
    return (*kept, *untold)


def _samples(state: State, belongs: frozenset[str]) -> tuple[SampleIn, ...]:
    return tuple(
        SampleIn(
            located=located_of(state, key),
            name=one.name,
            drawn_from=thing(state, one.made_from or one.element),
            spot=one.spot,
            question=one.question,
            permission=one.permission,
            taken_when=words(one.taken_when),
            taken_by=one.taken_by,
            state=str(one.state) if one.state else None,
            left=one.left,
        )
        for key, one in _all(state, belongs, Sample)
    )


def _results(state: State, belongs: frozenset[str]) -> tuple[ResultIn, ...]:
    return tuple(
        ResultIn(
            number=one.number,
            of=thing(state, one.of),
            method=one.method,
            found=one.found,
            by=one.by,
            when=words(one.when),
            used_up=one.used_up,
            source=_named(state, one.source),
        )
        for _, one in _all(state, belongs, Result)
    )


def _decisions(state: State, belongs: frozenset[str]) -> tuple[DecisionIn, ...]:
    found = [one for _, one in _all(state, belongs, Decision)]
    return tuple(
        DecisionIn(
            number=one.number,
            about=tuple(thing(state, key) for key in one.about),
            choice=str(one.choice),
            reason=one.reason,
            consulted=one.consulted,
            by=one.by,
            when=one.when.in_words(),
            assessment_said=one.assessment_said,
        )
        for one in sorted(found, key=lambda one: (one.when.earliest or 0, one.number))
    )


def _questions(state: State, belongs: frozenset[str]) -> tuple[QuestionIn, ...]:
    return tuple(
        QuestionIn(
            number=one.number,
            about=tuple(thing(state, key) for key in one.about),
            asked=one.asked,
            would_settle=one.would_settle,
        )
        for _, one in _all(state, belongs, Question)
        if not one.answered
    )


def _sources(state: State, belongs: frozenset[str]) -> tuple[SourceIn, ...]:
    named = {
        link.dst
        for key in belongs
        for link, _ in state.said(key, "according to")
        if link.dst in state
    }
    copied = {one for key in named for one in first_sources(state, key)}
    return tuple(
        SourceIn(
            thing=thing(state, key),
            name=one.name,
            sort=str(one.sort),
            dated=words(one.dated),
            by=one.by,
            hand=str(one.hand) if one.hand else None,
            copies=tuple(thing(state, copy) for copy in one.copies),
            kept_at=one.kept_at,
            access=one.access,
        )
        for key, one in _all(state, frozenset(named | copied), Source)
    )


def _all(state: State, belongs: frozenset[str], kind: type[R]) -> Iterator[tuple[str, R]]:
    return ((key, one) for key, one in state.all_of(kind) if key in belongs)


def _named(state: State, key: str | None) -> Thing | None:
    return thing(state, key) if key else None


def words(date: Edtf | None) -> str | None:
    """A date in plain English; None where none is recorded."""
    return date.in_words() if date else None
