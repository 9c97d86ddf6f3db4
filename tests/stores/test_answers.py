"""What every store answers. Each test runs on each kind of store."""

import dataclasses
import unicodedata
from collections.abc import Callable

import networkx as nx
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from small_archive import (
    HOME,
    change_of,
    correct,
    keys,
    link,
    screen,
    state,
    withdraw,
)

from vestige.graph.errors import BadValue, Refused
from vestige.graph.store import Store

NewStore = Callable[..., Store]


def test_records_come_in_the_order_asked_for(store: Store) -> None:
    screen(store)
    assert keys(store.get(["E2", "nothing", "O1", "E1", "O1"])) == ["E2", "O1", "E1"]


def test_as_known_before_the_correction_the_old_version_stands(store: Store) -> None:
    screen(store)
    old, new = store.history("C1")
    (then,) = store.get(["C1"], known=new.at - 1)
    assert then == dataclasses.replace(old, ended=None)
    assert store.get(["C1"], known=new.at) == store.get(["C1"])
    assert store.get(["C1"], known=old.at - 1) == []
    (edge,) = store.edges(["C1"], known=old.at)
    assert (edge.word, edge.dst, edge.source, edge.strength) == (
        "about", "E2", "S1", "probable")  # fmt: skip
    assert (edge.earliest, edge.latest, edge.record) == (-3653, 0, "C1")


def test_a_record_is_found_by_any_of_its_numbers(store: Store) -> None:
    screen(store)
    before = store.head().at
    assert keys(store.named("  x.12 ")) == keys(store.named("OLD 7")) == ["O1"]
    store.append("r", [correct(store, "O1", "object", names=["X.12"])])
    assert store.named("old 7") == []
    assert keys(store.named("old 7", known=before)) == ["O1"]


def test_records_of_a_kind(store: Store) -> None:
    screen(store)
    assert keys(store.of_kind("element")) == ["E1", "E2", "E3"]
    assert store.of_kind("nothing") == []


def test_those_of_a_kind_that_were_recorded_last(store: Store) -> None:
    screen(store)
    assert store.latest("element", 2) == store.of_kind("element")[-2:]
    assert store.latest("element", 9) == store.of_kind("element")
    before = store.head().at
    store.append("r", [correct(store, "E1", "element", text="again")])
    assert keys(store.latest("element", 1)) == ["E1"]
    assert keys(store.latest("element", 1, before)) == ["E3"]
    assert store.latest("nothing", 3) == []


def test_edges_are_found_by_word_and_direction(store: Store) -> None:
    screen(store)
    assert [(e.src, e.word, e.dst) for e in store.edges(["E2", "E3"])] == [
        ("E2", "part of", "E1"), ("E2", "made of", "M1"),
        ("E3", "part of", "O2"), ("E3", "made of", "M1"),
    ]  # fmt: skip
    assert [e.src for e in store.edges(["M1"], ["made of"], "in")] == ["E2", "E3"]
    assert [e.word for e in store.edges(["E2"], direction="in")] == ["about"]
    assert store.edges(["M1"], ["part of"], "in") == []
    with pytest.raises(BadValue, match="direction"):
        store.edges(["M1"], direction="round")  # type: ignore[arg-type]
    with pytest.raises(TypeError):
        store.edges("M1")


def test_an_edge_between_two_others_names_the_record_that_says_it(store: Store) -> None:
    screen(store)
    store.append("r", [state("R", links=[link("lies over", "E2", src="E1")])])
    (edge,) = store.edges(["E1"], ["lies over"])
    assert (edge.src, edge.dst, edge.record, edge.seq) == (
        "E1", "E2", "R", store.version("R"))  # fmt: skip
    with pytest.raises(Refused, match=r"R \(R\)"):
        store.append("r", [withdraw(store, "C1"), withdraw(store, "E2")])


def test_a_time_of_any_size_may_be_asked_about(store: Store) -> None:
    screen(store)
    for far in (2**63 - 1, 10**30):
        assert store.get(["C1"], known=far) == store.get(["C1"])
        assert store.since(far) == []
        assert store.get(["C1"], known=-far) == []
        assert len(store.since(-far)) == 9


def test_what_gathers_around_an_object(store: Store) -> None:
    screen(store)
    assert set(keys(store.gather("O1"))) == {"O1", "E1", "E2", "C1", "M1", "S1"}
    assert set(keys(store.gather("O2"))) == {"O2", "E3", "M1"}
    assert keys(store.gather("M1")) == ["M1"]


def test_what_happened_since(store: Store) -> None:
    screen(store)
    old, new = store.history("C1")
    assert store.since(new.at) == []
    assert store.since(new.at - 1) == [old, new]  # the old one ended
    store.append("r", [withdraw(store, "E3")])
    assert keys(store.since(new.at)) == ["E3"]


@pytest.mark.parametrize(
    ("words", "found"),
    [
        ("KNOCHENLEIM", ["M1"]),
        ("fruh knochenleim", ["M1"]),
        ("knochenleim, absent", []),
        ("knoch", []),
        ("knoch*", ["M1"]),
        ("screw holes", ["C1"]),
        ("original", []),
        ("X.12.b", ["E2"]),
        ("", []),
        (" — ", []),
        ('"holes" OR NOT', []),
        ("label: (holes", []),
    ],
)
def test_search(store: Store, words: str, found: list[str]) -> None:
    screen(store)
    assert keys(store.search(words)) == found


def test_search_as_known_earlier_and_by_kind(store: Store) -> None:
    screen(store)
    old, _ = store.history("C1")
    assert [one.seq for one in store.search("EBENE", known=old.at)] == [old.seq]
    assert store.search("ebene") == []
    assert keys(store.search("x")) == ["E2", "O2", "O1"]  # the last recorded first
    assert keys(store.search("x", kind="object", limit=1)) == ["O2"]


@given(words=st.text(max_size=20))
@settings(max_examples=60)
def test_every_text_is_found_by_itself(store: Store, words: str) -> None:
    key = f"N{store.head().seq}"
    store.append("r", [state(key, label="", text=words)])
    found = keys(store.search(words, limit=1))
    letters = [one for one in words if unicodedata.category(one)[0] in "LN"]
    assert found == ([key] if letters else []) or not letters


def test_the_tally_counts_what_stands(store: Store) -> None:
    screen(store)
    assert store.tally() == {
        "claim": 1, "element": 3, "material": 1, "object": 2, "source": 1,
    }  # fmt: skip
    assert store.tally(known=store.history("O1")[0].at - 1) == {}


def test_thousands_of_keys_in_one_question(store: Store) -> None:
    many = [f"K{i}" for i in range(3000)]
    store.append("r", [state(key) for key in many])
    assert keys(store.get(many)) == many
    assert store.edges(many) == []


@st.composite
def graphs(draw: st.DrawFn) -> "nx.MultiDiGraph[str]":
    """Up to eight records with edges of three words; some belong."""
    size = draw(st.integers(1, 8))
    node = st.integers(0, size - 1).map(lambda i: f"K{i}")
    graph: nx.MultiDiGraph[str] = nx.MultiDiGraph()
    graph.add_nodes_from(f"K{i}" for i in range(size))
    words = st.sampled_from(["part of", "about", "made of"])
    for src, word, dst in draw(st.lists(st.tuples(node, words, node), max_size=14)):
        graph.add_edge(src, dst, key=word)
    return graph


def told(store: Store, graph: "nx.MultiDiGraph[str]") -> None:
    acts = []
    for node in graph:
        out = graph.out_edges(node, keys=True)
        acts.append(state(node, links=[link(word, dst) for _, dst, word in out]))
    store.append("r", acts)


def only(graph: "nx.MultiDiGraph[str]", words: set[str]) -> "nx.MultiDiGraph[str]":
    """The graph with the edges of these words only."""
    kept: nx.MultiDiGraph[str] = nx.MultiDiGraph()
    kept.add_nodes_from(graph)
    kept.add_edges_from(edge for edge in graph.edges(keys=True) if edge[2] in words)
    return kept


@given(graph=graphs(), words=st.sets(st.sampled_from(["part of", "about"]), min_size=1))
@settings(max_examples=25)
def test_a_walk_meets_what_networkx_reaches(
    new_store: NewStore, graph: "nx.MultiDiGraph[str]", words: set[str]
) -> None:
    store = new_store()
    told(store, graph)
    kept = only(graph, words)
    near = nx.descendants(kept, "K0") | {"K0"}
    assert {(e.src, e.dst, e.word) for e in store.walk(["K0"], sorted(words))} == set(
        kept.out_edges(near, keys=True)
    )
    far = nx.ancestors(kept, "K0") | {"K0"}
    back = store.walk(["K0"], sorted(words), "in")
    assert {(e.src, e.dst, e.word) for e in back} == set(kept.in_edges(far, keys=True))
    assert len(back) == len(set(back))
    steps = nx.single_source_shortest_path_length(kept, "K0", cutoff=1)
    assert {(e.src, e.dst, e.word) for e in store.walk(["K0"], sorted(words), depth=2)} == (
        set(kept.out_edges(steps, keys=True))
    )


@given(graph=graphs())
@settings(max_examples=25)
def test_gathering_is_inward_over_belonging_then_outward(
    new_store: NewStore, graph: "nx.MultiDiGraph[str]"
) -> None:
    store = new_store()
    told(store, graph)
    belonging = nx.ancestors(only(graph, set(HOME)), "K0") | {"K0"}
    reached = belonging.union(*(nx.descendants(graph, node) for node in belonging))
    assert set(keys(store.gather("K0"))) == reached


def test_the_reading_of_these_tests_reads_links() -> None:
    (said,) = change_of("thing", "A", {"links": [link("about", "B")]}).links
    assert (said.src, said.word, said.dst) == ("A", "about", "B")
