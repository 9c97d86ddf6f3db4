"""What may not be recorded of moves, looks and turns, and what is said instead."""

from pathlib import Path

import pytest

from vestige.graph.keeping import Breach, Stage, breaches, life, whereabouts
from vestige.graph.problem import Weight
from vestige.graph.record import (
    Became,
    Container,
    Edtf,
    Element,
    ElementSort,
    Fate,
    KeptPart,
    Move,
    MuseumObject,
    Place,
    Record,
    Sample,
    SampleState,
    Seen,
    Sighting,
    Status,
    label_code,
    looks_like_a_code,
    new_key,
    pointing_fields,
    swaps_that_fit,
)
from vestige.graph.state import Held, State

DAY = Edtf.parse


def archive(**more: Record) -> dict[str, Record]:
    """An invented hinge in a box on a shelf."""
    return {
        "OBJ": MuseumObject(number="OBJ", name="box", made=DAY("1900")),
        "E": Element(number="E", name="hinge", sort=ElementSort.PART, object="OBJ",
                     status=Status.KEPT),
        "ROOM": Place(number="ROOM"),
        "SHELF": Place(number="SHELF", inside="ROOM"),
        "OTHER": Place(number="OTHER"),
        "BOX": Container(number="BOX", inside="SHELF"),
        "BAG": Container(number="BAG", inside="BOX"),
        "PART": KeptPart(number="PART", element="E", removed_when=DAY("2010-05-01"),
                         container="BAG"),
        **more,
    }  # fmt: skip


def said(fresh: dict[str, Record], **more: Record) -> tuple[Breach, ...]:
    return breaches(state(fresh, **more), set(fresh))


def state(fresh: dict[str, Record], **more: Record) -> State:
    records = archive(**more) | fresh
    late = len(records)
    return State(
        Held(key, one, nth, late if key in fresh else 0)
        for nth, (key, one) in enumerate(records.items(), 1)
    )


def moved(*what: str, to: str = "OTHER", when: str = "2020-01-02", **more: str) -> Move:
    return Move(what=what, to=to, when=DAY(when), **more)


def became(word: Became, when: str = "2019-01-01", *what: str) -> Fate:
    return Fate(what=what or ("PART",), became=word, when=DAY(when), authority="C",
                why="w", into=("PIECE",) if word is Became.DIVIDED else ())  # fmt: skip


@pytest.mark.parametrize(
    "ending", [Became.CONSUMED, Became.DISCARDED, Became.DISCARDED_UNRECORDED]
)
def test_what_is_no_more_cannot_be_moved(ending: Became) -> None:
    [one] = said({"M": moved("PART")}, F=became(ending))
    assert (one.code, one.weight) == ("not lawful then", Weight.ERROR)
    assert str(ending) in one.wrong
    assert "vestige seen" in one.right


def test_a_move_of_unknown_order_is_a_query_and_no_refusal() -> None:
    [one] = said(
        {"M": moved("PART", when="2019-06-15")}, F=became(Became.CONSUMED, "2019-06")
    )
    assert one.weight is Weight.QUERY


def test_an_end_said_for_before_a_recorded_move_is_refused_too() -> None:
    found = said({"F": became(Became.CONSUMED)}, M=moved("PART"))
    assert [one.key for one in found if one.weight is Weight.ERROR] == ["F"]


def test_two_moves_of_one_day_need_to_say_which_was_last() -> None:
    first = moved("BOX")
    [one] = said({"M2": moved("BOX", to="ROOM")}, M1=first)
    assert one.code == "two places at once"
    assert said({"M2": moved("BOX", to="ROOM", origin="OTHER")}, M1=first) == ()
    both = state({"M2": moved("BOX", to="ROOM", origin="OTHER")}, M1=first)
    assert whereabouts(both, "BOX").doubles == ()
    assert whereabouts(both, "BOX").holders[0].holder == "ROOM"


@pytest.mark.parametrize(("what", "to"), [("BOX", "BOX"), ("BOX", "BAG")])
def test_a_box_does_not_lie_in_itself(what: str, to: str) -> None:
    [one] = said({"M": moved(what, to=to)})
    assert one.code == "inside itself"
    assert one.wrong.count(what) >= 2


def test_a_part_did_not_come_off_before_the_object_was_made() -> None:
    early = KeptPart(number="P2", element="E", removed_when=DAY("1850"))
    [one] = said({"P2": early})
    assert (one.code, one.field) == ("before it was made", "removed_when")


def test_put_back_then_moved_is_refused_until_it_is_removed_again() -> None:
    back = became(Became.PUT_BACK)
    [one] = said({"M": moved("PART")}, F=back)
    assert "on the object" in one.wrong
    again = became(Became.REMOVED_AGAIN, "2019-06-01")
    assert said({"M": moved("PART")}, F=back, G=again) == ()


def test_removed_again_is_nowhere_until_a_place_is_recorded() -> None:
    both = state(
        {}, F=became(Became.PUT_BACK), G=became(Became.REMOVED_AGAIN, "2019-06-01")
    )
    assert life(both, "PART").stage is Stage.NOT_RECORDED
    assert whereabouts(both, "PART").holders == ()


def test_a_box_with_something_in_it_is_not_let_go() -> None:
    [one] = said({"F": became(Became.DISCARDED, "2020-01-01", "BAG")})
    assert one.code == "depended on"
    assert "PART (lies in it)" in one.wrong


def test_an_undated_end_holds_until_somebody_sees_the_thing() -> None:
    used = Sample(number="V", element="E", taken_when=DAY("2011"), container="BOX",
                  state=SampleState.CONSUMED)  # fmt: skip
    [refused] = said({"M": moved("V")}, V=used)
    assert refused.weight is Weight.ERROR
    look = Sighting(what="V", seen=Seen.SEEN, where="BOX", when=DAY("2021"))
    [query] = said({"S": look}, V=used)
    assert query.weight is Weight.QUERY
    after = life(state({"S": look}, V=used), "V")
    assert after.stage is Stage.FOUND
    assert after.contradictions


def test_a_list_is_no_sighting_of_a_missing_thing() -> None:
    missed = Sighting(what="PART", seen=Seen.NOT_SEEN, when=DAY("2020-01-01"))
    listed = Sighting(what="PART", seen=Seen.LISTED, when=DAY("2021-01-01"))
    after = life(state({}, A=missed, B=listed), "PART")
    assert (after.stage, str(after.since)) == (Stage.MISSING, "2020-01-01")


def test_every_paper_of_a_removal_is_asked_for() -> None:
    assert life(state({}), "PART").lacks == (
        "reason", "consent", "original position", "label", "review date",
    )  # fmt: skip


def test_a_movement_holds_what_a_published_standard_asks() -> None:
    """Spectrum 5.0/5.1, "Location and movement control", as far as its public summary
    tells: who authorised, who moved, when, why, from where and to where; and
    that former places stay on record and things are found by object and by place."""
    assert {"what", "origin", "to", "when", "by", "authority", "why"} <= set(
        Move.model_fields
    )
    words = {points.word for points in pointing_fields(Move).values()}
    assert {"moves", "taken out of", "put into"} <= words
    both = state({"M": moved("BOX")})
    assert [one.holder for one in whereabouts(both, "BOX", DAY("2019").latest).holders] == [
        "SHELF", "ROOM",
    ]  # fmt: skip


def test_an_audit_holds_what_was_looked_for_where_when_and_by_whom() -> None:
    """Common practice, no source: no published field list of audits could be read."""
    fields = set(Sighting.model_fields)
    assert {"what", "where", "when", "by", "seen", "audit", "note"} <= fields
    assert {str(one) for one in Seen} == {
        "seen", "not seen", "seen elsewhere", "cannot be identified",
        "listed from records",
    }  # fmt: skip


def test_every_swap_of_two_characters_of_a_label_is_named() -> None:
    """ISO 7064, MOD 37-2 finds every exchange; python-stdnum reckons the check."""
    code = label_code(new_key(1_000, b"\x12\x34\x56\x78\x9a\xbc\xde"))
    bare = code.replace("-", "")
    for one in range(1, 10):
        signs = list(bare)
        signs[one], signs[one + 1] = signs[one + 1], signs[one]
        typed = "".join(signs)
        assert looks_like_a_code(typed)
        if typed != bare:
            assert code in {fits for fits, _, _ in swaps_that_fit(typed)}


def test_a_place_on_the_shelf_is_no_code(tmp_path: Path) -> None:
    assert not looks_like_a_code("M1/bay 1/shelf 2")
    assert not looks_like_a_code("BX-014")
