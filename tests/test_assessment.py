from dataclasses import replace

import numpy as np
import pytest
from bench_module import bench_module
from hypothesis import given, settings
from hypothesis import strategies as st
from worked_case import (
    PART,
    THREE_PHASES,
    enumerated,
    marginal_of,
    original,
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
    assess,
    beliefs_under,
    build_model,
    cost_of,
)
from vestige.graph.record import Relation, Reliability, SourceKind

MADE, PLACED = Aspect.MADE, Aspect.PLACED


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
