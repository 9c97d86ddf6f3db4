"""Decisions and the ground they stand on, in words for a terminal."""

from typing import TYPE_CHECKING

from .words import NONE, cautions, claim, view

if TYPE_CHECKING:
    from vestige.graph.answer.decision import DecisionOf, Decisions, RestsOn
    from vestige.graph.answer.verdict_move import VerdictMove


def decisions(answer: "Decisions") -> str:
    """Words of `decisions`: those to be looked at again first."""
    lines = [*([answer.about.label] if answer.about else []), *view(answer.as_known)]
    lines += cautions(answer.cautions)
    if not answer.decisions:
        lines.append("no decision is recorded")
    lines += [of_decision(one) for one in answer.decisions]
    return "\n".join([*lines, answer.note])


def of_decision(one: "DecisionOf", brief: bool = False) -> str:
    """One decision, with what was said then and what is said now.

    Args:
        one: the decision.
        brief: without the verdicts and claims, which stand beside it.
    """
    again = one.standing.upper() if one.why else one.standing
    about = "; ".join(thing.number for thing in one.about)
    lines = [f"{one.thing.number}  {one.choice}: {about}  ({one.by}, {one.when})  {again}"]
    lines += [f"  {one.reason}"]
    lines += [f"  because {why}" for why in one.why]
    if brief:
        return "\n".join(lines)
    for moved in one.moved:
        lines += [f"  {line}" for line in verdict_move(moved)]
    for rest in one.rests_on:
        lines += _rests_on(rest)
    if not one.moved:
        lines += [f"  then: {thing.label[:50]}: {said.text}" for thing, said in one.then]
    lines.append(f"  compared with: {one.as_of}")
    lines.append(f"  the record says of the assessment: {one.assessment_said or NONE}")
    return "\n".join(lines)


def _rests_on(one: "RestsOn") -> list[str]:
    if one.now == "as it was":
        return [f"  rests on {claim(one.claim)}"] if one.claim else []
    lines = [f"  rests on {one.number}, {one.now}"]
    lines += [f"    then: {claim(one.before)}"] if one.before else []
    lines += [f"    now:  {claim(one.claim)}"] if one.claim and one.before else []
    return lines + [f"    opposed by {claim(other)}" for other in one.by]


def verdict_move(one: "VerdictMove") -> list[str]:
    """A verdict before and after, and the claims that moved it."""
    lines = [f"{one.thing.label[:60]}"]
    lines.append(
        f"  before: {one.before.text if one.before else 'no such element recorded'}"
    )
    lines.append(f"  now:    {one.after.text if one.after else 'no longer recorded'}")
    for moving in one.because:
        lines.append(f"  moved by {moving.how} {claim(moving.claim)}")
    if not one.because:
        lines.append("  moved by no single claim: by phases, sources, elements, or many")
    return lines
