"""The demo museum's right answers, from the real commands as a user types them.

The museum is wholly invented; these tests hold that the commands say what its sheets
say. They are no evidence that the assessment is right about any real object.
"""

import json
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from click.testing import CliRunner, Result

from vestige.ui.command import cli
from vestige.ui.command.asking import plainly

Ask = Callable[..., Any]


@pytest.fixture(scope="module")
def museum(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The archive of the demo, made by its own command."""
    home = tmp_path_factory.mktemp("museum") / "archive"
    ran = CliRunner().invoke(cli, ["demo", "--at", str(home)])
    assert ran.exit_code == 0, ran.output
    assert "wholly invented" in ran.output
    assert (home / "report.pdf").read_bytes().startswith(b"%PDF")
    return home


@pytest.fixture(scope="module")
def ask(museum: Path) -> Ask:
    """Ask a question of the museum and read the JSON answer."""

    def asked(*words: str) -> Any:
        ran = CliRunner().invoke(cli, [*words, "--archive", str(museum), "--json"])
        assert ran.exit_code == 0, ran.output
        return json.loads(ran.stdout)

    return asked


@pytest.fixture(scope="module")
def screen(ask: Ask) -> dict[str, Any]:
    """The verdicts on the painted screen, by number."""
    answer = ask("assess", "FEN.1931.44")
    assert answer["form"] == "vestige.assess/1"
    return {one["thing"]["number"]: one for one in answer["verdicts"]}


def numbers(stays: list[dict[str, Any]]) -> list[str]:
    return [stay["holder"]["number"] for stay in stays]


@pytest.mark.parametrize("foot", "abcdefg")
def test_seven_feet_belong_to_the_making(screen: dict[str, Any], foot: str) -> None:
    verdict = screen[f"SCR-26{foot}"]
    assert verdict["word"] == "original, in place"
    assert verdict["grade"] in ("possible", "probable", "established")


def test_the_eighth_foot_came_later(screen: dict[str, Any]) -> None:
    assert screen["SCR-26h"]["word"].startswith("later")


@pytest.mark.parametrize("hinges", ["SCR-14", "SCR-17", "SCR-24"])
def test_the_workshop_of_1958_added_what_it_did(
    screen: dict[str, Any], hinges: str
) -> None:
    assert screen[hinges]["word"] == "added in PHASE"
    assert screen[hinges]["phases"] == ["P5"]


def test_every_share_is_a_probability(screen: dict[str, Any]) -> None:
    assert all(-1e-9 <= one["lowest"] <= 1 + 1e-9 for one in screen.values())
    assert all(-1e-9 <= one["probability"] <= 1 + 1e-9 for one in screen.values())


def test_the_second_backing_lies_between_the_newspaper_and_the_flood(ask: Ask) -> None:
    window = ask("window", "SCR-19")
    assert window["earliest"]["day"] == "1897-05-01"
    assert window["latest"]["day"] == "1924-12-31"
    assert any(one["number"].startswith("SV17") for one in window["earliest"]["because"])


def test_the_joiner_of_1924_did_not_change_the_order(ask: Ask) -> None:
    window = ask("window", "E-REORDER")
    assert window["latest"]["day"] == "1911-08-31"
    assert {one["number"] for one in window["doubted"]} == {"SV18a", "SV18b"}


def test_the_section_shows_the_overpaint_later_than_the_first_varnish(ask: Ask) -> None:
    answer = ask("why", "SCR-23", "--after", "SCR-21")
    assert answer["shown"]
    later = [step["later"]["number"] for step in answer["chain"]]
    earlier = [step["earlier"]["number"] for step in answer["chain"]]
    assert later[0] == "SCR-23"
    assert earlier[-1] == "SCR-21"
    assert later[1:] == earlier[:-1]


def test_the_third_hinges_are_in_their_box(ask: Ask) -> None:
    [found] = ask("locate", "BG-014-1")["things"]
    assert numbers(found["place"])[:2] == ["BX-014", "M1/bay 1/shelf 2"]
    assert found["certainty"] == "confirmed"
    assert found["last_seen"]["when"].startswith("2023-02")


def test_the_fills_were_last_seen_before_the_move_and_are_an_alarm(ask: Ask) -> None:
    [found] = ask("locate", "BG-014-4")["things"]
    assert found["alarm"]
    assert found["last_seen"]["when"] == "2021-06-30"
    assert found["last_seen"]["where"]["number"] == "ST1/A2"
    assert found["listed"] == ["2022-03-28"]


def test_what_has_no_known_place(ask: Ask) -> None:
    lacking = {one["thing"]["number"] for one in ask("missing")["things"]}
    assert lacking == {
        "SCR-12e", "SCR-12f", "BG-014-4", "V04", "SLD-L9", "RM-27-1", "BX-019",
    }  # fmt: skip


@pytest.mark.parametrize(
    ("day", "place"), [("2021-07-01", "ST1/A2"), ("2022-04-13", "M1/bay 1/shelf 2")]
)
def test_a_box_is_asked_for_on_a_day(ask: Ask, day: str, place: str) -> None:
    [found] = ask("locate", "BX-014", "--on", day)["things"]
    assert numbers(found["place"])[0] == place


def test_the_box_of_bits_holds_seventeen_things(ask: Ask) -> None:
    held = ask("contents", "BX-040")["things"]
    assert len(held) == 17
    stances = {
        one["located"]["thing"]["number"]: {said["stance"] for said in one["candidates"]}
        for one in held
    }
    candidates = {number for number, found in stances.items() if "for" in found}
    assert candidates == {"b02", "b05", "b11", "b14"}
    assert [number for number, found in stances.items() if found == {"against"}] == ["b09"]


def test_the_first_order_of_the_leaves_is_strong(ask: Ask) -> None:
    stages = ask("arrangements", "FEN.1931.44")["stages"]
    first = next(one for one in stages if one["phase"]["number"].endswith("/P1"))
    best = first["accounts"][0]
    assert best["words"] == "A-B-C-D"
    assert best["strength"] in ("strong", "decisive")


def test_a_catalogue_that_copies_the_card_is_no_second_voice(ask: Ask) -> None:
    stages = ask("arrangements", "FEN.1931.44")["stages"]
    workshop = next(one for one in stages if one["phase"]["number"].endswith("/P5"))
    assert workshop["disputed"]
    card = next(
        one
        for one in workshop["accounts"]
        if any(said["number"].startswith("SV21") for said in one["speaks_for"])
    )
    assert len(card["speaks_for"]) > len(card["voices"])


def test_arsenic_goes_with_what_lies_in_the_box(ask: Ask) -> None:
    for one in ask("contents", "BX-027")["things"]:
        assert any("arsenic" in each["what"].lower() for each in one["located"]["cautions"])


def test_before_anything_was_recorded_nothing_was_known(museum: Path) -> None:
    ran = CliRunner().invoke(
        cli, ["missing", "--archive", str(museum), "--as-known", "2020-01-01", "--json"]
    )
    assert json.loads(ran.stdout)["things"] == []


def test_an_element_named_for_its_object_gets_the_whole_answer(
    ask: Ask, screen: dict[str, Any]
) -> None:
    asked = ask("assess", "SCR-12")
    assert asked["about"]["number"] == "FEN.1931.44"
    assert {one["thing"]["number"]: one for one in asked["verdicts"]} == screen
    assert ask("sequence", "SCR-12") == ask("sequence", "FEN.1931.44")


def test_why_names_each_claim_once(ask: Ask) -> None:
    for number in ("SCR-12", "SCR-19", "SCR-26h", "SLD-L6"):
        answer = ask("why", number)
        for side in ("speaks_for", "speaks_against"):
            said = [one["claim"]["number"] for one in answer[side]]
            assert len(said) == len(set(said)), (number, side)


def test_nothing_says_safe(museum: Path) -> None:
    for words in (["assess", "FEN.1922.70"], ["cautions", "BX-027"], ["missing"]):
        ran = CliRunner().invoke(cli, [*words, "--archive", str(museum)])
        assert ran.exit_code == 0
        assert "safe" not in ran.output.lower().replace("safety", "")


def test_the_closed_detail_of_the_sledge_stays_closed(museum: Path, tmp_path: Path) -> None:
    paper = tmp_path / "sledge.html"
    words = ["report", "FEN.1922.70", "--out", str(paper), "--archive", str(museum)]
    assert CliRunner().invoke(cli, words).exit_code == 0
    text = paper.read_text("utf-8")
    assert "family detail" not in text
    assert "Told by the family" not in text
    assert "no photographs of crossbar x7" in text
    assert "CCL" in text


def run(words: list[str]) -> Result:
    return CliRunner().invoke(cli, words)


@pytest.mark.parametrize(
    ("words", "code"),
    [
        (["assess", "no-such-thing"], 1),
        (["assess"], 2),
        (["locate", "BX-014", "--on", "12.3.1998"], 1),
        (["why", "BX-014"], 1),
        (["sequence", "BX-014"], 1),
        (["window", "FEN.1931.44"], 1),
        (["sequence", "FEN.1931.44", "--as-known", "yesterday"], 1),
        (["nonsense"], 2),
    ],
)
def test_a_mistake_is_one_message_and_a_code(
    museum: Path, words: list[str], code: int, capsys: pytest.CaptureFixture[str]
) -> None:
    told = [*words, "--archive", str(museum)] if words[0] != "nonsense" else words
    found = plainly(lambda: cli.main(told, prog_name="vestige", standalone_mode=False))
    assert found == code
    message = capsys.readouterr().err
    assert message
    assert "Traceback" not in message


def test_there_is_no_archive_here(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    words = ["missing", "--archive", str(tmp_path)]
    assert plainly(lambda: cli.main(words, prog_name="vestige", standalone_mode=False)) == 1
    assert "vestige new" in capsys.readouterr().err


def test_verify_prints_an_anchor_that_verify_takes(museum: Path) -> None:
    ran = run(["verify", "--archive", str(museum), "--deep"])
    assert ran.exit_code == 0
    anchor = ran.output.split()[-1]
    again = ["verify", "--archive", str(museum), "--anchor", anchor]
    assert run(again).exit_code == 0
    number, _, seal = anchor.partition(":")
    wrong = f"{number}:{'0' * len(seal)}"
    assert run(["verify", "--archive", str(museum), "--anchor", wrong]).exit_code == 4


def test_rebuild_changes_no_answer(museum: Path, ask: Ask) -> None:
    before = ask("missing")
    assert run(["rebuild", "--archive", str(museum)]).exit_code == 0
    assert ask("missing") == before


def test_a_backup_answers_the_same_and_overwrites_nothing(
    museum: Path, tmp_path: Path, ask: Ask
) -> None:
    copy = tmp_path / "copy.sqlite"
    assert run(["backup", str(copy), "--archive", str(museum)]).exit_code == 0
    ran = run(["missing", "--archive", str(copy), "--json"])
    assert json.loads(ran.stdout) == ask("missing")
    held = copy.read_bytes()
    words = ["backup", str(copy), "--archive", str(museum)]
    assert plainly(lambda: cli.main(words, prog_name="v", standalone_mode=False)) == 1
    assert copy.read_bytes() == held


def test_every_command_teaches(museum: Path) -> None:
    for name, command in cli.commands.items():
        assert command.help, name
        assert run([name, "--help"]).exit_code == 0
