from __future__ import annotations

import re
from itertools import pairwise
from xml.etree.ElementTree import Element

import drawing_examples as examples
import pytest
from defusedxml.ElementTree import fromstring
from hypothesis import given, settings
from hypothesis import strategies as st

from vestige.ui.drawing import (
    CustodyData,
    CustodyGap,
    CustodyPlace,
    CustodySighting,
    CustodyStay,
    Drawing,
    draw_custody,
)
from vestige.ui.drawing.time_scale import Scale, scale_of, stacked

SVG = "{http://www.w3.org/2000/svg}"
PLACES = (CustodyPlace("S", "store"), CustodyPlace("L", "laboratory"))


def parts(drawn: Drawing) -> dict[str, list[Element]]:
    found: dict[str, list[Element]] = {}
    for g in fromstring(drawn.svg).iter(f"{SVG}g"):
        found.setdefault(g.get("data-key", ""), []).append(g)
    return found


def stay(key: str, place: str, start: float, end: float, **more: bool) -> CustodyStay:
    return CustodyStay(key, place, f"{start} to {end}", (start, start), (end, end), **more)


def drawn(*stays: CustodyStay, gaps: tuple[CustodyGap, ...] = ()) -> Drawing:
    return draw_custody(CustodyData("t", PLACES, stays, gaps))


def test_a_gap_is_hatched_through_all_places_and_said_in_words() -> None:
    picture = drawn(
        stay("a", "S", 1950, 1966),
        stay("b", "L", 1978, 2000),
        gaps=(CustodyGap(1966, 1978, "1966 to 1978, 12 years"),),
    )
    root = fromstring(picture.svg)
    hatched = [r for r in root.iter(f"{SVG}rect") if "gap" in r.get("fill", "")]
    assert len(hatched) == 2  # in the strip and in the key
    assert "gap: 1966 to 1978, 12 years" in picture.svg
    assert "Gap, place not recorded: 1966 to 1978, 12 years." in picture.description
    assert ("not recorded", "gap", "1966 to 1978, 12 years", "") in picture.table[1]


def test_no_gap_is_said_too() -> None:
    assert "1 stay, no gaps in the record." in drawn(stay("a", "S", 1950, 1966)).svg


def test_recorded_and_inferred_stays_look_and_read_differently() -> None:
    picture = drawn(stay("a", "S", 1950, 1960), stay("b", "L", 1960, 1970, inferred=True))
    shown = parts(picture)
    bars = [shown[k][0].find(f"{SVG}path") for k in "ab"]
    assert [bar.get("stroke-dasharray") for bar in bars if bar is not None] == [None, "4 2"]
    assert "laboratory: 1960 to 1970, inferred." in picture.description
    assert shown["b"][0].get("aria-label", "").endswith("Inferred.")


def test_sightings_are_ticks_and_a_search_in_vain_is_none() -> None:
    looks = tuple(
        CustodySighting(kind, "S", 1960.0 + i, f"look {i}", kind, named=True)
        for i, kind in enumerate(("confirmed", "inferred", "not seen"))
    )
    picture = draw_custody(CustodyData("t", PLACES, sightings=looks))
    circles = [parts(picture)[s.key][0].find(f"{SVG}circle") for s in looks]
    looks_like = {(c.get("r"), c.get("fill")) for c in circles if c is not None}
    assert len(looks_like) == 3
    assert "store: look 2, looked for, not seen." in picture.description


def test_stays_too_short_to_be_seen_are_drawn_again_enlarged() -> None:
    picture = drawn(stay("a", "S", 1900, 2020), stay("b", "L", 2020, 2020.2))
    assert "2019 to 2020, enlarged" in picture.svg
    assert len(parts(picture)["b"]) == 2
    assert (
        "enlarged" not in drawn(stay("a", "S", 1900, 1950), stay("b", "L", 1950, 2000)).svg
    )


def test_an_end_that_is_not_recorded_is_not_drawn_as_lasting() -> None:
    begun = CustodyStay("a", "S", "from 1950", (1950, 1950))
    other = stay("b", "L", 2000, 2010)
    picture = drawn(begun, other)
    assert "store: from 1950, recorded, end not recorded." in picture.description
    bar = parts(picture)["a"][0].find(f"{SVG}path")
    assert bar is not None
    xs = [float(x) for x in re.findall(r"[ML](\S+) ", bar.get("d", ""))]
    assert max(xs) - min(xs) <= 3.1


def test_what_is_still_there_says_so() -> None:
    there = CustodyStay("a", "S", "since 1950", (1950, 1950), still=True)
    picture = draw_custody(CustodyData("t", PLACES, (there,), until=2024))
    assert "still there" in picture.description
    assert picture.table[1] == (("store", "stay", "since 1950", "recorded, still there"),)


def test_the_table_is_in_the_order_of_time() -> None:
    data = examples.hinge_custody()
    whats = [row[1] for row in draw_custody(data).table[1]]
    assert whats == [
        "stay",
        "stay",
        "stay",
        "sighting",
        "sighting",
        "stay",
        "sighting",
        "gap",
    ]


def test_nothing_recorded_gives_a_drawing_that_says_so() -> None:
    picture = draw_custody(CustodyData("t", ()))
    assert "0 stays, no gaps in the record." in picture.description
    assert "Places: none recorded." in picture.description


@pytest.mark.parametrize(
    ("stays", "words"),
    [
        ((stay("a", "X", 1, 2),), "a: the place 'X' is not given"),
        ((stay("a", "S", 2, 1),), "a: the stay ends before it begins"),
        ((CustodyStay("a", "S", "?"),), "a: a stay without any year"),
        ((stay("a", "S", 1, 2, still=True),), "a: a stay that goes on has no end"),
    ],
)
def test_stays_that_cannot_be_are_refused(
    stays: tuple[CustodyStay, ...], words: str
) -> None:
    with pytest.raises(ValueError, match=words):
        drawn(*stays)


def test_an_unknown_kind_of_sighting_and_a_reversed_gap_are_refused() -> None:
    look = CustodySighting("s", "S", 1950, "w", "guessed")
    with pytest.raises(ValueError, match="s: 'guessed' is none of confirmed"):
        draw_custody(CustodyData("t", PLACES, sightings=(look,)))
    with pytest.raises(ValueError, match="the gap odd ends before it begins"):
        drawn(gaps=(CustodyGap(2, 1, "odd"),))


@given(st.lists(st.floats(-3000, 2100), min_size=1, max_size=6), st.floats(150, 900))
@settings(max_examples=60, deadline=None)
def test_every_year_stands_on_the_scale_in_its_order(
    years: list[float], width: float
) -> None:
    scale = scale_of(years, 10, width)
    places = [scale.x(y) for y in sorted(years)]
    assert places == sorted(places)
    assert all(10 <= x <= scale.right for x in places)
    marks = [scale.x(year) for year, _ in scale.marks()]
    assert all(b - a > 50 for a, b in pairwise(marks))


def test_years_are_marked_in_words() -> None:
    assert [w for _, w in Scale(2020, 2021, 0, 300).marks()] == [
        *("2020", "2020-04", "2020-07", "2020-10", "2021"),
    ]
    # Astronomical year 0 is 1 BC (ISO 8601-1, 4.3.1 proleptic Gregorian calendar).
    assert [w for _, w in Scale(-1, 1, 0, 200).marks()] == ["2 BC", "1 BC", "1"]


@given(st.lists(st.tuples(st.floats(0, 500), st.floats(5, 120)), max_size=12))
@settings(max_examples=60, deadline=None)
def test_words_on_one_line_never_meet(given_: list[tuple[float, float]]) -> None:
    stretches = [(left, left + wide) for left, wide in given_]
    levels = stacked(stretches)
    for i, (a, b) in enumerate(stretches):
        for j, (c, d) in enumerate(stretches[:i]):
            if levels[i] == levels[j]:
                assert b <= c or d <= a
