"""From rows to acts: identity, references, what changes, and what is left alone."""

from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from small_papers import Sheets, drafted, good, imported, said, set_cell, workbook

from vestige.graph.errors import Conflict
from vestige.graph.intake import Difference, Draft, acts, origin, place_of
from vestige.graph.ledger import State
from vestige.graph.problem import Place, Weight
from vestige.graph.store import SqliteStore


@pytest.fixture
def store() -> Iterator[SqliteStore]:
    found = SqliteStore(":memory:")
    yield found
    found.close()


def book(home: Path, sheets: Sheets, name: str = "a.xlsx") -> Path:
    return workbook(home / name, sheets)


def body(found: Draft, number: str) -> dict[str, Any]:
    """What the record of a number says."""
    return next(one.record.body() for one in found.new if one.record.own_number() == number)


def key(found: Draft, number: str) -> str:
    return next(one.key for one in found.new if one.record.own_number() == number)


def test_a_first_import_states_every_row_once(tmp_path: Path, store: SqliteStore) -> None:
    imported(book(tmp_path, good()), store)
    assert store.tally() == {
        "object": 1, "phase": 2, "element": 3, "source": 2, "claim": 3, "place": 2,
        "move": 1,
    }  # fmt: skip


def test_the_same_file_again_changes_nothing(tmp_path: Path, store: SqliteStore) -> None:
    path = book(tmp_path, good())
    imported(path, store)
    again = drafted(path, store, seed=2)
    assert (len(again.new), len(again.changed), len(again.same)) == (0, 0, 14)
    assert acts(again) == []


def test_the_order_of_sheets_rows_and_columns_makes_no_difference(
    tmp_path: Path, store: SqliteStore
) -> None:
    imported(book(tmp_path, good()), store)
    turned = {
        name: [row[::-1] for row in (rows[0], *rows[:0:-1])]
        for name, rows in reversed(good().items())
    }
    assert acts(drafted(book(tmp_path, turned, "b.xlsx"), store, seed=2)) == []


def test_a_corrected_file_supersedes_and_shows_what_changed(
    tmp_path: Path, store: SqliteStore
) -> None:
    imported(book(tmp_path, good()), store)
    sheets = set_cell(good(), "Elements", 3, "size", "12 mm")
    set_cell(sheets, "Elements", 3, "part of", "")
    set_cell(sheets, "Elements", 4, "part of", "E-1")
    found = drafted(book(tmp_path, sheets, "b.xlsx"), store, seed=2)
    assert [one.differences for one in found.changed] == [
        (Difference("part of", "E-1", None), Difference("size", None, "12 mm")),
        (Difference("part of", "E-2", "E-1"),),
    ]
    first, _ = acts(found)
    assert isinstance(first, State)
    assert first.reason == "import of b.xlsx, sheet Elements row 3"
    store.append("conservator", acts(found))
    assert len(store.history(first.key)) == 2
    assert acts(drafted(tmp_path / "b.xlsx", store, seed=3)) == []


def test_rows_that_the_file_leaves_out_are_left_alone(
    tmp_path: Path, store: SqliteStore
) -> None:
    imported(book(tmp_path, good()), store)
    sheets = good()
    del sheets["Elements"][2:], sheets["Observations"], sheets["Moves"], sheets["Places"]
    found = drafted(book(tmp_path, sheets, "b.xlsx"), store, seed=2)
    assert (found.errors, acts(found)) == ((), [])


def test_a_column_that_is_not_there_says_nothing_and_an_empty_cell_empties(
    tmp_path: Path, store: SqliteStore
) -> None:
    imported(book(tmp_path, good()), store)
    few: Sheets = {"Elements": [["number", "size"], ["E-1", "561 mm"], ["E-3", ""]]}
    found = drafted(book(tmp_path, few, "b.xlsx"), store, seed=2)
    assert found.problems == ()
    assert [one.differences for one in found.changed] == [
        (Difference("size", "560 mm", "561 mm"),)
    ]


def test_a_change_made_meanwhile_is_a_conflict(tmp_path: Path, store: SqliteStore) -> None:
    imported(book(tmp_path, good()), store)
    ours, theirs = (
        drafted(
            book(tmp_path, set_cell(good(), "Elements", 3, "size", size), f"{size}.xlsx"),
            store,
        )
        for size in ("12 mm", "13 mm")
    )
    store.append("conservator", acts(theirs))
    with pytest.raises(Conflict):
        store.append("conservator", acts(ours))


def test_a_phase_is_the_one_of_the_object_that_the_row_is_about(tmp_path: Path) -> None:
    sheets = good()
    sheets["Object"].append(["ABC.2", "stand", "", ""])
    for name in ("Phases", "Elements"):
        for at, row in enumerate(sheets[name]):
            row.append("ABC.1" if at else "object")
    sheets["Phases"].append(["P1", 1, "making", "making", "1900", "ABC.2"])
    sheets["Elements"].append(["F-1", "foot", "part", "", "", "", "", "", "ABC.2"])
    tail = ["", "", "P1", "weak", "", "", ""]
    sheets["Observations"] += [
        ["O-8", "F-1", "made in", *tail],
        ["O-9", "O-8", "made in", *tail],
        ["O-10", "F-1", "made in", "", "", "ABC.1/P1", "weak", "", "", ""],
    ]
    found = drafted(book(tmp_path, sheets))
    assert found.problems == ()
    of = {number: body(found, number)["phase"] for number in ("O-1", "O-8", "O-9", "O-10")}
    one, two = key(found, "ABC.1/P1"), key(found, "ABC.2/P1")
    assert of == {"O-1": one, "O-8": two, "O-9": two, "O-10": one}


def test_phases_elements_and_sources_may_be_in_the_archive(
    tmp_path: Path, store: SqliteStore
) -> None:
    first = imported(book(tmp_path, good()), store)
    more: Sheets = {
        "Observations": [
            ["number", "about", "relation", "phase", "strength", "source"],
            ["O-7", " e-2 ", "made in", "p2", "weak", "s-2"],
        ]
    }
    found = drafted(book(tmp_path, more, "b.xlsx"), store, seed=2)
    assert found.problems == ()
    assert body(found, "O-7")["about"] == key(first, "E-2")
    assert body(found, "O-7")["phase"] == key(first, "ABC.1/P2")


def test_an_old_number_is_understood_and_said(tmp_path: Path, store: SqliteStore) -> None:
    first = imported(book(tmp_path, good()), store)
    more: Sheets = {"Elements": [["number", "object", "name", "kind"],
                                 ["E-9", "OLD 9", "knob", "part"]]}  # fmt: skip
    found = drafted(book(tmp_path, more, "b.xlsx"), store, seed=2)
    assert body(found, "E-9")["object"] == key(first, "ABC.1")
    assert [(one.code, one.weight) for one in found.problems] == [
        ("old number", Weight.QUERY)
    ]


def test_an_old_number_of_two_is_no_number_of_either(tmp_path: Path) -> None:
    sheets = good()
    sheets["Object"].append(["ABC.2", "stand", "old 9", ""])
    for name in ("Phases", "Elements"):
        for at, row in enumerate(sheets[name]):
            row.append("old 9" if name == "Elements" else "ABC.1")
            row[-1] = row[-1] if at else "object"
    found = drafted(book(tmp_path, sheets))
    assert "several records: ABC.1 and ABC.2" in said(found)


def test_a_new_number_for_an_object_is_queried(tmp_path: Path, store: SqliteStore) -> None:
    imported(book(tmp_path, good()), store)
    more: Sheets = {"Object": [["number", "name", "other numbers"],
                               ["NEW.1", "chest", "ABC.1"]]}  # fmt: skip
    found = drafted(book(tmp_path, more, "b.xlsx"), store, seed=2)
    assert [one.code for one in found.problems] == ["perhaps renumbered"]


def test_a_number_once_borne_may_be_borne_again_but_is_queried(
    tmp_path: Path, store: SqliteStore
) -> None:
    imported(book(tmp_path, good()), store)
    more: Sheets = {"Places": [["number"], ["old 9"]]}
    found = drafted(book(tmp_path, more, "b.xlsx"), store, seed=2)
    assert [one.code for one in found.problems] == ["old number"]


def test_a_move_without_number_is_known_again(tmp_path: Path, store: SqliteStore) -> None:
    imported(book(tmp_path, good()), store)
    sheets = set_cell(good(), "Moves", 2, "why", "shelf mended")
    sheets["Moves"].append(["E-3", "R-1", "2021", ""])
    found = drafted(book(tmp_path, sheets, "b.xlsx"), store, seed=2)
    assert [one.differences for one in found.changed] == [
        (Difference("why", None, "shelf mended"),)
    ]
    assert [one.place.row for one in found.new] == [3]


def test_a_move_that_now_bears_a_number_is_known_again(
    tmp_path: Path, store: SqliteStore
) -> None:
    imported(book(tmp_path, good()), store)
    sheets = set_cell(good(), "Moves", 2, "number", "MV-1")
    found = drafted(book(tmp_path, sheets, "b.xlsx"), store, seed=2)
    assert [one.differences for one in found.changed] == [
        (Difference("number", None, "MV-1"),)
    ]


def test_a_loop_through_the_archive_is_found(tmp_path: Path, store: SqliteStore) -> None:
    imported(book(tmp_path, good()), store)
    more: Sheets = {"Places": [["number", "inside"], ["R-1", "R-1/2"]]}
    found = drafted(book(tmp_path, more, "b.xlsx"), store, seed=2)
    assert [one.code for one in found.errors] == ["loop"]
    assert "R-1 > R-1/2 > R-1" in said(found)


def test_a_record_may_stand_on_many_ways_without_a_loop(tmp_path: Path) -> None:
    sheets = good()
    sheets["Sources"] += [["S-3", "copy", "letter or diary", "", "S-1; S-2"]]
    sheets["Sources"] += [["S-4", "copy", "letter or diary", "", "S-3; S-2; S-1"]]
    assert drafted(book(tmp_path, sheets)).problems == ()


def test_synonyms_of_the_trade_are_understood(tmp_path: Path) -> None:
    sheets = set_cell(good(), "Observations", 4, "relation", "On top of")
    set_cell(sheets, "Elements", 4, "kind", "Fastener")
    found = drafted(book(tmp_path, sheets))
    assert body(found, "O-3")["relation"] == "lies over"
    assert body(found, "E-3")["sort"] == "fixing"


def test_the_origin_leads_from_each_act_back_to_its_row(
    tmp_path: Path, store: SqliteStore
) -> None:
    path = book(tmp_path, good())
    found = imported(path, store)
    where = origin(found)
    assert where["rows"][:3] == [["Object", 2, 2], ["Phases", 2, 3], ["Elements", 2, 4]]  # type: ignore[index]
    for nth, one in enumerate(found.new):
        assert place_of(where, nth) == Place("a.xlsx", one.place.sheet, one.place.row)
    with pytest.raises(LookupError):
        place_of(where, len(found.new))
    assert len(str(where["checksum"])) == 64


def test_the_same_seed_drafts_the_same(tmp_path: Path) -> None:
    path = book(tmp_path, good())
    assert drafted(path) == drafted(path)


def test_values_said_twice_in_a_list_are_kept_once(tmp_path: Path) -> None:
    sheets = set_cell(good(), "Moves", 2, "what", "E-3; E-2 ;; e-3")
    (move,) = (one.record for one in drafted(book(tmp_path, sheets)).new[-1:])
    assert len(move.body()["what"]) == 2  # type: ignore[arg-type]


def test_many_dangling_numbers_are_all_said_quickly(tmp_path: Path) -> None:
    sheets = good()
    sheets["Elements"] += [[f"F-{at}", "peg", "part", f"G-{at}"] for at in range(2000)]
    assert len(drafted(book(tmp_path, sheets)).errors) == 2000
