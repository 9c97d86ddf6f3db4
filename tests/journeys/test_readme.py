"""What the README tells a newcomer to type, typed in that order."""

import shlex
from pathlib import Path

import pytest
from click.testing import CliRunner

from vestige.ui.command import cli

README = (Path(__file__).parent.parent.parent / "README.md").read_text("utf-8")
PROGRAM = "    .venv/bin/vestige "
TYPED = [line for line in README.splitlines() if line.startswith(PROGRAM)]


def test_the_walk_with_the_example_sheets_works_as_written(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    monkeypatch.delenv("VESTIGE_ARCHIVE", raising=False)
    assert len(TYPED) >= 6
    for line in TYPED:
        typed = shlex.split(line.removeprefix(PROGRAM))
        ran = CliRunner().invoke(cli, typed, catch_exceptions=False)
        assert ran.exit_code == 0, f"{line.strip()}\n{ran.output}"
    assert (tmp_path / "my-archive" / "archive.sqlite").exists()
    assert (tmp_path / "box.pdf").read_bytes().startswith(b"%PDF-")


def test_each_command_that_the_readme_explains_exists() -> None:
    explained = {word for word in cli.commands if f"**{word}**" in README}
    typed = {shlex.split(line.removeprefix(PROGRAM))[0] for line in TYPED}
    assert typed == explained
