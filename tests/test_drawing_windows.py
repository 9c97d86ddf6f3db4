from __future__ import annotations

from xml.etree.ElementTree import Element

import pytest
from defusedxml.ElementTree import fromstring

from vestige.ui.drawing import Drawing, WindowBar, WindowData, draw_windows

SVG = "{http://www.w3.org/2000/svg}"


def parts(drawn: Drawing) -> dict[str, Element]:
    return {g.get("data-key", ""): g for g in fromstring(drawn.svg).iter(f"{SVG}g")}


def picture(*bars: WindowBar) -> Drawing:
    return draw_windows(WindowData("t", bars))


def outline(drawn: Drawing, key: str = "k") -> Element:
    path = parts(drawn)[key].find(f"{SVG}path")
    assert path is not None
    return path


GONE = "not recorded"
FIRM = WindowBar("k", "name", "1846 to 1911", 1846, 1911)


def test_limits_in_words_and_on_the_scale() -> None:
    drawn = picture(FIRM)
    assert "1846 to 1911" in drawn.svg
    assert (
        "name: 1846 to 1911, at some time within; earlier end: limit" in drawn.description
    )
    assert outline(drawn).get("stroke-dasharray") is None


def test_approximate_limits_are_pointed() -> None:
    about = WindowBar("k", "name", "about 1846 to 1911", 1846, 1911, "about", "firm")
    assert outline(picture(about)).get("d", "").count("L") == (
        outline(picture(FIRM)).get("d", "").count("L") + 1
    )
    assert "earlier end: approximate limit" in picture(about).description


def test_an_end_without_limit_is_an_arrow() -> None:
    opened = WindowBar("k", "name", "from 2021, no limit", 2021, None, "firm", "open")
    assert outline(picture(opened)).get("d", "").count("L") >= 5
    assert "later end: no limit" in picture(opened).description


def test_an_end_not_recorded_has_a_question_mark_drawn_as_a_path() -> None:
    unknown = WindowBar("k", "name", "not before 1846", 1846, None, "firm", "not recorded")
    drawn = picture(unknown)
    paths = [p.get("d", "") for p in parts(drawn)["k"].iter(f"{SVG}path")]
    assert sum("a2.8 2.8" in d for d in paths) == 1
    assert "?" not in "".join(parts(drawn)["k"].itertext())
    assert "later end: not recorded" in drawn.description
    assert drawn.table[1][0][4] == "not recorded"


def test_nothing_recorded_has_two_question_marks_and_no_limit() -> None:
    unknown = WindowBar("k", "name", "not recorded", None, None, GONE, GONE)
    paths = [p.get("d", "") for p in parts(picture(unknown))["k"].iter(f"{SVG}path")]
    assert sum("a2.8 2.8" in d for d in paths) == 2
    assert not any("V" in d and "H" not in d and "v1.8" not in d for d in paths)


def test_what_lasted_is_filled_and_what_happened_within_is_not() -> None:
    lasting = WindowBar("k", "name", "1958 to 2020", 1958, 2020, lasting=True)
    assert outline(picture(lasting)).get("fill") != outline(picture(FIRM)).get("fill")
    assert "all through" in picture(lasting).description


def test_what_lasted_from_nobody_knows_when_is_not_drawn_as_lasting_for_ever() -> None:
    lasting = WindowBar("k", "name", "to 1931", None, 1931, "not recorded", lasting=True)
    drawn = picture(lasting, WindowBar("z", "z", "1500", 1500, 1501))
    rects = list(parts(drawn)["k"].iter(f"{SVG}rect"))
    assert sum(float(r.get("width", "0")) for r in rects) < 60


def test_an_unsure_source_is_dashed_and_said() -> None:
    unsure = WindowBar("k", "name", "1924 (unsure)", 1924, 1930, unsure=True)
    assert outline(picture(unsure)).get("stroke-dasharray")
    assert picture(unsure).table[1][0][5] == "unsure"


def test_a_single_day_can_be_seen() -> None:
    day = WindowBar("k", "name", "1931-11-02", 1931.84, 1931.84)
    drawn = picture(day, WindowBar("z", "z", "1700 to 2000", 1700, 2000))
    rect = parts(drawn)["k"].find(f"{SVG}rect")
    assert rect is not None
    assert float(rect.get("width", "0")) >= 4


@pytest.mark.parametrize(
    ("bar", "words"),
    [
        (WindowBar("k", "n", "w", 1, 2, "soft"), "k: 'soft' is none of firm"),
        (WindowBar("k", "n", "w", None, 2), "k: an end that is 'firm' goes with a year"),
        (
            WindowBar("k", "n", "w", 1, 2, "open"),
            "k: an end that is 'open' goes with no year",
        ),
        (WindowBar("k", "n", "w", 2, 1), "k: the window ends before it begins"),
    ],
)
def test_bars_that_cannot_be_are_refused(bar: WindowBar, words: str) -> None:
    with pytest.raises(ValueError, match=words):
        picture(bar)


def test_two_bars_with_one_key_are_refused() -> None:
    with pytest.raises(ValueError, match="same key"):
        picture(FIRM, FIRM)
