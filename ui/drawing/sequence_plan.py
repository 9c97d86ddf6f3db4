"""What a sequence drawing has to show, brought into the shape that the layout wants.

Items of one event are put side by side in one row; statements that close a loop are
turned round for the layout and kept as contradictions; items whose phase disagrees with
the order lose their band, and say so.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from itertools import pairwise

from .rows import disagreeing, rows, turned
from .sequence_data import SameEvent, SequenceData, SequenceRelation

__all__ = ["Drawn", "Plan", "plan"]

#: Items without any order that share one row of a phase band.
_IN_A_ROW = 3


@dataclass(frozen=True, slots=True)
class Drawn:
    """One line to draw, as the layout sees it.

    Attributes:
        upper: item at its upper end.
        lower: item at its lower end.
        relation: the statement; for two items of one event, a relation made of it.
        against: whether it is part of a contradiction.
        upwards: whether the earlier item is at the upper end.
        double: whether it says "same event".
    """

    upper: str
    lower: str
    relation: SequenceRelation
    against: bool = False
    upwards: bool = False
    double: bool = False


@dataclass(frozen=True, slots=True)
class Plan:
    """The drawing's content, ready for layout.

    Attributes:
        groups: items that stand side by side; each item with a row is in one group.
        row_of: row of each group, by its number; 0 is the earliest.
        lines: in the order of the statements.
        loose: items with neither order nor phase.
        unordered: items with a phase but no order.
        band_of: phase number of each item that stands in a band.
        astray: items whose phase disagrees with the order.
    """

    groups: tuple[tuple[str, ...], ...]
    row_of: tuple[int, ...]
    lines: tuple[Drawn, ...]
    loose: tuple[str, ...]
    unordered: frozenset[str]
    band_of: Mapping[str, int]
    astray: frozenset[str]


def plan(data: SequenceData, across: int | None = None) -> Plan:
    """Bring *data* into rows of at most *across* items, groups and lines.

    Raises:
        ValueError: if a relation, a loop or a phase names something that is not there.
    """
    _check(data)
    lines = _ordered(data)
    pairs = [(d.upper, d.lower) for d in lines]
    number = {phase.key: i for i, phase in enumerate(data.phases)}
    phases = {i.key: number[i.phase] for i in data.items if i.phase}
    leader, apart = _groups(data, pairs, phases)
    lines += _same_lines(apart, pairs)
    pairs = [(leader[d.upper], leader[d.lower]) for d in lines]
    bands = {leader[k]: band for k, band in phases.items()}
    astray = disagreeing(pairs, bands)
    bands = {k: band for k, band in bands.items() if k not in astray}
    tied = {k for pair in pairs for k in pair}
    members: dict[str, list[str]] = {}
    for item in data.items:
        members.setdefault(leader[item.key], []).append(item.key)
    loose = [
        k for k in members if k not in tied and k not in bands and len(members[k]) == 1
    ]
    sizes = {k: len(m) for k, m in members.items()}
    stacked = _stacked(pairs, bands, tied)
    row_of = rows(stacked, bands, most=across, size_of=sizes)
    placed = [k for k in members if k not in loose]
    return Plan(
        tuple(tuple(members[k]) for k in placed),
        tuple(row_of.get(k, 0) for k in placed),
        tuple(lines),
        tuple(loose),
        frozenset(k for k in bands if k not in tied and len(members[k]) == 1),
        {m: bands[k] for k in placed if k in bands for m in members[k]},
        frozenset(m for k in astray for m in members[k] if m in phases),
    )


def _check(data: SequenceData) -> None:
    keys = {item.key for item in data.items}
    if len(keys) < len(data.items):
        raise ValueError("two items have the same key")
    stated = [*data.relations, *(r for loop in data.loops for r in loop.relations)]
    named = [k for r in stated for k in (r.later, r.earlier)]
    named += [k for s in data.same for k in (s.one, s.other)]
    missing = sorted(set(named) - keys)
    if missing:
        raise ValueError(f"relations name items that are not given: {', '.join(missing)}")
    phases = {phase.key for phase in data.phases}
    unknown = sorted({i.phase for i in data.items if i.phase} - phases)
    if unknown:
        raise ValueError(f"items name phases that are not given: {', '.join(unknown)}")


def _ordered(data: SequenceData) -> list[Drawn]:
    """All statements of order, downwards; those that close a loop turned round.

    A statement of an item about itself cannot be drawn as a line and is left to the
    table.
    """
    looped = [r for loop in data.loops for r in loop.relations]
    given = [r for r in data.relations if r not in looped]
    stated = [r for r in (*given, *dict.fromkeys(looped)) if r.later != r.earlier]
    turns = turned([(r.later, r.earlier) for r in stated])
    return [
        Drawn(r.earlier, r.later, r, against=True, upwards=True)
        if turn
        else Drawn(r.later, r.earlier, r, against=r in looped)
        for r, turn in zip(stated, turns, strict=True)
    ]


def _groups(
    data: SequenceData, pairs: Sequence[tuple[str, str]], phases: Mapping[str, int]
) -> tuple[dict[str, str], list[SameEvent]]:
    """Leader of each item's group, and the same-event statements that cannot hold."""
    leader = {item.key: item.key for item in data.items}
    apart: list[SameEvent] = []
    for same in data.same:
        one, other = leader[same.one], leader[same.other]
        trial = {k: one if v == other else v for k, v in leader.items()}
        together = [k for k in trial if trial[k] == one]
        if len({phases[k] for k in together if k in phases}) > 1 or any(
            turned([(trial[a], trial[b]) for a, b in pairs])
        ):
            apart.append(same)
        else:
            leader = trial
    return leader, apart


def _same_lines(
    apart: Sequence[SameEvent], pairs: Sequence[tuple[str, str]]
) -> list[Drawn]:
    """Lines for items said to be of one event though order or phase keep them apart."""
    lines: list[Drawn] = []
    for same in apart:
        if same.one == same.other:
            continue
        relation = SequenceRelation(same.one, same.other, same.words, same.claims)
        so_far = [*pairs, *((d.upper, d.lower) for d in lines)]
        turn = turned([*so_far, (same.one, same.other)])[-1]
        ends = (same.other, same.one) if turn else (same.one, same.other)
        lines.append(Drawn(*ends, relation, against=True, double=True))
    return lines


def _stacked(
    pairs: Sequence[tuple[str, str]], bands: Mapping[str, int], tied: set[str]
) -> list[tuple[str, str]]:
    """*pairs* and more that keep items without order in rows of their own, below the
    ordered ones of their phase."""
    out = list(pairs)
    for band in sorted(set(bands.values())):
        alone = [k for k in bands if bands[k] == band and k not in tied]
        ranks = [alone[i : i + _IN_A_ROW] for i in range(0, len(alone), _IN_A_ROW)]
        ranks.append([k for k in bands if bands[k] == band and k in tied])
        for below, above in pairwise(ranks):
            out += [(upper, lower) for upper in above for lower in below]
    return out
