"""Samples: what is left of them, the trees of preparations, and what is refused."""

from pathlib import Path

import pint
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from small_papers import Sheets, drafted, good, imported, workbook

from vestige.graph.answer.sample import samples_of
from vestige.graph.collection import Collection
from vestige.graph.intake import Draft, acts, draft, origin, read_papers
from vestige.graph.keeping import Use, by_technique, remainder
from vestige.graph.record import (
    Caution,
    CautionSort,
    Element,
    ElementSort,
    Measure,
    MuseumObject,
    Record,
    Sample,
)
from vestige.graph.state import Held, Reader, State, open_to
from vestige.graph.store import SqliteStore

UNITS: pint.UnitRegistry[float] = pint.UnitRegistry()
SIGNS = {"µg": "microgram", "mg": "milligram", "g": "gram", "oz": "ounce", "lb": "pound"}


def use(amount: str | None, by: str = "U") -> Use:
    return Use(by, Measure(amount) if amount else None)


def sheets(uses: list[list[str]], amount: str = "2 mg") -> Sheets:
    found = good()
    found["Samples"] = [
        ["number", "from", "prepared from", "amount", "amount of parent used",
         "kind of preparation"],
        ["V-1", "E-1", "", amount, "", ""],
        ["V-2", "E-1", "V-1", "3 g", "0.5 mg", "block"],
        ["V-3", "E-1", "V-2", "", "", "section"],
    ]  # fmt: skip
    heads = ["number", "sample or element", "method", "result", "amount used"]
    found["Results"] = [heads, *uses]
    return found


def checked(home: Path, made: Sheets) -> Draft:
    return drafted(workbook(home / "a.xlsx", made))


@settings(max_examples=60)
@given(
    st.sampled_from(sorted(SIGNS)),
    st.lists(st.tuples(st.integers(1, 400), st.sampled_from(sorted(SIGNS))), max_size=5),
)
def test_what_is_left_is_what_the_units_library_reckons(
    unit: str, uses: list[tuple[int, str]]
) -> None:
    # Outside check: pint adds and converts by itself.
    start = UNITS.Quantity(5000, SIGNS[unit])
    taken = sum((UNITS.Quantity(n, SIGNS[u]) for n, u in uses), UNITS.Quantity(0, "gram"))
    rest = remainder(Measure(f"5000 {unit}"), [use(f"{n} {u}") for n, u in uses])
    if (start - taken).to("gram").magnitude < -1e-9:
        assert rest.over is not None
    elif (start - taken).to("gram").magnitude > 1e-9:
        assert rest.left is not None
        wanted = (start - taken).to(SIGNS[unit]).magnitude
        assert rest.left.magnitudes[0] == pytest.approx(wanted, rel=1e-6, abs=1e-6)


@pytest.mark.parametrize(
    ("amount", "uses"),
    [(None, ["1 mg"]), ("2 mg", [None]), ("2 mg", ["1 mg", None]), ("2 mg", ["3 mm"]),
     ("2 x 3 mm", ["1 mm"])],
)  # fmt: skip
def test_what_is_left_is_not_told_where_something_is_not_recorded(
    amount: str | None, uses: list[str | None]
) -> None:
    rest = remainder(Measure(amount) if amount else None, map(use, uses))
    assert rest.left is None
    assert rest.why
    assert rest.over is None


def test_a_use_of_all_leaves_none_and_says_so_with_its_unit() -> None:
    rest = remainder(Measure("2 mg"), [use("1500 µg"), use("0.5 mg")])
    assert str(rest.left) == "0 mg"


def test_too_large_a_use_is_found_even_where_another_is_not_recorded() -> None:
    rest = remainder(Measure("2 mg"), [use(None), use("2.1 mg", "R")])
    assert rest.over == use("2.1 mg", "R")
    assert str(rest.had) == "2 mg"


def test_what_is_about_so_much_is_left_as_about_so_much() -> None:
    assert str(remainder(Measure("about 2 mg"), [use("0.5 mg")]).left) == "about 1.5 mg"


def test_a_result_that_used_more_than_was_left_is_refused_with_its_reason(
    tmp_path: Path,
) -> None:
    found = checked(tmp_path, sheets([["RES-1", "V-1", "FTIR", "alkyd", "1.6 mg"]]))
    (error,) = found.errors
    assert error.code == "more than is left"
    assert "1.6 mg of sample V-1" in error.wrong
    assert "1.5 mg" in error.wrong
    assert (error.place.sheet, error.place.row, error.place.column) == (
        "Results", 2, "amount used",
    )  # fmt: skip
    assert acts(found) == []


def test_a_use_is_weighed_against_what_the_archive_records(tmp_path: Path) -> None:
    store = SqliteStore(":memory:")
    first = workbook(
        tmp_path / "a.xlsx", sheets([["RES-1", "V-1", "FTIR", "alkyd", "1 mg"]])
    )
    imported(first, store)
    later: Sheets = {"Results": [
        ["number", "sample or element", "method", "result", "amount used"],
        ["RES-2", "V-1", "Raman", "nothing found", "600 µg"]]}  # fmt: skip
    found = drafted(workbook(tmp_path / "b.xlsx", later), store, seed=2)
    assert [one.code for one in found.errors] == ["more than is left"]
    later["Results"][1][-1] = "500 µg"
    assert not drafted(workbook(tmp_path / "c.xlsx", later), store, seed=2).errors
    store.close()


def test_where_the_sample_was_only_about_so_much_it_is_a_doubt(tmp_path: Path) -> None:
    made = sheets([["RES-1", "V-1", "FTIR", "alkyd", "1.6 mg"]], "about 2 mg")
    found = checked(tmp_path, made)
    assert not found.errors
    assert [one.code for one in found.problems] == ["more than is left"]


def test_preparations_stand_under_what_they_were_made_of(tmp_path: Path) -> None:
    with Collection.create(tmp_path / "m") as collection:
        path = workbook(
            tmp_path / "a.xlsx",
            sheets([["RES-1", "V-1", "FTIR", "no oil found", "0.2 mg"]]),
        )
        found = draft(read_papers(path), collection.store, collection.keys)
        collection.record("registrar", acts(found), origin=origin(found))
        key = collection.find("E-1")
        state = collection.around(collection.home_of(key))
        answer = samples_of(state, key, "ftir")
        asked = samples_of(state, collection.find("V-2"))
    assert [(one.thing.number, one.depth) for one in answer.samples] == [
        ("V-1", 0), ("V-2", 1), ("V-3", 2),
    ]  # fmt: skip
    assert [one.thing.number for one in asked.samples] == ["V-2", "V-3"]
    first = answer.samples[0]
    assert first.left.reckoned == "1.3 mg"
    assert [one.found for one in first.results] == ["no oil found"]
    assert answer.samples[2].left.reckoned is None
    assert answer.exists is not None
    assert [one.thing.number for one in answer.exists.results] == ["RES-1"]
    assert answer.exists.samples == ()  # no place is recorded of any
    assert first.unusable == "where it is is not recorded"


def test_a_technique_is_found_by_all_its_words_in_any_case() -> None:
    assert by_technique("sem edx", "SEM-EDX")
    assert by_technique("light microscopy", "section, light microscopy")
    assert not by_technique("GC-MS", "FTIR")


def test_a_closed_sample_is_named_as_restricted_and_not_told() -> None:
    records: dict[str, Record] = {
        "OBJ": MuseumObject(number="X.1", name="sledge"),
        "BAR": Element(number="BAR", object="OBJ", name="bar", sort=ElementSort.PART),
        "S": Sample(number="S-1", element="BAR", name="the secret grease",
                    question="secret"),
        "C": Caution(number="C", about=("S",), sort=CautionSort.RESTRICTION, what="closed",
                     ask="community liaison", hide=True),
    }  # fmt: skip
    held = [Held(key, one) for key, one in records.items()]
    answer = samples_of(State(open_to(Reader(), held)), "BAR", "FTIR")
    assert "secret" not in answer.model_dump_json()
    assert answer.exists is not None
    assert "S-1 is restricted" in answer.exists.answer
    opened = samples_of(State(open_to(Reader("community liaison"), held)), "BAR")
    assert opened.samples[0].question == "secret"
