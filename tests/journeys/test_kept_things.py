"""What was kept, sampled and touched in the invented museum, by the real commands.

No outside source: the data are invented, and the expected answers are those of the
written story of the museum.
"""

import json
from pathlib import Path
from typing import Any
from xml.etree import ElementTree

import pytest
from click.testing import CliRunner, Result

from vestige.ui.command import cli


def ran(museum: Path, *words: str) -> Result:
    return CliRunner().invoke(cli, [*words, "--archive", str(museum)])


def told(museum: Path, *words: str) -> str:
    done = ran(museum, *words)
    assert done.exit_code == 0, done.output
    return done.output


def asked(museum: Path, *words: str) -> Any:
    return json.loads(told(museum, *words, "--json"))


def touched(answer: Any, reach: str) -> set[str]:
    return {one["thing"]["number"] for one in answer["things"] if one["reach"] == reach}


@pytest.mark.parametrize("name", ["CN", "cellulose nitrate", "nitrocellulose", "RES-11"])
def test_all_cellulose_nitrate_is_found_under_each_of_its_names(
    museum: Path, name: str
) -> None:
    answer = asked(museum, "recall", name)
    assert touched(answer, "direct") == {"BWL-12", "RM-12-2", "V11", "DIA-08", "RM-118-1"}
    assert touched(answer, "through contact") == {"BWL-01", "BWL-02", "DIA-01"}
    by_number = {one["thing"]["number"]: one for one in answer["things"]}
    assert by_number["BWL-12"]["still_there"] is False
    assert by_number["BWL-12"]["taken_away"] == "2017-03-14"
    assert by_number["DIA-08"]["still_there"] is True
    assert by_number["DIA-08"]["taken_away"] == "2003"
    assert by_number["V11"]["located"]["place"][0]["holder"]["number"] == "SB-002"


def test_a_recall_keeps_to_dates_and_to_a_place(museum: Path) -> None:
    late = asked(museum, "recall", "CN", "--from", "2018")
    assert touched(late, "direct") == {"DIA-08", "RM-118-1"}  # the bowl's was gone by then
    early = asked(museum, "recall", "CN", "--to", "1950")
    assert touched(early, "direct") == {"DIA-08", "RM-118-1"}  # the bowl's came in 1961
    held = asked(museum, "recall", "CN", "--place", "SB-002")
    assert touched(held, "direct") == {"V11"}


def test_a_recall_of_what_nobody_recorded_says_so(museum: Path) -> None:
    assert "nothing is recorded of it" in told(museum, "recall", "unobtainium")
    done = ran(museum, "recall", "SCR-01")
    assert "a record of the kind element" in str(done.exception)


def test_a_recall_says_that_closed_records_are_not_in_it(museum: Path) -> None:
    assert "closed to this reader" in told(museum, "recall", "CN")


def test_a_result_for_a_technique_is_found_before_another_sample_is_taken(
    museum: Path,
) -> None:
    answer = asked(museum, "samples", "SCR-24", "--technique", "FTIR")["exists"]
    assert [one["thing"]["number"] for one in answer["results"]] == ["RES-03"]
    assert [one["thing"]["number"] for one in answer["samples"]] == ["V05"]
    none = asked(museum, "samples", "LUT-14", "--technique", "FTIR")["exists"]
    assert none["answer"] == "none recorded"


def test_samples_that_are_consumed_or_lost_serve_no_further(museum: Path) -> None:
    samples = asked(museum, "samples", "FEN.1931.44")["samples"]
    unusable = {one["thing"]["number"]: one["unusable"] for one in samples}
    assert unusable["V08"] is not None
    assert unusable["V04"] is not None
    assert unusable["V02"] is None
    depth = {one["thing"]["number"]: one["depth"] for one in samples}
    assert (depth["V02"], depth["SL-02"]) == (0, 1)
    assert all(one["left"]["reckoned"] is None for one in samples)


def test_what_found_nothing_is_a_result_too(museum: Path) -> None:
    said = told(museum, "samples", "SLD-x8")
    assert "arsenic below the limit of detection" in said


def test_the_tin_was_not_where_it_should_be_until_it_was_seen(museum: Path) -> None:
    answer = asked(museum, "custody", "TIN-2")
    gaps = {one["text"] for one in answer["lacks"] if one["sort"] == "gap"}
    assert "looked for on 2022-05-13 and not seen until 2023-02-24" in gaps


def test_title_stands_apart_from_holder_and_place(museum: Path) -> None:
    answer = asked(museum, "custody", "BG-014-1")
    assert answer["title"][0]["who"] == "Fennock Museum"
    assert [one["says"]["number"] for one in answer["title"][1:]] == ["E-GIFT"]
    assert {one["holder"]["number"] for one in answer["places"]} == {"BX-014"}


def test_the_strip_is_an_svg_that_another_reader_opens(
    museum: Path, tmp_path: Path
) -> None:
    out = tmp_path / "strip.svg"
    told(museum, "custody", "BG-014-4", "--out", str(out))
    root = ElementTree.parse(out).getroot()  # outside check: an XML parser
    assert root.tag.endswith("svg")
    assert ran(museum, "custody", "BG-014-4", "--out", str(out)).exit_code != 0


def test_agreements_of_the_sledge_are_due_in_2025_and_overdue_after(museum: Path) -> None:
    during = asked(museum, "due", "--by", "2025-06-01")["due"]
    assert {(one["thing"]["number"], one["standing"]) for one in during} == {
        ("C-06", "due"), ("C-07", "due"), ("C-08", "due"), ("C-09", "due"),
    }  # fmt: skip
    after = asked(museum, "due", "--by", "2026-01-01")["due"]
    assert {one["standing"] for one in after} == {"overdue"}


def test_what_was_kept_for_its_evidence_has_something_in_the_way(museum: Path) -> None:
    answer = asked(museum, "due", "BG-014-1", "--by", "2046-03-01")
    sorts = {one["sort"] for one in answer["blocks"]}
    assert {"depends on it", "consent"} <= sorts
    assert "D-2021-02d" in {
        one["says"]["number"] for one in answer["blocks"] if one["says"]
    }
    hazard = asked(museum, "due", "BG-027-1")["blocks"]
    assert "hazard" in {one["sort"] for one in hazard}


def test_the_lining_comes_off_after_what_lies_over_it(museum: Path) -> None:
    answer = asked(museum, "depends", "SCR-21")
    steps = [{one["number"] for one in step} for step in answer["steps"]]
    over = {one["other"]["number"] for one in answer["bonds"] if one["first"]}
    assert over
    assert steps[-1] == {"SCR-21"}
    assert over <= set().union(*steps[:-1])
    assert "for people to decide" in answer["note"]


def test_what_a_treatment_took_is_told_with_where_it_is(museum: Path) -> None:
    (one,) = asked(museum, "treatment", "T-2017-03")["treatments"]
    removed = {part["located"]["thing"]["number"] for part in one["removed"]}
    assert removed == {"BG-031-1", "BG-031-2", "RM-12-1", "RM-12-2"}
    assert {(s["thing"]["number"], s["linked"]) for s in one["samples"]} == {
        ("V11", False), ("V12", False),
    }  # fmt: skip
    assert one["used"] == []
    assert "used:\n    not recorded" in told(museum, "treatment", "T-2017-03")


def test_a_copy_is_named_with_the_first_who_said_it(museum: Path) -> None:
    answer = asked(museum, "sources", "FEN.1931.44")
    copies = [one for one in answer["sources"] if one["copies"]]
    assert copies
    assert all(one["first"] for one in copies)
    speaking = [one for one in answer["sources"] if one["claims"]]
    assert answer["voices"] < len(speaking)


def test_a_source_tells_all_that_rests_on_its_word(museum: Path) -> None:
    answer = asked(museum, "sources", "S-OC17")
    (own,) = [one for one in answer["sources"] if one["thing"]["number"] == "S-OC17"]
    assert {"BV6", "BV2a"} <= {one["number"] for one in own["claims"]}
    assert "RES-11" in {one["number"] for one in own["records"]}


def test_the_closed_account_is_closed_in_the_sources_too(museum: Path) -> None:
    for words in (["sources", "FEN.1922.70"], ["sources", "S-CC10"]):
        assert "family" not in told(museum, *words)


@pytest.mark.parametrize(
    "words",
    [["samples", "BWL-12"], ["custody", "V11"], ["treatment", "BWL-12"], ["due"],
     ["depends", "BWL-12"], ["sources", "BWL-12"]],
)  # fmt: skip
def test_each_question_answers_as_known_on_a_day(museum: Path, words: list[str]) -> None:
    now = asked(museum, *words)
    assert now["as_known"] is None
    later = asked(museum, *words, "--as-known", "2999-01-01")
    assert later["as_known"].startswith("2999-01-01")
    before = ran(museum, *words, "--as-known", "1999-01-01")
    assert (
        before.exit_code != 0
        or json.loads(ran(museum, *words, "--as-known", "1999-01-01", "--json").output)[
            "due"
        ]
        == []
    )


def test_arsenic_is_direct_where_known_and_a_mention_where_suspected(
    museum: Path,
) -> None:
    answer = asked(museum, "recall", "arsenic")
    assert {"SLD-x2", "SLD-x5", "MAP-10"} <= touched(answer, "direct")
    assert "SLD-x8" not in touched(answer, "direct")  # below the limit of detection
    assert "b11" in touched(answer, "mentioned only")
    by_number = {one["thing"]["number"]: one for one in answer["things"]}
    assert by_number["b11"]["still_there"] is False
