"""The invented museum is recorded whole, and answers a registrar as its story says.

No outside source: the data are invented, and the expected answers are those of the
written story of the museum.
"""

from collections.abc import Iterator
from pathlib import Path

import pytest

from vestige.demo import MUSEUM
from vestige.graph.answer.whereabouts import Located, contents_of, locate, missing_of
from vestige.graph.answer.window import window_of
from vestige.graph.collection import Collection, last_day_of
from vestige.graph.intake import draft, read_papers
from vestige.graph.problem import Weight
from vestige.graph.record import Claim, MuseumObject, Relation, Stance
from vestige.graph.state import State


@pytest.fixture(scope="module")
def opened(museum: Path) -> Iterator[Collection]:
    """The museum, opened once for all tests of this file."""
    with Collection.open(museum) as collection:
        yield collection


@pytest.fixture(scope="module")
def everything(opened: Collection) -> State:
    return opened.whole()


def _located(
    opened: Collection, state: State, number: str, on: str | None = None
) -> Located:
    day = last_day_of(on) if on else None
    (found,) = locate(state, opened.find(number), day, on).things
    return found


def _way(found: Located) -> list[str]:
    return [stay.holder.number for stay in found.place]


def test_the_sheets_are_read_and_only_asked_what_second_hand_papers_repeat(
    opened: Collection,
) -> None:
    drafted = draft(read_papers(MUSEUM), None, opened.keys)
    assert {one.code for one in drafted.problems} == {"derived from?"}
    assert {one.weight for one in drafted.problems} == {Weight.QUERY}
    assert len(drafted.new) > 700


def test_recording_it_again_changes_nothing(opened: Collection) -> None:
    again = draft(read_papers(MUSEUM), opened.store, opened.keys)
    assert again.problems == ()
    assert again.new == again.changed == ()


def test_there_are_six_objects(everything: State) -> None:
    assert {one.number for _, one in everything.all_of(MuseumObject)} == {
        "FEN.1931.44", "FEN.1908.12", "FEN.1954.3",
        "FEN.1922.70", "FEN.1967.118", "FEN.1949.27",
    }  # fmt: skip


def test_the_hinges_of_1958_lie_in_the_mill_and_were_seen_in_2023(
    opened: Collection, everything: State
) -> None:
    found = _located(opened, everything, "BG-014-1")
    assert _way(found) == ["BX-014", "M1/bay 1/shelf 2", "M1/bay 1", "M1", "MILL"]
    assert found.last_seen is not None
    assert found.last_seen.when == "2023-02-20"
    assert not found.alarm


def test_the_lost_fills_were_last_seen_when_the_box_left_the_laboratory(
    opened: Collection, everything: State
) -> None:
    found = _located(opened, everything, "BG-014-4")
    assert found.last_seen is not None
    assert found.last_seen.where is not None
    assert (found.last_seen.when, found.last_seen.where.number) == ("2021-06-30", "ST1/A2")
    assert found.listed == ("2022-03-28",)
    assert found.alarm


def test_exactly_seven_things_have_no_known_place(everything: State) -> None:
    assert {one.thing.number for one in missing_of(everything).things} == {
        "SCR-12e", "SCR-12f", "BG-014-4", "V04", "SLD-L9", "RM-27-1", "BX-019",
    }  # fmt: skip


@pytest.mark.parametrize(
    ("day", "place"), [("2021-07-01", "ST1/A2"), ("2022-04-13", "M1/bay 1/shelf 2")]
)
def test_the_box_is_where_it_was_on_a_day(
    opened: Collection, everything: State, day: str, place: str
) -> None:
    assert _way(_located(opened, everything, "BX-014", day))[0] == place


def test_the_box_of_bits_holds_seventeen_things_and_five_were_weighed(
    opened: Collection, everything: State
) -> None:
    inside = contents_of(everything, opened.find("BX-040")).things
    numbers = {one.located.thing.number for one in inside}
    assert numbers == {f"b{n:02}" for n in range(1, 18)}
    claims = [
        one for _, one in everything.all_of(Claim) if one.relation is Relation.MAY_BELONG_TO
    ]
    wanted = {"b02": "DIA-03", "b05": "BWL-14", "b11": "SLD-L9", "b14": "MAP-06"}
    assert {
        everything.number(one.about): everything.number(str(one.other))
        for one in claims
        if one.stance is Stance.FOR
    } == wanted
    against = [one.about for one in claims if one.stance is Stance.AGAINST]
    assert list(map(everything.number, against)) == ["b09"]


def test_a_tin_missing_on_the_manifest_was_seen_a_year_later(
    opened: Collection, everything: State
) -> None:
    found = _located(opened, everything, "TIN-2")
    assert _way(found)[:2] == ["DR-07", "CAB-2"]
    assert not found.alarm
    assert _located(opened, everything, "TIN-2", "2022-12-31").alarm


def test_what_lies_in_the_sledge_box_carries_the_arsenic_label(
    opened: Collection, everything: State
) -> None:
    for number in ("BG-027-1", "BG-027-2", "b11"):
        assert any(
            "arsenic" in one.what for one in _located(opened, everything, number).cautions
        )


@pytest.mark.parametrize(
    ("number", "earliest", "latest"),
    [
        ("E-REORDER", "1893-06-12", "1911-08-31"),
        ("SCR-19", "1897-05-01", "1924-12-31"),
        ("DIA-04", "1886-01-01", "1967-12-31"),
        ("MAP-05", "1893-01-01", "1949-12-31"),
    ],
)
def test_the_windows_are_those_of_the_story(
    opened: Collection, everything: State, number: str, earliest: str, latest: str
) -> None:
    window = window_of(everything, opened.find(number))
    assert (window.earliest.day, window.latest.day) == (earliest, latest)


def test_the_joiner_of_1924_is_doubted_and_kept(
    opened: Collection, everything: State
) -> None:
    window = window_of(everything, opened.find("E-REORDER"))
    assert {one.number for one in window.doubted} == {"SV18a", "SV18b"}


def test_the_public_reads_nothing_of_the_closed_bar(opened: Collection) -> None:
    public = opened.whole()
    closed = opened.find("KV8b")
    assert "family" not in str(public.record(closed, Claim).note)
    assert "family" not in str(public.record(closed, Claim).value)
