"""A decision whose ground has moved is listed to be looked at again, and never changed."""

from collections.abc import Iterator
from pathlib import Path

import pytest
from chest_archive import AGAINST, DAY, FIRST, Chest, claim, opened

from vestige.graph.answer.assessment import assess_of
from vestige.graph.answer.decision import HOLDS, LOOK_AGAIN, DecisionOf, decisions_of
from vestige.graph.record import Choice, Decision, Edtf, Relation
from vestige.graph.state import State
from vestige.ui.command.words_decision import decisions as words


@pytest.fixture
def chest(tmp_path: Path) -> Iterator[Chest]:
    with opened(tmp_path) as one:
        yield one


def then(chest: Chest, moment: int) -> State | None:
    state = chest.collection.around("OBJ", known=moment)
    return state if "OBJ" in state else None


def told(chest: Chest) -> DecisionOf:
    state = chest.collection.around("OBJ")
    [one] = decisions_of(state, "OBJ", lambda moment: then(chest, moment)).decisions
    return one


def turned(chest: Chest) -> None:
    """Later evidence that the lid is not the first."""
    chest.say(
        9,
        C3=claim("O-3", "LID", Relation.NOT_BEFORE, value="1950", strength="decisive"),
        C4=claim("O-4", "LID", Relation.AS_MADE, stance=AGAINST, source="BOOK",
                 strength="decisive"),
    )  # fmt: skip


def test_a_decision_on_unmoved_ground_holds(chest: Chest) -> None:
    one = told(chest)
    assert (one.standing, one.moved, one.why) == (HOLDS, (), ())
    assert one.assessment_said == "original"


def test_later_evidence_lists_it_with_before_and_after(chest: Chest) -> None:
    before = assess_of(chest.collection.around("OBJ"), "OBJ").verdicts[1]
    turned(chest)
    after = assess_of(chest.collection.around("OBJ"), "OBJ").verdicts[1]
    one = told(chest)
    assert one.standing == LOOK_AGAIN
    [move] = one.moved
    assert move.before is not None
    assert move.after is not None
    assert (move.before.text, move.after.text) == (before.text, after.text)
    assert {m.claim.number for m in move.because} >= {"O-3"}
    assert {m.how for m in move.because} == {"stated"}


def test_the_decision_itself_is_never_changed(chest: Chest) -> None:
    version = chest.collection.store.version("D1")
    turned(chest)
    told(chest)
    assert chest.collection.store.version("D1") == version
    assert "looked at again" not in str(chest.collection.store.get(["D1"])[0].body)


def test_the_old_assessment_stays_readable_as_known_then(chest: Chest) -> None:
    before = assess_of(chest.collection.around("OBJ"), "OBJ")
    turned(chest)
    earlier = chest.collection.around("OBJ", known=(FIRST + 1) * DAY)
    again = assess_of(earlier, "OBJ")
    assert [v.text for v in again.verdicts] == [v.text for v in before.verdicts]
    now = assess_of(chest.collection.around("OBJ"), "OBJ")
    assert [v.text for v in now.verdicts] != [v.text for v in before.verdicts]


def test_a_claim_that_was_read_again_is_shown_as_it_was_and_is(chest: Chest) -> None:
    chest.say(3, C1=claim("O-1", "LID", Relation.AS_MADE, strength="weak"))
    one = told(chest)
    [rest] = one.rests_on
    assert one.standing == LOOK_AGAIN
    assert rest.now == "corrected"
    assert rest.before is not None
    assert rest.claim is not None
    assert (rest.before.strength, rest.claim.strength) == ("strong", "weak")


def test_a_claim_opposed_since_is_told_with_who_opposes(chest: Chest) -> None:
    chest.say(3, C5=claim("O-5", "C2", Relation.OPPOSES, other="C1", strength="neutral"))
    [rest] = told(chest).rests_on
    assert rest.now == "newly opposed"
    assert [one.number for one in rest.by] == ["O-5"]


def test_what_was_opposed_before_the_decision_is_no_news(chest: Chest) -> None:
    chest.say(3, C5=claim("O-5", "C2", Relation.OPPOSES, other="C1", strength="neutral"))
    late = Decision(number="D-2", about=("LID",), choice=Choice.KEEP, reason="so",
                    by="OC", when=Edtf("2021-01-05"), rests_on=("C1",))  # fmt: skip
    chest.say(4, D2=late)
    state = chest.collection.around("OBJ")
    found = decisions_of(state, "OBJ", lambda moment: then(chest, moment)).decisions
    standing = {one.thing.number: one.standing for one in found}
    assert standing == {"D-1": LOOK_AGAIN, "D-2": HOLDS}
    assert [one.thing.number for one in found] == ["D-1", "D-2"]


@pytest.mark.parametrize(
    ("when", "recorded", "says"),
    [
        ("2021-01-04", 4, "when it was recorded, 2021-01-05"),
        ("1999", 4, "when it was recorded, 2021-01-05: at its date, 1999"),
        ("2021-01-03", 8, "at the end of its date, 2021-01-03"),
        ("2021-06", 4, "when it was recorded, 2021-01-05"),
    ],
)
def test_it_says_as_of_which_moment_it_compares(
    chest: Chest, when: str, recorded: int, says: str
) -> None:
    chest.say(recorded, D1=Decision(
        number="D-1", about=("LID",), choice=Choice.KEEP, reason="r", by="conservator",
        when=Edtf(when), rests_on=("C1",)))  # fmt: skip
    if when == "2021-01-04":
        says = "at the end of its date, 2021-01-04"
    assert says in told(chest).as_of


def test_the_words_show_both_sides(chest: Chest) -> None:
    turned(chest)
    state = chest.collection.around("OBJ")
    said = words(decisions_of(state, "OBJ", lambda moment: then(chest, moment)))
    assert "TO BE LOOKED AT AGAIN" in said
    assert "before: original" in said
    assert "now:" in said
    assert "is not changed" in said
