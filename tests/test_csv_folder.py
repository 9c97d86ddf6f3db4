"""Reading CSV: encodings, separators, quotation marks."""

import csv
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from small_papers import GOOD, drafted, said, workbook

from vestige.graph.intake import not_computed, read_papers
from vestige.graph.intake.csv_folder import plain
from vestige.graph.problem import Weight


def folder(home: Path, encoding: str = "utf-8", separator: str = ",") -> Path:
    """The good sheets as CSV files."""
    made = home / "sheets"
    made.mkdir()
    for name, rows in GOOD.items():
        with (made / f"{name}.csv").open("w", encoding=encoding, newline="") as file:
            csv.writer(file, delimiter=separator).writerows(rows)
    return made


def bodies(path: Path) -> list[dict[str, object]]:
    """What the records of a file say; the same seed makes the same keys."""
    found = drafted(path)
    assert found.errors == (), said(found)
    by_sheet = sorted(found.new, key=lambda one: (one.place.sheet, one.place.row))
    return [one.record.body() for one in by_sheet]


@pytest.mark.parametrize("separator", [",", ";", "\t"])
@pytest.mark.parametrize("encoding", ["utf-8", "utf-8-sig", "utf-16"])
def test_encoding_and_separator_make_no_difference(
    encoding: str, separator: str, tmp_path: Path
) -> None:
    found = drafted(folder(tmp_path, encoding, separator))
    assert found.problems == ()
    assert len(found.new) == 14


def test_a_folder_says_what_the_workbook_says(tmp_path: Path) -> None:
    texts = [
        {name: value for name, value in body.items() if not _key(value)}
        for path in (folder(tmp_path), workbook(tmp_path / "a.xlsx", GOOD))
        for body in bodies(path)
    ]
    assert texts[: len(texts) // 2] == texts[len(texts) // 2 :]


def _key(value: object) -> bool:
    """Whether a value is a key; keys go by the order of the files."""
    return isinstance(value, list) or (isinstance(value, str) and len(value) == 20)


def test_one_file_is_one_sheet(tmp_path: Path) -> None:
    path = folder(tmp_path) / "Places.csv"
    paper = read_papers(path)
    assert (paper.file, [one.name for one in paper.sheets]) == ("Places.csv", ["Places"])


def test_other_files_in_the_folder_are_left_alone(tmp_path: Path) -> None:
    made = folder(tmp_path)
    (made / "notes.txt").write_text("number")
    (made / "~$Places.csv").write_bytes(b"\0lock")
    (made / ".hidden.csv").write_text("number")
    assert drafted(made).problems == ()


def test_windows_1252_is_read_and_said(tmp_path: Path) -> None:
    (tmp_path / "Places.csv").write_bytes("number;name\nR-1;Möbellager\n".encode("cp1252"))
    found = drafted(tmp_path / "Places.csv")
    assert [one.weight for one in found.problems] == [Weight.QUERY]
    assert "line 2" in said(found)
    assert found.new[0].record.label() == "R-1 Möbellager"


def test_composed_and_decomposed_letters_are_the_same(tmp_path: Path) -> None:
    # Unicode Standard Annex 15: U+0065 U+0301 composes to U+00E9.
    (tmp_path / "Places.csv").write_text("number,name\nR-1,r\u0065\u0301serve\n", "utf-8")
    assert drafted(tmp_path / "Places.csv").new[0].record.label() == "R-1 r\u00e9serve"


def test_line_breaks_within_a_cell_do_not_shift_the_row_numbers(tmp_path: Path) -> None:
    rows = 'number,inside,note\nR-1,,"two\r\nlines"\nR-2,R-7,\n'
    (tmp_path / "Places.csv").write_bytes(rows.encode())
    found = drafted(tmp_path / "Places.csv")
    assert [one.place.row for one in found.errors] == [3]
    assert "two\nlines" in found.new[0].record.words()


@pytest.mark.parametrize("name", ['6" nail', "it's", "'quoted'", "a; b", 'say "so"', "''"])
def test_marks_within_a_text_stay(name: str, tmp_path: Path) -> None:
    with (tmp_path / "Places.csv").open("w", newline="") as file:
        csv.writer(file).writerows([["number", "name"], ["R-1", name]])
    assert drafted(tmp_path / "Places.csv").new[0].record.label() == f"R-1 {name}"


def test_a_quotation_mark_inside_an_open_text_is_only_a_mark(tmp_path: Path) -> None:
    (tmp_path / "Places.csv").write_text('number,name\nR-1,a 6" nail\n')
    assert drafted(tmp_path / "Places.csv").new[0].record.label() == 'R-1 a 6" nail'


# OWASP, "CSV Injection": cells that begin with = + - @ tab or carriage return may be
# computed by a spreadsheet; a single quotation mark before them prevents that.
@pytest.mark.parametrize("sign", ["=", "+", "-", "@", "\t", "\r"])
def test_the_apostrophe_before_a_formula_goes_again(sign: str, tmp_path: Path) -> None:
    assert name_of(f"'{sign}1", tmp_path) == f"{sign}1".strip()
    assert name_of(f"''{sign}1", tmp_path) == f"'{sign}1".replace("\r", "\n")


@pytest.mark.parametrize("text", ["'a", "''", "a'=b", "'1=1", "=1", "a=-1'"])
def test_other_apostrophes_stay(text: str, tmp_path: Path) -> None:
    assert name_of(text, tmp_path) == text


def name_of(written: str, home: Path) -> str:
    """The name of a place in whose cell this is written."""
    with (home / "Places.csv").open("w", newline="") as file:
        csv.writer(file).writerows([["number", "name"], ["R-1", written]])
    return str(drafted(home / "Places.csv").new[0].record.body()["name"])


@settings(max_examples=50)
@given(st.binary(max_size=200))
def test_no_bytes_make_it_fail(data: bytes) -> None:
    from tempfile import TemporaryDirectory

    with TemporaryDirectory() as home:
        path = Path(home) / "Elements.csv"
        path.write_bytes(b"number,name,kind\n" + data)
        drafted(path)
        path.write_bytes(data)
        assert not drafted(path).new


@given(st.text())
def test_what_is_kept_from_being_computed_is_read_again_to_the_letter(text: str) -> None:
    written = not_computed(text)
    assert not written.lstrip(" ").startswith(tuple("=+-@\t\r\n"))
    assert plain(written) == text
