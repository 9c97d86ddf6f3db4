from __future__ import annotations

import random
from itertools import combinations, pairwise

import networkx as nx
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from vestige.ui.drawing.layered import Box, Layout, Line, layered
from vestige.ui.drawing.rows import disagreeing, rows, turned
from vestige.ui.drawing.tracks import Wire, spread, tracks

Pair = tuple[str, str]


@st.composite
def orders(draw: st.DrawFn) -> list[Pair]:
    """Pairs (upper, lower) without loops: the upper has always the greater number."""
    count = draw(st.integers(2, 14))
    edge = st.tuples(st.integers(1, count - 1), st.integers(0, count - 2))
    edges = draw(st.lists(edge, min_size=1, max_size=24))
    pairs = [(f"n{max(a, b)}", f"n{min(a, b)}") for a, b in edges if a != b]
    return pairs or [("n1", "n0")]


def laid_out(pairs: list[Pair], width: float = 120.0) -> tuple[dict[str, Box], Layout]:
    names = sorted({n for pair in pairs for n in pair})
    boxes = {n: Box(width + 30 * (i % 4), 40.0) for i, n in enumerate(names)}
    lines = [
        Line(a, b, label=(24.0 * (i % 2), 15.0 * (i % 2))) for i, (a, b) in enumerate(pairs)
    ]
    return boxes, layered(boxes, lines, rows(pairs, {}))


def random_order(count: int, seed: int) -> list[Pair]:
    rng = random.Random(seed)
    return [
        (f"n{i:03}", f"n{max(0, i - rng.randint(1, 12)):03}")
        for i in range(1, count)
        for _ in range(rng.choice((1, 1, 2)))
    ]


@given(orders())
@settings(max_examples=60, deadline=None)
def test_no_two_boxes_overlap(pairs: list[Pair]) -> None:
    boxes, layout = laid_out(pairs)
    for a, b in combinations(layout.places, 2):
        (ax, ay), (bx, by) = layout.places[a], layout.places[b]
        apart_x = abs(ax - bx) >= (boxes[a].width + boxes[b].width) / 2 - 1e-6
        apart_y = abs(ay - by) >= (boxes[a].height + boxes[b].height) / 2 - 1e-6
        assert apart_x or apart_y, (a, b)


@given(orders())
@settings(max_examples=60, deadline=None)
def test_no_line_passes_through_a_box(pairs: list[Pair]) -> None:
    boxes, layout = laid_out(pairs)
    for route in layout.routes:
        for (x1, y1), (x2, y2) in pairwise(route):
            for name, (x, y) in layout.places.items():
                w, h = boxes[name].width / 2 - 0.5, boxes[name].height / 2 - 0.5
                outside = (
                    max(x1, x2) <= x - w
                    or min(x1, x2) >= x + w
                    or max(y1, y2) <= y - h
                    or min(y1, y2) >= y + h
                )
                assert outside, name


@given(orders())
@settings(max_examples=60, deadline=None)
def test_lines_run_at_right_angles_downwards_from_box_to_box(pairs: list[Pair]) -> None:
    boxes, layout = laid_out(pairs)
    for (upper, lower), route in zip(pairs, layout.routes, strict=True):
        for (x1, y1), (x2, y2) in pairwise(route):
            assert abs(x1 - x2) < 1e-6 or abs(y1 - y2) < 1e-6
            assert y2 >= y1 - 1e-6
        (ux, uy), (lx, ly) = layout.places[upper], layout.places[lower]
        assert route[0][1] == pytest.approx(uy + boxes[upper].height / 2)
        assert route[-1][1] == pytest.approx(ly - boxes[lower].height / 2)
        assert abs(route[0][0] - ux) <= boxes[upper].width / 2
        assert abs(route[-1][0] - lx) <= boxes[lower].width / 2


@given(orders())
@settings(max_examples=80, deadline=None)
def test_lines_of_two_statements_never_run_on_top_of_each_other(pairs: list[Pair]) -> None:
    _, layout = laid_out(pairs, width=260.0)
    for one, other in combinations(layout.routes, 2):
        for a in pairwise(one):
            for b in pairwise(other):
                assert not on_top(a, b), (a, b)


def on_top(
    a: tuple[tuple[float, float], tuple[float, float]],
    b: tuple[tuple[float, float], tuple[float, float]],
) -> bool:
    """Whether two stretches lie on one straight line and share more than 1 px of it."""
    for along, across in ((0, 1), (1, 0)):
        flat = {round(p[across], 3) for p in (*a, *b)}
        if max(flat) - min(flat) < 2:
            low = max(min(p[along] for p in a), min(p[along] for p in b))
            high = min(max(p[along] for p in a), max(p[along] for p in b))
            return high - low > 1
    return False


@given(orders())
@settings(max_examples=40, deadline=None)
def test_every_item_stands_above_all_that_lie_under_it(pairs: list[Pair]) -> None:
    graph = nx.DiGraph(pairs)  # networkx as independent library for reachability
    row = rows(pairs, {})
    for item in graph:
        assert all(row[item] > row[under] for under in nx.descendants(graph, item))


@given(orders(), st.data())
@settings(max_examples=60, deadline=None)
def test_a_later_phase_stands_above_an_earlier_one(
    pairs: list[Pair], data: st.DataObject
) -> None:
    names = sorted({n for pair in pairs for n in pair})
    phase = data.draw(st.dictionaries(st.sampled_from(names), st.integers(0, 3)))
    wrong = disagreeing(pairs, phase)
    graph = nx.DiGraph(pairs)
    for item in graph:
        for under in nx.descendants(graph, item):
            if phase.get(item, 9) < phase.get(under, -1):
                assert {item, under} <= wrong
    agreed = {item: p for item, p in phase.items() if item not in wrong}
    row = rows(pairs, agreed)
    for a, b in combinations(agreed, 2):
        if agreed[a] < agreed[b]:
            assert row[a] < row[b]


@given(orders(), st.integers(1, 3), st.data())
@settings(max_examples=60, deadline=None)
def test_no_row_holds_more_than_it_may(
    pairs: list[Pair], most: int, data: st.DataObject
) -> None:
    names = sorted({n for pair in pairs for n in pair})
    size = data.draw(st.dictionaries(st.sampled_from(names), st.integers(1, 2)))
    row = rows(pairs, {}, most=most, size_of=size)
    assert all(row[upper] > row[lower] for upper, lower in pairs)
    for r in set(row.values()):
        held = [n for n in names if row[n] == r]
        assert sum(size.get(n, 1) for n in held) <= most or len(held) == 1


@given(
    st.lists(st.tuples(st.sampled_from("abcdef"), st.sampled_from("abcdef")), max_size=15)
)
@settings(max_examples=60, deadline=None)
def test_turning_reported_statements_leaves_no_loop(pairs: list[Pair]) -> None:
    turns = turned(pairs)
    graph = nx.DiGraph(
        (b, a) if turn else (a, b)
        for (a, b), turn in zip(pairs, turns, strict=True)
        if a != b
    )
    assert nx.is_directed_acyclic_graph(graph)
    assert any(turns) != nx.is_directed_acyclic_graph(nx.DiGraph(pairs))


def test_a_loop_given_as_an_order_is_refused_with_its_items() -> None:
    with pytest.raises(ValueError, match="stated in a loop: a, b"):
        rows([("a", "b"), ("b", "a")], {})


def test_a_line_that_runs_upwards_is_refused() -> None:
    boxes = {"a": Box(50, 20), "b": Box(50, 20)}
    with pytest.raises(ValueError, match="from a to b does not run downwards"):
        layered(boxes, [Line("a", "b")], {"a": 0, "b": 1})


def test_the_same_order_gives_the_same_layout() -> None:
    pairs = random_order(60, seed=5)
    assert laid_out(pairs)[1] == laid_out(pairs)[1]


def test_a_hundred_layers_are_laid_out() -> None:
    pairs = random_order(100, seed=1)
    boxes, layout = laid_out(pairs)
    assert len(layout.places) == len(boxes) == 100
    assert len(layout.routes) == len(pairs)


def test_a_single_chain_is_one_straight_column() -> None:
    pairs = [(f"n{i}", f"n{i - 1}") for i in range(1, 6)]
    _, layout = laid_out(pairs)
    assert all(len(route) == 2 for route in layout.routes)


def test_ports_keep_their_order_and_distance_near_their_wishes() -> None:
    assert spread([10.0, 12.0], [8.0, 8.0], 0.0, 100.0) == [7.0, 15.0]
    assert spread([-20.0], [8.0], 0.0, 100.0) == [0.0]
    assert spread([5.0, 5.0, 5.0], [40.0, 40.0, 40.0], 0.0, 20.0) == [0.0, 10.0, 20.0]


def test_a_wire_that_arrives_where_another_leaves_gets_the_lower_track() -> None:
    leaving, arriving = Wire(top=50.0, bottom=90.0), Wire(top=10.0, bottom=50.0)
    level = tracks([arriving, leaving])
    assert level[0] > level[1] >= 0


def test_two_wires_that_change_places_do_not_run_on_top_of_each_other() -> None:
    wires = [Wire(10.0, 50.0, reach=(0.0, 90.0)), Wire(50.0, 10.0, reach=(0.0, 90.0))]
    tracks(wires)
    assert {wires[0].bottom, wires[1].bottom} != {50.0, 10.0}
