from dataclasses import replace

import pytest
from test_registration import NAILS, marks

from vestige.graph.reasoning import (
    FACE_TO_FACE,
    Face,
    Fate,
    Mark,
    MarkedFace,
    Mirror,
    Placement,
    describe_overlay,
    overlay,
    register_faces,
)


def test_the_overlay_lays_each_mark_on_its_partner_and_tells_the_lonely() -> None:
    true = Placement(True, 0.0, (300.0, 0.0))
    a = MarkedFace(Face("A", "A", 300, 200), (*marks(NAILS), Mark("far", "hole", 5, 195)))
    b = MarkedFace(Face("B", "B", 290, 190), marks(true.carry(NAILS)[:7]))
    match = register_faces(a, b, FACE_TO_FACE)
    picture = overlay(a, b, match)
    assert picture is not None
    at = {(m.face, m.mark): m for m in picture.marks}
    assert at["A", "m0"].at_mm == pytest.approx(at["B", "m0"].at_mm, abs=1e-6)
    assert at["A", "m0"].fate is Fate.MET
    assert at["A", "m7"].fate is Fate.LONELY
    assert at["A", "far"].fate is Fate.OUTSIDE
    words = describe_overlay(a, b, match)
    assert "in mirror image" in words
    assert "Should have met and did not: m7 of A." in words


def test_without_a_placement_there_is_no_overlay_but_a_sentence() -> None:
    face = MarkedFace(Face("A", "A", 300, 200), marks(NAILS[:1]))
    match = register_faces(face, face, replace(FACE_TO_FACE, mirror=Mirror.EITHER))
    assert overlay(face, face, match) is None
    assert "no placement" in describe_overlay(face, face, match)
