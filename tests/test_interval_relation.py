from collections.abc import Callable
from itertools import product

import networkx as nx
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from vestige.graph.errors import BadValue
from vestige.graph.reasoning import (
    Bound,
    IntervalRelation,
    Span,
    compose,
    inverse,
    possible_relations,
)

R = IntervalRelation

# Definitions of Allen 1983 in words, written out once more as comparisons of the ends
# of span A (a, z) with those of span B (b, y). From memory.
DEFINED: dict[R, Callable[[int, int, int, int], bool]] = {
    R.BEFORE: lambda a, z, b, y: z < b,
    R.MEETS: lambda a, z, b, y: z == b,
    R.OVERLAPS: lambda a, z, b, y: a < b < z < y,
    R.STARTS: lambda a, z, b, y: a == b and z < y,
    R.DURING: lambda a, z, b, y: b < a and z < y,
    R.FINISHES: lambda a, z, b, y: b < a and z == y,
    R.EQUALS: lambda a, z, b, y: a == b and z == y,
    R.FINISHED_BY: lambda a, z, b, y: a < b and z == y,
    R.CONTAINS: lambda a, z, b, y: a < b and y < z,
    R.STARTED_BY: lambda a, z, b, y: a == b and y < z,
    R.OVERLAPPED_BY: lambda a, z, b, y: b < a < y < z,
    R.MET_BY: lambda a, z, b, y: y == a,
    R.AFTER: lambda a, z, b, y: y < a,
}


def span(begin: int, end: int) -> Span:
    return Span(Bound(begin, begin), Bound(end, end))


def test_two_dated_spans_have_exactly_one_of_thirteen_relations() -> None:
    days = [(a, z) for a in range(5) for z in range(a + 1, 5)]
    met = set()
    for (a, z), (b, y) in product(days, days):
        (found,) = possible_relations(span(a, z), span(b, y))
        assert [name for name, holds in DEFINED.items() if holds(a, z, b, y)] == [found]
        met.add(found)
    assert len(met) == 13


def test_the_composition_table_has_409_triples_in_169_entries() -> None:
    # Allen 1983, table of transitivity; the two counts from memory
    entries = [compose(r, s) for r, s in product(R, R)]
    assert len(entries) == 169
    assert all(entries)
    assert sum(map(len, entries)) == 409


@pytest.mark.parametrize(
    ("first", "second", "wanted"),
    [
        (R.BEFORE, R.BEFORE, {R.BEFORE}),
        (R.BEFORE, R.AFTER, set(R)),
        (R.DURING, R.CONTAINS, set(R)),
        (R.MEETS, R.MEETS, {R.BEFORE}),
        (R.MEETS, R.MET_BY, {R.FINISHES, R.FINISHED_BY, R.EQUALS}),
        (R.OVERLAPS, R.OVERLAPS, {R.BEFORE, R.MEETS, R.OVERLAPS}),
        (R.OVERLAPS, R.DURING, {R.OVERLAPS, R.STARTS, R.DURING}),
        (R.DURING, R.DURING, {R.DURING}),
        (R.STARTS, R.FINISHES, {R.DURING}),
    ],
)
def test_entries_of_the_published_table(
    first: R, second: R, wanted: set[IntervalRelation]
) -> None:
    # Allen 1983, from memory
    assert compose(first, second) == wanted


# Second derivation, by order instead of by numbers: three relations can hold together
# if and only if their strict comparisons of ends form no circle once equal ends are one.
ENDS = {
    R.BEFORE: "az<b<y",
    R.MEETS: "a<z=b<y",
    R.OVERLAPS: "a<b<z<y",
    R.STARTS: "a=b<z<y",
    R.DURING: "b<a<z<y",
    R.FINISHES: "b<a<z=y",
    R.EQUALS: "a=b<z=y",
}


def ordered(relation: R, names: str) -> list[tuple[str, str, str]]:
    if relation not in ENDS:
        return ordered(inverse(relation), names[2:] + names[:2])
    text = ENDS[relation].replace("az", "a<z").translate(str.maketrans("azby", names))
    return [(text[k], text[k + 1], text[k + 2]) for k in range(0, len(text) - 2, 2)]


def together(relations: list[tuple[str, str, str]]) -> bool:
    graph = nx.DiGraph((a, b) for a, _, b in relations)
    graph.add_edges_from((b, a) for a, sign, b in relations if sign == "=")
    group = {
        name: k
        for k, names in enumerate(nx.strongly_connected_components(graph))
        for name in names
    }
    return all(group[a] != group[b] for a, sign, b in relations if sign == "<")


def test_the_composition_table_agrees_with_a_derivation_by_order() -> None:
    for first, second in product(R, R):
        known = ordered(first, "ABCD") + ordered(second, "CDEF")
        wanted = {third for third in R if together(known + ordered(third, "ABEF"))}
        assert compose(first, second) == wanted


def test_the_inverse_turns_a_relation_round_and_back() -> None:
    assert inverse(R.STARTS) is R.STARTED_BY
    assert inverse(R.EQUALS) is R.EQUALS
    for first, second in product(R, R):
        assert inverse(inverse(first)) is first
        turned = {inverse(one) for one in compose(first, second)}
        assert compose(inverse(second), inverse(first)) == turned


def test_open_windows_leave_the_relation_open() -> None:
    # a lining within 1893-1949, a varnish with no date at all (invented)
    unknown = Span(Bound(None, None), Bound(None, None))
    assert possible_relations(span(1893, 1949), unknown) == frozenset(R)


def test_a_window_may_decide_part_of_the_question() -> None:
    display = Span(Bound(10, 20), Bound(30, None))
    assert possible_relations(span(0, 5), display) == {R.BEFORE}
    assert possible_relations(display, span(0, 25)) == {R.OVERLAPPED_BY}
    assert R.BEFORE not in possible_relations(span(0, 20), display)


def test_a_span_that_ends_before_it_begins_is_refused() -> None:
    with pytest.raises(BadValue, match="cannot end within"):
        Span(Bound(10, 12), Bound(None, 10))


windows = st.tuples(st.integers(0, 4), st.integers(0, 2))


@settings(max_examples=80, deadline=None)
@given(st.tuples(windows, windows, windows, windows))
def test_possible_relations_are_those_of_some_days_within_the_windows(
    four: tuple[tuple[int, int], ...],
) -> None:
    days = [range(low, low + more + 1) for low, more in four]
    bound = [Bound(one[0], one[-1]) for one in days]
    assume(days[0][0] < days[1][-1] and days[2][0] < days[3][-1])
    wanted = {
        name
        for a, z, b, y in product(*days)
        for name, holds in DEFINED.items()
        if a < z and b < y and holds(a, z, b, y)
    }
    assert possible_relations(Span(*bound[:2]), Span(*bound[2:])) == wanted
