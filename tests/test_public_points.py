"""Registration on points that nobody simulated, and against a second implementation.

The points are the 194 places of recorded crimes in one town, an example of the spatial
statistics library libpysal (data set "geodanet", file crimes.shp). They crowd along
streets, as nail holes and drips crowd, which evenly thrown points do not. The library is
needed for its file alone and is no dependency: without it these tests are left out
(``pip install --no-deps libpysal``). Its file is read here byte by byte, as the format's
published description has it (ESRI shapefile technical description, 1998).
"""

import importlib.util
import struct
from pathlib import Path

import numpy as np
import numpy.typing as npt
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from vestige.graph.reasoning import (
    ChanceRuns,
    Face,
    FaceJoint,
    Mark,
    MarkedFace,
    MarkSpread,
    MatchOutcome,
    Placement,
    chance_of_faces,
    fit_placement,
    register_faces,
)

Floats = npt.NDArray[np.float64]
FREE = FaceJoint()


def crimes() -> Floats:
    """The points, moved and scaled to lie on a face 1,000 mm wide."""
    found = importlib.util.find_spec("libpysal")
    if found is None or found.origin is None:
        pytest.skip("libpysal, which brings the points, is not installed")
    path = Path(found.origin).parent / "examples" / "geodanet" / "crimes.shp"
    data = path.read_bytes()
    # Header of 100 bytes; then records: number and length (big endian), type 1 is a point.
    points = []
    at = 100
    while at < len(data):
        (words,) = struct.unpack_from(">i", data, at + 4)
        sort, x, y = struct.unpack_from("<idd", data, at + 8)
        assert sort == 1
        points.append((x, y))
        at += 8 + 2 * words
    xy = np.unique(np.array(points), axis=0)
    xy = xy - xy.min(axis=0)
    scaled: Floats = xy * (1000.0 / xy.max())
    return scaled


def marked(name: str, points: Floats) -> MarkedFace:
    low, high = points.min(axis=0) - 5, points.max(axis=0) + 5
    corners = ((low[0], low[1]), (high[0], low[1]), (high[0], high[1]), (low[0], high[1]))
    outline = tuple((float(x), float(y)) for x, y in corners)
    width, height = (high - low).tolist()
    marks = tuple(
        Mark(str(i), "hole", float(x), float(y)) for i, (x, y) in enumerate(points)
    )
    return MarkedFace(Face(name, name, width, height, outline_mm=outline), marks)


@pytest.mark.parametrize("mirrored", [False, True])
def test_real_points_of_which_a_third_are_missing_are_placed(mirrored: bool) -> None:
    xy = crimes()
    assert len(xy) == 194
    rng = np.random.default_rng(4)
    true = Placement(mirrored, 131.0, (250.0, -80.0))
    some = xy[rng.permutation(len(xy))[:60]]
    others = xy[rng.permutation(len(xy))[:40]]
    keep_a, keep_b = (rng.random(60) > 0.3 for _ in range(2))
    a = np.vstack([some[keep_a], others[:20]]) + rng.normal(0, 1, (keep_a.sum() + 20, 2))
    b = np.vstack([some[keep_b], others[20:]]) + rng.normal(0, 1, (keep_b.sum() + 20, 2))
    match = register_faces(marked("a", a), marked("b", true.carry(b)), FREE)
    assert match.outcome is MatchOutcome.PLACED
    assert match.best is not None
    off = match.best.placement.carry(some) - true.carry(some)
    assert np.sqrt((off**2).sum(axis=1).mean()) < 3.0


def test_two_halves_of_the_real_points_that_share_none_do_not_match() -> None:
    xy = crimes()
    order = np.random.default_rng(2).permutation(len(xy))
    a, b = marked("a", xy[order[:40]]), marked("b", xy[order[40:80]])
    # They crowd in the same streets, so chance must throw them as crowded as found.
    runs = ChanceRuns(99, enough=10, spread=MarkSpread.AS_FOUND)
    assert chance_of_faces(a, b, FaceJoint(turns_deg=(0.0,)), runs).p > 0.05


# ---- a second implementation -------------------------------------------------------------


def umeyama(a: Floats, b: Floats) -> tuple[Floats, float, Floats]:
    """Rotation, scale and shift by the general closed form, with singular values.

    Umeyama 1991, IEEE Transactions on Pattern Analysis 13(4), equations 38 to 43; ours
    works with one complex sum instead, so the two share nothing but the mathematics.
    """
    ma, mb = a.mean(axis=0), b.mean(axis=0)
    covariance = (b - mb).T @ (a - ma) / len(a)
    u, d, vt = np.linalg.svd(covariance)
    s = np.eye(2)
    if np.linalg.det(u) * np.linalg.det(vt) < 0:
        s[1, 1] = -1
    rotation: Floats = u @ s @ vt
    variance = ((a - ma) ** 2).sum() / len(a)
    scale = float(np.trace(np.diag(d) @ s) / variance)
    shift: Floats = mb - scale * rotation @ ma
    return rotation, scale, shift


@given(st.integers(0, 2**32 - 1), st.integers(3, 30))
@settings(max_examples=60)
def test_the_closed_form_agrees_with_umeyama_by_singular_values(
    seed: int, count: int
) -> None:
    rng = np.random.default_rng(seed)
    a, b = rng.normal(0, 100, (2, count, 2))
    found = fit_placement(a, b, with_scale=True)
    rotation, scale, shift = umeyama(a, b)
    assert found.scale == pytest.approx(scale)
    assert found.carry(a) == pytest.approx((scale * rotation @ a.T).T + shift, abs=1e-6)


@given(st.integers(0, 2**32 - 1), st.booleans())
@settings(max_examples=40)
def test_the_closed_form_agrees_with_the_transform_of_scikit_image(
    seed: int, with_scale: bool
) -> None:
    # Outside check: scikit-image, which follows Umeyama 1991 too; left out without it.
    transform = pytest.importorskip("skimage.transform")
    rng = np.random.default_rng(seed)
    a, b = rng.normal(0, 100, (2, 12, 2))
    kind = transform.SimilarityTransform if with_scale else transform.EuclideanTransform
    fitted = kind.from_estimate(a, b)
    assert fit_placement(a, b, with_scale=with_scale).carry(a) == pytest.approx(
        fitted(a), abs=1e-6
    )
