"""Questions over the whole invented museum, from the real command."""

import csv
import io
import json
from pathlib import Path
from typing import Any

from click.testing import CliRunner

from vestige.ui.command.main import cli


def asked(museum: Path, *words: str) -> Any:
    done = CliRunner().invoke(cli, ["survey", *words, "--json", "--archive", str(museum)])
    assert done.exit_code == 0, done.output
    return json.loads(done.stdout)


def numbers(answer: Any) -> list[str]:
    return [row["thing"]["number"] for row in answer["rows"]]


def test_all_that_is_not_before_1938(museum: Path) -> None:
    answer = asked(museum, "--relation", "not before", "--value", "1938")
    assert sorted(numbers(answer)) == ["LUT-18", "SCR-24", "SLD-L10"]
    assert all(row["claims"] for row in answer["rows"])


def test_what_a_laboratory_found_is_asked_by_its_report(museum: Path) -> None:
    answer = asked(museum, "--kind", "result", "--source", "S-NL20")
    assert numbers(answer) == [f"RES-0{n}" for n in range(1, 6)]


def test_repairs_by_staples_before_a_year_say_what_bears_no_date(museum: Path) -> None:
    answer = asked(museum, "staple", "--before", "1909")
    assert all(row["latest"] < "1909" for row in answer["rows"])
    assert answer["undated"] > 0


def test_a_verdict_that_is_open_answers_only_to_open(museum: Path) -> None:
    added = asked(museum, "--verdict", "added in P5", "--kind", "element")
    assert "SCR-14" in numbers(added)
    assert not [row for row in added["rows"] if row["verdict"].startswith("open")]
    left = asked(museum, "--verdict", "open", "--kind", "element")
    assert all("open" in row["verdict"] for row in left["rows"])


def test_a_material_is_found_across_objects(museum: Path) -> None:
    answer = asked(museum, "--material", "nylon")
    assert {row["object"]["number"] for row in answer["rows"]} == {
        "FEN.1954.3",
        "FEN.1922.70",
    }


def test_closed_content_answers_to_no_word(museum: Path) -> None:
    for word in ("family", "x7"):
        for row in asked(museum, word)["rows"]:
            assert "family detail" not in json.dumps(row)


def test_the_export_can_be_cited_and_computes_nothing(museum: Path, tmp_path: Path) -> None:
    out = tmp_path / "nylon.csv"
    asked(museum, "--material", "nylon", "--out", str(out))
    rows = list(csv.DictReader(io.StringIO(out.read_text(encoding="utf-8-sig"))))
    assert [row["number"] for row in rows] == ["LUT-18", "SLD-L10"]
    assert all(row["entry"].isdigit() and "seal" in row["archive"] for row in rows)
    again = CliRunner().invoke(cli, ["survey", "--out", str(out), "--archive", str(museum)])
    assert again.exit_code != 0


def test_a_relation_that_is_no_word_is_refused(museum: Path) -> None:
    wrong = ["survey", "--relation", "nicer than", "--archive", str(museum)]
    done = CliRunner().invoke(cli, wrong)
    assert done.exit_code != 0
    assert "no relation word" in str(done.exception)
