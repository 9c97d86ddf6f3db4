from dataclasses import replace

import numpy as np
import pytest
from evidence_case import (
    ORIGINAL,
    PHASES,
    SOURCES,
    STRONG,
    THINGS,
    case_of,
    says,
    sound,
    table,
)
from hypothesis import given, settings
from hypothesis import strategies as st

from vestige.graph.errors import BadValue
from vestige.graph.reasoning import (
    READS,
    Aspect,
    Case,
    CasePhase,
    PhaseDates,
    weigh,
)
from vestige.graph.record import Relation


def test_what_lies_over_is_later_by_the_odds_of_the_word() -> None:
    cells = sound(says(Relation.LIES_OVER, "varnish", other="paint"))
    assert cells[2, 1] / cells[1, 2] == pytest.approx(STRONG)


def test_within_one_phase_an_observed_order_says_nothing_about_phases() -> None:
    evidence = table(says(Relation.LIES_OVER, "varnish", other="paint"))
    assert np.diagonal(evidence.sound) == pytest.approx(0.5)
    assert evidence.void == pytest.approx(0.5)


def test_lying_under_is_lying_over_read_from_below() -> None:
    over = sound(says(Relation.LIES_OVER, "varnish", other="paint"))
    under = table(says(Relation.LIES_UNDER, "paint", other="varnish"))
    assert [reading.thing for reading in under.scope] == ["varnish", "paint"]
    assert under.sound == pytest.approx(over)


@pytest.mark.parametrize(
    "relation", [Relation.FILLS, Relation.BRIDGES, Relation.LATER_THAN]
)
def test_the_words_for_later_are_read_alike(relation: Relation) -> None:
    cells = sound(says(relation, "varnish", other="board"))
    assert cells == pytest.approx(sound(says(Relation.LIES_OVER, "varnish", other="board")))


def test_what_is_cut_was_made_before_wherever_it_was_then() -> None:
    cuts = table(says(Relation.CUTS, "varnish", other="board"))
    assert [str(reading.aspect) for reading in cuts.scope] == ["placed", "made"]
    cut_by = table(says(Relation.CUT_BY, "board", other="varnish"))
    assert cut_by.scope == cuts.scope
    assert cut_by.sound == pytest.approx(cuts.sound)


def test_what_stood_together_had_been_made_by_then() -> None:
    cells = sound(says(Relation.STOOD_AGAINST, "board", other="nail", phase="P2"))
    assert cells[2, 2] == cells[1, 2] == cells[0, 1]  # made by then, together or not
    assert cells[2, 2] / cells[3, 2] == pytest.approx(STRONG)


def test_replaces_excludes_one_phase_for_both() -> None:
    cells = sound(says(Relation.REPLACES, "nail", other="board"))
    assert cells[2, 1] / cells[1, 1] == pytest.approx(STRONG)


def test_what_is_trapped_may_be_of_the_phase_that_closed_the_trap() -> None:
    evidence = table(says(Relation.TRAPPED_IN, "paint", other="board"))
    trap, trapped = 0, 1
    assert evidence.scope[trap].thing == "board"
    assert evidence.sound[2, 2] == pytest.approx(evidence.sound[2, 1])
    assert evidence.sound[2, 2] / evidence.sound[1, 2] == pytest.approx(STRONG)
    assert evidence.scope[trapped].aspect is Aspect.PLACED


def test_a_mark_shares_as_a_rule_the_phase_of_what_left_it() -> None:
    evidence = table(says(Relation.GHOST_OF, "wear", other="nail"))
    assert evidence.scope[1].aspect is Aspect.MADE  # the place that the nail had then
    same, later, earlier = evidence.sound[1, 2], evidence.sound[2, 2], evidence.sound[0, 2]
    assert same > later > earlier
    assert same / earlier == pytest.approx(STRONG)


def test_a_feature_across_a_part_is_not_older_than_the_part_in_its_place() -> None:
    evidence = table(says(Relation.CONTINUES, "wear", other="nail"))
    assert evidence.scope[1].aspect is Aspect.PLACED
    assert evidence.sound[1, 1] / evidence.sound[0, 1] == pytest.approx(STRONG)


def test_grain_that_continues_from_part_to_part_means_one_making() -> None:
    evidence = table(says(Relation.CONTINUES, "board", other="nail"))
    assert {reading.aspect for reading in evidence.scope} == {Aspect.MADE}


def test_same_stuff_is_of_one_phase_as_often_as_one_phase_is_one_batch() -> None:
    evidence = table(says(Relation.SAME_STUFF, "board", other="nail"))
    assert evidence.sound[1, 1] / evidence.sound[1, 2] == pytest.approx(0.5 * STRONG + 0.5)


def test_not_the_same_stuff_hardly_speaks_against_one_phase() -> None:
    cells = sound(says(Relation.SAME_STUFF, "board", other="nail", against=True))
    assert 1 < cells[1, 2] / cells[1, 1] < 2


def test_as_made_speaks_of_the_making_and_not_of_the_present_place() -> None:
    evidence = table(says(Relation.AS_MADE, "board"))
    assert [reading.aspect for reading in evidence.scope] == [Aspect.MADE]
    assert evidence.sound[1] / evidence.sound[2] == pytest.approx(STRONG)


def test_belongs_to_a_phase_is_so_when_made_or_put_in_place_in_it() -> None:
    cells = sound(says(Relation.BELONGS_TO, "board", phase="P3"))
    of_it = np.zeros((5, 4), dtype=bool)
    of_it[3, :] = of_it[:, 2] = True
    assert np.unique(cells[of_it]).size == np.unique(cells[~of_it]).size == 1
    assert cells[3, 3] / cells[0, 0] == pytest.approx(STRONG)


def test_put_in_place_in_a_phase_speaks_of_the_present_place_only() -> None:
    evidence = table(says(Relation.PLACED_IN, "board", phase="P3"))
    assert [reading.aspect for reading in evidence.scope] == [Aspect.PLACED]
    assert evidence.sound.argmax() == 2


def test_a_report_that_names_a_phase_is_one_of_so_many_reports() -> None:
    claims = [says(Relation.PLACED_IN, "board", phase=phase.id) for phase in PHASES]
    assert sum(sound(claim) for claim in claims) == pytest.approx(1.0)
    assert table(claims[0]).void == pytest.approx(0.25)


def test_a_teller_of_one_story_says_its_phase_whatever_the_truth() -> None:
    story = table(says(Relation.BELONGS_TO, "board", phase="P3")).story
    assert story.argmax() == 2
    assert story.sum() == pytest.approx(1.0)


def test_seen_by_a_year_means_in_place_by_that_year() -> None:
    evidence = table(says(Relation.SEEN_BY, "board", years=(1911, 1911)))
    assert evidence.scope[0].aspect is Aspect.PLACED
    before, within, after = evidence.sound[1], evidence.sound[2], evidence.sound[3]
    assert before > within > after
    assert before / after == pytest.approx(STRONG)


def test_looked_for_and_absent_means_later() -> None:
    cells = sound(says(Relation.ABSENT_ON, "board", years=(1911, 1911)))
    seen = sound(says(Relation.SEEN_BY, "board", years=(1911, 1911)))
    assert cells + seen == pytest.approx(1.0)


def test_seen_in_a_phase_allows_that_phase_and_every_earlier_one() -> None:
    cells = sound(says(Relation.SEEN_BY, "board", phase="P3"))
    assert cells[:3] == pytest.approx(cells[0])
    assert cells[0] / cells[3] == pytest.approx(STRONG)


def test_first_use_excludes_the_phases_that_ended_before_it() -> None:
    # Pointed wood screws: not before 1846 (White, wood screws in North America, read).
    evidence = table(says(Relation.NOT_BEFORE, "nail", years=(1846, 1856)))
    assert evidence.scope[0].aspect is Aspect.MADE
    older, making, use, trade, museum = evidence.sound
    assert older == making < use < trade == museum
    assert trade / making == pytest.approx(STRONG)


def test_first_use_after_the_whole_object_tells_no_phase_from_another() -> None:
    # Prussian blue, 1704-24 (first-use table): nothing on an object made after 1770.
    cells = sound(says(Relation.NOT_BEFORE, "paint", years=(1704, 1724)))
    assert cells == pytest.approx(cells[0])


def test_a_material_with_exceptions_limits_what_its_date_may_count_for() -> None:
    cells = sound(says(Relation.NOT_BEFORE, "nail", years=(1846, 1846), limit=50.0))
    assert cells[4] / cells[1] == pytest.approx(50.0)


def test_a_date_that_is_named_points_at_the_phase_that_it_lies_in() -> None:
    cells = sound(says(Relation.DATED, "paint", years=(1911, 1912)))
    assert cells.argmax() == 2
    older = sound(says(Relation.DATED, "board", years=(1700, 1710)))
    assert older.argmax() == 0  # older than the object


def test_without_dates_of_the_phases_a_year_says_nothing() -> None:
    bare = tuple(CasePhase(one.id, one.name, one.span) for one in PHASES)
    claim = says(Relation.NOT_BEFORE, "nail", years=(1846, 1856))
    case = Case(bare, THINGS, SOURCES, (claim,))
    evidence = weigh(claim, case, STRONG, 0.5, PhaseDates(bare))
    assert evidence is not None
    assert evidence.sound == pytest.approx(evidence.sound[0])


def test_a_part_moved_was_made_before_it_came_to_its_place() -> None:
    cells = sound(says(Relation.MOVED_FROM, "board"))
    assert cells[1, 2] / cells[3, 2] == pytest.approx(STRONG)


def test_what_is_re_used_from_elsewhere_was_made_in_no_phase_of_this_object() -> None:
    cells = sound(says(Relation.REUSED_FROM, "board"))
    assert cells[0, 2] / cells[1, 2] == pytest.approx(STRONG)
    assert cells[1, 2] == cells[3, 2]


def test_re_used_from_a_thing_of_this_object_means_made_with_it() -> None:
    cells = sound(says(Relation.REUSED_FROM, "board", other="nail"))
    assert cells[1, 2, 1] / cells[1, 2, 2] == pytest.approx(STRONG)


def test_a_layer_cannot_be_re_used() -> None:
    with pytest.raises(BadValue, match="only parts and fixings can"):
        sound(says(Relation.REUSED_FROM, "paint"))


def test_an_order_without_the_other_thing_is_refused() -> None:
    with pytest.raises(BadValue, match="the other one is missing"):
        sound(says(Relation.LIES_OVER, "paint"))


def test_a_count_says_nothing_about_time() -> None:
    claim = says(Relation.COUNTED, "nail")
    assert weigh(claim, case_of(claim), STRONG, 0.5, PhaseDates(PHASES)) is None


every_relation = st.sampled_from(sorted(READS))


@given(every_relation, st.booleans(), st.floats(1, 1e4))
@settings(max_examples=60)
def test_every_table_is_a_probability_and_void_is_its_average(
    relation: Relation, against: bool, odds: float
) -> None:
    claim = says(
        relation, "board", other="nail", phase="P2", years=(1900, 1910), against=against
    )
    evidence = table(claim, odds)
    assert (evidence.sound > 0).all()
    assert (evidence.sound <= 1 + 1e-12).all()
    assert 0 < evidence.void <= 1
    assert evidence.story.shape == (4,)


@given(every_relation, st.booleans())
@settings(max_examples=40)
def test_a_neutral_word_says_nothing(relation: Relation, against: bool) -> None:
    claim = says(
        relation, "board", other="nail", phase="P2", years=(1900, 1910), against=against
    )
    cells = table(claim, 1.0).sound
    assert cells == pytest.approx(cells.flat[0])


# ------------------------------------------------------------------ bad cases


@pytest.mark.parametrize(
    ("change", "words"),
    [
        ({"subject": "mast"}, "names the thing 'mast'"),
        ({"source": "gossip"}, "names the source 'gossip'"),
        ({"relation": Relation.MADE_IN}, "'?made in'? needs a phase"),
        ({"relation": Relation.DATED}, "needs a date or a phase"),
        ({"strength": "sure"}, "'sure' is no strength word"),
        ({"relation": Relation.LIES_OVER, "other": "board"}, "relation to itself"),
    ],
)
def test_a_claim_that_cannot_be_read_says_what_is_wrong(
    change: dict[str, object], words: str
) -> None:
    with pytest.raises(BadValue, match=words):
        case_of(replace(ORIGINAL, **change))  # type: ignore[arg-type]
