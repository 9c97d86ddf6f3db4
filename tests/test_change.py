"""What changed since a day is told with reasons; what is closed leaves no trace in it."""

import json
from collections.abc import Iterator
from pathlib import Path

import pytest
from chest_archive import (
    AGAINST,
    ASK,
    DAY,
    FIRST,
    SECRET,
    Chest,
    claim,
    closing,
    opened,
    secret_claim,
)
from click.testing import CliRunner

from vestige.graph.reasoning import assess, case_of
from vestige.graph.reasoning.mover import movers
from vestige.graph.record import Relation, Source, SourceKind
from vestige.ui.command import cli

SINCE = "2021-01-02"


@pytest.fixture
def chest(tmp_path: Path) -> Iterator[Chest]:
    with opened(tmp_path) as one:
        yield one


def asked(chest: Chest, *more: str, since: str = SINCE) -> str:
    """What the real command prints."""
    folder = chest.collection.folder
    words = ["changes", "--since", since, "--archive", str(folder), *more]
    ran = CliRunner().invoke(cli, words)
    assert ran.exit_code == 0, ran.output
    return ran.stdout


def rows(chest: Chest, *more: str) -> list[dict[str, object]]:
    answer = json.loads(asked(chest, "--json", *more))
    return [row for one in answer["objects"] for row in one["records"]]


def how(chest: Chest, *more: str) -> list[tuple[object, object]]:
    return [(row["how"], row["thing"]["number"]) for row in rows(chest, *more)]  # type: ignore[index]


def test_a_day_without_changes_says_nothing(chest: Chest) -> None:
    assert rows(chest) == []
    assert "\nnothing\n" in asked(chest)


def test_a_correction_shows_column_before_after_and_reason(chest: Chest) -> None:
    chest.say(5, C1=claim("O-1", "LID", Relation.AS_MADE, strength="weak"))
    [row] = rows(chest)
    assert (row["how"], row["reason"]) == ("corrected", "read again")
    assert row["day"] == "2021-01-06"
    assert row["columns"] == [{"column": "strength", "before": "strong", "after": "weak"}]


def test_a_withdrawal_shows_who_and_why(chest: Chest) -> None:
    chest.withdraw(5, "C2", "seen on another chest")
    [row] = rows(chest)
    assert (row["how"], row["by"], row["reason"]) == (
        "withdrawn", "registrar", "seen on another chest",
    )  # fmt: skip


def test_what_came_and_went_within_the_time_is_told_twice(chest: Chest) -> None:
    chest.say(5, C3=claim("O-3", "COAT", Relation.AS_MADE))
    chest.withdraw(6, "C3", "a slip")
    assert how(chest) == [("stated", "O-3"), ("withdrawn", "O-3")]


def test_a_verdict_that_moved_names_the_claims_that_moved_it(chest: Chest) -> None:
    chest.say(
        5,
        C3=claim("O-3", "LID", Relation.AS_MADE, stance=AGAINST, strength="decisive",
                 source="BOOK"),
        C4=claim("O-4", "HINGE", Relation.COUNTED, value="2"),
    )  # fmt: skip
    [one] = json.loads(asked(chest, "X.7", "--json"))["objects"]
    moved = {move["thing"]["number"]: move for move in one["moved"]}
    assert moved["CH-2"]["before"]["text"] != moved["CH-2"]["after"]["text"]
    assert [m["claim"]["number"] for m in moved["CH-2"]["because"]] == ["O-3"]
    assert [d["thing"]["number"] for d in one["decisions"]] == ["D-1"]


def test_a_claim_withdrawn_is_named_as_what_moved_the_verdict(chest: Chest) -> None:
    chest.say(1, C3=claim("O-3", "HINGE", Relation.AS_MADE, strength="decisive"))
    chest.withdraw(5, "C3", "seen on another chest")
    [one] = json.loads(asked(chest, "X.7", "--json"))["objects"]
    [move] = [m for m in one["moved"] if m["thing"]["number"] == "CH-3"]
    assert ("withdrawn", "O-3") in [
        (m["how"], m["claim"]["number"]) for m in move["because"]
    ]


def test_what_was_said_after_the_day_as_known_is_not_told(chest: Chest) -> None:
    chest.say(5, C3=claim("O-3", "COAT", Relation.AS_MADE))
    chest.say(9, C4=claim("O-4", "COAT", Relation.NOTED, value="clean"))
    chest.withdraw(12, "C3", "a slip")
    assert how(chest, "--as-known", "2021-01-07") == [("stated", "O-3")]


def test_an_object_first_recorded_since_has_nothing_to_compare(chest: Chest) -> None:
    answer = json.loads(asked(chest, "--json", since="2020-01-01"))
    [one] = [one for one in answer["objects"] if one["about"]]
    assert one["first_recorded"]
    assert one["moved"] == []


@pytest.mark.parametrize("more", [(), ("X.7",), ("--json",), ("X.7", "--json")])
def test_a_closed_claim_leaves_no_trace_for_who_may_not_read(
    chest: Chest, more: tuple[str, ...]
) -> None:
    """Word for word the same answer as if it had never been said."""
    chest.say(5, C3=claim("O-3", "COAT", Relation.NOTED, value="clean"))
    before = asked(chest, *more)
    chest.say(6, C9=secret_claim(), SHUT=closing("C9"))
    chest.say(
        7,
        C8=claim("O-8", "C9", Relation.NOTED, value="of the closed one"),
        C7=claim("O-7", "HINGE", Relation.NOTED, value="repeated", derived_from="C9"),
    )
    assert asked(chest, *more) == before


def test_who_may_read_is_told(chest: Chest) -> None:
    chest.say(6, C9=secret_claim(), SHUT=closing("C9"))
    assert ("stated", "O-9") in how(chest, "--as", ASK)
    [one] = json.loads(asked(chest, "X.7", "--json", "--as", ASK))["objects"]
    assert "CH-3" in {move["thing"]["number"] for move in one["moved"]}


def test_what_was_open_once_and_is_closed_now_leaves_no_trace(chest: Chest) -> None:
    before = asked(chest, "--json")
    chest.say(5, C9=secret_claim())
    chest.say(6, SHUT=closing("C9"))
    assert asked(chest, "--json") == before
    assert SECRET not in asked(chest, "--json", "--as-known", "2021-01-06")


def test_a_closed_source_moves_nothing_for_who_may_not_read(chest: Chest) -> None:
    def told(name: str, **more: object) -> Source:
        said = {"number": "S-9", "name": name, "sort": SourceKind.ORAL, "access": ASK}
        return Source.model_validate(said | more)

    chest.say(1, TALK=told(SECRET),
              C5=claim("O-5", "HINGE", Relation.AS_MADE, source="TALK"))  # fmt: skip
    before = asked(chest, "X.7", "--json")
    chest.say(5, TALK=told(SECRET, reliability="doubtful"))
    assert asked(chest, "X.7", "--json") == before


def test_a_view_before_the_beginning_is_refused_in_a_sentence(chest: Chest) -> None:
    words = ["changes", "--since", SINCE, "--as-known", "2020-05-05"]
    ran = CliRunner().invoke(cli, [*words, "--archive", str(chest.collection.folder)])
    assert ran.exit_code != 0
    assert "nothing lies between" in str(ran.exception)


def test_a_mover_shifts_as_far_as_leaving_it_out_does(chest: Chest) -> None:
    """Against an assessment made afresh without the claim."""
    chest.say(1, C3=claim("O-3", "HINGE", Relation.PLACED_IN, phase="PHASE3"))
    whole = assess(case_of(chest.collection.around("OBJ"), "OBJ").case)
    ids = [one.id for one in whole.case.claims if one.id.split(" ")[0] == "C3"]
    [(name, shift)] = movers(whole, {"C3": ids}, ["HINGE"])["HINGE"]
    earlier = chest.collection.around("OBJ", known=(FIRST + 1) * DAY)
    # The same year of asking, so that only the claim differs.
    afresh = assess(case_of(earlier, "OBJ", present=whole.case.present).case)
    assert name == "C3"
    expected = abs(whole.beliefs["HINGE"] - afresh.beliefs["HINGE"]).sum() / 2
    # Fewer claims need fewer states of the source; the answers agree closely.
    assert shift == pytest.approx(float(expected), abs=0.02)
