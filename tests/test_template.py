"""The template: what a user finds in it, and that its example imports."""

from pathlib import Path
from typing import Any

import pytest
from small_papers import drafted, said

from vestige.graph.errors import Refused
from vestige.graph.intake import columns_of, fold_head, heads_of, write_template
from vestige.graph.record import TYPES, Claim, Record, Relation

KINDS = ["a.xlsx", "a.yaml", "sheets"]


@pytest.fixture(scope="module")
def book(tmp_path_factory: pytest.TempPathFactory) -> Any:
    """The empty workbook, opened by the library that spreadsheets are checked with."""
    from openpyxl import load_workbook

    path = tmp_path_factory.mktemp("template") / "a.xlsx"
    write_template(path)
    return load_workbook(path)


def test_the_two_starter_sheets_stand_behind_the_how_to(book: Any) -> None:
    assert book.sheetnames[:3] == ["How to", "Elements", "Observations"]
    assert {kind.sheet for kind in TYPES} | {"How to", "Evidence", "Lists"} == set(
        book.sheetnames
    )
    assert book["Lists"].sheet_state == "hidden"


@pytest.mark.parametrize("kind", TYPES, ids=[kind.kind for kind in TYPES])
def test_every_column_has_its_head_and_note(kind: type[Record], book: Any) -> None:
    sheet = book[kind.sheet]
    columns = columns_of(kind).values()
    assert [fold_head(cell.value) for cell in sheet[1]] == [
        fold_head(one.head) for one in columns
    ]
    assert [cell.value.endswith("*") for cell in sheet[1]] == [
        one.needed for one in columns
    ]
    assert all(
        one.note in cell.comment.text for one, cell in zip(columns, sheet[1], strict=True)
    )
    assert sheet.freeze_panes == "B2"


def test_a_drop_down_offers_the_words_of_its_column(book: Any) -> None:
    at = list(columns_of(Claim)).index("relation")
    letter = book["Observations"].cell(1, at + 1).column_letter
    (choice,) = (
        one for one in book["Observations"].data_validations.dataValidation
        if f"{letter}2" in one.sqref and one.type == "list"
    )  # fmt: skip
    sheet, _, cells = choice.formula1.partition("!")
    words = [row[0].value for row in book[sheet][cells.replace("$", "")]]
    assert words == [word.value for word in Relation]


@pytest.mark.parametrize("kind", TYPES, ids=[kind.kind for kind in TYPES])
def test_prompts_are_no_longer_than_spreadsheets_allow(
    kind: type[Record], book: Any
) -> None:
    # [MS-OI29500] 2.1.613: a promptTitle has up to 32, a prompt up to 255 characters.
    sheet = book[kind.sheet]
    choices = sheet.data_validations.dataValidation
    assert len(choices) == len(columns_of(kind))
    assert all(len(one.promptTitle) <= 32 and len(one.prompt) <= 255 for one in choices)


@pytest.mark.parametrize("name", KINDS)
def test_the_empty_template_proposes_nothing(name: str, tmp_path: Path) -> None:
    write_template(tmp_path / name)
    found = drafted(tmp_path / name)
    assert found.new == ()
    if name != "a.yaml":  # a case file without a single entry says so
        assert found.problems == ()


@pytest.mark.parametrize("name", KINDS)
def test_the_example_imports_without_a_problem(name: str, tmp_path: Path) -> None:
    write_template(tmp_path / name, example=True)
    found = drafted(tmp_path / name)
    assert found.problems == (), said(found)
    assert {type(one.record) for one in found.new} == set(TYPES)


def test_the_example_is_the_same_in_all_three_forms(tmp_path: Path) -> None:
    labels = []
    for name in KINDS:
        write_template(tmp_path / name, example=True)
        found = drafted(tmp_path / name)
        labels.append(sorted((one.record.kind, one.record.label()) for one in found.new))
    assert labels[0] == labels[1] == labels[2]


def test_every_field_of_the_case_template_is_commented_out_and_known(
    tmp_path: Path,
) -> None:
    write_template(tmp_path / "a.yaml")
    text = (tmp_path / "a.yaml").read_text("utf-8")
    assert all(line.startswith("#") for line in text.splitlines() if line.strip())
    for kind in TYPES:
        assert f"\n# {kind.sheet}:" in text


@pytest.mark.parametrize("kind", TYPES, ids=[kind.kind for kind in TYPES])
def test_every_head_means_one_column(kind: type[Record]) -> None:
    columns = columns_of(kind)
    for name, column in columns.items():
        assert heads_of(kind)[fold_head(column.head)] == name
    heads = [fold_head(head) for one in columns.values() for head in {one.head, *one.also}]
    assert len(heads) == len(set(heads)), "two columns understand the same head"


def test_a_template_does_not_overwrite(tmp_path: Path) -> None:
    write_template(tmp_path / "a.xlsx")
    with pytest.raises(Refused, match="already"):
        write_template(tmp_path / "a.xlsx", example=True)
