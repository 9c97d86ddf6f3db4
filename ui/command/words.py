"""Answers in words for a terminal: plain text, no boxes, nothing computed."""

from collections.abc import Iterable, Sequence
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from vestige.graph.answer.answer import Said, Warned
    from vestige.graph.answer.assessment import AssessmentOf, Weighed, WhyOf
    from vestige.graph.answer.caution import Cautions
    from vestige.graph.answer.found import Found
    from vestige.graph.answer.sequence import SequenceAnswer, Step, WhyLater
    from vestige.graph.answer.whereabouts import (
        Contents,
        LastSeen,
        Located,
        Location,
        Missing,
        Stay,
    )
    from vestige.graph.answer.window import Limit, Window

NONE = "not recorded"


def table(heads: Sequence[str], rows: Iterable[Sequence[str]]) -> list[str]:
    """Lines of a plain table; the last column may be of any length."""
    cells = [list(heads), *(list(row) for row in rows)]
    widths = [max(len(row[i]) for row in cells) for i in range(len(heads) - 1)]
    return [
        "  ".join(
            [*(c.ljust(w) for c, w in zip(row, widths, strict=False)), row[-1]]
        ).rstrip()
        for row in cells
    ]


def cautions(found: "Sequence[Warned]") -> list[str]:
    """Lines that put the cautions first; empty where none is recorded."""
    lines = []
    for one in found:
        state = f" ({one.known})" if one.known else ""
        forbids = (
            f"; not without the authority's word: {', '.join(one.forbids)}"
            if (one.forbids)
            else ""
        )
        ask = f"; ask {one.ask}" if one.ask else ""
        how = "" if one.how == "recorded of it" else f" [{one.how}: {one.via.number}]"
        lines.append(f"! {one.sort.upper()} {one.what}{state}{forbids}{ask}{how}")
    return lines


def view(as_known: str | None, on: str | None = None) -> list[str]:
    """A line that says of which moment the answer speaks, where it is not now."""
    said = [f"as it was on {on}"] if on else []
    said += [f"as known on {as_known}"] if as_known else []
    return [f"({', '.join(said)})"] if said else []


def claim(said: "Said") -> str:
    """A claim with its strength and source, in one line."""
    source = said.source.label if said.source else f"source {NONE}"
    if said.origin:
        source += f", a copy of {', '.join(one.number for one in said.origin)}"
    when = f", {said.when}" if said.when else ""
    by = f", {said.by}" if said.by else ""
    return f"{said.number}: {said.text} [{said.strength}; {source}{by}{when}]"


def location(answer: "Location") -> str:
    """Words of `locate`."""
    lines = [
        answer.about.label,
        *view(answer.as_known, answer.on),
        *cautions(answer.cautions),
    ]
    if not answer.things:
        lines.append("nothing taken from it is recorded")
    for one in answer.things:
        lines += ["", *_located(one)]
    return "\n".join(lines)


def _located(one: "Located") -> list[str]:
    lines = [f"{one.thing.label}  ({one.status})"]
    if one.came_from:
        lines.append("  from        " + " < ".join(thing.label for thing in one.came_from))
    lines.append("  place       " + place(one.place))
    if one.alarm:
        lines.append("  ALARM       it ought to be somewhere and is not known to be")
    if one.not_seen:
        lines.append(f"  not seen    {seen(one.not_seen)}")
    lines.append(f"  last seen   {seen(one.last_seen)}")
    lines.append(f"  known how   {one.certainty}")
    if one.listed:
        lines.append(f"  only listed {', '.join(one.listed)} (from records, not sighted)")
    for stay in one.conflict:
        lines.append(f"  CONFLICT    also said to be in {stay.holder.label} then")
    return lines + ["  " + line for line in cautions(one.cautions)]


def place(stays: "Sequence[Stay]") -> str:
    """The way outwards, e.g. "BX-014 (since 2020-02-18) > shelf 2 > room M1"."""
    if not stays:
        return NONE
    parts = []
    for stay in stays:
        since = f" (since {stay.since})" if stay.since else ""
        parts.append(f"{stay.holder.number}{since}")
    return " > ".join(parts)


def seen(look: "LastSeen | None") -> str:
    """When, where and by whom, and whether it was the thing itself."""
    if look is None:
        return NONE
    where = f" in {look.where.number}" if look.where else ""
    by = f" by {look.by}" if look.by else ""
    return f"{look.when}{where}{by}" + ("" if look.direct else " (its holder, not itself)")


def contents(answer: "Contents") -> str:
    """Words of `contents`."""
    lines = [
        answer.about.label,
        *view(answer.as_known, answer.on),
        *cautions(answer.cautions),
    ]
    lines.append(f"place: {place(answer.place)}")
    lines.append(f"{len(answer.things)} things inside")
    if answer.loose:
        told = "; ".join(f"{count} {word}" for word, count in sorted(answer.loose.items()))
        lines.append(f"loose fragments: {told}")
    for one in answer.things:
        located = one.located
        parents = f" < {located.came_from[0].label}" if located.came_from else ""
        lines.append(
            f"{'  ' * one.depth}{located.thing.label}{parents}  "
            f"[{located.status}; last seen {seen(located.last_seen)}]"
        )
        lines += [f"{'  ' * one.depth}  {claim(said)}" for said in one.candidates]
        if one.note:
            lines.append(f"{'  ' * one.depth}  {one.note}")
        lines += ["  " * (one.depth + 1) + line for line in cautions(located.cautions)]
    return "\n".join(lines)


def missing(answer: "Missing") -> str:
    """Words of `missing`."""
    lines = [
        *view(answer.as_known, answer.on),
        f"{len(answer.things)} things without a known place",
    ]
    for one in answer.things:
        parent = f" < {one.came_from[-1].number}" if one.came_from else ""
        lines.append(f"{one.thing.label}{parent}: {one.reason}")
        lines.append(
            f"    last seen {seen(one.last_seen)}; last place {place(one.last_place)}"
        )
    return "\n".join(lines)


def told_cautions(answer: "Cautions") -> str:
    """Words of `cautions`."""
    found = cautions(answer.cautions) or ["no caution is recorded"]
    for one in answer.cautions:
        basis = one.basis or NONE
        authority = one.authority or NONE
        found.append(f"  {one.number}: basis {basis}; authority {authority}")
    return "\n".join([answer.about.label, *view(answer.as_known), *found, answer.general])


def sequence(answer: "SequenceAnswer") -> str:
    """Words of `sequence`: latest first, as layers lie."""
    lines = [answer.about.label, *view(answer.as_known), *cautions(answer.cautions)]
    lines.append("order shown by claims, latest first:")
    for level in reversed(range(len(answer.levels))):
        names = "; ".join(one.label for one in answer.levels[level])
        lines.append(f"  {level + 1:>2}  {names}")
    lines.append("things on one line are not thereby of one time")
    lines.append(f"relations that nothing else implies ({answer.redundant} others follow):")
    lines += [f"  {step(one)}" for one in answer.steps]
    for loop in answer.loops:
        lines.append("CONTRADICTION: these claims run in a circle; nothing is resolved:")
        lines += [f"  {step(one)}" for one in loop.steps]
    if answer.unrelated:
        names = ", ".join(one.number for one in answer.unrelated)
        lines.append(f"not related by any claim of order: {names}")
    return "\n".join(lines)


def step(one: "Step") -> str:
    """One relation of order with the claims it rests on."""
    claims = ", ".join(f"{said.number} {said.strength}" for said in one.claims)
    return f"{one.later.label} is later than {one.earlier.label}  ({claims})"


def why_later(answer: "WhyLater") -> str:
    """Words of `why B --after A`."""
    head = f"{answer.later.label} after {answer.earlier.label}: {answer.verdict}"
    lines = [head, *view(answer.as_known), *cautions(answer.cautions)]
    for one in answer.chain:
        lines.append(f"  {step(one)}")
        lines += [f"      {claim(said)}" for said in one.claims]
    return "\n".join(lines)


def window(answer: "Window") -> str:
    """Words of `window`."""
    lines = [answer.about.label, *view(answer.as_known), *cautions(answer.cautions)]
    lines += _limit("not before", answer.earliest) + _limit("not after", answer.latest)
    if answer.conflict:
        lines.append("CONTRADICTION: these claims cannot all be right; all are kept:")
        lines += [f"  {claim(one)}" for one in answer.conflict]
        lines.append("set aside here because it costs least to doubt:")
        lines += [f"  {claim(one)}" for one in answer.doubted]
    return "\n".join(lines)


def _limit(name: str, limit: "Limit") -> list[str]:
    lines = [f"{name}: {limit.day or 'nothing recorded bounds it'}"]
    lines += [f"  {claim(one)}" for one in limit.because]
    return lines + [f"  recorded date of {one.label}" for one in limit.dates]


def assessment(answer: "AssessmentOf", numbers: bool = False) -> str:
    """Words of `assess`: one line per element, then what does not go together."""
    lines = [answer.about.label, *view(answer.as_known), *cautions(answer.cautions)]
    lines.append("phases: " + "; ".join(name for _, name in answer.phases))
    heads = ["element", "status", "verdict"]
    rows = []
    for one in answer.verdicts:
        said = one.text
        if numbers:
            said += f"  [p {one.probability:.3f}, at worst {one.lowest:.3f}]"
        rows.append([one.thing.label[:44], one.status, said])
    lines += table(heads, rows)
    if answer.clashes:
        lines.append("claims that do not go together (kept, not resolved):")
        lines += [f"  {clash.text}" for clash in answer.clashes]
    lines += [f"note: {text}" for text in answer.warnings]
    lines += [f"not read: {text}" for text in answer.set_aside]
    lines += [f"inference: {answer.method}", answer.note]
    return "\n".join(lines)


def why(answer: "WhyOf", numbers: bool = False) -> str:
    """Words of `why`: verdict, reasons for and against, rival, what would settle it."""
    verdict = answer.verdict
    lines = [
        f"{answer.about.label}  ({answer.object.label})",
        *view(answer.as_known),
        *cautions(answer.cautions),
        f"verdict: {verdict.text}",
    ]
    if verdict.by_definition:
        lines.append("by definition: it was named as the core, the object itself")
    if answer.account and answer.account not in verdict.text:
        lines.append(f"likeliest account: {answer.account}")
    if numbers:
        lines.append(f"p {verdict.probability:.3f}, at worst {verdict.lowest:.3f}")
    lines += _section("carried by", [claim(one) for one in answer.carried_by])
    for head, claims in (
        ("for it", answer.speaks_for),
        ("against it", answer.speaks_against),
    ):
        said = [
            claim(one.claim) + (_weight(one) if numbers else "")
            for one in claims
            if abs(one.weight) >= 0.05
        ]
        lines += _section(head, said)
    untold = [claim(one) for one in answer.untold]
    lines += _section("about it, but the draws do not tell what it weighs", untold)
    rivals = [one.claim.rival for one in answer.speaks_for if one.claim.rival]
    lines += _section("other explanations named", list(dict.fromkeys(rivals)))
    lines.append(f"rival: {verdict.rival or 'none of weight'}")
    lines += [
        f"  {claim(one.claim)}" for one in answer.rival_claims[:3] if one.weight > 0.05
    ]
    lines += _section("hangs on", list(verdict.hangs_on))
    settling = [
        f"{name} ({touch})" + (f"  {bits:.2f} bits" if numbers else "")
        for name, touch, bits in answer.settling[:6]
        if bits >= 0.01
    ]
    lines += _section("what could settle it, non-touching first", settling)
    if answer.method != "exact":
        lines.append(f"inference: {answer.method}")
    lines.append(answer.note)
    return "\n".join(lines)


def _weight(one: "Weighed") -> str:
    """log10 of the factor on the odds, with its error where it has one."""
    return f"  {one.weight:+.2f}" + (f" (error {one.error:.2f})" if one.error else "")


def _section(head: str, lines: "list[str]") -> list[str]:
    return [f"{head}:", *(f"  {line}" for line in lines)] if lines else []


def found(answer: "Found") -> str:
    """Words of `find`."""
    lines = [f"{one.kind:<10} {one.label}" for one in answer.things]
    first = " (the first 50)" if len(answer.things) == 50 else ""
    return "\n".join([*lines, f"{len(answer.things)} found{first}"])
