from dataclasses import replace

import numpy as np
import pytest
from worked_case import (
    FIVE_PHASES,
    LAYER,
    PART,
    THREE_PHASES,
    refixed_object,
    single_part,
    small_quarrel,
)

from vestige.graph.reasoning import (
    STANDARD_EXAMINATIONS,
    Assessment,
    Case,
    CaseClaim,
    CaseSource,
    Disagreement,
    Explanation,
    Grade,
    Thing,
    Touch,
    Verdict,
    VerdictWord,
    assess,
    disagreements,
    explain,
    grade_of,
    verdicts,
)
from vestige.graph.record import Relation, SourceKind


def explained(case: Case, thing: str) -> tuple[Assessment, Verdict, Explanation]:
    assessment = assess(case)
    verdict = next(one for one in verdicts(assessment) if one.thing == thing)
    return assessment, verdict, explain(assessment, verdict)


def log_odds(share: float) -> float:
    return float(np.log10(share / (1 - share)))


# ------------------------------------------------------------------ weights


def test_a_weight_is_what_leaving_the_claim_out_does() -> None:
    case = refixed_object()
    assessment, verdict, why = explained(case, "rib 6")
    assert verdict.word is VerdictWord.IN_PLACE
    now = log_odds(float(assessment.beliefs["rib 6"][1, 0]))
    for one in why.speaks_for[:2]:
        fewer = tuple(claim for claim in case.claims if claim.id != one.claim)
        without = assess(replace(case, claims=fewer)).beliefs["rib 6"][1, 0]
        # Fewer claims need fewer states of the source; the answers agree closely.
        assert one.weight == pytest.approx(now - log_odds(float(without)), abs=1e-3)


def test_what_speaks_for_and_against_is_told_apart() -> None:
    _, _, why = explained(small_quarrel(), "paint")
    assert {one.claim for one in why.speaks_for} >= {"l1", "l2"}
    assert [one.claim for one in why.speaks_against] == ["b2"]
    assert all(one.weight > 0 for one in why.speaks_for)
    assert all(one.weight < 0 for one in why.speaks_against)


def test_the_weightiest_claim_stands_first() -> None:
    _, _, why = explained(refixed_object(), "rib 0")
    weights = [round(one.weight, 9) for one in why.speaks_for]
    assert weights == sorted(weights, reverse=True)
    # What is said of the rib itself, and of the tie that holds it: before all others.
    assert {one.claim for one in why.speaks_for[:2]} == {"c00", "c01"}
    assert weights[1] > 10 * weights[2]


def test_each_source_is_shown_before_and_after() -> None:
    _, _, why = explained(small_quarrel(), "paint")
    heard = {source: (before, after) for source, before, after in why.sources}
    assert heard["bill"][1] < heard["bill"][0]


# ------------------------------------------------------------------ what would suffice


def test_the_sufficient_claims_carry_the_verdict_alone() -> None:
    case = refixed_object()
    assessment, _, why = explained(case, "rib 6")
    grade = grade_of(float(assessment.beliefs["rib 6"][1, 0]))
    kept = tuple(claim for claim in case.claims if claim.id in why.sufficient)
    alone = assess(replace(case, claims=kept)).beliefs["rib 6"][1, 0]
    assert list(Grade).index(grade_of(float(alone))) <= list(Grade).index(grade)
    assert why.shortest
    for dropped in kept:
        fewer = tuple(claim for claim in kept if claim is not dropped)
        rest = assess(replace(case, claims=fewer)).beliefs["rib 6"][1, 0]
        assert grade_of(float(rest)) is not grade


def test_a_verdict_that_needs_no_claim_says_so() -> None:
    # Later is what most fixings are taken for before anybody speaks.
    _, verdict, why = explained(refixed_object(), "tie 0")
    assert verdict.word is VerdictWord.UNTOLD
    if why.sufficient == ():
        assert why.shortest


def test_how_weak_a_claim_may_become_is_the_word_at_which_the_grade_is_lost() -> None:
    case = refixed_object()
    assessment, _, why = explained(case, "rib 6")
    grade = grade_of(float(assessment.beliefs["rib 6"][1, 0]))
    tried = 0
    for one in why.breaking:
        if not one.word:
            continue
        tried += 1
        words = tuple(
            replace(claim, strength=one.word) if claim.id == one.claim else claim
            for claim in case.claims
        )
        weak = float(assess(replace(case, claims=words)).beliefs["rib 6"][1, 0])
        assert list(Grade).index(grade_of(weak)) > list(Grade).index(grade)
    assert tried


# ------------------------------------------------------------------ rival and settling


def test_the_rival_excludes_the_verdict_and_has_its_own_claims() -> None:
    case = small_quarrel()
    firm = tuple(replace(one, strength="strong") if one.id == "l2" else one
                 for one in case.claims)  # fmt: skip
    _, verdict, why = explained(replace(case, claims=firm), "paint")
    assert why.rival == verdict.rival
    assert why.rival_probability == pytest.approx(verdict.rival_probability)
    assert [one.claim for one in why.rival_claims] == ["b2"]


def test_examinations_that_do_not_touch_the_object_come_first() -> None:
    _, _, why = explained(refixed_object(), "tie 0")
    order = [list(Touch).index(one.touch) for one in why.settling]
    assert order == sorted(order)
    gains = [one.bits for one in why.settling if one.touch is Touch.NONE]
    assert gains == sorted(gains, reverse=True)


def test_the_expected_gain_agrees_with_trying_every_outcome() -> None:
    claim = CaseClaim("c", "look", Relation.MADE_IN, "lid", phase="P2", strength="weak")
    assessment, verdict, _ = explained(single_part(claim), "lid")
    rings = next(one for one in STANDARD_EXAMINATIONS if one.name == "tree rings")
    found = explain(assessment, verdict, [rings]).settling[0].bits
    belief = assessment.beliefs["lid"]
    count = len(THREE_PHASES)
    classes = np.zeros((count + 1, count), dtype=int)  # by made and placed, 0: cannot be
    for made in range(-1, count):
        for placed in range(max(made, 0), count):
            first = placed == 0 or made == 0
            old = made < placed and not first
            classes[made + 1, placed] = (
                [2, 1, 3][made + 1] if placed == 0 and made < 1
                else 3 if made == 0
                else 4 + 2 * placed + old
            )  # fmt: skip
    outcome = rings.outcomes(count, with_older=True)
    kinds = [k for k in np.unique(classes) if k]
    joint = np.array(
        [[(belief * (classes == k) * row[:, None]).sum() for k in kinds] for row in outcome]
    )
    joint /= joint.sum()
    rows, columns = joint.sum(1, keepdims=True), joint.sum(0, keepdims=True)
    safe = np.where(joint > 0, joint, 1)
    expected = float((joint * np.log2(safe / (rows * columns))).sum())
    assert found == pytest.approx(expected, abs=1e-4)


def test_every_examination_leaves_some_chance_of_no_result() -> None:
    for one in STANDARD_EXAMINATIONS:
        table = one.outcomes(5, with_older=True)
        assert table.sum(axis=0) == pytest.approx(1.0)
        assert (table[-1] > 0).all()


def test_the_unexamined_is_given_only_what_would_settle_it() -> None:
    _, verdict, why = explained(single_part(), "lid")
    assert verdict.word is VerdictWord.UNEXAMINED
    assert why.speaks_for == why.speaks_against == ()
    assert why.settling


def test_what_is_original_by_definition_needs_no_reasons() -> None:
    _, _, why = explained(refixed_object(), "body")
    assert "by definition" in why.account
    assert why.speaks_for == ()


# ------------------------------------------------------------------ disagreements


def quarrel(*kinds: SourceKind) -> tuple[Case, tuple[Disagreement, ...]]:
    one = CaseClaim("a", "one", Relation.MADE_IN, "lid", phase="P1", strength="decisive")
    two = CaseClaim("b", "two", Relation.MADE_IN, "lid", phase="P4", strength="decisive")
    sources = tuple(CaseSource(n, k) for n, k in zip(("one", "two"), kinds, strict=True))
    case = replace(single_part(one, two), sources=sources)
    return case, disagreements(assess(case))


def test_two_sound_sources_that_deny_each_other_disagree() -> None:
    _, (found,) = quarrel(SourceKind.EXAMINATION, SourceKind.EXAMINATION)
    assert set(found.claims) == {"a", "b"}
    assert found.decades >= 0.5


def test_agreement_is_no_disagreement() -> None:
    assert disagreements(assess(refixed_object())) == ()


def test_an_unlikely_claim_that_is_believed_after_all_disagrees_with_nothing() -> None:
    # Five layers in order over few phases: each step is unlikely, none is denied.
    layers = tuple(Thing(f"layer {n}", LAYER) for n in range(6))
    section = tuple(
        CaseClaim(f"s{n}", "section", Relation.LIES_OVER, f"layer {n + 1}",
                  f"layer {n}", strength="strong") for n in range(5)
    )  # fmt: skip
    last = CaseClaim("z", "look", Relation.SEEN_BY, "layer 5", phase="P2",
                     strength="decisive")  # fmt: skip
    sources = (CaseSource("section"), CaseSource("look"))
    case = Case(FIVE_PHASES, layers, sources, (*section, last))
    assert disagreements(assess(case)) == ()


def test_a_source_that_tells_one_story_explains_the_disagreement() -> None:
    parts = tuple(Thing(f"p{n}", PART) for n in range(5))
    bill = tuple(
        CaseClaim(f"b{n}", "bill", Relation.AS_MADE, f"p{n}", strength="strong")
        for n in range(5)
    )
    look = tuple(
        CaseClaim(f"l{n}", "look", Relation.MADE_IN, f"p{n}", phase=f"P{2 + n % 3}",
                  strength="strong") for n in range(5)
    )  # fmt: skip
    sources = (CaseSource("bill", SourceKind.DEALER), CaseSource("look"))
    case = Case(FIVE_PHASES, parts, sources, (*bill, *look))
    found = disagreements(assess(case))
    assert any(one.source == "bill" and "one story" in one.text for one in found)


def test_a_disagreement_is_measured_against_the_claim_alone() -> None:
    case, (found,) = quarrel(SourceKind.EXAMINATION, SourceKind.EXAMINATION)

    def log_z(*claims: CaseClaim) -> float:
        posterior = assess(replace(case, claims=claims)).posterior
        assert posterior is not None
        return float(np.log10(np.e) * posterior.log_z)

    one, two = case.claims
    # P(a | b) against P(a); a case without a claim about a source has no such variable.
    beside = log_z(one, two) - log_z(two)
    assert found.decades == pytest.approx((log_z(one) - log_z()) - beside, abs=1e-6)
