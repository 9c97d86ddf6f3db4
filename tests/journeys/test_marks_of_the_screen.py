"""The hinge marks of the demo screen alone give back how its leaves stood.

The screen is invented, so these tests hold the commands to its story; they are no
evidence of how well marks tell the order of real leaves (see bench/marks.py for that).
"""

import json
import shutil
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from click.testing import CliRunner, Result
from defusedxml.ElementTree import fromstring

from vestige.ui.command import cli

Run = Callable[..., Result]
SCREEN = "FEN.1931.44"


@pytest.fixture
def run(recorded_museum: Path, tmp_path: Path) -> Run:
    """Run commands on a fresh copy of the museum."""
    shutil.copytree(recorded_museum, tmp_path / "museum")

    def ran(*words: str) -> Result:
        return CliRunner().invoke(cli, [*words, "--archive", str(tmp_path / "museum")])

    return ran


def rows(run: Run, *words: str) -> dict[str, Any]:
    ran = run("arrangements", SCREEN, "--from-marks", *words, "--json")
    assert ran.exit_code == 0, ran.output
    return {one["phase"]["number"][-2:]: one for one in json.loads(ran.stdout)["phases"]}


def test_each_set_of_hinges_gives_its_order_and_each_joint_is_significant(
    run: Run,
) -> None:
    found = rows(run)
    assert {key: one["rows"][0]["words"] for key, one in found.items()} == {
        "P1": "A-B-C-D",
        "P2": "A-C-B-D",
    }
    for one in found.values():
        assert one["decided"] is True
        assert one["chance"]["p"] < 0.01
        assert one["rows"][0]["lonely"] == []
        assert len(one["joints"]) == 3
        for joint in one["joints"]:
            assert joint["conclusion"] == "they match"
            assert all(chance["p_corrected"] < 0.05 for chance in joint["chances"])
            assert all(chance["tried"] == 13 for chance in joint["chances"])


def test_the_later_order_is_refused_on_the_first_hinges_with_its_reason(run: Run) -> None:
    found = rows(run, "--row", "A-C-B-D", "--runs", "40")
    (joint, *_) = found["P1"]["asked"]["refused"]
    assert joint == (
        "H1 mortise, P1: A-right is cut on the front and C-left on the back; so hinged "
        "they cannot fold."
    )
    assert found["P2"]["asked"]["refused"] == []
    words = run("arrangements", SCREEN, "--row", "A-C-B-D", "--runs", "40").stdout
    assert "A-C-B-D is REFUSED" in words
    assert "A-C-B-D is possible" in words


def test_in_any_pose_the_second_hinges_tell_the_order_and_not_how_leaves_stood(
    run: Run,
) -> None:
    found = rows(run, "--any-pose", "--phase", "P2", "--runs", "100")
    assert found["P2"]["decided"] is False
    assert "decide the order A-C-B-D" in found["P2"]["reason"]
    assert {"-".join(row["order"]) for row in found["P2"]["rows"]} == {"A-C-B-D"}


def test_hinges_of_two_phases_are_judged_apart(run: Run) -> None:
    ran = run("match", "A-right", "B-left", "--json")
    told = {
        one["phase"]["number"][-2:]: one["conclusion"]
        for one in json.loads(ran.stdout)["phases"]
    }
    assert told == {"P1": "they match", "P2": "the marks speak against it"}


def test_a_match_is_recorded_once_with_the_computation_as_its_source(run: Run) -> None:
    words = ("match", "A-right", "C-left", "--phase", "P2", "--record", "--by", "OC")
    first = run(*words)
    assert first.exit_code == 0, first.output
    assert "recorded: A-right+C-left/P2 (moderate)" in first.output
    assert "recorded already" in run(*words).output
    answer = json.loads(run("arrangements", SCREEN, "--json").stdout)
    stage = next(s for s in answer["stages"] if s["phase"]["number"].endswith("P2"))
    (claim,) = stage["stood"]
    assert claim["text"] == (
        "SCR-01 frame of leaf A stood against SCR-03 frame of leaf C in P2 second hanging"
    )
    assert claim["source"]["number"] == "C A-right+C-left/P2"
    # What was computed from the marks of an examination is no second voice beside it.
    assert [one["number"] for one in claim["origin"]] == ["S-OC19"]
    assert "seed 0" in claim["note"]
    assert "Likelihood ratio" in claim["note"]
    assert run("assess", SCREEN, "--json").exit_code == 0


def test_a_row_recorded_adds_no_voice_to_the_examination_that_measured_it(
    run: Run,
) -> None:
    def account() -> dict[str, Any]:
        answer = json.loads(run("arrangements", SCREEN, "--json").stdout)
        stage = next(s for s in answer["stages"] if s["phase"]["number"].endswith("P1"))
        return dict(next(a for a in stage["accounts"] if a["words"] == "A-B-C-D"))

    before = account()
    words = ("arrangements", SCREEN, "--from-marks", "--phase", "P1", "--runs", "200")
    assert run(*words, "--record", "--by", "OC").exit_code == 0
    after = account()
    assert len(after["speaks_for"]) == len(before["speaks_for"]) + 1
    assert after["voices"] == before["voices"]


def test_what_changed_between_the_two_hangings_is_told(run: Run) -> None:
    answer = json.loads(run("arrangements", SCREEN, "--json").stdout)
    first, *later = answer["between"]
    assert (first["before"], first["after"]) == ("A-B-C-D", "A-C-B-D")
    assert [(c["piece"], c["sort"]) for c in first["changes"]] == [
        ("B", "moved"),
        ("C", "moved"),
    ]
    assert [one["changes"] for one in later] == [[], [], []]
    assert later[-1]["disputed"] is True


@pytest.mark.parametrize(
    ("words", "count"),
    [
        (("match", "A-right", "B-left", "--phase", "P1", "--runs", "40"), 1),
        (("arrangements", SCREEN, "--from-marks", "--runs", "40"), 1),
        (("arrangements", SCREEN), 1),
        (("match", "A-right", "B-left", "--runs", "40"), 2),
    ],
)
def test_each_picture_is_written_and_has_its_text(
    words: tuple[str, ...], count: int, run: Run, tmp_path: Path
) -> None:
    ran = run(*words, "--out", str(tmp_path / "out.svg"))
    assert ran.exit_code == 0, ran.output
    written = sorted(tmp_path.glob("out*.svg"))
    assert len(written) == count
    for path in written:
        root = fromstring(path.read_text("utf-8"))
        described = root.find("{http://www.w3.org/2000/svg}desc")
        assert described is not None
        assert len(described.text or "") > 80


def test_marks_are_listed_by_face_and_phase_for_a_leaf(run: Run) -> None:
    answer = json.loads(run("marks", "SCR-01", "--json").stdout)
    left, right = answer["faces"]
    assert left["examined"] is True
    assert left["marks"] == []
    assert [(m["what"], m["at"]) for m in right["marks"]] == [
        ("H1 mortise", "212 ± 2 mm"),
        ("H1 mortise", "903 ± 2 mm"),
        ("H1 mortise", "1588 ± 2 mm"),
        ("H2 mortise", "300 ± 2 mm"),
        ("H2 mortise", "1500 ± 2 mm"),
    ]
    assert "examined, no mark seen" in run("marks", "SCR-01").stdout
