"""Recall: everything that a material, batch or class of product touched, as recorded.

A thing is touched where it is made of the material, where an analysis found it there or a
known hazard of it is recorded, or where a happening used it; then what was taken from such
a thing; then what is in contact with it, and what was taken from that. Words in a name or
note, and a suspicion, are only a mention.

A recall leaves out only what cannot have been touched in the time asked about: what is
undated stays in, and so does what was taken off at an unknown time.
"""

import re
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from enum import IntEnum

from ..record import (
    Caution,
    CautionSort,
    Claim,
    Edtf,
    Element,
    Happening,
    HappeningSort,
    KeptPart,
    Known,
    Record,
    Relation,
    Result,
    Sample,
    Stance,
    Status,
)
from ..state import State

CONTACT = (
    "held by", "touches", "abuts", "lies over", "lies under", "bridges", "fills",
    "passes through", "trapped in",
)  # fmt: skip
"""Words of edges that put two elements in contact."""

TAKEN = ("taken from", "drawn from", "prepared from")
"""Words of edges from what was taken, or prepared, to what it was taken from."""

SPEAKING = (
    "element", "part", "sample", "fragment", "claim", "result", "caution", "happening",
)  # fmt: skip
"""Kinds of records whose words count as a mention of what they are about."""

ARRIVES = (
    HappeningSort.MAKING, HappeningSort.REPAIR, HappeningSort.MODIFICATION,
    HappeningSort.RESTORATION,
)  # fmt: skip
_OFF = (Status.KEPT, Status.DISCARDED, Status.CONSUMED, Status.TRANSFERRED)
_DENIED = re.compile(r"\b(?:no|not|none|negative|below|absent|without|free)\b", re.I)


class Reach(IntEnum):
    """How near a thing is to the material; the nearer first."""

    DIRECT = 1
    CONTACT = 2
    MENTIONED = 3


@dataclass(frozen=True, slots=True)
class Wanted:
    """What is recalled.

    Attributes:
        keys: keys of the materials and batches.
        loose: keys of materials whose batch is recalled: uses of them without any batch
            cannot be told from uses of it.
        words: names and synonyms by which records may speak of it.
    """

    keys: frozenset[str] = frozenset()
    loose: frozenset[str] = frozenset()
    words: tuple[str, ...] = ()

    def named_in(self, text: str | None) -> str | None:
        """The first of the words that stands in a text as whole words."""
        if not text:
            return None
        return next((word for word in self.words if _whole(word).search(text)), None)


@dataclass(frozen=True, slots=True)
class Touch:
    """One reason why a thing counts as touched.

    Attributes:
        thing: key of the thing.
        reach: how near.
        how: the reason in words.
        says: key of the record that says so.
        via: key of the thing through which it was touched; None where directly.
        when: date of the use; None where not recorded.
        earliest: first day on which it can have been touched; None: no bound.
        latest: last day; None: no bound.
    """

    thing: str
    reach: Reach
    how: str
    says: str
    via: str | None = None
    when: Edtf | None = None
    earliest: int | None = None
    latest: int | None = None


def recall(
    state: State,
    wanted: Wanted,
    first: int | None = None,
    last: int | None = None,
) -> dict[str, tuple[Touch, ...]]:
    """Everything that was touched, with all reasons, the nearest first.

    Args:
        state: must hold what the material touched and what that touches.
        wanted: what is recalled.
        first: first day asked about, days since 1970-01-01; None for no bound.
        last: last day asked about.
    """
    direct = [touch for touch in _direct(state, wanted) if _within(touch, first, last)]
    taken = list(_taken(state, direct))
    known = {touch.thing for touch in (*direct, *taken)}
    bonded = [one for one in _contacts(state, direct) if one.thing not in known]
    known |= {touch.thing for touch in bonded}
    further = [one for one in _taken(state, bonded) if one.thing not in known]
    mentioned = [one for one in _mentions(state, wanted) if one.thing not in known]
    found: dict[str, list[Touch]] = {}
    for touch in dict.fromkeys([*direct, *taken, *bonded, *further, *mentioned]):
        if _within(touch, first, last):
            found.setdefault(touch.thing, []).append(touch)
    return {key: tuple(touches) for key, touches in found.items()}


def _direct(state: State, wanted: Wanted) -> Iterator[Touch]:
    yield from _used(state, wanted.keys, "")
    yield from _known_hazards(state, wanted)
    batches = " (the batch is not recorded)"
    yield from (
        one
        for one in _used(state, wanted.loose, batches)
        if not _names_batch(state, one.says)
    )
    for key, element in state.all_of(Element):
        if word := wanted.named_in(element.material):
            yield _lasting(state, key, f"recorded as made of {word}", key)
    for key, claim in state.all_of(Claim):
        if claim.relation is Relation.MADE_OF and claim.stance is Stance.FOR:
            yield from _said_made_of(state, key, claim, wanted)
    for key, result in state.all_of(Result):
        word = wanted.named_in(result.found)
        if word and not _DENIED.search(result.found):
            yield _lasting(state, result.of, f"{result.method} found {word}", key)


def _used(state: State, keys: Iterable[str], more: str) -> Iterator[Touch]:
    for key in sorted(keys):
        for says, one in state.about(key, Happening, "used"):
            window = one.when
            for thing in one.elements or (one.object,):
                how = f"concerned by {one.number} {one.name}, which used it{more}"
                if not one.elements:
                    how += "; which elements is not recorded"
                yield Touch(
                    thing, Reach.DIRECT, how, says, None, window,
                    window.earliest if window else None, window.latest if window else None,
                )  # fmt: skip


def _names_batch(state: State, happening: str) -> bool:
    used = state.record(happening, Happening).used
    return any(key in state and state.held(key).record.kind == "batch" for key in used)


def _said_made_of(state: State, key: str, claim: Claim, wanted: Wanted) -> Iterator[Touch]:
    word = wanted.named_in(claim.value) or wanted.named_in(claim.material)
    if claim.other in wanted.keys and claim.other is not None:
        word = state.label(claim.other)
    if word:
        how = f"said to be made of {word} [{claim.strength}]"
        yield _lasting(state, claim.about, how, key)


def _lasting(state: State, thing: str, how: str, says: str) -> Touch:
    """A touch that lasts as long as the thing is on its object."""
    if thing not in state or not isinstance(state.held(thing).record, Element):
        return Touch(thing, Reach.DIRECT, how, says)
    came = [
        one
        for _, one in state.about(thing, Happening, "concerns")
        if one.sort in ARRIVES and one.when is not None
    ]
    begun = [one.when.earliest for one in came if one.when]
    days = [day for day in begun if day is not None]
    when = came[0].when if len(came) == 1 else None
    earliest = min(days) if days and len(days) == len(begun) else None
    return Touch(
        thing, Reach.DIRECT, how, says, None, when, earliest, _taken_off_by(state, thing)
    )


def _taken_off_by(state: State, element: str) -> int | None:
    """The day by which nothing of an element was on its object; None where none is told."""
    if state.record(element, Element).status not in _OFF:
        return None
    off = [one.removed_when for _, one in state.about(element, KeptPart, "taken from")]
    days = [one.latest if one else None for one in off]
    return None if not days or None in days else max(day for day in days if day is not None)


def _taken(state: State, touches: Iterable[Touch]) -> Iterator[Touch]:
    """What was taken from what was touched, unless it was off before."""
    waiting = list(touches)
    met = {touch.thing for touch in waiting}
    while waiting:
        touch = waiting.pop(0)
        for word in TAKEN:
            for link, key in state.pointing(touch.thing, word):
                if key != link.src or _off_before(state, key, touch):
                    continue
                how = f"{word} {state.number(touch.thing)}"
                one = replace(touch, thing=key, how=how, says=key, via=touch.thing)
                yield one
                if key not in met:
                    met.add(key)
                    waiting.append(one)


def _off_before(state: State, key: str, touch: Touch) -> bool:
    record = state.held(key).record
    when: Edtf | None = None
    if isinstance(record, KeptPart):
        when = record.removed_when
    elif isinstance(record, Sample):
        when = record.taken_when
    if when is None or when.latest is None or touch.earliest is None:
        return False
    return when.latest < touch.earliest


def _contacts(state: State, touches: Iterable[Touch]) -> Iterator[Touch]:
    """Elements in contact with a touched one, and those that belong to it."""
    for touch in touches:
        if touch.thing not in state:
            continue
        out = [(link, says, link.dst) for link, says in state.said(touch.thing)]
        back = [(link, says, link.src) for link, says in state.pointing(touch.thing)]
        for link, says, other in (*out, *back):
            nested = link.word == "part of" and other == link.src
            if link.word not in CONTACT and not nested:
                continue
            if other in state and isinstance(state.held(other).record, Element):
                how = "part of" if nested else "in contact with"
                yield replace(
                    touch,
                    thing=other,
                    reach=Reach.CONTACT,
                    how=f"{how} {state.number(touch.thing)}",
                    says=says,
                    via=touch.thing,
                )


def _known_hazards(state: State, wanted: Wanted) -> Iterator[Touch]:
    """Things on which the material is a known hazard; a suspicion is only a mention."""
    for key, one in state.all_of(Caution):
        word = wanted.named_in(one.what)
        if word and one.sort is CautionSort.HAZARD and one.known is Known.KNOWN:
            for thing in one.about:
                yield _lasting(state, thing, f"known hazard recorded: {one.what}", key)


def _mentions(state: State, wanted: Wanted) -> Iterator[Touch]:
    for key in state:
        record = state.held(key).record
        if record.kind not in SPEAKING:
            continue
        if word := wanted.named_in(record.words()):
            how = f"{word} is mentioned in the words of {record.label()}"
            if isinstance(record, Caution):
                how += f" ({record.known or record.sort})"
            for thing in _spoken_of(record, key):
                if thing in state:
                    yield Touch(thing, Reach.MENTIONED, how, key)


def _spoken_of(record: Record, key: str) -> tuple[str, ...]:
    if isinstance(record, Claim):
        return (record.about,)
    if isinstance(record, Result):
        return (record.of,)
    if isinstance(record, Caution):
        return record.about
    if isinstance(record, Happening):
        return record.elements or (record.object,)
    return (key,)


def _within(touch: Touch, first: int | None, last: int | None) -> bool:
    """Whether a touch can have been in the time asked about; what is undated can."""
    too_late = last is not None and touch.earliest is not None and touch.earliest > last
    too_early = first is not None and touch.latest is not None and touch.latest < first
    return not (too_late or too_early)


def _whole(word: str) -> re.Pattern[str]:
    spaced = r"\s+".join(map(re.escape, word.split()))
    return re.compile(rf"(?<!\w){spaced}(?!\w)", re.I)
