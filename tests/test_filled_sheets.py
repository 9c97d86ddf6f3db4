"""What is written into sheets reads back equal."""

import csv
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from small_papers import drafted, said

from vestige.graph.errors import BadValue, Refused
from vestige.graph.intake import (
    Draft,
    clean_text,
    join_list,
    split_list,
    write_csv_folder,
    write_workbook,
)
from vestige.graph.record import (
    Claim,
    Cord,
    Edtf,
    Element,
    ElementSort,
    Measure,
    Move,
    MuseumObject,
    Phase,
    Place,
    Record,
    Relation,
    Source,
    SourceKind,
    Span,
    Strength,
    fold_number,
)

SIGNS = st.characters(exclude_categories=("Cc", "Cs", "Cn"))
ODD = st.sampled_from(
    ["=1+1", "+7", "-3", "@sum", "'=x", "_x000D_", "_x005F_", "a\nb", "0417", "1998-03",
     "TRUE", "#REF!", "a;b", "a\\;b", "<b>&amp;", '"', "''", "null", "1e5", "\u0301a"]
)  # fmt: skip


def kept(text: str) -> bool:
    """Whether a record can hold a text as it is."""
    try:
        return bool(text) and clean_text(text) == text
    except BadValue:
        return False


TEXTS = st.one_of(ODD, st.text(SIGNS, min_size=1, max_size=30)).map(
    lambda text: " ".join(text.split(" ")).strip()
).filter(kept)  # fmt: skip
NUMBERS = st.one_of(ODD, st.text(SIGNS, min_size=1, max_size=12)).map(
    lambda text: " ".join(text.replace(";", "").split())
).filter(lambda text: kept(text) and bool(fold_number(text)))  # fmt: skip
DATES = st.sampled_from(["1770~/1790~", "1893?", "195X", "1985/..", "/1931", "-0044"])
DATE = DATES.map(Edtf.parse)
MEASURE = st.sampled_from(["560 mm", "17 x 9 mm", "0.4 mm", "ca. 3 g"]).map(Measure.parse)


@st.composite
def museums(draw: st.DrawFn) -> dict[str, Record]:
    """A few linked records of every sort of column, by key."""
    numbers = draw(st.lists(NUMBERS, min_size=8, max_size=8, unique_by=fold_number))
    obj, leaf, peg, room, shelf, day, card, seen = numbers
    short = draw(NUMBERS.filter(lambda one: "/" not in one))
    many = draw(st.lists(TEXTS, max_size=3, unique=True))
    opt = st.none() | TEXTS

    def put(key: str) -> str:
        return f"KEY{key:0>17}"

    return {
        put("O"): MuseumObject(
            number=obj, name=draw(TEXTS), other_numbers=tuple(many),
            made=draw(st.none() | DATE), note=draw(opt),
        ),
        put("P"): Phase(
            number=f"{obj}/{short}", object=put("O"), order=draw(st.integers(1, 99)),
            name=draw(TEXTS), span=draw(st.sampled_from(Span)), begins=draw(DATE),
        ),
        put("L"): Element(
            number=leaf, object=put("O"), name=draw(TEXTS), sort=ElementSort.PART,
            held_by=(put("G"),), size=draw(MEASURE), core=draw(st.none() | st.booleans()),
        ),
        put("G"): Element(
            number=peg, object=put("O"), name=draw(TEXTS), sort=ElementSort.FIXING,
            part_of=put("L"), twist=Cord.parse("S(2z)"), note=draw(opt),
        ),
        put("R"): Place(number=room, name=draw(opt)),
        put("S"): Place(number=shelf, inside=put("R"), note=draw(opt)),
        put("D"): Source(number=day, name=draw(TEXTS), sort=SourceKind.LETTER),
        put("C"): Source(
            number=card, name=draw(TEXTS), sort=SourceKind.RECORD, copies=(put("D"),)
        ),
        put("X"): Claim(
            number=seen, about=put("L"), relation=Relation.MADE_IN, phase=put("P"),
            strength=draw(st.sampled_from(Strength)), source=put("C"), note=draw(opt),
        ),
        put("M"): Move(what=(put("L"), put("G")), to=put("S"), when=draw(DATE)),
    }  # fmt: skip


def same(found: Draft, records: dict[str, Record]) -> None:
    """Check that a draft says these records, whatever their keys are now."""
    assert found.errors == (), said(found)
    now = {one.record.own_number(): one.key for one in found.new}
    keys = {key: now[one.own_number()] for key, one in records.items()}
    wanted = {keys[key]: renamed(one.body(), keys) for key, one in records.items()}
    assert {one.key: one.record.body() for one in found.new} == wanted


def renamed(value: Any, keys: dict[str, str]) -> Any:
    """A body in which keys of records are those of another reading."""
    if isinstance(value, dict):
        return {name: renamed(one, keys) for name, one in value.items()}
    if isinstance(value, list):
        return [renamed(one, keys) for one in value]
    return keys.get(value, value) if isinstance(value, str) else value


@settings(max_examples=60)
@given(museums())
def test_any_records_written_to_a_workbook_read_back_equal(
    records: dict[str, Record],
) -> None:
    with TemporaryDirectory() as home:
        write_workbook(records, Path(home) / "a.xlsx")
        same(drafted(Path(home) / "a.xlsx"), records)


@settings(max_examples=40)
@given(museums())
def test_any_records_written_to_csv_files_read_back_equal(
    records: dict[str, Record],
) -> None:
    with TemporaryDirectory() as home:
        write_csv_folder(records, Path(home) / "sheets")
        same(drafted(Path(home) / "sheets"), records)


@given(st.lists(TEXTS, max_size=5))
def test_a_list_in_one_cell_reads_back_equal(items: list[str]) -> None:
    assert split_list(join_list(tuple(items))) == items


def test_a_text_like_a_formula_stays_a_text(tmp_path: Path) -> None:
    from openpyxl import load_workbook

    write_workbook({"K": Place(number="=1+1")}, tmp_path / "a.xlsx")
    cell = load_workbook(tmp_path / "a.xlsx")["Places"]["A2"]
    assert (cell.data_type, cell.value, cell.quotePrefix) == ("s", "=1+1", True)
    write_csv_folder({"K": Place(number="=1+1")}, tmp_path / "sheets")
    with (tmp_path / "sheets" / "Places.csv").open(encoding="utf-8-sig") as file:
        assert list(csv.reader(file))[1][0] == "'=1+1"


def test_nothing_is_written_over(tmp_path: Path) -> None:
    (tmp_path / "a.xlsx").write_text("mine")
    with pytest.raises(Refused, match="already"):
        write_workbook({}, tmp_path / "a.xlsx")
    with pytest.raises(Refused, match="already"):
        write_csv_folder({}, tmp_path)
    assert (tmp_path / "a.xlsx").read_text() == "mine"


def test_a_number_from_outside_may_be_given(tmp_path: Path) -> None:
    records: dict[str, Record] = {"K": Place(number="R-1/2", inside="ROOM")}
    with pytest.raises(LookupError, match="ROOM"):
        write_workbook(records, tmp_path / "a.xlsx")
    write_workbook(records, tmp_path / "b.xlsx", {"ROOM": "R-1"})
    assert "'R-1'" in said(drafted(tmp_path / "b.xlsx"))


@pytest.mark.parametrize("name", ["x" * 33_000, "a\x00b"])
def test_a_text_that_no_cell_can_hold_is_refused_with_its_place(
    name: str, tmp_path: Path
) -> None:
    with pytest.raises(BadValue, match=r"R-1.*name"):
        write_workbook({"K": Place(number="R-1", name=name)}, tmp_path / "a.xlsx")
    assert not (tmp_path / "a.xlsx").exists()
