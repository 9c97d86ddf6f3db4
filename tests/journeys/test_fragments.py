"""The loose fragments of the invented museum, from the real commands.

The museum and its right answers are invented (no outside source); the tests hold that the
commands say what its sheets say, and no more.
"""

import json
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from click.testing import CliRunner

from vestige.ui.command import cli

Ask = Callable[..., Any]


@pytest.fixture(scope="module")
def ask(museum: Path) -> Ask:
    def asked(*words: str) -> Any:
        ran = CliRunner().invoke(cli, [*words, "--archive", str(museum), "--json"])
        assert ran.exit_code == 0, ran.output
        return json.loads(ran.stdout)

    return asked


def best(answer: Any) -> Any:
    return answer["candidates"][0]


def facts(place: Any) -> dict[str, str]:
    return {one["of"]: one["fit"] for one in place["facts"]}


def test_the_box_holds_seventeen_things_in_their_standings(ask: Ask) -> None:
    answer = ask("contents", "BX-040")
    assert len(answer["things"]) == 17
    assert answer["loose"] == {
        "with a candidate parent": 4, "tested and rejected": 1, "unassigned": 12,
    }  # fmt: skip
    standing = {one["located"]["thing"]["number"]: one["standing"]
                for one in answer["things"]}  # fmt: skip
    assert {n for n, word in standing.items() if word == "with a candidate parent"} == {
        "b02", "b05", "b11", "b14",
    }  # fmt: skip
    assert standing["b09"] == "tested and rejected"


def test_the_blue_chip_is_ranked_first_at_the_rim_loss_and_not_joined(ask: Ask) -> None:
    answer = ask("match-fragment", "b05")
    place = best(answer)
    assert place["element"]["number"] == "BWL-14"
    assert {facts(place)[of] for of in ("material", "thickness", "size")} == {"fits"}
    assert [one["number"] for one in place["claims"]] == ["LF05"]
    assert answer["conclusion"].startswith("possible, not joined")


def test_the_thicker_chip_is_ruled_out_as_the_trial_had_found(ask: Ask) -> None:
    answer = ask("match-fragment", "b09")
    [place] = [p for p in answer["rejected"] if p["element"]["number"] == "BWL-14"]
    assert [one["of"] for one in place["facts"] if one["decides"]] == ["thickness"]
    assert [one["stance"] for one in place["claims"]] == ["against"]
    assert answer["conclusion"].startswith("nobody's yet")


def test_the_screw_may_be_the_undocumented_one_and_is_suspected_of_arsenic(
    ask: Ask,
) -> None:
    answer = ask("match-fragment", "b11")
    assert best(answer)["element"]["number"] == "SLD-L9"
    assert facts(best(answer))["size"] == "fits"
    arsenic = [one for one in answer["cautions"] if "arsenic" in one["what"]]
    assert {one["known"] for one in arsenic} == {"suspected"}
    assert "of what it may belong to" in {one["how"] for one in arsenic}


def test_the_rod_of_a_metre_in_a_box_is_a_question_about_its_unit(ask: Ask) -> None:
    answer = ask("match-fragment", "b14")
    assert "is the unit right?" in answer["question"]
    assert answer["described"]["size"] == "1,120 mm"
    place = best(answer)
    assert place["element"]["number"] == "MAP-06"
    assert facts(place) == {"material": "fits", "thickness": "says nothing",
                            "size": "to be asked"}  # fmt: skip


def test_the_wedge_is_named_by_a_claim_and_one_hint_only(ask: Ask) -> None:
    answer = ask("match-fragment", "b02")
    place = best(answer)
    assert place["element"]["number"] == "DIA-03"
    assert place["told"] == "one fact fits, which alone says little"
    assert answer["conclusion"].startswith("nobody's yet")


def test_one_object_can_be_looked_at_wholly(ask: Ask) -> None:
    answer = ask("match-fragment", "b05", "--object", "FEN.1908.12")
    assert answer["within"]["number"] == "FEN.1908.12"
    assert {p["element"]["number"] for p in answer["candidates"]} == {"BWL-14"}


def test_the_words_name_the_reasons_and_the_way_to_record(museum: Path) -> None:
    ran = CliRunner().invoke(cli, ["match-fragment", "b09", "--archive", str(museum)])
    assert "RULES IT OUT" in ran.stdout
    assert "LF09" in ran.stdout
    assert "vestige assign b09" in ran.stdout
    assert "Points are no probability" in ran.stdout
    assert " safe" not in ran.stdout


def test_as_known_before_the_box_was_recorded_nothing_bears_the_number(
    museum: Path,
) -> None:
    ran = CliRunner().invoke(
        cli, ["match-fragment", "b05", "--as-known", "2000-01-01", "--archive", str(museum)]
    )
    assert ran.exit_code != 0
