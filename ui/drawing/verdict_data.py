"""What goes into a verdict board: plain words and keys, nothing computed."""

from __future__ import annotations

from dataclasses import dataclass

from .palette import GRADES, verdict_class
from .signs import STATUSES

__all__ = ["VerdictData", "VerdictGroup", "VerdictPart", "checked"]


@dataclass(frozen=True, slots=True)
class VerdictPart:
    """One element and what is held about it.

    Attributes:
        key: the record's key.
        label: number and name as the reader knows it.
        verdict: the words of the assessment, e.g. "added in P5 museum workshop".
        grade: "established", "probable", "possible", "open" or "unexamined".
        group: key of the group it belongs to; "" for the object itself.
        status: physical status, one of the keys of ``STATUSES``.
        place: where it is now, or the words for why that is not known; "" for nothing.
        caution: the caution in words; "" for none.
        rival: the rival view in words; "" for none.
    """

    key: str
    label: str
    verdict: str
    grade: str
    group: str = ""
    status: str = "in place"
    place: str = ""
    caution: str = ""
    rival: str = ""


@dataclass(frozen=True, slots=True)
class VerdictGroup:
    """What parts are grouped by: a larger part of the object, or a kind."""

    key: str
    label: str


@dataclass(frozen=True, slots=True)
class VerdictData:
    """Everything on one board.

    Attributes:
        title: heading of the drawing.
        parts: in the order in which they are to stand within their groups.
        groups: in the order in which they are to stand; parts with group "" come first.
        arrangement: what the verdicts speak of, e.g. "as it stands now, as known on
            2024-03-01"; "" for nothing.
    """

    title: str
    parts: tuple[VerdictPart, ...]
    groups: tuple[VerdictGroup, ...] = ()
    arrangement: str = ""


def checked(data: VerdictData) -> VerdictData:
    """*data* itself, if it can be drawn.

    Raises:
        ValueError: if a part's group, grade or status is not known, its verdict is not in
            the words of an assessment, or two parts share a key.
    """
    if len({p.key for p in data.parts}) < len(data.parts):
        raise ValueError("two parts have the same key")
    groups = {"", *(g.key for g in data.groups)}
    for part in data.parts:
        verdict_class(part.verdict)
        for word, known in ((part.grade, GRADES), (part.status, STATUSES)):
            if word not in known:
                raise ValueError(f"{part.key}: {word!r} is none of {', '.join(known)}")
        if part.group not in groups:
            raise ValueError(f"{part.key}: the group {part.group!r} is not given")
    return data
