from typing import Any

import pytest

from vestige.graph.errors import NotRecorded
from vestige.graph.reasoning import (
    CaseClaim,
    CaseReading,
    ThingKind,
    case_of,
    hear,
)
from vestige.graph.record import (
    Claim,
    Element,
    Happening,
    MuseumObject,
    Phase,
    Record,
    Relation,
    Reliability,
    Source,
    SourceKind,
    Span,
)
from vestige.graph.state import Held, State

# An invented object: a cart of two boards, a nail, a paint, and papers about it.


def cart(**change: dict[str, Any]) -> State:
    """The records of the cart; a keyword changes one record, or adds a claim."""
    records: dict[str, tuple[type[Record], dict[str, Any]]] = {
        "CART": (MuseumObject, {"number": "X.1", "name": "cart"}),
        "P1": (Phase, {"number": "X.1/P1", "object": "CART", "order": 1, "name": "making",
                       "span": "making", "begins": "1800", "ends": "1810"}),
        "P2": (Phase, {"number": "X.1/P2", "object": "CART", "order": 2, "name": "use",
                       "span": "use-life", "ends": "1920"}),
        "P3": (Phase, {"number": "X.1/P3", "object": "CART", "order": 3, "name": "museum",
                       "span": "museum", "begins": "1925"}),
        "BODY": (Element, {"number": "1", "object": "CART", "name": "body", "sort": "part",
                           "core": True}),
        "BOARD": (Element, {"number": "2", "object": "CART", "name": "board",
                            "sort": "part", "part_of": "BODY", "held_by": ("NAIL",)}),
        "NAIL": (Element, {"number": "3", "object": "CART", "name": "nail",
                           "sort": "fixing"}),
        "PAINT": (Element, {"number": "4", "object": "CART", "name": "paint",
                            "sort": "layer", "touches": ("BOARD",)}),
        "NONE": (Element, {"number": "5", "object": "CART", "name": "no varnish",
                           "sort": "absence", "looked_for_by": "ultraviolet light"}),
        "LOOK": (Source, {"number": "S1", "name": "looked at", "sort": "examination",
                          "dated": "1950-03"}),
        "BOOK": (Source, {"number": "S2", "name": "book", "sort": "published reference",
                          "hand": "second-hand"}),
        "COPY": (Source, {"number": "S3", "name": "copy", "sort": "catalogue",
                          "copies": ("BOOK",)}),
        "C1": (Claim, {"number": "C1", "about": "PAINT", "relation": "lies over",
                       "other": "NAIL", "strength": "strong", "source": "LOOK"}),
        "C2": (Claim, {"number": "C2", "about": "BOARD", "relation": "as made",
                       "strength": "moderate", "source": "BOOK"}),
        "C3": (Claim, {"number": "C3", "about": "BOARD", "relation": "as made",
                       "strength": "moderate", "source": "COPY"}),
        "C4": (Claim, {"number": "C4", "about": "NAIL", "relation": "not before",
                       "value": "1846", "strength": "strong", "source": "LOOK",
                       "material": "pointed wood screw"}),
    }  # fmt: skip
    for key, fields in change.items():
        kind, old = records.get(key, (Claim, {"number": key, "strength": "moderate"}))
        records[key] = (kind, old | fields)
    held = [Held(key, kind(**fields)) for key, (kind, fields) in records.items()]
    return State(held, known=1_600_000_000_000)


def reading(**change: dict[str, Any]) -> CaseReading:
    return case_of(cart(**change), "CART")


def claim(read: CaseReading, key: str) -> CaseClaim:
    return next(one for one in read.case.claims if one.id == key)


def test_phases_come_in_their_order_with_their_years() -> None:
    phases = reading().case.phases
    assert [phase.id for phase in phases] == ["P1", "P2", "P3"]
    assert phases[0].begins == pytest.approx((1800.0, 1801.0), abs=0.01)
    assert phases[1].begins == (None, None)


def test_an_object_without_phases_gets_the_usual_five() -> None:
    bare = State(
        [
            Held("O", MuseumObject(number="Y.1", name="box")),
            Held("E", Element(number="1", object="O", name="lid", sort="part")),
        ]
    )
    read = case_of(bare, "O")
    assert read.usual_phases
    assert [phase.span for phase in read.case.phases] == list(Span)


def test_the_year_of_the_question_is_that_of_the_state() -> None:
    assert reading().case.present == pytest.approx(2020.7, abs=0.05)
    assert case_of(cart(), "CART", present=1990.0).case.present == 1990.0


def test_elements_become_things_with_what_holds_and_touches_them() -> None:
    read = reading()
    board, paint = read.case.thing("BOARD"), read.case.thing("PAINT")
    assert board.held_by == ("NAIL",)
    assert board.touches == ("BODY",)  # it is part of the body
    assert (paint.kind, paint.touches) == (ThingKind.LAYER, ("BOARD",))
    assert read.case.thing("BODY").core
    assert read.core_named


def test_an_absence_has_no_phase_and_is_set_aside() -> None:
    read = reading()
    assert "NONE" not in {thing.id for thing in read.case.things}
    assert "no phase of its own" in read.set_aside["NONE"]


def test_a_claim_keeps_its_words() -> None:
    found = claim(reading(), "C1")
    assert (found.relation, found.subject, found.other) == (
        Relation.LIES_OVER,
        "PAINT",
        "NAIL",
    )
    assert (found.strength, found.source, found.against) == ("strong", "LOOK", False)


def test_a_copy_is_known_as_a_copy() -> None:
    heard = hear(reading().case)
    assert heard.repeats == {"C3": "C2"}


def test_a_copied_source_that_says_nothing_here_still_makes_copies_of_one() -> None:
    silent = {"about": "BODY", "relation": "noted", "value": "large", "strength": "weak"}
    more = Source(
        number="S4", name="other copy", sort=SourceKind.CATALOGUE, copies=("BOOK",)
    )
    state = State(
        [
            *(cart(C2=silent).held(key) for key in cart(C2=silent)),
            Held("MORE", more),
            Held("C5", Claim(number="C5", about="BOARD", relation=Relation.AS_MADE,
                             strength="weak", source="MORE")),
        ]
    )  # fmt: skip
    heard = hear(case_of(state, "CART").case)
    assert set(heard.repeats) == {"C3"} or set(heard.repeats) == {"C5"}


def test_a_claim_derived_from_a_source_counts_as_that_sources_word() -> None:
    again = {
        "about": "BOARD",
        "relation": "as made",
        "source": "LOOK",
        "derived_from": "BOOK",
    }
    heard = hear(reading(C5=again).case)
    assert heard.repeats["C5"] == "C2"


def test_a_claim_derived_from_a_claim_adds_nothing() -> None:
    again = {
        "about": "BOARD",
        "relation": "as made",
        "source": "LOOK",
        "derived_from": "C2",
    }
    assert hear(reading(C5=again).case).repeats["C5"] == "C2"


def test_a_second_hand_source_is_taken_for_one_word_less_sound() -> None:
    book = next(one for one in reading().case.sources if one.id == "BOOK")
    assert book.reliability is Reliability.MIXED  # published: usually sound


def test_reliability_on_record_is_left_as_it_is() -> None:
    read = reading(BOOK={"reliability": "sound"})
    book = next(one for one in read.case.sources if one.id == "BOOK")
    assert book.reliability is Reliability.SOUND


def test_a_claim_without_a_source_is_the_word_of_its_role() -> None:
    read = reading(C5={"about": "NAIL", "relation": "as made", "by": "carpenter"})
    assert claim(read, "C5").source == "role carpenter"
    nobody = reading(C5={"about": "NAIL", "relation": "as made"})
    assert claim(nobody, "C5").source == "nobody named"


def test_a_first_use_is_limited_by_its_exceptions() -> None:
    # Titanium white: exceptions are on record in the table of first use.
    read = reading(C4={"material": "titanium white", "value": "1921"})
    assert claim(read, "C4").limit is not None
    assert claim(reading(), "C1").limit is None


def test_what_a_direct_look_speaks_of_was_there_by_then() -> None:
    read = reading()
    seen = {
        one.subject: one for one in read.case.claims if one.relation is Relation.SEEN_BY
    }
    assert set(seen) == {"PAINT", "NAIL"}  # the book and its copy saw nothing themselves
    assert seen["NAIL"].years[1] == pytest.approx(1950.25, abs=0.01)
    assert read.claim_key(seen["NAIL"].id) in {"C1", "C4"}


def test_what_was_looked_for_and_absent_was_not_there() -> None:
    read = reading(
        C1={"about": "PAINT", "relation": "absent on", "value": "1950", "other": None},
        C4={"about": "BODY", "relation": "noted", "value": "brown"},
    )
    seen = {one.subject for one in read.case.claims if one.relation is Relation.SEEN_BY}
    assert "PAINT" not in seen


def test_the_date_of_an_observation_goes_before_that_of_its_source() -> None:
    read = reading(C4={"when": "1930-05-02"})
    seen = next(
        one for one in read.case.claims
        if one.relation is Relation.SEEN_BY and one.subject == "NAIL"
    )  # fmt: skip
    assert seen.years[1] == pytest.approx(1930.34, abs=0.01)


def test_a_happening_is_a_thing_where_a_claim_speaks_of_it() -> None:
    flood = Held(
        "FLOOD", Happening(number="H1", object="CART", name="flood", sort="damage")
    )
    said = Held("C5", Claim(number="C5", about="PAINT", relation=Relation.EARLIER_THAN,
                            other="FLOOD", strength="strong", source="LOOK"))  # fmt: skip
    base = cart()
    every = [base.held(key) for key in base]
    read = case_of(State([*every, flood, said]), "CART")
    assert read.case.thing("FLOOD").kind is ThingKind.HAPPENING
    without = case_of(State([*every, flood]), "CART")
    assert "FLOOD" not in {thing.id for thing in without.case.things}


@pytest.mark.parametrize(
    ("fields", "reason"),
    [
        ({"about": "PAINT", "relation": "moved from", "other": "BOARD"}, "only a part"),
        ({"about": "PAINT", "relation": "lies over", "other": "NONE"}, "no element"),
        ({"about": "NAIL", "relation": "as made", "scale": "my own"}, "no strength scale"),
        ({"about": "NAIL", "relation": "as made", "scale": "enfsi-2015",
          "strength": "decisive"}, "no strength word"),
    ],
)  # fmt: skip
def test_what_cannot_be_weighed_is_set_aside_with_the_reason(
    fields: dict[str, Any], reason: str
) -> None:
    read = reading(C9=fields)
    assert "C9" not in {one.id for one in read.case.claims}
    assert reason in read.set_aside["C9"]


def test_a_phase_of_another_object_is_no_phase_of_this_one() -> None:
    other = Held("Q1", Phase(number="Z/P1", object="ELSE", order=1, name="making",
                             span=Span.MAKING))  # fmt: skip
    said = Held("C5", Claim(number="C5", about="NAIL", relation=Relation.MADE_IN,
                            phase="Q1", strength="strong", source="LOOK"))  # fmt: skip
    base = cart()
    read = case_of(State([*(base.held(key) for key in base), other, said]), "CART")
    assert "another object" in read.set_aside["C5"]


def test_an_object_that_is_not_recorded_is_refused() -> None:
    with pytest.raises(NotRecorded):
        case_of(cart(), "NOTHING")
