"""Pages without a browser: the first run, and what a user's mistake looks like."""

from pathlib import Path

import pytest
from streamlit.testing.v1 import AppTest

from vestige.graph.collection import Collection
from vestige.ui import app


def drawn(archive: Path, monkeypatch: pytest.MonkeyPatch, **query: str) -> AppTest:
    monkeypatch.setenv("VESTIGE_ARCHIVE", str(archive))
    monkeypatch.delenv("VESTIGE_ROLE", raising=False)
    page = AppTest.from_file(str(Path(app.__file__)), default_timeout=60)
    for name, value in query.items():
        page.query_params[name] = value
    return page.run()


def told(page: AppTest) -> str:
    """Everything that our own HTML says on a page."""
    bodies = [str(one.proto.body) for one in page.main if one.type == "html"]
    return "\n".join(bodies + [str(one.value) for one in (*page.error, *page.info)])


def test_an_empty_archive_leads_to_a_first_verdict(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    Collection.create(tmp_path / "new").store.close()
    page = drawn(tmp_path / "new", monkeypatch)
    assert not page.exception
    assert "An empty archive" in told(page)
    page.button[0].click().run()
    assert not page.exception
    with Collection.open(tmp_path / "new") as collection:
        assert collection.find("BOX-3")
    assert "EX.1900.1" in told(page)


def test_a_folder_without_an_archive_is_said_in_words(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    page = drawn(tmp_path, monkeypatch)
    assert not page.exception
    assert "there is no archive" in page.error[0].value.replace("\\", "")


def test_a_day_that_is_none_is_said_in_words_and_nothing_else_is_shown(
    museum: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    page = drawn(museum, monkeypatch, known="yesterday")
    assert not page.exception
    assert "yesterday" in page.error[0].value
    assert "FEN" not in told(page)


def test_every_page_says_of_which_day_it_speaks(
    museum: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    page = drawn(museum, monkeypatch, known="1999-12-31")
    assert not page.exception
    assert "1999" in page.info[0].value
    assert "FEN" not in told(page)


@pytest.mark.parametrize("view", ["conservator", "registrar", "researcher"])
def test_each_view_begins_with_its_own_work(
    museum: Path, monkeypatch: pytest.MonkeyPatch, view: str
) -> None:
    page = drawn(museum, monkeypatch, view=view)
    assert not page.exception
    first = {
        "conservator": "Decisions to be looked at again",
        "registrar": "Without a known place",
        "researcher": "Objects",
    }
    heads = told(page).split("<h2>")[1:]
    assert heads[0].startswith(first[view])
