"""What a reader may not see is closed before any answer is built."""

from collections.abc import Iterator
from pathlib import Path

import pytest

from vestige.graph.answer.assessment import assess_of, why_of
from vestige.graph.answer.caution import cautions_of
from vestige.graph.answer.report import report_of
from vestige.graph.answer.whereabouts import locate
from vestige.graph.collection import Collection
from vestige.graph.ledger import State as Say
from vestige.graph.record import (
    Caution,
    CautionSort,
    Claim,
    Element,
    ElementSort,
    MuseumObject,
    Picture,
    Record,
    Relation,
    Source,
    SourceKind,
    Strength,
)
from vestige.graph.state import PUBLIC, Reader

SECRET = "the song of the ninth knot"
LIAISON = Reader("community liaison")
KEYS = {
    "object": "OBJ",
    "element": "KNOT",
    "source": "TALK",
    "claim": "SAID",
    "picture": "SHOT",
    "caution": "CLOSED",
}


def records() -> dict[str, Record]:
    return {
        "OBJ": MuseumObject(number="X.1", name="sledge"),
        "KNOT": Element(number="K-9", object="OBJ", name="knot", sort=ElementSort.FIXING),
        "TALK": Source(number="S-1", name=f"told: {SECRET}", sort=SourceKind.COMMUNITY,
                       access="community liaison", note=SECRET),
        "SAID": Claim(number="O-1", about="KNOT", relation=Relation.NOTED, value=SECRET,
                      strength=Strength.STRONG, source="TALK", note=SECRET,
                      rival=f"not {SECRET}", spot=SECRET),
        "SHOT": Picture(number="P-1", of=("KNOT",), name=SECRET, file="ninth.jpg"),
        "CLOSED": Caution(number="C-1", about=("SAID", "SHOT"),
                          sort=CautionSort.RESTRICTION, what="content is closed",
                          ask="community liaison", hide=True),
    }  # fmt: skip


@pytest.fixture
def sledge(tmp_path: Path) -> Iterator[Collection]:
    with Collection.create(tmp_path / "archive") as collection:
        acts = [Say(one.kind, key, one.body()) for key, one in records().items()]
        collection.record("registrar", acts)
        yield collection


def told(collection: Collection, reader: Reader) -> str:
    """Everything that the answers say of the object to a reader."""
    state = collection.around("OBJ", reader=reader)
    places = collection.places_of("OBJ", reader=reader)
    answers = (
        assess_of(state, "OBJ"),
        why_of(state, "KNOT"),
        cautions_of(places, "KNOT"),
        locate(places, "OBJ"),
        report_of(state, "OBJ", "head"),
    )
    return "\n".join(answer.model_dump_json() for answer in answers)


def test_the_public_sees_no_closed_word_in_any_answer(sledge: Collection) -> None:
    said = told(sledge, PUBLIC)
    assert SECRET not in said
    assert "ninth" not in said


def test_the_public_is_told_whom_to_ask(sledge: Collection) -> None:
    state = sledge.around("OBJ")
    assert state.record("SAID", Claim).value == "restricted: ask community liaison"
    assert state.record("TALK", Source).name == "restricted: ask community liaison"


def test_another_role_is_no_key(sledge: Collection) -> None:
    assert SECRET not in told(sledge, Reader("registrar"))


def test_the_role_that_is_to_be_asked_sees_it(sledge: Collection) -> None:
    state = sledge.around("OBJ", reader=LIAISON)
    assert state.record("SAID", Claim).value == SECRET
    assert SECRET in told(sledge, LIAISON)


@pytest.mark.parametrize("words", ["song", "ninth", "ninth knot"])
def test_a_search_does_not_find_closed_words(sledge: Collection, words: str) -> None:
    assert sledge.search(words)[1] == []
    assert sledge.search(words, reader=LIAISON)[1] != []


def test_an_open_record_is_found_by_everybody(sledge: Collection) -> None:
    assert sledge.search("sledge")[1] == ["OBJ"]
