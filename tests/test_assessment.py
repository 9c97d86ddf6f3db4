from dataclasses import replace

import numpy as np
import pytest
from bench_module import bench_module
from hypothesis import given, settings
from hypothesis import strategies as st
from worked_case import (
    FIVE_PHASES,
    PART,
    THREE_PHASES,
    enumerated,
    marginal_of,
    refixed_object,
    single_part,
    small_quarrel,
)

from vestige.graph.errors import BadValue
from vestige.graph.reasoning import (
    Aspect,
    Assessment,
    Case,
    CaseClaim,
    CaseSource,
    Params,
    Reading,
    Supposition,
    Thing,
    ThingKind,
    assess,
    beliefs_under,
    build_model,
    cost_of,
)
from vestige.graph.record import Relation, Reliability, SourceKind

MADE, PLACED = Aspect.MADE, Aspect.PLACED


def original(assessment: Assessment, thing: str) -> float:
    """P(made in the first phase)."""
    return float(assessment.beliefs[thing][1].sum())


def later_by_phase(assessment: Assessment, thing: str) -> list[float]:
    return [float(share) for share in assessment.beliefs[thing].sum(axis=0)]


def differ(one: Assessment, two: Assessment) -> float:
    pairs = [(belief, two.beliefs[thing]) for thing, belief in one.beliefs.items()]
    return max(float(np.abs(a - b).max()) for a, b in pairs)


# ------------------------------------------------------------------ exactness


def test_the_answer_is_that_of_full_enumeration() -> None:
    case = small_quarrel()
    model, answer = build_model(case), assess(case)
    joint, log_z = enumerated(model)
    for thing, belief in answer.beliefs.items():
        placed = model.times[Reading(thing, PLACED)]
        if thing in model.joint:
            made = model.times[Reading(thing, MADE)]
            assert np.abs(marginal_of(joint, made, placed) - belief).max() < 1e-9
        else:
            assert np.abs(marginal_of(joint, placed) - belief.sum(0)).max() < 1e-9
    assert answer.posterior is not None
    assert float(answer.posterior.log_z) == pytest.approx(log_z, abs=1e-9)


def test_the_answer_is_that_of_an_independent_library() -> None:
    # pyAgrum, lazy propagation; every factor is a report that was observed.
    pytest.importorskip("pyagrum")
    case = refixed_object()
    model, answer = build_model(case), assess(case)
    graph = model.graph
    shares = bench_module("inference").by_pyagrum(graph)
    for thing, belief in answer.beliefs.items():
        placed = shares[model.times[Reading(thing, PLACED)]]
        assert np.abs(placed - belief.sum(axis=0)).max() < 1e-9


def test_the_same_case_gives_the_same_answer_to_the_last_digit() -> None:
    one, two = assess(refixed_object()), assess(refixed_object())
    assert all(
        (two.beliefs[thing] == belief).all() for thing, belief in one.beliefs.items()
    )


def test_the_cost_is_told_without_being_paid() -> None:
    cost = cost_of(refixed_object())
    assert cost.exact
    assert cost.entries > 0
    assert cost.width >= 2
    assert cost.megabytes == pytest.approx(cost.entries * 8 / 1e6)


def test_many_suppositions_at_once_are_the_same_as_one_by_one() -> None:
    case = small_quarrel()
    answer = assess(case)
    readings = [
        Supposition(),
        Supposition("weaker", steps=-1),
        Supposition("without", without=frozenset({"b1", "l3"})),
        Supposition("odds", prior_odds=3),
        Supposition("word", words={"l1": "decisive"}),
    ]
    together = beliefs_under(answer.model, answer.plan, readings)
    words = [
        replace(claim, strength="decisive") if claim.id == "l1" else claim
        for claim in case.claims
    ]
    fewer = tuple(claim for claim in case.claims if claim.id not in {"b1", "l3"})
    apart = {
        0: case,
        2: replace(case, claims=fewer),
        4: replace(case, claims=tuple(words)),
    }
    for column, one in apart.items():
        alone = assess(one).beliefs
        for thing, belief in alone.items():
            # Leaving claims out also leaves fewer states of a source to reckon with.
            assert together[thing][..., column] == pytest.approx(belief, abs=2e-3)


# ------------------------------------------------------------------ properties

claims_about_lid = st.lists(
    st.tuples(
        st.sampled_from([Relation.AS_MADE, Relation.MADE_IN, Relation.PLACED_IN]),
        st.sampled_from(["P1", "P2", "P3"]),
        st.sampled_from(["weak", "moderate", "strong"]),
        st.sampled_from(list(SourceKind)),
    ),
    min_size=1,
    max_size=5,
)


def lid_case(said: list[tuple[Relation, str, str, SourceKind]]) -> Case:
    phase = {"P1": "P1", "P2": "P2", "P3": "P4"}
    claims = tuple(
        CaseClaim(
            f"c{number}",
            f"s{number}",
            relation,
            "lid",
            phase=None if relation is Relation.AS_MADE else phase[named],
            strength=word,
        )
        for number, (relation, named, word, _) in enumerate(said)
    )
    sources = tuple(CaseSource(f"s{n}", kind) for n, (*_, kind) in enumerate(said))
    return Case(THREE_PHASES, (Thing("lid", PART),), sources, claims)


@given(claims_about_lid)
@settings(max_examples=25)
def test_a_copy_adds_exactly_nothing(
    said: list[tuple[Relation, str, str, SourceKind]],
) -> None:
    case = lid_case(said)
    first = case.claims[0]
    copy = replace(first, id="z copy", source="copyist")
    copyist = CaseSource("copyist", SourceKind.CATALOGUE, copies=(first.source,))
    copied = replace(case, claims=(*case.claims, copy), sources=(*case.sources, copyist))
    assert differ(assess(case), assess(copied)) == 0


@given(claims_about_lid, st.randoms(use_true_random=False))
@settings(max_examples=25)
def test_the_order_of_entry_changes_nothing(
    said: list[tuple[Relation, str, str, SourceKind]], shuffler: object
) -> None:
    case = lid_case(said)
    claims, sources = list(case.claims), list(case.sources)
    shuffler.shuffle(claims)  # type: ignore[attr-defined]
    shuffler.shuffle(sources)  # type: ignore[attr-defined]
    shuffled = replace(case, claims=tuple(claims), sources=tuple(sources))
    assert differ(assess(case), assess(shuffled)) == 0


def test_other_names_change_nothing() -> None:
    case = small_quarrel()
    name = {"lid": "zz", "screw": "aa", "paint": "mm"}
    things = tuple(
        replace(
            thing,
            id=name[thing.id],
            held_by=tuple(name[one] for one in thing.held_by),
            touches=tuple(name[one] for one in thing.touches),
        )
        for thing in case.things
    )
    claims = tuple(
        replace(
            claim,
            id=f"{9 - number} {claim.id}",
            source={"bill": "x", "look": "a"}[claim.source],
            subject=name[claim.subject],
            other=claim.other and name[claim.other],
        )
        for number, claim in enumerate(case.claims)
    )
    sources = (CaseSource("x", SourceKind.DEALER), CaseSource("a"))
    renamed = assess(Case(case.phases, things, sources, claims))
    for thing, belief in assess(case).beliefs.items():
        assert renamed.beliefs[name[thing]] == pytest.approx(belief, abs=1e-12)


def test_a_claim_taken_away_and_put_back_leaves_the_answer_as_it_was() -> None:
    case = small_quarrel()
    without = replace(case, claims=case.claims[1:])
    again = replace(without, claims=(*without.claims, case.claims[0]))
    assert differ(assess(case), assess(without)) > 0.01
    assert differ(assess(case), assess(again)) == 0


@given(
    st.sampled_from(["P1", "P2", "P4"]),
    st.sampled_from(list(SourceKind)),
    st.sampled_from([Relation.MADE_IN, Relation.PLACED_IN, Relation.BELONGS_TO]),
)
@settings(max_examples=25)
def test_stronger_support_never_lowers_a_posterior(
    phase: str, kind: SourceKind, relation: Relation
) -> None:
    before = -1.0
    for word in ("neutral", "weak", "moderate", "strong", "decisive"):
        claim = CaseClaim("c", "s", relation, "lid", phase=phase, strength=word)
        belief = assess(single_part(claim, kind=kind)).beliefs["lid"]
        number = [one.id for one in THREE_PHASES].index(phase)
        so = np.zeros(belief.shape, dtype=bool)
        so[number + 1, :] |= relation is not Relation.PLACED_IN
        so[:, number] |= relation is not Relation.MADE_IN
        share = float(belief[so].sum())
        assert share >= before - 1e-12
        before = share


def test_a_neutral_claim_changes_nothing() -> None:
    claim = CaseClaim("c", "s", Relation.AS_MADE, "lid", strength="neutral")
    assert differ(assess(single_part(claim)), assess(single_part())) < 1e-12


# ------------------------------------------------------------------ the physics


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


# ------------------------------------------------------------------ sources


def test_a_doubtful_source_moves_less_than_a_sound_one() -> None:
    claim = CaseClaim("c", "s", Relation.MADE_IN, "lid", phase="P2", strength="strong")
    moved = []
    for word in (Reliability.DOUBTFUL, Reliability.MIXED, Reliability.SOUND):
        case = replace(single_part(claim), sources=(CaseSource("s", reliability=word),))
        moved.append(assess(case).beliefs["lid"][2].sum())
    assert moved[0] < moved[1] < moved[2]


def test_a_dealer_who_calls_everything_original_is_seen_through() -> None:
    parts = tuple(Thing(f"p{number}", PART) for number in range(6))
    bill = [CaseClaim(f"b{n}", "bill", Relation.AS_MADE, f"p{n}", strength="strong",
                      act=None) for n in range(6)]  # fmt: skip
    look = [CaseClaim(f"l{n}", "look", Relation.MADE_IN, f"p{n}", phase="P2",
                      strength="strong") for n in range(4)]  # fmt: skip
    sources = (CaseSource("bill", SourceKind.DEALER), CaseSource("look"))
    honest = replace(sources[0], one_story=0.0)
    trusted = assess(Case(THREE_PHASES, parts, (honest,), tuple(bill)))
    doubted = assess(Case(THREE_PHASES, parts, sources, (*bill, *look)))
    bill_view = next(view for view in doubted.sources if view.id == "bill")
    assert bill_view.story == "P1"
    assert bill_view.story_after > 0.9
    # What only the dealer spoke of falls back towards what was known before.
    assert original(doubted, "p5") < original(trusted, "p5") - 0.2


def test_claims_of_one_act_stand_or_fall_together() -> None:
    parts = tuple(Thing(f"p{number}", PART) for number in range(3))
    bill = tuple(
        CaseClaim(f"b{n}", "bill", Relation.MADE_IN, f"p{n}", phase="P2", act="one visit")
        for n in range(3)
    )
    denied = tuple(
        CaseClaim(
            f"l{n}", "look", Relation.MADE_IN, f"p{n}", phase="P1", strength="decisive"
        )
        for n in range(2)
    )
    sources = (
        CaseSource("bill", soundness=(0.1, 0.25, 0.4, 0.25), one_story=0.0),
        CaseSource("look"),
    )
    together = assess(Case(THREE_PHASES, parts, sources, (*bill, *denied)))
    loose = tuple(replace(claim, act=None) for claim in bill)
    apart = assess(Case(THREE_PHASES, parts, sources, (*loose, *denied)))
    assert together.beliefs["p2"][2].sum() < apart.beliefs["p2"][2].sum()


def test_a_premise_out_of_range_is_refused() -> None:
    with pytest.raises(BadValue, match=r"the premise contact is 0\.9"):
        Params(contact=0.9)
