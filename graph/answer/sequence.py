"""What happened, in what order; and why B is later than A."""

from typing import ClassVar

from ..errors import NotRecorded
from ..reasoning import Before, OrderRelation, sequence
from ..reasoning.recorded_order import order_relations, things_of
from ..record import Element, Happening
from ..state import State
from .answer import Answer, Plain, Said, Thing, as_known, said, thing
from .caution import warnings


class Step(Plain):
    """Later and earlier thing, and the claims that say so."""

    later: Thing
    earlier: Thing
    claims: tuple[Said, ...]


class Loop(Plain):
    """Claims that run in a circle and cannot all be right.

    Attributes:
        things: everything whose order among itself is therefore undetermined.
        steps: the shortest circle, each step beginning where the last one ended.
    """

    things: tuple[Thing, ...]
    steps: tuple[Step, ...]


class SequenceAnswer(Answer):
    """Answer to `vestige sequence OBJECT`.

    Attributes:
        levels: earliest first; things of one level are not thereby of one time.
        steps: relations that nothing else implies.
        redundant: how many stated relations follow from these and are not drawn.
        unrelated: things that no claim of order names.
        loops: contradictions; nothing in them is resolved.
    """

    FORM: ClassVar[str] = "vestige.sequence/1"
    about: Thing
    levels: tuple[tuple[Thing, ...], ...]
    steps: tuple[Step, ...]
    redundant: int
    unrelated: tuple[Thing, ...]
    loops: tuple[Loop, ...]


class WhyLater(Answer):
    """Answer to `vestige why B --after A`.

    Attributes:
        shown: True where a chain of claims shows it.
        chain: the shortest chain, from the later thing down to the earlier.
        verdict: what the claims say of the two, in words.
    """

    FORM: ClassVar[str] = "vestige.why-later/1"
    later: Thing
    earlier: Thing
    shown: bool
    verdict: str
    chain: tuple[Step, ...]


def sequence_of(state: State, key: str) -> SequenceAnswer:
    """The partial order of one object's elements and happenings."""
    things = things_of(state, key)
    relations = order_relations(state, things)
    named = {end for one in relations for end in (one.later, one.earlier)}
    order = sequence([one for one in things if one in named], relations)
    return SequenceAnswer(
        form=SequenceAnswer.FORM,
        as_known=as_known(state),
        cautions=warnings(state, key),
        about=thing(state, key),
        levels=tuple(tuple(thing(state, one) for one in level) for level in order.levels),
        steps=_steps(state, order.immediate),
        redundant=len(order.redundant),
        unrelated=tuple(thing(state, one) for one in things if one not in named),
        loops=tuple(
            Loop(
                things=tuple(thing(state, one) for one in found.things),
                steps=tuple(_step(state, [one]) for one in found.loop),
            )
            for found in order.contradictions
        ),
    )


def why_later(state: State, later: str, earlier: str) -> WhyLater:
    """The shortest chain of claims that shows one thing later than another.

    Raises:
        NotRecorded: where one of the two is no element or happening of the same object.
    """
    home = _object_of(state, later)
    things = things_of(state, home)
    if earlier not in things:
        raise NotRecorded(
            f"{state.label(earlier)} is not on the same object as {state.label(later)}"
        )
    order = sequence(things, order_relations(state, things))
    chain = order.chain(later, earlier)
    return WhyLater(
        form=WhyLater.FORM,
        as_known=as_known(state),
        cautions=warnings(state, later),
        later=thing(state, later),
        earlier=thing(state, earlier),
        shown=chain is not None,
        verdict=str(order.compare(later, earlier)),
        chain=tuple(_step(state, [one]) for one in chain or ()),
    )


def _object_of(state: State, key: str) -> str:
    record = state.held(key).record
    if isinstance(record, (Element, Happening)):
        return record.object
    raise NotRecorded(f"{state.label(key)} is a {record.kind}, not an element or happening")


def _steps(state: State, relations: tuple[Before, ...]) -> tuple[Step, ...]:
    pairs: dict[tuple[str, str], list[Before]] = {}
    for one in relations:
        pairs.setdefault((one.later, one.earlier), []).append(one)
    return tuple(_step(state, same) for same in pairs.values())


def _step(state: State, relations: list[Before] | list[OrderRelation]) -> Step:
    first = relations[0]
    later, earlier = (
        (first.later, first.earlier) if isinstance(first, Before) else (first.a, first.b)
    )
    return Step(
        later=thing(state, later),
        earlier=thing(state, earlier),
        claims=tuple(said(state, one.claim) for one in relations),
    )
