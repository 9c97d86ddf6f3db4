from __future__ import annotations

from collections import Counter
from dataclasses import replace
from xml.etree.ElementTree import Element

import drawing_examples as examples
import pytest
from defusedxml.ElementTree import fromstring

from vestige.ui.drawing import (
    Drawing,
    SameEvent,
    SequenceData,
    SequenceItem,
    SequenceLoop,
    SequencePhase,
    SequenceRelation,
    draw_sequence,
)

SVG = "{http://www.w3.org/2000/svg}"


def parts(drawn: Drawing) -> dict[str, Element]:
    return {g.get("data-key", ""): g for g in fromstring(drawn.svg).iter(f"{SVG}g")}


def top(part: Element) -> float:
    return min(float(t.get("y", "0")) for t in part.iter(f"{SVG}text"))


def items(*keys: str, phase: str = "") -> tuple[SequenceItem, ...]:
    return tuple(SequenceItem(k, f"{k} name", "layer", phase) for k in keys)


def test_the_later_one_stands_above() -> None:
    data = examples.screen_sequence()
    shown = parts(draw_sequence(data))
    for relation in data.relations:
        assert top(shown[relation.later]) < top(shown[relation.earlier])


def test_every_relation_carries_its_claims() -> None:
    data = SequenceData(
        "t",
        items("v2", "op1"),
        (SequenceRelation("v2", "op1", "lies over", ("SV10", "SV12", "SV13")),),
    )
    drawn = draw_sequence(data)
    assert "SV10 and 2 more" in drawn.svg
    assert "v2 name lies over op1 name. Claims: SV10, SV12, SV13." in drawn.description
    assert drawn.table[1][0][4] == "op1 name (SV10, SV12, SV13)"


def test_a_loop_is_drawn_as_a_loop_and_called_a_contradiction() -> None:
    loop = SequenceLoop(
        (
            SequenceRelation("a", "b", claims=("C1",)),
            SequenceRelation("b", "c", claims=("C2",)),
            SequenceRelation("c", "a", claims=("C3",)),
        )
    )
    drawn = draw_sequence(SequenceData("t", items("a", "b", "c"), loops=(loop,)))
    root = fromstring(drawn.svg)
    red = [p for p in root.iter(f"{SVG}path") if p.get("stroke-dasharray") == "6 3"]
    assert len(red) >= 3
    for claim in ("C1", "C2", "C3"):
        assert "contradiction" in "".join(parts(drawn)[claim].itertext())
    assert "Contradiction, these cannot all be true: " in drawn.description
    assert "b name is later than c name (C2)" in drawn.description


def test_a_loop_that_nobody_reported_is_still_drawn_as_a_contradiction() -> None:
    data = SequenceData(
        "t",
        items("a", "b"),
        (
            SequenceRelation("a", "b", claims=("C1",)),
            SequenceRelation("b", "a", claims=("C2",)),
        ),
    )
    assert "contradiction" in "".join(parts(draw_sequence(data))["C2"].itertext())


def test_items_of_one_event_stand_side_by_side() -> None:
    data = SequenceData(
        "t",
        items("a", "b", "c"),
        (SequenceRelation("a", "c"),),
        same=(SameEvent("a", "b", claims=("C7",)),),
    )
    shown = parts(draw_sequence(data))
    assert top(shown["a"]) == top(shown["b"]) < top(shown["c"])
    assert shown["C7"].get("aria-label") == "a same event as b. Claims: C7."


def test_one_event_against_the_order_is_a_contradiction() -> None:
    data = SequenceData(
        "t",
        items("a", "b", "c"),
        (SequenceRelation("a", "b"), SequenceRelation("b", "c")),
        same=(SameEvent("a", "c", claims=("C7",)),),
    )
    drawn = draw_sequence(data)
    assert "contradiction same event as C7" in "".join(parts(drawn)["C7"].itertext())
    assert top(parts(drawn)["a"]) < top(parts(drawn)["c"])


PHASES = (SequencePhase("P1", "making"), SequencePhase("P2", "museum", "1958"))


def test_a_phase_is_a_band_and_the_later_one_lies_above() -> None:
    data = SequenceData(
        "t", (*items("a", phase="P1"), *items("b", phase="P2")), phases=PHASES
    )
    shown = parts(draw_sequence(data))
    assert top(shown["P2"]) < top(shown["P1"])
    assert top(shown["b"]) < top(shown["a"])
    assert "Phase museum, 1958: 1 item." in draw_sequence(data).description


def test_what_is_not_known_to_be_in_a_phase_says_so() -> None:
    data = SequenceData(
        "t",
        (*items("a", phase="P1"), *items("x"), SequenceItem("y", "y", phase_words="open")),
        (SequenceRelation("x", "a"), SequenceRelation("y", "a")),
        PHASES,
    )
    shown = parts(draw_sequence(data))
    assert "phase not recorded" in "".join(shown["x"].itertext())
    assert "open" in "".join(shown["y"].itertext())
    assert [row[2] for row in draw_sequence(data).table[1]] == [
        "making",
        "not recorded",
        "open",
    ]


def test_a_phase_that_disagrees_with_the_order_is_said_and_not_drawn_as_band() -> None:
    data = SequenceData(
        "t",
        (*items("a", phase="P1"), *items("b", phase="P2")),
        (SequenceRelation("a", "b"),),
        PHASES,
    )
    drawn = draw_sequence(data)
    shown = parts(drawn)
    assert top(shown["a"]) < top(shown["b"])
    assert "P1" not in shown
    assert "phase making and order disagree" in "".join(shown["a"].itertext())


def test_items_without_order_or_phase_stand_apart_and_are_named() -> None:
    data = SequenceData("t", items("a", "b", "z"), (SequenceRelation("a", "b"),))
    drawn = draw_sequence(data)
    assert "Neither order nor phase recorded" in drawn.svg
    assert "z name, layer, phase: not recorded, date: not recorded, no order recorded." in (
        drawn.description
    )


def test_many_items_without_order_do_not_make_the_drawing_wider() -> None:
    many = tuple(SequenceItem(f"k{i}", f"k{i} name", "layer", "P1") for i in range(20))
    drawn = draw_sequence(SequenceData("t", many, phases=PHASES))
    assert drawn.width <= 704
    assert drawn.print_width_mm <= 160


def test_many_lines_into_one_box_leave_their_claims_to_the_table() -> None:
    over = [f"k{i}" for i in range(14)]
    data = SequenceData(
        "t",
        items("ground", *over),
        tuple(SequenceRelation(k, "ground", claims=(f"C-{k}",)) for k in over),
    )
    drawn = draw_sequence(data)
    set_texts = fromstring(drawn.svg).iter(f"{SVG}text")
    assert not any("C-k" in (t.text or "") for t in set_texts)
    assert "k3 name (C-k3)" in drawn.table[1][0][5]


def test_a_label_too_long_for_its_box_is_told_in_full() -> None:
    long = "painted paper " * 30
    drawn = draw_sequence(SequenceData("t", (SequenceItem("a", long),)))
    assert "…" in drawn.svg
    assert long.strip() in parts(drawn)["a"].get("aria-label", "")
    assert long in drawn.description
    assert drawn.table[1][0][0] == long


def test_no_more_items_stand_side_by_side_than_the_page_is_wide() -> None:
    over = [f"k{i}" for i in range(12)]
    data = SequenceData(
        "t", items("ground", *over), tuple(SequenceRelation(k, "ground") for k in over)
    )
    heights = [top(part) for key, part in parts(draw_sequence(data)).items() if key in over]
    assert max(Counter(heights).values()) == 3
    wide = parts(draw_sequence(data, width=2500))
    assert len({top(wide[k]) for k in over}) == 1


def test_what_was_left_out_is_counted() -> None:
    data = replace(examples.screen_sequence(), left_out=9)
    assert "9 more follow from these and are left out." in draw_sequence(data).svg


def test_nothing_recorded_gives_a_drawing_that_says_so() -> None:
    drawn = draw_sequence(SequenceData("Empty", ()))
    assert "0 items" in drawn.description
    assert fromstring(drawn.svg) is not None


@pytest.mark.parametrize(
    ("data", "words"),
    [
        (SequenceData("t", items("a"), (SequenceRelation("a", "q"),)), "not given: q"),
        (SequenceData("t", items("a", "a")), "same key"),
        (SequenceData("t", items("a", phase="P9")), "phases that are not given: P9"),
    ],
)
def test_data_that_do_not_hang_together_are_refused(data: SequenceData, words: str) -> None:
    with pytest.raises(ValueError, match=words):
        draw_sequence(data)
