"""A state, or a part of it, as a networkx graph for those who want to analyse it.

What is closed to the reader is closed in the state already and cannot get out here.
"""

from collections.abc import Iterable

import networkx as nx

from ..errors import BadValue, NotRecorded
from .state import State


def to_networkx(
    state: State, keys: Iterable[str] | None = None, *, records: bool = False
) -> "nx.MultiDiGraph[str]":
    """Records as nodes and what they say as edges.

    A node has ``kind``, ``label``, ``number`` (where it bears one), ``by`` (role that
    recorded it), ``at`` (milliseconds since 1970 UTC), ``seq`` (ledger entry) and ``held``
    (True). What is only pointed at, and not in the state, is a node with ``held`` False
    and nothing else. An edge has its word as key and ``word``, ``says`` (key of the record
    that says it), ``at``, ``by`` and ``seq`` of that record, and, where recorded,
    ``earliest`` and ``latest`` (days since 1970-01-01), ``source`` and ``strength``. What
    is not recorded is absent, never 0 or an empty text. All values are texts, whole
    numbers or truth values, so that `networkx.write_graphml` takes the graph.

    Args:
        state: an object's surroundings, a query's result, or a whole collection.
        keys: only these records and the edges between them; None for all.
        records: also give each node its typed record as ``record``.

    Returns:
        A graph of its own; changing it changes nothing that is recorded.

    Raises:
        NotRecorded: where a key is not in the state.

    >>> from vestige.graph.record import Element, MuseumObject
    >>> from vestige.graph.state import Held, State
    >>> chest = MuseumObject(number="X.1", name="chest")
    >>> lid = Element(number="X.1.a", object="O", name="lid", sort="part")
    >>> graph = to_networkx(State([Held("O", chest), Held("E", lid)]))
    >>> graph.nodes["E"]["kind"], list(graph.edges(keys=True))
    ('element', [('E', 'O', 'element of')])
    """
    graph: nx.MultiDiGraph[str] = nx.MultiDiGraph()
    wanted = None if keys is None else dict.fromkeys(keys)
    for key in state if wanted is None else wanted:
        graph.add_node(key, **_node(state, key, records))
    for key in list(graph):
        for link, says in state.said(key):
            if wanted is not None and link.dst not in wanted:
                continue
            if link.dst not in graph:
                graph.add_node(link.dst, held=False)
            said = {
                "earliest": link.earliest, "latest": link.latest,
                "source": link.source, "strength": link.strength,
            }  # fmt: skip
            graph.add_edge(
                link.src, link.dst, _free(graph, link.src, link.dst, link.word),
                word=link.word, says=says, **_recorded(state, says),
                **{name: value for name, value in said.items() if value is not None},
            )  # fmt: skip
    return graph


def neighbourhood(
    state: State, key: str, steps: int = 1, words: Iterable[str] | None = None
) -> "nx.MultiDiGraph[str]":
    """What lies within some steps of a record, either way along the edges.

    Args:
        state: where to look.
        key: the record in the middle.
        steps: how far; 0 gives the record alone.
        words: only along edges of these words; None for all. Between what is reached,
            all edges are given.

    Raises:
        NotRecorded: where the key is not in the state.
        BadValue: where ``steps`` is below 0.
    """
    if steps < 0:
        raise BadValue(f"a neighbourhood of {steps} steps cannot be; write 0 or more")
    whole = to_networkx(state)
    if key not in state:
        raise NotRecorded(f"nothing is recorded under {key}")
    only = None if words is None else set(words)
    ways = [e for e in whole.edges(keys=True) if only is None or _word(whole, e) in only]
    near: nx.Graph[str] = nx.Graph()
    near.add_node(key)
    near.add_edges_from((src, dst) for src, dst, _ in ways)
    reached = nx.single_source_shortest_path_length(near, key, cutoff=steps)
    return nx.MultiDiGraph(whole.subgraph(reached))


def _word(graph: "nx.MultiDiGraph[str]", edge: tuple[str, str, str]) -> object:
    return graph.edges[edge]["word"]


def _node(state: State, key: str, records: bool) -> dict[str, object]:
    record = state.held(key).record
    number = record.own_number()
    return {
        "kind": record.kind, "label": record.label(), "held": True,
        **({"number": number} if number else {}),
        **_recorded(state, key), **({"record": record} if records else {}),
    }  # fmt: skip


def _recorded(state: State, key: str) -> dict[str, object]:
    if key not in state:
        return {}
    one = state.held(key)
    return {"seq": one.seq, "at": one.at, "by": one.by}


def _free(graph: "nx.MultiDiGraph[str]", src: str, dst: str, word: str) -> str:
    """The word as the key of an edge; with a number where others say the same."""
    key, count = word, 1
    while graph.has_edge(src, dst, key):
        count += 1
        key = f"{word} ({count})"
    return key
