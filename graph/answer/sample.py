"""Which samples and results exist, what is left of them, and whether one already serves."""

from typing import ClassVar

from ..keeping.sample import (
    Branch,
    Remainder,
    by_technique,
    left_of,
    object_of,
    results_of,
    sample_trees,
    unusable,
    uses_of,
)
from ..record import Result, Sample
from ..state import State
from .answer import NOT_RECORDED, Answer, Plain, Thing, as_known, thing
from .caution import warnings
from .whereabouts import Located, located_of

CLOSED = "restricted: ask"


class Found(Plain):
    """One result, also where nothing was found.

    Attributes:
        used: amount that it used up, as written; None where not recorded.
    """

    thing: Thing
    of: Thing
    method: str
    found: str
    by: str | None
    when: str | None
    used_up: bool | None
    used: str | None
    source: Thing | None


class Left(Plain):
    """What is left of a sample.

    Attributes:
        reckoned: by the recorded amounts, with unit; None where it cannot be told.
        why_not: why it cannot be told.
        said: what is left in the words of the record; None where not recorded.
    """

    reckoned: str | None
    why_not: str | None
    said: str | None


class Sampled(Plain):
    """One sample or preparation.

    Attributes:
        depth: 0 for a sample as taken; a preparation is one deeper than its parent.
        spot: where exactly, in words.
        picture: picture or region that shows the spot.
        unusable: why it can serve no further, as recorded; None where nothing says so.
    """

    thing: Thing
    depth: int
    preparation: str
    drawn_from: Thing
    made_from: Thing | None
    question: str | None
    permission: str | None
    spot: str | None
    picture: Thing | None
    taken_when: str | None
    taken_by: str | None
    taken_in: Thing | None
    size: str | None
    amount: str | None
    parent_used: str | None
    left: Left
    state: str
    retention: str | None
    review: str | None
    unusable: str | None
    located: Located
    results: tuple[Found, ...]
    note: str | None


class Exists(Plain):
    """Does a usable sample or result already exist, for one technique.

    Attributes:
        results: results by that technique.
        samples: samples of which nothing recorded says that they can serve no more;
            whether one fits the technique is for the analyst to say.
        answer: in words.
    """

    technique: str
    results: tuple[Found, ...]
    samples: tuple[Sampled, ...]
    answer: str


class Samples(Answer):
    """Answer to `vestige samples ID`.

    Attributes:
        without_sample: results had of the thing itself.
        exists: for `--technique`; None where none was asked for.
    """

    FORM: ClassVar[str] = "vestige.samples/1"
    about: Thing
    object: Thing | None
    samples: tuple[Sampled, ...]
    without_sample: tuple[Found, ...]
    exists: Exists | None


def samples_of(state: State, key: str, technique: str | None = None) -> Samples:
    """Every sample, preparation and result of a thing."""
    samples = tuple(_sampled(state, branch) for branch in sample_trees(state, key))
    direct = () if isinstance(state.held(key).record, Sample) else results_of(state, key)
    results = tuple(found(state, one, result) for one, result in direct)
    home = object_of(state, key)
    return Samples(
        form=Samples.FORM,
        as_known=as_known(state),
        cautions=warnings(state, key),
        about=thing(state, key),
        object=thing(state, home) if home else None,
        samples=samples,
        without_sample=results,
        exists=_exists(technique, samples, results) if technique else None,
    )


def found(state: State, key: str, result: Result) -> Found:
    """A result as answers tell it."""
    return Found(
        thing=thing(state, key),
        of=thing(state, result.of),
        method=result.method,
        found=result.found,
        by=result.by,
        when=_text(result.when),
        used_up=result.used_up,
        used=_text(result.amount_used),
        source=thing(state, result.source) if result.source else None,
    )


def _sampled(state: State, branch: Branch) -> Sampled:
    key, one = branch.sample, state.record(branch.sample, Sample)
    event = one.taken_in
    results = state.about(key, Result, "result of")
    return Sampled(
        thing=thing(state, key),
        depth=branch.depth,
        preparation=one.preparation or _plain_preparation(one),
        drawn_from=thing(state, one.element),
        made_from=thing(state, one.made_from) if one.made_from else None,
        question=one.question,
        permission=one.permission,
        spot=one.spot,
        picture=thing(state, one.picture) if one.picture else None,
        taken_when=_text(one.taken_when),
        taken_by=one.taken_by,
        taken_in=thing(state, event) if event else None,
        size=_text(one.size),
        amount=_text(one.amount),
        parent_used=_text(one.parent_used),
        left=_left(left_of(state, key), one, bool(uses_of(state, key))),
        state=_text(one.state) or NOT_RECORDED,
        retention=one.retention,
        review=_text(one.review),
        unusable=unusable(state, key),
        located=located_of(state, key),
        results=tuple(found(state, one, result) for one, result in results),
        note=one.note,
    )


def _plain_preparation(one: Sample) -> str:
    return f"preparation, kind {NOT_RECORDED}" if one.made_from else "sample as taken"


def _left(rest: Remainder, one: Sample, used: bool) -> Left:
    why = rest.why
    if rest.over is not None:
        why = f"the recorded uses come to more than there was ({one.amount})"
    elif rest.left is not None and not used:
        why = f"no use of it is recorded; it was {one.amount}"
        return Left(reckoned=None, why_not=why, said=one.left)
    return Left(reckoned=_text(rest.left), why_not=why, said=one.left)


def _exists(
    technique: str, samples: tuple[Sampled, ...], direct: tuple[Found, ...]
) -> Exists:
    every = [*direct, *(one for sample in samples for one in sample.results)]
    results = tuple(one for one in every if by_technique(technique, one.method))
    usable = tuple(one for one in samples if one.unusable is None)
    closed = [one for one in samples if CLOSED in f"{one.thing.label} {one.note}"]
    parts = []
    if results:
        parts.append(f"a result by {technique} exists")
    if usable:
        parts.append("samples exist of which nothing recorded says that they cannot serve")
    if closed:
        numbers = ", ".join(one.thing.number for one in closed)
        parts.append(f"the content of {numbers} is restricted")
    answer = "; ".join(parts) or "none recorded"
    return Exists(technique=technique, results=results, samples=usable, answer=answer)


def _text(value: object) -> str | None:
    return None if value is None else str(value)
