import math
from collections.abc import Iterable
from datetime import date
from itertools import combinations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from vestige.graph.errors import BadValue, NotRecorded
from vestige.graph.reasoning import (
    ORIGIN,
    Bound,
    DateConflict,
    TimeClaim,
    bounds,
    cheapest_repair,
    minimal_conflict,
    row,
    why_bound,
)

# Dechter, Meiri & Pearl, Temporal constraint networks, 1991, example 1.1 (numbers from
# memory), minutes after 7:00: John goes by car, Fred in a carpool.
COMMUTERS = [
    TimeClaim("John left", ORIGIN, "John leaves", 10, 20),
    TimeClaim("by car", "John leaves", "John arrives", 30, 40),
    TimeClaim("carpool", "Fred leaves", "Fred arrives", 40, 50),
    TimeClaim("seen", "Fred leaves", "John arrives", 10, 20),
    TimeClaim("Fred came", ORIGIN, "Fred arrives", 60, 70),
]


def test_the_commuters_of_1991_have_their_published_times() -> None:
    assert bounds(COMMUTERS) == {
        "John leaves": Bound(10, 20),
        "John arrives": Bound(40, 50),
        "Fred leaves": Bound(20, 30),
        "Fred arrives": Bound(60, 70),
    }


def test_the_commuters_of_1991_have_their_published_minimal_network() -> None:
    from_john = row(COMMUTERS, "John leaves")
    assert from_john["Fred leaves"] == Bound(10, 20)
    assert from_john["Fred arrives"] == Bound(50, 60)
    assert row(COMMUTERS, "John arrives")["Fred arrives"] == Bound(20, 30)
    assert row(COMMUTERS, "Fred leaves")["John arrives"] == Bound(10, 20)
    assert from_john[ORIGIN] == Bound(-20, -10)


def test_fred_cannot_have_left_before_ten_past_seven() -> None:
    early = TimeClaim("Fred left early", ORIGIN, "Fred leaves", high=10)
    found = bounds([*COMMUTERS, early])
    assert isinstance(found, DateConflict)
    # carpool takes at most 50 and Fred came at 60 at the earliest: 10 is just possible
    # by these two, but not with John, who arrives at 40 or later
    assert set(found.claims) == {"John left", "by car", "seen", "Fred left early"}


# The second backing paper of an invented screen: a newspaper of May 1897 is trapped
# under it, the tidemark of a flood lies on it, a letter dates the flood.
MAY_1897 = date(1897, 5, 1).toordinal()
FLOOD = (date(1924, 1, 1).toordinal(), date(1924, 12, 31).toordinal())
BACKING = [
    TimeClaim("newspaper", ORIGIN, "backing", low=MAY_1897),
    TimeClaim("tidemark", "backing", "flood", low=0),
    TimeClaim("letter", ORIGIN, "flood", *FLOOD),
    TimeClaim("gift", ORIGIN, "backing", high=date(1931, 11, 2).toordinal()),
]


def test_each_side_of_a_window_names_the_claims_that_set_it() -> None:
    found = bounds(BACKING)
    assert isinstance(found, dict)
    assert found["backing"] == Bound(MAY_1897, FLOOD[1])
    assert ids(why_bound(BACKING, "backing", "low")) == ["newspaper"]
    assert ids(why_bound(BACKING, "backing", "high")) == ["letter", "tidemark"]


def test_a_side_that_nothing_bounds_has_no_reason() -> None:
    claims = [TimeClaim("pencil note", ORIGIN, "brace", low=5)]
    assert bounds(claims) == {"brace": Bound(5, None)}
    assert why_bound(claims, "brace", "high") == ()


def test_no_claims_give_no_bounds() -> None:
    assert bounds([]) == {}
    assert minimal_conflict([]) == ()
    assert cheapest_repair([]) == ()


def test_a_claim_can_contradict_itself() -> None:
    assert minimal_conflict([TimeClaim("slip", ORIGIN, "a", 9, 3)]) == ("slip",)
    assert minimal_conflict([TimeClaim("slip", "a", "a", low=1)]) == ("slip",)


def test_rows_of_one_claim_stand_or_fall_together() -> None:
    claims = [
        TimeClaim("letter", ORIGIN, "flood", 50, 60),
        TimeClaim("letter", ORIGIN, "reorder", 50, 60),
        TimeClaim("photograph", ORIGIN, "reorder", high=30, weight=3),
    ]
    assert set(minimal_conflict(claims)) == {"letter", "photograph"}
    assert cheapest_repair(claims) == ("letter",)


def test_a_claim_not_to_be_doubted_is_kept_at_any_cost() -> None:
    sure = TimeClaim("gift", ORIGIN, "a", high=3, weight=math.inf)
    many = [TimeClaim(f"c{k}", ORIGIN, "a", low=9, weight=50) for k in range(4)]
    assert cheapest_repair([sure, *many]) == ("c0", "c1", "c2", "c3")
    with pytest.raises(BadValue, match=r"not to be doubted.*(gift, fire|fire, gift)"):
        cheapest_repair([sure, TimeClaim("fire", ORIGIN, "a", low=9, weight=math.inf)])


def test_wrong_values_are_refused_with_what_would_be_right() -> None:
    with pytest.raises(BadValue, match="whole days"):
        TimeClaim("c", ORIGIN, "a", low=1.5)  # type: ignore[arg-type]
    with pytest.raises(BadValue, match=r"at most 10\^12"):
        TimeClaim("c", ORIGIN, "a", high=10**13)
    with pytest.raises(BadValue, match="above 0"):
        TimeClaim("c", ORIGIN, "a", weight=0)
    with pytest.raises(BadValue, match="two weights"):
        cheapest_repair([TimeClaim("c", "a", "b", weight=w) for w in (1, 2)])


def test_questions_that_have_no_answer_are_refused() -> None:
    with pytest.raises(NotRecorded, match="names z"):
        why_bound(BACKING, "z", "low")
    with pytest.raises(BadValue, match="contradict each other: slip"):
        row([TimeClaim("slip", ORIGIN, "a", 9, 3)], "a")


def ids(claims: Iterable[TimeClaim]) -> list[str]:
    return [claim.id for claim in claims]


events = st.sampled_from([ORIGIN, "a", "b", "c", "d"])
days = st.none() | st.integers(-6, 6)


@st.composite
def networks(draw: st.DrawFn) -> list[TimeClaim]:
    count = draw(st.integers(1, 8))
    weight = st.sampled_from([0.5, 1.0, 1.7, 4.0])
    return [
        TimeClaim(f"c{k}", draw(events), draw(events), draw(days), draw(days), draw(weight))
        for k in range(count)
    ]


def floyd_warshall(claims: Iterable[TimeClaim]) -> dict[tuple[str, str], float] | None:
    """All shortest distances, or None where the claims contradict each other."""
    names = [ORIGIN, "a", "b", "c", "d"]
    far = {(a, b): 0 if a == b else math.inf for a in names for b in names}
    for one in claims:
        if one.high is not None:
            far[one.start, one.end] = min(far[one.start, one.end], one.high)
        if one.low is not None:
            far[one.end, one.start] = min(far[one.end, one.start], -one.low)
    for mid in names:
        for a in names:
            for b in names:
                far[a, b] = min(far[a, b], far[a, mid] + far[mid, b])
    return None if any(far[name, name] < 0 for name in names) else far


def by_distance(far: dict[tuple[str, str], float], a: str, b: str) -> Bound:
    low, high = far[b, a], far[a, b]
    return Bound(
        None if math.isinf(low) else int(-low), None if math.isinf(high) else int(high)
    )


@settings(max_examples=200, deadline=None)
@given(networks())
def test_bounds_and_rows_agree_with_floyd_and_warshall(claims: list[TimeClaim]) -> None:
    far, found = floyd_warshall(claims), bounds(claims)
    if far is None:
        assert isinstance(found, DateConflict)
        return
    assert isinstance(found, dict)
    named = {name for one in claims for name in (one.start, one.end)} - {ORIGIN}
    assert found == {name: by_distance(far, ORIGIN, name) for name in named}
    for name in named:
        assert row(claims, name) == {
            other: by_distance(far, name, other) for other in {ORIGIN, *named} - {name}
        }


@settings(max_examples=200, deadline=None)
@given(networks())
def test_a_conflict_is_one_and_loses_nothing_needless(claims: list[TimeClaim]) -> None:
    conflict = minimal_conflict(claims)
    assert bool(conflict) == (floyd_warshall(claims) is None)
    rows = [one for one in claims if one.id in conflict]
    assert not conflict or floyd_warshall(rows) is None
    for left_out in conflict:
        assert floyd_warshall(one for one in rows if one.id != left_out) is not None


@settings(max_examples=100, deadline=None)
@given(networks())
def test_no_cheaper_set_of_claims_to_doubt_exists(claims: list[TimeClaim]) -> None:
    def cost(doubted: Iterable[TimeClaim]) -> float:
        return sum(one.weight for one in doubted)

    enough = [
        cost(doubted)
        for size in range(len(claims) + 1)
        for doubted in combinations(claims, size)
        if floyd_warshall(one for one in claims if one not in doubted) is not None
    ]
    repair = cheapest_repair(claims)
    doubted = [one for one in claims if one.id in repair]
    assert floyd_warshall(one for one in claims if one not in doubted) is not None
    assert cost(doubted) == pytest.approx(min(enough))


@settings(max_examples=100, deadline=None)
@given(networks(), st.sampled_from(["low", "high"]))
def test_the_reason_of_a_bound_sets_it_with_the_fewest_claims(
    claims: list[TimeClaim], side: str
) -> None:
    found = bounds(claims)
    if isinstance(found, DateConflict):
        return
    for event, bound in found.items():
        days = bound.low if side == "low" else bound.high
        why = why_bound(claims, event, "low" if side == "low" else "high")
        assert bool(why) == (days is not None)
        for size in range(1, len(why) + 1):
            sets = any(
                side_of(few, event, side) == days for few in combinations(claims, size)
            )
            assert sets == (size >= len(why))
        assert not why or side_of(why, event, side) == days


def side_of(claims: Iterable[TimeClaim], event: str, side: str) -> int | None:
    far = floyd_warshall(claims)
    assert far is not None
    bound = by_distance(far, ORIGIN, event)
    return bound.low if side == "low" else bound.high
