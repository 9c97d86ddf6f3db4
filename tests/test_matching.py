"""Marks matched by the commands as a user types them, the degenerate cases first."""

import json
from collections.abc import Sequence
from pathlib import Path
from typing import Any

import numpy as np
import numpy.typing as npt
import pytest
from marked_archive import (
    Row,
    archive,
    asked,
    bring,
    edge,
    face,
    points,
    refused,
    sheets,
)

from vestige.graph.reasoning import Placement, likelihood_ratio, word_of_ratio

Places = Sequence[tuple[float, float]]
Arrays = npt.NDArray[np.float64]

SOME: Places = [
    (20, 30), (250, 40), (130, 160), (60, 120), (210, 110), (90, 55), (275, 170),
]  # fmt: skip
SQUARE: Places = [(50, 50), (150, 50), (150, 150), (50, 150), (100, 100)]
ON_A_LINE: Places = [(x, 100.0) for x in (30, 70, 95, 160, 240, 280)]
RUNS = ("--runs", "100")


def laid(places: Places, *, mirrored: bool = True, noise: float = 0.4) -> Places:
    """The places as they come to lie on a face of 300 mm that met the first."""
    at = Placement(mirrored, 0.0, (300.0 if mirrored else 0.0, 0.0))
    rng = np.random.default_rng(1)
    moved = at.carry(np.asarray(places, dtype=np.float64))
    return [(float(x), float(y)) for x, y in moved + rng.normal(0, noise, moved.shape)]


def two_faces(tmp_path: Path, a: Places, b: Places, **more: object) -> Path:
    return archive(
        tmp_path,
        Faces=[face("A", "E-A", **more), face("B", "E-B")],
        Marks=[*points("A", a), *points("B", b)],
    )


def matched(at: Path, *words: str) -> dict[str, Any]:
    ran = asked(at, "match", "A", "B", *RUNS, *words, "--json")
    assert ran.exit_code == 0, ran.output
    (phase,) = json.loads(ran.stdout)["phases"]
    return dict(phase)


# ---- degenerate input ------------------------------------------------------------------


@pytest.mark.parametrize("count", [1, 2])
def test_one_or_two_marks_are_not_identifiable(count: int, tmp_path: Path) -> None:
    found = matched(two_faces(tmp_path, SOME[:count], laid(SOME[:count])))
    assert found["outcome"] == "not identifiable"
    assert found["conclusion"] == "not identifiable"
    assert found["ratio"] is None
    assert found["chances"] == []


def test_marks_on_a_line_do_not_tell_the_mirror_and_the_rival_is_named(
    tmp_path: Path,
) -> None:
    at = two_faces(tmp_path, ON_A_LINE, laid(ON_A_LINE))
    found = matched(at)
    assert found["outcome"] == "ambiguous"
    assert {("not mirrored" in one["how"]) for one in found["rivals"]} | {
        not found["mirrored"]
    } == {True, False}
    ran = asked(at, "match", "A", "B", *RUNS)
    assert "AMBIGUOUS" in ran.stdout
    assert "or else" in ran.stdout


def test_a_symmetric_pattern_is_ambiguous_and_nothing_is_recorded_of_it(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    at = two_faces(tmp_path, SQUARE, laid(SQUARE))
    assert matched(at)["outcome"] == "ambiguous"
    told = refused(capsys, at, "match", "A", "B", *RUNS, "--record", "--by", "OC")
    assert "nothing to record" in told
    assert "ambiguous" in told


def test_identical_points_are_asked_about_and_not_identifiable(tmp_path: Path) -> None:
    same: Places = [(100, 100)] * 6
    paper = sheets(
        tmp_path / "in",
        Faces=[face("A", "E-A"), face("B", "E-B")],
        Marks=[*points("A", same), *points("B", same)],
    )
    at = archive(tmp_path)
    assert "entered twice" in bring(at, paper).output
    assert matched(at)["outcome"] == "not identifiable"


def test_a_face_of_five_thousand_metres_is_refused_by_the_import(tmp_path: Path) -> None:
    at = archive(tmp_path)
    ran = bring(at, sheets(tmp_path / "in", Faces=[face("A", "E-A", width="5000 m")]))
    assert ran.exit_code == 4
    assert "5,000 m" in ran.output
    assert "nothing was recorded" in ran.output


def test_a_photograph_declared_mirrored_is_put_right_before_it_is_matched(
    tmp_path: Path,
) -> None:
    read: Places = [(300 - x, y) for x, y in SOME]
    at = two_faces(tmp_path, read, laid(SOME), read="mirrored")
    found = matched(at, "--mirror", "must")
    assert found["outcome"] == "placed"
    assert len(found["pairs"]) == len(SOME)


def test_a_photograph_of_which_nobody_says_is_tried_both_ways_and_told(
    tmp_path: Path,
) -> None:
    read: Places = [(300 - x, y) for x, y in SOME]
    at = two_faces(tmp_path, read, laid(SOME), read="not known")
    found = matched(at, "--mirror", "must")
    assert found["outcome"] == "placed"
    assert found["mirrored"] is False
    assert "both mirrors were tried" in found["reason"]


@pytest.mark.parametrize(("print_is", "told"), [("yes", False), ("no", False), ("", True)])
def test_a_picture_says_for_its_face_whether_it_is_reversed(
    print_is: str, told: bool, tmp_path: Path
) -> None:
    read: Places = [(300 - x, y) for x, y in SOME] if print_is == "yes" else SOME
    at = archive(
        tmp_path,
        Pictures=[{"number": "PH", "of": "E-A", "mirrored": print_is}],
        Faces=[face("A", "E-A", picture="PH"), face("B", "E-B")],
        Marks=[*points("A", read), *points("B", laid(SOME))],
    )
    found = matched(at, "--mirror", "must")
    assert found["mirrored"] is True
    assert ("both mirrors were tried" in found["reason"]) is told


# ---- faces -----------------------------------------------------------------------------


def test_faces_that_met_are_found_with_what_should_have_met_and_did_not(
    tmp_path: Path,
) -> None:
    at = two_faces(tmp_path, SOME, [*laid(SOME)[:6], (33, 180)])
    found = matched(at, "--mirror", "must")
    assert found["conclusion"] == "they match"
    assert found["mirrored"] is True
    assert [p["a"] for p in found["pairs"]] == [f"A-hole-{n}" for n in range(1, 7)]
    assert found["lonely_a"] == ["A-hole-7"]
    assert found["lonely_b"] == ["B-hole-7"]
    assert found["rms_mm"] < 1.0
    (chance,) = found["chances"]
    # One pair of faces: nothing to correct for. 100 runs for edges, a fifth for faces.
    assert (chance["runs"], chance["tried"], chance["p"]) == (20, 1, pytest.approx(1 / 21))


def test_random_faces_do_not_match(tmp_path: Path) -> None:
    rng = np.random.default_rng(5)
    a, b = (
        [(float(x), float(y)) for x, y in rng.uniform((0, 0), (300, 200), (7, 2))]
        for _ in range(2)
    )
    found = matched(two_faces(tmp_path, a, b), "--mirror", "must")
    assert found["conclusion"] != "they match"


def test_the_same_seed_gives_the_same_answer_and_is_printed(tmp_path: Path) -> None:
    at = two_faces(tmp_path, SOME, laid(SOME))
    one, two = (matched(at, "--seed", "7") for _ in range(2))
    assert one == two
    assert one["chances"][0]["seed"] == 7
    assert "Seed 7" in asked(at, "match", "A", "B", *RUNS, "--seed", "7").stdout


def test_marks_of_two_phases_never_meet(tmp_path: Path) -> None:
    at = archive(
        tmp_path,
        Faces=[face("A", "E-A"), face("B", "E-B")],
        Marks=[
            *points("A", SOME, phase="P1"),
            *points("B", laid(SOME), phase="P2"),
        ],
    )
    ran = asked(at, "match", "A", "B", *RUNS, "--json")
    phases = json.loads(ran.stdout)["phases"]
    assert {one["phase"]["number"] for one in phases} == {"BOX.1/P1", "BOX.1/P2"}
    assert {one["outcome"] for one in phases} == {"not identifiable"}


def test_all_pairs_are_tried_and_each_p_is_corrected_for_them(tmp_path: Path) -> None:
    rng = np.random.default_rng(3)
    other = [(float(x), float(y)) for x, y in rng.uniform((0, 0), (300, 200), (7, 2))]
    at = archive(
        tmp_path,
        Faces=[face("A", "E-A"), face("B", "E-B"), face("C", "E-C"), face("A2", "E-A")],
        Marks=[
            *points("A", SOME),
            *points("B", laid(SOME)),
            *points("C", other),
            *points("A2", other[:3]),
        ],
    )
    ran = asked(
        at, "match", "BOX.1", "--all", "--runs", "1000", "--mirror", "must", "--json"
    )
    found = json.loads(ran.stdout)
    # Four faces make six pairs; the two of one board are no pair.
    assert found["tried"] == 5
    best = found["joints"][0]
    assert {best["a"]["number"], best["b"]["number"]} == {"A", "B"}
    (chance,) = best["match"]["chances"]
    # Šidák 1967: 1 − (1 − p)^m.
    assert chance["p_corrected"] == pytest.approx(1 - (1 - chance["p"]) ** 5)
    assert best["match"]["conclusion"] == "they match"
    (together,) = found["together"]
    assert [set(pair) for pair in together["best"]] == [{"A", "B"}]


def test_a_crack_that_runs_on_into_the_next_board_is_matched_at_its_height(
    tmp_path: Path,
) -> None:
    def crack(number: str, on: str, way: str) -> Row:
        return {"number": number, "face": on, "kind": "crack", "points": way}

    at = archive(
        tmp_path,
        Faces=[
            face("A-front", "E-A"),
            face("B-front", "E-B"),
            edge("A-right", "E-A", "right", height="200 mm"),
            edge("B-left", "E-B", "left", height="200 mm"),
        ],
        Marks=[
            crack("K1", "A-front", "200 x 60 mm; 300 x 72 mm"),
            crack("K2", "A-front", "220 x 150 mm; 300 x 143 mm"),
            crack("K3", "B-front", "0 x 71.5 mm; 40 x 75 mm"),
            crack("K4", "B-front", "0 x 143.5 mm; 60 x 140 mm"),
        ],
    )
    ran = asked(at, "match", "A-right", "B-left", *RUNS, "--json")
    (found,) = json.loads(ran.stdout)["phases"]
    assert [(p["a"], p["b"]) for p in found["pairs"]] == [
        ("K1/2", "K3/1"),
        ("K2/2", "K4/1"),
    ]


# ---- what is wrong to ask --------------------------------------------------------------


@pytest.mark.parametrize(
    ("words", "says"),
    [
        (("match", "A", "G"), "a face and an edge"),
        (("match", "A", "A"), "with itself"),
        (("match", "A"), "name two faces"),
        (("match", "A", "B", "--all"), "--all takes one object"),
        (("match", "A", "E-A"), "is no face but element"),
        (("match", "A", "NOBODY"), "nothing is recorded under 'NOBODY'"),
        (("match", "A", "B", "--phase", "P9"), "no phase 'P9'; it has: P1, P2"),
        (("match", "A", "B", "--kind", "drip"), "recorded are: hole"),
        (("match", "A", "B", "--runs", "0"), "--runs must be 1 or more"),
        (("match", "A", "B", "--seed", "-1"), "--seed must be 0 or more"),
        (("match", "A", "B", "--tried", "0"), "--tried must be 1 or more"),
        (("match", "A", "B", "--turn", "nan"), "--turn takes degrees"),
        (("match", "A", "B", "--record"), "--record needs --by ROLE"),
        (("match", "BOX.1", "--all", "--record", "--by", "OC"), "--record goes with two"),
        (("arrangements", "BOX.1", "--from-marks"), "two pieces or more"),
        (("arrangements", "BOX.1", "--record", "--by", "OC"), "--record goes with two"),
    ],
)
def test_a_wrong_question_is_answered_with_a_sentence(
    words: tuple[str, ...],
    says: str,
    tmp_path: Path,
    capsys: pytest.CaptureFixture[str],
) -> None:
    at = archive(
        tmp_path,
        Faces=[face("A", "E-A"), face("B", "E-B"), edge("G", "E-C")],
        Marks=[*points("A", SOME), *points("B", laid(SOME))],
    )
    assert says in refused(capsys, at, *words)


def test_an_object_without_marks_says_so(tmp_path: Path) -> None:
    ran = asked(archive(tmp_path), "marks", "BOX.1")
    assert ran.exit_code == 0
    assert "faces and marks: not recorded" in ran.stdout


# ---- who may see -----------------------------------------------------------------------


def test_marks_of_an_element_that_is_closed_are_closed(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    at = archive(
        tmp_path,
        Faces=[face("A", "E-A"), face("B", "E-B")],
        Marks=[*points("A", SOME, "secret"), *points("B", laid(SOME), "secret")],
        Cautions=[
            {
                "number": "C-1",
                "about": "E-A",
                "kind": "restriction",
                "what": "closed",
                "whom to ask": "curator",
                "hide": "yes",
            }
        ],
    )
    open_to_all = asked(at, "marks", "BOX.1", "--json")
    assert {one["face"]["number"] for one in json.loads(open_to_all.stdout)["faces"]} == {
        "B"
    }
    assert "restricted: ask curator" in open_to_all.stdout
    assert "A-secret-1" not in open_to_all.stdout
    told = refused(capsys, at, "match", "A", "B", *RUNS)
    assert "restricted: ask curator" in told
    assert "A-secret" not in told
    curator = asked(at, "match", "A", "B", *RUNS, "--as", "curator")
    assert "THEY MATCH" in curator.stdout


# ---- strength --------------------------------------------------------------------------


@pytest.mark.parametrize("ratio", [0.3, 1.0, 1.9, 2.0, 9.9, 10, 99, 100, 999, 1e3, 1e9])
def test_the_word_of_a_ratio_is_never_stronger_than_the_ratio(ratio: float) -> None:
    # The words' own bands: the lower end of the band never exceeds the ratio.
    word = word_of_ratio(ratio)
    lows = {"neutral": 0, "weak": 2, "moderate": 10, "strong": 100, "decisive": 1000}
    assert lows[word] <= ratio
    assert likelihood_ratio(word) <= max(ratio, 1) * 10
