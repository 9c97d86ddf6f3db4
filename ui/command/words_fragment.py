"""Whose is this loose fragment, in words for a terminal."""

from typing import TYPE_CHECKING

from .words import NONE, cautions, claim, view

if TYPE_CHECKING:
    from vestige.graph.answer.fragment import CandidatePlace, Described, FragmentMatch

SIGNS = {"fits": "+", "does not fit": "-", "says nothing": ".", "to be asked": "?"}
TELLING = 2
"""Facts that must fit before a place that no claim names is told at length."""


def fragment_match(answer: "FragmentMatch") -> str:
    """Words of `match-fragment`."""
    lines = [
        answer.about.label,
        *view(answer.as_known),
        *cautions(answer.cautions),
        *_described(answer.described),
        f"by claims: {answer.standing}",
        *(f"  {claim(one)}" for one in answer.claims),
    ]
    if answer.question:
        lines.append(f"QUESTION  {answer.question}")
    lines += ["", f"By the facts recorded: {answer.conclusion}.", answer.how_ordered]
    told = [one for one in answer.candidates if _at_length(one)]
    for rank, one in enumerate(told, 1):
        lines += ["", f"{rank}. {_place(one)}", *_facts(one)]
    lines += _in_short(
        "One fact fits, which alone says little:",
        [one for one in answer.candidates if one not in told],
    )
    ruled_out = [one for one in answer.rejected if one.claims]
    for one in ruled_out:
        lines += ["", f"Ruled out: {_place(one)}", *_facts(one)]
    lines += _in_short(
        "Ruled out:", [one for one in answer.rejected if one not in ruled_out]
    )
    return "\n".join([*lines, "", *_left(answer), *_next(answer)])


def _at_length(one: "CandidatePlace") -> bool:
    fitting = sum(fact.fit == "fits" for fact in one.facts)
    return bool(one.claims) or fitting >= TELLING


def _in_short(head: str, places: "list[CandidatePlace]") -> list[str]:
    """One line for each place: what fits, or what rules it out."""
    lines = ["", head] if places else []
    for one in places:
        facts = [f"{f.of}: {f.words}" for f in one.facts if f.decides or f.fit == "fits"]
        why = one.rejected or facts
        lines.append(f"   {one.element.label}  ({'; '.join(why)})")
    return lines


def _described(one: "Described") -> list[str]:
    told = {
        "material": one.material,
        "size": one.size,
        "thickness": one.thickness,
        "weight": one.weight,
        "radius of curvature": one.curvature,
        "colour": one.colour,
        "marks": one.marks,
    }
    known = [f"{name} {text}" for name, text in told.items() if text]
    lacks = [name for name, text in told.items() if not text]
    lines = ["; ".join(known) or "nothing of it is described"]
    return lines + ([f"{NONE}: {', '.join(lacks)}"] if lacks else [])


def _place(one: "CandidatePlace") -> str:
    home = f" of {one.object.label}" if one.object else ""
    return f"{one.element.label}{home}\n   {one.vacancy} ({one.why}): {one.told}"


def _facts(one: "CandidatePlace") -> list[str]:
    lines = [
        f"   {SIGNS[fact.fit]} {fact.of} {fact.fit}: {fact.words}"
        + (f"  [{fact.points:+d}]" if fact.points else "")
        + ("  RULES IT OUT" if fact.decides else "")
        for fact in one.facts
    ]
    lines += [f"   said  {claim(said)}" for said in one.claims]
    return lines + [f"   {line}" for line in cautions(one.cautions)]


def _left(answer: "FragmentMatch") -> list[str]:
    lines = []
    if answer.more:
        lines.append(f"{answer.more} more candidates with fewer points")
    if answer.more_rejected:
        lines.append(f"{answer.more_rejected} more places ruled out")
    if answer.silent:
        lines.append(
            f"{answer.silent} more vacant places were looked at: nothing recorded of them "
            "fits, which does not rule them out"
        )
    if answer.cut_short:
        lines.append(
            "NOT EVERY place was looked at, since too many records speak of: "
            f"{', '.join(answer.cut_short)}. Name an object with --object to look at all "
            "of it"
        )
    if answer.within:
        lines.append(f"looked at: {answer.within.label} only")
    return lines


def _next(answer: "FragmentMatch") -> list[str]:
    first = answer.candidates[0].element.number if answer.candidates else "ELEMENT"
    return [
        "To record what a trial showed (it can be superseded, and never joins anything):",
        f"  vestige assign {answer.about.number} {first} --strength WORD --source S "
        "--by ROLE --reason WHY   [--rejected | --settled]",
    ]
