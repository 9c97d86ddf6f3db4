"""Questions over the whole collection, with an export that can be cited."""

import sys
from collections.abc import Iterator
from pathlib import Path
from typing import TYPE_CHECKING

import click

from .asking import Asking, question

if TYPE_CHECKING:
    from vestige.graph.answer.survey import Survey, Wanted
    from vestige.graph.state import State


@click.command()
@click.argument("words", nargs=-1)
@click.option("--kind", help="Kind of record: element, happening, part, sample, result.")
@click.option("--material", help="Words of its material.")
@click.option("--relation", metavar="WORD", help="A claim of it says this: 'not before'.")
@click.option("--value", help="Value of that claim: words, or a date that it lies within.")
@click.option("--by", metavar="ROLE", help="Seen, done or analysed by this role.")
@click.option("--source", metavar="ID", help="Rests on this source.")
@click.option("--verdict", help="Words of its verdict: 'added', 'original, in place'.")
@click.option("--after", metavar="DATE", help="Wholly after that date (EDTF).")
@click.option("--before", metavar="DATE", help="Wholly before that date (EDTF).")
@click.option(
    "--out",
    type=click.Path(path_type=Path, dir_okay=False),
    help="Also write the rows as CSV, each with what it takes to cite it.",
)
@question
def survey(
    asking: Asking, words: tuple[str, ...], out: Path | None, **asked: str | None
) -> None:
    """Which elements, repairs, parts, samples of all objects fit?

    'vestige survey staple --kind element --before 1908'. Dates are those of the window
    that all claims leave; what bears no date is counted, not listed.
    """
    from vestige.graph.answer.survey import survey_of
    from vestige.graph.errors import Refused

    if out is not None and out.exists():
        raise Refused(f"{out} is there already; it was left as it is")
    wanted = _wanted(asking, " ".join(words), asked)
    said = {"words": " ".join(words), **asked}
    text = ", ".join(f"{name} {one}" for name, one in said.items() if one)
    answer = survey_of(_objects(asking), wanted, text, asking.collection.mark())
    asking.viewed(answer)
    if out is not None:
        _write(answer, out)
    asking.tell(answer, _words)


def _wanted(asking: Asking, words: str, asked: dict[str, str | None]) -> "Wanted":
    from vestige.graph.answer.survey import Wanted
    from vestige.graph.collection import first_day_of, last_day_of
    from vestige.graph.errors import BadValue
    from vestige.graph.record import Relation, read_word

    relation = None
    if asked["relation"]:
        relation = read_word(Relation, asked["relation"])
        if relation is None:
            known = ", ".join(Relation)
            raise BadValue(f"'{asked['relation']}' is no relation word; these are: {known}")
    after, before = asked["after"], asked["before"]
    return Wanted(
        words=words,
        kind=asked["kind"] or "",
        material=asked["material"] or "",
        relation=relation,
        value=asked["value"] or "",
        by=asked["by"] or "",
        source=asking.find(asked["source"]) if asked["source"] else "",
        verdict=asked["verdict"] or "",
        after=last_day_of(after) + 1 if after else None,
        before=first_day_of(before) - 1 if before else None,
    )


def _objects(asking: Asking) -> "Iterator[tuple[State, str]]":
    from vestige.graph.record import MuseumObject

    collection = asking.collection
    every = collection.objects(known=asking.known, reader=asking.reader)
    keys = [key for key, _ in every.all_of(MuseumObject)]
    for nth, key in enumerate(keys, start=1):
        if sys.stderr.isatty():
            click.echo(f"object {nth} of {len(keys)}\r", err=True, nl=False)
        yield collection.around(key, known=asking.known, reader=asking.reader), key


def _words(answer: "Survey") -> str:
    lines: list[str] = []
    home = ""
    for row in answer.rows:
        if row.object.key != home:
            home = row.object.key
            lines += ["", row.object.label] if lines else [row.object.label]
        dates = [row.date or "", f"{row.earliest or '..'} to {row.latest or '..'}"]
        date = dates[1] if row.earliest or row.latest else dates[0]
        more = "; ".join(part for part in (row.material, date, row.verdict) if part)
        lines.append(f"  {row.thing.label}" + (f"  ({more})" if more else ""))
        lines += [f"      {one.number}: {one.text} [{one.strength}]" for one in row.claims]
    lines += ["", f"{len(answer.rows)} found"]
    if answer.undated:
        lines.append(f"{answer.undated} more would fit and bear no date")
    lines.append(f"to cite: this archive at {answer.mark}")
    return "\n".join(lines).lstrip("\n")


def _write(answer: "Survey", out: Path) -> None:
    from vestige.graph.intake import csv_table

    heads = ("number", "name", "object", "material", "date", "earliest", "latest",
             "verdict", "claims", "entry", "recorded by", "archive")  # fmt: skip
    rows = [
        (
            row.thing.number, row.thing.label, row.object.number, row.material or "",
            row.date or "", row.earliest or "", row.latest or "", row.verdict,
            "; ".join(one.number for one in row.claims), str(row.entry), row.recorded_by,
            answer.mark,
        )
        for row in answer.rows
    ]  # fmt: skip
    out.write_bytes(csv_table(heads, rows))


SURVEYING = (survey,)
