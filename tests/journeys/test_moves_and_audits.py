"""A registrar's day with the invented museum: move, list, audit, let go; by typed commands.

Each test that records works in its own copy of the archive.
"""

import csv
import json
import shutil
from collections.abc import Callable
from pathlib import Path
from typing import Any

import click
import pytest
from click.testing import CliRunner, Result

from vestige.graph.collection import Collection
from vestige.graph.record import label_code
from vestige.ui.command import cli
from vestige.ui.command.asking import plainly

Run = Callable[..., Result]
BY = ("--by", "R2")
ALLOWED = ("--authority", "R2", "--why", "shelf mended")


@pytest.fixture
def run(museum: Path, tmp_path: Path) -> Run:
    """Type a command; what goes wrong on purpose is a sentence, never a traceback."""
    home = tmp_path / "archive"
    shutil.copytree(museum, home)

    def typed(*words: str, typed_in: str | None = None) -> Result:
        kept: list[int] = []

        def main() -> object:
            return cli.main([*words, "--archive", str(home)], standalone_mode=False)

        @click.command()
        def plain() -> None:
            kept.append(plainly(main))

        ran = CliRunner().invoke(plain, [], input=typed_in)
        assert ran.exception is None, ran.output
        ran.exit_code = kept[0]
        return ran

    typed.home = home  # type: ignore[attr-defined]
    return typed


def asked(run: Run, *words: str) -> Any:
    ran = run(*words, "--json")
    assert ran.exit_code == 0, ran.output
    return json.loads(ran.stdout)


def outcomes(answer: dict[str, Any]) -> dict[str, set[str]]:
    found: dict[str, set[str]] = {}
    for one in answer["things"]:
        found.setdefault(one["outcome"], set()).add(one["thing"]["number"])
    return found


def entries(run: Run) -> int:
    with Collection.open(run.home) as collection:  # type: ignore[attr-defined]
        return collection.store.head().seq


def code_of(run: Run, number: str) -> str:
    with Collection.open(run.home) as collection:  # type: ignore[attr-defined]
        return label_code(collection.find(number))


def test_the_audit_of_2023_is_told_right(run: Run) -> None:
    answer = asked(run, "audit", "result", "AU-2023")
    found = outcomes(answer)
    assert found["confirmed"] == {
        "BX-014", "BG-014-1", "BG-014-2", "BG-014-3", "BG-014-5", "BG-014-6", "TIN-1",
        "SB-002",
    }  # fmt: skip
    assert found["absent"] == {"BG-014-4", "V04", "BX-019"}
    assert found["found again"] == {"TIN-2"}
    assert "found elsewhere" not in found
    tin = next(one for one in answer["things"] if one["thing"]["number"] == "TIN-2")
    assert tin["found_in"]["number"] == "DR-07"
    assert tin["not_seen_before"]["when"] == "2022-05-13"
    assert not answer["listed"], "no list of this round is recorded"


def test_listed_from_records_and_sighted_stay_apart_on_the_manifest(run: Run) -> None:
    answer = asked(run, "manifest", "status", "MV-2022")
    fills = next(one for one in answer["things"] if one["thing"]["number"] == "BG-014-4")
    assert (fills["listed"], fills["outcome"]) == ("2022-03-28", "absent")
    tin = next(one for one in answer["things"] if one["thing"]["number"] == "TIN-2")
    assert tin["settled"] is not None
    assert {one["thing"]["number"] for one in answer["tasks"]} == {
        "BG-014-4", "BX-019", "RM-27-1",
    }  # fmt: skip
    assert all(one["whom"] == "R2" and one["since"] for one in answer["tasks"])


def test_arsenic_stays_on_every_nested_item_through_a_move(run: Run) -> None:
    moved = asked(
        run, "move", "BX-027", "--from", "M1/bay 3", "--to", "M1/bay 6", "--when",
        "2024-01-05", *ALLOWED, *BY,
    )  # fmt: skip
    [box] = moved["things"]
    assert {one["number"] for one in box["inside"]} == {"BG-027-1", "BG-027-2"}
    assert "arsenic" in {one["what"] for one in box["cautions"]}
    assert any("runners down" in one["what"] for one in box["cautions"])
    for number in ("BG-027-1", "BG-027-2"):
        [part] = asked(run, "locate", number)["things"]
        assert part["place"][1]["holder"]["number"] == "M1/bay 6"
        assert part["certainty"] == "inferred"
        assert any(one["what"] == "arsenic" for one in part["cautions"])


def test_two_hundred_boxes_move_as_one_act(run: Run, tmp_path: Path) -> None:
    sheet = tmp_path / "Containers.csv"
    rows = "".join(f"NB-{n:03},ST1/C1\n" for n in range(200))
    sheet.write_text(f"number,inside\n{rows}", "utf-8")
    assert run("import", str(sheet), *BY).exit_code == 0
    before = entries(run)
    words = ("move", "--list", str(sheet), "--to", "M1/bay 4", "--when", "2024-02-01")
    dry = run(*words, *ALLOWED, *BY, "--dry-run")
    assert "would be recorded: 200 things" in dry.stdout
    assert entries(run) == before
    assert run(*words, *ALLOWED, *BY).exit_code == 0
    assert entries(run) == before + 2, "one batch with one record"
    inside = asked(run, "contents", "M1/bay 4")["things"]
    assert len(inside) == 200


@pytest.mark.parametrize(
    ("words", "reason"),
    [
        (("BX-014", "--to", "M9"), "no place 'M9'"),
        (("BX-014", "--from", "ST1", "--to", "M1/bay 2"), "not in ST1"),
        (("BX-014", "BX-99", "BX-98", "--to", "M1/bay 2"), "BX-98"),
        (("CAB-2", "--to", "TIN-1"), "CAB-2 > TIN-1 > DR-07 > CAB-2"),
        (("CAB-2", "--to", "CAB-2"), "in itself"),
        (("V08", "--to", "M1/bay 2"), "consumed"),
        (("RM-12-1", "--to", "M1/bay 2"), "discarded"),
        (("BX-014", "BG-014-1", "--to", "M1/bay 2"), "goes along"),
        (("BX-014", "--to", "SCR-14"), "name a place or a container"),
    ],
)
def test_an_unlawful_move_is_refused_with_its_reason(
    run: Run, words: tuple[str, ...], reason: str
) -> None:
    before = entries(run)
    ran = run("move", *words, "--when", "2024-02-01", *ALLOWED, *BY)
    assert ran.exit_code in (1, 4)
    assert reason in ran.output
    assert entries(run) == before, "nothing half-done"


def test_a_move_before_the_part_came_off_is_refused(run: Run) -> None:
    ran = run("move", "BG-014-1", "--to", "BX-022", "--when", "2019", *ALLOWED, *BY)
    assert ran.exit_code == 4
    assert "came off or was found on 2020-02-18" in ran.output


def test_an_act_of_tomorrow_is_refused(run: Run) -> None:
    ran = run("seen", "BX-014", "--when", "9999-01-01", *BY)
    assert ran.exit_code == 1
    assert "future" in ran.output


def test_a_scanned_code_is_an_entry_like_any_other(run: Run) -> None:
    codes = f"{code_of(run, 'BX-014')}\n{code_of(run, 'BG-014-1').lower()}\n"
    ran = run("seen", "--in", "M1/bay 1", "--when", "2024-03-01", *BY, typed_in=codes)
    assert "2 things seen" in ran.output
    [box] = asked(run, "locate", "BX-014")["things"]
    assert box["last_seen"]["when"] == "2024-03-01"


def test_two_digits_swapped_on_a_label_are_named(run: Run) -> None:
    code = code_of(run, "BG-014-1")
    at = next(n for n in range(2, 6) if code[n] != code[n + 1])
    wrong = code[:at] + code[at + 1] + code[at] + code[at + 2 :]
    ran = run("seen", wrong, "--when", "2024-03-01", *BY)
    assert ran.exit_code == 1
    assert f"it is {code}, the label of BG-014-1" in ran.output


def test_disposal_is_refused_while_a_claim_or_decision_depends_on_it(run: Run) -> None:
    ran = run("became", "discarded", "BG-014-1", "--when", "2024-02-01", *ALLOWED, *BY)
    assert ran.exit_code == 4
    assert "D-2021-02d" in ran.output
    assert "SV9a" in ran.output


def test_disposal_needs_authority_and_reason(run: Run) -> None:
    ran = run("became", "discarded", "TIN-2", "--when", "2024-02-01", *BY)
    assert ran.exit_code == 1
    assert "on whose authority" in ran.output


def test_what_was_never_removed_cannot_be_put_back(run: Run) -> None:
    ran = run("became", "put-back", "b05", "--when", "2024-02-01", *BY)
    assert ran.exit_code == 4
    assert "no fragment can be recorded as put back" in ran.output


def test_a_discarded_thing_that_is_seen_is_found_and_contradicts(run: Run) -> None:
    assert (
        run("seen", "RM-12-1", "--in", "BX-040", "--when", "2024-03-01", *BY).exit_code == 0
    )
    answer = asked(run, "life", "RM-12-1")
    assert answer["stage"] == "found"
    assert "discarded with authority" in answer["contradictions"][0]


def test_a_removal_that_lacks_its_papers_is_work_to_do(run: Run) -> None:
    answer = asked(run, "life", "BG-014-2")
    assert answer["stage"] == "removal not documented"
    assert answer["lacks"] == ["consent", "label"]
    tasks = asked(run, "tasks")["tasks"]
    assert any(
        one["thing"]["number"] == "BG-014-2" and "consent, label" in one["what"]
        for one in tasks
    )


def test_a_round_goes_out_on_paper_and_comes_back_ticked(run: Run, tmp_path: Path) -> None:
    sheet, paper = tmp_path / "round.csv", tmp_path / "round.pdf"
    begun = run(
        "audit", "begin", "M1/bay 1", "--number", "AU-2024", "--when", "2024-05-02",
        "--out", str(sheet), "--out", str(paper), *BY,
    )  # fmt: skip
    assert begun.exit_code == 0, begun.output
    assert paper.read_bytes().startswith(b"%PDF")
    listed = outcomes(asked(run, "audit", "result", "AU-2024"))
    assert set(listed) == {"not looked for"}, "a list is no sighting"

    rows = list(csv.DictReader(sheet.read_text("utf-8-sig").splitlines()))
    ticks = {"BX-014": ("seen", "M1/bay 1"), "BG-014-1": ("elsewhere", "M1/bay 3"),
             "BG-014-2": ("no", ""), "BG-014-3": ("cannot be identified", "")}  # fmt: skip
    for row in rows:
        row["result"], row["seen in"] = ticks.get(row["number"], ("", ""))
    rows.append({"number": "TIN-2", "result": "x", "seen in": "BX-014", "note": "'=1+1"})
    with sheet.open("w", encoding="utf-8", newline="") as file:
        writer = csv.DictWriter(file, list(rows[0]))
        writer.writeheader()
        writer.writerows(rows)
    words = ("audit", "record", str(sheet), "--number", "AU-2024", "--when", "2024-05-03")
    assert run(*words, *BY).exit_code == 0
    found = outcomes(asked(run, "audit", "result", "AU-2024"))
    assert found == {
        "confirmed": {"BX-014"},
        "found elsewhere": {"BG-014-1"},
        "absent": {"BG-014-2"},
        "cannot be identified": {"BG-014-3"},
        "unexpected": {"TIN-2"},
        "not looked for": {"BG-014-4", "BG-014-5", "BG-014-6"},
    }
    before = entries(run)
    assert "nothing new" in run(*words, *BY).output
    assert entries(run) == before


def test_a_list_with_unknown_numbers_is_refused_whole(run: Run, tmp_path: Path) -> None:
    sheet = tmp_path / "m.csv"
    ids = ("--ids", "BX-022", "--ids", "BX-031")
    head = ("--number", "MV-1", "--when", "2024-05-02")
    assert run("manifest", "out", *ids, *head, "--out", str(sheet), *BY).exit_code == 0
    again = run("manifest", "out", *ids, *head, "--out", str(tmp_path / "n.csv"), *BY)
    assert "MV-1 is the number of a list or round already" in again.output
    sheet.write_text("number,result\nBX-022,yes\nZZ-1,yes\nZZ-2,perhaps\n", "utf-8")
    before = entries(run)
    ran = run("manifest", "back", str(sheet), *head, *BY)
    assert ran.exit_code == 4
    assert "m.csv, row 3, column number" in ran.output
    assert "m.csv, row 4, column result: 'perhaps' is no result" in ran.output
    assert entries(run) == before


def test_the_same_rules_hold_for_a_sheet(run: Run, tmp_path: Path) -> None:
    sheet = tmp_path / "Moves.csv"
    sheet.write_text(
        "what,from,to,when\nBX-014,ST1,M1/bay 2,2024-01-01\nCAB-2,,TIN-1,2024-01-01\n",
        "utf-8",
    )
    before = entries(run)
    ran = run("import", str(sheet), *BY)
    assert ran.exit_code == 4
    assert "Moves.csv, sheet Moves, row 2, column from: BX-014 is recorded in" in ran.output
    assert (
        "Moves.csv, sheet Moves, row 3, column to: CAB-2 would lie in itself" in ran.output
    )
    assert entries(run) == before
