"""Reading workbooks: what stays, what is put right, and how fast empty rows pass."""

import datetime
import time
import zipfile
from pathlib import Path
from typing import Any

import pytest
from paper_makers import parts, strict
from small_papers import Sheets, drafted, good, said, set_cell, workbook

from vestige.graph.intake import read_papers
from vestige.graph.problem import Weight
from vestige.graph.record import Element, Move, MuseumObject, Phase, Record


def record(path: Path, kind: type[Record], nth: int = 0) -> Any:
    """The nth new record of a kind in a file that has no errors."""
    found = drafted(path)
    assert found.errors == (), said(found)
    return [one.record for one in found.new if type(one.record) is kind][nth]


def test_whole_numbers_lose_the_point_that_the_file_format_gives_them(
    tmp_path: Path,
) -> None:
    sheets = set_cell(good(), "Object", 2, "made when", 1770)
    set_cell(sheets, "Object", 2, "number", 417)
    found = record(workbook(tmp_path / "a.xlsx", sheets), MuseumObject)
    assert (found.number, str(found.made)) == ("417", "1770")


def test_a_date_cell_becomes_the_day_that_it_shows(tmp_path: Path) -> None:
    # Serial 35868 of the 1900 date system is 14 March 1998; computed with
    # (date(1998, 3, 14) - date(1899, 12, 30)).days, the rule of ECMA-376 (from memory).
    assert (datetime.date(1998, 3, 14) - datetime.date(1899, 12, 30)).days == 35868
    sheets = set_cell(good(), "Moves", 2, "when", datetime.date(1998, 3, 14))
    path = workbook(tmp_path / "a.xlsx", sheets)
    with zipfile.ZipFile(path) as packed:
        assert b"<v>35868</v>" in packed.read("xl/worksheets/sheet7.xml")
    assert str(record(path, Move).when) == "1998-03-14"


def test_the_first_of_a_month_may_have_been_a_month(tmp_path: Path) -> None:
    sheets = set_cell(good(), "Moves", 2, "when", datetime.date(1998, 3, 1))
    found = drafted(workbook(tmp_path / "a.xlsx", sheets))
    assert [one.weight for one in found.problems] == [Weight.QUERY]
    assert "1998-03-01" in said(found)


def test_a_decimal_in_a_number_column_may_have_lost_a_zero(tmp_path: Path) -> None:
    sheets = set_cell(good(), "Object", 2, "number", 1931.4)
    found = drafted(workbook(tmp_path / "a.xlsx", sheets))
    assert "zeros" in said(found)
    assert [one.weight for one in found.problems] == [Weight.QUERY]


def test_the_head_may_stand_in_the_tenth_row(tmp_path: Path) -> None:
    sheets: Sheets = {
        "Places": [["List of places, 2019"], *[[]] * 8, ["number", "name"], ["R-1", "a"]]
    }
    paper = read_papers(workbook(tmp_path / "a.xlsx", sheets))
    assert paper.problems == ()
    assert (paper.sheets[0].head_row, paper.sheets[0].rows[0].number) == (10, 11)


@pytest.mark.parametrize("head", ["Number", " NUMBER ", "number *", "Number:", "element"])
def test_a_head_is_understood_in_any_dress(head: str, tmp_path: Path) -> None:
    sheets = set_cell(good(), "Elements", 1, "number", head)
    found = drafted(workbook(tmp_path / "a.xlsx", sheets))
    assert found.problems == ()


def test_rows_keep_the_number_that_the_spreadsheet_shows(tmp_path: Path) -> None:
    sheets = good()
    sheets["Elements"][2:2] = [[], ["", " "], []]
    found = drafted(workbook(tmp_path / "a.xlsx", sheets))
    rows = [one.place.row for one in found.new if one.place.sheet == "Elements"]
    assert rows == [2, 6, 7]


def test_an_unknown_column_is_said_and_not_dropped_in_silence(tmp_path: Path) -> None:
    sheets = set_cell(good(), "Elements", 2, "Farbe", "red")
    found = drafted(workbook(tmp_path / "a.xlsx", sheets))
    assert [(one.code, one.weight) for one in found.problems] == [
        ("unknown column", Weight.QUERY)
    ]
    assert "Farbe" in said(found)


def test_values_beside_the_table_are_said(tmp_path: Path) -> None:
    sheets = good()
    sheets["Elements"][1] += ["", "why?"]
    found = drafted(workbook(tmp_path / "a.xlsx", sheets))
    assert "Column J holds values but has no head" in said(found)
    assert found.errors == ()


def test_an_unknown_sheet_is_said_unless_it_is_empty(tmp_path: Path) -> None:
    sheets = good() | {"Sheet1": [], "Budget": [["a", "b"], [1, 2]]}
    found = drafted(workbook(tmp_path / "a.xlsx", sheets))
    assert [one.place.sheet for one in found.problems] == ["Budget"]
    assert found.errors == ()


def test_a_hidden_sheet_is_read_and_said(tmp_path: Path) -> None:
    from openpyxl import load_workbook

    path = workbook(tmp_path / "a.xlsx", good())
    book = load_workbook(path)
    book["Places"].sheet_state = "hidden"
    book.save(path)
    found = drafted(path)
    assert [one.code for one in found.problems] == ["hidden sheet"]
    assert len(found.new) == 14


def test_a_merged_title_above_the_head_does_no_harm(tmp_path: Path) -> None:
    from openpyxl import load_workbook

    sheets = good()
    sheets["Elements"].insert(0, ["Our elements"])
    path = workbook(tmp_path / "a.xlsx", sheets)
    book = load_workbook(path)
    book["Elements"].merge_cells("A1:F1")
    book.save(path)
    assert drafted(path).problems == ()


def test_a_formula_in_a_column_that_is_not_read_does_no_harm(tmp_path: Path) -> None:
    sheets = set_cell(good(), "Elements", 2, "my sum", "=1+1")
    assert drafted(workbook(tmp_path / "a.xlsx", sheets)).errors == ()


def test_many_formulas_in_a_column_are_one_finding(tmp_path: Path) -> None:
    sheets = good()
    sheets["Elements"] += [[f"F-{at}", "=A1", "part"] for at in range(50)]
    found = drafted(workbook(tmp_path / "a.xlsx", sheets))
    assert len(found.errors) == 1
    assert "B5, B6, B7 and 47 more" in said(found)


def test_a_date_system_that_begins_in_1904_is_understood(tmp_path: Path) -> None:
    # ECMA-376 (from memory): in the 1904 date system serial 0 is 1 January 1904.
    from openpyxl import load_workbook
    from openpyxl.utils.datetime import MAC_EPOCH

    path = workbook(tmp_path / "a.xlsx", good())
    book = load_workbook(path)
    book.epoch = MAC_EPOCH
    book["Moves"]["C2"] = datetime.date(1998, 3, 14)
    book.save(path)
    assert str(record(path, Move).when) == "1998-03-14"


def test_the_strict_form_of_workbooks_is_read_too(tmp_path: Path) -> None:
    found = drafted(parts(strict)(tmp_path))
    assert (found.problems, len(found.new)) == ((), 14)


def test_a_sheet_that_is_a_chart_does_no_harm(tmp_path: Path) -> None:
    from openpyxl import load_workbook

    path = workbook(tmp_path / "a.xlsx", good())
    book = load_workbook(path)
    book.create_chartsheet("Elements over time")
    book.save(path)
    assert drafted(path).problems == ()


def test_a_hundred_thousand_empty_rows_take_no_time_worth_naming(tmp_path: Path) -> None:
    def pad(members: dict[str, bytes]) -> None:
        name = "xl/worksheets/sheet3.xml"
        empty = "".join(
            f'<row r="{at}"><c r="A{at}" s="1"/><c r="B{at}" s="1"/></row>'
            for at in range(6, 100_006)
        ).encode()
        members[name] = members[name].replace(b"</sheetData>", empty + b"</sheetData>")

    path = parts(pad)(tmp_path)
    began = time.perf_counter()
    found = drafted(path)
    assert time.perf_counter() - began < 5  # it takes about 0.2 s on two cores
    assert found.problems == ()
    assert sum(isinstance(one.record, Element) for one in found.new) == 3


def test_a_last_row_a_million_rows_down_is_still_read(tmp_path: Path) -> None:
    def far(members: dict[str, bytes]) -> None:
        name = "xl/worksheets/sheet2.xml"
        row = b'<row r="1000000"><c r="A1000000"><v>3</v></c></row></sheetData>'
        members[name] = members[name].replace(b"</sheetData>", row)

    found = drafted(parts(far)(tmp_path))
    assert {one.place.row for one in found.errors} == {1_000_000}
    assert isinstance(found.new[1].record, Phase)
