"""The words of a verdict, their grades, and whether they hold when the premises move.

A word stands for a set of states: when a thing was made, and when it came to its place.
Its grade comes from the probability of that set: established (0.99 and more), probable
(0.90), possible (0.70). A word with its grade is given only if it holds over the
sensitivity band:

* every strength one word weaker, and one word stronger; the odds of the first phase
  three to one either way: the lowest probability in the band sets the grade;
* each source in turn left out: where the word then falls short of its grade, it hangs on
  that source alone, which is said, and it is not called established; where the others
  would then make another word at least possible, the sources stand against each other
  and the grade falls by two. Without this distinction a thing that one person examined
  could bear no verdict at all.

What falls below "possible" is open. Where the assessment is sampled, every probability is
taken three standard errors lower before it is held against a grade.
"""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from ..record import Span
from .account import Account, Grade, VerdictWord, accounts, grade_of, least_of, said
from .assessment import Assessment, supposed
from .assessment_model import AS_GIVEN, AssessmentModel, Supposition
from .attachment import fixings
from .case import Thing
from .sampling_answer import Supposed

__all__ = ["Verdict", "band", "spoken_of", "verdicts"]

Cells = npt.NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class Verdict:
    """The answer for one thing.

    Attributes:
        thing: id of the thing.
        word: what is said.
        grade: how firmly; OPEN for open and unexamined.
        phases: ids of the phases named.
        text: the same in words, with the phases' names and the grade.
        probability: of the word's set of states, with all read as given.
        lowest: the same at the worst of strengths and priors in the band.
        wider: a wider account that is given more firmly, in words; empty where none is.
        hangs_on: what would bring the verdict down: suppositions in words.
        rival: the strongest account that excludes this one, in words.
        rival_probability: its probability, with all read as given.
        between: for an open verdict, the accounts it is open between, likeliest first.
        by_definition: True for the core, which is the object by definition.
        error: standard error of *probability*; 0 where the assessment is exact.
    """

    thing: str
    word: VerdictWord
    grade: Grade
    phases: tuple[str, ...]
    text: str
    probability: float
    lowest: float
    wider: str = ""
    hangs_on: tuple[str, ...] = ()
    rival: str = ""
    rival_probability: float = 0.0
    between: tuple[str, ...] = ()
    by_definition: bool = False
    error: float = 0.0


# ------------------------------------------------------------------ the band


def band(model: AssessmentModel) -> tuple[Supposition, ...]:
    """As given, then strengths and priors, then each source left out, then no claim."""
    moved = (
        AS_GIVEN,
        Supposition("every strength is one word weaker", steps=-1),
        Supposition("every strength is one word stronger", steps=1),
        Supposition("the first phase is three times as likely beforehand", prior_odds=3),
        Supposition("the first phase is a third as likely beforehand", prior_odds=1 / 3),
    )
    claims = model.heard.counted
    left_out = tuple(
        Supposition(
            f"source {source} is left out",
            without=frozenset(claim.id for claim in claims if claim.source == source),
        )
        for source in model.voices
    )
    nothing = Supposition(
        "nothing is said", without=frozenset(claim.id for claim in claims)
    )
    return (*moved, *left_out, nothing)


MOVED_PREMISES = 5
"""How many of the band's suppositions come before the sources."""
CERTAIN = 3.0
"""Standard errors by which a sampled probability must clear a grade."""
UNSURE = "the answer is sampled: after its error a firmer grade cannot be given"


def verdicts(assessment: Assessment) -> tuple[Verdict, ...]:
    """The verdict on every thing of a case, in the order of the case."""
    model = assessment.model
    suppositions = band(model)
    judge = _Judge(model, suppositions, supposed(assessment, suppositions))
    return tuple(judge.verdict(thing.id) for thing in model.case.things)


class _Judge:
    """Holds what all verdicts of one case share."""

    def __init__(
        self,
        model: AssessmentModel,
        suppositions: tuple[Supposition, ...],
        found: Supposed,
    ) -> None:
        self.found = found
        self.case, self.suppositions = model.case, suppositions
        self.things = {one.id: one for one in model.case.things}
        self.accounts = accounts(model.case)
        self.spoken_of = spoken_of(model)

    def verdict(self, thing: str) -> Verdict:
        """The verdict on one thing."""
        belief = self.found.beliefs[thing]  # the band is its last axis
        one = self.things[thing]
        if one.core:
            return self._by_definition(one)
        if thing not in self.spoken_of:
            word = VerdictWord.UNEXAMINED
            return Verdict(thing, word, Grade.OPEN, (), word.value, 0.0, 0.0)
        held = [_Held(account, thing, self) for account in self.accounts]
        best = _chosen(held)
        if best is None:
            return self._open(one, held, belief)
        return self._given(one, best, held, belief)

    def _by_definition(self, thing: Thing) -> Verdict:
        account = next(a for a in self.accounts if a.word is VerdictWord.IN_PLACE)
        words = account.text(self.case, thing.kind)
        text = f"{words}: by definition, it is the object's core"
        return Verdict(
            thing.id,
            account.word,
            Grade.ESTABLISHED,
            account.phases,
            text,
            1.0,
            1.0,
            by_definition=True,
        )

    def _given(
        self, thing: Thing, best: "_Held", held: list["_Held"], belief: Cells
    ) -> Verdict:
        word, phases = best.account.word, best.account.phases
        if word is VerdictWord.LATER:
            word, phases = self._which_later(belief)
        words = said(word, phases, self.case, thing.kind)
        rival = _rival(best, held)
        wider = _wider(best, held)
        firmer = f"{self._in_any_case(wider, thing)} ({wider.grade})" if wider else ""
        return Verdict(
            thing.id,
            word,
            best.grade,
            phases,
            f"{words} ({best.grade})" + (f"; {firmer}" if firmer else ""),
            best.given,
            best.lowest,
            firmer,
            best.hangs_on,
            rival.account.text(self.case, thing.kind) if rival else "",
            rival.given if rival else 0.0,
            error=best.error,
        )

    def _in_any_case(self, wider: "_Held", thing: Thing) -> str:
        if wider.account.word is VerdictWord.LATER:
            return "not original in any case"
        if wider.account.word is VerdictWord.ORIGINAL:
            return "original in any case"
        return f"{wider.account.text(self.case, thing.kind)} in any case"

    def _open(self, thing: Thing, held: list["_Held"], belief: Cells) -> Verdict:
        single = sorted(
            (one for one in held if one.account.breadth == 1), key=lambda one: -one.given
        )
        kept = [single[0]]
        for one in single[1:]:
            if sum(other.given for other in kept) >= least_of(Grade.PROBABLE):
                break
            kept.append(one)
        between = tuple(one.account.text(self.case, thing.kind) for one in kept)
        firmest = max(held, key=lambda one: one.given)
        possible = firmest.given >= least_of(Grade.POSSIBLE)
        hangs = firmest.hangs_on if possible or firmest.unsure else ()
        phases = tuple(dict.fromkeys(p for one in kept for p in one.account.phases))
        text = (
            f"open between {'; '.join(between)}"
            if len(kept) > 1
            else (f"open: {between[0]} does not hold throughout")
        )
        states = np.any([one.account.states for one in kept], axis=0)
        weight = belief[states].sum(axis=0)
        error = float(self.found.error(thing.id, states)[0])
        return Verdict(
            thing.id,
            VerdictWord.OPEN,
            Grade.OPEN,
            phases,
            text,
            float(weight[0]),
            float(weight[:MOVED_PREMISES].min()),
            hangs_on=hangs,
            between=between,
            error=error,
        )

    def _which_later(self, belief: Cells) -> tuple[VerdictWord, tuple[str, ...]]:
        """The phases that a later thing is open between, and whether anything tells them
        apart: "cannot be told" where the claims leave use-life against restoration as
        they were before any claim."""
        added = [a for a in self.accounts if a.word is VerdictWord.ADDED]
        given = np.array([float(a.weight(belief)[0]) for a in added])
        kept = _smallest_set(given, least_of(Grade.PROBABLE))
        phases = tuple(added[k].phases[0] for k in kept)
        before = np.array([float(a.weight(belief)[-1]) for a in added])
        use = [k for k in kept if self._span(added[k]) is Span.USE]
        restored = [k for k in kept if self._span(added[k]) is not Span.USE]
        if use and restored:
            now = given[use].sum() / given[restored].sum()
            first = before[use].sum() / before[restored].sum()
            if abs(np.log2(now / first)) < 1:
                return VerdictWord.UNTOLD, phases
        return VerdictWord.LATER, phases

    def _span(self, account: Account) -> Span:
        return self.case.phases[self.case.phase_number(account.phases[0])].span


class _Held:
    """An account against the band: how firmly it may be given, and what it hangs on."""

    def __init__(self, account: Account, thing: str, judge: _Judge) -> None:
        belief = judge.found.beliefs[thing]
        weight = account.weight(belief)
        errors = judge.found.error(thing, account.states)
        sure = weight - CERTAIN * errors
        names = [supposition.name for supposition in judge.suppositions]
        self.account = account
        self.given, self.error = float(weight[0]), float(errors[0])
        self.surely = float(sure[0])
        self.lowest = float(weight[:MOVED_PREMISES].min())
        grade = grade_of(float(sure[:MOVED_PREMISES].min()))
        self.unsure = grade is not grade_of(self.lowest)
        self.hangs_on = _hangs_on(weight, names) + ((UNSURE,) if self.unsure else ())
        fallen = {
            _turns(account, belief[..., column], belief[..., -1], judge.accounts)
            for column in range(MOVED_PREMISES, len(names) - 1)
            if sure[column] < least_of(grade)
        }
        self.grade = grade
        if True in fallen:
            self.grade = grade.lowered(2)
        elif fallen and grade is Grade.ESTABLISHED:
            self.grade = grade.lowered(1)


def _hangs_on(weight: Cells, names: Sequence[str]) -> tuple[str, ...]:
    """Suppositions under which the word loses the grade that it has as given.

    A word that stands just at its threshold hangs on everything a little; named is then
    only what takes a third of its odds, or the worst where nothing does.
    """
    least = least_of(grade_of(float(weight[0])))
    odds = weight / np.maximum(1 - weight, 1e-12)
    short = [column for column in range(len(names) - 1) if weight[column] < least]
    much = [column for column in short if odds[column] < odds[0] / 1.5]
    worst = sorted(short, key=lambda column: float(weight[column]))[:1]
    return tuple(names[column] for column in (much or worst))


def _turns(
    account: Account, belief: Cells, before: Cells, every: Sequence[Account]
) -> bool:
    """Whether the other sources would make another account at least possible.

    What is at least possible before anybody speaks is no word of theirs: the account
    must have three times the odds that it had *before*.
    """
    for other in every:
        share, first = float(other.weight(belief)), float(other.weight(before))
        apart = not (other.states & account.states).any()
        if apart and share >= least_of(Grade.POSSIBLE):
            odds = share / max(1 - share, 1e-12)
            if odds >= 3 * first / max(1 - first, 1e-12):
                return True
    return False


def _chosen(held: Sequence[_Held]) -> _Held | None:
    """The account that is given.

    The most specific one that is at least probable; but where a narrower one has the
    probability for that and only hangs on a source, the narrower one, as possible, since
    the wider is told beside it; else the most specific that is possible.
    """
    narrow = [
        one
        for one in held
        if one.account.breadth <= 1
        and one.surely >= least_of(Grade.PROBABLE)
        and _at_least(one.grade, Grade.POSSIBLE)
    ]
    probable = [one for one in held if _at_least(one.grade, Grade.PROBABLE)]
    possible = [one for one in held if _at_least(one.grade, Grade.POSSIBLE)]
    for enough in (narrow, probable, possible):
        if enough:
            return min(enough, key=lambda one: (one.account.breadth, -one.given))
    return None


def _at_least(grade: Grade, least: Grade) -> bool:
    grades = list(Grade)
    return grades.index(grade) <= grades.index(least)


def _rival(best: _Held, held: Sequence[_Held]) -> _Held | None:
    """The likeliest account of one step's breadth that excludes the given one."""
    apart = [
        one
        for one in held
        if one.account.breadth == 1 and not (one.account.states & best.account.states).any()
    ]
    return max(apart, key=lambda one: one.given, default=None)


def _wider(best: _Held, held: Sequence[_Held]) -> _Held | None:
    """A wider account that is given more firmly than the chosen one."""
    inside = best.account.states
    wider = [
        one
        for one in held
        if one is not best
        and not (inside & ~one.account.states).any()
        and one.account.breadth > best.account.breadth
        and not _at_least(best.grade, one.grade)
    ]
    return min(wider, key=lambda one: list(Grade).index(one.grade), default=None)


def _smallest_set(weights: Cells, share: float) -> list[int]:
    """Places of the largest weights that together make up *share*; at least two."""
    order = np.argsort(-weights, kind="stable")
    reached = np.cumsum(weights[order]) / max(weights.sum(), 1e-300)
    size = max(int(np.searchsorted(reached, share)) + 1, 2)
    return sorted(int(k) for k in order[:size])


def spoken_of(model: AssessmentModel) -> frozenset[str]:
    """Things that some weighed claim names, and things held by a fixing so named.

    What only neighbours are spoken of stays unexamined: contact is a tendency, and no
    observation of the thing itself.
    """
    named: set[str] = set()
    for claim in model.heard.counted:
        named.add(claim.subject)
        if claim.other is not None:
            named.add(claim.other)
    held = fixings(model.case)
    return frozenset(
        thing.id
        for thing in model.case.things
        if thing.id in named or named.intersection(held[thing.id])
    )
