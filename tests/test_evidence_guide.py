from pathlib import Path

import pytest
from click.testing import CliRunner
from small_papers import drafted, good, set_cell, workbook

from vestige.graph.problem import Problem, Weight
from vestige.graph.record import (
    Claim,
    Relation,
    SourceKind,
    Strength,
    evidence_guide,
    guide_for,
    usual_strength,
)
from vestige.ui.command.evidence import evidence

OF_CLAIMS = {
    Relation.SUPPORTS,
    Relation.OPPOSES,
    Relation.DISPUTES,
    Relation.MAY_BELONG_TO,
}


@pytest.mark.parametrize("relation", sorted(set(Relation) - OF_CLAIMS))
def test_every_relation_of_things_has_a_kind_of_evidence(relation: Relation) -> None:
    assert guide_for(relation)


def test_every_kind_says_what_to_write_down_and_how_it_misleads() -> None:
    for kind in evidence_guide():
        assert kind.asks
        assert kind.pitfalls
        assert kind.basis
        assert kind.usual is not Strength.DECISIVE  # a person alone may say so


def test_the_weaker_word_of_what_is_said_and_who_says_it_is_taken() -> None:
    assert usual_strength(Relation.LIES_OVER) is Strength.STRONG
    assert usual_strength(Relation.LIES_OVER, SourceKind.EXAMINATION) is Strength.STRONG
    assert usual_strength(Relation.LIES_OVER, SourceKind.ORAL) is Strength.WEAK
    assert usual_strength(Relation.SUPPORTS) is Strength.NEUTRAL


def queries(path: Path, code: str) -> list[Problem]:
    found = drafted(path)
    assert not found.errors
    return [one for one in found.problems if one.code == code]


def test_an_empty_strength_takes_the_usual_word_and_is_queried(tmp_path: Path) -> None:
    sheets = set_cell(good(), "Observations", 4, "strength", "")
    path = workbook(tmp_path / "a.xlsx", sheets)
    [query] = queries(path, "strength not given")
    assert (query.place.row, query.weight) == (4, Weight.QUERY)
    assert "'moderate'" in query.wrong
    assert "two coats" in query.right
    claims = [one.record for one in drafted(path).new if isinstance(one.record, Claim)]
    assert [one.strength for one in claims if one.number == "O-3"] == [Strength.MODERATE]


def test_a_sheet_without_the_column_strength_can_be_read(tmp_path: Path) -> None:
    sheets = good()
    heads = sheets["Observations"][0]
    at = heads.index("strength")
    sheets["Observations"] = [[*row[:at], *row[at + 1 :]] for row in sheets["Observations"]]
    assert len(queries(workbook(tmp_path / "a.xlsx", sheets), "strength not given")) == 3


def test_a_strength_that_is_no_word_is_still_an_error(tmp_path: Path) -> None:
    sheets = set_cell(good(), "Observations", 4, "strength", "rather")
    found = drafted(workbook(tmp_path / "a.xlsx", sheets))
    assert [one.place.row for one in found.errors] == [4]


def test_a_second_hand_source_is_asked_once_what_it_repeats(tmp_path: Path) -> None:
    sheets = set_cell(good(), "Sources", 2, "first or second hand", "second-hand")
    [query] = queries(workbook(tmp_path / "a.xlsx", sheets), "derived from?")
    assert "S-1" in query.wrong
    assert "observations: 2" in query.wrong


def test_a_source_that_names_what_it_copies_is_not_asked(tmp_path: Path) -> None:
    sheets = set_cell(good(), "Sources", 3, "first or second hand", "second-hand")
    assert not queries(workbook(tmp_path / "a.xlsx", sheets), "derived from?")


def test_the_guide_can_be_asked_on_the_command_line() -> None:
    one = CliRunner().invoke(evidence, ["trapped"])
    assert "earliest date of closing" in one.output
    none = CliRunner().invoke(evidence, ["xyzzy"])
    assert "no kind of evidence" in none.output
