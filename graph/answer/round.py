"""What came of a list or a round: what was listed, seen, absent, and is to be done."""

from collections import Counter
from collections.abc import Sequence
from typing import ClassVar

from ..keeping import Finding, Outcome, loads, open_tasks, round_of
from ..state import State
from .acting import Goes, goes
from .answer import Answer, Plain, Thing, as_known, thing
from .whereabouts import LastSeen, Stay, look_of, stay_of

LISTED_NOTE = (
    "listed from records: that a thing is on this list does not say that anybody saw it"
)


class Heading(Plain):
    """What stands over a list.

    Attributes:
        number: number of the manifest or round.
        title: "Manifest" or "Audit round".
        scope: what was listed, in words.
        made: day of the listing, ISO.
        by: role that had it listed.
    """

    number: str
    title: str
    scope: str
    made: str
    by: str


class ListOf(Answer):
    """A list from records, as it is printed for a manifest or a round.

    Attributes:
        note: that listing is no sighting.
    """

    FORM: ClassVar[str] = "vestige.list/1"
    heading: Heading
    note: str
    lines: tuple[Goes, ...]


class Reconciled(Plain):
    """One thing of a round against the record.

    Attributes:
        outcome: confirmed, absent, found elsewhere, found again, unexpected, cannot be
            identified or not looked for.
        found_in: where it was looked for or found; None where not recorded.
        thought: where the record had it before the round.
        seen_before: when it was last seen before, by whom, itself or its holder.
        not_seen_before: the look that had not found it, where that was the latest news.
        listed: day on which it was listed under this number; None where it was not.
        unseen_for: whole days between the last time it was seen and this look; None
            where either is not known.
        settled: a later record that has it in hand again; None where there is none.
    """

    thing: Thing
    outcome: str
    when: str | None
    by: str | None
    found_in: Thing | None
    thought: tuple[Stay, ...]
    seen_before: LastSeen | None
    not_seen_before: LastSeen | None
    listed: str | None
    unseen_for: int | None
    settled: Thing | None


class ToDo(Plain):
    """An open task: what is to be done, who it falls to, since when."""

    thing: Thing
    what: str
    whom: str | None
    since: str | None
    under: str | None


class RoundOf(Answer):
    """Answer to `vestige manifest status` and `vestige audit result`.

    Attributes:
        listed: whether a list was recorded; where not, what was not looked for is
            reckoned from the places looked in.
        counts: how many things of each outcome.
    """

    FORM: ClassVar[str] = "vestige.round/1"
    number: str
    listed: bool
    counts: dict[str, int]
    things: tuple[Reconciled, ...]
    tasks: tuple[ToDo, ...]


class Tasks(Answer):
    """Answer to `vestige tasks`."""

    FORM: ClassVar[str] = "vestige.tasks/1"
    tasks: tuple[ToDo, ...]


def list_of(state: State, keys: Sequence[str], heading: Heading) -> ListOf:
    """A list of things from the records."""
    return ListOf(
        form=ListOf.FORM,
        as_known=as_known(state),
        heading=heading,
        note=LISTED_NOTE,
        lines=tuple(goes(state, load) for load in loads(state, keys)),
    )


def result_of(state: State, number: str) -> RoundOf:
    """What came of everything under one number."""
    reckoned = round_of(state, number)
    counted = Counter(str(one.outcome) for one in reckoned.findings)
    return RoundOf(
        form=RoundOf.FORM,
        as_known=as_known(state),
        number=number,
        listed=reckoned.listed,
        counts={str(one): counted[str(one)] for one in Outcome if counted[str(one)]},
        things=tuple(_reconciled(state, one) for one in reckoned.findings),
        tasks=_tasks(state, number),
    )


def tasks_of(state: State) -> Tasks:
    """Everything that is to be done."""
    return Tasks(form=Tasks.FORM, as_known=as_known(state), tasks=_tasks(state, None))


def _tasks(state: State, number: str | None) -> tuple[ToDo, ...]:
    return tuple(
        ToDo(
            thing=thing(state, one.thing),
            what=one.what,
            whom=one.whom,
            since=str(one.since) if one.since else None,
            under=one.under,
        )
        for one in open_tasks(state, number)
    )


def _reconciled(state: State, one: Finding) -> Reconciled:
    return Reconciled(
        thing=thing(state, one.thing),
        outcome=str(one.outcome),
        when=str(one.when) if one.when else None,
        by=one.by,
        found_in=thing(state, one.found_in) if one.found_in else None,
        thought=tuple(stay_of(state, spell) for spell in one.thought),
        seen_before=look_of(state, one.seen_before),
        not_seen_before=look_of(state, one.not_seen_before),
        listed=str(one.listed) if one.listed else None,
        unseen_for=_unseen_for(one),
        settled=thing(state, one.settled) if one.settled else None,
    )


def _unseen_for(one: Finding) -> int | None:
    """Days surely without a sighting: from the last day of the one to the first of this."""
    if one.look is None or one.when is None or one.seen_before is None:
        return None
    last, now = one.seen_before.when.latest, one.when.earliest
    return max(0, now - last) if last is not None and now is not None else None
