"""A server is killed while it is written to: nothing acknowledged lost, nothing doubled."""

import os
import subprocess
import sys
import threading
import time
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest
from conftest import need_neo4j
from graph_server import PASSWORD, USER, GraphServer
from random_batches import new
from small_archive import HOME, change_of, fold, state

from vestige.graph.errors import ArchiveUnusable
from vestige.graph.store.carrying import carry
from vestige.graph.store.neo4j_server import Address
from vestige.graph.store.neo4j_store import Neo4jStore

SETTINGS = {
    "VESTIGE_NEO4J_USER": USER,
    "VESTIGE_NEO4J_PASSWORD": PASSWORD,
    "VESTIGE_NEO4J_PATIENCE": "5",
}
WRITER = Path(__file__).with_name("graph_writing_process.py")


@pytest.fixture(scope="module")
def server(tmp_path_factory: pytest.TempPathFactory) -> Iterator[GraphServer]:
    """A server of this module's own, since it is killed."""
    need_neo4j()
    one = GraphServer(tmp_path_factory.mktemp("server"))
    one.start()
    yield one
    one.stop()


def opened(server: GraphServer, name: str) -> Neo4jStore:
    address = Address.read(f"{server.url}/{name}", SETTINGS)
    return Neo4jStore(address, change_of=change_of, home_words=HOME, fold=fold)


def test_several_may_open_an_empty_server_at_once(server: GraphServer) -> None:
    """Each makes the constraints; those who meet try again."""
    failed: list[BaseException] = []

    def work(name: str) -> None:
        try:
            with opened(server, name) as store:
                store.append("r", [state("A")])
        except BaseException as error:
            failed.append(error)

    threads = [threading.Thread(target=work, args=(f"first{i}",)) for i in range(4)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert failed == []


def test_writers_lose_and_double_nothing_when_the_server_is_killed(
    server: GraphServer,
) -> None:
    env = os.environ | SETTINGS | {"PYTHONPATH": str(WRITER.parent.parent)}
    told: list[str] = []
    with subprocess.Popen(
        [sys.executable, str(WRITER), f"{server.url}/kill"],
        stdout=subprocess.PIPE, stderr=subprocess.PIPE, env=env, text=True,
    ) as writer:  # fmt: skip
        assert writer.stdout is not None
        assert writer.stderr is not None
        out, wrong = writer.stdout, writer.stderr
        errors: list[str] = []
        reading = threading.Thread(target=lambda: told.extend(out))
        hearing = threading.Thread(target=lambda: errors.extend(wrong))
        reading.start()
        hearing.start()
        _until(lambda: len(told) > 10)
        server.kill()
        before = len(told)
        # The store is patient for some seconds before it gives up: the server stays
        # away until the writer has said so, however busy the machine is.
        _until(lambda: any(_gave_up(line) for line in errors))
        server.start()
        _until(lambda: len(told) > before + 5)
        writer.kill()
        reading.join()
        hearing.join()
    with opened(server, "kill") as store:
        entries = {entry.seq: entry for entry in store.entries()}
        for line in told[1:]:
            _, last, seal = line.split()
            assert entries[int(last)].seal.hex() == seal
        keys = [one.body for one in entries.values() if one.act == "open"]
        assert len(keys) == len(set(keys))  # each batch id once
        assert len(entries) == 3 * len(keys)  # none in part
        assert store.verify(deep=True).faults == ()


def test_a_carry_goes_on_when_the_killed_server_is_back(server: GraphServer) -> None:
    with new() as source:
        for i in range(150):
            source.append("r", [state(f"K{i}-{j}") for j in range(5)])
        killed: list[int] = []

        def told(there: int, all_of_it: int) -> None:
            if there > all_of_it // 3 and not killed:
                killed.append(there)
                server.kill()

        store = opened(server, "carried")
        with pytest.raises(ArchiveUnusable, match="no server answers"):
            carry(source, store, piece=60, told=told)
        store.close()
        with pytest.raises(ArchiveUnusable, match="no server answers"):
            opened(server, "carried")
        server.start()
        with opened(server, "carried") as store:
            done = carry(source, store, piece=300)
            assert (done.before, done.head) == (killed[0], source.head())
            assert list(store.entries()) == list(source.entries())
            assert store.verify(deep=True).faults == ()


def test_a_receipt_lost_on_the_way_is_given_again(server: GraphServer) -> None:
    """What a batch id is for: the driver may not learn that a commit went through."""
    with opened(server, "lost") as store:
        first = store.append("r", [state("A")], batch="b")
        again = store.append("r", [state("A")], batch="b")
        assert (again.seal, again.repeated) == (first.seal, True)
        assert sum(1 for _ in store.entries()) == 2


def _gave_up(line: str) -> bool:
    return "no server answers" in line or "not known" in line


def _until(happened: Callable[[], bool], seconds: float = 60) -> None:
    until = time.monotonic() + seconds
    while not happened():
        assert time.monotonic() < until, "it did not happen in time"
        time.sleep(0.1)
