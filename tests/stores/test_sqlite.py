"""The SQLite store beyond the contract: its plans, its file, its errors."""

import os
import re
import sqlite3
import sys
import tempfile
import tomllib
from collections.abc import Callable, Iterator
from contextlib import closing
from pathlib import Path

import pytest
from small_archive import HOME, Clock, change_of, fold, keys, link, screen, state, withdraw

from vestige.graph import state as state_room
from vestige.graph.errors import ArchiveUnusable, BadValue, Refused
from vestige.graph.ledger import State
from vestige.graph.record import fold_number
from vestige.graph.store import SqliteStore
from vestige.graph.store.archive_file import AGE, APPLICATION
from vestige.graph.store.statement import script, statements

Open = Callable[[], SqliteStore]


def new(path: Path | str) -> SqliteStore:
    return SqliteStore(path, change_of=change_of, home_words=HOME, fold=fold, clock=Clock())


@pytest.fixture
def path(tmp_path: Path) -> Path:
    return tmp_path / "archive.vestige"


@pytest.fixture
def archive(path: Path) -> Iterator[SqliteStore]:
    with new(path) as store:
        screen(store)
        yield store


ASKED = {
    "keys": '["E1", "E2"]', "words": '["part of"]', "home": '["part of"]', "key": "E1",
    "known": 2**63 - 2, "after": 1, "limit": 5, "batch": "b", "folded": "x.1",
    "kind": "element", "depth": 32, "at": 5, "match": '"hinge"', "first": 3, "last": 9,
    "numbers": '["x.1"]', "most": 2,
}  # fmt: skip

# Aliases and names of tables that grow with the archive; a search that is bounded by the
# last known entry alone is a scan in disguise.
_BIG = r"(b|batch|e|entry|g|edge|n|number|r|record|v|version)"
GROWS = re.compile(rf"SCAN {_BIG}\b|SEARCH {_BIG} USING .*\((rowid|seq)<\?\)")
MAY_SCAN = {"head": "SCAN entry", "tally_known": "SCAN v "}  # one row; counts them all


@pytest.mark.parametrize("analysed", [False, True])
@pytest.mark.parametrize(
    ("file", "name"),
    [
        (file, name)
        for file in ("read", "write")
        for name, sql in statements(file).items()
        if "?" not in sql
    ],
)
def test_every_statement_seeks(
    path: Path, archive: SqliteStore, file: str, name: str, analysed: bool
) -> None:
    if analysed:  # by another program, which then let go of the file
        with closing(sqlite3.connect(path)) as other:
            other.execute("ANALYZE")
            other.commit()
            assert other.execute("SELECT count(*) FROM sqlite_stat1").fetchone()[0]
    with new(path) as store:
        sql = "EXPLAIN QUERY PLAN " + statements(file)[name]
        plan = [row[3] for row in store._db.execute(sql, ASKED)]
    assert plan
    for step in plan:
        assert "BLOOM" not in step
        assert "AUTOMATIC" not in step
        if not (name in MAY_SCAN and step.startswith(MAY_SCAN[name])):
            assert not GROWS.match(step) or "VIRTUAL TABLE" in step, plan


def test_a_plan_without_its_index_would_be_noticed(archive: SqliteStore) -> None:
    sql = statements("read")["of_kind"].replace("v.kind = :kind AND", "")
    sql = sql.replace("INDEXED BY version_of_kind", "NOT INDEXED")
    plan = [row[3] for row in archive._db.execute("EXPLAIN QUERY PLAN " + sql, ASKED)]
    assert any(GROWS.match(step) for step in plan)


READS: list[Callable[[SqliteStore], object]] = [
    SqliteStore.head,
    lambda s: s.version("E1"),
    lambda s: s.get(["E1", "E2", "O1"] * 50),
    lambda s: s.named("X.12"),
    lambda s: s.of_kind("element"),
    lambda s: s.latest("element", 3),
    lambda s: s.edges(["E1", "E2", "O1"] * 50, direction="in"),
    lambda s: s.edges(["E1", "E2", "O1"], ["part of", "about"]),
    lambda s: s.walk(["O1", "O2", "M1"], ["part of", "about"], "in"),
    lambda s: s.gather("O1"),
    lambda s: s.history("C1"),
    lambda s: s.since(0),
    lambda s: s.search("hinge panel"),
    SqliteStore.tally,
    lambda s: s.tally(known=0),
]


@pytest.mark.parametrize("read", READS)
def test_every_read_is_one_statement(
    archive: SqliteStore, read: Callable[[SqliteStore], object]
) -> None:
    asked: list[str] = []
    archive._db.set_trace_callback(asked.append)
    read(archive)
    archive._db.set_trace_callback(None)
    assert len([sql for sql in asked if not sql.startswith("--")]) == 1


@pytest.mark.parametrize(
    "sql",
    [
        "UPDATE entry SET role = 'x' WHERE seq = 2",
        "DELETE FROM entry WHERE seq = 12",
        "INSERT INTO entry SELECT 99, batch, at, role, act, body, seal FROM entry LIMIT 1",
        "REPLACE INTO entry SELECT 5, batch, at, role, act, body, seal FROM entry LIMIT 1",
    ],
)
def test_the_ledger_only_grows_at_its_end(archive: SqliteStore, sql: str) -> None:
    with pytest.raises(sqlite3.IntegrityError, match=r"entries are never|entry is added"):
        archive._db.execute(sql)


def test_an_archive_is_found_as_it_was_left(path: Path, archive: SqliteStore) -> None:
    head, found = archive.head(), archive.gather("O1")
    archive.close()
    archive.close()
    with new(path) as again:
        assert (again.head(), again.gather("O1")) == (head, found)
    assert not path.with_name(path.name + "-wal").exists()


def test_a_second_reader_sees_what_was_recorded(path: Path, archive: SqliteStore) -> None:
    with new(path) as other:
        other.append("r", [state("N")])
        assert keys(archive.get(["N"])) == ["N"]


def test_nothing_is_lost_at_a_power_cut(archive: SqliteStore) -> None:
    # SQLite's documentation: in WAL mode only synchronous = FULL (2) is durable.
    assert archive._db.execute("PRAGMA synchronous").fetchone()[0] == 2
    assert archive._db.execute("PRAGMA journal_mode").fetchone()[0] == "wal"


def test_a_backup_is_an_archive(path: Path, archive: SqliteStore, tmp_path: Path) -> None:
    copy = tmp_path / "copy.vestige"
    archive.backup(copy)
    with new(copy) as other:
        assert other.head() == archive.head()
        assert list(other.entries()) == list(archive.entries())
        assert other.verify(deep=True).holds
        other.append("r", [state("N")])
        assert other.take(archive.entries()) == 0
        assert archive.take(other.entries()) == 2


def test_a_backup_to_nowhere_is_told(archive: SqliteStore, tmp_path: Path) -> None:
    with pytest.raises(ArchiveUnusable, match="no folder"):
        archive.backup(tmp_path / "missing" / "copy.vestige")
    with pytest.raises(Refused, match="never overwrites"):
        archive.backup(tmp_path)


# ---- files that are no archive


def _of_another_program(path: Path) -> None:
    with closing(sqlite3.connect(path)) as db:
        db.execute("CREATE TABLE recipe (name)")


def _aged(age: int) -> Callable[[Path], None]:
    def make(path: Path) -> None:
        new(path).close()
        with closing(sqlite3.connect(path)) as db:
            db.execute(f"PRAGMA user_version = {age}")

    return make


def _text(path: Path) -> None:
    path.write_text("Number;Title\n" * 200, encoding="utf-8")


@pytest.mark.parametrize(
    ("make", "text"),
    [
        (_of_another_program, "not an archive"),
        (_text, "not an archive"),
        (_aged(AGE + 1), "newer Vestige"),
        (_aged(AGE - 1), "older Vestige"),
        (Path.mkdir, "is a folder"),
    ],
)
def test_another_file_is_told_and_left_alone(
    path: Path, make: Callable[[Path], None], text: str
) -> None:
    make(path)
    before = path.read_bytes() if path.is_file() else b""
    for lock in path.parent.glob("*.lock"):
        lock.unlink()
    with pytest.raises(ArchiveUnusable, match=text) as unusable:
        new(path)
    assert str(path) in str(unusable.value)
    assert (path.read_bytes() if path.is_file() else b"") == before
    assert [one.name for one in path.parent.iterdir()] == [path.name]


def test_a_missing_folder_is_told(tmp_path: Path) -> None:
    with pytest.raises(ArchiveUnusable, match="no folder"):
        new(tmp_path / "missing" / "archive.vestige")


def test_the_mark_in_the_file_is_that_of_vestige(path: Path, archive: SqliteStore) -> None:
    # The SQLite file format: application id at offset 68, user version at 60, both
    # 4 bytes, big-endian.
    archive.close()
    raw = path.read_bytes()
    assert raw[68:72] == APPLICATION.to_bytes(4, "big") == b"VSTG"
    assert raw[60:64] == AGE.to_bytes(4, "big")


@pytest.mark.skipif(sys.platform == "win32", reason="folders have no such modes there")
def test_a_folder_that_may_not_be_written_is_told() -> None:
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "archive.vestige"
        with new(path) as store:
            screen(store)
        path.chmod(0o644)
        Path(folder).chmod(0o555)
        code = _in_a_child(path)
        Path(folder).chmod(0o755)
    assert re.search("written|read and written", code)
    assert str(path) in code


def _in_a_child(path: Path) -> str:
    """Open an archive as somebody without rights; what is answered."""
    reads, writes = os.pipe()
    child = os.fork()
    if child == 0:
        try:
            if os.getuid() == 0:
                os.setuid(65534)  # the superuser may write everywhere
            new(path)
            os.write(writes, b"opened")
        except ArchiveUnusable as error:
            os.write(writes, str(error).encode())
        finally:
            os._exit(0)
    os.close(writes)
    os.waitpid(child, 0)
    with os.fdopen(reads, "rb") as answer:
        return answer.read().decode()


def test_a_full_disk_is_told_and_nothing_is_half_recorded(
    path: Path, archive: SqliteStore
) -> None:
    head = archive.head()
    pages = archive._db.execute("PRAGMA page_count").fetchone()[0]
    archive._db.execute(f"PRAGMA max_page_count = {pages}")
    with pytest.raises(ArchiveUnusable, match="disk is full"):
        archive.append("r", [state(f"N{i}", text="x" * 500) for i in range(100)])
    assert archive.head() == head
    archive._db.execute("PRAGMA max_page_count = 1000000")
    archive.append("r", [state("N1")])
    assert archive.verify(deep=True).holds


def test_a_file_held_by_another_program_is_told(path: Path, archive: SqliteStore) -> None:
    archive._db.execute("PRAGMA busy_timeout = 20")
    with closing(sqlite3.connect(path, isolation_level=None)) as other:
        other.execute("BEGIN IMMEDIATE")
        with pytest.raises(ArchiveUnusable, match="another program"):
            archive.append("r", [state("N1")])
        other.execute("ROLLBACK")
    archive.append("r", [state("N1")])


def test_the_lock_is_let_go_after_a_refusal(path: Path, archive: SqliteStore) -> None:
    with new(path) as other:
        with pytest.raises(Refused):
            archive.append("r", [state("N", links=[link("about", "Q")])])
        other.append("r", [state("N")])
        archive.append("r", [withdraw(archive, "N")])


def test_by_default_the_records_of_the_trade_are_read() -> None:
    with SqliteStore(":memory:") as store:
        assert store._reading.change_of is state_room.change_of
        assert store._reading.home_words == state_room.HOME_WORDS
        assert store._reading.fold is fold_number


def test_the_records_of_the_trade_are_kept() -> None:
    element = {"number": "INV.1.a", "object": "O", "name": "hinge", "sort": "fixing"}
    claim = {"number": "SV.1", "about": "E", "relation": "lies over", "other": "E2"}
    claim |= {"strength": "moderate", "source": "S", "note": "glue runs under it"}
    with SqliteStore(":memory:") as store:
        acts = [
            State("object", "O", {"number": "INV.1", "name": "invented screen"}),
            State("source", "S", {"number": "R1", "name": "survey", "sort": "examination"}),
            State("element", "E", element),
            State("element", "E2", element | {"number": "INV.1.b", "name": "panel"}),
            State("claim", "C", claim),
        ]
        store.append("conservator", acts)
        assert keys(store.gather("O")) == ["O", "S", "E", "E2", "C"]
        assert keys(store.named("inv.1.A")) == ["E"]
        assert keys(store.search("glue")) == ["C"]
        assert store.verify(deep=True).holds
        with pytest.raises(BadValue, match="E3 is not a readable element"):
            store.append("r", [State("element", "E3", {"number": "INV.1.c"})])
        with pytest.raises(BadValue, match="no record of the kind 'hinge'"):
            store.append("r", [State("hinge", "E3", {})])


def test_the_sql_goes_along_in_the_package() -> None:
    project = tomllib.loads(
        Path(__file__).parents[2].joinpath("pyproject.toml").read_text("utf-8")
    )
    assert "*.sql" in project["tool"]["setuptools"]["package-data"]["*"]
    assert "CREATE TABLE entry" in script("ledger")
