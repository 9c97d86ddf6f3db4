"""Faces and marks as records, and places on a photograph as millimetres."""

import doctest
import importlib
from typing import Any

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from pydantic import ValidationError

from vestige.graph.errors import BadValue
from vestige.graph.reasoning import PictureScale, picture_scale_of
from vestige.graph.record import Face, FaceSort, Mark

FACE: dict[str, Any] = {
    "number": "F-1",
    "element": "e",
    "sort": "face",
    "side": "front",
    "width": "560 mm",
    "height": "1.8 m",
}
MARK: dict[str, Any] = {"number": "M-1", "face": "f", "what": "hole"}


def told(error: pytest.ExceptionInfo[ValidationError]) -> str:
    return str(error.value.errors()[0]["msg"])


def test_a_face_and_a_mark_keep_their_measures_as_written() -> None:
    face = Face.model_validate(FACE)
    assert face.body()["height"] == "1.8 m"
    assert Face.model_validate(face.body()) == face
    mark = Mark.model_validate(MARK | {"x": "21.2 ± 0.1 cm", "y": "340 mm"})
    assert Mark.model_validate(mark.body()) == mark
    assert not mark.is_edge_mark


@pytest.mark.parametrize(
    ("change", "says"),
    [
        ({"width": None}, "'width'"),
        ({"height": None}, "'height'"),
        ({"width": "560 g"}, "mass"),
        ({"width": "560"}, "unit is missing"),
        ({"width": "560 x 20 mm"}, "one length"),
        ({"width": "0 mm"}, "more than 0"),
        ({"outline": ["0 x 0 mm", "3 x 3 mm"]}, "three corners"),
        ({"outline": ["0 x 0 mm", "3 mm", "1 x 1 mm"]}, "points such as"),
        ({"scale": "3 g"}, "mass"),
        ({"sort": "edge", "height": None}, "an edge needs its length"),
    ],
)
def test_a_face_with_a_wrong_measure_is_refused(change: dict[str, Any], says: str) -> None:
    with pytest.raises(ValidationError) as error:
        Face.model_validate(FACE | change)
    assert says in told(error)


@pytest.mark.parametrize(
    ("change", "says"),
    [
        ({}, "no place"),
        ({"x": "3 mm"}, "'y' is missing"),
        ({"y": "3 mm"}, "'x' is missing"),
        ({"x": "3 mm", "y": "3 mm", "height": "3 mm"}, "several places"),
        ({"points": ["3 x 3 mm"]}, "two or more points"),
        ({"height": "3 kg"}, "mass"),
        ({"height": "3 mm", "size": "0 mm"}, "more than 0"),
        ({"height": "3 mm", "angle": "3 mm"}, "an angle such as 30°"),
        ({"height": "3"}, "unit is missing"),
    ],
)
def test_a_mark_without_one_place_or_a_right_unit_is_refused(
    change: dict[str, Any], says: str
) -> None:
    with pytest.raises(ValidationError) as error:
        Mark.model_validate(MARK | change)
    assert says in told(error)


def test_an_edge_needs_no_width() -> None:
    edge = Face.model_validate(FACE | {"sort": "edge", "width": None, "side": "left"})
    assert edge.sort is FaceSort.EDGE


def test_a_click_becomes_millimetres_from_the_lower_left_corner() -> None:
    scale = PictureScale(0.25, (120, 1980))
    assert scale.to_mm(np.array([[120, 1980], [520, 380]])).tolist() == [
        [0, 0],
        [100, 400],
    ]


def test_a_reversed_picture_counts_from_the_other_side() -> None:
    plain = PictureScale(0.25, (120, 1980))
    mirrored = PictureScale(0.25, (120, 1980), mirrored_width_mm=560)
    pixels = np.array([[520, 380]])
    x, y = plain.to_mm(pixels)[0]
    assert mirrored.to_mm(pixels)[0].tolist() == [560 - x, y]


@given(
    st.floats(0.01, 5),
    st.tuples(st.floats(-3000, 3000), st.floats(-3000, 3000)),
    st.none() | st.floats(1, 5000),
    st.tuples(st.floats(0, 9000), st.floats(0, 9000)),
)
@settings(max_examples=50)
def test_millimetres_go_back_to_the_pixel(
    scale: float, origin: tuple[float, float], width: float | None, at: tuple[float, float]
) -> None:
    shown = PictureScale(scale, origin, width)
    back = shown.to_pixels(shown.to_mm(np.array([at])))[0]
    assert back == pytest.approx(at, abs=1e-6)


def test_a_scale_agrees_with_an_affine_transform() -> None:
    # Outside check: the affine transform of scikit-image, estimated from three corners.
    transform = pytest.importorskip("skimage.transform")
    pixels = np.array([[100.0, 900], [1220, 900], [100, 100]])
    mm = np.array([[0.0, 0], [560, 0], [0, 400]])
    fitted = transform.AffineTransform.from_estimate(pixels, mm)
    clicked = np.array([[333.0, 444], [777, 555]])
    assert PictureScale(0.5, (100, 900)).to_mm(clicked) == pytest.approx(fitted(clicked))


@pytest.mark.parametrize("scale", [0.0, -1.0, float("nan"), float("inf")])
def test_an_impossible_scale_is_refused(scale: float) -> None:
    with pytest.raises(BadValue, match="more than 0"):
        PictureScale(scale, (0, 0))


def test_a_recorded_face_gives_its_scale_or_says_what_is_missing() -> None:
    face = Face.model_validate(
        FACE | {"scale": "0.25 mm", "origin_x": 120, "origin_y": 1980}
    )
    assert picture_scale_of(face) == PictureScale(0.25, (120.0, 1980.0))
    with pytest.raises(BadValue, match="'one pixel is'"):
        picture_scale_of(Face.model_validate(FACE))


@pytest.mark.parametrize(
    "module",
    ["reasoning", "reasoning.picture_scale", "reasoning.match_worth",
     "answer.arrangement_change"],
)  # fmt: skip
def test_the_examples_in_the_documentation_run(module: str) -> None:
    ran = doctest.testmod(importlib.import_module(f"vestige.graph.{module}"))
    assert ran.attempted
    assert not ran.failed
