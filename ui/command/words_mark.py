"""Answers about marks, in words for a terminal."""

from collections.abc import Sequence
from typing import TYPE_CHECKING

from .words import NONE, cautions, claim, table, view

if TYPE_CHECKING:
    from vestige.graph.answer.arrangement import Arrangements, Between, Stage
    from vestige.graph.answer.mark import Marks, MarksOfFace, SetAside
    from vestige.graph.answer.mark_match import (
        Joint,
        Match,
        Matches,
        MatchInPhase,
        PlayedChance,
    )
    from vestige.graph.answer.mark_row import Row, RowsFromMarks, RowsInPhase

__all__ = ["arrangements", "marks", "match", "matches", "rows"]

NO_PHASE = "phase not recorded"


def marks(answer: "Marks") -> str:
    """Words of `marks`: face by face, phase by phase."""
    lines = [answer.about.label, *view(answer.as_known), *cautions(answer.cautions)]
    if not answer.faces:
        lines.append(f"faces and marks: {NONE}")
    for one in answer.faces:
        lines += ["", *_face(one)]
    return "\n".join(lines + _aside(answer.set_aside))


def _face(one: "MarksOfFace") -> list[str]:
    read = f", read {one.reading}" if one.reading else ""
    lines = [f"{one.face.label}, piece {one.piece}, {one.size}{read}"]
    if not one.marks:
        looked = "examined, no mark seen" if one.examined else f"examination {NONE}"
        return [*lines, f"  {looked}"]
    rows = [
        (
            m.phase.number.rsplit("/", 1)[-1] if m.phase else "-",
            m.what + (" (hinge)" if m.hinge else ""),
            m.thing.number,
            m.at or "restricted",
            m.side or "-",
            f"± {m.scatter_mm:g} mm" + ("" if m.scatter_recorded else " (taken)"),
        )
        for m in one.marks
    ]
    heads = ("phase", "kind", "mark", "at", "side", "scatter")
    lines += [f"  {line}" for line in table(heads, rows)]
    if any(not m.scatter_recorded for m in one.marks):
        lines.append("  (taken): scatter not recorded; reckoned with as if so")
    return lines


def match(answer: "Match") -> str:
    """Words of `match FACE FACE`."""
    lines = [f"{answer.a.label} against {answer.b.label}"]
    lines += [*view(answer.as_known), *cautions(answer.cautions)]
    for one in answer.phases:
        lines += ["", *_in_phase(answer, one)]
    lines += ["", f"Seed {answer.seed}: the same seed gives the same figures."]
    return "\n".join(lines)


def _in_phase(answer: "Match", one: "MatchInPhase") -> list[str]:
    head = one.phase.label if one.phase else NO_PHASE
    lines = [f"{head} ({_kinds(one.kinds)}): {one.conclusion.upper()}"]
    lines += [f"  {one.reason}"]
    if one.how:
        lines.append(f"  {answer.a.number} lies {one.how}")
    for p in one.pairs:
        lines.append(f"  meet     {p.a} with {p.b}, {p.residual_mm:.1f} mm apart")
    for name, lonely in ((answer.a, one.lonely_a), (answer.b, one.lonely_b)):
        if lonely:
            lines.append(
                f"  alone    on {name.number}, should have met and did not: "
                f"{', '.join(lonely)}"
            )
    for rival in one.rivals:
        share = f"{rival.share:.0%} of the score"
        lines.append(f"  or else  {rival.how} ({share})")
    lines += [f"  chance   {_chance(c)}" for c in one.chances]
    if one.ratio is not None:
        lines.append(f"  weight   {one.strength} (likelihood ratio {_ratio(one.ratio)})")
    return lines


def _kinds(kinds: Sequence[str]) -> str:
    return "; ".join(kind for kind in kinds if not kind.endswith(", end"))


def _ratio(ratio: float) -> str:
    if ratio < 0.1:
        return "below 0.1"
    return f"{ratio:.0f}" if ratio >= 10 else f"{ratio:.1f}"


def _alone(lonely: Sequence[str]) -> str:
    """How many marks have no partner, by edge: "3 on B-left, 3 on A-right"."""
    edges = [one.split(":", maxsplit=1)[0] for one in lonely]
    return ", ".join(f"{edges.count(edge)} on {edge}" for edge in dict.fromkeys(edges))


def _chance(one: "PlayedChance") -> str:
    after = f", {_p(one.p_corrected)} after {one.tried} pairings" if one.tried > 1 else ""
    return f"{one.where}: as good in {one.as_good} of {one.runs} runs, p {_p(one.p)}{after}"


def _p(value: float) -> str:
    return f"{value:.3f}" if value >= 0.001 else f"{value:.1g}"


def matches(answer: "Matches") -> str:
    """Words of `match OBJECT --all`: the surest first."""
    lines = [answer.about.label, *view(answer.as_known), *cautions(answer.cautions)]
    lines.append(f"{answer.tried} pairings tried; every p is corrected for them")
    rows = [_joint(one) for one in answer.joints if one.match.pairs]
    heads = ("p", "weight", "meet", "alone", "phase", "faces or edges", "")
    lines += ["", *table(heads, rows)]
    none = sum(not one.match.pairs for one in answer.joints)
    if none:
        lines.append(f"{none} pairings in which no two marks meet are left out")
    for each in answer.together:
        name = each.phase.label if each.phase else NO_PHASE
        lines += ["", f"{name}: {each.reason}"]
        if each.best:
            lines.append("  best set: " + "; ".join(f"{a} with {b}" for a, b in each.best))
    lines += ["", f"Seed {answer.seed}: the same seed gives the same figures."]
    return "\n".join(lines + _aside(answer.set_aside))


def _joint(one: "Joint") -> tuple[str, ...]:
    found = one.match
    p = max((c.p_corrected for c in found.chances), default=None)
    return (
        "-" if p is None else _p(p),
        found.strength,
        str(len(found.pairs)),
        str(len(found.lonely_a) + len(found.lonely_b)),
        found.phase.number.rsplit("/", 1)[-1] if found.phase else "-",
        f"{one.a.number} with {one.b.number}",
        found.conclusion,
    )


def arrangements(answer: "Arrangements") -> str:
    """Words of `arrangements`: what is said of each phase, nothing resolved."""
    lines = [answer.about.label, *view(answer.as_known), *cautions(answer.cautions)]
    if not answer.stages:
        lines.append(f"arrangement: {NONE}")
    for stage in answer.stages:
        lines += _stage(stage)
    if answer.between:
        lines += ["", "from one state to the next:"]
    for one in answer.between:
        lines += _between(one)
    return "\n".join(lines)


def _stage(stage: "Stage") -> list[str]:
    head = stage.phase.label if stage.phase else NO_PHASE
    lines = [head + ("  CONTRADICTION, not resolved" if stage.disputed else "")]
    for one in stage.accounts:
        voices = len(one.voices)
        support = f"{one.strength}; independent sources: {voices}"
        lines.append(f"  {one.words}  [{support if one.strength else 'denied'}]")
        lines += [f"      {claim(said)}" for said in one.speaks_for]
        lines += [f"      against: {claim(said)}" for said in one.speaks_against]
    return lines + [f"  {claim(said)}" for said in stage.stood]


def _between(one: "Between") -> list[str]:
    names = [x.number.rsplit("/", 1)[-1] for x in (one.earlier, one.later)]
    head = f"  {names[0]} {one.before} -> {names[1]} {one.after}"
    head += "  (disputed)" if one.disputed else ""
    if one.reason:
        return [head, f"      not compared: {one.reason}"]
    if not one.changes:
        return [f"{head}: no change told"]
    return [
        head,
        *(f"      {c.piece}: {c.sort}, {c.before} -> {c.after}" for c in one.changes),
    ]


def rows(answer: "RowsFromMarks") -> str:
    """Words of `arrangements OBJECT --from-marks`."""
    lines = [answer.about.label, *view(answer.as_known), *cautions(answer.cautions)]
    lines.append(f"pieces: {', '.join(answer.pieces)}")
    if not answer.phases:
        lines.append(f"marks on left or right edges: {NONE}")
    for one in answer.phases:
        lines += ["", *_rows_in_phase(one)]
    lines += ["", f"Seed {answer.seed}: the same seed gives the same figures."]
    return "\n".join(lines + _aside(answer.set_aside))


def _rows_in_phase(one: "RowsInPhase") -> list[str]:
    head = one.phase.label if one.phase else NO_PHASE
    lines = [f"{head} ({_kinds(one.kinds)}): {one.reason}"]
    if one.decided:
        lines.append(f"  weight   {one.strength}")
    if one.chance:
        lines.append(f"  chance   {_chance(one.chance)}; all orders are tried in each")
    lines += [f"  joint    {_joined(joint)}" for joint in one.joints]
    for place, row in enumerate(one.rows, start=1):
        lines.append(f"  {place}.  {row.words}  {_margin(row)}")
        if row.lonely:
            lines.append(f"      without a partner: {_alone(row.lonely)}")
    if not one.decided and one.agreed:
        agreed = "; ".join(f"{a} with {b}" for a, b in one.agreed)
        lines.append(f"  all good rows have: {agreed}")
    return lines + (_asked(one.asked) if one.asked else _refused(one))


def _refused(one: "RowsInPhase") -> list[str]:
    reasons = list(dict.fromkeys(r for joint in one.refused for r in joint.refused))
    lines = [f"  refused  {reason}" for reason in reasons[:4]]
    if len(reasons) > 4:
        lines.append(f"           and {len(reasons) - 4} joints more; see --json")
    return lines


def _margin(row: "Row") -> str:
    if row.margin_log10 is None:
        return "(no other row is left)"
    if row.margin_log10 < 0.05:
        return "(the next fits as well)"
    if row.margin_log10 < 1:
        return f"({10**row.margin_log10:.1f} times likelier than the next)"
    return f"(10^{row.margin_log10:.1f} times likelier than the next)"


def _joined(joint: "MatchInPhase") -> str:
    p = max((c.p_corrected for c in joint.chances), default=None)
    told = "" if p is None else f", p {_p(p)} after {joint.chances[0].tried} pairings"
    return f"{joint.how}: {joint.conclusion}, {len(joint.pairs)} meet{told}"


def _asked(row: "Row") -> list[str]:
    if row.refused:
        return [f"  {row.words} is REFUSED:", *(f"      {r}" for r in row.refused)]
    met = sum(len(joint.met) for joint in row.joints)
    alone = _alone(row.lonely) or "none"
    return [f"  {row.words} is possible: {met} pairs meet; without a partner: {alone}"]


def _aside(found: Sequence["SetAside"]) -> list[str]:
    if not found:
        return []
    return ["", "set aside:", *(f"  {one.thing.label}: {one.why}" for one in found)]
