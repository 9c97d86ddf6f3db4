"""Rows of boards found by the marks on their edges, from the command."""

import json
from collections.abc import Sequence
from itertools import pairwise
from pathlib import Path
from typing import Any

import pytest
from marked_archive import (
    archive,
    asked,
    edge,
    heights,
    refused,
)

RUNS = ("--runs", "100")


def leaves(tmp_path: Path, *, hinges: Sequence[Sequence[float]], side: str = "") -> Path:
    """Three boards in a row A-B-C, hinged at these heights."""
    faces = [
        edge(f"{n}-{s}", f"E-{n}", s, piece=n) for n in "ABC" for s in ("left", "right")
    ]
    joints = list(pairwise("ABC"))
    marks = [
        mark
        for (one, other), at in zip(joints, hinges, strict=True)
        for on in (f"{one}-right", f"{other}-left")
        for mark in heights(on, at, hinge="yes", side=side)
    ]
    examined = [f"{n}-{s}" for n, s in (("A", "left"), ("C", "right"))]
    faces = [
        {**row, "examined": "yes"} if row["number"] in examined else row for row in faces
    ]
    return archive(tmp_path, Faces=faces, Marks=marks)


def rows(at: Path, *words: str) -> dict[str, Any]:
    ran = asked(at, "arrangements", "BOX.1", "--from-marks", *RUNS, *words, "--json")
    assert ran.exit_code == 0, ran.output
    (phase,) = json.loads(ran.stdout)["phases"]
    return dict(phase)


def test_the_order_of_three_boards_is_found_and_told_how_surely(tmp_path: Path) -> None:
    found = rows(leaves(tmp_path, hinges=[(212, 903, 1588), (305, 817, 1451)]))
    assert found["decided"] is True
    assert found["rows"][0]["words"] == "A-B-C"
    assert found["rows"][0]["margin_log10"] > 2
    assert found["strength"] in ("moderate", "strong")


def test_marks_all_at_one_height_do_not_decide(tmp_path: Path) -> None:
    found = rows(leaves(tmp_path, hinges=[(300, 1500), (300, 1500)]))
    assert found["decided"] is False
    assert "do not decide" in found["reason"] or "chance" in found["reason"]
    assert found["strength"] == "neutral"


def test_a_row_that_names_other_leaves_is_refused(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    at = leaves(tmp_path, hinges=[(212, 903), (305, 817)])
    told = refused(capsys, at, "arrangements", "BOX.1", "--row", "A-B-X")
    assert "no row of all the pieces" in told
    assert "A-B-C" in told


def test_an_undecided_row_is_not_recorded(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    at = leaves(tmp_path, hinges=[(300, 1500), (300, 1500)])
    words = ("arrangements", "BOX.1", "--from-marks", *RUNS, "--record", "--by", "OC")
    assert "nothing to record" in refused(capsys, at, *words)
