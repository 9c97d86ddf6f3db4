"""What Vestige writes as linked data it reads back: state, times, assessment, graph."""

import itertools
import json

import rdflib
from hypothesis import given, settings
from hypothesis import strategies as st
from random_archive import random_archive
from rdflib.compare import to_canonical_graph

from vestige.demo import build
from vestige.graph.answer.assessment import assess_of
from vestige.graph.collection import Collection
from vestige.graph.ledger import State as Statement
from vestige.graph.ledger import Withdraw
from vestige.graph.record import KINDS, KeyMaker
from vestige.graph.state import PUBLIC, Held, State
from vestige.graph.store import SqliteStore
from vestige.ontology.own_reader import ReadBack, read_back
from vestige.ontology.rdf_file import ENDINGS, FORMATS, ntriples, parsed, serialized
from vestige.ontology.record_writer import Written, write_state
from vestige.ontology.taking_in import take_in
from vestige.ontology.whole_export import Keeper, written_archive

rdflib.NORMALIZE_LITERALS = False  # else rdflib rewrites what it reads


def written_by(collection: Collection) -> list[Written]:
    return list(written_archive(collection, Keeper()))


def read_again(data: bytes, form: str) -> ReadBack:
    return read_back(list(parsed(data, ENDINGS[FORMATS[form]], f"x.{form}")), f"x.{form}")


def empty() -> Collection:
    return Collection(SqliteStore(":memory:"))


def in_order(state: State) -> list[Held]:
    return sorted((state.held(key) for key in state), key=lambda one: one.seq)


def same_state(one: State, other: State) -> bool:
    """Records, their order, who recorded them and when; entry numbers count anew."""
    pairs = [
        [(held.key, held.record, held.at, held.by) for held in in_order(state)]
        for state in (one, other)
    ]
    return pairs[0] == pairs[1]


@settings(max_examples=15)
@given(st.integers(0, 10**6), st.sampled_from(list(FORMATS)))
def test_an_import_of_the_export_is_the_same_archive(seed: int, form: str) -> None:
    first, second = random_archive(seed), empty()
    data = serialized(written_by(first), form)
    back = read_again(data, form)
    assert (back.problems, back.beyond, back.missing) == ((), (), ())
    taken = take_in(second, back.held, "registrar", "x")
    assert (taken.new, taken.first_times) == (len(back.held), True)
    assert same_state(first.whole(reader=Keeper()), second.whole(reader=Keeper()))
    assert serialized(written_by(second), form) == data


@settings(max_examples=4)
@given(st.integers(0, 10**6))
def test_the_graph_of_the_import_is_isomorphic_by_an_outside_library(seed: int) -> None:
    """rdflib.compare: canonical graphs (RGDA1), not our own comparison."""
    first, second = random_archive(seed, rounds=1), empty()
    turtle = serialized(written_by(first), "turtle")
    take_in(second, read_again(turtle, "turtle").held, "registrar", "x")
    before = rdflib.Graph().parse(data=turtle, format="turtle")
    again = rdflib.Graph().parse(data=ntriples(written_by(second)), format="nt")
    assert len(before) > 50
    assert set(to_canonical_graph(before)) == set(to_canonical_graph(again))


@settings(max_examples=8)
@given(st.integers(0, 10**6))
def test_the_four_forms_say_the_same(seed: int) -> None:
    written = list(write_state(random_archive(seed).whole(reader=Keeper())))
    said = {
        form: {
            (str(q.subject), str(q.predicate), str(q.object))
            for q in parsed(serialized(written, form), ENDINGS[FORMATS[form]], form)
        }
        for form in FORMATS
    }
    assert said["turtle"] == said["trig"] == said["nquads"] == said["jsonld"]


def test_every_kind_comes_up_in_the_random_archives() -> None:
    met = {
        held.record.kind
        for seed in range(12)
        for held in in_order(random_archive(seed).whole(reader=Keeper()))
    }
    assert met == set(KINDS)


def test_the_same_archive_gives_the_same_bytes() -> None:
    for form in FORMATS:
        one, other = (serialized(written_by(random_archive(7)), form) for _ in range(2))
        assert one == other


def test_the_demo_museum_comes_back_with_the_same_assessments() -> None:
    first, second = Collection(SqliteStore(":memory:"), keys=KeyMaker(seed=1)), empty()
    build(first)
    data = serialized(written_by(first), "nquads")
    take_in(second, read_again(data, "nquads").held, "registrar", "museum.nq")
    for one in first.store.of_kind("object")[:3]:
        views = [c.around(one.key, reader=Keeper()) for c in (first, second)]
        assert assess_of(views[0], one.key) == assess_of(views[1], one.key)


def test_the_same_file_again_changes_nothing() -> None:
    first, second = random_archive(3), empty()
    held = read_again(serialized(written_by(first), "nquads"), "nquads").held
    take_in(second, held, "registrar", "x")
    head = second.store.head()
    again = take_in(second, held, "registrar", "x")
    assert (again.new, again.same) == (0, len(held))
    assert second.store.head() == head


def a_role(collection: Collection, name: str, replaces: int | None = None) -> None:
    body = {"number": "OC", "name": name}
    statement = Statement("role", "0123456789ABCDEFGHJK", body, replaces, "misread")
    collection.record("registrar", [statement])


def test_what_stands_otherwise_in_the_archive_is_never_overwritten() -> None:
    first, second = empty(), empty()
    a_role(first, "objects conservator")
    a_role(second, "paper conservator")
    held = read_again(serialized(written_by(first), "turtle"), "turtle").held
    taken = take_in(second, held, "registrar", "x.ttl")
    assert taken.new == 0
    assert "stands otherwise" in taken.problems[0].wrong
    assert second.store.head().seq == 2


def test_a_corrected_record_that_names_a_later_one_is_still_brought_over() -> None:
    """It cannot keep its first time, since the record that it names came after it."""
    ticks = itertools.count(1_500_000_000_000)
    first = Collection(SqliteStore(":memory:", clock=lambda: next(ticks)))
    second = empty()
    a_role(first, "old name")
    key, other = first.keys.new(), first.keys.new()
    body: dict[str, object]
    body = {"number": "S1", "name": "report", "sort": "museum record"}
    first.record("r", [Statement("source", key, body)])
    first.record("r", [Statement("source", other, body | {"number": "S2"})])
    seq = first.store.version(other)
    copied = body | {"number": "S2", "copies": [key]}
    first.record("r", [Statement("source", other, copied, seq, "it is a copy")])
    copying = body | {"note": "seen again"}
    first.record("r", [Statement("source", key, copying, first.store.version(key), "seen")])
    held = read_again(serialized(written_by(first), "nquads"), "nquads").held
    taken = take_in(second, held, "registrar", "x")  # without the past
    assert not taken.first_times
    records = [one.record for one in in_order(second.whole())]
    assert records == [one.record for one in in_order(first.whole())]


def test_into_an_archive_that_holds_something_records_go_with_their_first_times() -> None:
    first, second = random_archive(3), empty()
    second.record("registrar", [Statement("role", second.keys.new(), {"number": "Q",
                                          "name": "curator"})])  # fmt: skip
    held = read_again(serialized(written_by(first), "nquads"), "nquads").held
    taken = take_in(second, held, "registrar", "x.nq")
    assert (taken.new, taken.first_times) == (len(held), False)
    opened = [entry for entry in second.store.entries() if entry.act == "open"][-1]
    said = json.loads(opened.body)["origin"]["first_recorded"]
    assert said == {one.key: [one.at, one.by] for one in held}
    assert opened.by == "registrar"


def corrected_archive(seed: int) -> Collection:
    """A random archive in which some records were corrected and one withdrawn."""
    home = random_archive(seed)
    for kind in ("material", "place", "source"):
        for one in home.store.of_kind(kind):
            body = one.body | {"note": f"once: {one.body.get('note', 'nothing')}"}
            home.record("student", [Statement(kind, one.key, body, one.seq, "misread")])
    key = home.keys.new()
    home.record("student", [Statement("role", key, {"number": "Z", "name": "by mistake"})])
    home.record(
        "student", [Withdraw(key, home.store.version(key), "there is no such role")]
    )
    return home


@settings(max_examples=6)
@given(st.integers(0, 10**6), st.sampled_from(list(FORMATS)))
def test_what_no_longer_stands_comes_over_too(seed: int, form: str) -> None:
    first, second = corrected_archive(seed), empty()
    data = serialized(written_by(first), form)
    back = read_again(data, form)
    assert (back.problems, back.beyond, back.missing) == ((), (), ())
    taken = take_in(second, back.held, "registrar", "x", back.past)
    assert taken.past
    assert serialized(written_by(second), form) == data
    for at in {entry.at for entry in first.store.entries()}:
        views = [c.whole(known=at, reader=Keeper()) for c in (first, second)]
        assert same_state(views[0], views[1])


def test_the_past_goes_only_into_an_export_for_the_museum_s_own_keeping() -> None:
    home = corrected_archive(4)
    public = ntriples(list(written_archive(home, PUBLIC)))
    assert "PastAct" not in public
    assert "by mistake" not in public
    assert "by mistake" in ntriples(written_by(home))


def test_an_added_statement_is_handed_back_and_a_missing_one_is_noticed() -> None:
    lines = ntriples(written_by(random_archive(5))).splitlines(keepends=True)
    extra = "<urn:x:a> <urn:x:b> <urn:x:c> .\n"
    gone = next(one for one in lines if "P190_has_symbolic_content" in one)
    data = "".join([*(one for one in lines if one != gone), extra]).encode()
    back = read_back(list(parsed(data, "N_TRIPLES", "x.nt")), "x.nt")
    assert back.beyond == (extra.removesuffix(" .\n"),)
    assert back.missing == (gone.removesuffix(" .\n"),)
