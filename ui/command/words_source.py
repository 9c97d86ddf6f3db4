"""Sources in words for a terminal."""

from typing import TYPE_CHECKING

from .words import NONE, cautions, claim, view

if TYPE_CHECKING:
    from vestige.graph.answer.source import Behind, Sources


def sources(answer: "Sources") -> str:
    """Words of `sources`: each source with its chain of copies and what it contributes."""
    lines = [answer.about.label, *view(answer.as_known), *cautions(answer.cautions)]
    voices = answer.voices
    lines.append(f"independent sources that speak: {voices or 'none recorded'}")
    for one in answer.sources:
        lines += ["", *_behind(one)]
    if answer.unsourced:
        lines += ["", "said without naming a source:"]
        lines += [f"  {claim(one)}" for one in answer.unsourced]
    return "\n".join(lines)


def _behind(one: "Behind") -> list[str]:
    usual = " (usual for its kind; nobody recorded one)" if one.usual else ""
    lines = [
        f"{one.thing.label}  ({one.sort}, dated {one.dated or NONE}, by {one.by or NONE})",
        f"  hand {one.hand}; soundness {one.soundness}{usual}",
    ]
    if one.copies:
        lines.append(
            f"  copies {', '.join(other.label for other in one.copies)}; adds nothing"
        )
        first = ", ".join(other.number for other in one.first)
        lines.append(f"  first said by {first or f'{NONE}: the copies go in a circle'}")
    if one.copied_by:
        lines.append(f"  copied by {', '.join(other.label for other in one.copied_by)}")
    lines += [f"    {claim(said)}" for said in one.claims]
    if not one.claims:
        lines.append("    no observation here rests on it directly")
    if one.records:
        lines.append(f"  also rests on it: {', '.join(r.label for r in one.records)}")
    return lines
