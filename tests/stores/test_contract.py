"""What every store promises of recording. Each test runs on each kind of store."""

import dataclasses
import threading
from collections.abc import Callable
from pathlib import Path

import pytest
from small_archive import (
    Clock,
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


def test_a_warmed_store_answers_as_before(store: Store) -> None:
    screen(store)
    before = store.gather("O1")
    store.warm()
    assert store.gather("O1") == before
