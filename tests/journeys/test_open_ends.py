"""What the invented museum leaves open, from the real commands as a user types them.

No outside source: the museum is wholly invented, and the expected answers are those of
its written story.
"""

import json
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from click.testing import CliRunner

from vestige.demo import build
from vestige.graph.collection import Collection
from vestige.graph.ledger import State as Say
from vestige.ui.command import cli

Ask = Callable[..., Any]


def run(museum: Path, *words: str) -> str:
    ran = CliRunner().invoke(cli, [*words, "--archive", str(museum)])
    assert ran.exit_code == 0, ran.output
    return ran.stdout


@pytest.fixture(scope="module")
def ask(museum: Path) -> Ask:
    return lambda *words: json.loads(run(museum, *words, "--json"))


@pytest.fixture(scope="module")
def conflicts(ask: Ask) -> list[dict[str, Any]]:
    """Every contradiction of the collection."""
    answer = ask("conflicts")
    assert answer["form"] == "vestige.conflicts/1"
    return [found for one in answer["objects"] for found in one["conflicts"]]


@pytest.mark.parametrize(
    ("story", "claims"),
    [
        ("the day-book against the card of 1958, and what was found", "SV20 SV21a SV22"),
        ("the joiner of 1924 against the photograph of 1911", "SV18a SV15c"),
        (
            "eight hinges on the card, four in the tin, six needed",
            "SV21b SV23b SV2c",
        ),
        ("six rivets in the register, seven on the label", "BV3h BV4"),
        ("a brightener in a label called old", "LV6 LV7"),
        ("pegged throughout, and a staple in the photograph", "KV5 KV4a"),
        ("a gnomon of brass in the report and of aluminium in the tray", "DV7b DW4"),
        ("relined 1880 on linen of a firm established 1893", "PV8 PV9"),
        ("a corner of about 1950 on a card of 1949", "PV2b PV10"),
    ],
)
def test_the_contradictions_of_the_story_come_out(
    conflicts: list[dict[str, Any]], story: str, claims: str
) -> None:
    told = [{one["number"] for one in found["claims"]} for found in conflicts]
    assert any(set(claims.split()) <= numbers for numbers in told), story


def test_fills_listed_out_and_never_seen_are_a_contradiction_of_places(
    conflicts: list[dict[str, Any]],
) -> None:
    places = [found["text"] for found in conflicts if found["sort"] == "places"]
    assert any("BG-014-4" in text and "2022-03-28" in text for text in places)


def test_the_letter_that_explains_its_clash_is_named(
    conflicts: list[dict[str, Any]],
) -> None:
    blamed = {f["explained_by"]["number"] for f in conflicts if f["explained_by"]}
    assert blamed == {"S-LET31"}


def test_every_contradiction_is_left_open(museum: Path, ask: Ask) -> None:
    before = ask("conflicts", "FEN.1931.44")
    assert "resolves no contradiction" in run(museum, "conflicts", "FEN.1931.44")
    assert ask("conflicts", "FEN.1931.44") == before


def test_the_open_questions_stay_open_with_what_would_settle_them(ask: Ask) -> None:
    [one] = ask("unknowns", "FEN.1931.44")["objects"]
    asked = {found["text"]: found["would_settle"] for found in one["unknowns"]
             if found["sort"] == "asked and not answered"}  # fmt: skip
    assert len(asked) == 5
    joiner = "Q-44-1: What did the estate joiner do in 1924?"
    assert asked[joiner] == "estate accounts of 1924"
    lost = {thing["number"] for found in one["unknowns"]
            if found["sort"] == "no known place" for thing in found["things"]}  # fmt: skip
    assert lost == {"SCR-12e", "SCR-12f", "BG-014-4", "V04"}


def test_the_edge_strip_is_open(ask: Ask) -> None:
    [one] = ask("unknowns", "FEN.1931.44")["objects"]
    open_ = {thing["number"] for found in one["unknowns"]
             if found["sort"] == "verdict open" for thing in found["things"]}  # fmt: skip
    assert "SCR-16" in open_


def test_no_grease_may_be_sampled_and_the_role_to_ask_is_named(ask: Ask) -> None:
    answer = ask("next", "FEN.1922.70")
    grease = [on for one in answer["examinations"] if "sample" in one["touch"]
              for on in one["elements"] if on["thing"]["number"] == "SLD-06"]  # fmt: skip
    assert grease
    assert all([r["ask"] for r in on["forbidden"]] == ["CCL"] for on in grease)


def test_a_photograph_of_the_closed_bar_is_not_to_be_taken(ask: Ask) -> None:
    looks = {one["name"]: one for one in ask("next", "FEN.1922.70")["examinations"]}
    found = [on for on in looks["X-radiography"]["elements"]
             if on["thing"]["number"] == "SLD-L7"]  # fmt: skip
    assert [r["ask"] for on in found for r in on["forbidden"]] == ["CCL"]


def test_results_that_exist_are_named(ask: Ask) -> None:
    looks = {one["name"]: one for one in ask("next", "FEN.1931.44")["examinations"]}
    binder = looks["pigment by Raman or electron microscope"]["elements"]
    found = {r["thing"]["number"] for on in binder for r in on["results"]}
    assert "RES-04" in found


def test_no_answer_recommends_or_calls_safe(museum: Path) -> None:
    for words in (["next", "FEN.1931.44"], ["unknowns"], ["conflicts"], ["decisions"]):
        said = run(museum, *words).casefold()
        assert "safe" not in said
        assert "you should" not in said
        assert "we recommend" not in said


def test_the_decisions_of_the_museum_rest_on_what_was_known(ask: Ask) -> None:
    found = ask("decisions")["decisions"]
    assert len(found) == 11
    assert {one["standing"] for one in found} == {"nothing recorded has moved"}


def test_later_evidence_lists_a_decision_and_the_old_view_stays(tmp_path: Path) -> None:
    day = 86_400_000
    clock = [day * 20_000]

    def now() -> int:
        return clock[0]

    with Collection.create(tmp_path / "archive", clock=now) as collection:
        build(collection)
        clock[0] += 30 * day
        key = collection.find("PV2b")
        [old] = collection.store.get([key])
        body = {**old.body, "strength": "weak", "note": "the glow is of a later wash"}
        act = Say("claim", key, body, old.seq, "washed with a brightener in 1960")
        collection.record("paper conservator", [act])
    museum = tmp_path / "archive"
    answer = json.loads(run(museum, "decisions", "FEN.1949.27", "--json"))
    [again] = [d for d in answer["decisions"] if d["standing"] == "to be looked at again"]
    assert again["thing"]["number"] == "D-2015-11a"
    [rest] = again["rests_on"]
    assert (rest["before"]["strength"], rest["claim"]["strength"]) == ("strong", "weak")
    changed = json.loads(run(museum, "changes", "--since", "2024-10-10", "--json"))
    [row] = [row for one in changed["objects"] for row in one["records"]]
    assert row["reason"] == "washed with a brightener in 1960"
    then = json.loads(run(museum, "why", "MAP-13", "--as-known", "2024-10-10", "--json"))
    quoted = {one["claim"]["number"]: one["claim"]["strength"]
              for one in (*then["speaks_for"], *then["speaks_against"])}  # fmt: skip
    assert quoted["PV2b"] == "strong"


@pytest.mark.parametrize("role", [(), ("--as", "registrar")])
def test_the_closed_account_leaves_no_trace_in_changes(
    museum: Path, role: tuple[str, ...]
) -> None:
    said = run(museum, "changes", "--since", "2020-01-01", "--json", *role)
    for trace in ("KV8b", "PH-70-2", "C-08", "SV19", "C-15"):
        assert trace not in said
    assert "KV8b" in run(
        museum, "changes", "--since", "2020-01-01", "--json", "--as", "CCL"
    )


@pytest.mark.parametrize(
    "words", [["next"], ["changes"], ["conflicts", "X.0"], ["changes", "--since", "May"]]
)
def test_what_cannot_be_asked_is_refused_in_a_sentence(
    museum: Path, words: list[str]
) -> None:
    ran = CliRunner().invoke(cli, [*words, "--archive", str(museum)])
    assert ran.exit_code != 0
    assert "Traceback" not in ran.output
