"""Why a verdict is what it is, in claims: nothing here is more than the claims say.

For one thing: what speaks for the verdict and against it, each claim with its weight;
the shortest set of claims that would carry the verdict alone; the strongest rival
account and what speaks for it; how weak a claim may become before the verdict falls;
and which examination would tell most.

The weight of a claim is log10 of how many times it raises the odds of the verdict, given
every other claim: its leave-one-out. Weights of claims that say the same do not add up,
for each of them is measured beside the others.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import combinations

import numpy as np
import numpy.typing as npt

from .account import Account, Grade, VerdictWord, accounts, grade_of, least_of
from .assessment import Assessment, beliefs_under
from .assessment_model import Supposition
from .examination import STANDARD_EXAMINATIONS, Examination
from .inquiry import ClaimWeight, Inquiry, Settling
from .sampled_inquiry import SampledInquiry
from .strength import weaker
from .verdict import CERTAIN, Verdict

__all__ = ["Breaking", "ClaimWeight", "Explanation", "Settling", "explain"]

Cells = npt.NDArray[np.float64]
SEARCHED = 8
"""Claims among which the shortest sufficient set is searched exhaustively."""
SLIGHT = 0.02
"""Weights nearer to 0 than this, a thirtieth of a weak word, are left out of the lists."""


@dataclass(frozen=True, slots=True)
class Breaking:
    """How weak one claim must become before the verdict falls.

    Attributes:
        claim: id of the claim.
        word: the strongest word at which its grade is lost; empty where the verdict
            keeps its grade even without the claim.
    """

    claim: str
    word: str


@dataclass(frozen=True, slots=True)
class Explanation:
    """The reasons of one verdict.

    Attributes:
        thing: id of the thing.
        account: what is explained, in words: the verdict, or of an open one the account
            that is likeliest.
        speaks_for, speaks_against: claims by falling weight.
        sufficient: ids of the fewest claims that carry the verdict alone; empty where
            it needs none, or where no set was found.
        shortest: whether no shorter set exists; False where only a good one was sought.
        rival: the strongest account that excludes this one, in words.
        rival_probability: its probability.
        rival_claims: claims that speak for the rival, by falling weight.
        breaking: of the weightiest claims, how weak each may become.
        settling: what would settle it, non-touching examinations first, by gain.
        sources: how far each source that speaks of the thing is heard: id, before, after.
        exact: whether the assessment is; where it is sampled no shortest set is sought,
            weights have an error, and those that cannot be told from nothing are left out.
        untold: ids of claims about it whose weight the draws do not tell.
    """

    thing: str
    account: str
    speaks_for: tuple[ClaimWeight, ...] = ()
    speaks_against: tuple[ClaimWeight, ...] = ()
    sufficient: tuple[str, ...] = ()
    shortest: bool = False
    rival: str = ""
    rival_probability: float = 0.0
    rival_claims: tuple[ClaimWeight, ...] = ()
    breaking: tuple[Breaking, ...] = ()
    settling: tuple[Settling, ...] = ()
    sources: tuple[tuple[str, float, float], ...] = ()
    exact: bool = True
    untold: tuple[str, ...] = ()


def explain(
    assessment: Assessment,
    verdict: Verdict,
    examinations: Sequence[Examination] = STANDARD_EXAMINATIONS,
) -> Explanation:
    """Explain a verdict of this assessment.

    Args:
        assessment: the assessment.
        verdict: one of its verdicts.
        examinations: what could still be done.

    Raises:
        Refused: the assessment is sampled, and what is tied to the thing is too much to
            be looked at together.

    Returns:
        The reasons. Of a thing that is unexamined, or original by definition, only what
        would settle it, or nothing.
    """
    model = assessment.model
    if verdict.by_definition:
        return Explanation(verdict.thing, verdict.text)
    exact = assessment.exact
    inquiry: Inquiry | SampledInquiry = (
        Inquiry(assessment, verdict.thing)
        if exact
        else SampledInquiry(assessment, verdict.thing)
    )
    settling = inquiry.settling(examinations)
    if verdict.word is VerdictWord.UNEXAMINED:
        return Explanation(verdict.thing, verdict.text, settling=settling, exact=exact)
    chosen = _account_of(verdict, assessment)
    rival = _rival_of(chosen, assessment, verdict.thing)
    kind = model.case.thing(verdict.thing).kind
    weights = inquiry.weights(chosen.states)
    speaks_for = tuple(one for one in weights if one.weight > SLIGHT)
    sufficient, shortest = (
        _sufficient(assessment, verdict.thing, chosen, speaks_for) if exact else ((), False)
    )
    rival_weights = inquiry.weights(rival.states) if rival else []
    return Explanation(
        verdict.thing,
        chosen.text(model.case, kind) if verdict.between else verdict.text,
        speaks_for,
        tuple(one for one in reversed(weights) if one.weight < -SLIGHT),
        sufficient,
        shortest,
        rival.text(model.case, kind) if rival else "",
        float(rival.weight(assessment.beliefs[verdict.thing])) if rival else 0.0,
        tuple(one for one in rival_weights if one.weight > SLIGHT),
        _breaking(assessment, inquiry, chosen, speaks_for[:3]),
        settling,
        _sources(assessment, weights),
        exact,
        inquiry.untold if isinstance(inquiry, SampledInquiry) else (),
    )


# ------------------------------------------------------------------ accounts


def _account_of(verdict: Verdict, assessment: Assessment) -> Account:
    """The account that a verdict gives; of an open one, the likeliest single account."""
    every = accounts(assessment.case)
    word = VerdictWord.LATER if verdict.word is VerdictWord.UNTOLD else verdict.word
    for account in every:
        same_phase = word is VerdictWord.LATER or account.phases == verdict.phases
        if account.word is word and same_phase:
            return account
    belief = assessment.beliefs[verdict.thing]
    single = [account for account in every if account.breadth == 1]
    return max(single, key=lambda account: float(account.weight(belief)))


def _rival_of(chosen: Account, assessment: Assessment, thing: str) -> Account | None:
    belief = assessment.beliefs[thing]
    apart = [
        account
        for account in accounts(assessment.case)
        if account.breadth == 1 and not (account.states & chosen.states).any()
    ]
    return max(apart, key=lambda account: float(account.weight(belief)), default=None)


# ------------------------------------------------------------------ sources


def _sources(
    assessment: Assessment, weights: Sequence[ClaimWeight]
) -> tuple[tuple[str, float, float], ...]:
    speaking = {one.source for one in weights if abs(one.weight) > SLIGHT}
    return tuple(
        (view.id, view.before, view.after)
        for view in assessment.sources
        if view.id in speaking
    )


# ------------------------------------------------------------------ what would suffice


def _sufficient(
    assessment: Assessment, thing: str, chosen: Account, speaks: Sequence[ClaimWeight]
) -> tuple[tuple[str, ...], bool]:
    """The fewest claims that carry the account, and whether fewer are excluded.

    All sets of up to three of the weightiest claims are tried; failing these, claims are
    added by weight until the account is carried, and those not needed taken out again.
    """
    grade = grade_of(float(chosen.weight(assessment.beliefs[thing])))
    if grade is Grade.OPEN:
        return (), False
    least = least_of(grade)
    ranked = [one.claim for one in speaks]
    pool = ranked[:SEARCHED]
    for size in range(min(len(pool), 3) + 1):
        sets = [tuple(one) for one in combinations(pool, size)]
        shares = _carried(assessment, thing, chosen, sets)
        if shares.max() >= least:
            return sets[int(shares.argmax())], len(ranked) <= SEARCHED or size <= 1
    return _grown(assessment, thing, chosen, ranked), False


def _grown(
    assessment: Assessment, thing: str, chosen: Account, ranked: Sequence[str]
) -> tuple[str, ...]:
    least = least_of(grade_of(float(chosen.weight(assessment.beliefs[thing]))))
    sets = [tuple(ranked[:size]) for size in range(4, len(ranked) + 1)]
    if not sets:
        return ()
    shares = _carried(assessment, thing, chosen, sets)
    enough = np.flatnonzero(shares >= least)
    if not len(enough):
        return ()
    kept = list(sets[int(enough[0])])
    for claim in reversed(kept[:-1]):
        fewer = tuple(one for one in kept if one != claim)
        if _carried(assessment, thing, chosen, [fewer])[0] >= least:
            kept = list(fewer)
    return tuple(kept)


def _carried(
    assessment: Assessment, thing: str, chosen: Account, sets: Sequence[tuple[str, ...]]
) -> Cells:
    """Probability of an account if only these claims were made, for each set."""
    every = frozenset(claim.id for claim in assessment.model.heard.counted)
    alone = [
        Supposition("only " + ", ".join(one), without=every - frozenset(one))
        for one in sets
    ]
    return chosen.weight(beliefs_under(assessment.model, assessment.plan, alone)[thing])


def _breaking(
    assessment: Assessment,
    inquiry: Inquiry | SampledInquiry,
    chosen: Account,
    speaks: Sequence[ClaimWeight],
) -> tuple[Breaking, ...]:
    thing = inquiry.thing
    least = least_of(grade_of(float(chosen.weight(assessment.beliefs[thing]))))
    scales = {claim.id: claim.scale for claim in assessment.model.heard.counted}
    found = []
    for one in speaks:
        words = _weaker_words(one.strength, scales[one.claim])
        readings = [Supposition(word, words={one.claim: word}) for word in words]
        if not readings or least == 0:
            continue
        if isinstance(inquiry, SampledInquiry):
            found += _broken_in_draws(inquiry, chosen, one.claim, readings, least)
            continue
        beliefs = beliefs_under(assessment.model, assessment.plan, readings)[thing]
        lost = np.flatnonzero(chosen.weight(beliefs) < least)
        found.append(Breaking(one.claim, words[int(lost[0])] if len(lost) else ""))
    return tuple(found)


def _broken_in_draws(
    inquiry: SampledInquiry,
    chosen: Account,
    claim: str,
    readings: Sequence[Supposition],
    least: float,
) -> list[Breaking]:
    """The strongest word at which the draws tell that the grade is lost, if they tell."""
    factor = inquiry.model.factors[claim]
    tables = inquiry.model.tables(readings)[factor]
    columns = [tables[..., number] for number in range(len(readings))]
    told = inquiry.carried(chosen.states, claim, columns)
    for reading, share in zip(readings, told, strict=True):
        if share is None:
            return []
        if share[0] - CERTAIN * share[1] < least:
            return [Breaking(claim, reading.name)]
    return [Breaking(claim, "")]


def _weaker_words(word: str, scale: str) -> list[str]:
    """Every weaker word of a scale, the strongest of them first."""
    words = []
    while weaker(word, scale) != word:
        word = weaker(word, scale)
        words.append(word)
    return words
