"""Spells of place with gaps and overlaps; dates that are due; the order of coming off."""

import datetime

import networkx as nx
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from vestige.graph.answer.dependence import depends_of
from vestige.graph.answer.sample import samples_of
from vestige.graph.answer.treatment import treatment_of
from vestige.graph.errors import NotRecorded
from vestige.graph.keeping.custody import lacks, stays
from vestige.graph.keeping.dependence import coming_off
from vestige.graph.keeping.retention import Standing, standing
from vestige.graph.record import (
    Claim,
    Container,
    Edtf,
    Element,
    ElementSort,
    KeptPart,
    Move,
    MuseumObject,
    Record,
    Relation,
    Status,
    Strength,
)
from vestige.graph.state import Held, State


def moved(number: str, when: str, to: str | None, origin: str | None = None) -> Move:
    return Move(number=number, what=("PART",), when=Edtf.parse(when), to=to, origin=origin)


def state(*moves: Move, first: str | None = "A") -> State:
    records: dict[str, Record] = {
        "OBJ": MuseumObject(number="X.1", name="chest"),
        "LID": Element(number="LID", object="OBJ", name="lid", sort=ElementSort.PART),
        "PART": KeptPart(number="PART", element="LID", container=first,
                         removed_when=Edtf.parse("2001-05-01")),
        **{key: Container(number=key) for key in "ABC"},
        **{str(one.number): one for one in moves},
    }  # fmt: skip
    return State([Held(key, one, n) for n, (key, one) in enumerate(records.items())])


def texts(found: State) -> list[str]:
    return [f"{one.sort}: {one.text}" for one in lacks(found, "PART")]


def test_a_spell_ends_where_the_next_begins() -> None:
    found = stays(state(moved("M1", "2002", "B"), moved("M2", "2003", "C")), "PART")
    assert [(one.spell.holder, str(one.until), one.last) for one in found] == [
        ("A", "2002", False), ("B", "2003", False), ("C", "None", True),
    ]  # fmt: skip


def test_an_unbroken_record_has_neither_gap_nor_overlap() -> None:
    assert texts(state(moved("M1", "2002", "B", origin="A"))) == []


def test_a_move_to_nowhere_is_a_gap_until_it_is_put_somewhere() -> None:
    (gap,) = lacks(state(moved("M1", "2002", None), moved("M2", "2004", "C")), "PART")
    assert (gap.sort, str(gap.begins), str(gap.ends)) == ("gap", "2002", "2004")


def test_a_move_from_where_the_record_does_not_have_it_is_an_overlap() -> None:
    (text,) = texts(state(moved("M1", "2002", "B", origin="C")))
    assert text.startswith("overlap: moved out of C on 2002")
    assert text.endswith("has it in A")


def test_two_places_of_one_day_are_an_overlap() -> None:
    found = texts(state(moved("M1", "2002-02-02", "B"), moved("M2", "2002-02-02", "C")))
    assert any("which came first is not recorded" in one for one in found)


def test_the_time_before_its_first_place_is_a_gap() -> None:
    (text,) = texts(state(moved("M1", "2003", "B"), first=None))
    assert text == "gap: between being taken off (2001-05-01) and its first place (2003)"
    assert texts(state(first=None)) == ["gap: no place was ever recorded"]


@given(
    st.dates(datetime.date(1900, 1, 1), datetime.date(2100, 1, 1)),
    st.integers(1900, 2100),
)
@settings(max_examples=60)
def test_a_year_is_due_while_it_lasts_and_overdue_after(
    day: datetime.date, year: int
) -> None:
    # Outside check: the calendar of the standard library.
    number = (day - datetime.date(1970, 1, 1)).days
    wanted = (
        Standing.LATER if day.year < year
        else Standing.DUE if day.year == year else Standing.OVERDUE
    )  # fmt: skip
    assert standing(Edtf.parse(str(year)), number) is wanted


def covered(over: list[tuple[int, int]], off: int | None = None) -> State:
    """Elements of which the first of each pair lies over the second."""
    records: dict[str, Record] = {"OBJ": MuseumObject(number="X.1", name="chest")}
    for n in range(6):
        records[f"E{n}"] = Element(
            number=f"E{n}", object="OBJ", name=f"layer {n}", sort=ElementSort.LAYER,
            status=Status.KEPT if n == off else Status.IN_PLACE,
        )  # fmt: skip
    for n, (a, b) in enumerate(over):
        records[f"C{n}"] = Claim(
            number=f"C{n}", about=f"E{a}", relation=Relation.LIES_OVER, other=f"E{b}",
            strength=Strength.STRONG,
        )  # fmt: skip
    return State([Held(key, one, n) for n, (key, one) in enumerate(records.items())])


PAIRS = st.lists(
    st.tuples(st.integers(0, 5), st.integers(0, 5)).filter(lambda ab: ab[0] != ab[1]),
    max_size=9,
)


@given(PAIRS)
@settings(max_examples=60)
def test_what_lies_over_comes_off_first_as_another_library_orders_it(
    over: list[tuple[int, int]],
) -> None:
    # Outside check: topological generations, ancestors and cycles by networkx.
    order = coming_off(covered(over), "E0")
    graph = nx.DiGraph(over)
    graph.add_node(0)
    near = graph.subgraph({0} | nx.ancestors(graph, 0))
    if nx.is_directed_acyclic_graph(near):
        wanted = [{f"E{n}" for n in step} for step in nx.topological_generations(near)]
        assert [set(step) for step in order.steps] == wanted
        assert order.loop == ()
    else:
        assert "E0" in order.loop


def test_what_is_off_already_stands_in_nobodys_way() -> None:
    assert coming_off(covered([(1, 0)], off=1), "E0").steps == (("E0",),)


def test_what_is_not_recorded_is_said_to_be_open() -> None:
    answer = depends_of(covered([]), "E0")
    assert "how it is held is not recorded" in answer.open
    assert answer.bonds == ()


def test_a_question_about_the_wrong_kind_of_thing_is_refused() -> None:
    with pytest.raises(NotRecorded, match="no element"):
        depends_of(covered([]), "OBJ")
    with pytest.raises(NotRecorded, match="name a happening"):
        treatment_of(state(), "A")
    assert samples_of(state(), "PART").samples == ()
