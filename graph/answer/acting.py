"""What an act is about: the things, what travels with them, what is wrong with it."""

from collections.abc import Sequence
from typing import ClassVar

from ..keeping import Load, came_from, life, loads, whereabouts
from ..problem import Problem
from ..record import label_code
from ..state import State
from .answer import Answer, Plain, Thing, Warned, as_known, thing
from .caution import in_order, warned
from .life import stage_word
from .whereabouts import LastSeen, Stay, look_of, stay_of


class Requirement(Plain):
    """What a container asks for: orientation, neighbours, climate."""

    container: Thing
    requires: str


class Goes(Plain):
    """One thing that is moved or listed, and what goes along with it.

    Attributes:
        code: code of its label.
        stage: where it stands in its life.
        place: where the record has it, the nearest holder first; empty: not recorded.
        certainty: how that is known.
        last_seen: the last time that it or its holder was seen.
        inside: what lies in it, at any depth.
        cautions: of it, of what it came from and of everything that lies in it.
    """

    thing: Thing
    code: str
    stage: str
    came_from: tuple[Thing, ...]
    place: tuple[Stay, ...]
    certainty: str
    last_seen: LastSeen | None
    inside: tuple[Thing, ...]
    cautions: tuple[Warned, ...]
    requires: tuple[Requirement, ...]


class Found(Plain):
    """A finding about an act: what is wrong, where, and what would be right."""

    code: str
    weight: str
    wrong: str
    right: str
    where: str


class ActOf(Answer):
    """Answer of `vestige move`, `seen`, `notseen`, `became` and of lists.

    Attributes:
        said: the act in one sentence.
        recorded: whether it is in the record now.
        things: what it is about, before the act.
        problems: everything that is wrong or doubtful; an error stops the act.
    """

    FORM: ClassVar[str] = "vestige.act/1"
    said: str
    recorded: bool
    things: tuple[Goes, ...]
    problems: tuple[Found, ...]


def act_of(
    state: State,
    said: str,
    things: Sequence[str],
    problems: Sequence[Problem],
    recorded: bool,
) -> ActOf:
    """What an act is about, from the state before it."""
    return ActOf(
        form=ActOf.FORM,
        as_known=as_known(state),
        said=said,
        recorded=recorded,
        things=tuple(goes(state, load) for load in loads(state, things)),
        problems=tuple(found(one) for one in problems),
    )


def goes(state: State, load: Load) -> Goes:
    """One thing of an act or a list, with what goes along."""
    where = whereabouts(state, load.thing)
    return Goes(
        thing=thing(state, load.thing),
        code=label_code(load.thing),
        stage=stage_word(state, load.thing, life(state, load.thing).stage),
        came_from=tuple(thing(state, one) for one in came_from(state, load.thing)),
        place=tuple(stay_of(state, spell) for spell in where.holders),
        certainty=str(where.certainty),
        last_seen=look_of(state, where.last_seen),
        inside=tuple(thing(state, one) for one in load.inside),
        cautions=in_order(warned(state, one) for one in load.cautions),
        requires=tuple(
            Requirement(container=thing(state, one), requires=text)
            for one, text in load.requires
        ),
    )


def found(problem: Problem) -> Found:
    """A problem as an answer tells it."""
    return Found(
        code=problem.code,
        weight=str(problem.weight),
        wrong=problem.wrong,
        right=problem.right,
        where=str(problem.place),
    )
