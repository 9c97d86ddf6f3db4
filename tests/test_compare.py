"""What a user is told of two stuffs: side by side, honestly, and never silently used."""

import csv
import io
import json
from pathlib import Path

import numpy as np
import pytest
from click.testing import CliRunner

from vestige.graph.answer.likeness import alike_of, comparison_of
from vestige.graph.errors import BadValue, NotRecorded
from vestige.graph.reasoning import case_of, hear
from vestige.graph.reasoning.specimen import COMPUTED, batches_of
from vestige.graph.record import KINDS, Relation
from vestige.graph.state import PUBLIC, Held, Reader, State, open_to
from vestige.ui.command import cli


def held(kind: str, key: str, **values: object) -> Held:
    """One record, its key also its number."""
    return Held(key, KINDS[kind].model_validate({"number": key, **values}))


def element(key: str, object_: str, *features: str, **values: object) -> Held:
    more = {"name": "invented", "sort": "fixing", "material_class": "metal", **values}
    return held("element", key, object=object_, features=list(features), **more)


def archive(boxes: int = 40) -> list[Held]:
    """Invented boxes with two hinges of one alloy each, and three hinges of their own."""
    rng = np.random.default_rng(3)
    records = []
    for box in range(boxes):
        home, whole = f"O{box}", f"O{box}-set"
        centre = rng.normal(0, 1, 2)
        records += [held("object", home, name="invented box"),
                    element(whole, home, material_class=None)]  # fmt: skip
        for hinge in "ab":
            tin, lead = np.exp(centre + rng.normal(0, 0.15, 2))
            records += [
                element(home + hinge, home, part_of=whole),
                held("result", f"R{home}{hinge}", of=home + hinge, method="XRF",
                     found="alloy",
                     features=[f"tin = {tin:.2f} wt%", f"lead = {lead:.2f} wt%"]),
            ]  # fmt: skip
    records += [
        element("X", "O0", "tin = 6.2 wt%", "Pb = 0.11 wt%", "nickel = not found"),
        element("Y", "O0", "tin = 6.3 wt%", "lead = 0.12 wt%"),
        element("Z", "O1", "tin = 0.2 wt%", "lead = 7 wt%"),
        element("C", "O1", material_class=None, twist="S(2z)"),
        element("N", "O1", material_class=None),
    ]
    return records


@pytest.fixture(scope="module")
def state() -> State:
    return State(archive())


def test_features_stand_side_by_side_with_what_they_come_to(state: State) -> None:
    found = comparison_of(state, "X", "Y")
    told = {line.name: (line.one, line.other, line.verdict) for line in found.features}
    assert told == {
        "tin": ("6.2 wt%", "6.3 wt%", "agree"),
        "lead": ("0.11 wt%", "0.12 wt%", "agree"),
        "nickel": ("not found", None, "not recorded"),
    }
    assert found.counted == 2
    assert found.references == 40  # 39 pairs of hinges on other boxes, and Z


def test_a_ratio_offers_the_row_that_could_be_recorded_and_records_nothing(
    state: State,
) -> None:
    found = comparison_of(state, "X", "Y")
    assert found.ratio is not None
    assert found.ratio.stance == "for"
    assert 1 < found.ratio.value <= found.ratio.highest == 80
    assert found.offer is not None
    assert found.offer["how seen"] == COMPUTED
    assert found.offer["strength"] == found.ratio.word != "neutral"
    assert found.recorded == ()


def test_unlike_stuffs_speak_against_one_stuff(state: State) -> None:
    found = comparison_of(state, "X", "Z")
    assert found.ratio is not None
    assert (found.ratio.stance, found.ratio.value < 1) == ("against", True)
    assert found.offer is not None
    assert found.offer["for or against"] == "against"


def test_the_offered_row_once_recorded_is_a_claim_of_sameness_and_not_offered_again(
    state: State,
) -> None:
    offer = comparison_of(state, "X", "Y").offer
    assert offer is not None
    claim = held("claim", "C-1", about="X", relation=offer["relation"], other="Y",
                 strength=offer["strength"], method=offer["how seen"], by="conservator",
                 scale=offer["scale"], note=offer["note"])  # fmt: skip
    after = State([*archive(), claim])
    found = comparison_of(after, "X", "Y")
    assert [one.number for one in found.recorded] == ["C-1"]
    assert found.offer is None
    assert found.ratio == comparison_of(state, "X", "Y").ratio  # its own word adds nothing
    weighed = {one.id: one for one in hear(case_of(after, "O0").case).counted}
    assert weighed["C-1"].relation is Relation.SAME_STUFF
    assert weighed["C-1"].strength == offer["strength"]


@pytest.mark.parametrize(
    ("method", "stance", "batches"),
    [("by eye", "for", 1), (COMPUTED, "for", 2), ("by eye", "against", 2)],
)
def test_only_what_somebody_saw_makes_a_batch(
    method: str, stance: str, batches: int
) -> None:
    claim = held("claim", "C-1", about="X", relation="same stuff as", other="Y",
                 strength="moderate", stance=stance, method=method)  # fmt: skip
    found = batches_of(State([*archive(2), claim]), ["X", "Y"])
    assert len(set(found.values())) == batches


def test_the_assessment_holds_no_likeness_that_nobody_recorded(state: State) -> None:
    assert case_of(state, "O0").case.claims == ()


@pytest.mark.parametrize(
    ("other", "reason"),
    [
        ("C", "one is metal, the other cord or thread"),
        ("N", "class of material not recorded for N"),
    ],
)
def test_without_one_class_there_is_no_population(
    state: State, other: str, reason: str
) -> None:
    found = comparison_of(state, "X", other)
    assert (found.ratio, found.references, found.material_class) == (None, 0, None)
    assert found.reason is not None
    assert reason in found.reason


def test_a_small_archive_says_how_small_it_is() -> None:
    found = comparison_of(State(archive(boxes=12)), "X", "Y")
    assert found.ratio is None
    assert found.offer is None
    assert found.reason == "population too small (12 of 30 reference items)"


def test_what_is_most_alike_comes_first_and_says_on_what(state: State) -> None:
    found = alike_of(state, "X")
    assert found.nearest[0].about.number == "Y"
    assert found.nearest[0].agree == ("lead", "tin")
    assert (found.features, found.nearest[0].counted) == (3, 2)
    assert found.others == 82
    assert found.reason is None


def test_what_a_reader_may_not_see_is_in_no_population() -> None:
    closing = held("caution", "K-1", about=["Y", "O3a"], sort="restriction", what="closed",
                   hide=True, ask="community keeper")  # fmt: skip
    records = [*archive(), closing]
    public = State(open_to(PUBLIC, records))
    found = comparison_of(public, "X", "Y")
    assert {line.other for line in found.features} == {None}
    assert found.similarity is None
    shown = {one.about.number for one in alike_of(public, "X").nearest}
    assert "Y" not in shown
    assert alike_of(public, "X").others == 80  # O3a is closed, though its analysis is open
    keeper = State(open_to(Reader("community keeper"), records))
    assert alike_of(keeper, "X").nearest[0].about.number == "Y"


def test_a_thing_is_not_compared_with_itself_nor_with_an_object(state: State) -> None:
    with pytest.raises(BadValue, match="compared with itself"):
        comparison_of(state, "X", "X")
    with pytest.raises(NotRecorded, match="name an element"):
        comparison_of(state, "X", "O1")


def test_a_sample_stands_for_what_it_was_taken_from() -> None:
    records = [*archive(), held("sample", "V1", element="Y")]
    assert comparison_of(State(records), "X", "V1").other.number == "Y"


def test_the_row_goes_back_through_the_sheets(tmp_path: Path) -> None:
    sheets = tmp_path / "sheets"
    sheets.mkdir()
    _write(sheets)
    home = str(tmp_path / "archive")
    run = CliRunner()
    assert run.invoke(cli, ["new", home]).exit_code == 0
    known = ["import", str(sheets), "--by", "conservator", "--archive", home]
    assert run.invoke(cli, known).exit_code == 0, run.invoke(cli, known).output
    told = run.invoke(cli, ["compare", "X", "Y", "--archive", home]).output
    assert "nickel" in told
    assert "not found" in told
    heads, row = told.splitlines()[-2:]
    (sheets / "Observations.csv").write_text(
        f"number,by (role),{heads}\nL-1,conservator,{row}\n", "utf-8"
    )
    again = run.invoke(cli, known)
    assert again.exit_code == 0, again.output
    asked = run.invoke(cli, ["compare", "X", "Y", "--archive", home, "--json"])
    answer = json.loads(asked.output)
    assert answer["form"] == "vestige.compare/1"
    assert [one["number"] for one in answer["recorded"]] == ["L-1"]
    near = run.invoke(cli, ["alike", "X", "--archive", home]).output
    assert near.index("Y invented") < near.index("Likeness is no proof")


def _write(folder: Path) -> None:
    """The invented archive as the sheets that a user would fill in."""
    rows: dict[str, list[list[str]]] = {
        "Object": [["number", "name"]],
        "Elements": [["number", "object", "name", "kind", "part of", "class of material",
                      "features", "twist"]],
        "Results": [["number", "sample or element", "method", "result", "features"]],
    }  # fmt: skip
    for one in archive():
        body = one.record.body()
        features = body.get("features")
        said = "; ".join(features) if isinstance(features, list) else ""
        by_kind: dict[str, list[object]] = {
            "object": ["Object", one.key, "invented box"],
            "element": ["Elements", one.key, body.get("object"), "invented", "fixing",
                        body.get("part_of"), body.get("material_class"), said,
                        body.get("twist")],
            "result": ["Results", one.key, body.get("of"), "XRF", "alloy", said],
        }  # fmt: skip
        cells = by_kind[one.record.kind]
        rows[str(cells[0])].append([str(cell or "") for cell in cells[1:]])
    for name, lines in rows.items():
        out = io.StringIO()
        csv.writer(out).writerows(lines)
        (folder / f"{name}.csv").write_text(out.getvalue(), "utf-8")
