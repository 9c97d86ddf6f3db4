"""Samples and results in words for a terminal."""

from typing import TYPE_CHECKING

from .words import NONE, cautions, place, seen, view

if TYPE_CHECKING:
    from vestige.graph.answer.sample import Exists, Found, Sampled, Samples


def samples(answer: "Samples") -> str:
    """Words of `samples`: each sample, then what was prepared from it, indented."""
    lines = [answer.about.label, *view(answer.as_known), *cautions(answer.cautions)]
    if answer.exists:
        return "\n".join([*lines, *_exists(answer.exists)])
    count = len(answer.samples)
    lines.append(f"{count} samples and preparations" if count else "no sample is recorded")
    for one in answer.samples:
        lines += _sampled(one)
    if answer.without_sample:
        lines += ["", "results had of the thing itself, without a sample:"]
        lines += [f"  {_found(one)}" for one in answer.without_sample]
    return "\n".join(lines)


def _exists(exists: "Exists") -> list[str]:
    lines = [f"{exists.technique}: {exists.answer}"]
    if exists.results:
        lines += ["results:", *(f"  {_found(one)}" for one in exists.results)]
    if exists.samples:
        lines.append("samples; whether one fits is for the analyst to say:")
    for one in exists.samples:
        lines.append(f"  {one.thing.label} ({one.preparation}) from {one.drawn_from.label}")
        lines.append(f"    left {_left(one)}; place {place(one.located.place)}")
        lines.append(f"    last seen {seen(one.located.last_seen)}")
    return lines


def _sampled(one: "Sampled") -> list[str]:
    pad = "  " * (one.depth + 1)
    taken = " ".join(part for part in (one.taken_when, one.taken_by) if part)
    lines = [
        "",
        f"{pad}{one.thing.label}  ({one.preparation}; {one.state})",
        f"{pad}  from        {one.drawn_from.label}"
        + (f", made from {one.made_from.number}" if one.made_from else ""),
        f"{pad}  taken       {taken or NONE}",
        f"{pad}  question    {one.question or NONE}",
        f"{pad}  permission  {one.permission or NONE}",
        f"{pad}  spot        {_spot(one)}",
        f"{pad}  size        {one.size or NONE}; amount {one.amount or NONE}"
        + (f"; of its parent {one.parent_used}" if one.parent_used else ""),
        f"{pad}  left        {_left(one)}",
        f"{pad}  retention   {one.retention or NONE}; review {one.review or NONE}",
        f"{pad}  place       {place(one.located.place)}",
        f"{pad}  last seen   {seen(one.located.last_seen)}",
    ]
    if one.unusable:
        lines.append(f"{pad}  NO FURTHER USE: {one.unusable}")
    lines += [f"{pad}  result      {_found(found)}" for found in one.results]
    if not one.results:
        lines.append(f"{pad}  result      {NONE}")
    return lines + ([f"{pad}  note        {one.note}"] if one.note else [])


def _spot(one: "Sampled") -> str:
    shown = f"shown on {one.picture.label}" if one.picture else ""
    return "; ".join(part for part in (one.spot, shown) if part) or NONE


def _left(one: "Sampled") -> str:
    said = f"; said: {one.left.said}" if one.left.said else ""
    reckoned = one.left.reckoned or f"{NONE} ({one.left.why_not})"
    return reckoned + said


def _found(one: "Found") -> str:
    used = f"; used {one.used}" if one.used else ""
    used += "; used up" if one.used_up else ""
    when = f", {one.when}" if one.when else ""
    by = f" by {one.by}" if one.by else ""
    source = f" [{one.source.number}]" if one.source else f" [source {NONE}]"
    of = f" of {one.of.number}"
    return f"{one.thing.number} {one.method}{of}{by}{when}: {one.found}{used}{source}"
