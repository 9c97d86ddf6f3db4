"""Claims that are improbable together, and whose unsoundness would explain it.

A claim disagrees with the rest when it is at least three times less probable beside all
others than it is alone; so does a source with all that it says. The smallest set of
claims around a claim is sought whose removal takes the disagreement away. Where the
evidence has made a source much less trusted than it was, the disagreement is explained
by that source, and that is said instead of any blame on the object. Nothing is resolved
here: both sides stay.

The measure is the conflict of Jensen and others 1991 (from memory), per
claim. The threshold of half a decade is a convention: two sound sources that flatly deny
each other come to a little under a whole one, since either may have erred.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import combinations

import numpy as np
import numpy.typing as npt

from .assessment import Assessment, SourceView, log_evidence
from .assessment_model import AssessmentModel, Supposition
from .case import CaseClaim
from .influence import joint_of
from .junction_tree import Posterior, solve

__all__ = ["Disagreement", "disagreements"]

Cells = npt.NDArray[np.float64]
LEAST = 0.5
BELIED = 0.3
"""Probability of not being so from which on an unlikely claim disagrees."""
CULPRITS = 6
"""Claims about the same things that are tried as the other side."""


@dataclass(frozen=True, slots=True)
class Disagreement:
    """Claims that are improbable together.

    Attributes:
        claims: ids, the claim that disagrees first, then the fewest others without which
            it would not; only the first where no few others account for it.
        decades: log10 of how many times less probable the claim is beside all the others
            than alone (for a source: its claims together); at least 0.5, for a
            source above 0.
        source: id of the source whose unsoundness explains it; empty where none does.
        text: the same in words.
    """

    claims: tuple[str, ...]
    decades: float
    source: str
    text: str


def disagreements(assessment: Assessment) -> tuple[Disagreement, ...]:
    """Every disagreement among the claims of a case, the sharpest first.

    Each set of claims is reported once.
    """
    model = assessment.model
    posterior = assessment.posterior
    if posterior is None or len(model.heard.counted) < 2:
        return ()
    sharp = _decades(assessment, posterior)
    found: dict[frozenset[str], Disagreement] = {}
    for claim in sorted(model.heard.counted, key=lambda one: (-sharp[one.id], one.id)):
        if sharp[claim.id] < LEAST or _belied(model, posterior, claim.id) < BELIED:
            continue
        others = _other_side(assessment, claim)
        key = frozenset({claim.id, *others})
        if not any(key <= known or known <= key for known in found):
            found[key] = _told(assessment, claim, others, sharp[claim.id])
    blamed = {one.source for one in found.values()}
    return (*found.values(), *_of_sources(assessment, blamed))


def _of_sources(assessment: Assessment, known: set[str]) -> list[Disagreement]:
    """Sources that the others have made much less trusted, claim by claim or as a whole.

    A teller of one story need not surprise anybody with any single claim: that is what
    makes the story one.
    """
    model = assessment.model
    claims = {
        source: frozenset(one.id for one in model.heard.counted if one.source == source)
        for source in model.voices
    }
    every = frozenset[str]().union(*claims.values())
    readings = [Supposition(), Supposition("nothing is said", without=every)]
    for source, own in claims.items():
        readings.append(Supposition(f"without {source}", without=own))
        readings.append(Supposition(f"only {source}", without=every - own))
    log_z = log_evidence(model, assessment.plan, readings) / np.log(10)
    found = []
    for number, view in enumerate(assessment.sources):
        without, only = log_z[2 + 2 * number], log_z[3 + 2 * number]
        decades = float((only - log_z[1]) - (log_z[0] - without))
        if decades > 0 and _doubted(view) and view.id not in known:
            said = tuple(sorted(claims[view.id]))
            says = f"what {view.id} says ({', '.join(said)})"
            text = f"{says} does not go with what the others say{_excuse(view)}"
            found.append(Disagreement(said, round(decades, 6), view.id, text))
    return sorted(found, key=lambda one: (-one.decades, one.source))


def _decades(assessment: Assessment, posterior: Posterior) -> dict[str, float]:
    """Per claim, log10 P(claim alone) - log10 P(claim | all others)."""
    model = assessment.model
    every = frozenset(claim.id for claim in model.heard.counted)
    nothing = model.tables([Supposition("nothing is said", without=every)])
    before = solve(assessment.plan, [table[..., 0] for table in nothing])
    found = {}
    for claim, factor in model.factors.items():
        table = model.graph.tables[factor]
        alone = float((joint_of(before, factor) * table).sum())
        with_rest = 1 / float((joint_of(posterior, factor) / table).sum())
        found[claim] = float(np.log10(alone / with_rest))
    return found


def _belied(model: AssessmentModel, posterior: Posterior, claim: str) -> float:
    """Probability, all being said, that a claim is not so.

    An unlikely claim that is believed after all, such as one more step in a long order of
    layers, disagrees with nothing.
    """
    sound = model.evidence[claim].sound
    belief = joint_of(posterior, model.factors[claim]).sum(axis=-1)
    return float(belief[sound < 0.45 * sound.max()].sum())


def _other_side(assessment: Assessment, claim: CaseClaim) -> tuple[str, ...]:
    """The fewest claims about the same things without which a claim is no surprise."""
    near = _near(assessment.model, claim)
    for size in (1, 2):
        sets = [tuple(one) for one in combinations(near, size)]
        if not sets:
            break
        decades = _decades_without(assessment, claim.id, sets)
        if decades.min() < LEAST:
            return sets[int(decades.argmin())]
    return ()


def _near(model: AssessmentModel, claim: CaseClaim) -> list[str]:
    """Claims that share a thing with a claim, those about its subject first."""
    named = {claim.subject, claim.other} - {None}
    ranked = []
    for one in model.heard.counted:
        shared = named & {one.subject, one.other}
        if one.id != claim.id and shared:
            ranked.append((one.subject != claim.subject, -len(shared), one.id))
    return [id_ for *_, id_ in sorted(ranked)[:CULPRITS]]


def _decades_without(
    assessment: Assessment, claim: str, sets: Sequence[tuple[str, ...]]
) -> Cells:
    """The surprise of a claim when each set of others is left out."""
    model = assessment.model
    readings = [Supposition(" and ".join(one), without=frozenset(one)) for one in sets]
    every = frozenset(one.id for one in model.heard.counted)
    readings.append(Supposition("nothing is said", without=every))
    posterior = solve(assessment.plan, model.tables(readings))
    factor = model.factors[claim]
    table = model.graph.tables[factor][..., None]
    axes = tuple(range(table.ndim - 1))
    belief = joint_of(posterior, factor)
    alone = (belief[..., -1:] * table).sum(axis=axes)[0]
    found: Cells = np.log10(alone * (belief[..., :-1] / table).sum(axis=axes))
    return found


def _told(
    assessment: Assessment, claim: CaseClaim, others: tuple[str, ...], decades: float
) -> Disagreement:
    model = assessment.model
    by_id = {one.id: one for one in model.heard.counted}
    speakers = [claim.source, *(by_id[other].source for other in others)]
    views = [view for view in assessment.sources if view.id in speakers]
    doubted = [view for view in views if _doubted(view)]
    blamed = min(doubted, key=lambda view: view.after / view.before, default=None)
    beside = f" beside {' and '.join(others)}" if others else " beside all the others"
    text = f"{claim.id} is hardly to be expected{beside}"
    text += _excuse(blamed) if blamed is not None else ""
    source = "" if blamed is None else blamed.id
    return Disagreement((claim.id, *others), round(decades, 6), source, text)


def _excuse(view: SourceView) -> str:
    if view.story_after > 0.5:
        return f"; {view.id} seems to tell one story of everything ({view.story})"
    return f"; it would be explained if {view.id} is not to be relied upon"


def _doubted(view: SourceView) -> bool:
    """Whether the evidence has taken away half of what a source was trusted."""
    return view.after < 0.5 * view.before
