"""The server answers to the letter what the embedded store answers."""

from collections.abc import Iterator
from uuid import uuid4

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from random_batches import Programme, answers, new, programmes, run
from small_archive import HOME, change_of, fold, screen, state

from vestige.graph.store import SqliteStore
from vestige.graph.store.neo4j_store import Neo4jStore


@pytest.fixture
def graph(neo4j_url: str) -> Iterator[Neo4jStore]:
    with at(neo4j_url) as store:
        yield store


def at(url: str) -> Neo4jStore:
    """A new archive on the server."""
    return Neo4jStore(
        f"{url}/t{uuid4().hex}", change_of=change_of, home_words=HOME, fold=fold
    )


@given(programme=programmes)
@settings(max_examples=8)
def test_random_archives_give_the_same_answers_now_and_as_known(
    neo4j_url: str, programme: Programme
) -> None:
    with run(programme) as embedded, at(neo4j_url) as graph:
        graph.take(embedded.entries())
        assert graph.head() == embedded.head()
        times = sorted({entry.at for entry in embedded.entries()})
        for known in (None, *times[-2:]):
            assert list(answers(graph, known)) == list(answers(embedded, known))
        assert graph.since(times[0]) == embedded.since(times[0])
        assert graph.verify(deep=True).faults == ()
        with new() as back:
            back.take(graph.entries())
            assert list(back.entries()) == list(embedded.entries())


letters = st.characters(codec="utf-8")
texts = st.text(letters, max_size=12) | st.sampled_from(
    ["varnish, cracked", "Ébène", "X.12.b", "ﬁligree", "ǅ", "İstanbul", "漆 lacquer", "a_b"]
)


@given(texts=st.lists(texts, min_size=1, max_size=4), asked=texts, begins=st.booleans())
@settings(max_examples=40)
def test_any_words_find_the_same_records(
    graph: Neo4jStore, texts: list[str], asked: str, begins: bool
) -> None:
    with SqliteStore(
        ":memory:", change_of=change_of, home_words=HOME, fold=fold, clock=lambda: 1
    ) as embedded:
        seen = graph.head().seq
        acts = [state(f"N{seen}-{i}", label="", text=text) for i, text in enumerate(texts)]
        graph.append("r", acts)
        embedded.append("r", acts)
        mine = {act.key for act in acts}
        for words in (asked, f"{asked}*" if begins else asked, texts[0]):
            found = [one.key for one in graph.search(words, limit=10**6)]
            due = [one.key for one in embedded.search(words, limit=10**6)]
            assert [key for key in found if key in mine] == due


def test_the_same_batches_give_the_same_seal_in_both(graph: Neo4jStore) -> None:
    times = {"now": 1_700_000_000_000}

    def tick() -> int:
        times["now"] += 1000
        return times["now"]

    with new(tick) as embedded:
        screen(embedded)
        graph.take(embedded.entries(limit=9))  # then the last batch is recorded in each
        assert graph.head() == embedded.head() or graph.head().seq == 9
        graph.take(embedded.entries())
        graph._clock = lambda: times["now"] + 1
        embedded._clock = lambda: times["now"] + 1
        assert graph.append("r", [state("N")]) == embedded.append("r", [state("N")])
        assert graph.head() == embedded.head()
