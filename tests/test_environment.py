"""The surroundings that `python3 demo` and `python3 tests` make before they run."""

import subprocess
import sys
from collections.abc import Sequence
from pathlib import Path

import pytest

from vestige.demo import environment
from vestige.demo.environment import Environment, launch, too_old, what_venv_lacks

ROOT = Path(__file__).parent.parent


@pytest.fixture
def checkout(tmp_path: Path) -> Path:
    (tmp_path / "pyproject.toml").write_text("[project]\n", "utf-8")
    (tmp_path / "constraints.txt").write_text("numpy==2.0.0\n", "utf-8")
    return tmp_path


@pytest.fixture
def asked(monkeypatch: pytest.MonkeyPatch) -> list[str]:
    """What pip was asked to install, in order; nothing is installed."""
    asked: list[str] = []

    def make(self: Environment) -> None:
        python = self.program("python")
        python.parent.mkdir(parents=True, exist_ok=True)
        python.touch()

    def pip(self: Environment, *arguments: str) -> None:
        asked.append(arguments[-1])

    monkeypatch.setattr(Environment, "_make", make)
    monkeypatch.setattr(Environment, "_pip", pip)
    return asked


def test_an_install_is_done_once(checkout: Path, asked: list[str]) -> None:
    Environment(checkout).prepare()
    Environment(checkout).prepare()
    assert asked == ["."]


def test_what_is_installed_for_the_tests_serves_the_demo(
    checkout: Path, asked: list[str]
) -> None:
    Environment(checkout).prepare(["test", "lint"])
    Environment(checkout).prepare()
    Environment(checkout).prepare(["test"])
    assert asked == [".[lint,test]"]


def test_the_tests_add_to_what_the_demo_installed(checkout: Path, asked: list[str]) -> None:
    Environment(checkout).prepare()
    Environment(checkout).prepare(["test"])
    Environment(checkout).prepare(["lint"])
    assert asked == [".", ".[test]", ".[lint,test]"]


@pytest.mark.parametrize("name", ["pyproject.toml", "constraints.txt"])
def test_a_changed_list_of_packages_is_installed_again(
    checkout: Path, asked: list[str], name: str
) -> None:
    Environment(checkout).prepare()
    (checkout / name).write_text("# changed\n", "utf-8")
    Environment(checkout).prepare()
    assert asked == [".", "."]


def test_a_checkout_that_was_moved_is_installed_again(
    checkout: Path, asked: list[str], tmp_path_factory: pytest.TempPathFactory
) -> None:
    Environment(checkout).prepare()
    moved = checkout.rename(tmp_path_factory.mktemp("elsewhere") / "moved")
    Environment(moved).prepare()
    assert asked == [".", "."]


def test_an_install_that_broke_off_is_not_taken_for_done(
    checkout: Path, asked: list[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    Environment(checkout).prepare()
    (checkout / "constraints.txt").write_text("numpy==2.1.0\n", "utf-8")

    def breaks_off(self: Environment, *arguments: str) -> None:
        raise KeyboardInterrupt

    with monkeypatch.context() as patch:
        patch.setattr(Environment, "_pip", breaks_off)
        with pytest.raises(KeyboardInterrupt):
            Environment(checkout).prepare()
    (checkout / "constraints.txt").write_text("numpy==2.0.0\n", "utf-8")
    Environment(checkout).prepare()
    assert asked == [".", "."]


@pytest.mark.parametrize(
    ("version", "sentence"),
    [
        ((3, 6), "Vestige needs Python 3.11 or newer; this is Python 3.6."),
        ((3, 10, 13), "Vestige needs Python 3.11 or newer; this is Python 3.10."),
        ((3, 11, 0), None),
        ((3, 14), None),
        ((4, 0), None),
    ],
)
def test_a_python_too_old_is_told_in_one_sentence(
    version: Sequence[int], sentence: str | None
) -> None:
    assert too_old(version) == sentence


def test_a_python_without_ensurepip_is_told_which_package_to_install(
    monkeypatch: pytest.MonkeyPatch, checkout: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setattr(environment, "found", lambda module: module != "ensurepip")
    monkeypatch.setattr(environment, "CHECKOUT", checkout)
    assert launch(["vestige", "demo"]) == 1
    told = capsys.readouterr().err
    assert f"apt install python3.{sys.version_info[1]}-venv" in told
    assert not (checkout / ".venv").exists()


def test_this_python_lacks_nothing_when_both_modules_are_there(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setattr(environment, "found", lambda module: True)
    assert what_venv_lacks() is None


def test_a_copy_outside_a_checkout_points_to_the_installed_command(
    monkeypatch: pytest.MonkeyPatch, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setattr(environment, "CHECKOUT", tmp_path)
    assert launch(["vestige", "demo"]) == 1
    assert "vestige demo" in capsys.readouterr().err
    assert list(tmp_path.iterdir()) == []


def test_the_exit_code_of_what_is_run_comes_back(
    checkout: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(Environment, "program", lambda self, name: Path(sys.executable))
    ends = Environment(checkout).run(["python", "-c", "raise SystemExit(4)"])
    assert ends == 4


def test_the_launcher_needs_nothing_but_python() -> None:
    """`-S` leaves site-packages out, `-I` everything of the user's."""
    code = (
        f"import sys; sys.path.insert(0, {str(ROOT / 'demo')!r}); import environment\n"
        "print(sorted(m for m in sys.modules if m.startswith(('vestige', 'click'))))"
    )
    ran = subprocess.run(
        [sys.executable, "-I", "-S", "-c", code], capture_output=True, text=True, check=True
    )
    assert ran.stdout.strip() == "[]"
