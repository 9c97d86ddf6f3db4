"""A state as a networkx graph: every edge once, typed, and nothing that was not said."""

from pathlib import Path

import networkx as nx
import pytest

from vestige.demo import build
from vestige.graph.collection import Collection
from vestige.graph.errors import BadValue, NotRecorded
from vestige.graph.record import Claim, Element, MuseumObject, Source
from vestige.graph.state import Held, State, neighbourhood, to_networkx


def chest() -> State:
    """An invented chest with a lid and a lock, and two claims that say the same."""
    said = {"about": "E", "relation": "lies over", "other": "F", "strength": "strong"}
    return State(
        [
            Held("O", MuseumObject(number="X.1", name="chest"), 2, 1000, "registrar"),
            Held("E", Element(number="X.1.a", object="O", name="lid", sort="part"), 3),
            Held("F", Element(number="X.1.b", object="O", name="lock", sort="part"), 4),
            Held("S", Source(number="R.1", name="report", sort="examination"), 5),
            Held("C", Claim(number="C.1", source="S", **said), 6, 2000, "conservator"),
            Held("D", Claim(number="C.2", source="S", **said), 7, 3000, "conservator"),
        ]
    )


def test_nodes_and_edges_bear_who_said_it_and_when() -> None:
    graph = to_networkx(chest())
    assert graph.nodes["O"] == {
        "kind": "object", "label": graph.nodes["O"]["label"], "held": True,
        "number": "X.1", "seq": 2, "at": 1000, "by": "registrar",
    }  # fmt: skip
    over = [data for _, _, data in graph.out_edges("E", data=True)
            if data["word"] == "lies over"]  # fmt: skip
    assert sorted((one["says"], one["at"], one["source"]) for one in over) == [
        ("C", 2000, "S"), ("D", 3000, "S")]  # fmt: skip
    assert all("earliest" not in one for one in over)  # not recorded is absent


def test_every_edge_of_the_state_is_there_once() -> None:
    state = chest()
    said = sorted(
        (link.src, link.word, link.dst, says)
        for key in state
        for link, says in state.said(key)
    )
    graph = to_networkx(state)
    assert said == sorted(
        (src, data["word"], dst, data["says"]) for src, dst, data in graph.edges(data=True)
    )


def test_some_records_give_the_edges_between_them() -> None:
    graph = to_networkx(chest(), ["O", "E"])
    assert set(graph) == {"O", "E"}
    assert [data["word"] for _, _, data in graph.edges(data=True)] == ["element of"]
    with pytest.raises(NotRecorded):
        to_networkx(chest(), ["Z"])


def test_what_is_only_pointed_at_is_marked_so() -> None:
    lid = Element(number="X.1.a", object="O", name="lid", sort="part")
    graph = to_networkx(State([Held("E", lid)]))
    assert graph.nodes["O"] == {"held": False}


def test_typed_records_come_when_asked_for() -> None:
    graph = to_networkx(chest(), records=True)
    assert isinstance(graph.nodes["E"]["record"], Element)
    assert "record" not in to_networkx(chest()).nodes["E"]


def test_a_neighbourhood_reaches_so_many_steps() -> None:
    state = chest()
    assert set(neighbourhood(state, "O", 0)) == {"O"}
    assert set(neighbourhood(state, "O", 1)) == {"O", "E", "F"}
    assert set(neighbourhood(state, "E", 1, ["lies over"])) == {"E", "F"}
    whole = nx.Graph(to_networkx(state))
    for steps in range(4):
        assert set(neighbourhood(state, "O", steps)) == set(
            nx.ego_graph(whole, "O", radius=steps)
        )
    with pytest.raises(BadValue, match="0 or more"):
        neighbourhood(state, "O", -1)
    with pytest.raises(NotRecorded):
        neighbourhood(state, "Z")


def test_an_object_goes_to_graphml_and_comes_back(tmp_path: Path) -> None:
    with Collection.create(tmp_path / "home") as museum:
        build(museum)
        key = museum.store.of_kind("object")[0].key
        graph = to_networkx(museum.around(key))
    file = tmp_path / "object.graphml"
    nx.write_graphml(graph, file)
    back = nx.read_graphml(file, force_multigraph=True)
    assert set(back) == set(graph)
    assert back.number_of_edges() == graph.number_of_edges() > 0
    assert back.nodes[key]["kind"] == "object"
    assert isinstance(back.nodes[key]["seq"], int)


def test_changing_the_graph_changes_nothing_recorded() -> None:
    state = chest()
    to_networkx(state).remove_node("O")
    assert "O" in state
    assert len(state.pointing("O")) == 2
