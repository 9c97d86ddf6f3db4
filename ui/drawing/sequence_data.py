"""What goes into a sequence drawing: plain words and keys, nothing computed."""

from __future__ import annotations

from dataclasses import dataclass

__all__ = [
    "SameEvent",
    "SequenceData",
    "SequenceItem",
    "SequenceLoop",
    "SequencePhase",
    "SequenceRelation",
]


@dataclass(frozen=True, slots=True)
class SequencePhase:
    """A phase of the object; phases are given earliest first.

    Attributes:
        key: the record's key.
        label: its name.
        when: its dates in words; "" where not recorded.
    """

    key: str
    label: str
    when: str = ""


@dataclass(frozen=True, slots=True)
class SequenceItem:
    """A layer, element, feature or happening.

    Attributes:
        key: the record's key.
        label: number and name as the reader knows it.
        kind: "layer", "element", "feature", "happening" or another word.
        phase: key of its phase; "" where it is not known to be in one.
        when: its date in words; "" where not recorded.
        phase_words: what is known of the phase where it is not known to be in one, e.g.
            "open between P2 and P3".
    """

    key: str
    label: str
    kind: str = ""
    phase: str = ""
    when: str = ""
    phase_words: str = ""


@dataclass(frozen=True, slots=True)
class SequenceRelation:
    """One thing is later than another.

    Attributes:
        later: key of the later item.
        earlier: key of the earlier item.
        words: the relation as observed, e.g. "lies over", "cuts".
        claims: ids of the claims that say so.
    """

    later: str
    earlier: str
    words: str = "is later than"
    claims: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class SequenceLoop:
    """Relations that cannot all be true: each item comes out later than itself."""

    relations: tuple[SequenceRelation, ...]


@dataclass(frozen=True, slots=True)
class SameEvent:
    """Two items that came about together.

    Attributes:
        one: key of an item.
        other: key of the other item.
        words: the relation as stated, e.g. "same stuff as".
        claims: ids of the claims that say so.
    """

    one: str
    other: str
    words: str = "same event as"
    claims: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class SequenceData:
    """Everything in one sequence drawing.

    Attributes:
        title: heading of the drawing.
        items: everything to draw.
        relations: the order, reduced: what follows from others is left out.
        phases: earliest first.
        loops: relations that contradict each other.
        same: items of one event.
        left_out: how many stated relations were left out because others imply them.
    """

    title: str
    items: tuple[SequenceItem, ...]
    relations: tuple[SequenceRelation, ...] = ()
    phases: tuple[SequencePhase, ...] = ()
    loops: tuple[SequenceLoop, ...] = ()
    same: tuple[SameEvent, ...] = ()
    left_out: int = 0
