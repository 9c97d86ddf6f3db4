"""Reading case files: texts stay what they are, lines are named, nothing is clever."""

from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from small_papers import drafted, imported, said

from vestige.graph.intake import acts
from vestige.graph.store import SqliteStore


def case(home: Path, text: str) -> Path:
    (home / "case.yaml").write_text(text, encoding="utf-8")
    return home / "case.yaml"


# YAML 1.1, tags of the type repository (yaml.org/type): each of these plain values would
# be a number, a truth value or a day to a reader that resolves tags.
@pytest.mark.parametrize("value", ["0417", "1958", "no", "1.40", "12:30:45", "1e3", ".inf"])
def test_a_plain_value_stays_the_text_that_was_written(value: str, tmp_path: Path) -> None:
    path = case(tmp_path, f"Places:\n - number: {value}\n")
    assert drafted(path).new[0].record.own_number() == value


def test_keys_may_be_heads_or_names_of_fields(tmp_path: Path) -> None:
    path = case(
        tmp_path,
        "Object:\n number: X\n name: box\n other_numbers: [a, b; c]\n held by: museum\n",
    )
    (found,) = drafted(path).new
    body = found.record.body()
    assert body["other_numbers"] == ["a", "b; c"]
    assert body["held_by"] == "museum"


def test_errors_name_the_line(tmp_path: Path) -> None:
    path = case(tmp_path, "Places:\n\n - number: R-1\n - number: R-2\n   inside: R-9\n")
    assert [(one.place.row, one.place.column) for one in drafted(path).errors] == [
        (4, "inside")
    ]


def test_a_sheet_name_that_is_misspelt_is_an_error(tmp_path: Path) -> None:
    found = drafted(case(tmp_path, "Plaecs:\n - number: R-1\n"))
    assert [one.place.row for one in found.errors] == [1]
    assert "'Places'" in said(found)


def test_a_key_left_out_says_nothing_and_an_empty_one_empties(tmp_path: Path) -> None:
    with SqliteStore(":memory:") as store:
        imported(case(tmp_path, "Places:\n - {number: R, name: a, note: b}\n"), store)
        same = drafted(case(tmp_path, "Places:\n - {number: R, name: a}\n"), store)
        assert (same.changed, len(same.same)) == ((), 1)
        emptied = drafted(case(tmp_path, "Places:\n - number: R\n   note:\n"), store)
        (act,) = acts(emptied)
        assert act.body == {"number": "R", "name": "a"}


@settings(max_examples=60)
@given(st.text(max_size=120))
def test_no_text_makes_it_fail(text: str) -> None:
    from tempfile import TemporaryDirectory

    with TemporaryDirectory() as home:
        path = Path(home) / "case.yaml"
        path.write_text(text, encoding="utf-8", errors="surrogatepass")
        assert not drafted(path).new
        path.write_text(f"Places:\n - number: {text}", "utf-8", errors="surrogatepass")
        drafted(path)
