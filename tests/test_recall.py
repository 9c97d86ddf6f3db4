"""Recall: what a material, batch or class touched, in which time, and how near."""

from collections.abc import Iterator, Mapping
from pathlib import Path

import networkx as nx
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from vestige.graph.answer.recall import Recall, recall_of
from vestige.graph.answer.recall_walk import synonyms
from vestige.graph.collection import Collection, first_day_of, last_day_of
from vestige.graph.errors import NotRecorded
from vestige.graph.keeping import Reach, Wanted, recall
from vestige.graph.ledger import State as Say
from vestige.graph.record import (
    Batch,
    Caution,
    CautionSort,
    Claim,
    Edtf,
    Element,
    ElementSort,
    Happening,
    HappeningSort,
    KeptPart,
    Material,
    MuseumObject,
    Record,
    Relation,
    Result,
    Sample,
    Stance,
    Status,
    Strength,
)
from vestige.graph.state import Held, Reader, State


def element(number: str, **more: object) -> Element:
    said = {"object": "OBJ", "name": number, "sort": ElementSort.PART} | more
    return Element(number=number, **said)


def treated(number: str, when: str | None, *used: str, of: tuple[str, ...]) -> Happening:
    return Happening(
        number=number, object="OBJ", name="joined", sort=HappeningSort.TREATMENT,
        when=Edtf.parse(when) if when else None, elements=of, used=used,
    )  # fmt: skip


def world() -> dict[str, Record]:
    """An invented chest, mended in three years with two batches of one adhesive."""
    return {
        "OBJ": MuseumObject(number="X.1", name="chest"),
        "GLUE": Material(number="M-1", name="test resin", material_class="adhesive",
                         other_names=("TR-9",)),
        "WAX": Material(number="M-2", name="test wax", material_class="coating"),
        "OLD": Batch(number="B-1", material="GLUE"),
        "NEW": Batch(number="B-2", material="GLUE"),
        "LID": element("LID", touches=("BODY",)),
        "BODY": element("BODY"),
        "FOOT": element("FOOT"),
        "KNOB": element("KNOB", status=Status.KEPT),
        "HIDDEN": element("HIDDEN", material="test resin", note="ninth knot"),
        "BASE": element("BASE", note="no test resin was seen"),
        "T1": treated("T1", "1990", "OLD", of=("LID",)),
        "T2": treated("T2", "2005", "NEW", of=("FOOT",)),
        "T3": treated("T3", None, "GLUE", of=("KNOB",)),
        "P1": KeptPart(number="P1", element="LID", removed_when=Edtf.parse("1985")),
        "P2": KeptPart(number="P2", element="LID", removed_when=Edtf.parse("1995")),
        "S1": Sample(number="S1", element="BODY", taken_when=Edtf.parse("2001")),
        "S2": Sample(number="S2", element="BODY", made_from="S1"),
        "R1": Result(number="R1", of="OLD", method="ageing test", found="yellowed"),
        "R2": Result(number="R2", of="BASE", method="FTIR", found="no test resin"),
        "R3": Result(number="R3", of="HIDDEN", method="FTIR", found="a resin"),
        "C1": Claim(number="C1", about="BASE", relation=Relation.MADE_OF,
                    value="test resin", strength=Strength.WEAK, stance=Stance.AGAINST),
        "SHUT": Caution(number="SHUT", about=("HIDDEN",), sort=CautionSort.RESTRICTION,
                        what="closed", ask="community liaison", hide=True),
    }  # fmt: skip


@pytest.fixture(scope="module")
def chest(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Collection]:
    folder: Path = tmp_path_factory.mktemp("chest")
    with Collection.create(folder) as collection:
        acts = [Say(one.kind, key, one.body()) for key, one in world().items()]
        collection.record("registrar", acts)
        yield collection


def asked(
    chest: Collection, name: str, first: str | None = None, last: str | None = None,
    role: str | None = None,
) -> Recall:  # fmt: skip
    state, wanted, named = chest.recalled(name, reader=Reader(role))
    span = (
        (first_day_of(first) if first else None, first),
        (last_day_of(last) if last else None, last),
    )
    return recall_of(state, wanted, name, named, span)


def reached(answer: Recall, reach: str = "direct") -> set[str]:
    return {one.thing.number for one in answer.things if one.reach == reach}


def test_a_batch_touches_what_it_was_used_on_and_what_came_off_later(
    chest: Collection,
) -> None:
    answer = asked(chest, "B-1")
    assert reached(answer) == {"LID", "P2", "KNOB"}  # P1 was off before 1990
    assert reached(answer, "through contact") == {"BODY", "S1", "S2"}
    (knob,) = [one for one in answer.things if one.thing.number == "KNOB"]
    assert "the batch is not recorded" in knob.reasons[0].how


def test_a_material_touches_what_all_its_batches_touched(chest: Collection) -> None:
    for name in ("M-1", "test resin", "TR-9", "adhesive"):
        assert reached(asked(chest, name)) == {"LID", "P2", "FOOT", "KNOB"}


def test_a_failed_test_recalls_all_that_its_batch_touched(chest: Collection) -> None:
    assert reached(asked(chest, "R1")) == reached(asked(chest, "B-1"))


def test_dates_leave_out_only_what_cannot_have_been_touched_then(
    chest: Collection,
) -> None:
    assert reached(asked(chest, "M-1", "2000", "2010")) == {"FOOT", "KNOB"}
    assert reached(asked(chest, "M-1", None, "1995")) == {"LID", "P2", "KNOB"}


def test_what_was_denied_or_not_found_is_only_a_mention(chest: Collection) -> None:
    answer = asked(chest, "test resin")
    assert "BASE" in reached(answer, "mentioned only")
    assert "BASE" not in reached(answer)


def test_a_closed_record_is_recalled_for_its_authority_only(chest: Collection) -> None:
    assert "HIDDEN" not in asked(chest, "test resin").model_dump_json()
    assert "HIDDEN" in reached(asked(chest, "test resin", role="community liaison"))


def test_no_answer_tells_that_a_closed_record_holds_a_word(chest: Collection) -> None:
    secret = asked(chest, "ninth knot")
    nothing = asked(chest, "eighth knot")
    assert secret.things == nothing.things == ()
    assert "ninth knot" in str(asked(chest, "ninth knot", role="community liaison").things)


def test_a_result_does_not_tell_of_what_a_closed_element_is_made(
    chest: Collection,
) -> None:
    with pytest.raises(NotRecorded, match="that you may read"):
        asked(chest, "R3")
    assert "HIDDEN" in reached(asked(chest, "R3", role="community liaison"))


def test_what_is_no_material_is_refused_with_the_reason(chest: Collection) -> None:
    with pytest.raises(NotRecorded, match=r"X.1 is a record of the kind object"):
        asked(chest, "X.1")


def test_the_two_names_of_one_polymer_are_one() -> None:
    # Source: Shashoua et al., Studies in Conservation 37, 1992, for the abbreviation.
    assert "cellulose nitrate" in synonyms("CN")
    assert synonyms("no such stuff") == ["no such stuff"]


def test_a_short_name_is_found_only_as_a_word() -> None:
    wanted = Wanted(words=("CN",))
    assert wanted.named_in("adhesive, cn") == "CN"
    assert wanted.named_in("CNC-cut board") is None


EDGES = st.lists(st.tuples(st.integers(0, 7), st.integers(0, 7)), max_size=12)


@settings(max_examples=50)
@given(EDGES, st.sets(st.integers(0, 7), min_size=1), EDGES)
def test_the_same_things_are_reached_as_by_another_graph_library(
    touching: list[tuple[int, int]], used: set[int], taken: list[tuple[int, int]]
) -> None:
    # Outside check: neighbours and descendants by networkx.
    touches: Mapping[int, set[str]] = {
        n: {f"E{b}" for a, b in touching if a == n and b != n} for n in range(8)
    }
    parts = {f"P{i}": f"E{e}" for i, (e, _) in enumerate(taken)}
    records: dict[str, Record] = {"OBJ": MuseumObject(number="X", name="x")}
    records["GLUE"] = Material(number="M", name="stuff")
    for n in range(8):
        records[f"E{n}"] = element(f"E{n}", touches=tuple(sorted(touches[n])))
    records |= {key: KeptPart(number=key, element=of) for key, of in parts.items()}
    records["T"] = treated("T", "1990", "GLUE", of=tuple(f"E{n}" for n in sorted(used)))
    found = recall(
        State([Held(key, one) for key, one in records.items()]),
        Wanted(frozenset({"GLUE"})),
    )
    contact = nx.Graph((f"E{a}", other) for a in range(8) for other in touches[a])
    contact.add_nodes_from(f"E{n}" for n in range(8))
    direct = {f"E{n}" for n in used}
    near = direct | {other for one in direct for other in contact.neighbors(one)}
    wanted = near | {key for key, of in parts.items() if of in near}
    assert set(found) == wanted
    nearest = {key for key, why in found.items() if why[0].reach is Reach.DIRECT}
    assert nearest == direct | {key for key, of in parts.items() if of in direct}
