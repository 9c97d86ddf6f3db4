"""Questions across the archive: what they find, for whom, and how it is shown."""

import csv
import io
import json
from collections.abc import Iterator
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from vestige.graph.collection import Collection
from vestige.graph.errors import BadValue, NotRecorded
from vestige.graph.intake import not_computed
from vestige.graph.record import Caution, CautionSort, KeptPart, Relation
from vestige.ontology.query import Rows, ask, named_question, questions
from vestige.ontology.record_writer import Written
from vestige.ontology.whole_export import Keeper, written_archive
from vestige.ui.command import cli
from vestige.ui.command.words_linking import rows_csv


@pytest.fixture(scope="module")
def collection(museum: Path) -> Iterator[Collection]:
    with Collection.open(museum) as opened:
        yield opened


@pytest.fixture(scope="module")
def written(collection: Collection) -> list[Written]:
    return list(written_archive(collection, Keeper()))


@pytest.fixture(scope="module")
def answers(written: list[Written]) -> dict[str, Rows]:
    """The answer to every question, each asked once."""
    return {name: ask(written, one.sparql) for name, one in questions().items()}


def run(*words: str | Path) -> Result:
    return CliRunner().invoke(cli, [str(one) for one in words])


def test_there_are_a_dozen_questions_for_each_of_the_three_users() -> None:
    found = questions().values()
    assert len(found) >= 12
    assert {one.user for one in found} == {"conservator", "registrar", "researcher"}


@pytest.mark.parametrize("name", sorted(questions()))
def test_every_question_finds_what_the_museum_has(
    name: str, answers: dict[str, Rows]
) -> None:
    rows = answers[name].rows
    absent = name == "looked-for-and-absent"  # the invented museum records none
    assert bool(rows) is not absent
    assert len(rows) == len(set(rows))


def test_removed_parts_are_those_of_the_state(
    collection: Collection, answers: dict[str, Rows]
) -> None:
    parts = {one.number for _, one in collection.whole(reader=Keeper()).all_of(KeptPart)}
    assert {row[0] for row in answers["removed-parts"].rows} == parts


def test_hazards_are_those_of_the_state(
    collection: Collection, answers: dict[str, Rows]
) -> None:
    state = collection.whole(reader=Keeper())
    pairs = {
        (state.label(key), one.what)
        for _, one in state.all_of(Caution)
        if one.sort is CautionSort.HAZARD
        for key in one.about
    }
    assert {row[:2] for row in answers["hazards"].rows} == pairs


def test_what_lies_over_what_is_what_the_claims_say(
    collection: Collection, answers: dict[str, Rows]
) -> None:
    from vestige.graph.record import Claim

    state = collection.whole(reader=Keeper())
    pairs = {
        (state.label(one.about), state.label(one.other or ""))
        for _, one in state.all_of(Claim)
        if one.relation is Relation.LIES_OVER
    }
    assert {row[:2] for row in answers["layers-over"].rows} == pairs


def test_a_question_sees_only_what_its_reader_may_see(museum: Path) -> None:
    words: list[str | Path] = [
        "query",
        "SELECT ?n { ?s ves:source_name ?n }",
        "--json",
        "--archive",
        museum,
    ]
    public = json.loads(run(*words).stdout)["rows"]
    with Collection.open(museum) as opened:
        state = opened.whole(reader=Keeper())
    from vestige.graph.record import Source

    closed = {one.name for _, one in state.all_of(Source) if one.access}
    assert closed
    assert not {row["n"] for row in public} & closed


def test_rows_come_as_table_as_csv_and_as_json(museum: Path) -> None:
    words: list[str | Path] = ["query", "--named", "not-seen", "--archive", museum]
    table, as_csv, as_json = run(*words), run(*words, "--csv"), run(*words, "--json")
    rows = list(csv.reader(io.StringIO(as_csv.stdout)))
    found = json.loads(as_json.stdout)
    assert rows[0] == found["columns"] == ["when", "what", "where", "audit"]
    assert len(rows) - 1 == len(found["rows"]) > 0
    assert f"{len(rows) - 1} rows" in table.stdout


@pytest.mark.parametrize("cell", ["=1+1", "+1", "-1", "@x", "\tx", "\rx"])
def test_no_cell_of_a_csv_is_a_formula(cell: str) -> None:
    """OWASP, CSV Injection: the signs that begin a formula."""
    assert not_computed(cell) == "'" + cell
    assert rows_csv(Rows(("a",), ((cell,),))).splitlines()[1].strip('"').startswith("'")


def test_yes_or_no_and_described_things_are_answered(written: list[Written]) -> None:
    assert ask(written, "ASK { ?s a ves:Claim }").rows == (("yes",),)
    found = ask(written, "DESCRIBE ?o { ?o a ves:MuseumObject }")
    assert found.heads == ("subject", "property", "object")
    assert found.rows


def test_a_question_that_cannot_be_read_ends_in_a_sentence() -> None:
    with pytest.raises(BadValue, match="cannot be answered"):
        ask([], "SELECT nonsense")
    with pytest.raises(NotRecorded, match="removed-parts"):
        named_question("weather")


def test_the_questions_can_be_listed_and_shown_without_an_archive() -> None:
    assert "registrar" in run("query", "--list").stdout
    assert "ves:KeptPart" in run("query", "--show", "removed-parts").stdout


def test_one_question_at_a_time(museum: Path) -> None:
    both = run("query", "ASK {}", "--named", "moves", "--archive", museum)
    assert both.exit_code == 2
    assert run("query", "--archive", museum).exit_code == 2
