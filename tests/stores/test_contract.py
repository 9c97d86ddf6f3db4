"""What every store promises. Each test runs on each kind of store."""

import dataclasses
import threading
import unicodedata
from collections.abc import Callable
from pathlib import Path

import networkx as nx
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from small_archive import (
    HOME,
    Clock,
    change_of,
    correct,
    keys,
    link,
    screen,
    state,
    withdraw,
)

from vestige.graph.errors import BadValue, Conflict, LedgerBroken, Refused
from vestige.graph.ledger import Head, State, seal_of
from vestige.graph.store import Receipt, Store

NewStore = Callable[..., Store]


def test_it_is_a_store(store: Store) -> None:
    assert isinstance(store, Store)


def test_an_empty_store_answers(store: Store) -> None:
    assert store.head() == Head()
    assert list(store.entries()) == []
    assert (store.get(["O1"]), store.version("O1"), store.tally()) == ([], 0, {})
    assert (store.gather("O1"), store.search("glue"), store.since(0)) == ([], [], [])
    assert store.verify(deep=True).holds


def test_a_receipt_names_the_end_of_the_ledger(store: Store) -> None:
    receipt = store.append("registrar", [state("O1"), state("O2")])
    entries = list(store.entries())
    assert [entry.act for entry in entries] == ["open", "state", "state"]
    last = entries[-1]
    assert receipt == Receipt(1, 1, 3, last.at, last.seal, False)
    assert store.head() == Head(3, last.seal, last.at)


def test_entries_are_read_in_pieces(store: Store) -> None:
    screen(store)
    entries = list(store.entries())
    assert list(store.entries(after=4)) == entries[4:]
    assert list(store.entries(after=4, limit=3)) == entries[4:7]
    assert list(store.entries(limit=0)) == []


def test_the_same_batches_give_the_same_seal(new_store: NewStore) -> None:
    one, other = new_store(), new_store()
    screen(one)
    screen(other)
    assert one.head() == other.head()
    assert list(one.entries()) == list(other.entries())


def test_records_come_in_the_order_asked_for(store: Store) -> None:
    screen(store)
    assert keys(store.get(["E2", "nothing", "O1", "E1", "O1"])) == ["E2", "O1", "E1"]


def test_a_version_tells_who_when_and_what(store: Store) -> None:
    screen(store)
    (claim,) = store.get(["C1"])
    assert (claim.kind, claim.label, claim.by) == ("claim", "replacement", "conservator")
    assert claim.body["text"] == "screw holes of 1950"
    assert (claim.seq, claim.batch, claim.replaces) == (12, 11, 10)
    assert (claim.reason, claim.ended) == ("the holes are later", None)
    assert store.version("C1") == 12


def test_a_correction_keeps_the_old_version(store: Store) -> None:
    screen(store)
    old, new = store.history("C1")
    assert (old.label, new.label) == ("original", "replacement")
    assert (old.ended, new.ended) == (new.at, None)
    assert [edge.strength for edge in store.edges(["C1"])] == [None]


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


def test_a_withdrawn_record_no_longer_stands_and_is_not_lost(store: Store) -> None:
    screen(store)
    before = store.head().at
    store.append("conservator", [withdraw(store, "C1")])
    assert (store.get(["C1"]), store.version("C1")) == ([], 0)
    assert keys(store.get(["C1"], known=before)) == ["C1"]
    assert [one.ended for one in store.history("C1")][-1] == store.head().at
    assert "claim" not in store.tally()


def test_a_withdrawn_record_may_be_stated_again(store: Store) -> None:
    store.append("r", [state("N", label="a")])
    store.append("r", [withdraw(store, "N")])
    store.append("r", [state("N", label="b")])
    assert [one.label for one in store.history("N")] == ["a", "b"]
    assert [one.label for one in store.get(["N"])] == ["b"]


def test_a_version_that_moved_on_is_a_conflict(store: Store) -> None:
    screen(store)
    stale = correct(store, "C1", "claim", label="mine")
    store.append("conservator", [correct(store, "C1", "claim", label="theirs")])
    head = store.head()
    with pytest.raises(Conflict) as conflict:
        store.append("conservator", [stale])
    assert (conflict.value.key, conflict.value.wanted) == ("C1", 12)
    assert conflict.value.found == store.version("C1")
    assert store.head() == head


def test_stating_anew_what_stands_is_a_conflict(store: Store) -> None:
    screen(store)
    with pytest.raises(Conflict):
        store.append("registrar", [state("O1", "object")])


def test_withdrawing_what_does_not_stand_is_a_conflict(store: Store) -> None:
    with pytest.raises(Conflict):
        store.append("registrar", [withdraw(store, "O1")])


def test_a_batch_based_on_an_older_view_is_a_conflict(store: Store) -> None:
    screen(store)
    seen = {"C1": store.version("C1"), "C9": 0}
    store.append("a", [state("N1")], based_on=seen)
    store.append("b", [state("C9", "claim")])
    with pytest.raises(Conflict, match="C9") as conflict:
        store.append("a", [state("N2")], based_on=seen)
    assert (conflict.value.wanted, conflict.value.found) == (0, store.version("C9"))
    assert store.get(["N2"]) == []


def test_a_batch_is_recorded_whole_or_not_at_all(store: Store) -> None:
    screen(store)
    head, tally = store.head(), store.tally()
    with pytest.raises(Refused, match="Q9") as refused:
        store.append("r", [state("N1"), state("N2", links=[link("about", "Q9")])])
    assert "N2" in str(refused.value)
    assert (store.head(), store.tally(), store.get(["N1"])) == (head, tally, [])
    assert store.verify(deep=True).holds


@pytest.mark.parametrize(
    "bad",
    [
        link("about", "Q9"),
        link("lies over", "O1", src="Q9"),
        link("about", "O1", source="Q9"),
        link("about", "gone"),
    ],
)
def test_no_edge_ends_at_nothing(store: Store, bad: dict[str, object]) -> None:
    store.append("r", [state("O1"), state("gone")])
    store.append("r", [withdraw(store, "gone")])
    with pytest.raises(Refused, match="nothing is recorded under"):
        store.append("r", [state("N", links=[bad])])
    with pytest.raises(Refused, match="nothing is recorded under"):
        store.append("r", [correct(store, "O1", links=[bad])])


def test_records_of_one_batch_may_point_at_each_other(store: Store) -> None:
    store.append("r", [state("A", links=[link("joins", "B")]),
                       state("B", links=[link("joins", "A")])])  # fmt: skip
    assert keys(store.gather("A")) == ["A", "B"]


def test_what_others_point_at_is_not_withdrawn(store: Store) -> None:
    screen(store)
    with pytest.raises(Refused, match=r"M1 .*E2 \(hinge\), E3 \(foot\)"):
        store.append("r", [withdraw(store, "M1")])
    with pytest.raises(Refused, match="S1"):  # named as a source only
        store.append("r", [withdraw(store, "S1")])


def test_up_to_five_of_those_that_point_are_named(store: Store) -> None:
    store.append("r", [state("M")])
    for many, tail in ((5, "N4"), (6, "others")):
        acts = [state(f"N{i}", links=[link("made of", "M")]) for i in range(many)]
        store.append("r", [act for act in acts if not store.version(act.key)])
        with pytest.raises(Refused) as refused:
            store.append("r", [withdraw(store, "M")])
        text = str(refused.value)
        assert tail in text
        assert ("N5" in text, "others" in text) == (False, many == 6)


def test_what_points_may_go_in_the_same_batch(store: Store) -> None:
    screen(store)
    store.append("r", [withdraw(store, "M1"), withdraw(store, "E3"),
                       correct(store, "E2", "element", links=[link("part of", "E1")]),
                       ])  # fmt: skip
    assert store.get(["M1"]) == []
    assert store.verify(deep=True).holds


def test_a_record_that_points_at_itself_may_be_withdrawn(store: Store) -> None:
    store.append("r", [state("A", links=[link("joins", "A")])])
    store.append("r", [withdraw(store, "A")])
    assert store.tally() == {}


def test_two_records_do_not_bear_one_number(store: Store) -> None:
    screen(store)
    with pytest.raises(Refused, match=r"x\.12 .*O1 \(folding screen\) and N \(N\)"):
        store.append("r", [state("N", names=[" x.12"])])
    with pytest.raises(Refused, match="number"):
        store.append("r", [state("N1", names=["Y"]), state("N2", names=["y"])])
    store.append("r", [state("N", names=["Y.1", "X.12"])])  # it bore that one once
    assert keys(store.named("X.12")) == ["O1", "N"]


def test_a_number_is_free_again_after_a_correction_or_a_withdrawal(store: Store) -> None:
    screen(store)
    store.append("r", [correct(store, "O1", "object", names=["X.99", "X.12"]),
                       correct(store, "O2", "object", names=["X.12"]),
                       state("N", names=["X.13"])])  # fmt: skip
    assert keys(store.named("X.12")) == ["O2", "O1"]
    store.append("r", [withdraw(store, "N")])
    store.append("r", [state("N2", names=["X.13"])])
    assert keys(store.named("X.13")) == ["N2"]


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


def test_a_repeated_batch_id_writes_nothing(store: Store) -> None:
    first = store.append("r", [state("A"), state("B")], batch="upload 7")
    store.append("r", [state("C")])
    head = store.head()
    again = store.append("r", [state("A"), state("B")], batch="upload 7")
    assert again == dataclasses.replace(first, repeated=True)
    assert store.head() == head


def test_a_batch_tells_where_it_came_from(store: Store) -> None:
    origin = {"file": "survey.xlsx", "checksum": "ab12"}
    store.append("r", [state("A")], batch="b", origin=origin, based_on={"Z": 0})
    assert next(store.entries()).body == (
        '{"based_on":{"Z":0},"batch":"b","origin":{"checksum":"ab12","file":"survey.xlsx"}}'
    )


@pytest.mark.parametrize(
    ("acts", "text"),
    [
        ([], "empty"),
        ([state("A"), state("A")], "two acts for A"),
        ([state("A\u030a"), state("\u00c5")], "two acts"),
        ([state("A", text="x" * 1_000_000)], "1,000,000 bytes"),
        ([state("A", "unreadable")], "A is not a readable unreadable"),
        ([state("A", size=float("nan"))], "nan"),
        (["delete"], "no act"),
    ],
)
def test_what_cannot_be_recorded_is_refused(
    store: Store, acts: list[State], text: str
) -> None:
    with pytest.raises((Refused, BadValue), match=text):
        store.append("r", acts)
    assert store.head() == Head()


def test_a_key_written_in_two_ways_is_one(store: Store) -> None:
    store.append("r", [state("A\u030a")])
    assert store.version("\u00c5") == 2
    assert keys(store.get(["A\u030a"])) == keys(store.gather("A\u030a")) == ["\u00c5"]


def test_a_clock_set_back_does_not_turn_record_time_back(new_store: NewStore) -> None:
    clock = Clock(step=-5000)
    store = new_store(clock)
    first = store.append("r", [state("A")])
    assert store.append("r", [state("B")]).at == first.at
    assert keys(store.get(["A", "B"], known=first.at)) == ["A", "B"]


def test_another_store_takes_the_ledger_to_the_letter(new_store: NewStore) -> None:
    source, target = new_store(), new_store()
    screen(source)
    assert target.take(source.entries(limit=6)) == 6  # in the midst of a batch
    assert target.take(source.entries()) == 6
    assert target.take(source.entries()) == 0
    assert list(target.entries()) == list(source.entries())
    assert target.gather("O1") == source.gather("O1")
    assert target.tally() == source.tally()
    assert target.verify(deep=True).holds


def test_a_taken_batch_is_known_by_its_id(new_store: NewStore) -> None:
    source, target = new_store(), new_store()
    first = source.append("r", [state("A"), state("B")], batch="b")
    target.take(source.entries(limit=2))
    target.take(source.entries())
    again = target.append("r", [state("A"), state("B")], batch="b")
    assert again == dataclasses.replace(first, repeated=True)


def test_a_broken_ledger_is_not_taken(new_store: NewStore) -> None:
    source, target = new_store(), new_store()
    screen(source)
    entries = list(source.entries())
    entries[4] = dataclasses.replace(entries[4], body=entries[4].body.replace("p", "b"))
    with pytest.raises(LedgerBroken) as broken:
        target.take(entries)
    assert broken.value.number == 5
    assert target.head() == Head()
    assert target.verify(deep=True).holds


def test_another_ledger_is_not_taken(new_store: NewStore) -> None:
    one, other = new_store(), new_store()
    one.append("r", [state("A")])
    other.append("r", [state("B")])
    with pytest.raises(LedgerBroken, match="entry 2 differs"):
        one.take(other.entries())
    far = dataclasses.replace(next(one.entries()), seq=9)
    with pytest.raises(LedgerBroken, match="entry 3"):
        one.take([far])


def test_a_ledger_that_does_not_add_up_is_not_taken(new_store: NewStore) -> None:
    source, target = new_store(), new_store()
    source.append("r", [state("A")])
    source.append("r", [state("B")])
    entries = list(source.entries())
    again = dataclasses.replace(entries[3], body=entries[1].body)  # A a second time
    entries[3] = dataclasses.replace(again, seal=seal_of(entries[2].seal, again))
    with pytest.raises(LedgerBroken, match="entry 4 does not fit"):
        target.take(entries)
    assert target.head() == Head()


def test_anchors_are_compared(store: Store) -> None:
    screen(store)
    entries = list(store.entries())
    good = {entry.seq: entry.seal for entry in entries}
    assert store.verify(anchors=good).holds
    report = store.verify(anchors={3: bytes(32), 99: bytes(32)})
    assert [fault.seq for fault in report.faults] == [3, 99]
    assert report.head == store.head()
    assert report.entries == len(entries)


def test_a_rebuild_changes_no_answer(store: Store) -> None:
    screen(store)
    before = [store.gather("O1"), store.search("x"), store.since(0), store.edges(["E2"])]
    assert store.rebuild() == store.head().seq
    after = [store.gather("O1"), store.search("x"), store.since(0), store.edges(["E2"])]
    assert after == before
    assert store.verify(deep=True).holds


def test_a_backup_is_the_archive(store: Store, new_store: NewStore, tmp_path: Path) -> None:
    screen(store)
    path = tmp_path / "copy.vestige"
    store.backup(path)
    with pytest.raises(Refused, match="never overwrites"):
        store.backup(path)
    assert sorted(one.name for one in tmp_path.glob("*.part")) == []
    assert store.append("r", [state("N")]).seal == store.head().seal  # it goes on


def test_threads_share_a_store(store: Store) -> None:
    screen(store)
    failed: list[BaseException] = []

    def work(name: int) -> None:
        try:
            for i in range(12):
                store.append(f"role {name}", [state(f"T{name}-{i}", "turn")])
                assert keys(store.get([f"T{name}-{i}"])) == [f"T{name}-{i}"]
        except BaseException as error:
            failed.append(error)

    threads = [threading.Thread(target=work, args=(name,)) for name in range(4)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert not failed
    assert store.tally()["turn"] == 48
    assert store.verify(deep=True).holds


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
