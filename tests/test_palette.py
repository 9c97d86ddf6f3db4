from __future__ import annotations

from io import BytesIO
from itertools import combinations

import numpy as np
import pytest
import typst
from PIL import Image

from vestige.ui.drawing.colour_vision import (
    DEFICIENCIES,
    contrast,
    distance,
    lab,
    linear_rgb,
    seen_by,
)
from vestige.ui.drawing.palette import GRADES, INK, RED, VERDICTS, pattern, verdict_class

COLOURS = {v.key: v.colour for v in VERDICTS.values()} | {"contradiction": RED}


@pytest.mark.parametrize("sight", DEFICIENCIES)
def test_colours_stay_apart_for_every_reader(sight: str) -> None:
    # Machado, Oliveira, Fernandes 2009, severity 1.0; CIE 1976 colour difference.
    close = {
        (a, b): round(distance(COLOURS[a], COLOURS[b], sight), 1)
        for a, b in combinations(COLOURS, 2)
        if distance(COLOURS[a], COLOURS[b], sight) < 15
    }
    assert not close


@pytest.mark.parametrize("name", COLOURS)
def test_outlines_stand_out_on_white(name: str) -> None:
    # WCAG 2.2, success criterion 1.4.11 Non-text Contrast: at least 3:1.
    assert contrast(COLOURS[name]) >= 3


def test_words_stand_out_on_white() -> None:
    # WCAG 2.2, success criterion 1.4.6 Contrast (Enhanced): at least 7:1.
    assert contrast(INK) >= 7


@pytest.mark.parametrize(
    ("colour", "other", "ratio"),
    [
        # WCAG 2.2: 21:1 is the greatest, 1:1 the least. #767676 is the usual example of
        # a grey that just reaches 4.5:1 on white, #777777 of one that fails (from memory).
        ("#000000", "#ffffff", 21.0),
        ("#808080", "#808080", 1.0),
        ("#767676", "#ffffff", 4.54),
        ("#777777", "#ffffff", 4.48),
    ],
)
def test_contrast_follows_the_published_formula(
    colour: str, other: str, ratio: float
) -> None:
    assert contrast(colour, other) == pytest.approx(ratio, abs=0.005)


def test_lab_agrees_with_an_independent_library() -> None:
    # Pillow's colour management (LittleCMS) is the independent library. It gives L*a*b*
    # under D50 in whole numbers, so only greys and lightness can be compared closely.
    from PIL import ImageCms

    to_lab = ImageCms.buildTransform(
        ImageCms.createProfile("sRGB"), ImageCms.createProfile("LAB"), "RGB", "LAB"
    )
    for grey in range(0, 256, 17):
        image = Image.new("RGB", (1, 1), (grey, grey, grey))
        pixel = ImageCms.applyTransform(image, to_lab)
        assert pixel is not None
        lightness = float(np.asarray(pixel)[0, 0, 0]) * 100 / 255
        own = lab(linear_rgb(f"#{grey:02x}{grey:02x}{grey:02x}"))
        assert own[0] == pytest.approx(lightness, abs=0.6)
        assert own[1:] == pytest.approx((0, 0), abs=0.1)


def test_lab_of_the_red_primary_is_the_published_one() -> None:
    # sRGB red under D65: L* 53.24, a* 80.09, b* 67.20 (published in many tables; from
    # memory).
    assert lab(linear_rgb("#ff0000")) == pytest.approx((53.24, 80.09, 67.20), abs=0.05)


@pytest.mark.parametrize("sight", DEFICIENCIES)
def test_colour_blindness_leaves_greys_alone(sight: str) -> None:
    # Machado et al. 2009: the matrices keep the achromatic axis, their rows add up to 1.
    assert [sum(row) for row in DEFICIENCIES[sight]] == pytest.approx([1, 1, 1], abs=2e-6)
    assert seen_by((0.4, 0.4, 0.4), sight) == pytest.approx((0.4, 0.4, 0.4), abs=1e-5)


def test_the_two_red_green_deficiencies_bring_red_and_green_together() -> None:
    plain = distance("#c00000", "#608000")
    assert distance("#c00000", "#608000", "deuteranopia") < plain / 2
    assert distance("#c00000", "#608000", "tritanopia") > plain / 2


def test_a_colour_that_is_none_is_refused() -> None:
    with pytest.raises(ValueError, match="'red' is not a colour"):
        linear_rgb("red")


def test_patterns_differ_in_a_grey_print() -> None:
    # Rendered by Typst in one and the same grey: what is left is the pattern.
    shown = {key: _rendered(v.tile) for key, v in VERDICTS.items()}
    for a, b in combinations(shown, 2):
        differing = np.mean(np.abs(shown[a] - shown[b]) > 64)
        assert differing > 0.1, (a, b, differing)


def _rendered(tile: str) -> np.ndarray[tuple[int, int], np.dtype[np.int16]]:
    tile = tile or '<path d="M0 0H8V8H0Z" fill="C"/>'
    defs = pattern(tile, "#303030").replace("ID", "p")
    svg = (
        '<svg xmlns="http://www.w3.org/2000/svg" width="64" height="64">'
        f'<defs>{defs}</defs><rect width="64" height="64" fill="url(#p)"/></svg>'
    )
    source = (
        "#set page(width: 64pt, height: 64pt, margin: 0pt)\n"
        f'#image(bytes("{svg.translate(_QUOTED)}"), format: "svg", width: 64pt)'
    )
    page = typst.compile(source.encode(), format="png", ppi=72.0)
    image = Image.open(BytesIO(page)).convert("L")
    return np.asarray(image, dtype=np.int16)


_QUOTED = str.maketrans({'"': '\\"', "\\": "\\\\"})


def test_letters_and_grades_are_all_different() -> None:
    letters = [v.letter for v in VERDICTS.values()]
    assert len(set(letters)) == len(letters)
    assert len({(g.dots, g.dash) for g in GRADES.values()}) == len(GRADES)
    graded = [g for g in GRADES.values() if g.word != "open"]  # its letter is the ? sign
    assert len({g.dots for g in graded}) == len(graded)


@pytest.mark.parametrize(
    ("words", "key"),
    [
        ("original, in place", "in-place"),
        ("original, moved or put back", "moved"),
        ("original, in its first place again since P6", "moved"),
        ("older material, used from the start", "from-start"),
        ("added in P5 museum workshop", "added"),
        ("old material brought in later", "brought-in"),
        ("later, open between P2 and P3", "later"),
        ("open between original and later", "open"),
        ("open", "open"),
        ("unexamined", "unexamined"),
    ],
)
def test_every_verdict_has_its_class(words: str, key: str) -> None:
    assert verdict_class(words).key == key


@pytest.mark.parametrize("words", ["", "Original", "opened", "replacement"])
def test_words_that_are_no_verdict_are_refused(words: str) -> None:
    with pytest.raises(
        ValueError, match=r"is not a verdict\. Verdicts begin like: original"
    ):
        verdict_class(words)
