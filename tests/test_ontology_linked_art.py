"""The view of one object as Linked Art: other readers take it, and it keeps secrets.

Read by the package cromulent 1.0.1, which knows the profile's classes and properties and
refuses others; and by our own reader of foreign files.
"""

import json
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from vestige.graph.answer.whereabouts import locate
from vestige.graph.collection import Collection
from vestige.graph.record import Element, ElementSort, KeptPart
from vestige.graph.state import PUBLIC, Reader
from vestige.ontology.bringing_in import bring_in
from vestige.ontology.linked_art_writer import linked_art
from vestige.ontology.term import key_in
from vestige.ontology.whole_export import Keeper

SCREEN = "FEN.1931.44"


@pytest.fixture(scope="module")
def collection(museum: Path) -> Iterator[Collection]:
    with Collection.open(museum) as opened:
        yield opened


def view(collection: Collection, number: str, reader: Reader) -> bytes:
    state, key, _ = collection.of_object(number, reader=reader)
    return linked_art(state, collection.places_of(key, reader=reader), key)


def objects(collection: Collection) -> list[str]:
    return [str(one.body["number"]) for one in collection.store.of_kind("object")]


def test_a_reader_of_the_profile_takes_every_object(collection: Collection) -> None:
    pytest.importorskip("requests", reason="the package needs it and does not say so")
    from cromulent.reader import Reader as ProfileReader

    for number in objects(collection):
        written = view(collection, number, Keeper())
        read = ProfileReader(validate_profile=False).read(written)
        assert number in read._label


def test_a_property_that_the_profile_does_not_know_is_refused_by_that_reader() -> None:
    pytest.importorskip("requests")
    from cromulent.model import DataError
    from cromulent.reader import Reader as ProfileReader

    with pytest.raises(DataError, match="weather"):
        ProfileReader().read({"id": "urn:x", "type": "HumanMadeObject", "weather": "fine"})


def test_what_was_taken_off_is_no_part_but_a_removal(collection: Collection) -> None:
    document = json.loads(view(collection, SCREEN, Keeper()))
    state, _, _ = collection.of_object(SCREEN, reader=Keeper())
    kept = [part for _, part in state.all_of(KeptPart)]
    off = {state.label(part.element) for part in kept}
    told = {one["removed"][0]["_label"] for one in document["diminished_by"]}
    assert told == off
    assert not {one["_label"] for one in document["part"]} & off


def test_a_location_is_written_where_moves_tell_one(collection: Collection) -> None:
    told: dict[str, bool] = {}
    known: dict[str, bool] = {}
    for number in objects(collection):
        document = json.loads(view(collection, number, Keeper()))
        for one in document.get("diminished_by", ()):
            key = key_in(one["id"].removesuffix("#removal")) or ""
            told[key] = "current_location" in one["removed"][0]
        state = collection.places_of(collection.find(number), reader=Keeper())
        for each in locate(state, collection.find(number)).things:
            missed = each.alarm or each.not_seen or each.gone or each.conflict
            known[each.thing.key] = bool(each.place) and not missed
    assert {known[key] for key in told} == {True, False}
    assert told == {key: known[key] for key in told}


def test_our_own_reader_of_foreign_files_finds_the_same_parts(
    collection: Collection, tmp_path: Path
) -> None:
    (tmp_path / "screen.json").write_bytes(view(collection, SCREEN, Keeper()))
    state, _, _ = collection.of_object(SCREEN, reader=Keeper())
    with Collection.create(tmp_path / "b") as other:
        done = bring_in(other, tmp_path / "screen.json", "registrar")
        assert not done.stopped
        read, _, _ = other.of_object(SCREEN)
    bodies = {
        one.number
        for _, one in state.all_of(Element)
        if one.sort in (ElementSort.PART, ElementSort.FIXING)
    }
    assert {one.number for _, one in read.all_of(Element)} == bodies
    removed = [
        {str(each.removed_when) for _, each in some.all_of(KeptPart) if each.removed_when}
        for some in (state, read)
    ]
    assert removed[1] == removed[0]


def texts(value: Any) -> Iterator[str]:
    if isinstance(value, dict):
        for one in value.values():
            yield from texts(one)
    elif isinstance(value, list):
        for one in value:
            yield from texts(one)
    else:
        yield str(value)


def test_what_is_closed_to_a_reader_is_not_in_the_view(collection: Collection) -> None:
    whole, public = Keeper(), PUBLIC
    for number in objects(collection):
        states = [collection.of_object(number, reader=one)[0] for one in (whole, public)]
        secret = {
            str(text)
            for key in states[0]
            if states[0].held(key).record != states[1].held(key).record
            for text in states[0].held(key).record.body().values()
            if isinstance(text, str) and len(text) > 12 and " " in text
        }
        said = set(texts(json.loads(view(collection, number, public))))
        assert not said & secret
        assert not [one for one in said if one.startswith("restricted")]
