"""What is open is told as open, with what would settle it where that is recorded."""

from collections.abc import Iterator
from pathlib import Path

import pytest
from chest_archive import Chest, asked, claim, opened, result

from vestige.graph.answer.unknown import (
    ASKED,
    NOT_RECORDED_YET,
    OPEN,
    PHASE_OPEN,
    UNDOCUMENTED,
    UNEXAMINED,
    UNTESTED,
    Unknown,
    unknowns_of,
)
from vestige.graph.record import (
    Caution,
    CautionSort,
    Element,
    Known,
    Question,
    Relation,
    Sample,
    Status,
)
from vestige.ui.command.words_unknown import unknowns as words


@pytest.fixture
def chest(tmp_path: Path) -> Iterator[Chest]:
    with opened(tmp_path) as one:
        yield one


def told(chest: Chest, sort: str) -> list[Unknown]:
    [one] = unknowns_of(chest.collection.around("OBJ"), "OBJ").objects
    return [found for found in one.unknowns if found.sort == sort]


def numbers(found: list[Unknown]) -> list[str]:
    return [thing.number for one in found for thing in one.things]


def test_a_question_is_open_until_it_is_answered(chest: Chest) -> None:
    chest.say(1, Q1=asked("Q-1", "LID", settle="tool marks"), Q2=asked("Q-2", "COAT"))
    assert [one.would_settle for one in told(chest, ASKED)] == ["tool marks", None]
    done = Question(
        number="Q-1", about=("LID",), asked="whose hand?", answered="the maker's"
    )
    chest.say(2, Q1=done)
    assert numbers(told(chest, ASKED)) == ["CH-4"]


def test_what_would_settle_it_is_not_recorded_where_nobody_said(chest: Chest) -> None:
    chest.say(1, Q2=asked("Q-2", "COAT"))
    said = words(unknowns_of(chest.collection.around("OBJ"), "OBJ"))
    assert "would settle it: not recorded" in said


def test_an_open_verdict_is_told_with_what_it_hangs_on(chest: Chest) -> None:
    chest.say(1, C3=claim("O-3", "HINGE", Relation.LATER_THAN, other="BODY"))
    found = [*told(chest, OPEN), *told(chest, PHASE_OPEN)]
    assert "CH-3" in numbers(found)
    assert all(one.text for one in found)


def test_an_element_that_no_observation_names_is_told(chest: Chest) -> None:
    assert numbers(told(chest, UNEXAMINED)) == ["CH-3"]
    chest.say(1, C3=claim("O-3", "HINGE", Relation.COUNTED, value="2"))
    assert told(chest, UNEXAMINED) == []


def test_a_removal_without_a_record_is_told(chest: Chest) -> None:
    hinge = chest.collection.around("OBJ").record("HINGE", Element)
    chest.say(1, HINGE=hinge.model_copy(update={"status": Status.UNDOCUMENTED}))
    assert numbers(told(chest, UNDOCUMENTED)) == ["CH-3"]


def test_a_sample_without_a_result_is_a_test_never_done(chest: Chest) -> None:
    assert numbers(told(chest, UNTESTED)) == ["V1"]
    section = Sample(number="V1-a", element="COAT", name="section", made_from="V1")
    chest.say(1, V2=section, R1=result("R-1", "V2", "microscopy"))
    assert told(chest, UNTESTED) == []


@pytest.mark.parametrize(
    ("known", "open_"),
    [(Known.SUSPECTED, True), (Known.NOT_TESTED, True), (Known.KNOWN, False)],
)
def test_a_hazard_that_nobody_tested_is_open(
    chest: Chest, known: Known, open_: bool
) -> None:
    chest.say(1, H1=Caution(number="H-1", about=("COAT",), sort=CautionSort.HAZARD,
                            what="lead", known=known))  # fmt: skip
    assert ("CH-4" in numbers(told(chest, UNTESTED))) is open_


def test_columns_that_matter_and_are_empty_are_told_once_each(chest: Chest) -> None:
    found = {one.text: numbers([one]) for one in told(chest, NOT_RECORDED_YET)}
    assert found["what it is made of"] == ["CH-2", "CH-4"]
    assert found["who holds title"] == ["X.7"]
    assert "when the phase began or ended" not in found


def test_nothing_listed_does_not_mean_that_all_is_known(chest: Chest) -> None:
    said = words(unknowns_of(chest.collection.around("OBJ"), "OBJ"))
    assert "what nobody thought of asking is not" in said
