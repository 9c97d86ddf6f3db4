"""The repository agrees with itself: packages, typings, wheel, examples, commands."""

import doctest
import importlib
import pkgutil
import re
import shutil
import subprocess
import sys
import tomllib
import zipfile
from importlib.metadata import packages_distributions
from pathlib import Path

import pytest

ROOT = Path(__file__).parent.parent
TOPS = ("demo", "graph", "ontology", "ui")
PROJECT = tomllib.loads((ROOT / "pyproject.toml").read_text("utf-8"))
FOLDERS = sorted(
    {file.parent.relative_to(ROOT) for top in TOPS for file in (ROOT / top).rglob("*.py")}
)
OPENED = [folder for folder in FOLDERS if (ROOT / folder / "__init__.py").exists()]
"""Packages that give names of their own; a plain folder of modules is a package too."""
MODULES = sorted(
    "vestige." + ".".join(file.relative_to(ROOT).with_suffix("").parts)
    for folder in FOLDERS
    for file in (ROOT / folder).glob("*.py")
    if file.name not in {"__init__.py", "__main__.py"}
)
TYPINGS = sorted((ROOT / "typings" / "vestige").rglob("*.pyi"))
CARRIED = {
    ".csv",
    ".cypher",
    ".otf",
    ".sql",
    ".toml",
    ".ttf",
    ".txt",
    ".typ",
    ".typed",
    ".yaml",
}
"""Kinds of file beside the modules that the program reads when it runs."""
README_TESTS = "python3 tests"


def test_every_room_of_the_program_is_a_package_with_names_of_its_own() -> None:
    assert [f for f in FOLDERS if f not in OPENED and f.parts[0] != "demo"] == []


def test_every_package_is_listed_for_the_wheel() -> None:
    listed = PROJECT["tool"]["setuptools"]["packages"]
    assert sorted(listed) == ["vestige." + ".".join(folder.parts) for folder in FOLDERS]


@pytest.mark.parametrize("folder", OPENED, ids=str)
def test_every_package_says_what_it_gives(folder: Path) -> None:
    package = importlib.import_module("vestige." + ".".join(folder.parts))
    assert [name for name in package.__all__ if not hasattr(package, name)] == []
    assert len(package.__all__) == len(set(package.__all__))


@pytest.mark.parametrize("folder", FOLDERS, ids=str)
def test_every_package_has_its_typing_line(folder: Path) -> None:
    assert ROOT / "typings" / "vestige" / folder / "__init__.pyi" in TYPINGS


@pytest.mark.parametrize("line", TYPINGS, ids=lambda one: one.relative_to(ROOT).as_posix())
def test_a_typing_line_names_the_file_it_stands_for(line: Path) -> None:
    parts = line.relative_to(ROOT / "typings" / "vestige").with_suffix("").parts
    parts = parts[:-1] if parts[-1] == "__init__" else parts
    assert line.read_text("utf-8") == f"from {'.'.join(parts)} import *\n"
    file = ROOT.joinpath(*parts)
    assert any(file.glob("*.py")) or file.with_suffix(".py").exists()


@pytest.mark.parametrize("module", MODULES)
def test_examples_in_docstrings_hold(module: str) -> None:
    assert doctest.testmod(importlib.import_module(module)).failed == 0


def test_some_docstrings_have_examples() -> None:
    found = doctest.DocTestFinder(exclude_empty=True)
    of_strength = found.find(importlib.import_module("vestige.graph.reasoning.strength"))
    assert any(case.examples for case in of_strength)


def test_nothing_is_imported_under_its_folder_name() -> None:
    code = (
        "import sys, pkgutil, importlib\n"
        f"for name in {MODULES!r}:\n    importlib.import_module(name)\n"
        f"print(sorted({{*{TOPS!r}}} & set(sys.modules)))"
    )
    ran = subprocess.run(
        [sys.executable, "-c", code], capture_output=True, text=True, check=True
    )
    assert ran.stdout.strip() == "[]"


def test_ci_runs_the_test_command_of_the_readme() -> None:
    readme = (ROOT / "README.md").read_text("utf-8")
    typed = [line.partition("#")[0].strip() for line in readme.splitlines()]
    assert README_TESTS in typed
    assert (ROOT / ".ci" / "run").read_text("utf-8").splitlines()[-1] == README_TESTS


def test_no_module_is_longer_than_400_lines() -> None:
    files = [file for top in TOPS for file in (ROOT / top).rglob("*.py")]
    assert files
    assert [f for f in files if len(f.read_text("utf-8").splitlines()) > 400] == []


def test_nothing_in_ui_hides_a_library() -> None:
    """A program started from ui/ finds the names there before those of libraries."""
    names = {found.name for found in pkgutil.iter_modules([str(ROOT / "ui")])}
    assert "command" in names
    assert not names & (set(sys.stdlib_module_names) | set(packages_distributions()))


def test_the_oldest_python_is_said_once_and_meant() -> None:
    source = (ROOT / "demo" / "environment.py").read_text("utf-8")
    oldest = re.search(r"^OLDEST = \((\d+), (\d+)\)$", source, re.M)
    assert oldest is not None
    assert PROJECT["project"]["requires-python"] == f">={oldest[1]}.{oldest[2]}"


@pytest.fixture(scope="module")
def wheel(tmp_path_factory: pytest.TempPathFactory) -> frozenset[str]:
    """Names of the files in a wheel built from a copy of the checkout."""
    copy = tmp_path_factory.mktemp("checkout")
    for name in ("pyproject.toml", "README.md", "LICENSE"):
        shutil.copy(ROOT / name, copy)
    for top in TOPS:
        shutil.copytree(
            ROOT / top, copy / top, ignore=shutil.ignore_patterns("__pycache__")
        )
    build = "import sys, setuptools.build_meta as b; b.build_wheel(sys.argv[1])"
    made = copy / "made"
    subprocess.run(
        [sys.executable, "-c", build, str(made)], cwd=copy, capture_output=True, check=True
    )
    (file,) = made.glob("*.whl")
    with zipfile.ZipFile(file) as opened:
        return frozenset(opened.namelist())


def test_the_wheel_has_every_module_and_every_file_it_reads(wheel: frozenset[str]) -> None:
    wanted = {
        "vestige/" + file.relative_to(ROOT).as_posix()
        for top in TOPS
        for file in (ROOT / top).rglob("*")
        if file.suffix in CARRIED | {".py"}
    }
    assert {Path(name).suffix for name in wanted} >= {".py", ".sql", ".toml", ".typ"}
    assert sorted(wanted - wheel) == []


def test_the_wheel_has_nothing_outside_the_package(wheel: frozenset[str]) -> None:
    assert {name.split("/")[0].split("-")[0] for name in wheel} == {"vestige"}
