"""What could still be looked at, how much it could tell, and what it costs the object.

Ranked by what it costs the object, then by what it could tell. It ranks what could be
known; it recommends nothing, and that no restriction is listed permits nothing.
"""

from typing import ClassVar

from ..keeping.sample import results_of, sample_trees, unusable
from ..reasoning import STANDARD_EXAMINATIONS, Assessment, assess, case_of
from ..reasoning.examination import Examination
from ..reasoning.expected_gain import ExpectedGain, expected_gains
from ..record import Claim, Element, Result
from ..state import State
from .answer import Answer, Plain, Said, Thing, Warned, as_known, said, thing
from .caution import GENERAL, warnings
from .sample import CLOSED, Found, found

MOST_ELEMENTS = 8
"""Elements told for each examination, the most telling first."""
LEAST_BITS = 0.005
"""Gains below this are not told: less than a hundredth of what a coin toss decides."""
NOTE = (
    "It ranks what could become known and recommends nothing. How often an examination "
    "comes to a result and is right is common practice without a source, alike for all "
    "objects. " + GENERAL
)
WORDS = ((0.5, "much"), (0.15, "something"), (0.03, "a little"), (0.0, "next to nothing"))


class OnElement(Plain):
    """One examination of one element.

    Attributes:
        bits: expected gain in certainty about this element, in bits.
        over_object: the same about all elements together; None where not reckoned.
        in_words: what it could tell, in words.
        results: results by this technique that are recorded of it, and those of which the
            technique is closed to the reader: it may be answered.
        seen: claims that name it and were seen by this technique.
        samples: samples of it of which nothing recorded says that they cannot serve;
            only for techniques that need a sample.
        forbidden: restrictions that forbid it without the authority's word.
    """

    thing: Thing
    bits: float
    over_object: float | None
    in_words: str
    results: tuple[Found, ...]
    seen: tuple[Said, ...]
    samples: tuple[Thing, ...]
    forbidden: tuple[Warned, ...]


class NextExamination(Plain):
    """One way of looking.

    Attributes:
        touch: what it costs the object.
        tells: what it could tell.
        needs: what a restriction would have to allow.
        basis: where its figures come from.
        elements: the most telling first; after them those already answered, and those
            forbidden.
        others: how many more elements it could tell something of.
    """

    name: str
    touch: str
    tells: str
    needs: tuple[str, ...]
    basis: str
    elements: tuple[OnElement, ...]
    others: int


class Next(Answer):
    """Answer to `vestige next OBJECT`.

    Attributes:
        examinations: what touches the object least first, then what tells most of what
            is neither answered nor forbidden.
        exact: False where the assessment was sampled, so that gains over the object could
            not be reckoned.
    """

    FORM: ClassVar[str] = "vestige.next/1"
    about: Thing
    examinations: tuple[NextExamination, ...]
    exact: bool
    note: str = NOTE


def next_of(state: State, key: str) -> Next:
    """Rank what could still be looked at on one object.

    Raises:
        BadValue: where its record cannot be assessed.
    """
    assessment = assess(case_of(state, key).case)
    gains: dict[str, list[ExpectedGain]] = {}
    for one in _gains(state, assessment):
        gains.setdefault(one.examination.name, []).append(one)
    looks = _Looks(state)
    ways = {one.name: one for one in STANDARD_EXAMINATIONS}
    told = [_examination(looks, ways[name], found) for name, found in gains.items()]
    order = [str(one.touch) for one in sorted(ways.values(), key=_cost)]
    told.sort(key=lambda one: (order.index(one.touch), -_best(one), one.name))
    return Next(
        form=Next.FORM,
        as_known=as_known(state),
        cautions=warnings(state, key),
        about=thing(state, key),
        examinations=tuple(told),
        exact=assessment.exact,
    )


def _gains(state: State, assessment: Assessment) -> list[ExpectedGain]:
    """Gains that are worth telling, about elements."""

    def suits(key: str, way: Examination) -> bool:
        record = state.held(key).record
        return way.suits(record.material if isinstance(record, Element) else None)

    return [
        one
        for one in expected_gains(assessment, STANDARD_EXAMINATIONS, suits)
        if _weight(one) >= LEAST_BITS and isinstance(state.held(one.thing).record, Element)
    ]


def _cost(examination: Examination) -> int:
    return list(type(examination.touch)).index(examination.touch)


def _weight(gain: ExpectedGain | OnElement) -> float:
    return gain.bits if gain.over_object is None else gain.over_object


def _best(one: NextExamination) -> float:
    """What it could tell of the best element that is neither answered nor forbidden."""
    free = [_weight(on) for on in one.elements if not (_done(on) or on.forbidden)]
    return max(free, default=0.0)


def _done(one: OnElement) -> bool:
    return bool(one.results or one.seen)


def _examination(
    looks: "_Looks", way: Examination, gains: list[ExpectedGain]
) -> NextExamination:
    told = gains[:MOST_ELEMENTS] + [
        one for one in gains[MOST_ELEMENTS:] if looks.forbidden(one.thing, way)
    ]
    elements = [looks.on(one) for one in told]
    elements.sort(key=lambda on: (bool(on.forbidden), _done(on), -_weight(on)))
    return NextExamination(
        name=way.name,
        touch=str(way.touch),
        tells=way.tells,
        needs=tuple(str(one) for one in way.needs),
        basis=way.basis,
        elements=tuple(elements),
        others=len(gains) - len(elements),
    )


class _Looks:
    """What is recorded of each element's results, samples and restrictions, asked once."""

    def __init__(self, state: State) -> None:
        self.state = state
        self._results: dict[str, list[tuple[str, Result]]] = {}
        self._samples: dict[str, list[str]] = {}
        self._cautions: dict[str, tuple[Warned, ...]] = {}

    def on(self, gain: ExpectedGain) -> OnElement:
        """One examination of one element."""
        key, way = gain.thing, gain.examination
        if key not in self._results:
            self._look_up(key)
        matching = [
            pair
            for pair in self._results[key]
            if way.is_method(pair[1].method) or pair[1].method.startswith(CLOSED)
        ]
        samples = self._samples[key] if way.touch.takes_sample else []
        return OnElement(
            thing=thing(self.state, key),
            bits=round(gain.bits, 6),
            over_object=None if gain.over_object is None else round(gain.over_object, 6),
            in_words=in_words(_weight(gain)),
            results=tuple(found(self.state, one, result) for one, result in matching),
            seen=tuple(said(self.state, one) for one in self._seen(key, way)),
            samples=tuple(thing(self.state, one) for one in samples),
            forbidden=self.forbidden(key, way),
        )

    def forbidden(self, key: str, way: Examination) -> tuple[Warned, ...]:
        """Restrictions that forbid a way of looking at an element."""
        if key not in self._cautions:
            self._cautions[key] = warnings(self.state, key)
        needs = {str(one) for one in way.needs}
        return tuple(one for one in self._cautions[key] if needs & set(one.forbids))

    def _seen(self, key: str, way: Examination) -> list[str]:
        """Claims that name an element and were seen by a way of looking."""
        pairs = [
            pair
            for word in ("about", "names")
            for pair in self.state.about(key, Claim, word)
        ]
        by_way = [one for one, claim in pairs if way.is_method(claim.method or "")]
        return list(dict.fromkeys(by_way))

    def _look_up(self, key: str) -> None:
        state = self.state
        drawn = [branch.sample for branch in sample_trees(state, key)]
        results = [*results_of(state, key)]
        for sample in drawn:
            results += state.about(sample, Result, "result of")
        self._results[key] = results
        self._samples[key] = [one for one in drawn if unusable(state, one) is None]


def in_words(bits: float) -> str:
    """How much a gain is, in words: own rule, no source."""
    return next(word for least, word in WORDS if bits >= least)
