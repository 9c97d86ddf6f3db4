"""What a sequence drawing says in words: labels, the description, the table."""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Sequence

from .sequence_data import SequenceData, SequenceItem
from .sequence_plan import Drawn, Plan
from .svg import Table

__all__ = ["claim_words", "described", "labels_of", "table_of"]


def claim_words(claims: Sequence[str]) -> str:
    """A sentence naming the claims."""
    if not claims:
        return "No claim is named."
    return f"Claims: {', '.join(claims)}."


def labels_of(planned: Plan, most: int) -> list[tuple[str, ...]]:
    """The words at each line, in lines. With more than *most* lines into one box they are
    left to the table, but for contradictions."""
    arriving = Counter(d.lower for d in planned.lines)
    return [
        _label(d) if d.against or arriving[d.lower] <= most else () for d in planned.lines
    ]


def _label(drawn: Drawn) -> tuple[str, ...]:
    claims = drawn.relation.claims
    named = ", ".join(claims[:2])
    if len(claims) > 2:
        named = f"{claims[0]} and {len(claims) - 1} more"
    words = [named] if named else []
    if drawn.double:
        words.insert(0, drawn.relation.words)
    if drawn.against:
        words.insert(0, "contradiction")
    return tuple(words)


def described(data: SequenceData, planned: Plan) -> str:
    """The whole drawing in sentences; names every item."""
    labels = {i.key: i.label for i in data.items}
    parts = [f"{data.title}. {len(data.items)} items, latest to earliest."]
    parts += [_phase_sentence(data, planned, band) for band in range(len(data.phases))]
    parts += [_item_sentence(i, data, planned) for i in data.items]
    for d in planned.lines:
        if not d.against:
            r = d.relation
            parts.append(
                f"{labels[r.later]} {r.words} {labels[r.earlier]}. {claim_words(r.claims)}"
            )
    parts += [
        f"{labels[s.one]} {s.words} {labels[s.other]}. {claim_words(s.claims)}"
        for s in data.same
    ]
    against = [
        f"{labels[d.relation.later]} {d.relation.words} {labels[d.relation.earlier]} "
        f"({', '.join(d.relation.claims) or 'no claim named'})"
        for d in planned.lines
        if d.against
    ]
    if against:
        parts.append(f"Contradiction, these cannot all be true: {'; '.join(against)}.")
    if data.left_out:
        parts.append(f"{data.left_out} relations follow from these and are left out.")
    return " ".join(parts)


def table_of(data: SequenceData, planned: Plan) -> Table:
    """One row an item: what it is, what it is later and earlier than, on which claims."""
    over: defaultdict[str, list[str]] = defaultdict(list)
    under: defaultdict[str, list[str]] = defaultdict(list)
    against: defaultdict[str, list[str]] = defaultdict(list)
    labels = {i.key: i.label for i in data.items}

    def cited(key: str, claims: Sequence[str]) -> str:
        return f"{labels[key]} ({', '.join(claims)})" if claims else labels[key]

    for d in planned.lines:
        r = d.relation
        if d.against:
            words = f"{labels[r.later]} {r.words} {cited(r.earlier, r.claims)}"
            against[r.later].append(words)
            against[r.earlier].append(words)
        else:
            over[r.later].append(cited(r.earlier, r.claims))
            under[r.earlier].append(cited(r.later, r.claims))
    same: defaultdict[str, list[str]] = defaultdict(list)
    for s in data.same:
        same[s.one].append(cited(s.other, s.claims))
        same[s.other].append(cited(s.one, s.claims))
    heads = (
        *("Item", "Kind", "Phase", "When", "Later than", "Earlier than"),
        *("Same event as", "Contradiction"),
    )
    rows = []
    for item in data.items:
        found = (over, under, same, against)
        cells = ("; ".join(each[item.key]) for each in found)
        when = item.when or "not recorded"
        phase = _phase_words(item, data, planned)
        rows.append((item.label, item.kind, phase, when, *cells))
    return heads, tuple(rows)


def _phase_words(item: SequenceItem, data: SequenceData, planned: Plan) -> str:
    if item.phase:
        label = next(p.label for p in data.phases if p.key == item.phase)
        return f"{label}, disagrees with the order" if item.key in planned.astray else label
    return item.phase_words or "not recorded"


def _item_sentence(item: SequenceItem, data: SequenceData, planned: Plan) -> str:
    words = item.label
    if item.kind:
        words += f", {item.kind}"
    words += f", phase: {_phase_words(item, data, planned)}"
    words += f", date: {item.when or 'not recorded'}"
    if item.key in planned.unordered or item.key in planned.loose:
        words += ", no order recorded"
    return words + "."


def _phase_sentence(data: SequenceData, planned: Plan, band: int) -> str:
    phase = data.phases[band]
    count = sum(b == band for b in planned.band_of.values())
    dated = f", {phase.when}" if phase.when else ""
    items = "no item" if not count else "1 item" if count == 1 else f"{count} items"
    return f"Phase {phase.label}{dated}: {items}."
