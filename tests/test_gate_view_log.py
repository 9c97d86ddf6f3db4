"""The view log only grows, and what cannot be noted is not shown."""

import datetime
import sys
from pathlib import Path

import pytest

from vestige.graph.errors import ArchiveUnusable, Refused
from vestige.ui.gate.view_log import ViewLog, keys_in

NOON = datetime.datetime(2025, 3, 4, 12, tzinfo=datetime.UTC)


class Day:
    def __init__(self) -> None:
        self.now = NOON

    def __call__(self) -> datetime.datetime:
        return self.now


def test_a_line_for_each_person_record_and_day(tmp_path: Path) -> None:
    day = Day()
    log = ViewLog(tmp_path, day)
    for _ in range(3):
        log.note("ines", "CCL", [("K1", "P-1"), ("K2", "P-2")], "pages")
    log.note("sam", "CCL", [("K1", "P-1")], "pages")
    day.now += datetime.timedelta(days=1)
    log.note("ines", "CCL", [("K1", "P-1")], "pages")
    told = [(one.at[:10], one.who, one.number) for one in log.views()]
    assert told == [
        ("2025-03-04", "ines", "P-1"),
        ("2025-03-04", "ines", "P-2"),
        ("2025-03-04", "sam", "P-1"),
        ("2025-03-05", "ines", "P-1"),
    ]
    assert [one.number for one in log.views(record="K2")] == ["P-2"]


def test_what_is_written_stays_as_it_was(tmp_path: Path) -> None:
    log = ViewLog(tmp_path, Day())
    log.note("ines", "CCL", [("K1", "P-1")], "pages")
    before = log.file.read_bytes()
    log.note("a\nname\u2028", "CCL", [("K2", "P-2")], "pages")
    assert log.file.read_bytes().startswith(before)
    assert [one.who for one in log.views()] == ["ines", "a\nname\u2028"]


@pytest.mark.skipif(sys.platform == "win32", reason="a folder stands in its way otherwise")
def test_what_cannot_be_noted_is_refused(tmp_path: Path) -> None:
    log = ViewLog(tmp_path, Day())
    log.file.mkdir()
    with pytest.raises(Refused, match="nothing is shown"):
        log.note("ines", "CCL", [("K1", "P-1")], "pages")


def test_a_line_that_was_changed_by_hand_is_named(tmp_path: Path) -> None:
    log = ViewLog(tmp_path, Day())
    log.note("ines", "CCL", [("K1", "P-1")], "pages")
    log.file.write_text(log.file.read_text("utf-8") + "x\n", "utf-8")
    with pytest.raises(ArchiveUnusable, match="line 2"):
        log.views()


def test_every_key_of_an_answer_is_found() -> None:
    answer = {"key": "A", "rows": ({"thing": {"key": "B"}}, [{"key": "C"}], "key"), "n": 1}
    assert keys_in(answer) == {"A", "B", "C"}
    assert keys_in(()) == set()
