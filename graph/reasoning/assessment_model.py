"""From a case to a factor graph: what is unknown, and everything that speaks about it.

Unknown are, per part and fixing, when it was *made* (older than the object, or in which
phase) and when it was *placed* (came to its present place); per layer, feature and event
one time only; per source, how sound it is; per act of a source with several acts,
whether it is to be heard. Every factor bears the id of what it comes from: a claim's
factor bears the claim's id, so that each of them can be taken out and looked at.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace

import numpy as np
import numpy.typing as npt

from ..record import TAKES_PHASE, Relation
from .case import Case, CaseClaim
from .evidence import Evidence, Reading, weigh
from .factor_graph import FactorGraph
from .phase_dates import PhaseDates
from .physics import Physics
from .premises import ANY_STORY, Params
from .strength import shifted_ratio
from .testimony import Heard, Voice, act_voice, hear, voice_of

__all__ = ["AS_GIVEN", "AssessmentModel", "Supposition", "build_model"]

Cells = npt.NDArray[np.float64]

NAMES_PHASE = TAKES_PHASE | {Relation.AS_MADE}
"""Relations that say of what phase a thing is."""


@dataclass(frozen=True, slots=True)
class Supposition:
    """A way in which the case might be read differently; the default reads it as given.

    Attributes:
        name: what is supposed, in words that complete "if ...".
        steps: strength of every claim, so many words stronger (negative: weaker).
        words: claims whose strength is another word of their scale.
        without: claims that are left out.
        prior_odds: factor on the odds of the first phase.
    """

    name: str = "all is read as given"
    steps: int = 0
    words: Mapping[str, str] = field(default_factory=dict)
    without: frozenset[str] = frozenset()
    prior_odds: float = 1.0

    @property
    def rebuilds(self) -> bool:
        """Whether it changes more than which claims are heard."""
        return self.steps != 0 or len(self.words) > 0 or self.prior_odds != 1.0

    def odds(self, claim: CaseClaim) -> float:
        """Likelihood ratio of a claim's word under this supposition."""
        word = self.words.get(claim.id, claim.strength)
        return shifted_ratio(word, claim.scale, self.steps)


AS_GIVEN = Supposition()


@dataclass(frozen=True, slots=True)
class AssessmentModel:
    """A case as a factor graph.

    Attributes:
        case: the case.
        params: the premises.
        heard: which claims are weighed, and which repeat something.
        graph: the factor graph of the case as given.
        times: variable of every time.
        voices: states of every source that is weighed.
        sources: variable of every such source.
        factors: factor of every weighed claim.
        evidence: the tables of every weighed claim, before its source is considered.
        joint: per part or fixing, a factor that holds both its times.
        dates: when the phases were.
        late: variables that speak to the whole object; eliminated last.
    """

    case: Case
    params: Params
    heard: Heard
    graph: FactorGraph
    times: Mapping[Reading, int]
    voices: Mapping[str, Voice]
    sources: Mapping[str, int]
    factors: Mapping[str, int]
    evidence: Mapping[str, Evidence]
    joint: Mapping[str, int]
    dates: PhaseDates
    late: tuple[int, ...]

    def tables(self, suppositions: Sequence[Supposition]) -> list[Cells]:
        """Tables of every factor with one trailing axis, an entry per supposition."""
        columns = [self._column(supposition) for supposition in suppositions]
        return [np.stack(cells, axis=-1) for cells in zip(*columns, strict=True)]

    def _column(self, supposition: Supposition) -> list[Cells]:
        if not supposition.rebuilds:
            cells = list(self.graph.tables)
            for claim in supposition.without & self.factors.keys():
                factor = self.factors[claim]
                cells[factor] = np.ones_like(cells[factor])
            return cells
        return _Builder(self.case, self.params, supposition, self).graph.tables


def build_model(case: Case, params: Params | None = None) -> AssessmentModel:
    """Build the factor graph of a case.

    Raises:
        BadValue: a claim that cannot be read.
    """
    return _Builder(case, params or Params(), AS_GIVEN, None).model()


class _Builder:
    """Builds the graph under one supposition; its structure is always that of the case."""

    def __init__(
        self,
        case: Case,
        params: Params,
        supposition: Supposition,
        base: AssessmentModel | None,
    ) -> None:
        self.case, self.params, self.supposition = case, params, supposition
        self.graph = FactorGraph()
        self.source_kinds = {source.id: source.kind for source in case.sources}
        self.heard = base.heard if base else hear(case)
        self.dates = base.dates if base else PhaseDates(case.phases, case.present)
        self.physics = Physics(case, params, supposition.prior_odds, self.graph)
        self.evidence = {claim.id: self._weigh(claim) for claim in self.heard.counted}
        self.voices = dict(base.voices) if base else self._voices()
        self.sources: dict[str, int] = {}
        self.factors: dict[str, int] = {}
        self.acts: list[int] = []
        self._add_sources()
        self._add_claims()

    def model(self) -> AssessmentModel:
        """The finished model."""
        return AssessmentModel(
            self.case,
            self.params,
            self.heard,
            self.graph,
            self.physics.times,
            self.voices,
            self.sources,
            self.factors,
            self.evidence,
            self.physics.joint,
            self.dates,
            (*self.physics.hubs, *self.sources.values(), *self.acts),
        )

    def _weigh(self, claim: CaseClaim) -> Evidence:
        odds = self.supposition.odds(claim)
        evidence = weigh(claim, self.case, odds, self.params.same_batch, self.dates)
        assert evidence is not None  # hear() keeps only what speaks of time
        return evidence

    def _voices(self) -> dict[str, Voice]:
        acts = self.heard.acts()
        voices: dict[str, Voice] = {}
        for source in sorted(self.case.sources, key=lambda one: one.id):
            own = [
                [self.evidence[claim.id] for claim in claims]
                for (speaker, _), claims in acts.items()
                if speaker == source.id
            ]
            if own:
                count = len(self.case.phases)
                voices[source.id] = voice_of(source, own, count, self.params)
        return voices

    def _add_sources(self) -> None:
        for source, voice in self.voices.items():
            variable = self.graph.add_variable(f"source: {source}", len(voice.prior))
            self.graph.add_factor([variable], voice.prior, f"source:{source}")
            self.sources[source] = variable

    def _add_claims(self) -> None:
        acts = self.heard.acts()
        several = [source for source, _ in acts]
        for (source, act), claims in acts.items():
            voice, variable = self.voices[source], self.sources[source]
            if len(claims) > 1 and several.count(source) > 1:
                voice, variable = self._add_act(source, act)
            for claim in claims:
                self._add_claim(claim, voice, variable)

    def _add_act(self, source: str, act: str) -> tuple[Voice, int]:
        """An act over several claims is heard or not heard as a whole."""
        speaker = self.voices[source]
        voice = act_voice(speaker)
        variable = self.graph.add_variable(f"act: {source}: {act}", len(voice.prior))
        self.acts.append(variable)
        table = speaker.act_given_source(voice)
        self.graph.add_factor([self.sources[source], variable], table, f"act:{act}")
        return voice, variable

    def _add_claim(self, claim: CaseClaim, voice: Voice, variable: int) -> None:
        evidence = self.evidence[claim.id]
        table = voice.report(self._as_usual(claim, evidence))
        if claim.id in self.supposition.without:
            table = np.ones_like(table)
        scope = [self.physics.times[reading] for reading in evidence.scope]
        self.factors[claim.id] = self.graph.add_factor([*scope, variable], table, claim.id)

    def _as_usual(self, claim: CaseClaim, evidence: Evidence) -> Evidence:
        """The claim, with how often it would be said for no reason.

        An unsound source errs in part at random, in part as one would expect: few call a
        part late for no reason where few are. And who examines an object calls original
        what she found to be so and passes over the rest, so that the many things that
        she names are no sign of a story: a story competes as a teller who picks what to
        speak of without regard to the truth.
        """
        if claim.relation not in NAMES_PHASE or claim.against:
            return evidence
        named = 0 if claim.phase is None else self.case.phase_number(claim.phase)
        usual = self.physics.usual(evidence.scope[0], named)
        follow = self.params.expected_errors
        void = (1 - follow) * evidence.void + follow * usual
        any_story = self.source_kinds[claim.source] in ANY_STORY
        story = evidence.story if any_story else evidence.story * usual
        return replace(evidence, void=void, story=story)
