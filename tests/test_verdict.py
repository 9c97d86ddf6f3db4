from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from worked_case import (
    FIVE_PHASES,
    FIXING,
    LAYER,
    PART,
    THREE_PHASES,
    refixed_object,
    single_part,
)

from vestige.graph.reasoning import (
    Case,
    CaseClaim,
    CaseSource,
    Grade,
    Params,
    Thing,
    ThingKind,
    Verdict,
    VerdictWord,
    accounts,
    assess,
    band,
    build_model,
    grade_of,
    spoken_of,
    verdicts,
)
from vestige.graph.record import Relation, SourceKind


def verdict_on(case: Case, thing: str, params: Params | None = None) -> Verdict:
    return next(one for one in verdicts(assess(case, params)) if one.thing == thing)


def agreed(*said: tuple[Relation, str | None], strength: str = "strong") -> Case:
    """A lid of which three sound sources say the same things."""
    claims = [
        CaseClaim(f"c{who}{number}", f"look {who}", relation, "lid", phase=phase,
                  strength=strength)
        for who in range(3)
        for number, (relation, phase) in enumerate(said)
    ]  # fmt: skip
    sources = tuple(CaseSource(f"look {who}") for who in range(3))
    return Case(FIVE_PHASES, (Thing("lid", PART),), sources, tuple(claims))


# ------------------------------------------------------------------ words


@given(st.integers(2, 8))
def test_the_single_accounts_divide_all_states_that_can_be(count: int) -> None:
    phases = tuple(replace(FIVE_PHASES[0], id=f"P{k}") for k in range(count))
    case = Case(phases, (), (), ())
    single = [account for account in accounts(case) if account.breadth == 1]
    made, placed = np.indices((count + 1, count))
    legal = made - 1 <= placed
    covered = np.sum([account.states for account in single], axis=0)
    assert np.array_equal(covered, legal.astype(int))


MADE, PLACED, REUSED = Relation.MADE_IN, Relation.PLACED_IN, Relation.MOVED_FROM


@pytest.mark.parametrize(
    ("said", "word", "phases"),
    [
        ([(MADE, "P1"), (PLACED, "P1")], VerdictWord.IN_PLACE, ("P1",)),
        ([(MADE, "P1"), (PLACED, "P3")], VerdictWord.MOVED, ("P1",)),
        ([(MADE, "P3"), (PLACED, "P3")], VerdictWord.ADDED, ("P3",)),
        ([(MADE, "P2"), (PLACED, "P4")], VerdictWord.OLD_LATER, ("P4",)),
    ],
)
def test_sources_that_agree_give_the_word_that_they_mean(
    said: list[tuple[Relation, str | None]], word: VerdictWord, phases: tuple[str, ...]
) -> None:
    verdict = verdict_on(agreed(*said), "lid")
    assert (verdict.word, verdict.phases) == (word, phases)
    assert verdict.grade in (Grade.ESTABLISHED, Grade.PROBABLE)
    assert f"({verdict.grade})" in verdict.text


def test_older_material_used_from_the_start_is_told_apart_from_the_making() -> None:
    # Timber felled before the object was made: tree rings end in 1650, the making is
    # after 1700, and everything about its place says the making.
    dated = tuple(
        replace(phase, begins=(1700.0 + 50 * k, 1701.0 + 50 * k))
        for k, phase in enumerate(FIVE_PHASES)
    )
    rings = [
        CaseClaim(f"r{n}", f"rings {n}", Relation.DATED, "lid", years=(1640, 1650),
                  strength="decisive") for n in range(2)
    ]  # fmt: skip
    place = [
        CaseClaim(f"p{n}", f"look {n}", Relation.PLACED_IN, "lid", phase="P1",
                  strength="decisive") for n in range(2)
    ]  # fmt: skip
    sources = tuple(CaseSource(claim.source) for claim in (*rings, *place))
    case = Case(dated, (Thing("lid", PART),), sources, (*rings, *place), present=1950)
    assert verdict_on(case, "lid").word is VerdictWord.OLDER


def test_a_phase_is_named_by_its_name() -> None:
    verdict = verdict_on(agreed((MADE, "P3"), (PLACED, "P3")), "lid")
    assert verdict.text.startswith("added in dealer's restoration (")


def test_a_layer_is_original_without_a_word_on_place() -> None:
    claims = tuple(
        CaseClaim(f"c{n}", f"look {n}", Relation.AS_MADE, "paint", strength="strong")
        for n in range(3)
    )
    sources = tuple(CaseSource(f"look {n}") for n in range(3))
    case = Case(FIVE_PHASES, (Thing("paint", LAYER),), sources, claims)
    assert verdict_on(case, "paint").text.startswith("original (")


# ------------------------------------------------------------------ grades


@pytest.mark.parametrize(
    ("share", "grade"),
    [
        (0.995, Grade.ESTABLISHED),
        (0.99, Grade.ESTABLISHED),
        (0.95, Grade.PROBABLE),
        (0.7, Grade.POSSIBLE),
        (0.69, Grade.OPEN),
    ],
)
def test_the_grades_have_their_thresholds(share: float, grade: Grade) -> None:
    assert grade_of(share) is grade


def test_one_source_alone_never_establishes_anything() -> None:
    claim = CaseClaim("c", "look", Relation.MADE_IN, "lid", phase="P2", strength="decisive")
    placed = replace(claim, id="d", relation=Relation.PLACED_IN)
    case = replace(single_part(claim), claims=(claim, placed))
    verdict = verdict_on(case, "lid")
    assert verdict.grade in (Grade.PROBABLE, Grade.POSSIBLE)
    assert "source look is left out" in verdict.hangs_on


def test_what_is_firmer_than_the_word_is_told_beside_it() -> None:
    # Two sources know that it is later, one alone knows when.
    claims = [
        CaseClaim(f"l{n}", f"look {n}", Relation.BELONGS_TO, "lid", phase="P1",
                  strength="decisive", against=True) for n in range(2)
    ]  # fmt: skip
    book = [
        CaseClaim(f"b{n}", "book", relation, "lid", phase="P3", strength="strong")
        for n, relation in enumerate((Relation.MADE_IN, Relation.PLACED_IN))
    ]
    book_kind = SourceKind.TREATMENT_RECORD
    sources = (CaseSource("look 0"), CaseSource("look 1"), CaseSource("book", book_kind))
    case = Case(FIVE_PHASES, (Thing("lid", PART),), sources, (*claims, *book))
    verdict = verdict_on(case, "lid")
    assert verdict.word is VerdictWord.ADDED
    # Firm as it is, it hangs on one source: it is not called established.
    assert verdict.grade is Grade.PROBABLE
    assert verdict.wider == "not original in any case (established)"
    assert verdict.hangs_on == ("source book is left out",)


def test_a_prior_is_no_rival_word() -> None:
    # Without the examiner most fixings would be taken for later: nobody says so.
    claim = CaseClaim("c", "look", Relation.AS_MADE, "nail", strength="decisive")
    case = Case(FIVE_PHASES, (Thing("nail", FIXING),), (CaseSource("look"),), (claim,))
    assert verdict_on(case, "nail").grade is not Grade.OPEN


def test_a_mark_came_and_an_event_was() -> None:
    def text(kind: ThingKind) -> str:
        claims = [
            CaseClaim(f"c{n}", f"look {n}", Relation.PLACED_IN, "x", phase="P2",
                      strength="strong") for n in range(3)
        ]  # fmt: skip
        sources = tuple(CaseSource(f"look {n}") for n in range(3))
        return verdict_on(
            Case(FIVE_PHASES, (Thing("x", kind),), sources, tuple(claims)), "x"
        ).text

    assert text(ThingKind.LAYER).startswith("added in use in the family (")
    assert text(ThingKind.FEATURE).startswith("came in use in the family (")
    assert text(ThingKind.HAPPENING).startswith("in use in the family (")


def test_two_sources_that_deny_each_other_leave_the_verdict_open() -> None:
    one = CaseClaim("a", "look", Relation.MADE_IN, "lid", phase="P1", strength="strong")
    two = CaseClaim("b", "bill", Relation.MADE_IN, "lid", phase="P4", strength="strong")
    verdict = verdict_on(single_part(one, two), "lid")
    assert verdict.word is VerdictWord.OPEN
    assert len(verdict.between) >= 2
    assert verdict.text.startswith("open between ")


def test_a_grade_never_exceeds_the_worst_of_strengths_and_priors() -> None:
    for verdict in verdicts(assess(refixed_object())):
        if verdict.grade is not Grade.OPEN and not verdict.by_definition:
            order = list(Grade)
            assert order.index(verdict.grade) >= order.index(grade_of(verdict.lowest))
            assert verdict.lowest <= verdict.probability


def test_the_band_varies_strengths_priors_and_every_source() -> None:
    case = agreed((MADE, "P3"))
    names = [supposition.name for supposition in band(build_model(case))]
    assert names[0] == "all is read as given"
    assert sum("one word" in name for name in names) == 2
    assert sum("beforehand" in name for name in names) == 2
    assert sum(name.endswith("is left out") for name in names) == 3


def test_a_weak_word_alone_is_no_verdict() -> None:
    claim = CaseClaim("c", "look", Relation.AS_MADE, "lid", strength="weak")
    verdict = verdict_on(single_part(claim), "lid")
    assert verdict.word is VerdictWord.OPEN


# ------------------------------------------------------------------ later, and how late


def test_later_fixings_are_open_between_use_life_and_restoration() -> None:
    case = refixed_object()
    for number in range(5):
        verdict = verdict_on(case, f"tie {number}")
        assert verdict.word is VerdictWord.UNTOLD
        assert verdict.phases == ("P2", "P3")
        assert verdict.grade is not Grade.OPEN


def test_what_tells_use_life_from_restoration_ends_the_silence() -> None:
    case = refixed_object()
    worn = CaseClaim("z", "examiner", Relation.PLACED_IN, "tie 0", phase="P2",
                     strength="weak")  # fmt: skip
    verdict = verdict_on(replace(case, claims=(*case.claims, worn)), "tie 0")
    assert verdict.word in (VerdictWord.LATER, VerdictWord.ADDED)


def test_refixed_parts_are_called_original() -> None:
    case = refixed_object()
    for number in range(8):
        verdict = verdict_on(case, f"rib {number}")
        assert verdict.word in (
            VerdictWord.IN_PLACE,
            VerdictWord.MOVED,
            VerdictWord.ORIGINAL,
        )


# ------------------------------------------------------------------ unexamined


def test_what_nobody_speaks_of_is_unexamined() -> None:
    case = refixed_object()
    more = replace(case, things=(*case.things, Thing("knob", PART, touches=("rib 6",))))
    verdict = verdict_on(more, "knob")
    assert verdict.text == "unexamined"
    assert verdict.grade is Grade.OPEN


def test_a_part_whose_fixing_is_spoken_of_is_not_unexamined() -> None:
    things = (Thing("lid", PART, held_by=("nail",)), Thing("nail", FIXING))
    claim = CaseClaim("c", "look", Relation.AS_MADE, "nail")
    case = Case(THREE_PHASES, things, (CaseSource("look"),), (claim,))
    assert spoken_of(build_model(case)) == {"lid", "nail"}


def test_a_claim_that_says_nothing_of_time_examines_nothing() -> None:
    claim = CaseClaim("c", "look", Relation.COUNTED, "lid")
    assert verdict_on(single_part(claim), "lid").word is VerdictWord.UNEXAMINED


def test_the_core_is_original_by_definition() -> None:
    verdict = verdict_on(refixed_object(), "body")
    assert verdict.by_definition
    assert "by definition" in verdict.text


# ------------------------------------------------------------------ bad sources


def test_one_false_story_does_not_become_a_firm_verdict() -> None:
    # REASONING section 3, regime R3: a coherent wrong story must not look reliable.
    parts = tuple(Thing(f"p{n}", PART) for n in range(6))
    bill = tuple(
        CaseClaim(f"b{n}", "bill", Relation.AS_MADE, f"p{n}", strength="strong")
        for n in range(6)
    )
    look = tuple(
        CaseClaim(f"l{n}", "look", Relation.MADE_IN, f"p{n}", phase="P3", strength="strong")
        for n in range(3)
    )
    sources = (CaseSource("bill", SourceKind.DEALER), CaseSource("look"))
    case = Case(FIVE_PHASES, parts, sources, (*bill, *look))
    for number in range(3, 6):
        verdict = verdict_on(case, f"p{number}")
        assert verdict.word is VerdictWord.OPEN
