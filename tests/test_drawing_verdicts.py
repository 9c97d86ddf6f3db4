from __future__ import annotations

from dataclasses import replace
from xml.etree.ElementTree import Element

import drawing_examples as examples
import pytest
from defusedxml.ElementTree import fromstring

from vestige.ui.drawing import (
    Drawing,
    VerdictData,
    VerdictGroup,
    VerdictPart,
    draw_verdicts,
)
from vestige.ui.drawing.palette import GRADES, VERDICTS

SVG = "{http://www.w3.org/2000/svg}"


def parts(drawn: Drawing) -> dict[str, Element]:
    return {g.get("data-key", ""): g for g in fromstring(drawn.svg).iter(f"{SVG}g")}


def part(key: str = "k", **more: str) -> VerdictPart:
    fields = {"label": f"{key} name", "verdict": "original, in place", "grade": "probable"}
    return VerdictPart(key, **(fields | more))


def board(*given: VerdictPart) -> Drawing:
    return draw_verdicts(VerdictData("t", given))


def many(count: int, group: str) -> tuple[VerdictPart, ...]:
    return tuple(part(f"{group}{i}", group=group) for i in range(count))


def test_a_card_says_verdict_and_grade_in_words_and_signs() -> None:
    card = parts(board(part(verdict="added in P5", grade="possible")))["k"]
    seen = " ".join("".join(t.itertext()) for t in card.iter(f"{SVG}text"))
    assert "A" in seen.split()
    assert "added in P5" in seen
    assert "possible" in seen
    filled = [c for c in card.iter(f"{SVG}circle") if c.get("fill") != "#ffffff"]
    assert len(filled) == 1
    dashes = [r.get("stroke-dasharray") for r in card.iter(f"{SVG}rect")]
    assert GRADES["possible"].dash in dashes


def test_every_class_has_its_own_paint_on_the_board() -> None:
    drawn = draw_verdicts(examples.screen_verdicts())
    patterns = [p.get("id", "") for p in fromstring(drawn.svg).iter(f"{SVG}pattern")]
    drawn_classes = {p.split("-v-")[1] for p in patterns}
    assert drawn_classes == set(VERDICTS) - {"in-place"}


def test_what_is_not_in_place_is_said_with_its_place() -> None:
    drawn = board(part(status="removed and kept", place="BG-014-3 in BX-014"))
    assert "removed and kept: BG-014-3 in BX-014" in drawn.svg
    assert "A strip set apart" in drawn.svg
    assert "k name: original, in place, probable; removed and kept, BG-014-3" in (
        drawn.description
    )


def test_a_part_in_place_has_its_strip_at_its_card() -> None:
    here, away = board(part()), board(part(status="discarded"))

    def gap(drawn: Drawing) -> float:
        card, strip = list(parts(drawn)["k"].iter(f"{SVG}rect"))[:2]
        end = float(strip.get("x", "0")) + float(strip.get("width", "0"))
        return float(card.get("x", "0")) - end

    assert gap(here) == 0
    assert gap(away) > 3


def test_rival_views_and_cautions_are_said() -> None:
    drawn = board(part(rival="added in P2", caution="arsenic"))
    assert "rival view: added in P2" in drawn.svg
    assert "caution: arsenic" in drawn.svg
    assert "rival view: added in P2; caution: arsenic" in drawn.description


def test_parts_are_counted_by_verdict() -> None:
    drawn = draw_verdicts(examples.screen_verdicts())
    assert "original, in place: 7" in drawn.svg
    assert "By verdict: 7 original, in place;" in drawn.description


def test_few_parts_are_drawn_one_by_one() -> None:
    data = VerdictData("t", many(150, "G"), (VerdictGroup("G", "Leaf"),))
    shown = parts(draw_verdicts(data))
    assert len(shown) == 150


def test_above_the_limit_the_largest_groups_are_folded_and_counted() -> None:
    groups = (VerdictGroup("L", "Large"), VerdictGroup("S", "Small"))
    data = VerdictData("t", (*many(160, "L"), *many(10, "S")), groups)
    drawn = draw_verdicts(data)
    shown = parts(drawn)
    assert set(shown) == {"L"} | {f"S{i}" for i in range(10)}
    assert "160 parts, folded: 160 original, in place." in shown["L"].get("aria-label", "")
    assert "170 parts." in drawn.svg
    assert "160 of them are folded into 1 group; the table names each." in (
        drawn.description
    )
    assert len(drawn.table[1]) == 170
    assert "L77 name" in drawn.description


def test_a_folded_group_does_not_hide_what_is_away_or_dangerous() -> None:
    away = replace(part("x", group="L"), status="whereabouts not recorded", caution="lead")
    data = VerdictData("t", (*many(3, "L"), away), (VerdictGroup("L", "Large"),))
    label = parts(draw_verdicts(data, fold_above=2))["L"].get("aria-label", "")
    assert "1 not in place now. 1 with a caution." in label


def test_an_object_without_parts_gives_a_drawing_that_says_so() -> None:
    assert "0 parts." in draw_verdicts(VerdictData("t", ())).svg


@pytest.mark.parametrize(
    ("given", "words"),
    [
        (part(verdict="genuine"), "'genuine' is not a verdict"),
        (part(grade="certain"), "k: 'certain' is none of established"),
        (part(status="gone"), "k: 'gone' is none of in place"),
        (part(group="X"), "k: the group 'X' is not given"),
    ],
)
def test_words_that_are_not_known_are_refused(given: VerdictPart, words: str) -> None:
    with pytest.raises(ValueError, match=words):
        board(given)


def test_two_parts_with_one_key_are_refused() -> None:
    with pytest.raises(ValueError, match="same key"):
        board(part(), part())
