"""A ledger is carried to the letter, from where it stopped, and into nothing foreign."""

import dataclasses
import itertools
from collections.abc import Callable, Iterable, Iterator
from pathlib import Path
from uuid import uuid4

import pytest
from click.testing import CliRunner
from random_batches import new
from small_archive import correct, screen, state

from vestige.demo import build
from vestige.graph.collection import Collection
from vestige.graph.errors import ArchiveUnusable, LedgerBroken, Refused
from vestige.graph.ledger import Entry
from vestige.graph.record import MuseumObject
from vestige.graph.store import SqliteStore, Store, is_address
from vestige.graph.store.carrying import carry
from vestige.ui.command.asking import NO_ACCESS, PROBLEMS
from vestige.ui.command.main import cli
from vestige.ui.gate.account import Accounts

NewStore = Callable[..., Store]


def test_a_carried_archive_ends_and_answers_alike(new_store: NewStore) -> None:
    source, there = new_store(), new_store()
    screen(source)
    done = carry(source, there, piece=5)
    assert (done.new, done.before, done.head) == (12, 0, source.head())
    assert list(there.entries()) == list(source.entries())
    assert there.gather("O1") == source.gather("O1")
    assert there.verify(deep=True).holds
    assert carry(source, there).new == 0


def test_and_back_again_with_what_came_since(new_store: NewStore) -> None:
    with new() as home:
        there = new_store()
        screen(home)
        carry(home, there)
        there.append("r", [correct(there, "O1", "object", label="screen")])
        assert carry(there, home).new == 2
        assert home.head() == there.head()
        assert home.history("O1") == there.history("O1")


class Stopping(SqliteStore):
    """A store that fails in the midst of a carry."""

    def take(self, entries: Iterable[Entry]) -> int:
        if self.head().seq >= 6:
            raise ArchiveUnusable("the disk is full")
        return super().take(entries)


def test_a_stopped_carry_goes_on_where_it_stopped(tmp_path: Path) -> None:
    with new() as source:
        screen(source)
        file = tmp_path / "there"
        reads = source._reading.change_of
        with Stopping(file, change_of=reads) as there, pytest.raises(ArchiveUnusable):
            carry(source, there, piece=3)
        with SqliteStore(file, change_of=reads) as there:
            done = carry(source, there, piece=3)
            assert (done.before, done.new) == (6, 6)
            assert list(there.entries()) == list(source.entries())


def test_another_archive_is_left_as_it_is(new_store: NewStore) -> None:
    one, other = new_store(), new_store()
    one.append("r", [state("A")])
    other.append("r", [state("B")])
    head = other.head()
    with pytest.raises(Refused, match=r"different archives, or .* alike: entry 2"):
        carry(one, other)
    other.append("r", [state("C")])
    with pytest.raises(Refused, match="other way round"):
        carry(one, other)
    assert other.get(["A"]) == []
    assert other.entries(0, head.seq) is not None
    assert other.verify(deep=True).holds


def test_a_damaged_ledger_is_not_carried_past_the_damage() -> None:
    class Damaged(SqliteStore):
        def entries(self, after: int = 0, limit: int | None = None) -> Iterator[Entry]:
            for entry in super().entries(after, limit):
                wrong = entry.seq == 8
                yield dataclasses.replace(entry, body="{}") if wrong else entry

    with new() as plain, new() as there:
        screen(plain)
        with Damaged(":memory:", change_of=plain._reading.change_of) as source:
            source.take(plain.entries())
            with pytest.raises(LedgerBroken) as broken:
                carry(source, there, piece=3)
        assert broken.value.number == 8
        assert there.head().seq == 6


@pytest.mark.parametrize(
    ("place", "server"),
    [
        ("neo4j://here/x", True),
        ("neo4j+s://here/x", True),
        ("bolt+ssc:/here", True),
        ("bolt:\\here\\x", True),
        ("bolt", False),
        ("C:\\neo4j", False),
        ("http://here", False),
    ],
)
def test_an_address_is_told_from_a_folder(place: str, server: bool) -> None:
    assert is_address(place) == server


def test_the_demonstration_goes_to_a_server_and_back(
    neo4j_url: str, tmp_path: Path
) -> None:
    home, back = tmp_path / "home", tmp_path / "back"
    with Collection.create(home) as museum:
        build(museum)
    there = f"{neo4j_url}/t{uuid4().hex}"
    run = CliRunner().invoke
    told = run(cli, ["carry", str(home), there, "--check"], catch_exceptions=False)
    assert told.exit_code == 0, told.output
    assert "all is as recorded" in told.output
    again = run(cli, ["carry", str(home), there], catch_exceptions=False)
    assert again.output.startswith("0 entries carried")
    assert run(cli, ["carry", there, str(back)], catch_exceptions=False).exit_code == 0
    with Collection.open(home) as one, Collection.open(back) as two:
        assert one.mark() == two.mark()
        assert list(one.store.entries()) == list(two.store.entries())
    with Collection.open(home) as one, Collection.open(there) as two:
        keys = [held.key for held in one.store.of_kind("object")]
        for key in itertools.islice(keys, 5):
            assert two.store.gather(key) == one.store.gather(key)
            assert list(two.around(key)) == list(one.around(key))
    number = _a_number(home)
    for command in ("locate", "conflicts"):
        here = run(cli, [command, number, "--archive", str(home)])
        far = run(cli, [command, number, "--archive", there])
        assert (here.exit_code, here.output) == (far.exit_code, far.output)


def _a_number(home: Path) -> str:
    with Collection.open(home) as one:
        return str(one.store.of_kind("object")[0].body["number"])


def test_a_package_brings_the_other_place_up_to_date(tmp_path: Path) -> None:
    """Two places that were apart: the whole goes over once, later only what is new."""
    home, away = tmp_path / "home", tmp_path / "away"
    package = str(tmp_path / "home.vestige")
    run = CliRunner().invoke
    with Collection.create(home) as museum:
        build(museum)
    for first, second in ((str(home), package), (package, str(away))):
        assert run(cli, ["carry", first, second], catch_exceptions=False).exit_code == 0
    assert run(cli, ["carry", package, str(away)]).output.startswith("0 entries carried")
    with Collection.open(home) as museum:
        place = MuseumObject(number="INVENTED.99", name="stool")
        museum.act("registrar", [place])
    for first, second in ((str(home), package), (package, str(away))):
        told = run(cli, ["carry", first, second], catch_exceptions=False)
        assert told.output.startswith("2 entries carried")
    with Collection.open(home) as one, Collection.open(away) as two:
        assert list(one.store.entries()) == list(two.store.entries())


def test_both_places_having_recorded_is_told_and_nothing_is_lost(tmp_path: Path) -> None:
    home, away = tmp_path / "home", tmp_path / "away"
    with Collection.create(home) as museum:
        museum.act("registrar", [MuseumObject(number="INVENTED.1", name="stool")])
    assert CliRunner().invoke(cli, ["carry", str(home), str(away)]).exit_code == 0
    for place, number in ((home, "INVENTED.2"), (away, "INVENTED.3")):
        with Collection.open(place) as museum:
            museum.act("registrar", [MuseumObject(number=number, name="chest")])
    with Collection.open(home) as one, Collection.open(away) as two:
        with pytest.raises(Refused, match="are different archives"):
            carry(one.store, two.store)
        assert two.find("INVENTED.3")
        assert two.store.verify(deep=True).holds


def test_pictures_go_along_and_none_is_written_over(tmp_path: Path) -> None:
    home, away = tmp_path / "home", tmp_path / "away"
    with Collection.create(home) as museum:
        museum.act("registrar", [MuseumObject(number="INVENTED.1", name="stool")])
    (home / "pictures" / "one.png").write_bytes(b"one")
    (home / "pictures" / "two.png").write_bytes(b"two")
    run = CliRunner().invoke
    told = run(cli, ["carry", str(home), str(away)], catch_exceptions=False)
    assert told.output.endswith("2 pictures copied, 0 were there\n")
    (away / "pictures" / "one.png").unlink()  # as where it was stopped
    (away / "pictures" / "one.png.part").write_bytes(b"o")
    (away / "pictures" / "two.png").write_bytes(b"another")
    told = run(cli, ["carry", str(home), str(away)], catch_exceptions=False)
    assert told.exit_code == PROBLEMS
    assert "1 pictures copied, 0 were there" in told.output
    assert "two.png is there already and is another picture" in told.output
    left = {one.name: one.read_bytes() for one in (away / "pictures").iterdir()}
    assert left == {"one.png": b"one", "two.png": b"another"}


def test_tables_for_an_importer_are_written_with_what_to_do(tmp_path: Path) -> None:
    """What they hold is compared on a server in test_neo4j_kills.py."""
    home, tables = tmp_path / "home", tmp_path / "tables"
    with Collection.create(home) as museum:
        museum.act("registrar", [MuseumObject(number="INVENTED.1", name="stool")])
    asked = ["carry", str(home), "neo4j://here/workshop", "--tables", str(tables)]
    told = CliRunner().invoke(cli, asked, catch_exceptions=False)
    assert "2 entries and 0 edges written as tables" in told.output
    assert "neo4j-admin database import full neo4j" in told.output
    assert "workshop" in (tables / "archive.csv").read_text("utf-8")
    again = CliRunner().invoke(cli, asked)
    assert "is not empty" in str(again.exception)
    asked[2] = str(tmp_path / "folder")
    assert "is for an archive on a server" in CliRunner().invoke(cli, asked).output


def test_a_folder_may_have_its_ledger_on_a_server(neo4j_url: str, tmp_path: Path) -> None:
    """So accounts guard what is on the server, too."""
    home = tmp_path / "home"
    (home / "pictures").mkdir(parents=True)
    address = f"{neo4j_url}/t{uuid4().hex}"
    (home / "server.toml").write_text(f'address = "{address}"\n', "utf-8")
    with Collection.open(home) as museum:
        assert museum.folder == home
        museum.act("registrar", [MuseumObject(number="INVENTED.1", name="stool")])
    with pytest.raises(Refused, match="holds an archive already"):
        Collection.create(home)
    run = CliRunner().invoke
    asked = ["locate", "INVENTED.1", "--archive"]
    assert run(cli, [*asked, str(home)]).output == run(cli, [*asked, address]).output
    Accounts(home).add("ada", "conservator", "a password that is long")
    told = run(cli, [*asked, str(home), "--as", "conservator"])
    assert told.exit_code == NO_ACCESS
    signed = {"VESTIGE_ACCOUNT": "ada", "VESTIGE_PASSWORD": "a password that is long"}
    told = run(cli, [*asked, str(home), "--as", "conservator"], env=signed)
    assert told.exit_code == 0, told.output
    (home / "server.toml").write_text("adress = 1\n", "utf-8")
    with pytest.raises(ArchiveUnusable, match=r"server\.toml names no server; write"):
        Collection.open(home)
