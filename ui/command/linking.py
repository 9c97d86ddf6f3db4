"""Linked data: write the archive in published words, read such files, ask in SPARQL."""

from pathlib import Path
from typing import TYPE_CHECKING

import click

from .asking import PROBLEMS, Asking, archive_option, leave, opened, question, reader
from .entering import may_record

if TYPE_CHECKING:
    from vestige.graph.collection import Collection
    from vestige.graph.intake import Draft
    from vestige.graph.state import Reader

LINKED_DATA = frozenset(
    {".ttl", ".nt", ".nq", ".trig", ".jsonld", ".json", ".rdf", ".owl", ".xml"}
)
"""Endings of files of linked data; the same as `vestige.ontology.rdf_file.ENDINGS`."""
FORMS = ("turtle", "trig", "nquads", "jsonld", "linked-art")


@click.command()
@click.argument("object_number", metavar="[OBJECT]", required=False)
@click.option(
    "--format", "form", type=click.Choice(FORMS), default="turtle", show_default=True,
    help="nquads is the form to keep; turtle, trig and jsonld say the same; "
    "linked-art is a view of one OBJECT for others.",
)  # fmt: skip
@click.option(
    "--out", required=True, type=click.Path(path_type=Path, dir_okay=False),
    help="File to write; it never overwrites one.",
)  # fmt: skip
@click.option("--verdicts", is_flag=True, help="With the assessment of OBJECT.")
@click.option(
    "--everything", is_flag=True,
    help="Restricted content too: for the institution's own keeping, not to pass on.",
)  # fmt: skip
@question
def export(
    asking: Asking,
    object_number: str | None,
    form: str,
    out: Path,
    verdicts: bool,
    everything: bool,
) -> None:
    """Write the archive, or one OBJECT, in CIDOC CRM and its family.

    Every record goes with its source, strength, date and who recorded it; 'vestige import'
    reads it back without loss. What you may not see is left out.
    """
    from vestige.graph.errors import Refused
    from vestige.ontology.rdf_file import serialized
    from vestige.ontology.whole_export import Keeper, written_archive, written_object

    from .words_linking import exported

    if out.exists():
        raise Refused(f"{out} is there already; it was left as it is")
    if verdicts and not object_number:
        raise Refused("--verdicts needs an OBJECT: an assessment is of one object")
    if everything:
        may_record(asking.collection.folder)
    reads = Keeper() if everything else asking.reader
    if form == "linked-art":
        _export_linked_art(asking, object_number, out, reads)
        return
    asking.viewed_whole(reads)
    if object_number:
        state, home, _ = asking.collection.of_object(
            object_number, known=asking.known, reader=reads
        )
        written = list(written_object(state, home, verdicts))
    else:
        written = list(written_archive(asking.collection, reads, asking.known))
    out.write_bytes(serialized(written, form))
    click.echo(exported(out.name, written, asking.as_json))


def _export_linked_art(
    asking: Asking, number: str | None, out: Path, reads: "Reader"
) -> None:
    from vestige.graph.errors import Refused
    from vestige.ontology.linked_art_writer import linked_art

    if number is None:
        raise Refused("linked-art shows one object: name an OBJECT")
    home = asking.collection
    state, key, _ = home.of_object(number, known=asking.known, reader=reads)
    places = home.places_of(key, known=asking.known, reader=reads)
    out.write_bytes(linked_art(state, places, key))
    click.echo(f"{out.name} is written; it is a view for others and holds no evidence")


@click.command()
@click.option("--page", is_flag=True, help="The mapping for people (Markdown) instead.")
@click.option("--shapes", is_flag=True, help="The shapes (SHACL) instead.")
def ontology(page: bool, shapes: bool) -> None:
    """Print Vestige's own ontology (Turtle): each term, and what stands above it."""
    from vestige.ontology.own_ontology import ontology_page, ontology_turtle
    from vestige.ontology.shapes import shapes_turtle

    if page and shapes:
        raise click.UsageError("ask for --page or for --shapes, one at a time")
    told = ontology_page if page else shapes_turtle if shapes else ontology_turtle
    click.echo(told(), nl=False)


@click.command()
@archive_option
def vocabulary(archive: Path) -> None:
    """Print the word lists as SKOS (Turtle), with what the archive adds to them.

    An institution adds words, languages and matches in vocabulary.ttl in its archive.
    """
    from vestige.ontology.vocabulary import vocabulary_turtle

    folder = archive if archive.is_dir() else archive.parent
    click.echo(vocabulary_turtle(folder), nl=False)


def bring_linked_data_in(
    collection: "Collection", paper: Path, by: str, as_json: bool
) -> None:
    """What `vestige import` does with a file of linked data."""
    from vestige.ontology.bringing_in import bring_in

    from .words_linking import brought_in, brought_in_json

    brought = bring_in(collection, paper, by)
    click.echo(brought_in_json(brought) if as_json else brought_in(brought))
    if brought.stopped:
        click.echo("nothing was recorded", err=True)
        leave(PROBLEMS)


def check_linked_data(paper: Path | None, archive: Path | None, as_json: bool) -> None:
    """What `vestige check` does with a file of linked data, or with an archive."""
    from vestige.ontology.checking import check_archive, check_file

    from .words_linking import found_problems, found_problems_json

    if paper is not None:
        problems = check_file(paper)
    elif archive is None:
        raise click.UsageError("name a FILE to check, or check the archive with --shapes")
    else:
        with opened(archive) as collection:
            problems = check_archive(collection, reader(None))
    click.echo((found_problems_json if as_json else found_problems)(problems))
    if any(one.weight == "error" for one in problems):
        leave(PROBLEMS)


def check_drafted(drafted: "Draft") -> None:
    """What `vestige check --shapes` adds for sheets."""
    from vestige.ontology.checking import check_sheets

    from .words_linking import found_problems

    problems = check_sheets(drafted)
    click.echo(found_problems(problems))
    if problems:
        leave(PROBLEMS)


def _list(ctx: click.Context, option: click.Parameter, wanted: bool) -> None:
    if not wanted or ctx.resilient_parsing:
        return
    from vestige.ontology.query import questions

    for one in questions().values():
        click.echo(f"{one.name:<22} {one.user:<12} {one.asks}")
    ctx.exit()


def _show(ctx: click.Context, option: click.Parameter, name: str | None) -> None:
    if not name or ctx.resilient_parsing:
        return
    from vestige.ontology.query import named_question

    click.echo(named_question(name).sparql.strip())
    ctx.exit()


@click.command()
@click.argument("sparql", metavar="[SPARQL]", required=False)
@click.option(
    "--list", is_flag=True, is_eager=True, expose_value=False, callback=_list,
    help="The questions that come with Vestige.",
)  # fmt: skip
@click.option("--named", metavar="NAME", help="Ask one of them.")
@click.option(
    "--file", "file", type=click.Path(path_type=Path, exists=True, dir_okay=False),
    help="Ask what stands in a file.",
)  # fmt: skip
@click.option(
    "--show", metavar="NAME", is_eager=True, expose_value=False, callback=_show,
    help="Print the SPARQL of one of them, to start from.",
)  # fmt: skip
@click.option("--csv", "as_csv", is_flag=True, help="Answer as CSV.")
@click.option(
    "--seconds", type=click.FloatRange(0.1, 600), default=30.0, show_default=True,
    help="After so long the question is ended.",
)  # fmt: skip
@question
def query(
    asking: Asking,
    sparql: str | None,
    named: str | None,
    file: Path | None,
    as_csv: bool,
    seconds: float,
) -> None:
    """Ask across the whole archive in SPARQL. It only reads, and only what you may see.

    The prefixes of the ontology (crm:, sci:, inf:, prov:, ves:, voc:) need no declaring.
    """
    from vestige.ontology.query import ask, named_question
    from vestige.ontology.whole_export import written_archive

    from .words_linking import rows_csv, rows_json, rows_table

    asked = _the_query(sparql, named_question(named).sparql if named else None, file)
    asking.viewed_whole(asking.reader)
    written = written_archive(asking.collection, asking.reader, asking.known)
    found = ask(written, asked, seconds)
    told = rows_csv if as_csv else rows_json if asking.as_json else rows_table
    click.echo(told(found), nl=not as_csv)
    if found.cut:
        click.echo(f"only the first {len(found.rows):,} rows are shown", err=True)


def _the_query(sparql: str | None, named: str | None, file: Path | None) -> str:
    from vestige.graph.errors import BadValue

    given = [one for one in (sparql, named, file) if one is not None]
    if len(given) != 1:
        raise click.UsageError(
            "give one question: SPARQL in quotes, --named NAME (see --list) or --file FILE"
        )
    if file is None:
        return str(given[0])
    try:
        return file.read_text(encoding="utf-8")
    except UnicodeDecodeError:
        raise BadValue(f"{file.name} is no text in UTF-8") from None


LINKED = (export, query, ontology, vocabulary)
