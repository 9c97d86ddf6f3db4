"""A server of its own, ill-treated: killed while it is written to, its disk full, its
files written by the importer, asked under a certificate of the house. Nothing that was
acknowledged is lost, nothing is doubled.
"""

import dataclasses
import os
import shlex
import subprocess
import sys
import threading
import time
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest
from conftest import need_neo4j
from graph_server import PASSWORD, USER, GraphServer
from house_certificate import make_certificate
from random_batches import new
from small_archive import (
    HOME,
    Clock,
    change_of,
    correct,
    fold,
    link,
    screen,
    state,
    withdraw,
)
from small_disk import filled, need_small_disk, small_disk

from vestige.graph.errors import ArchiveUnusable, BadValue, Refused
from vestige.graph.store import Receipt, SqliteStore, neo4j_tables
from vestige.graph.store.carrying import carry
from vestige.graph.store.neo4j_server import Address
from vestige.graph.store.neo4j_store import Neo4jStore
from vestige.graph.store.neo4j_tables import Tables, write_tables

SETTINGS = {
    "VESTIGE_NEO4J_USER": USER,
    "VESTIGE_NEO4J_PASSWORD": PASSWORD,
    "VESTIGE_NEO4J_PATIENCE": "5",
}
WRITER = Path(__file__).with_name("graph_writing_process.py")


TLS = """server.bolt.tls_level=OPTIONAL
dbms.ssl.policy.bolt.enabled=true
dbms.ssl.policy.bolt.base_directory={folder}
dbms.ssl.policy.bolt.client_auth=NONE
"""


@pytest.fixture(scope="module")
def imported() -> Iterator[SqliteStore]:
    """An archive with all that a ledger may hold, over several lots."""
    with new(Clock()) as source:
        screen(source)
        links = [link("part of", "A0", source="A1"), link("made of", "A1", src="A0")]
        source.append("r", [state("A0"), state("A1")], batch='the "first", \nof two')
        source.append("r", [state("A2", links=links, text="Ébène, fêlé", names=["X.1"])])
        source.append("r", [correct(source, "A2", links=links[:1], text='a "b"\n, c')])
        source.append("r", [withdraw(source, "A2")])
        source.append("r", [state("A2", kind="other", names=["X.1"])], batch="last")
        yield source


@pytest.fixture(scope="module")
def tables(imported: SqliteStore, tmp_path_factory: pytest.TempPathFactory) -> Tables:
    folder = tmp_path_factory.mktemp("tables") / "of it"
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(neo4j_tables, "_LOT", 4)
        return write_tables(imported, folder, "imported", imported._reading)


@pytest.fixture(scope="module")
def certificate(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return make_certificate(tmp_path_factory.mktemp("certificate"))


@pytest.fixture(scope="module")
def server(
    tmp_path_factory: pytest.TempPathFactory, tables: Tables, certificate: Path
) -> Iterator[GraphServer]:
    """A server of this module's own, on a small disk of its own."""
    need_neo4j()
    with small_disk(tmp_path_factory.mktemp("disk"), 400) as disk:
        one = GraphServer(disk / "home", settings=TLS.format(folder=certificate.parent))
        one.admin(*shlex.split(tables.command())[1:])
        one.start()
        yield one
        one.stop()


def test_the_importer_makes_what_a_carry_would(
    server: GraphServer, imported: SqliteStore
) -> None:
    with opened(server, "imported") as store:
        assert store.verify(deep=True) == dataclasses.replace(imported.verify(), deep=True)
        assert carry(imported, store).new == 0
        assert store.gather("O1") == imported.gather("O1")
        assert store.history("A2") == imported.history("A2")
        assert store.append("r", [state("A0")], batch="last").repeated
        store.append("r", [correct(store, "A0", text="and it goes on")])
        assert store.verify(deep=True).holds


def test_tables_are_not_written_over_others(imported: SqliteStore, tables: Tables) -> None:
    with pytest.raises(Refused, match="is not empty"):
        write_tables(imported, tables.folder, "imported", imported._reading)


def test_tls_under_a_certificate_of_the_house(
    server: GraphServer, certificate: Path, tmp_path: Path
) -> None:
    """Trusted: it answers; under another certificate, or the system's, it is refused."""
    url = f"{server.url.replace('bolt:', 'bolt+s:')}/tls"
    trusting = SETTINGS | {"VESTIGE_NEO4J_CERTIFICATE": str(certificate)}
    for scheme in ("bolt+s", "neo4j+s"):
        secure = Address.read(url.replace("bolt+s", scheme), trusting)
        with Neo4jStore(secure, change_of=change_of, home_words=HOME) as store:
            store.append("r", [state(f"A {scheme}")])
            assert store.verify().holds
    other = {"VESTIGE_NEO4J_CERTIFICATE": str(make_certificate(tmp_path))}
    for settings in (SETTINGS | other, SETTINGS):
        with pytest.raises(ArchiveUnusable, match="check address and TLS"):
            Neo4jStore(Address.read(url, settings))
    lacking = SETTINGS | {"VESTIGE_NEO4J_CERTIFICATE": str(tmp_path / "none.crt")}
    with pytest.raises(BadValue, match=r"CERTIFICATE names .*none\.crt, which cannot"):
        Neo4jStore(Address.read(url, lacking))


def test_a_full_disk_is_told_and_loses_nothing(server: GraphServer) -> None:
    """When there is room again the server is started anew, and goes on."""
    need_small_disk(server.folder.parent)
    kept: list[Receipt] = []

    def until_full(store: Neo4jStore) -> None:
        for i in range(200):
            kept.append(store.append("r", [state(f"K{i}", text="x" * 100_000)]))

    with opened(server, "full") as store:
        kept.append(store.append("r", [state("A")]))
        with filled(server.folder.parent), pytest.raises(ArchiveUnusable) as told:
            until_full(store)
    assert "disk is full" in str(told.value)
    server.stop()
    server.start()
    with opened(server, "full") as store:
        sealed = {entry.seq: entry.seal for entry in store.entries()}
        assert all(sealed[one.last] == one.seal for one in kept)
        store.append("r", [state("B")])
        assert store.verify(deep=True).holds


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
