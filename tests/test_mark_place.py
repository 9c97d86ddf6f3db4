"""What a user is told of marks that cannot lie where the sheets say."""

from pathlib import Path

import pytest
from marked_archive import Row, archive, asked, bring, edge, face, heights, points, sheets
from small_papers import drafted

from vestige.graph.intake import write_csv_folder, write_workbook
from vestige.graph.problem import Problem, Weight
from vestige.graph.record import Face, Mark, Record

SOME = [(20, 30), (250, 40), (130, 160)]


def problems(tmp_path: Path, faces: list[Row], marks: list[Row]) -> tuple[Problem, ...]:
    return drafted(sheets(tmp_path, Faces=faces, Marks=marks)).problems


def test_sheets_with_marks_on_a_face_and_an_edge_are_read_without_a_doubt(
    tmp_path: Path,
) -> None:
    found = drafted(
        sheets(
            tmp_path,
            Faces=[face("F", "E-A"), edge("G", "E-A")],
            Marks=[*points("F", SOME, phase="P1"), *heights("G", (212, 903))],
        )
    )
    assert found.problems == ()
    kinds = [one.record.kind for one in found.new]
    assert (kinds.count("face"), kinds.count("mark")) == (2, 5)


@pytest.mark.parametrize("form", ["folder", "book.xlsx"])
def test_faces_and_marks_come_back_from_the_sheets_that_are_written(
    form: str, tmp_path: Path
) -> None:
    found = drafted(
        sheets(
            tmp_path / "in",
            Faces=[face("F", "E-A", outline="0 x 0 mm; 300 x 0 mm; 300 x 200 mm")],
            Marks=[
                {
                    "number": "L-1",
                    "face": "F",
                    "kind": "crack",
                    "points": "200 x 10 mm; 250 x 30 mm",
                    "phase": "P2",
                }
            ],
        )
    )
    records: dict[str, Record] = {one.key: one.record for one in found.new}
    write = write_workbook if form.endswith("xlsx") else write_csv_folder
    write(records, tmp_path / form)
    again = drafted(tmp_path / form)
    assert again.problems == ()
    marked = (Face, Mark)
    bodies = [
        sorted(
            (one.record.model_dump_json(exclude={"element", "face", "phase"}))
            for one in each.new
            if isinstance(one.record, marked)
        )
        for each in (found, again)
    ]
    assert bodies[0] == bodies[1]
    assert len(bodies[0]) == 2


def test_a_mark_outside_its_face_is_refused_with_its_row_and_column(
    tmp_path: Path,
) -> None:
    (one,) = problems(tmp_path, [face("F", "E-A")], points("F", [(20, 30), (310, 40)]))
    assert one.code == "outside"
    assert one.weight is Weight.ERROR
    assert (one.place.sheet, one.place.row, one.place.column) == ("Marks", 3, "x")
    assert "10 mm outside F" in one.wrong


def test_a_height_above_an_edge_is_refused_with_its_row_and_column(
    tmp_path: Path,
) -> None:
    (one,) = problems(tmp_path, [edge("G", "E-A")], heights("G", (212, 1903)))
    assert (one.place.row, one.place.column, one.code) == (3, "height", "outside")


@pytest.mark.parametrize(
    ("size", "weight", "code"),
    [
        ("5000 m", Weight.ERROR, "wrong unit"),
        ("50 m", Weight.QUERY, "unit?"),
        ("3 mm", Weight.QUERY, "unit?"),
    ],
)
def test_a_face_of_a_wrong_size_is_refused_or_asked_about(
    size: str, weight: Weight, code: str, tmp_path: Path
) -> None:
    found = problems(tmp_path, [face("F", "E-A", width=size)], [])
    assert [(p.weight, p.code, p.place.column) for p in found] == [(weight, code, "width")]


def test_a_number_without_a_unit_is_refused(tmp_path: Path) -> None:
    marks: list[Row] = [{"number": "M", "face": "G", "kind": "cut", "height": "212"}]
    (one,) = problems(tmp_path, [edge("G", "E-A")], marks)
    assert "unit is missing" in one.wrong


def test_centimetres_are_read_as_what_they_are(tmp_path: Path) -> None:
    marks: list[Row] = [{"number": "M", "face": "G", "kind": "cut", "height": "21.2 cm"}]
    assert problems(tmp_path, [edge("G", "E-A")], marks) == ()


def test_a_height_on_a_face_and_a_point_on_an_edge_are_refused(tmp_path: Path) -> None:
    found = problems(
        tmp_path,
        [face("F", "E-A"), edge("G", "E-A")],
        [*heights("F", (20,)), *points("G", [(20, 30)])],
    )
    assert [(p.code, p.place.row, p.place.column) for p in found] == [
        ("wrong place", 2, "height"),
        ("wrong place", 3, "x"),
    ]


def test_two_marks_at_one_point_are_asked_about(tmp_path: Path) -> None:
    (one,) = problems(tmp_path, [face("F", "E-A")], points("F", [*SOME, SOME[0]]))
    assert (one.code, one.weight, one.place.row) == ("same point", Weight.QUERY, 5)


def test_marks_at_one_point_of_two_phases_or_kinds_are_let_be(tmp_path: Path) -> None:
    marks = [
        *points("F", [(20, 30)], phase="P1"),
        *points("F", [(20, 30)], "nail"),
        *points("F", [(20, 30)], "drip", phase="P2"),
        *points("F", [(290, 190)], "corner"),
    ]
    assert problems(tmp_path, [face("F", "E-A")], marks) == ()


def test_marks_crowded_in_a_corner_are_asked_about(tmp_path: Path) -> None:
    tiny = [(2.0, 3.0), (2.5, 4.0), (1.3, 1.6)]
    found = problems(tmp_path, [face("F", "E-A")], points("F", tiny))
    assert [(p.code, p.weight) for p in found] == [("unit?", Weight.QUERY)]


def test_a_mark_that_the_archive_has_under_another_number_is_asked_about(
    tmp_path: Path,
) -> None:
    at = archive(tmp_path, Faces=[edge("G", "E-A")], Marks=heights("G", (212, 903)))
    again = sheets(tmp_path / "again", Marks=heights("G", (212,), number="N-9"))
    told = bring(at, again)
    assert told.exit_code == 0
    assert "of one kind at one point" in told.output


def test_a_face_made_too_small_for_the_marks_of_the_archive_is_refused(
    tmp_path: Path,
) -> None:
    at = archive(tmp_path, Faces=[edge("G", "E-A")], Marks=heights("G", (212, 1700)))
    told = bring(at, sheets(tmp_path / "again", Faces=[edge("G", "E-A", height="900 mm")]))
    assert told.exit_code == 4
    assert "sheet Faces, row 2, column height" in told.output
    assert "1800 mm" in asked(at, "marks", "BOX.1").output


def test_a_mark_on_what_is_no_face_is_refused(tmp_path: Path) -> None:
    (one,) = problems(tmp_path, [], points("E-A", [(1, 2)]))
    assert one.code == "wrong kind"
