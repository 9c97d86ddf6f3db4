"""What a verdict board says in words: counts, the description, the table."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence

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
    words = [f"{n} {v.words}" for v, n in counted(parts)]
    sentences = [f"{_parts(len(parts))}, folded: {'; '.join(words)}."]
    away = sum(p.status != "in place" for p in parts)
    if away:
        sentences.append(f"{away} not in place now.")
    warned = sum(bool(p.caution) for p in parts)
    if warned:
        sentences.append(f"{warned} with a caution.")
    return " ".join(sentences)


def count_words(data: VerdictData, grouped: Grouped, folded: frozenset[str]) -> str:
    """The line under the heading."""
    words = f"{_parts(len(data.parts))}."
    if data.arrangement:
        words += f" The verdicts speak of the object {data.arrangement}."
    hidden = sum(len(parts) for g, parts in grouped if g.key in folded)
    if hidden:
        groups = f"{len(folded)} group{'s' if len(folded) > 1 else ''}"
        words += f" {hidden} of them are folded into {groups}; the table names each."
    return words


def described(data: VerdictData, grouped: Grouped, folded: frozenset[str]) -> str:
    """The whole board in sentences; names every part, folded or not."""
    tally = "; ".join(f"{n} {v.words}" for v, n in counted(data.parts))
    words = [f"{data.title}. {count_words(data, grouped, folded)}"]
    if tally:
        words.append(f"By verdict: {tally}.")
    for group, parts in grouped:
        if group.label:
            words.append(f"{group.label}: {_parts(len(parts))}.")
        words += [_sentence(part) for part in parts]
    return " ".join(words)


def table_of(data: VerdictData) -> Table:
    """One row a part."""
    labels = {g.key: g.label for g in data.groups} | {"": ""}
    heads = (
        *("Part", "Belongs to", "Verdict", "Grade"),
        *("Physical status", "Place", "Rival view", "Caution"),
    )
    return heads, tuple(
        (
            *(p.label, labels[p.group], p.verdict, p.grade),
            *(p.status, p.place, p.rival, p.caution),
        )
        for p in data.parts
    )


def _sentence(part: VerdictPart) -> str:
    words = f"{part.label}: {part.verdict}, {part.grade}; {part.status}"
    words += f", {part.place}" if part.place else ""
    words += f"; rival view: {part.rival}" if part.rival else ""
    words += f"; caution: {part.caution}" if part.caution else ""
    return words + "."


def _parts(count: int) -> str:
    return "1 part" if count == 1 else f"{count} parts"
