"""Words of `compare` and `alike` for a terminal; nothing is computed here."""

import csv
import io
from collections.abc import Iterable, Mapping, Sequence
from typing import TYPE_CHECKING

from .words import NONE, cautions, claim, table, view

if TYPE_CHECKING:
    from vestige.graph.answer.likeness import Alike, Comparison, Near, Ratio


def comparison(answer: "Comparison") -> str:
    """Words of `compare`."""
    lines = [
        f"{answer.one.label}  |  {answer.other.label}",
        *view(answer.as_known),
        *cautions(answer.cautions),
        f"class of material: {answer.material_class or NONE + ' or not one'}",
        "",
        *_features(answer),
        "",
        *_likeness(answer),
        *_ratio(answer.ratio, answer.reason),
    ]
    lines += _said(answer)
    lines += ["", "mind:", *(f"  {one}" for one in answer.pitfalls)]
    if answer.offer:
        lines += [
            "",
            "Nothing was recorded. If you hold with it, this is the row for Observations "
            "(add number, role and date):",
            *_row(answer.offer),
        ]
    return "\n".join(lines)


def _features(answer: "Comparison") -> list[str]:
    if not answer.features:
        return ["no features recorded of either"]
    heads = ("feature", answer.one.number, answer.other.number, "nearness", "comes to")
    rows = [
        (
            line.name,
            line.one or NONE,
            line.other or NONE,
            "" if line.score is None else f"{line.score:.2f}",
            line.verdict + (f": {line.reason}" if line.reason else ""),
        )
        for line in answer.features
    ]
    return table(heads, rows)


def _likeness(answer: "Comparison") -> list[str]:
    if answer.similarity is None:
        return ["likeness: none can be told"]
    counted = f"{answer.counted} feature{'s' if answer.counted != 1 else ''}"
    lines = [f"likeness {answer.similarity:.2f} on {counted} recorded of both (1: alike)"]
    if answer.references:
        lines.append(
            f"how common: {answer.as_near} of {answer.references} reference items "
            f"({answer.material_class}, on other objects) are at least as like "
            f"{answer.one.number}"
        )
    return lines


def _ratio(ratio: "Ratio | None", reason: str | None) -> list[str]:
    if ratio is None:
        return [f"no likelihood ratio: {reason}"]
    which = "one stuff over two" if ratio.stance == "for" else "two stuffs over one"
    value = ratio.value if ratio.stance == "for" else 1 / ratio.value
    limit = ratio.highest if ratio.stance == "for" else 1 / ratio.lowest
    says = "says nothing" if ratio.word == "neutral" else f"{ratio.word} {ratio.stance} it"
    return [
        f"likelihood ratio {value:.3g} for {which} (never above {limit:g}): "
        f"{says} [{ratio.scale}]",
        f"  learnt from {ratio.same_pairs} known pairs of one stuff and "
        f"{ratio.different_pairs} of two; cost on pairs left out {ratio.cost:.2f} "
        "(0 perfect, 1 says nothing)",
    ]


def _said(answer: "Comparison") -> list[str]:
    if not answer.recorded:
        return ["", "recorded of these two: nothing"]
    return ["", "recorded of these two:", *(f"  {claim(one)}" for one in answer.recorded)]


def _row(offer: Mapping[str, str]) -> list[str]:
    """The row and its heads as CSV, to be pasted into the sheet."""
    return [_csv(offer.keys()), _csv(offer.values())]


def _csv(cells: Iterable[str]) -> str:
    out = io.StringIO()
    csv.writer(out, lineterminator="").writerow(cells)
    return out.getvalue()


def alike(answer: "Alike") -> str:
    """Words of `alike`."""
    lines = [answer.about.label, *view(answer.as_known), *cautions(answer.cautions)]
    if answer.reason:
        return "\n".join([*lines, answer.reason])
    lines.append(
        f"{answer.comparable} of {answer.others} others of the class "
        f"{answer.material_class} share a feature with it ({answer.features} on record)"
    )
    if answer.nearest:
        lines += [
            "",
            *table(_HEADS, [_near(one, answer.features) for one in answer.nearest]),
        ]
    if answer.comparable > len(answer.nearest):
        lines.append(f"the nearest {len(answer.nearest)} are shown")
    lines += ["", "Likeness is no proof of one stuff: 'vestige compare A B' weighs a pair."]
    return "\n".join(lines)


_HEADS: Sequence[str] = ("likeness", "on", "what", "object", "agree", "differ")


def _near(one: "Near", features: int) -> tuple[str, ...]:
    return (
        f"{one.similarity:.2f}",
        f"{one.counted} of {features}",
        one.about.label + (" (one batch, as recorded)" if one.one_batch else ""),
        one.on.number,
        ", ".join(one.agree) or "none",
        ", ".join(one.differ) or "none",
    )
