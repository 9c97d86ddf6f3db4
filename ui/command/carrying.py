"""Carry an archive to another store: from a folder to a server, and back."""

import sys
from pathlib import Path
from typing import TYPE_CHECKING

import click

from .entering import may_record

if TYPE_CHECKING:
    from vestige.graph.collection import Collection

PACKAGE = ".vestige"
"""Ending of one file that holds a whole ledger, to be handed to another place."""


@click.command()
@click.argument("source", metavar="FROM")
@click.argument("target", metavar="TO")
@click.option("--check", is_flag=True, help="Also derive all again in TO and compare.")
@click.option(
    "--tables",
    type=click.Path(path_type=Path),
    help="For millions of records and an empty server: write tables for its importer into"
    " this new folder, and carry nothing yet.",
)
def carry(source: str, target: str, check: bool, tables: Path | None) -> None:
    """Carry the archive FROM to TO: a folder, FILE.vestige, or neo4j://HOST/NAME.

    TO is new, empty, or holds a beginning of the same archive; so a carry that was
    stopped goes on when the same command is given again. FROM stays as it is. User and
    password of a server are read from VESTIGE_NEO4J_USER and VESTIGE_NEO4J_PASSWORD.

    Between two folders the pictures go along; none is written over another.
    """
    from vestige.graph.collection import Collection
    from vestige.graph.store import carry as carried

    with Collection.open(source) as begin:
        may_record(begin.folder)  # everything goes along, what is restricted too
        if tables is not None:
            _write_tables(begin, target, tables)
            return
        with _target(target) as end:
            may_record(end.folder)
            done = carried(begin.store, end.store, told=_progress)
            click.echo(
                f"{done.new} entries carried, {done.before} were there; both records end"
                f" at {done.head.seq}, {done.head.seal.hex()[:16]}"
            )
            standing = ", ".join(f"{n} {kind}" for kind, n in done.standing.items())
            click.echo(f"standing in both: {standing or 'nothing'}")
            if check:
                _check(end)
            _carry_pictures(begin, end, Path(source).is_dir() and Path(target).is_dir())


def _write_tables(begin: "Collection", target: str, folder: Path) -> None:
    """For the importer of a server that stands still; the carry afterwards compares."""
    from vestige.graph.store import is_address
    from vestige.graph.store.opening import tables_for

    if not is_address(target):
        raise click.UsageError(
            "--tables is for an archive on a server; write neo4j://HOST/NAME as TO"
        )
    made = tables_for(target, begin.store, folder.absolute())
    click.echo(
        f"{made.head.seq} entries and {made.edges} edges written as tables to {folder}.\n"
        "Stop the server, have it import them into its empty database, start it again:\n\n"
        f"{made.command()}\n\n"
        "Then give the same carry without --tables: it compares the two ends and takes"
        " what was recorded since. The tables hold all that the archive holds, what is"
        " restricted too; remove them afterwards."
    )


def _target(text: str) -> "Collection":
    """The archive to carry to; a folder without one gets an empty one.

    A name that ends in .vestige is one file, without a folder of pictures.
    """
    from vestige.graph.collection import Collection, holds_archive
    from vestige.graph.store import SqliteStore, is_address

    path = Path(text)
    if is_address(text) or path.is_file() or holds_archive(path):
        return Collection.open(text)
    if path.suffix == PACKAGE:
        return Collection(SqliteStore(path), path.absolute().parent)
    return Collection.create(path)


def _progress(there: int, all_of_it: int) -> None:
    if sys.stderr.isatty():
        click.echo(f"\r{there} of {all_of_it} entries", err=True, nl=there == all_of_it)


def _carry_pictures(begin: "Collection", end: "Collection", folders: bool) -> None:
    """Pictures are files beside an archive; the ledger has their checksums only."""
    from vestige.graph.collection import PICTURES

    from .asking import PROBLEMS, leave
    from .pictures import copy_pictures

    if begin.folder is None:
        return
    folder = begin.folder / PICTURES
    if end.folder is None or not folders:
        many = sum(1 for one in folder.rglob("*") if one.is_file())
        if many:
            click.echo(
                f"not carried: {many} pictures in {folder}; the record has their"
                " checksums. Keep them where they are"
            )
        return
    done = copy_pictures(folder, end.folder / PICTURES)
    if done.new or done.before:
        click.echo(f"{done.new} pictures copied, {done.before} were there")
    for name in done.different:
        click.echo(
            f"not copied: {name} is there already and is another picture; nothing was"
            " written over it. Compare the two, and rename the one that is wrong",
            err=True,
        )
    if done.different:
        leave(PROBLEMS)


def _check(end: "Collection") -> None:
    from .asking import PROBLEMS, leave

    report = end.store.verify(deep=True)
    for fault in report.faults:
        click.echo(str(fault), err=True)
    if report.faults:
        leave(PROBLEMS)
    click.echo(f"derived again from {report.entries} entries: all is as recorded")


CARRYING = (carry,)
