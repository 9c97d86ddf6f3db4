"""A list of a manifest or a round on paper: boxes to tick, cautions in words, no colour.

What a list says of a thing is said from records. Nothing hangs on colour, so that a copy
in grey says the same.
"""

from __future__ import annotations

import json
from pathlib import Path
from typing import TYPE_CHECKING, Any

from .report import compiled

if TYPE_CHECKING:
    from vestige.graph.answer.acting import Goes
    from vestige.graph.answer.answer import Warned
    from vestige.graph.answer.round import ListOf
    from vestige.graph.answer.whereabouts import LastSeen, Stay

__all__ = ["cautions_in_words", "last_seen_in_words", "way_in_words", "write_list_pdf"]

HEADS = ("Seen", "Not", "Number and code", "What it is", "Recorded in", "Last seen",
         "Cautions", "Seen in, note")  # fmt: skip
WIDTHS = (0.8, 0.8, 3.0, 2.3, 2.4, 1.9, 2.7, 2.2)
BOX = "[    ]"
INK = ("Role", "Name and signature", "Day and hour")


def write_list_pdf(answer: ListOf, path: Path) -> None:
    """Write a list as PDF.

    Raises:
        Refused: where characters have no glyph in any font, naming them.
        OSError: where the file cannot be written.
    """
    data = json.dumps(_printable(answer), ensure_ascii=False, sort_keys=True)
    path.write_bytes(compiled(data))


def _printable(answer: ListOf) -> dict[str, Any]:
    head = answer.heading
    intro = [
        f"{head.scope}; {len(answer.lines)} things.",
        f"{answer.note[0].upper()}{answer.note[1:]}. Tick 'Seen' only for what you saw "
        "yourself; leave both boxes empty for what nobody looked for.",
        f"Listed on {head.made} by {head.by}.",
    ]
    table = {
        "kind": "table",
        "caption": f"{head.title} {head.number}",
        "heads": HEADS,
        "widths": WIDTHS,
        "rows": [_row(one) for one in answer.lines],
    }
    signed = {
        "kind": "table",
        "caption": "For ink",
        "heads": INK,
        "widths": (3, 5, 2),
        "rows": [(f"{role}\n\n", "", "") for role in ("Looked by", "Checked by")],
    }
    return {
        "title": head.title,
        "number": head.number,
        "name": "",
        "made": head.made,
        "foot": f"{head.title} {head.number}, listed from records on {head.made}",
        "first": [
            {
                "title": "Before you begin",
                "blocks": [_lines(intro, "text"), *_warned(answer)],
            },
            {"title": "List", "blocks": [table]},
            {"title": "Signatures", "blocks": [signed]},
        ],
        "sections": [],
    }


def _lines(lines: list[str], form: str) -> dict[str, Any]:
    return {"kind": "lines", "lines": lines, "form": form}


def _warned(answer: ListOf) -> list[dict[str, Any]]:
    """Every caution once, with the numbers that carry it."""
    told: dict[str, list[str]] = {}
    for one in answer.lines:
        for text in cautions_in_words(one):
            told.setdefault(text, []).append(one.thing.number)
    lines = [f"{text}: {', '.join(numbers)}" for text, numbers in told.items()]
    if not lines:
        return [
            _lines(["No caution is recorded; that does not mean there is none."], "text")
        ]
    return [_lines(lines, "caution")]


def _row(one: Goes) -> tuple[str, ...]:
    along = f"\nwith {len(one.inside)} things inside" if one.inside else ""
    return (
        BOX,
        BOX,
        f"{one.thing.number}\n{one.code}",
        one.thing.label.removeprefix(one.thing.number).strip() + along,
        way_in_words(one.place),
        last_seen_in_words(one.last_seen),
        "\n".join(cautions_in_words(one)),
        "",
    )


def cautions_in_words(one: Goes) -> list[str]:
    """Cautions and requirements of a thing and all that lies in it, one line each."""
    return [
        *(_caution(each) for each in one.cautions),
        *(f"REQUIRES {each.requires}" for each in one.requires),
    ]


def _caution(one: Warned) -> str:
    known = f" ({one.known})" if one.known else ""
    ask = f"; ask {one.ask}" if one.ask else ""
    return f"{one.sort.upper()} {one.what}{known}{ask}"


def way_in_words(place: tuple[Stay, ...]) -> str:
    """From the nearest holder outwards."""
    return " > ".join(stay.holder.number for stay in place) or "not recorded"


def last_seen_in_words(look: LastSeen | None) -> str:
    """When, by whom, and whether it was the thing itself."""
    if look is None:
        return "not recorded"
    by = f" by {look.by}" if look.by else ""
    return f"{look.when}{by}" + ("" if look.direct else " (inferred: its holder)")
