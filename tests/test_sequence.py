from itertools import pairwise
from random import Random

import networkx as nx
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from vestige.graph.errors import NotRecorded
from vestige.graph.reasoning import (
    Before,
    Order,
    OrderRelation,
    Same,
    Sequence,
    sequence,
)


def after(*pairs: str) -> list[OrderRelation]:
    """Relations from "later>earlier" or "a=b"; each claim is named by its own text."""
    found: list[OrderRelation] = []
    for text in pairs:
        first, sign, second = text.partition("=" if "=" in text else ">")
        found.append((Same if sign == "=" else Before)(first, second, text))
    return found


def order(*pairs: str) -> Sequence:
    things = sorted({name for text in pairs for name in text.replace("=", ">").split(">")})
    return sequence(things, after(*pairs))


def claims(chain: tuple[OrderRelation, ...] | None) -> list[str]:
    assert chain is not None
    return [step.claim for step in chain]


# The hypothetical section of twelve contexts in the encyclopaedia article "Harris
# matrix" (text read; its drawing not). Stated there: 3 immediately over 2, 6 over 2,
# trample 12 in cut 5, 7 fills 8, the matrix splits into two parts below 5 and is tied
# together again at natural 11. That pit 8 lies between 4 and 10 is our own choice.
SECTION = ("3>2", "6>2", "2>12", "12>5", "2>5", "5>1", "5>4", "1>9", "4>7", "7>8", "8>10")
NATURAL = ("9>11", "10>11", "5>11", "8>11")
MATRIX = order(*SECTION, *NATURAL)


def test_the_published_section_keeps_only_immediate_relations() -> None:
    assert [one.claim for one in MATRIX.redundant] == ["2>5", "5>11", "8>11"]
    assert claims(MATRIX.why_redundant(Before("2", "5", "2>5"))) == ["2>12", "12>5"]


@pytest.mark.parametrize(
    ("a", "b"),
    [("2", "12"), ("12", "5"), ("2", "5"), ("3", "2"), ("6", "2"), ("7", "8")],
)
def test_the_published_section_has_the_published_order(a: str, b: str) -> None:
    assert MATRIX.compare(a, b) is Order.LATER
    assert MATRIX.compare(b, a) is Order.EARLIER


def test_the_natural_layer_of_the_published_section_is_earliest() -> None:
    assert MATRIX.levels[0] == ("11",)
    assert all(MATRIX.later(thing, "11") for thing in MATRIX.things if thing != "11")


@pytest.mark.parametrize(("a", "b"), [("1", "4"), ("9", "10"), ("1", "8")])
def test_layers_parted_by_the_cut_are_not_related_by_evidence(a: str, b: str) -> None:
    assert MATRIX.compare(a, b) is Order.UNRELATED
    assert MATRIX.incomparable(a, b)


def test_layers_parted_by_the_cut_are_one_when_correlation_is_asserted() -> None:
    matrix = order(*SECTION, *NATURAL, "1=4", "9=10")
    assert matrix.compare("1", "4") is Order.SAME
    assert matrix.layer_of("9") == ("10", "9")
    # 1 is 4, and pit 8 with its fill lies under 4: now it lies under 1 as well
    assert claims(matrix.chain("1", "8")) == ["1=4", "4>7", "7>8"]
    assert "1>9" in [one.claim for one in matrix.redundant]


def test_a_higher_wall_is_not_a_later_wall() -> None:
    # the article: wall 2 stands higher in the section, yet below 3 and 6 in the matrix
    assert MATRIX.later("3", "2")
    assert MATRIX.later("6", "2")


def test_the_shortest_chain_of_claims_answers_why() -> None:
    # a paint section: canvas, ground, paint, V1, dirt, F1, OP1, V2 (invented)
    layers = order("V2>OP1", "OP1>F1", "F1>dirt", "dirt>V1", "OP1>V1")
    assert claims(layers.chain("V2", "V1")) == ["V2>OP1", "OP1>V1"]
    assert layers.chain("V1", "V2") is None


def test_a_chain_reads_on_across_a_correlation_stated_the_other_way_round() -> None:
    layers = order("A>B", "C=B", "C>D")
    assert layers.chain("A", "D") == (
        Before("A", "B", "A>B"),
        Same("B", "C", "C=B"),
        Before("C", "D", "C>D"),
    )


def test_two_claims_for_one_pair_are_both_immediate() -> None:
    layers = sequence(["A", "B"], [Before("A", "B", "c1"), Before("A", "B", "c2")])
    assert [one.claim for one in layers.immediate] == ["c1", "c2"]
    assert not layers.redundant


def test_a_contradiction_is_shown_by_its_shortest_loop() -> None:
    layers = order("A>B", "B>C", "C>D", "D>A", "C>A", "X>Y")
    (found,) = layers.contradictions
    assert found.things == ("A", "B", "C", "D")
    assert sorted(found.claims) == ["A>B", "B>C", "C>A"]
    assert {one.claim for one in found.set_aside} == {"A>B", "B>C", "C>D", "D>A", "C>A"}


def test_members_of_a_loop_are_left_undetermined_and_the_rest_keeps_its_order() -> None:
    layers = order("top>A", "A>B", "B>A", "A>base", "B>low", "top>base")
    assert layers.compare("A", "B") is Order.CONTRADICTED
    assert layers.incomparable("A", "B")
    assert layers.chain("A", "B") is None
    assert layers.compare("top", "A") is Order.LATER  # whatever is wrong with A and B
    assert layers.levels == (("base", "low"), ("top",))
    # top over low holds only if A over B does, which is disputed
    assert layers.compare("top", "low") is Order.CONTRADICTED
    assert [one.claim for one in layers.redundant] == ["top>base"]


def test_a_thing_later_than_itself_is_a_contradiction() -> None:
    (found,) = order("A>A", "A>B").contradictions
    assert found.claims == ("A>A",)


def test_a_correlation_on_a_loop_is_disputed_with_it() -> None:
    layers = order("A>B", "B>C", "A=C")
    (found,) = layers.contradictions
    assert sorted(found.claims) == ["A=C", "A>B", "B>C"]
    assert layers.compare("A", "C") is Order.CONTRADICTED


def test_a_correlation_beside_a_loop_stands() -> None:
    layers = sequence("ABC", [*after("A>B", "B>A", "A=C"), Same("C", "A", "again")])
    assert layers.compare("A", "C") is Order.SAME
    assert layers.compare("C", "B") is Order.CONTRADICTED


def test_a_relation_to_an_unlisted_thing_is_refused_by_name() -> None:
    with pytest.raises(NotRecorded, match="claim c7 names Z"):
        sequence(["A"], [Before("A", "Z", "c7")])
    with pytest.raises(NotRecorded, match="Z is not in this sequence"):
        order("A>B").compare("A", "Z")
    with pytest.raises(NotRecorded, match="not a redundant"):
        order("A>B").why_redundant(Before("A", "B", "A>B"))


def test_nothing_to_order_is_an_empty_sequence() -> None:
    assert sequence([], []).levels == ()


edges = st.lists(st.tuples(st.integers(0, 13), st.integers(0, 13)), max_size=45)


@settings(max_examples=120, deadline=None)
@given(edges)
def test_a_consistent_order_reduces_as_networkx_does(
    pairs: list[tuple[int, int]],
) -> None:
    down = {(max(pair), min(pair)) for pair in pairs if pair[0] != pair[1]}
    layers = order("0>a", *(f"{a}>{b}" for a, b in sorted(down)))
    graph = nx.DiGraph([("0", "a"), *((str(a), str(b)) for a, b in down)])
    wanted = set(nx.transitive_reduction(graph).edges)
    assert {(one.later, one.earlier) for one in layers.immediate} == wanted
    closure = nx.transitive_closure_dag(graph)
    for a in graph:
        for b in graph:
            assert layers.later(a, b) == closure.has_edge(a, b)
            if closure.has_edge(a, b):
                steps = len(claims(layers.chain(a, b)))
                assert steps == nx.shortest_path_length(graph, a, b)
    level_of = {thing: k for k, level in enumerate(layers.levels) for thing in level}
    generations = [set(level) for level in nx.topological_generations(graph.reverse())]
    assert [
        {a for a in level_of if level_of[a] == k} for k in range(len(layers.levels))
    ] == (generations)


@settings(max_examples=120, deadline=None)
@given(edges)
def test_contradictory_groups_and_loops_agree_with_networkx(
    pairs: list[tuple[int, int]],
) -> None:
    layers = order("x>y", *(f"{a}>{b}" for a, b in sorted(set(pairs))))
    graph = nx.DiGraph([(str(a), str(b)) for a, b in pairs])
    wanted: dict[frozenset[str], int] = {}
    for group in nx.strongly_connected_components(graph):
        inside = graph.subgraph(group)
        back = [1 + int(nx.shortest_path_length(inside, b, a)) for a, b in inside.edges]
        if back:
            wanted[frozenset(group)] = min(back)
    found = {frozenset(one.things): len(one.loop) for one in layers.contradictions}
    assert found == wanted
    for one in layers.contradictions:
        ends = [(step.later, step.earlier) for step in one.loop if isinstance(step, Before)]
        assert all(a[1] == b[0] for a, b in pairwise([*ends, ends[0]]))


def test_the_same_claims_give_the_same_answer() -> None:
    draw = Random(3)
    texts = [f"{draw.randrange(9)}>{draw.randrange(9)}" for _ in range(14)]
    assert order(*texts) == order(*texts)
