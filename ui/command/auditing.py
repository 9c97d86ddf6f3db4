"""Lists and rounds: a manifest out and back, an audit round, and the tasks they leave."""

from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from .acting import LIST, Acting, a_date, acting, found_all, keys_of, refused, the_holder
from .asking import Asking, question
from .words_auditing import result as result_words
from .words_auditing import tasks as tasks_words

if TYPE_CHECKING:
    from vestige.graph.answer.round import ListOf
    from vestige.graph.intake import Ticked
    from vestige.graph.problem import Problem
    from vestige.graph.record import Edtf, Record, Seen
    from vestige.graph.state import State

OUT = click.option(
    "--out",
    required=True,
    multiple=True,
    type=click.Path(path_type=Path, dir_okay=False),
    help="File to write, .csv or .pdf; may be given twice.",
)
NUMBER = click.option("--number", required=True, metavar="NO", help="Number of the list.")
WHEN = click.option("--when", required=True, metavar="DATE", help="Date of it (EDTF).")


@click.group()
def manifest() -> None:
    """Lists of what goes and what came back; listed is not sighted."""


@click.group()
def audit() -> None:
    """Rounds over a place: who saw what, against the record."""


@manifest.command(name="out")
@click.option("--place", metavar="PLACE", help="List what lies directly in this place.")
@click.option("--ids", multiple=True, metavar="ID", help="List this; may be repeated.")
@click.option("--list", "listing", type=LIST, metavar="FILE", help="CSV with the numbers.")
@click.option("--deep", is_flag=True, help="With --place: also what lies inside boxes.")
@NUMBER
@WHEN
@OUT
@acting
def manifest_out(
    act: Acting,
    place: str | None,
    ids: tuple[str, ...],
    listing: Path | None,
    deep: bool,
    **head: Any,
) -> None:
    """List what should go, from the records; write it with boxes to tick."""
    if place is None:
        keys = keys_of(act.collection, ids, listing)
        scope = "What is named below"
    else:
        keys = _lying_in(act, place, deep)
        scope = f"What the record has in {place}"
    _list(act, "Manifest", scope, keys, **head)


@audit.command(name="begin")
@click.argument("place", metavar="PLACE")
@NUMBER
@WHEN
@OUT
@acting
def audit_begin(act: Acting, place: str, **head: Any) -> None:
    """Give the list of a round: everything that the record has in PLACE, at any depth."""
    keys = _lying_in(act, place, True)
    _list(act, "Audit round", f"Everything the record has in {place}", keys, **head)


def _lying_in(act: Acting, place: str, deep: bool) -> list[str]:
    from vestige.graph.errors import Refused
    from vestige.graph.keeping import contents

    holder = the_holder(act.collection, place)
    assert holder is not None
    found = contents(act.state([holder]), holder)
    directly = [one.thing for one in found if deep or one.depth == 1]
    if not directly:
        raise Refused(f"the record has nothing in {place}; nothing was listed")
    return directly


def _list(
    act: Acting,
    title: str,
    scope: str,
    keys: list[str],
    number: str = "",
    when: str = "",
    out: Sequence[Path] = (),
) -> None:
    """Check, write the files, and record that the things were listed."""
    from vestige.graph.answer.round import Heading, list_of
    from vestige.graph.errors import Refused
    from vestige.graph.intake import must_be_new
    from vestige.graph.keeping import rounds

    day = a_date(when)
    if number in rounds(act.collection.kept_things()):
        raise Refused(f"{number} is the number of a list or round already; give another")
    for path in out:
        must_be_new(path)
        _ending(path)
    state = act.state(keys)
    heading = Heading(number=number, title=title, scope=scope, made=_iso(when), by=act.by)
    answer = list_of(state, keys, heading)
    looks = _listed(state, keys, day, act.by, number)
    written = [] if act.dry_run else list(out)
    for path in written:
        _write(answer, path)
    try:
        act.do(f"{len(keys)} things listed under {number}, not sighted", keys, looks)
    except BaseException:
        for path in written:
            path.unlink(missing_ok=True)
        raise
    for path in written:
        click.echo(f"{path} is written", err=True)


def _listed(
    state: "State", keys: list[str], day: "Edtf", by: str, number: str
) -> "list[Record]":
    from vestige.graph.keeping import whereabouts
    from vestige.graph.record import Seen, Sighting

    looks: list[Record] = []
    for key in keys:
        holders = whereabouts(state, key).holders
        where = holders[0].holder if holders else None
        looks.append(
            Sighting(what=key, seen=Seen.LISTED, where=where, when=day, by=by, audit=number)
        )
    return looks


def _iso(when: str) -> str:
    """The first day of a date, for the head of a paper."""
    import datetime

    from vestige.graph.record import Edtf

    first = Edtf.parse(when).earliest or 0
    return (datetime.date(1970, 1, 1) + datetime.timedelta(days=first)).isoformat()


def _ending(path: Path) -> None:
    from vestige.graph.errors import BadValue

    if path.suffix.lower() not in (".csv", ".pdf"):
        raise BadValue(f"'{path.name}': a list is a .csv or a .pdf file")


def _write(answer: "ListOf", path: Path) -> None:
    from vestige.ui.paper.list_paper import (
        cautions_in_words,
        last_seen_in_words,
        way_in_words,
        write_list_pdf,
    )

    if path.suffix.lower() == ".pdf":
        write_list_pdf(answer, path)
        return
    from vestige.graph.intake import Line, write_list

    write_list(
        (
            Line(
                number=one.thing.number,
                code=one.code,
                what=one.thing.label.removeprefix(one.thing.number).strip(),
                recorded_in=way_in_words(one.place),
                taken_from=" < ".join(each.label for each in one.came_from),
                last_seen=last_seen_in_words(one.last_seen),
                cautions="; ".join(cautions_in_words(one)),
            )
            for one in answer.lines
        ),
        path,
    )


@manifest.command(name="back")
@click.argument("file", type=LIST)
@click.option("--in", "place", metavar="PLACE", help="Where what is ticked was seen.")
@NUMBER
@WHEN
@acting
def manifest_back(
    act: Acting, file: Path, place: str | None, number: str, when: str
) -> None:
    """Read a list that came back ticked; an empty box is no sighting."""
    _read_back(act, file, place, number, when)


@audit.command(name="record")
@click.argument("file", type=LIST)
@click.option("--in", "place", metavar="PLACE", help="Where what is ticked was seen.")
@NUMBER
@WHEN
@acting
def audit_record(
    act: Acting, file: Path, place: str | None, number: str, when: str
) -> None:
    """Read what a round found: seen, not seen, seen elsewhere, cannot be identified."""
    _read_back(act, file, place, number, when)


def _read_back(act: Acting, file: Path, place: str | None, number: str, when: str) -> None:
    from vestige.graph.errors import Refused
    from vestige.graph.intake import read_list
    from vestige.graph.keeping import rounds
    from vestige.graph.record import Sighting

    day, default = a_date(when), the_holder(act.collection, place)
    if number not in rounds(act.collection.kept_things()):
        raise Refused(f"no list or round {number} is recorded; begin it first")
    rows, problems = read_list(file)
    ticked = [one for one in rows if one.seen is not None]
    found, more = _resolved(act, ticked)
    refused([*problems, *more])
    known = _said_already(act, number)
    looks: list[Record] = []
    for row, key, where in found:
        assert row.seen is not None
        if (key, str(day), row.seen) not in known:
            looks.append(
                Sighting(
                    what=key,
                    seen=row.seen,
                    where=where
                    or (None if row.seen == "cannot be identified" else default),
                    when=day,
                    by=act.by,
                    audit=number,
                    note=row.note,
                )
            )
    keys = [key for _, key, _ in found]
    if not looks:
        click.echo("nothing new: the archive says all this already, or nothing is ticked")
        return
    empty = len(rows) - len(ticked)
    left = f"; {empty} lines not ticked stay only listed" if empty else ""
    act.do(f"{len(looks)} looks under {number} on {when}{left}", keys, looks)


def _resolved(
    act: Acting, ticked: "list[Ticked]"
) -> "tuple[list[tuple[Ticked, str, str | None]], list[Problem]]":
    """The key of each line and of the place it names; every line that cannot be told."""
    from dataclasses import replace

    from vestige.graph.errors import VestigeError
    from vestige.graph.problem import Problem

    found, problems = [], []
    for row in ticked:
        try:
            [key] = found_all(act.collection, [row.number])
        except VestigeError as why:
            place = replace(row.place, column="number")
            right = "Correct the number, or record the thing first."
            problems.append(Problem("unknown number", _first(why), right, place))
            continue
        try:
            where = the_holder(act.collection, row.where)
        except VestigeError as why:
            place = replace(row.place, column="seen in")
            right = "Write the number of a place or container."
            problems.append(Problem("unknown place", _first(why), right, place))
            continue
        found.append((row, key, where))
    return found, problems


def _first(why: Exception) -> str:
    return str(why).splitlines()[0].rstrip(".") + "."


def _said_already(act: Acting, number: str) -> "set[tuple[str, str, Seen]]":
    from vestige.graph.record import Sighting

    state = act.collection.kept_things()
    return {
        (one.what, str(one.when), one.seen)
        for _, one in state.all_of(Sighting)
        if one.audit == number
    }


@manifest.command(name="status")
@click.argument("number")
@question
def manifest_status(asking: Asking, number: str) -> None:
    """What came of a manifest: sighted, not seen, only listed; and what is to be done."""
    _result(asking, number)


@audit.command(name="result")
@click.argument("number")
@question
def audit_result(asking: Asking, number: str) -> None:
    """What a round found against the record; the record is not overwritten."""
    _result(asking, number)


def _result(asking: Asking, number: str) -> None:
    from vestige.graph.answer.round import result_of
    from vestige.graph.errors import NotRecorded
    from vestige.graph.keeping import rounds

    state = asking.collection.kept_things(known=asking.known, reader=asking.reader)
    numbers = rounds(state)
    if number not in numbers:
        raise NotRecorded(
            f"no list or round {number} is recorded; there is: "
            f"{', '.join(numbers) or 'none'}"
        )
    asking.tell(result_of(state, number), result_words)


@click.command()
@question
def tasks(asking: Asking) -> None:
    """What is to be done: things to look for, removals to document."""
    from vestige.graph.answer.round import tasks_of

    state = asking.collection.kept_things(known=asking.known, reader=asking.reader)
    asking.tell(tasks_of(state), tasks_words)


AUDITING = (manifest, audit, tasks)
"""Lists, rounds and the tasks they leave."""
