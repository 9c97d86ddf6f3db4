"""Treatments in words for a terminal."""

from typing import TYPE_CHECKING

from .words import NONE, cautions, place, seen, view

if TYPE_CHECKING:
    from vestige.graph.answer.treatment import (
        Belonging,
        Removed,
        TreatmentIn,
        Treatments,
        Used,
    )


def treatments(answer: "Treatments") -> str:
    """Words of `treatment`."""
    lines = [answer.about.label, *view(answer.as_known), *cautions(answer.cautions)]
    if not answer.treatments:
        lines.append("no happening is recorded")
    for one in answer.treatments:
        lines += ["", *_treatment(one)]
    return "\n".join(lines)


def _treatment(one: "TreatmentIn") -> list[str]:
    who = ", ".join(part for part in (one.by, one.agent_class) if part) or NONE
    lines = [
        f"{one.thing.label}  ({one.sort})",
        f"  when       {one.when or NONE}; phase {one.phase.label if one.phase else NONE}",
        f"  by         {who}",
        f"  why        {one.why or NONE}",
        f"  technique  {one.technique or NONE}",
        f"  source     {one.source.label if one.source else NONE}",
    ]
    concerned = [f"{c.thing.label} ({c.status or f'status {NONE}'})" for c in one.concerned]
    lines += _listed("concerned", concerned)
    lines += _listed("used", [_used(used) for used in one.used])
    lines += _listed("removed", [_removed(removed) for removed in one.removed])
    lines += _listed("samples", [_belonging(sample) for sample in one.samples])
    lines += _listed("decisions", [_belonging(chosen) for chosen in one.decisions])
    return lines + ([f"  note       {one.note}"] if one.note else [])


def _listed(head: str, said: list[str]) -> list[str]:
    return [f"  {head}:", *(f"    {line}" for line in said or [NONE])]


def _used(one: "Used") -> str:
    of = f" of {one.material.label}" if one.material and one.material != one.thing else ""
    kind = f" [{one.material_class}]" if one.material_class else ""
    return f"{one.thing.label}{of}{kind}"


def _removed(one: "Removed") -> str:
    where = one.located
    now = where.gone or f"{place(where.place)}; last seen {seen(where.last_seen)}"
    reason = f"reason {one.reason or NONE}, consent {one.consent or NONE}"
    alarm = "; NOT KNOWN TO BE ANYWHERE" if where.alarm else ""
    return f"{where.thing.label}: {now}; {reason}{alarm}"


def _belonging(one: "Belonging") -> str:
    return one.thing.label + ("" if one.linked else "  (by its date only)")
