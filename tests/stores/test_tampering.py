"""Whatever is altered in the file of an archive is found, and named where that can be."""

import hashlib
import random
import shutil
import sqlite3
from collections.abc import Callable
from contextlib import closing
from pathlib import Path

import pytest
from small_archive import HOME, Clock, change_of, correct, fold, link, screen, state

from vestige.graph.errors import ArchiveUnusable, LedgerBroken
from vestige.graph.ledger import Entry, seal_of
from vestige.graph.store import Report, SqliteStore


def open_archive(path: Path) -> SqliteStore:
    return SqliteStore(path, change_of=change_of, home_words=HOME, fold=fold, clock=Clock())


@pytest.fixture(scope="module")
def whole(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """An archive of some sixty entries, closed."""
    path = tmp_path_factory.mktemp("whole") / "archive.vestige"
    with open_archive(path) as store:
        screen(store)
        for i in range(16):
            said = [link("about", f"E{1 + i % 3}", source="S1", strength="possible")]
            store.append(
                "conservator",
                [state(f"D{i}", "claim", text=f"crack {i} in varnish", links=said),
                 state(f"T{i}", "note", names=[f"Y.{i}", f"old {i}"])],
                batch=f"day {i}",
            )  # fmt: skip
            if i % 4 == 3:
                store.append("r", [correct(store, f"D{i}", "claim", text="dirt")])
    return path


@pytest.fixture
def copy(whole: Path, tmp_path: Path) -> Path:
    return Path(shutil.copy(whole, tmp_path / "copy.vestige"))


def examined(path: Path) -> Report:
    with open_archive(path) as store:
        return store.verify(deep=True)


def test_the_whole_archive_holds(copy: Path) -> None:
    report = examined(copy)
    assert report.faults == ()
    assert report.entries > 60


def altered(path: Path, *sql: str) -> Report:
    """What is found after somebody who knows SQL was at work."""
    with closing(sqlite3.connect(path, isolation_level=None)) as db:
        triggers = db.execute(
            "SELECT name, sql FROM sqlite_master WHERE type = 'trigger'"
        ).fetchall()
        for name, _ in triggers:
            db.execute(f"DROP TRIGGER {name}")
        for one in sql:
            assert db.execute(one).rowcount != 0
        for _, text in triggers:
            db.execute(text)
    return examined(path)


SWAP = [
    "UPDATE entry SET seq = -1 WHERE seq = 20",
    "UPDATE entry SET seq = 20 WHERE seq = 21",
    "UPDATE entry SET seq = 21 WHERE seq = -1",
]


# Entry 20 states the claim D2, 21 the note T2, 18 the note T1.
@pytest.mark.parametrize(
    ("sql", "seq"),
    [
        (["UPDATE entry SET body = replace(body, 'crack', 'scratch') WHERE seq = 20"], 20),
        (["UPDATE entry SET role = 'registrar' WHERE seq = 20"], 20),
        (["UPDATE entry SET at = at - 1 WHERE seq = 20"], 20),
        (["UPDATE entry SET seal = zeroblob(32) WHERE seq = 20"], 20),
        (["DELETE FROM entry WHERE seq = 20"], 21),
        (SWAP, 20),
        (["UPDATE version SET label = 'original' WHERE seq = 20"], 20),
        (["UPDATE version SET ended = 5 WHERE seq = 20"], 20),
        (["UPDATE version SET kind = 'note' WHERE seq = 20"], 20),
        (["UPDATE edge SET strength = 'certain' WHERE seq = 20"], 20),
        (["UPDATE edge SET ended = 5 WHERE seq = 20"], 20),
        (["UPDATE edge SET dst = src WHERE seq = 20"], 20),
        (["DELETE FROM edge WHERE seq = 20"], 20),
        (["UPDATE number SET folded = 'y.99' WHERE folded = 'y.1'"], 18),
        (["DELETE FROM number WHERE folded = 'old 1'"], 18),
        (["UPDATE tally SET standing = standing + 1 WHERE kind = 'note'"], 0),
        (["DELETE FROM tally WHERE kind = 'note'"], 0),
        (["UPDATE record SET key = 'D99' WHERE key = 'D3'"], 0),
        (["UPDATE batch SET id = 'night 2' WHERE id = 'day 2'"], 0),
        (["UPDATE batch SET last = last + 1 WHERE id = 'day 2'"], 0),
        (["INSERT INTO words (rowid, text) VALUES (21, 'gilding')"], 21),
        (["INSERT INTO words (words, rowid, label, numbers, text)"
          " VALUES ('delete', 21, 'D2', '', 'crack 2 in varnish')"], 0),
        (["DROP INDEX edge_in"], 0),
    ],
)  # fmt: skip
def test_what_is_altered_by_sql_is_found(copy: Path, sql: list[str], seq: int) -> None:
    report = altered(copy, *sql)
    assert report.faults
    if seq:
        assert min(fault.seq for fault in report.faults if fault.seq) == seq


def test_a_dropped_trigger_is_found(copy: Path) -> None:
    with closing(sqlite3.connect(copy)) as db:
        db.execute("DROP TRIGGER entry_is_never_removed")
    (fault,) = examined(copy).faults
    assert "entry_is_never_removed" in fault.what


def test_statistics_of_another_program_are_no_fault(copy: Path) -> None:
    with closing(sqlite3.connect(copy)) as db:
        db.execute("ANALYZE")
    assert examined(copy).holds


def test_what_is_derived_is_put_right_by_a_rebuild(copy: Path) -> None:
    assert altered(copy, "DELETE FROM edge", "UPDATE version SET label = 'x'").faults
    with open_archive(copy) as store:
        store.rebuild()
        assert store.verify(deep=True).holds


def test_a_broken_ledger_is_not_rebuilt(copy: Path) -> None:
    altered(copy, "UPDATE entry SET body = '{}' WHERE seq = 20")
    with open_archive(copy) as store:
        edges = store.edges(["E1"], direction="in")
        with pytest.raises(LedgerBroken, match="entry 20"):
            store.rebuild()
        assert store.edges(["E1"], direction="in") == edges


def test_a_ledger_sealed_anew_to_its_end_needs_an_anchor(copy: Path) -> None:
    with open_archive(copy) as store:
        noted = {store.head().seq: store.head().seal}
        entries = list(store.entries())
    previous, sql = entries[19].seal, []
    for entry in entries[20:]:
        body = entry.body.replace("crack", "stain")
        bare = Entry(entry.seq, entry.batch, entry.at, entry.by, entry.act, body, b"")
        previous = seal_of(previous, bare)
        sql.append(f"UPDATE entry SET body = '{body}', seal = x'{previous.hex()}'"
                   f" WHERE seq = {entry.seq}")  # fmt: skip
    assert any("index of words" in fault.what for fault in altered(copy, *sql).faults)
    with open_archive(copy) as store:
        store.rebuild()
        assert store.verify(deep=True).holds  # the chain alone cannot know
        (fault,) = store.verify(anchors=noted).faults
    assert fault.seq == max(noted)


def contents(path: Path) -> str:
    """Everything that the file says, read without Vestige."""
    digest = hashlib.sha256()
    with closing(sqlite3.connect(path)) as db:
        for table in ("entry", "batch", "record", "version", "number", "edge", "tally"):
            for row in db.execute(f"SELECT * FROM {table} NOT INDEXED ORDER BY 1, 2"):
                digest.update(repr(row).encode())
        for word in ("crack", "varnish", "dirt", "y", "old"):
            found = db.execute("SELECT rowid FROM words WHERE words MATCH ?", (word,))
            digest.update(repr(found.fetchall()).encode())
    return digest.hexdigest()


def test_flipped_bits_are_found(whole: Path, tmp_path: Path) -> None:
    raw, before = whole.read_bytes(), contents(whole)
    chance = random.Random(7)
    kinds = {"refused": 0, "found": 0, "without effect": 0}
    for i in range(300):
        place, bit = chance.randrange(len(raw)), 1 << chance.randrange(8)
        path = tmp_path / f"flipped {i}"
        path.write_bytes(raw[:place] + bytes([raw[place] ^ bit]) + raw[place + 1 :])
        try:
            found = examined(path).faults != ()
        except ArchiveUnusable:
            kinds["refused"] += 1
            continue
        if not found:
            assert contents(path) == before, f"byte {place}, bit {bit}"
        kinds["found" if found else "without effect"] += 1
    assert kinds["found"] > 50, kinds


def test_a_broken_letter_in_the_description_of_a_table_is_told(copy: Path) -> None:
    raw = copy.read_bytes()
    place = raw.index(b"CREATE TABLE batch") + len("CREATE TABL")
    copy.write_bytes(raw[:place] + bytes([raw[place] ^ 128]) + raw[place + 1 :])
    with pytest.raises(ArchiveUnusable, match="damaged"):
        open_archive(copy)


def test_a_read_of_damaged_pages_is_told(copy: Path) -> None:
    raw = bytearray(copy.read_bytes())
    for place in range(4096, len(raw)):
        raw[place] ^= 0x55
    copy.write_bytes(raw)
    wanted: list[Callable[[SqliteStore], object]] = [
        lambda s: s.get(["E1"]),
        lambda s: s.append("r", [state("N")]),
        lambda s: list(s.entries()),
    ]
    with open_archive(copy) as store:
        for ask in wanted:
            with pytest.raises(ArchiveUnusable, match="damaged"):
                ask(store)
        assert not store.verify(deep=True).holds
