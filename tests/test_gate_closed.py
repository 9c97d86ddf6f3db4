"""What is closed leaves no word, file name or hit in anything that a guest can ask."""

from collections.abc import Iterator
from pathlib import Path

import pytest
from click.testing import CliRunner

from vestige.demo import build
from vestige.graph.collection import Collection
from vestige.graph.ledger import State as Say
from vestige.graph.record import (
    Caution,
    CautionSort,
    Claim,
    Picture,
    Record,
    Relation,
    Source,
    SourceKind,
    Strength,
)
from vestige.ui.command.main import cli
from vestige.ui.gate import ViewLog

SLEDGE, SCREEN, STAPLE, BAR = "FEN.1922.70", "FEN.1931.44", "SLD-L7", "SLD-x7"
CANARY = "quillowby"
"""A word that stands in closed records alone."""
OF_THE_MUSEUM = (
    "family detail about the mending", "told by the family that mended",
    "crossbar x7 with staple", "taken before the restriction",
    "mill stood beside the tower", "may remember the display",
    "account of a member of the donor family", "born 1928", "consent given, internal",
)  # fmt: skip
CLOSED = (CANARY, *OF_THE_MUSEUM)
NUMBERS = (STAPLE, "Q-C", "Q-S", BAR, "KV8b", "S-FM19", "Q-P")
OF_OBJECTS = (
    "assess", "arrangements", "conflicts", "unknowns", "next", "decisions", "sequence",
    "sources", "depends", "locate", "custody", "cautions", "samples", "treatment", "due",
    "life", "marks",
)  # fmt: skip
OF_THINGS = (
    "why", "sources", "depends", "locate", "custody", "cautions", "samples", "treatment",
    "life", "window", "due", "alike", "contents", "recall", "match-fragment",
)  # fmt: skip
ACROSS = (
    ("missing",), ("tasks",), ("conflicts",), ("unknowns",), ("decisions",), ("due",),
    ("changes", "--since", "1999-12-31"), ("survey", "staple"), ("survey", CANARY),
    ("why", BAR, "--after", STAPLE), ("find", CANARY), ("find", "family"),
    ("find", "mill"), ("find", "born"), ("find", "quillow"), ("find", "KV8b"),
    ("why", "quillowbi"), ("locate", "Q-SS"), ("query", "SELECT * { ?s ?p ?o }"),
)  # fmt: skip


def closed_records(staple: str) -> dict[str, Record]:
    """Closed in each way there is: by the source, and by a caution on each kind."""
    return {
        "QSOURCE": Source(number="Q-S", name=f"told {CANARY}", sort=SourceKind.COMMUNITY,
                          access="CCL", kept_at=CANARY, consent=CANARY, note=CANARY),
        "QCLAIM": Claim(number="Q-C", about=staple, relation=Relation.NOTED, value=CANARY,
                        strength=Strength.STRONG, source="QSOURCE", rival=CANARY,
                        spot=CANARY, note=CANARY),
        "QSHOT": Picture(number="Q-P", of=(staple,), name=CANARY, file=f"{CANARY}.jpg",
                         note=CANARY),
        "QRULE": Caution(number="Q-R", about=("QCLAIM", "QSHOT"),
                         sort=CautionSort.RESTRICTION, what="closed by the council",
                         ask="CCL", hide=True),
    }  # fmt: skip


@pytest.fixture(scope="module")
def museum(tmp_path_factory: pytest.TempPathFactory) -> Path:
    home = tmp_path_factory.mktemp("museum")
    with Collection.create(home) as collection:
        build(collection)
        records = closed_records(collection.find(STAPLE))
        said = [Say(one.kind, key, one.body()) for key, one in records.items()]
        collection.record("registrar", said)
    return home


@pytest.fixture(autouse=True)
def nobody(monkeypatch: pytest.MonkeyPatch) -> None:
    for name in ("VESTIGE_ROLE", "VESTIGE_ACCOUNT", "VESTIGE_PASSWORD"):
        monkeypatch.delenv(name, raising=False)


def said(museum: Path, *asked: str) -> str:
    """All that a command says, also where it refuses; in small letters."""
    ran = CliRunner().invoke(cli, [*asked, "--archive", str(museum)])
    assert ran.exit_code != 2, ran.output
    return f"{ran.output}\n{ran.exception or ''}".casefold()


def words_of(text: str) -> list[str]:
    return [one for one in CLOSED if one in text]


def questions(numbers: tuple[str, ...]) -> Iterator[tuple[str, ...]]:
    yield from ((question, one) for one in (SLEDGE, SCREEN) for question in OF_OBJECTS)
    yield from ((question, one) for one in numbers for question in OF_THINGS)
    yield from ACROSS


def echoes(asked: tuple[str, ...], found: list[str]) -> list[str]:
    """What was found and not only said again from the question itself."""
    return [one for one in found if one not in " ".join(asked).casefold()]


@pytest.mark.parametrize("how", ["words", "json"])
def test_no_answer_says_a_closed_word_to_a_guest(museum: Path, how: str) -> None:
    numbers, also = (NUMBERS, ["--json"]) if how == "json" else (NUMBERS[:3], [])
    leaks = {
        asked: found
        for asked in questions(numbers)
        if (found := echoes(asked, words_of(said(museum, *asked, *also))))
    }
    assert leaks == {}


def test_no_earlier_view_says_a_closed_word_to_a_guest(museum: Path) -> None:
    leaks = {
        asked: found
        for asked in (("why", STAPLE), ("sources", SLEDGE), ("find", "mill"))
        if (found := words_of(said(museum, *asked, "--as-known", "2999-12-31")))
    }
    assert leaks == {}


def test_the_same_questions_say_it_to_whom_it_is_open(museum: Path) -> None:
    assert CANARY in said(museum, "sources", STAPLE, "--as", "CCL")
    assert CANARY in said(museum, "find", CANARY, "--as", "CCL", "--json")
    assert "mill stood" in said(museum, "sources", SCREEN, "--as", "R2", "--json")
    assert CANARY not in said(museum, "sources", STAPLE, "--as", "R2")


def test_a_search_counts_only_what_the_reader_may_read(museum: Path) -> None:
    assert '"things": []' in said(museum, "find", CANARY, "--json")
    assert said(museum, "find", "--json", CANARY, "--as", "CCL").count('"key"') == 3


def test_no_file_holds_a_closed_word_for_a_guest(museum: Path, tmp_path: Path) -> None:
    asked = {
        "r.html": ("report", SLEDGE), "r2.html": ("report", SCREEN), "a.nq": ("export",),
        "a.jsonld": ("export", "--format", "jsonld"), "s.csv": ("survey", "staple"),
    }  # fmt: skip
    for name, one in asked.items():
        ran = said(museum, *one, "--out", str(tmp_path / name))
        assert (tmp_path / name).exists(), ran
        assert words_of((tmp_path / name).read_text("utf-8").casefold()) == [], name
    said(museum, "export", "--as", "CCL", "--out", str(tmp_path / "b.nq"))
    assert CANARY in (tmp_path / "b.nq").read_text("utf-8")


def test_a_refusal_names_a_closed_record_by_its_number_alone(museum: Path) -> None:
    for asked in ("why", "window", "depends", "alike"):
        text = said(museum, asked, "Q-C")
        assert "q-c" in text
        assert CANARY not in text


def test_each_view_is_noted_once_a_day_by_number_and_never_by_content(
    museum: Path, tmp_path: Path
) -> None:
    log = ViewLog(museum)
    before = len(log.views())
    said(museum, "sources", STAPLE)
    assert len(log.views()) == before  # a guest is shown nothing that is closed
    for _ in range(2):
        said(museum, "sources", STAPLE, "--as", "CCL")
    seen = [one.number for one in log.views() if one.role == "CCL"]
    assert {"Q-C", "Q-S", "KV8b"} <= set(seen)
    assert len(seen) == len(set(seen))
    assert words_of(log.file.read_text("utf-8").casefold()) == []


def test_the_preview_of_an_import_tells_no_closed_content(
    museum: Path, tmp_path: Path
) -> None:
    # a sheet that bears a closed record's number asks for what it says, as "before"
    sheet = tmp_path / "asks" / "Sources.csv"
    sheet.parent.mkdir()
    sheet.write_text("number,name,kind\nQ-S,another name,community statement\n", "utf-8")
    for how in ((), ("--json",)):
        told = said(museum, "check", str(sheet.parent), *how)
        assert "restricted: ask ccl" in told
        assert words_of(told) == []


def test_an_act_that_shows_what_is_closed_is_noted_before_it_is_done(
    museum: Path, tmp_path: Path
) -> None:
    import shutil

    own = Path(shutil.copytree(museum, tmp_path / "own"))
    with Collection.open(own) as collection:
        bag = collection.find("BG-014-1")
        rule = Caution(number="Q-B", about=(bag,), sort=CautionSort.RESTRICTION,
                       what="closed", ask="CCL", hide=True)  # fmt: skip
        collection.record("registrar", [Say("caution", "QBAG", rule.body())])
        before = collection.store.head().seq
        ViewLog(own).file.unlink(missing_ok=True)
        ViewLog(own).file.mkdir()  # nothing can be noted
        act = ("seen", "BG-014-1", "--when", "2024-01-02", "--by", "CCL")
        assert "nothing is shown" in said(own, *act)
        assert collection.store.head().seq == before
        ViewLog(own).file.rmdir()
        said(own, *act)
        assert collection.store.head().seq > before
    assert [one.number for one in ViewLog(own).views()] == ["BG-014-1"]
