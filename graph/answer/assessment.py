"""Is this original, and why: a verdict for every element, its reasons and its rival."""

from collections.abc import Callable
from typing import ClassVar

from ..reasoning import (
    Assessment,
    CaseReading,
    Explanation,
    Params,
    SamplingRules,
    Verdict,
    assess,
    case_of,
    disagreements,
    explain,
    verdicts,
)
from ..record import Claim, Element, Source
from ..state import State
from .answer import NOT_RECORDED, Answer, Plain, Said, Thing, as_known, said, thing
from .caution import warnings
from .element_history import with_history
from .inference import PARTLY_TOLD, Sampling, cost_in_words, method_of, sampling_of

NO_DECISION = (
    "An assessment is a computation from what is recorded; the decision is a person's. "
    "Vestige records and reasons; it does not recommend a treatment."
)


class VerdictOf(Plain):
    """The verdict on one element.

    Attributes:
        word: verdict word; "unexamined" where no claim touches it.
        grade: established, probable, possible or open.
        text: the verdict as a sentence would say it.
        phases: short names of the phases named.
        rival: strongest account that excludes it, in words; empty where none.
        hangs_on: what would bring it down within the sensitivity band.
        probability, lowest: share of the word's states as given, and at its worst in the
            band; for those who ask for numbers.
        error: standard error of *probability*; 0 where the answer is exact.
        status: physical status as recorded.
        sort: kind of element.
    """

    thing: Thing
    sort: str
    material: str | None
    status: str
    word: str
    grade: str
    text: str
    phases: tuple[str, ...]
    rival: str
    hangs_on: tuple[str, ...]
    probability: float
    lowest: float
    by_definition: bool
    error: float = 0.0


class Heard(Plain):
    """How far a source is heard: its soundness before and after all claims are weighed."""

    source: Thing
    before: float
    after: float


class Clash(Plain):
    """Claims that are improbable together; kept and shown, never resolved.

    Attributes:
        explained_by: source whose unsoundness would explain it; None where none would.
    """

    text: str
    claims: tuple[Said, ...]
    explained_by: Thing | None


class AssessmentOf(Answer):
    """Answer to `vestige assess OBJECT`.

    Attributes:
        phases: short name and name of every phase, in order.
        verdicts: one per element, in the order in which they were recorded.
        clashes: claims improbable together.
        set_aside: what could not be read, with the reason.
        warnings: what weakens the whole, e.g. that no core element is named.
        scale: id of the strength scale.
        method: "exact", or "sampled" with its error, in words.
        sampling: the error of a sampled answer, and what it rests on; null where exact.
    """

    FORM: ClassVar[str] = "vestige.assess/1"
    about: Thing
    phases: tuple[tuple[str, str], ...]
    verdicts: tuple[VerdictOf, ...]
    clashes: tuple[Clash, ...]
    sources: tuple[Heard, ...]
    set_aside: tuple[str, ...]
    warnings: tuple[str, ...]
    method: str
    sampling: Sampling | None = None
    note: str = NO_DECISION


class Weighed(Plain):
    """A claim with what it does to the verdict: log10 of the factor on its odds.

    Attributes:
        error: standard error of *weight*; 0 where the answer is exact.
    """

    claim: Said
    weight: float
    error: float = 0.0


class WhyOf(Answer):
    """Answer to `vestige why ELEMENT`.

    Attributes:
        account: what is explained: the verdict, or of an open one the likeliest account.
        carried_by: the fewest claims that carry it alone.
        speaks_for, speaks_against: claims by falling weight.
        rival_claims: claims that speak for the rival.
        settling: examinations that could settle it: name, what it costs the object, bits.
        falls_if: claim number and the word at which the grade is lost.
        method: "exact", or "sampled" with its error, in words.
        untold: claims about it whose weight a sampled answer cannot tell.
    """

    FORM: ClassVar[str] = "vestige.why/1"
    about: Thing
    object: Thing
    verdict: VerdictOf
    account: str
    carried_by: tuple[Said, ...]
    speaks_for: tuple[Weighed, ...]
    speaks_against: tuple[Weighed, ...]
    rival_claims: tuple[Weighed, ...]
    settling: tuple[tuple[str, str, float], ...]
    falls_if: tuple[tuple[str, str], ...]
    sources: tuple[Heard, ...]
    method: str = "exact"
    untold: tuple[Said, ...] = ()
    note: str = NO_DECISION


def assess_of(
    state: State,
    key: str,
    present: float | None = None,
    params: Params | None = None,
    rules: SamplingRules | None = None,
    beforehand: Callable[[str], None] | None = None,
) -> AssessmentOf:
    """Assess one object: a verdict for every element that can bear one.

    Args:
        state: what is recorded around it.
        key: the object.
        present: the year of the present, as a decimal; now if None.
        params: the premises.
        rules: when sampling stops, where the case is too wide for an exact answer.
        beforehand: told in words what sampling will cost, before it begins.

    Raises:
        Refused: too wide for an exact answer, and sampling did not settle.
    """
    reading = case_of(state, key, present)
    assessment = _assessed(reading, params, rules, beforehand)
    found = verdicts(assessment)
    return AssessmentOf(
        form=AssessmentOf.FORM,
        as_known=as_known(state),
        cautions=warnings(state, key),
        about=thing(state, key),
        phases=tuple(
            (_short(state, phase.id), phase.name) for phase in reading.case.phases
        ),
        verdicts=tuple(
            _verdict(state, one)
            for one in found
            if one.thing in state and isinstance(state.held(one.thing).record, Element)
        ),
        clashes=tuple(
            Clash(
                text=_named(state, one.text),
                claims=_claims(state, reading, one.claims),
                explained_by=_source(state, one.source) if one.source else None,
            )
            for one in disagreements(assessment)
        ),
        sources=_heard(state, [(v.id, v.before, v.after) for v in assessment.sources]),
        set_aside=tuple(
            f"{state.label(one)}: {why}" for one, why in reading.set_aside.items()
        ),
        warnings=_weaknesses(reading, assessment),
        method=method_of(assessment),
        sampling=sampling_of(assessment),
    )


def why_of(
    state: State,
    key: str,
    present: float | None = None,
    params: Params | None = None,
    rules: SamplingRules | None = None,
    beforehand: Callable[[str], None] | None = None,
) -> WhyOf:
    """Explain the verdict on one element; the arguments are those of `assess_of`.

    Raises:
        NotRecorded: where the key is no element.
        Refused: too wide for an exact answer, and sampling did not settle.
    """
    element = state.record(key, Element)
    reading = case_of(state, element.object, present)
    assessment = _assessed(reading, params, rules, beforehand)
    verdict = next(one for one in verdicts(assessment) if one.thing == key)
    why = explain(assessment, verdict)
    return WhyOf(
        form=WhyOf.FORM,
        as_known=as_known(state),
        cautions=warnings(state, key),
        about=thing(state, key),
        object=thing(state, element.object),
        verdict=_verdict(state, verdict),
        account=_named(state, why.account),
        carried_by=_claims(state, reading, why.sufficient),
        speaks_for=_weighed(state, reading, why, "speaks_for"),
        speaks_against=_weighed(state, reading, why, "speaks_against"),
        rival_claims=_weighed(state, reading, why, "rival_claims"),
        settling=tuple((one.name, str(one.touch), one.bits) for one in why.settling),
        falls_if=tuple(
            (state.number(reading.claim_key(one.claim)), one.word)
            for one in why.breaking
            if one.word
        ),
        sources=_heard(state, list(why.sources)),
        method=method_of(assessment) + ("" if why.exact else PARTLY_TOLD),
        untold=_claims(state, reading, why.untold),
    )


def _assessed(
    reading: CaseReading,
    params: Params | None,
    rules: SamplingRules | None,
    beforehand: Callable[[str], None] | None,
) -> Assessment:
    """The case assessed; what sampling costs is told in words before it is paid."""
    tell = beforehand or (lambda words: None)
    return assess(
        reading.case, params, rules, lambda cost: tell(cost_in_words(cost, reading))
    )


def _verdict(state: State, one: Verdict) -> VerdictOf:
    element = state.record(one.thing, Element)
    return VerdictOf(
        thing=thing(state, one.thing),
        sort=str(element.sort),
        material=element.material,
        status=str(element.status) if element.status else NOT_RECORDED,
        word=str(one.word),
        grade=str(one.grade),
        text=with_history(state, one.thing, one.word, _named(state, one.text)),
        phases=tuple(_short(state, phase) for phase in one.phases),
        rival=_named(state, one.rival),
        hangs_on=tuple(_named(state, words) for words in one.hangs_on),
        probability=one.probability,
        lowest=one.lowest,
        by_definition=one.by_definition,
        error=one.error,
    )


def _weighed(
    state: State, reading: CaseReading, why: Explanation, which: str
) -> tuple[Weighed, ...]:
    """Claims of one side, each record once: what follows from a look counts with it.

    Of a record that is read in two ways the weightier reading is shown.
    """
    found: dict[str, Weighed] = {}
    for one in sorted(getattr(why, which), key=lambda claim: -abs(claim.weight)):
        key = reading.claim_key(one.claim)
        if key in state and isinstance(state.held(key).record, Claim):
            weighed = Weighed(claim=said(state, key), weight=one.weight, error=one.error)
            found.setdefault(key, weighed)
    return tuple(found.values())


def _claims(state: State, reading: CaseReading, ids: tuple[str, ...]) -> tuple[Said, ...]:
    keys = dict.fromkeys(reading.claim_key(one) for one in ids)
    return tuple(
        said(state, key)
        for key in keys
        if key in state and isinstance(state.held(key).record, Claim)
    )


def _heard(state: State, views: list[tuple[str, float, float]]) -> tuple[Heard, ...]:
    return tuple(
        Heard(source=_source(state, id_), before=before, after=after)
        for id_, before, after in views
    )


def _source(state: State, id_: str) -> Thing:
    """A source, or the role that spoke without one."""
    if id_ in state and isinstance(state.held(id_).record, Source):
        return thing(state, id_)
    return Thing(key=id_, number=id_, label=id_, kind="role")


def _named(state: State, text: str) -> str:
    """Text in which ids of records are replaced by what people call them."""
    words = []
    for word in text.split(" "):
        bare = word.strip("(),.;:'\"")
        words.append(word.replace(bare, state.number(bare)) if bare in state else word)
    return " ".join(words)


def _short(state: State, phase: str) -> str:
    return state.number(phase).rsplit("/", 1)[-1] if phase in state else phase


def _weaknesses(reading: CaseReading, assessment: Assessment) -> tuple[str, ...]:
    found = []
    if not assessment.exact:
        found.append(
            "the answer is sampled, so it was not looked for claims that do not go together"
        )
    if not reading.core_named:
        found.append(
            "no element is named as the core, so nothing ties the phases to the object: "
            "write 'yes' under 'core' for the element that is the object itself"
        )
    if reading.usual_phases:
        found.append("no phases are recorded; the five usual ones are used, undated")
    return tuple(found)
