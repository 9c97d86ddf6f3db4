from dataclasses import replace

import pytest
from worked_case import (
    FIVE_PHASES,
    PART,
    THREE_PHASES,
    later_by_phase,
    original,
    refixed_object,
)

from vestige.graph.reasoning import (
    Case,
    CaseClaim,
    CaseSource,
    Params,
    Thing,
    ThingKind,
    assess,
)
from vestige.graph.record import Relation


def test_refixed_originals_come_out_made_at_first_and_placed_later() -> None:
    answer = assess(refixed_object())
    for number in range(5):
        made_first = answer.beliefs[f"rib {number}"][1]
        assert made_first.sum() >= 0.8
        assert made_first[1:].sum() >= 3 * made_first[0]
        before, use, trade, museum, treatment = later_by_phase(answer, f"tie {number}")
        assert before < 0.1
        assert museum + treatment < 0.01  # seen before those phases
        assert use == pytest.approx(trade, abs=0.1)
    for number in range(5, 8):
        assert answer.beliefs[f"rib {number}"][1, 0] >= 0.9


def test_the_sound_examiner_of_moved_parts_is_not_taken_for_a_teller_of_one_story() -> None:
    (examiner,) = assess(refixed_object()).sources
    assert examiner.after >= examiner.before
    assert examiner.story_after < examiner.story_before


def test_without_what_was_seen_by_then_mass_leaks_into_later_phases() -> None:
    case = refixed_object()
    blind = tuple(one for one in case.claims if one.relation is not Relation.SEEN_BY)
    unwatched = Params(unrecorded=1.0)
    leaked = later_by_phase(assess(replace(case, claims=blind), unwatched), "tie 0")
    assert sum(leaked[3:]) > 0.3


def test_the_present_treatment_brings_only_what_its_records_name() -> None:
    fill = CaseClaim("o", "look", Relation.LATER_THAN, "fill", other="body")
    named = CaseClaim("t", "look", Relation.PLACED_IN, "fill", phase="P5")
    body = Thing("body", PART, core=True)
    layer = Thing("fill", ThingKind.LAYER)
    silent = Case(FIVE_PHASES, (body, layer), (CaseSource("look"),), (fill,))
    beliefs = [
        float(assess(case).beliefs["fill"].sum(0)[-1])
        for case in (
            silent,
            replace(silent, things=(body, replace(layer, treated=True))),
            replace(silent, claims=(fill, named)),
        )
    ]
    assert beliefs[0] < beliefs[1] / 4 < beliefs[1] < beliefs[2]


def test_many_true_words_of_one_examiner_cost_her_no_trust() -> None:
    body = Thing("body", PART, core=True)
    for kept, new in ((10, 1), (30, 3), (30, 10)):
        parts = [Thing(f"p{n}", PART, touches=("body",)) for n in range(kept + new)]
        claims = [
            CaseClaim(f"a{n}", "look", Relation.AS_MADE, f"p{n}", strength="strong")
            for n in range(kept)
        ]
        claims += [
            CaseClaim(f"r{n}", "look", Relation.REPLACES, f"p{kept + n}", f"p{n}",
                      strength="strong")
            for n in range(new)
        ]  # fmt: skip
        case = Case(FIVE_PHASES, (body, *parts), (CaseSource("look"),), tuple(claims))
        view = assess(case).sources[0]
        assert view.after >= view.before
        assert view.story_after < 0.02


def test_one_strong_word_for_later_stands_among_many_for_as_made() -> None:
    body = Thing("body", PART, core=True)
    parts = tuple(Thing(f"p{n}", PART, touches=("body",)) for n in range(11))
    claims = [
        CaseClaim(f"a{n}", "look", Relation.AS_MADE, f"p{n}", strength="strong")
        for n in range(10)
    ]
    late = CaseClaim("l", "look", Relation.MADE_IN, "p10", phase="P4", strength="strong")
    case = Case(FIVE_PHASES, (body, *parts), (CaseSource("look"),), (*claims, late))
    found = assess(case)
    assert original(found, "p10") < 0.1
    assert original(found, "p0") > 0.9


def test_the_core_is_the_object_by_definition() -> None:
    assert assess(refixed_object()).beliefs["body"][1, 0] > 0.999


def test_one_original_fixing_that_still_holds_means_not_moved() -> None:
    case = refixed_object()
    old = Thing("old tie", ThingKind.FIXING)
    things = tuple(
        replace(thing, held_by=("tie 0", "old tie")) if thing.id == "rib 0" else thing
        for thing in case.things
    )
    says = CaseClaim("z", "examiner", Relation.AS_MADE, "old tie", strength="strong")
    held = replace(case, things=(*things, old), claims=(*case.claims, says))
    assert assess(case).beliefs["rib 0"][1, 0] < 0.25
    assert assess(held).beliefs["rib 0"][1, 0] > 0.9


def test_parts_without_fixings_move_together_in_one_re_assembly() -> None:
    things = tuple(Thing(f"slat {number}", PART) for number in range(3))
    said = [
        CaseClaim(
            f"m{n}", "look", Relation.MADE_IN, f"slat {n}", phase="P1", strength="strong"
        )
        for n in range(3)
    ]
    moved = [
        CaseClaim(f"p{n}", "look", Relation.PLACED_IN, f"slat {n}", phase="P2",
                  strength="strong")
        for n in range(2)
    ]  # fmt: skip
    source = (CaseSource("look"),)
    with_two = assess(Case(THREE_PHASES, things, source, (*said, *moved)))
    with_none = assess(Case(THREE_PHASES, things, source, tuple(said)))
    third = [answer.beliefs["slat 2"][1, 1] for answer in (with_none, with_two)]
    assert third[1] > 2 * third[0]


def test_what_touches_pulls_without_moving_a_prior() -> None:
    things = (Thing("a", PART, touches=("b",)), Thing("b", PART, touches=("c",)),
              Thing("c", PART))  # fmt: skip
    params = Params(reassembly=0.0)
    alone = assess(Case(FIVE_PHASES, (Thing("a", PART),), (), ()), params)
    chain = assess(Case(FIVE_PHASES, things, (), ()), params)
    for thing in "abc":
        assert chain.beliefs[thing] == pytest.approx(alone.beliefs["a"], abs=1e-9)
    claim = CaseClaim("x", "look", Relation.PLACED_IN, "b", phase="P3", strength="strong")
    pulled = assess(Case(FIVE_PHASES, things, (CaseSource("look"),), (claim,)), params)
    assert later_by_phase(pulled, "a")[2] > 2 * later_by_phase(alone, "a")[2]
