"""Words of the commands of linked data for a terminal; nothing is computed here."""

import json
from collections.abc import Sequence
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from vestige.graph.problem import Problem
    from vestige.ontology.bringing_in import BroughtIn
    from vestige.ontology.query import Rows
    from vestige.ontology.record_writer import Written

MOST_SHOWN = 20
WIDEST = 60


def exported(name: str, written: "Sequence[Written]", as_json: bool) -> str:
    """Words of `export`."""
    triples = sum(len(one.triples) for one in written)
    closed = sum(any("#restricted>" in p for _, p, _ in one.triples) for one in written)
    if as_json:
        return json.dumps(
            {"form": "vestige.export/1", "file": name, "records": len(written),
             "statements": triples, "whole": closed == 0}
        )  # fmt: skip
    lines = [f"{name} is written: {len(written):,} records, {triples:,} statements"]
    if closed:
        lines.append(
            "not the whole: some content is restricted for you and left out; it cannot be "
            "imported again (see --as and --everything)"
        )
    return "\n".join(lines)


def brought_in(brought: "BroughtIn") -> str:
    """Words of `import` for a file of linked data."""
    lines = [f"{one.weight}: {one}" for one in brought.problems]
    if not brought.stopped:
        lines.append(f"{brought.new:,} records new, {brought.same:,} there already")
    if brought.new and brought.ours and not brought.first_times:
        lines.append("recorded now; their first dates of recording stand in the batch")
    lines += _some("left or named otherwise", brought.remarks)
    lines += _some("not understood", brought.unread)
    if brought.kept_as:
        lines.append(f"the file is kept as it came: {brought.kept_as}")
    return "\n".join(lines)


def _some(head: str, every: Sequence[str]) -> list[str]:
    if not every:
        return []
    more = len(every) - MOST_SHOWN
    shown = [f"  {one}" for one in every[:MOST_SHOWN]]
    tail = [f"  and {more:,} more; --json lists all"] if more > 0 else []
    return [f"{head}: {len(every):,}", *shown, *tail]


def brought_in_json(brought: "BroughtIn") -> str:
    """The same as one JSON document."""
    return json.dumps(
        {
            "form": "vestige.linked-import/1",
            "ours": brought.ours,
            "new": brought.new,
            "same": brought.same,
            "problems": [str(one) for one in brought.problems],
            "remarks": brought.remarks,
            "not_understood": brought.unread,
            "kept_as": brought.kept_as,
        },
        ensure_ascii=False,
        indent=2,
    )


def rows_table(found: "Rows") -> str:
    """Rows of a question as a table for the terminal."""
    if not found.rows:
        return "nothing that is recorded, and that you may see, answers this"
    cells = [found.heads, *([one or "-" for one in row] for row in found.rows)]
    shown = [[_one_line(cell) for cell in row] for row in cells]
    widths = [
        min(WIDEST, max(len(row[nth]) for row in shown)) for nth in range(len(found.heads))
    ]
    lines = [
        "  ".join(
            cell[:width].ljust(width) for cell, width in zip(row, widths, strict=True)
        )
        for row in shown
    ]
    lines.insert(1, "  ".join("-" * width for width in widths))
    return "\n".join(line.rstrip() for line in [*lines, "", f"{len(found.rows):,} rows"])


def _one_line(text: str) -> str:
    """A cell on one line, without signs that would move the cursor."""
    line = "".join(sign if sign.isprintable() else " " for sign in text)
    return line if len(line) <= WIDEST else line[: WIDEST - 3] + "..."


def rows_csv(found: "Rows") -> str:
    """The same as CSV; what a spreadsheet would run as a formula is made a text."""
    from vestige.graph.intake import csv_table

    rows = ([one or "" for one in row] for row in found.rows)
    return csv_table(found.heads, rows).decode("utf-8-sig")


def rows_json(found: "Rows") -> str:
    """The same as JSON; what a row does not have is null."""
    rows = [dict(zip(found.heads, row, strict=True)) for row in found.rows]
    return json.dumps(
        {"form": "vestige.query/1", "columns": found.heads, "rows": rows, "cut": found.cut},
        ensure_ascii=False,
        indent=2,
    )


def found_problems(problems: "Sequence[Problem]") -> str:
    """What the shapes found."""
    if not problems:
        return "the shapes find nothing wrong"
    return "\n".join(f"{one.weight}: {one}" for one in problems)


def found_problems_json(problems: "Sequence[Problem]") -> str:
    """The same as one JSON document."""
    found = [
        {
            "code": one.code,
            "weight": str(one.weight),
            "wrong": one.wrong,
            "right": one.right,
            "file": one.place.file,
            "sheet": one.place.sheet,
            "column": one.place.column,
        }
        for one in problems
    ]
    return json.dumps(
        {"form": "vestige.check-shapes/1", "problems": found}, ensure_ascii=False, indent=2
    )
