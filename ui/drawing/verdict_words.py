"""What a verdict board says in words: counts, the description, the table."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence

from ..language import verdict, word
from . import words as said
from .palette import VERDICTS, VerdictClass, verdict_class
from .svg import Table
from .verdict_data import VerdictData, VerdictGroup, VerdictPart

__all__ = ["Grouped", "count_words", "counted", "described", "folded_words", "table_of"]

Grouped = Sequence[tuple[VerdictGroup, Sequence[VerdictPart]]]


def counted(parts: Sequence[VerdictPart]) -> list[tuple[VerdictClass, int]]:
    """How many parts have each verdict; verdicts that none has are left out."""
    counts = Counter(verdict_class(p.verdict).key for p in parts)
    return [(v, counts[k]) for k, v in VERDICTS.items() if counts[k]]


def folded_words(parts: Sequence[VerdictPart]) -> str:
    """What a folded group holds."""
    sentences = [said.FOLDED.format(parts=_parts(len(parts)), tally=_tally(parts))]
    away = sum(p.status != "in place" for p in parts)
    if away:
        sentences.append(said.NOT_IN_PLACE.format(count=away))
    warned = sum(bool(p.caution) for p in parts)
    if warned:
        sentences.append(said.WITH_CAUTION.format(count=warned))
    return " ".join(sentences)


def count_words(data: VerdictData, grouped: Grouped, folded: frozenset[str]) -> str:
    """The line under the heading."""
    words = f"{_parts(len(data.parts))}."
    if data.arrangement:
        words += f" {said.SPEAK_OF.format(arrangement=data.arrangement)}"
    hidden = sum(len(parts) for g, parts in grouped if g.key in folded)
    if hidden:
        count = len(folded)
        groups = said.ONE_GROUP if count == 1 else said.GROUPS.format(count=count)
        words += f" {said.FOLDED_INTO.format(count=hidden, groups=groups)}"
    return words


def described(data: VerdictData, grouped: Grouped, folded: frozenset[str]) -> str:
    """The whole board in sentences; names every part, folded or not."""
    tally = _tally(data.parts)
    words = [f"{data.title}. {count_words(data, grouped, folded)}"]
    if tally:
        words.append(said.BY_VERDICT.format(tally=tally))
    for group, parts in grouped:
        if group.label:
            words.append(f"{group.label}: {_parts(len(parts))}.")
        words += [_sentence(part) for part in parts]
    return " ".join(words)


def table_of(data: VerdictData) -> Table:
    """One row a part."""
    labels = {g.key: g.label for g in data.groups} | {"": ""}
    return said.VERDICT_HEADS, tuple(
        (
            *(p.label, labels[p.group], verdict(p.verdict), word(p.grade)),
            *(word(p.status), p.place, verdict(p.rival), p.caution),
        )
        for p in data.parts
    )


def _sentence(part: VerdictPart) -> str:
    words = f"{part.label}: {verdict(part.verdict)}, {word(part.grade)}"
    words += f"; {word(part.status)}"
    words += f", {part.place}" if part.place else ""
    words += f"; {said.RIVAL.format(text=verdict(part.rival))}" if part.rival else ""
    words += f"; {said.CAUTION.format(text=part.caution)}" if part.caution else ""
    return words + "."


def _parts(count: int) -> str:
    return said.ONE_PART if count == 1 else said.PARTS.format(count=count)


def _tally(parts: Sequence[VerdictPart]) -> str:
    return "; ".join(f"{n} {word(v.words)}" for v, n in counted(parts))
