"""Pairs of one batch are not independent: a ring of them counts once round."""

import itertools

import networkx as nx
import pytest
from hypothesis import given
from hypothesis import strategies as st

from vestige.graph.reasoning import CaseClaim, likelihood_ratio
from vestige.graph.reasoning.same_batch import batches, repeated_pairs
from vestige.graph.record import Relation

WORDS = ("weak", "moderate", "strong")


def same(
    id_: str, one: str, two: str, strength: str = "moderate", source: str = "S"
) -> CaseClaim:
    return CaseClaim(id_, source, Relation.SAME_STUFF, one, two, strength=strength)


def test_the_pair_that_closes_a_ring_repeats_the_weakest_on_its_way() -> None:
    ring = [same("1", "A", "B", "strong"), same("2", "B", "C"), same("3", "A", "C", "weak")]
    assert repeated_pairs(ring) == {"3": "2"}


def test_a_pair_told_the_other_way_round_repeats_it() -> None:
    assert repeated_pairs([same("1", "A", "B"), same("2", "B", "A")]) == {"2": "1"}


def test_another_source_another_relation_and_a_denial_are_words_of_their_own() -> None:
    pairs = [same("1", "A", "B"), same("2", "B", "C")]
    hand = CaseClaim("3", "S", Relation.SAME_HAND, "A", "C")
    other = same("4", "A", "C", source="T")
    denied = CaseClaim("5", "S", Relation.SAME_STUFF, "A", "C", against=True)
    assert repeated_pairs([*pairs, hand, other, denied]) == {}


@given(
    st.lists(
        st.tuples(st.integers(0, 5), st.integers(0, 5), st.sampled_from(WORDS))
        .filter(lambda one: one[0] != one[1]),
        max_size=14,
    )
)  # fmt: skip
def test_what_counts_is_a_maximum_spanning_forest(
    drawn: list[tuple[int, int, str]],
) -> None:
    # networkx.maximum_spanning_edges (Kruskal): same total weight, same components.
    claims = [
        same(f"{k:02}", f"E{a}", f"E{b}", word) for k, (a, b, word) in enumerate(drawn)
    ]
    repeats = repeated_pairs(claims)
    counted = [claim for claim in claims if claim.id not in repeats]
    graph: nx.MultiGraph[str] = nx.MultiGraph()
    for claim in claims:
        graph.add_edge(
            claim.subject, str(claim.other), weight=likelihood_ratio(claim.strength)
        )
    forest = nx.maximum_spanning_edges(graph, data=True, keys=False)
    total = sum(data["weight"] for _, _, data in forest)
    ours = sum(likelihood_ratio(claim.strength) for claim in counted)
    assert ours == pytest.approx(total)
    assert set(repeats.values()) <= {claim.id for claim in counted}


@given(st.permutations(range(5)))
def test_the_order_of_entry_changes_nothing(order: list[int]) -> None:
    every = [same(f"{a}{b}", a, b) for a, b in itertools.combinations("ABCD", 2)][:5]
    assert repeated_pairs(every[k] for k in order) == repeated_pairs(every)


def test_batches_are_the_connected_things() -> None:
    found = batches("ABCDE", [("A", "B"), ("D", "B"), ("E", "unknown")])
    assert found == {"A": "A", "B": "A", "C": "C", "D": "A", "E": "E"}
