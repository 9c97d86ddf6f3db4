import math
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.spatial import ConvexHull

from vestige.graph.problem import Weight
from vestige.graph.reasoning import (
    Edge,
    EdgeMark,
    Face,
    Line,
    Mark,
    MarkedFace,
    edge_crossings,
    inside_outline,
    points_of,
    validate_edge,
    validate_face,
)

BOARD = Face("front", "board", 560.0, 1800.0)
HOLES = (
    Mark("m1", "hole", 40, 60),
    Mark("m2", "hole", 500, 900),
    Mark("m3", "drip", 90, 1700),
)


def codes(face: Face, *marks: Mark, lines: tuple[Line, ...] = ()) -> list[str]:
    return [p.code for p in validate_face(MarkedFace(face, marks, lines))]


def test_a_plain_face_has_no_problem() -> None:
    assert codes(BOARD, *HOLES) == []


@pytest.mark.parametrize("width", [5_000_000.0, 100_001.0])
def test_a_face_of_five_thousand_metres_is_refused_by_its_unit(width: float) -> None:
    (problem,) = validate_face(MarkedFace(replace(BOARD, width_mm=width), HOLES))
    assert problem.code == "wrong unit"
    assert problem.weight is Weight.ERROR
    assert "m." in problem.wrong
    assert "millimetres" in problem.right


@pytest.mark.parametrize("width", [math.nan, math.inf, 0.0, -560.0])
def test_a_face_without_a_length_is_refused(width: float) -> None:
    assert codes(replace(BOARD, width_mm=width)) == ["no length"]


def test_a_face_written_in_metres_is_queried() -> None:
    found = validate_face(MarkedFace(replace(BOARD, width_mm=0.56, height_mm=1.8)))
    assert [(p.code, p.weight) for p in found] == [("unit?", Weight.QUERY)] * 2


@pytest.mark.parametrize("factor", [0.1, 0.001])
def test_marks_in_centimetres_or_metres_on_a_face_in_millimetres_are_queried(
    factor: float,
) -> None:
    small = [replace(m, x_mm=m.x_mm * factor, y_mm=m.y_mm * factor) for m in HOLES]
    assert codes(BOARD, *small) == ["unit?"]


def test_a_mark_outside_its_face_is_named_with_the_distance() -> None:
    (problem,) = validate_face(MarkedFace(BOARD, (Mark("m9", "hole", 600, 100),)))
    assert problem.code == "outside"
    assert "m9" in problem.wrong
    assert "40 mm" in problem.wrong


def test_a_mark_outside_by_less_than_its_scatter_is_let_be() -> None:
    assert codes(BOARD, Mark("m9", "hole", 561.5, 100)) == []


def test_two_marks_of_one_kind_at_one_point_are_queried() -> None:
    twin = replace(HOLES[0], id="m4")
    (problem,) = validate_face(MarkedFace(BOARD, (*HOLES, twin)))
    assert (problem.code, problem.weight) == ("same point", Weight.QUERY)
    assert codes(BOARD, *HOLES, replace(twin, kind="drip")) == []


def test_two_marks_of_one_name_are_refused() -> None:
    assert codes(BOARD, *HOLES, Mark("m1", "drip", 300, 300)) == ["same name"]


@pytest.mark.parametrize(
    ("change", "code"),
    [
        ({"x_mm": math.nan}, "no number"),
        ({"size_mm": 0.0}, "no size"),
        ({"scatter_mm": 0.0}, "no scatter"),
        ({"scatter_mm": 90.0}, "scatter?"),
    ],
)
def test_a_mark_with_an_impossible_value_is_told(
    change: dict[str, float], code: str
) -> None:
    mark = Mark("m1", "hole", 40.0, 60.0)
    assert codes(BOARD, replace(mark, **change)) == [code]  # type: ignore[arg-type]


def test_edge_marks_above_the_edge_are_refused() -> None:
    marks = (EdgeMark("h1", "hinge", 212), EdgeMark("h2", "hinge", 1903))
    (problem,) = validate_edge(Edge("A-right", "A", "right", 1800, marks))
    assert problem.code == "outside"
    assert "103 mm" in problem.wrong


def test_an_edge_of_five_thousand_metres_is_refused() -> None:
    (problem,) = validate_edge(Edge("A-right", "A", "right", 5_000_000))
    assert problem.code == "wrong unit"


def test_two_edge_marks_at_one_height_are_queried_unless_they_are_on_two_sides() -> None:
    front = EdgeMark("h1", "hinge", 212, side="front")
    edge = Edge("A-right", "A", "right", 1800, (front, replace(front, id="h2")))
    assert [p.code for p in validate_edge(edge)] == ["same point"]
    back = replace(front, id="h2", side="back")
    assert validate_edge(replace(edge, marks=(front, back))) == ()


def test_an_outline_stands_for_its_centre_size_and_axis() -> None:
    # A rectangle 60 × 20 mm: centre, side of the square of the same area, axis along x.
    corners = ((10.0, 10.0), (70.0, 10.0), (70.0, 30.0), (10.0, 30.0))
    (mark,) = points_of(Line("g1", "ghost", corners, closed=True))
    assert (mark.x_mm, mark.y_mm) == pytest.approx((40.0, 20.0))
    assert mark.size_mm == pytest.approx(math.sqrt(1200.0))
    assert mark.angle_deg is not None
    assert min(mark.angle_deg, 180 - mark.angle_deg) == pytest.approx(0.0, abs=1e-9)


def test_a_square_has_no_direction() -> None:
    corners = ((0.0, 0.0), (9.0, 0.0), (9.0, 9.0), (0.0, 9.0))
    assert points_of(Line("g1", "ghost", corners, closed=True))[0].angle_deg is None


def test_a_crack_stands_for_its_two_ends() -> None:
    ends = points_of(Line("c1", "crack", ((0.0, 50.0), (30.0, 60.0), (60.0, 90.0))))
    assert [(m.id, m.kind, m.line) for m in ends] == [
        ("c1/1", "crack, end", "c1"),
        ("c1/2", "crack, end", "c1"),
    ]
    assert ends[1].angle_deg == pytest.approx(45.0)


def test_a_line_of_one_point_stands_for_nothing() -> None:
    assert points_of(Line("c1", "crack", ((1.0, 1.0),))) == ()


def test_a_channel_that_runs_out_becomes_an_edge_mark_at_its_height() -> None:
    channel = Line("i1", "insect channel", ((559.0, 640.0), (400.0, 655.0)))
    crossings = edge_crossings(channel, replace(BOARD, side="front"))
    (mark,) = crossings["right"]
    assert (mark.height_mm, mark.kind, mark.side) == (640.0, "insect channel", "front")
    assert crossings["left"] == crossings["top"] == crossings["bottom"] == ()


@given(st.lists(st.tuples(st.floats(-2, 2), st.floats(-2, 2)), min_size=1, max_size=20))
def test_inside_agrees_with_a_convex_hull(points: list[tuple[float, float]]) -> None:
    # Outside check: half-spaces of scipy.spatial.ConvexHull (Qhull).
    corners = np.array([[-1.0, -1.0], [1.2, -0.7], [0.9, 1.1], [-0.4, 1.3]])
    xy = np.array(points)
    planes = ConvexHull(corners).equations
    depth = (planes[:, :2] @ xy.T + planes[:, 2:]).max(axis=0)
    clear = np.abs(depth) > 1e-9  # on the very rim either answer is right
    assert (inside_outline(xy, corners) == (depth < 0))[clear].all()


def test_the_area_of_an_outline_agrees_with_a_convex_hull() -> None:
    # Outside check: volume of scipy.spatial.ConvexHull, which in the plane is the area.
    corners = ((0.0, 0.0), (300.0, 20.0), (280.0, 210.0), (5.0, 190.0))
    face = replace(BOARD, outline_mm=corners)
    assert face.area_mm2 == pytest.approx(ConvexHull(np.array(corners)).volume)
