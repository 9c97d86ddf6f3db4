from dataclasses import replace

import numpy as np
import numpy.typing as npt
import pytest
from evidence_case import (
    ORIGINAL,
    PHASES,
    case_of,
    says,
    table,
)
from hypothesis import given
from hypothesis import strategies as st

from vestige.graph.reasoning import (
    SOUNDNESS_GRID,
    CaseClaim,
    CaseSource,
    Params,
    Voice,
    hear,
    quadrature,
    voice_of,
)
from vestige.graph.record import Relation, SourceKind

shares = st.lists(st.floats(0.01, 1), min_size=4, max_size=4).map(
    lambda weights: np.array(weights) / np.sum(weights)
)


# ------------------------------------------------------------------ who is heard


def copying(*pairs: tuple[str, str]) -> tuple[CaseSource, ...]:
    copied = dict(pairs)
    return tuple(
        CaseSource(
            name, SourceKind.RECORD, copies=(copied[name],) if name in copied else ()
        )
        for name in ("look", "card", "book")
    )


def test_a_copy_counts_for_nothing() -> None:
    copy = replace(ORIGINAL, id="b", source="card")
    heard = hear(case_of(ORIGINAL, copy, sources=copying(("card", "book"))))
    assert [claim.id for claim in heard.counted] == ["a"]
    assert heard.repeats == {"b": "a"}


def test_two_copies_of_an_unrecorded_original_count_once() -> None:
    one = replace(ORIGINAL, id="b", source="card")
    two = replace(ORIGINAL, id="c", source="look")
    heard = hear(case_of(one, two, sources=copying(("card", "book"), ("look", "book"))))
    assert len(heard.counted) == 1


def test_a_copy_of_a_copy_counts_for_nothing() -> None:
    one = replace(ORIGINAL, id="b", source="card")
    two = replace(ORIGINAL, id="c", source="look")
    chain = copying(("card", "book"), ("look", "card"))
    assert hear(case_of(ORIGINAL, one, two, sources=chain)).repeats == {"b": "a", "c": "a"}


def test_sources_that_copy_each_other_are_heard_once() -> None:
    copy = replace(ORIGINAL, id="b", source="card")
    circle = copying(("card", "book"), ("book", "card"))
    assert len(hear(case_of(ORIGINAL, copy, sources=circle)).counted) == 1


def test_what_a_copying_source_says_of_its_own_is_heard() -> None:
    own = CaseClaim("b", "card", Relation.AS_MADE, "nail")
    heard = hear(case_of(ORIGINAL, own, sources=copying(("card", "book"))))
    assert [claim.id for claim in heard.counted] == ["a", "b"]


def test_a_source_that_repeats_itself_adds_nothing() -> None:
    again = replace(ORIGINAL, id="b", act="another day")
    assert hear(case_of(ORIGINAL, again)).repeats == {"b": "a"}


def test_two_sources_of_their_own_are_both_heard() -> None:
    other = replace(ORIGINAL, id="b", source="look")
    assert len(hear(case_of(ORIGINAL, other)).counted) == 2


def test_claims_derived_from_one_another_in_a_circle_are_heard_once() -> None:
    one = replace(ORIGINAL, id="a", derived_from="b")
    two = replace(ORIGINAL, id="b", source="look", derived_from="a")
    heard = hear(case_of(one, two))
    assert [claim.id for claim in heard.counted] == ["a"]
    assert heard.repeats == {"b": "a"}


def test_what_says_nothing_of_time_is_named_as_silent() -> None:
    claim = CaseClaim("n", "look", Relation.COUNTED, "nail")
    assert hear(case_of(claim, ORIGINAL)).silent == ("n",)


# ------------------------------------------------------------------ states of a source


def voice(kind: SourceKind, *claims: CaseClaim) -> Voice:
    acts = [[table(claim)] for claim in claims]
    return voice_of(CaseSource("s", kind), acts, len(PHASES), Params())


def test_fewer_states_keep_the_moments_of_the_soundness() -> None:
    # Gauss-Legendre nodes from numpy, for a soundness spread evenly over [0, 1].
    grid = (np.arange(4000) + 0.5) / 4000
    found, weights = quadrature(grid, np.full(4000, 1 / 4000), 3)
    nodes, shares = np.polynomial.legendre.leggauss(3)
    assert found == pytest.approx((nodes + 1) / 2, abs=1e-6)
    assert weights == pytest.approx(shares / 2, abs=1e-6)


@given(shares, st.integers(1, 4))
def test_a_quadrature_is_exact_for_as_many_reports_as_it_stands_for(
    prior: npt.NDArray[np.float64], nodes: int
) -> None:
    grid = np.array(SOUNDNESS_GRID)
    found, weights = quadrature(grid, prior, nodes)
    for power in range(2 * nodes):
        assert weights @ found**power == pytest.approx(prior @ grid**power, abs=1e-9)


def test_a_dealer_who_names_one_phase_may_tell_that_one_story() -> None:
    dealer = voice(SourceKind.DEALER, *[says(Relation.PLACED_IN, "board", phase="P3")] * 2)
    assert dealer.story[dealer.story >= 0].tolist() == [2]


def test_a_day_book_that_names_one_later_phase_is_no_teller_of_stories() -> None:
    record = SourceKind.TREATMENT_RECORD
    book = voice(record, *[says(Relation.PLACED_IN, "board", phase="P3")] * 4)
    assert (book.story < 0).all()


def test_a_source_that_names_no_phase_tells_no_story() -> None:
    dealer = voice(SourceKind.DEALER, says(Relation.LIES_OVER, "varnish", other="paint"))
    assert (dealer.story < 0).all()


def test_the_states_of_a_source_have_a_prior() -> None:
    dealer = voice(SourceKind.DEALER, says(Relation.AS_MADE, "board"))
    assert 0.8 < dealer.prior.sum() <= 1 + 1e-12
    assert dealer.prior[dealer.story < 0].sum() == pytest.approx(0.8)
