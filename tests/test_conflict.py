"""Records that contradict each other are told in the smallest sets, and left open."""

from collections.abc import Iterator
from itertools import combinations
from pathlib import Path

import pytest
from chest_archive import (
    AGAINST,
    ASK,
    DAY,
    FIRST,
    SECRET,
    Chest,
    claim,
    closing,
    opened,
    secret_claim,
)

from vestige.graph.answer.conflict import Conflict, conflicts_of
from vestige.graph.reasoning.chronology import minimal_conflict
from vestige.graph.reasoning.date_conflict import RULE, date_conflicts, dates_of
from vestige.graph.record import Edtf, Phase, Relation, Source, SourceKind, Span
from vestige.graph.state import PUBLIC, Reader, State


@pytest.fixture
def chest(tmp_path: Path) -> Iterator[Chest]:
    with opened(tmp_path) as one:
        yield one


def view(chest: Chest, reader: Reader = PUBLIC) -> State:
    return chest.collection.around("OBJ", reader=reader)


def told(chest: Chest, sort: str = "") -> list[Conflict]:
    [one] = conflicts_of(view(chest), "OBJ").objects
    return [found for found in one.conflicts if found.sort.startswith(sort)]


def numbers(one: Conflict) -> list[str]:
    return [said.number for said in one.claims]


def test_records_that_agree_are_no_contradiction(chest: Chest) -> None:
    assert told(chest) == []


def test_a_screw_seen_before_it_could_be_had_is_told_with_both_claims(
    chest: Chest,
) -> None:
    chest.say(
        1,
        C3=claim("O-3", "HINGE", Relation.NOT_BEFORE, value="1846"),
        C4=claim("O-4", "HINGE", Relation.SEEN_BY, value="1800", source="BOOK"),
    )
    [one] = told(chest, "dates")
    assert sorted(numbers(one)) == ["O-3", "O-4"]
    assert one.dates == ()


def test_a_thing_as_made_of_a_stuff_later_than_the_making_names_the_phase(
    chest: Chest,
) -> None:
    chest.say(1, C3=claim("O-3", "LID", Relation.NOT_BEFORE, value="1890"))
    [one] = told(chest, "dates")
    assert sorted(numbers(one)) == ["O-1", "O-3"]
    assert {date.number for date in one.dates} == {"X.7/P1"}


def test_a_late_placing_of_an_early_part_is_no_contradiction(chest: Chest) -> None:
    """A part may be made in one phase and come to its place in another."""
    chest.say(
        1,
        C3=claim("O-3", "LID", Relation.PLACED_IN, phase="PHASE3"),
        C4=claim("O-4", "LID", Relation.ABSENT_ON, value="1800", source="BOOK"),
    )
    assert told(chest, "dates") == []


def test_phases_that_cannot_follow_each_other_are_told_and_the_rest_is_too(
    chest: Chest,
) -> None:
    late = Phase(number="X.7/P2", object="OBJ", order=2, name="use", span=Span.USE,
                 begins=Edtf("1600"), ends=Edtf("1610"))  # fmt: skip
    last = Phase(number="X.7/P3", object="OBJ", order=3, name="museum", span=Span.MUSEUM,
                 begins=Edtf("1620"), ends=Edtf("2000"))  # fmt: skip
    chest.say(1, PHASE2=late, PHASE3=last,
              C3=claim("O-3", "LID", Relation.COUNTED, value="1"),
              C4=claim("O-4", "LID", Relation.COUNTED, value="2"))  # fmt: skip
    [one] = conflicts_of(view(chest), "OBJ").objects
    assert {found.sort for found in one.conflicts} >= {
        "dates that cannot all be right", "accounts that differ",
    }  # fmt: skip
    assert "phases" in one.not_assessed


def test_every_set_of_dates_is_a_contradiction_and_none_of_it_is_needless(
    chest: Chest,
) -> None:
    """Held to the definition by trying every subset; no outside source."""
    chest.say(
        1,
        C3=claim("O-3", "HINGE", Relation.NOT_BEFORE, value="1846", strength="decisive"),
        C4=claim("O-4", "HINGE", Relation.SEEN_BY, value="1800", source="BOOK"),
        C5=claim("O-5", "HINGE", Relation.MADE_IN, phase="PHASE1"),
        C6=claim("O-6", "LID", Relation.LATER_THAN, other="HINGE"),
        C7=claim("O-7", "LID", Relation.NOT_AFTER, value="1830", source="BOOK"),
    )
    rows = dates_of(view(chest), "OBJ")
    found = list(date_conflicts(rows))
    assert len(found) >= 3
    assert len(set(found)) == len(found)
    for keys in found:
        for size in range(len(keys) + 1):
            for some in combinations(keys, size):
                kept = [r for r in rows if r.id in some or r.id.startswith(RULE)]
                assert bool(minimal_conflict(kept)) is (size == len(keys))


def test_accounts_of_one_count_are_told_side_by_side(chest: Chest) -> None:
    chest.say(
        1,
        C3=claim("O-3", "HINGE", Relation.COUNTED, value="6"),
        C4=claim("O-4", "HINGE", Relation.COUNTED, value="8", source="BOOK"),
    )
    [one] = told(chest, "accounts")
    assert "6; 8" in one.text


@pytest.mark.parametrize(
    ("one", "other", "differ"),
    [
        ("brass", "aluminium", True),
        ("cellulose nitrate class", "cellulose nitrate", False),
        ("copper, zinc, lead", "lead", False),
    ],
)
def test_materials_differ_only_where_they_share_no_word(
    chest: Chest, one: str, other: str, differ: bool
) -> None:
    chest.say(
        1,
        C3=claim("O-3", "HINGE", Relation.MADE_OF, value=one),
        C4=claim("O-4", "HINGE", Relation.MADE_OF, value=other, source="BOOK"),
    )
    assert bool(told(chest, "accounts")) is differ


def test_what_one_says_and_another_denies_is_told(chest: Chest) -> None:
    chest.say(1, C3=claim("O-3", "LID", Relation.AS_MADE, stance=AGAINST, source="BOOK"))
    [one] = told(chest, "said and denied")
    assert numbers(one) == ["O-1", "O-3"]


def test_a_recorded_dispute_is_told_with_what_it_disputes(chest: Chest) -> None:
    chest.say(1, C3=claim("O-3", "C2", Relation.DISPUTES, other="C1"))
    [one] = told(chest, "disputed")
    assert numbers(one) == ["O-3", "O-1", "O-2"]


def test_a_thing_missed_and_seen_a_year_later_is_told_with_the_only_way_out(
    chest: Chest,
) -> None:
    chest.say(
        1,
        C3=claim("O-3", "HINGE", Relation.ABSENT_ON, value="1921", source="BOOK"),
        C4=claim("O-4", "HINGE", Relation.SEEN_BY, value="1922-01"),
    )
    [one] = told(chest, "not seen")
    assert "between 1921-01-01 and 1922-01-31" in one.text


def test_a_clash_that_an_unsound_source_explains_says_so(chest: Chest) -> None:
    seen = {
        f"D{n}": claim(f"P-{n}", thing, Relation.BELONGS_TO, phase="PHASE3")
        for n, thing in enumerate(("COAT", "HINGE"))
    }
    bill = Source(number="S-3", name="bill", sort=SourceKind.DEALER, dated=Edtf("1990"))
    chest.say(
        1,
        BILL=bill,
        C3=claim("O-3", "COAT", Relation.AS_MADE, source="BILL"),
        C4=claim("O-4", "HINGE", Relation.AS_MADE, source="BILL"),
        **seen,
    )
    found = told(chest)
    assert found
    assert {one.explained_by.number for one in found if one.explained_by} == {"S-3"}


def test_nothing_is_resolved_the_claims_stand_as_before(chest: Chest) -> None:
    chest.say(1, C3=claim("O-3", "LID", Relation.AS_MADE, stance=AGAINST, source="BOOK"))
    before = chest.collection.store.tally()
    told(chest)
    assert chest.collection.store.tally() == before


def test_a_closed_account_shows_no_word_of_it(chest: Chest) -> None:
    chest.say(
        1,
        C3=claim("O-3", "HINGE", Relation.COUNTED, value="6"),
        C9=claim("O-9", "HINGE", Relation.COUNTED, value="eight", source="BOOK"),
        SHUT=closing("C9"),
    )
    assert told(chest, "accounts") == []
    open_ = conflicts_of(view(chest, Reader(ASK)), "OBJ").objects[0].conflicts
    assert any("eight" in one.text for one in open_)


def test_an_earlier_view_is_closed_by_what_was_closed_since(chest: Chest) -> None:
    chest.say(1, C9=secret_claim())
    chest.say(5, SHUT=closing("C9"))
    earlier = chest.collection.around("OBJ", known=(FIRST + 3) * DAY)
    assert SECRET not in earlier.held("C9").record.model_dump_json()
    opened = chest.collection.around("OBJ", known=(FIRST + 3) * DAY, reader=Reader(ASK))
    assert SECRET in opened.held("C9").record.model_dump_json()
