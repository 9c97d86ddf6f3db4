"""Accounts: hashes alone are kept, and what is wrong is said before anything is changed."""

import json
import stat
import sys
from collections.abc import Callable
from pathlib import Path

import pytest
from click.testing import CliRunner, Result
from door_caller import CHEAP, WORDS

from vestige.graph.collection import Collection
from vestige.graph.errors import ArchiveUnusable, BadValue, Refused
from vestige.graph.state import Closure, Reader
from vestige.ui.command.main import cli
from vestige.ui.gate.account import ACCOUNTS_FILE, LONGEST, Accounts, reader_of
from vestige.ui.gate.settings import AccessSettings


@pytest.fixture
def accounts(tmp_path: Path) -> Accounts:
    found = Accounts(tmp_path, CHEAP)
    found.add("Ines", "conservator", WORDS, ("CCL",))
    return found


def test_a_password_is_kept_as_an_argon2id_hash_alone(accounts: Accounts) -> None:
    said = accounts.file.read_text("utf-8")
    assert WORDS not in said
    assert json.loads(said)["accounts"][0]["sealed"].startswith("$argon2id$")


def test_the_usual_hash_is_as_strong_as_the_standard_asks(tmp_path: Path) -> None:
    # RFC 9106, 4, second recommended setting: t=3, p=4, m=2^16 KiB, 16 bytes of salt
    made = Accounts(tmp_path).add("Ines", "guest", WORDS)
    assert made.sealed.startswith("$argon2id$v=19$m=65536,t=3,p=4$")


@pytest.mark.skipif(sys.platform == "win32", reason="modes are those of POSIX")
def test_only_the_keeper_may_read_the_file(accounts: Accounts) -> None:
    assert stat.S_IMODE(accounts.file.stat().st_mode) == 0o600


def test_a_name_is_one_however_it_is_written(accounts: Accounts) -> None:
    assert accounts.check("ines", WORDS) is not None
    assert accounts.check("ines", WORDS + " ") is None
    with pytest.raises(Refused, match="already"):
        accounts.add("INES", "guest", WORDS)


@pytest.mark.parametrize(
    "password", ["", "short", "x" * (LONGEST + 1), "ababababababab", "my name is ines"]
)
def test_a_password_too_easy_to_guess_is_refused(accounts: Accounts, password: str) -> None:
    before = accounts.file.read_bytes()
    with pytest.raises(BadValue, match="password"):
        accounts.set_password("Ines", password)
    assert accounts.file.read_bytes() == before


@pytest.mark.parametrize("name", ["", " ", "a\nb", "\u202eabc", "a" * 65, "a\x00", " a"])
def test_a_name_that_cannot_be_seen_is_refused(accounts: Accounts, name: str) -> None:
    with pytest.raises(BadValue, match="name"):
        accounts.add(name, "guest", WORDS)


@pytest.mark.parametrize("said", ["", "{}", "[]", '{"form":"vestige.accounts/1"}', "\x00"])
def test_a_broken_file_lets_nobody_in(accounts: Accounts, said: str) -> None:
    accounts.file.write_text(said, "utf-8")
    with pytest.raises(ArchiveUnusable, match="nobody can sign in"):
        accounts.check("Ines", WORDS)


def test_a_guest_reads_as_the_public_and_what_is_opened_by_name() -> None:
    assert reader_of("guest") == Reader(None)
    assert reader_of("guest", ["CCL"]).may_read(Closure("ccl"))
    assert not reader_of("guest", ["CCL"]).may_read(Closure("guest"))
    assert not reader_of("registrar").may_read(Closure("CCL"))


def test_settings_say_what_is_wrong_in_them(tmp_path: Path) -> None:
    file = tmp_path / "access.toml"
    for said, wrong in (
        ('adress = "https://a.example"', "'adress' is no setting"),
        ('address = "http://a.example"', "begins with https://"),
        ('[provider]\nissuer = "https://i.example"', "write it"),
        (
            'address = "https://a.example"\n[provider]\nissuer = "https://i.example"',
            "roles",
        ),
    ):
        file.write_text(said, "utf-8")
        with pytest.raises(BadValue, match=wrong):
            AccessSettings.of(tmp_path)


Run = Callable[..., Result]


@pytest.fixture
def run(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Run:
    for name in ("VESTIGE_ROLE", "VESTIGE_ACCOUNT", "VESTIGE_PASSWORD"):
        monkeypatch.delenv(name, raising=False)
    monkeypatch.setenv("VESTIGE_ARCHIVE", str(tmp_path / "a"))
    Collection.create(tmp_path / "a").store.close()

    def ran(*said: str, given: str = "", **env: str) -> Result:
        return CliRunner().invoke(cli, said, input=given, env=env)

    return ran


def test_a_password_is_read_from_the_input_and_never_shown(
    run: Run, tmp_path: Path
) -> None:
    made = run("account", "add", "ines", "--role", "registrar", given=WORDS + "\n")
    assert made.exit_code == 0
    assert WORDS not in made.output
    assert Accounts(tmp_path / "a").check("ines", WORDS) is not None
    assert "ines  registrar" in run("account", "list").output
    assert (tmp_path / "a" / ACCOUNTS_FILE).exists()


def test_no_command_takes_a_password_as_an_argument() -> None:
    account = cli.commands["account"]
    names = {name for one in account.commands.values() for p in one.params  # type: ignore[attr-defined]
             for name in p.opts}  # fmt: skip
    assert "--role" in names
    assert not [name for name in names if "pass" in name]


def test_where_there_are_accounts_a_role_is_not_taken_at_its_word(run: Run) -> None:
    assert run("missing", "--as", "CCL").exit_code == 0
    run("account", "add", "ines", "--role", "conservator", "--opens", "CCL", given=WORDS)
    run("account", "add", "sam", "--role", "researcher", given=WORDS)
    assert run("missing").exit_code == 0  # the public needs no account
    assert run("missing", "--as", "CCL").exit_code == 3
    ines = {"VESTIGE_ACCOUNT": "ines", "VESTIGE_PASSWORD": WORDS}
    assert run("missing", "--as", "CCL", **ines).exit_code == 0
    assert run("missing", "--as", "R2", **ines).exit_code == 3
    wrong = {**ines, "VESTIGE_PASSWORD": "no such words"}
    assert run("missing", "--as", "CCL", **wrong).exit_code == 3
    sam = {"VESTIGE_ACCOUNT": "sam", "VESTIGE_PASSWORD": WORDS}
    assert run("views", **sam).exit_code == 3
    assert run("views", **ines).exit_code == 0
    act = ("seen", "B", "--when", "2020", "--by")
    assert run(*act, "registrar", **sam).exit_code == 3
    assert run(*act, "registrar", **ines).exit_code == 3  # a role that she does not hold
    assert run(*act, "conservator", **ines).exit_code != 3
    assert run(*act, "CCL", **ines).exit_code != 3


def test_without_accounts_the_pages_listen_to_this_machine_alone(run: Run) -> None:
    refused = run("serve", "--listen", "192.0.2.1", "--no-open")
    assert isinstance(refused.exception, Refused)
    assert "account add" in str(refused.exception)
