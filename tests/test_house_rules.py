"""Rules of the house that a reader can check by eye and a test checks every time."""

import re
from pathlib import Path

import pytest

ROOT = Path(__file__).parent.parent
OURS = ("bench", "demo", "graph", "ontology", "tests", "typings", "ui", ".ci")
WRITTEN = {".csv", ".md", ".py", ".pyi", ".sql", ".toml", ".typ", ".yaml", ""}
TEXTS = sorted(
    file
    for file in [*ROOT.glob("*.*"), *(f for top in OURS for f in (ROOT / top).rglob("*"))]
    if file.is_file() and file.suffix in WRITTEN and "__pycache__" not in file.parts
)
FOLDERS_OF_A_MACHINE = re.compile(
    r"(?<![\w.])(?:/(?:home|root|tmp|Users|work|opt|var/folders)/\w|[A-Z]:\\Users\\)"
)
A_PIN = re.compile(r"[A-Za-z0-9_.-]+==[0-9][0-9A-Za-z.+]*")


def test_constraints_hold_names_and_versions_and_nothing_else() -> None:
    lines = (ROOT / "constraints.txt").read_text("utf-8").splitlines()
    assert len(lines) > 20
    assert [line for line in lines if A_PIN.fullmatch(line) is None] == []


@pytest.mark.parametrize(
    ("text", "is_one"),
    [
        ("/".join(["see ", "home", "someone"]), True),
        ("\\".join(["C:", "Users", "someone"]), True),
        ("part/work/of", False),
        ("he kept it /as found/", False),
    ],
)
def test_a_path_of_one_machine_is_known_when_seen(text: str, is_one: bool) -> None:
    assert (FOLDERS_OF_A_MACHINE.search(text) is not None) is is_one


def test_no_file_names_a_path_of_one_machine() -> None:
    assert len(TEXTS) > 100
    found = [
        f"{file.relative_to(ROOT)}:{number}"
        for file in TEXTS
        for number, line in enumerate(file.read_text("utf-8").splitlines(), 1)
        if FOLDERS_OF_A_MACHINE.search(line)
    ]
    assert found == []


def test_the_readme_opens_with_the_job_in_one_paragraph() -> None:
    title, job, *_ = (ROOT / "README.md").read_text("utf-8").split("\n\n")
    assert title == "# Vestige"
    assert not job.startswith((" ", "#", "-", "|", "<", "`"))
    assert 30 <= len(job.split()) <= 120
    assert [
        user for user in ("conservator", "registrar", "researcher") if user not in job
    ] == []


def test_the_readme_gives_the_two_commands_before_anything_else_to_type() -> None:
    readme = (ROOT / "README.md").read_text("utf-8")
    typed = [line.strip() for line in readme.splitlines() if line.startswith("    ")]
    assert [line.split("  ")[0] for line in typed[:2]] == ["python3 demo", "python3 tests"]


def test_every_module_of_the_program_opens_by_saying_what_it_holds() -> None:
    silent = [
        str(file.relative_to(ROOT))
        for file in TEXTS
        if file.suffix == ".py"
        and file.relative_to(ROOT).parts[0] in {"bench", "demo", "graph", "ontology", "ui"}
        and not file.read_text("utf-8").startswith('"""')
    ]
    assert silent == []
