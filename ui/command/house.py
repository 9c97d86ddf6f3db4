"""Keeping house: make an archive, bring sheets in, check, rebuild, copy, report."""

import sys
from pathlib import Path
from typing import TYPE_CHECKING

import click

from . import words as told
from .asking import PROBLEMS, Asking, archive_option, leave, question, reader, reader_at
from .entering import may_record
from .linking import (
    LINKED_DATA,
    bring_linked_data_in,
    check_drafted,
    check_linked_data,
)

if TYPE_CHECKING:
    from vestige.graph.collection import Collection
    from vestige.graph.intake import Draft, Paper
    from vestige.graph.problem import Problem

OUT = click.Path(path_type=Path, dir_okay=False)
PAPER = click.Path(path_type=Path, exists=True)


@click.command()
@click.argument("folder", type=click.Path(path_type=Path))
def new(folder: Path) -> None:
    """Make a new, empty archive in FOLDER."""
    from vestige.graph.collection import Collection

    with Collection.create(folder):
        click.echo(f"an empty archive is in {folder}")
    click.echo("next: vestige template my-object.xlsx, fill it in, then vestige check it")


@click.command()
@click.argument("out", metavar="FILE", type=OUT)
@click.option("--example", is_flag=True, help="With a small invented example filled in.")
def template(out: Path, example: bool) -> None:
    """Write an empty workbook (XLSX) to fill in, with notes and drop-down lists."""
    from vestige.graph.errors import Refused
    from vestige.graph.intake import write_template

    if out.exists():
        raise Refused(f"{out} is there already; it was left as it is")
    write_template(out, example=example)
    click.echo(f"{out} is ready to be filled in; 'vestige check {out}' says what is wrong")


@click.command()
@click.argument("paper", metavar="[FILE]", type=PAPER, required=False)
@archive_option
@click.option(
    "--shapes", is_flag=True, help="Check as linked data too; without FILE, the archive."
)
@click.option("--json", "as_json", is_flag=True, help="Findings as one JSON document.")
def check(paper: Path | None, archive: Path, shapes: bool, as_json: bool) -> None:
    """Read sheets (XLSX, folder of CSV, YAML) or linked data without recording anything.

    Ends with 4 where something is wrong, 0 otherwise.
    """
    from vestige.graph.collection import holds_archive

    if paper is None or paper.suffix.casefold() in LINKED_DATA:
        check_linked_data(paper, archive if shapes else None, as_json)
        return
    if archive.is_file() or holds_archive(archive):
        from vestige.graph.collection import Collection
        from vestige.ui.gate.preview import as_seen

        with Collection.open(archive) as collection:
            _read, drafted = _drafted(collection, paper)
            reads, _ = reader_at(collection.folder, None)
            drafted = as_seen(drafted, collection, reads)
    else:
        _read, drafted = _drafted(None, paper)
    _tell_draft(drafted, as_json)
    if shapes:
        check_drafted(drafted)
    if any(one.weight == "error" for one in drafted.problems):
        leave(PROBLEMS)


@click.command(name="import")
@click.argument("paper", metavar="FILE", type=PAPER)
@click.option("--by", required=True, metavar="ROLE", help="Role that records this.")
@archive_option
@click.option("--json", "as_json", is_flag=True, help="What changed as one JSON document.")
def bring_in(paper: Path, by: str, archive: Path, as_json: bool) -> None:
    """Record what the sheets, or a file of linked data, say: all of it or nothing.

    The same file again changes nothing; a corrected file supersedes what it corrects.
    """
    from vestige.graph.collection import Collection
    from vestige.graph.intake import acts, origin
    from vestige.ui.gate.preview import as_seen

    with Collection.open(archive) as collection:
        account = may_record(collection.folder, by)
        if paper.suffix.casefold() in LINKED_DATA:
            bring_linked_data_in(collection, paper, by, as_json)
            return
        _read, drafted = _drafted(collection, paper)
        reads = account.reader if account else reader(by)
        _tell_draft(as_seen(drafted, collection, reads), as_json)
        if any(one.weight == "error" for one in drafted.problems):
            click.echo("nothing was recorded", err=True)
            leave(PROBLEMS)
        said = acts(drafted)
        if said:
            receipt = collection.record(by, said, origin=origin(drafted))
            seal = receipt.seal.hex()[:16]
            click.echo(f"recorded; the record now ends at {seal}", err=True)
        else:
            click.echo("nothing new: the archive says all this already", err=True)


def _drafted(collection: "Collection | None", paper: Path) -> "tuple[Paper, Draft]":
    from vestige.graph.intake import draft, read_papers
    from vestige.graph.record import KeyMaker

    _progress(f"reading {paper.name} ...")
    read = read_papers(paper)
    _progress("checking every row ...")
    store = collection.store if collection else None
    return read, draft(read, store, collection.keys if collection else KeyMaker())


def _progress(words: str) -> None:
    """Say what goes on, where somebody is watching."""
    if sys.stderr.isatty():
        click.echo(words, err=True)


def _tell_draft(drafted: "Draft", as_json: bool) -> None:
    if as_json:
        import json

        found = {
            "form": "vestige.check/1",
            "new": len(drafted.new),
            "changed": [
                {
                    "number": one.record.own_number(),
                    "kind": one.record.kind,
                    "differences": [
                        {"column": each.head, "before": each.before, "after": each.after}
                        for each in one.differences
                    ],
                }
                for one in drafted.changed
            ],
            "same": len(drafted.same),
            "problems": [_as_plain(one) for one in drafted.problems],
        }
        click.echo(json.dumps(found, ensure_ascii=False, indent=2))
        return
    for problem in drafted.problems:
        click.echo(f"{problem.weight}: {problem}")
    for one in drafted.changed:
        click.echo(f"changes {one.record.label()}:")
        for each in one.differences:
            click.echo(f"    {each.head}: {each.before or '-'} -> {each.after or '-'}")
    errors = sum(one.weight == "error" for one in drafted.problems)
    click.echo(
        f"{len(drafted.new)} new, {len(drafted.changed)} changed, "
        f"{len(drafted.same)} the same, {errors} wrong"
    )


def _as_plain(problem: "Problem") -> dict[str, object]:
    return {
        "code": problem.code,
        "weight": str(problem.weight),
        "wrong": problem.wrong,
        "right": problem.right,
        "file": problem.place.file,
        "sheet": problem.place.sheet,
        "row": problem.place.row,
        "column": problem.place.column,
    }


@click.command()
@click.argument("object_number", metavar="OBJECT")
@click.option("--out", required=True, type=OUT, help="File to write: .pdf or .html.")
@question
def report(asking: Asking, object_number: str, out: Path) -> None:
    """The report of one object, for people, as PDF or HTML."""
    from vestige.graph.answer.report import report_of
    from vestige.ui.paper import write_report

    state, home, _ = asking.of_object(object_number)
    answer = report_of(state, home, asking.collection.mark())
    asking.viewed(answer)
    write_report(answer, out)
    asking.tell(answer, lambda _: f"{out} is written")


@click.command()
@archive_option
@click.option("--deep", is_flag=True, help="Also derive everything again and compare.")
@click.option(
    "--anchor",
    "anchors",
    multiple=True,
    metavar="ENTRY:SEAL",
    help="A seal kept elsewhere.",
)
def verify(archive: Path, deep: bool, anchors: tuple[str, ...]) -> None:
    """Does the record still prove its own order? Ends with 4 where it does not."""
    from vestige.graph.collection import Collection

    with Collection.open(archive) as collection:
        found = collection.store.verify(anchors=_anchors(anchors), deep=deep)
    for fault in found.faults:
        click.echo(f"entry {fault.seq}: {fault.what}")
    head = f"{found.head.seq}:{found.head.seal.hex()}"
    if not found.holds:
        leave(PROBLEMS)
    click.echo(
        f"{found.entries} entries follow from each other; note this elsewhere: {head}"
    )


def _anchors(texts: tuple[str, ...]) -> dict[int, bytes]:
    from vestige.graph.errors import BadValue

    found = {}
    for text in texts:
        number, _, seal = text.partition(":")
        try:
            found[int(number)] = bytes.fromhex(seal)
        except ValueError:
            raise BadValue(
                f"'{text}' is no anchor; write it as 'verify' printed it"
            ) from None
    return found


@click.command()
@archive_option
def rebuild(archive: Path) -> None:
    """Derive everything again from the ledger."""
    from vestige.graph.collection import Collection

    with Collection.open(archive) as collection:
        click.echo(f"derived again from {collection.store.rebuild()} entries")


@click.command()
@click.argument("out", metavar="FILE", type=OUT)
@archive_option
def backup(out: Path, archive: Path) -> None:
    """Write a whole copy of the archive to FILE; it never overwrites one."""
    from vestige.graph.collection import Collection

    with Collection.open(archive) as collection:
        collection.store.backup(out)
    click.echo(f"a whole copy is in {out}")


@click.command()
@click.argument("words", nargs=-1, required=True)
@click.option("--kind", help="Only this kind of record: element, claim, part...")
@question
def find(asking: Asking, words: tuple[str, ...], kind: str | None) -> None:
    """Which records speak of these words? Numbers, names and notes are searched."""
    from vestige.graph.answer.found import found_of

    state, keys = asking.collection.search(
        " ".join(words), kind, known=asking.known, reader=asking.reader
    )
    asking.tell(found_of(state, keys, " ".join(words)), told.found)


HOUSE = (new, template, check, bring_in, report, find, verify, rebuild, backup)
