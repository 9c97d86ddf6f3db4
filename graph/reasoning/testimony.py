"""Who is heard: copies that add nothing, acts, and the states that a source may be in.

A statement counts once for each source that made it itself. A copy is the act of the
source that it copies; so is a copy of a source whose own words are not on record, and
two copies of that source count once together. A source that repeats itself adds nothing.
"""

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from .case import Case, CaseClaim, CaseSource
from .evidence import Evidence, speaks_of_time
from .premises import ANY_STORY, SOUNDNESS_GRID, USUAL_RELIABILITY, Params
from .same_batch import repeated_pairs
from .strength import likelihood_ratio

__all__ = ["Heard", "Voice", "act_voice", "hear", "quadrature", "soundness_of", "voice_of"]

Cells = npt.NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class Heard:
    """What of a case is weighed.

    Attributes:
        counted: claims that are weighed, by id.
        repeats: id of a claim that adds nothing, with the id of the claim it repeats.
        silent: ids of claims that say nothing about any time.
    """

    counted: tuple[CaseClaim, ...]
    repeats: Mapping[str, str]
    silent: tuple[str, ...]

    def acts(self) -> dict[tuple[str, str], tuple[CaseClaim, ...]]:
        """Weighed claims by source and act; a claim without an act is one by itself."""
        found: dict[tuple[str, str], list[CaseClaim]] = {}
        for claim in self.counted:
            found.setdefault((claim.source, _act(claim)), []).append(claim)
        return {key: tuple(claims) for key, claims in found.items()}


@dataclass(frozen=True, slots=True)
class Voice:
    """The states that a source may be in.

    Attributes:
        validity: per state, how often a report depends on the truth.
        story: per state, the phase that is told of everything; -1 where none is.
        prior: probability of every state, before any claim; sums to at most 1.
    """

    validity: Cells
    story: npt.NDArray[np.int_]
    prior: Cells

    def report(self, evidence: Evidence) -> Cells:
        """P(report | truth, state of the source); the state is the last axis."""
        sound = evidence.sound[..., None]
        mixed = sound * self.validity + evidence.void * (1 - self.validity)
        told = evidence.story[np.maximum(self.story, 0)]
        table: Cells = np.where(self.story >= 0, np.broadcast_to(told, mixed.shape), mixed)
        return table

    def act_given_source(self, act: "Voice") -> Cells:
        """P(state of one act | state of the source), shape (states, states of the act)."""
        table = np.zeros((len(self.prior), len(act.prior)))
        for row, (validity, story) in enumerate(
            zip(self.validity, self.story, strict=True)
        ):
            if story < 0:
                table[row, 0], table[row, 1] = validity, 1 - validity
            else:
                table[row] = act.story == story
        return table


def hear(case: Case) -> Heard:
    """Sort out what is weighed, what repeats something else, and what says nothing."""
    silent = tuple(
        sorted(claim.id for claim in case.claims if not speaks_of_time(claim.relation))
    )
    elders = _elders(case.sources)
    sources = {source.id: source for source in case.sources}
    by_id = {claim.id: claim for claim in case.claims}
    counted: list[CaseClaim] = []
    repeats: dict[str, str] = {}
    by_statement: dict[tuple[object, ...], list[CaseClaim]] = {}
    for claim in sorted(case.claims, key=lambda one: _rank(one, sources, elders)):
        if not speaks_of_time(claim.relation):
            continue
        said = by_statement.setdefault(claim.statement, [])
        same = next((one for one in said if _kin(one, claim, elders)), None)
        first = _first_told(claim, by_id)
        if first != claim.id:
            repeats[claim.id] = first
        elif same is not None:
            repeats[claim.id] = same.id
        else:
            said.append(claim)
            counted.append(claim)
    implied = repeated_pairs(counted)  # of one batch, more pairs say nothing more
    repeats.update(implied)
    counted = sorted(
        (one for one in counted if one.id not in implied), key=lambda one: one.id
    )
    return Heard(tuple(counted), repeats, silent)


def _first_told(claim: CaseClaim, by_id: Mapping[str, CaseClaim]) -> str:
    """The claim that this one derives from in the end; of a circle, its first by id."""
    seen = [claim.id]
    while claim.derived_from is not None and claim.derived_from in by_id:
        claim = by_id[claim.derived_from]
        if claim.id in seen:
            return min(seen[seen.index(claim.id) :])
        seen.append(claim.id)
    return claim.id


def _elders(sources: Sequence[CaseSource]) -> dict[str, frozenset[str]]:
    """Per source, every source that it copies, directly or through others; never itself."""
    copies = {source.id: source.copies for source in sources}
    found: dict[str, frozenset[str]] = {}
    for source, copied in copies.items():
        seen: set[str] = set()
        waiting = list(copied)
        while waiting:
            one = waiting.pop()
            if one not in seen:
                seen.add(one)
                waiting += copies[one]
        found[source] = frozenset(seen - {source})
    return found


def _kin(one: CaseClaim, other: CaseClaim, elders: Mapping[str, frozenset[str]]) -> bool:
    """Whether two equal statements go back to one act, as far as is recorded."""
    if one.source == other.source or one.source in elders[other.source]:
        return True
    shared = elders[one.source] & elders[other.source]
    return bool(shared) or other.source in elders[one.source]


def _rank(
    claim: CaseClaim,
    sources: Mapping[str, CaseSource],
    elders: Mapping[str, frozenset[str]],
) -> tuple[int, float, float, str]:
    """Originals before copies; among equals the weaker word of the less sound source."""
    grid = soundness_of(sources[claim.source], Params())
    mean = sum(p * r for p, r in zip(grid, SOUNDNESS_GRID, strict=True))
    word = likelihood_ratio(claim.strength, claim.scale)
    return (len(elders[claim.source]), round(mean, 9), word, claim.id)


def _act(claim: CaseClaim) -> str:
    # The blank keeps an act's own word apart from the id of a claim without one.
    return f" {claim.id}" if claim.act is None else claim.act


def soundness_of(source: CaseSource, params: Params) -> tuple[float, ...]:
    """Prior over the soundness grid: given outright, by its word, or by its kind."""
    if source.soundness is not None:
        return source.soundness
    return params.soundness[source.reliability or USUAL_RELIABILITY[source.kind]]


def voice_of(
    source: CaseSource,
    acts: Sequence[Sequence[Evidence]],
    phases: int,
    params: Params,
) -> Voice:
    """The states of a source, as few as do not change the answer.

    The reports of a source with m acts are a polynomial of degree m in its soundness, and
    its mean soundness given them one of degree m + 1, so that the nodes of a Gauss
    quadrature of its prior stand for the whole grid without loss. The one act of a
    source, over several claims, needs two states: heard and not heard.

    Args:
        source: who speaks.
        acts: its weighed claims, act by act.
        phases: number of phases.
        params: the premises.
    """
    grid = np.array(soundness_of(source, params))
    told = params.one_story[source.kind] if source.one_story is None else source.one_story
    validity = np.array(SOUNDNESS_GRID)
    if len(acts) == 1 and len(acts[0]) > 1:
        heard = float(grid @ validity)
        grid, validity = np.array([heard, 1 - heard]), np.array([1.0, 0.0])
    else:
        wanted = min((len(acts) + 3) // 2, params.soundness_states)
        validity, grid = quadrature(validity, grid, wanted)
    prior = grid * (1 - told)
    stories = _kept_stories(prior, validity, acts, told / phases, params.prune)
    if source.kind not in ANY_STORY:
        stories = [story for story in stories if story == 0]
    return Voice(
        np.concatenate([validity, np.zeros(len(stories))]),
        np.concatenate([np.full(len(validity), -1), np.array(stories, dtype=np.int_)]),
        np.concatenate([prior, np.full(len(stories), told / phases)]),
    )


def quadrature(values: Cells, weights: Cells, nodes: int) -> tuple[Cells, Cells]:
    """Fewer values with weights that have the same moments, up to 2 * nodes - 1.

    Gauss quadrature of a discrete distribution by Lanczos tridiagonalisation (Golub &
    Welsch 1969, from memory).

    Args:
        values: where the distribution has its weights.
        weights: non-negative, sum to 1.
        nodes: how many values are wanted; with as many as there are weights above zero,
            or more, the distribution comes back as it is.

    Returns:
        Values in ascending order, and their weights.
    """
    kept = weights > 0
    values, weights = values[kept], weights[kept]
    if nodes >= len(values):
        return values, weights
    diagonal, beside = np.zeros(nodes), np.zeros(nodes)
    now, before = np.sqrt(weights), np.zeros(len(weights))
    for row in range(nodes):
        image = values * now - (beside[row - 1] * before if row else 0.0)
        diagonal[row] = now @ image
        image = image - diagonal[row] * now
        beside[row] = np.linalg.norm(image)
        before, now = now, image / max(float(beside[row]), 1e-300)
    jacobi = np.diag(diagonal) + np.diag(beside[:-1], 1) + np.diag(beside[:-1], -1)
    found, vectors = np.linalg.eigh(jacobi)
    return np.clip(found, 0.0, 1.0), vectors[0] ** 2


def act_voice(voice: Voice) -> Voice:
    """The states of one act of a source with several: heard, not heard, or a story."""
    stories = voice.story[voice.story >= 0]
    return Voice(
        np.concatenate([[1.0, 0.0], np.zeros(len(stories))]),
        np.concatenate([[-1, -1], stories]),
        np.full(2 + len(stories), 1 / (2 + len(stories))),
    )


def _kept_stories(
    prior: Cells,
    validity: Cells,
    acts: Sequence[Sequence[Evidence]],
    mass: float,
    prune: float,
) -> list[int]:
    """Stories that the source tells at all, and that it may well be telling.

    Left out are stories of a phase that it never names, and those whose odds against the
    least sound state cannot exceed *prune*. That bound is closed: whatever the truth, the
    least sound state gives every act at least the probability (1 - validity) * void.
    """
    claims = [evidence for act in acts for evidence in act]
    naming = [evidence for evidence in claims if np.ptp(evidence.story) > 1e-12]
    if not naming or mass <= 0:
        return []
    least = int(np.argmin(validity))
    void = sum(math.log(evidence.void) for evidence in claims)
    against = math.log(max(prior[least], 1e-300)) + void
    against += len(acts) * math.log(max(1 - validity[least], 1e-300))
    told = math.log(mass) + np.sum([np.log(evidence.story) for evidence in claims], axis=0)
    named = {
        int(phase)
        for evidence in naming
        for phase in np.flatnonzero(evidence.story > 1.5 * evidence.story.mean())
    }
    return [k for k in sorted(named) if told[k] - against > math.log(prune)]
