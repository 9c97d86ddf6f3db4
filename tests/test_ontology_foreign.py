"""CIDOC CRM and Linked Art of others: what is understood, and that nothing drops unseen.

The word table of Linked Art is compared with that of the package cromulent 1.0.1. The
files of the profile's documentation, where a folder with them is named in VESTIGE_EXAMPLES
or lies beside the checkout, must load and tell their removals rightly.
"""

import csv
import json
import os
import time
from collections.abc import Iterator
from importlib.resources import files
from pathlib import Path

import pytest
from foreign_box import LINKED_ART, TURTLE

from vestige.graph.answer.sequence import sequence_of
from vestige.graph.answer.whereabouts import locate
from vestige.graph.collection import Collection
from vestige.graph.errors import BadValue
from vestige.graph.record import Claim, Element, Happening, KeptPart, MuseumObject
from vestige.ontology.bringing_in import FOREIGN, BroughtIn, bring_in
from vestige.ontology.foreign_graph import within
from vestige.ontology.mapping import table

ROOT = Path(__file__).parent.parent
EXAMPLES = Path(
    os.environ.get("VESTIGE_EXAMPLES", ROOT.parent / "shared" / "data" / "examples")
)
needs_examples = pytest.mark.skipif(
    not (EXAMPLES / "linked-art-docs").is_dir(),
    reason="the profile's example files are not here; set VESTIGE_EXAMPLES to their folder",
)


@pytest.fixture
def home(tmp_path: Path) -> Iterator[Collection]:
    with Collection.create(tmp_path / "archive") as collection:
        yield collection


def brought(home: Collection, tmp_path: Path, name: str, text: str) -> BroughtIn:
    (tmp_path / name).write_text(text, encoding="utf-8")
    return bring_in(home, tmp_path / name, "registrar")


def test_a_foreign_box_tells_its_parts_and_what_happened(
    home: Collection, tmp_path: Path
) -> None:
    done = brought(home, tmp_path, "box.ttl", TURTLE)
    assert not done.stopped
    state, key, _ = home.of_object("B.77")
    assert {e.name for _, e in state.all_of(Element)} == {"tray", "brass hinge"}
    found = {h.name: (str(h.sort), str(h.when)) for _, h in state.all_of(Happening)}
    assert found == {
        "production": ("making", "[1840-01-01..1849-12-31]"),
        "hinge put on": ("modification", "1902~"),
        "hinge taken off": ("removal", "1987-03-02"),
    }
    [(_, part)] = state.all_of(KeptPart)
    assert str(part.removed_when) == "1987-03-02"
    assert home.find("urn:x-box:box") == key


def test_sequence_and_locate_tell_of_addition_removal_and_place(
    home: Collection, tmp_path: Path
) -> None:
    brought(home, tmp_path, "box.ttl", TURTLE)
    state, key, _ = home.of_object("B.77")
    order = sequence_of(state, key)
    [step] = order.steps
    assert "hinge taken off" in step.later.label
    assert "hinge put on" in step.earlier.label
    where = locate(home.places_of(key), key)
    [hinge] = [one for one in where.things if one.thing.kind == "part"]
    assert "drawer 4" in hinge.model_dump_json()


def test_every_claim_of_a_foreign_file_names_the_file_as_its_source(
    home: Collection, tmp_path: Path
) -> None:
    brought(home, tmp_path, "box.ttl", TURTLE)
    state = home.whole()
    claims = [claim for _, claim in state.all_of(Claim)]
    assert {claim.value for claim in claims} >= {"oak"}
    sources = {claim.source for claim in claims}
    assert len(sources) == 1
    assert None not in sources
    assert {str(claim.strength) for claim in claims} == {"neutral"}


def test_what_is_not_understood_is_listed_and_the_file_kept(
    home: Collection, tmp_path: Path
) -> None:
    done = brought(home, tmp_path, "box.ttl", TURTLE)
    assert any("P199_represents_instance_of_type" in one for one in done.unread)
    assert any("urn:x-box:adrift" in one and "no object" in one for one in done.remarks)
    assert len([one for one in done.unread if "urn:x-box:adrift" in one]) == 2
    assert home.folder is not None
    assert (home.folder / done.kept_as).read_text("utf-8") == TURTLE
    assert done.kept_as.startswith(FOREIGN)


def test_names_of_people_are_not_taken_over(home: Collection, tmp_path: Path) -> None:
    done = brought(home, tmp_path, "box.ttl", TURTLE)
    said = "".join(entry.body for entry in home.store.entries())
    assert "An Invented Name" not in said
    assert any("An Invented Name" in one for one in done.unread)


def test_a_foreign_file_again_changes_nothing(home: Collection, tmp_path: Path) -> None:
    brought(home, tmp_path, "box.ttl", TURTLE)
    head = home.store.head()
    again = brought(home, tmp_path, "box.ttl", TURTLE)
    assert (again.new, home.store.head()) == (0, head)


def test_linked_art_is_read_without_its_context(home: Collection, tmp_path: Path) -> None:
    done = brought(home, tmp_path, "lid.json", json.dumps(LINKED_ART))
    state, _, _ = home.of_object("urn:x-box:whole")
    [(_, removal)] = state.all_of(Happening)
    assert (str(removal.sort), str(removal.when)) == ("removal", "1990")
    [(_, lid)] = state.all_of(Element)
    assert lid.name == "lid of an invented box"
    assert any("/weather" in one for one in done.unread)


def test_a_thing_without_a_class_is_what_its_acquisition_asks_for(
    home: Collection, tmp_path: Path
) -> None:
    """CIDOC CRM 7.1.3: the range of P24 transferred title of is E18 Physical Thing."""
    text = (
        "@prefix crm: <http://www.cidoc-crm.org/cidoc-crm/> .\n"
        "<urn:x:thing> crm:P24i_changed_ownership_through <urn:x:bought> .\n"
        "<urn:x:bought> a crm:E8_Acquisition ; crm:P23_transferred_title_from <urn:x:s> ."
    )
    done = brought(home, tmp_path, "bought.ttl", text)
    state, _, _ = home.of_object("urn:x:thing")
    [(_, happening)] = state.all_of(Happening)
    assert str(happening.sort) == "acquisition"
    assert any("bears no class" in one for one in done.remarks)
    assert any("P23_transferred_title_from" in one for one in done.unread)


def test_a_thing_that_is_a_part_of_itself_is_left_and_said(
    home: Collection, tmp_path: Path
) -> None:
    loop = (
        "@prefix crm: <http://www.cidoc-crm.org/cidoc-crm/> .\n"
        "<urn:a> a crm:E22_Human-Made_Object ; crm:P46_is_composed_of <urn:b> .\n"
        "<urn:b> a crm:E22_Human-Made_Object ; crm:P46_is_composed_of <urn:a> .\n"
        "<urn:c> a crm:E22_Human-Made_Object ; crm:P46_is_composed_of <urn:d> .\n"
    )
    done = brought(home, tmp_path, "loop.ttl", loop)
    assert [one for one in done.remarks if "part of itself" in one] == [
        "urn:a is a part of itself; left", "urn:b is a part of itself; left",
    ]  # fmt: skip
    state, _, _ = home.of_object("urn:c")
    assert [one.number for _, one in state.all_of(Element)] == ["urn:d"]


def test_parts_nested_without_measure_are_read_in_time(
    home: Collection, tmp_path: Path
) -> None:
    lines = "\n".join(
        f"<urn:x:{n}> a crm:E22_Human-Made_Object ; "
        f"crm:P46_is_composed_of <urn:x:{n + 1}> ."
        for n in range(2_000)
    )
    head = "@prefix crm: <http://www.cidoc-crm.org/cidoc-crm/> .\n"
    start = time.monotonic()
    done = brought(home, tmp_path, "deep.ttl", head + lines)
    assert time.monotonic() - start < 30
    assert (done.stopped, len(done.unread)) == (False, 0)
    assert done.new == 2_002  # the source, the object and its parts


def test_a_file_without_any_object_records_nothing(
    home: Collection, tmp_path: Path
) -> None:
    done = brought(home, tmp_path, "x.ttl", "<urn:a> <urn:b> <urn:c> .")
    assert done.stopped
    assert home.store.head().seq == 0
    assert len(done.unread) == 1


def test_words_of_linked_art_stand_for_what_a_registry_package_says() -> None:
    place = files("cromulent").joinpath("data/crm_vocab.tsv")
    csv.field_size_limit(1_000_000)
    rows = csv.DictReader(place.read_text("utf-8").splitlines(), delimiter="\t")
    keys = {row["term"]: row["json-ld key"] for row in rows}
    words = table()["linked_art"]
    ours = {**words["class"], **words["property"]}
    assert len(ours) > 55
    assert {word for word, term in ours.items() if keys.get(term[4:]) != word} == set()
    for word in ("part", "part_of"):
        assert {keys[term[4:]] for term in words[word].values()} == {word}


@pytest.mark.parametrize(
    ("first", "last", "edtf"),
    [
        ("1855", "1855", "1855"),
        ("1855-03-01", "1855-03-31T23:59:59Z", "1855-03"),
        ("1855-03-01", "", "[1855-03-01..]"),
        ("", "1855-03-01", "[..1855-03-01]"),
        ("no date", "none", "None"),
    ],
)
def test_bounds_become_the_date_that_says_no_more(first: str, last: str, edtf: str) -> None:
    assert str(within(first, last)) == edtf


@needs_examples
def test_a_published_removal_is_told_by_sequence_and_locate(home: Collection) -> None:
    """Documented example of the Linked Art profile: a page removed from a book."""
    path = EXAMPLES / "linked-art-docs" / "object_production_12.json"
    done = bring_in(home, path, "registrar")
    assert not done.stopped
    document = json.loads(path.read_text("utf-8"))
    whole = document["removed_by"][0]["diminished"]
    state, key, _ = home.of_object(whole["id"])
    assert state.record(key, MuseumObject).name == whole["_label"]
    [(_, removal)] = state.all_of(Happening)
    assert str(removal.sort) == "removal"
    told = sequence_of(state, key)
    every = [*told.unrelated, *(one for level in told.levels for one in level)]
    assert any(document["_label"] in one.label for one in every)
    where = locate(home.places_of(key), key)
    [part] = [one for one in where.things if one.thing.kind == "part"]
    assert document["_label"] in part.thing.label


@needs_examples
def test_every_example_file_loads_or_says_why_not(tmp_path: Path) -> None:
    loaded, told = 0, 0
    paths = sorted(EXAMPLES.glob("linked-art-docs/*.json"))[::4]
    paths += sorted(EXAMPLES.glob("provenance-events/*.ttl"))
    for nth, path in enumerate(paths):
        with Collection.create(tmp_path / str(nth)) as home:
            try:
                done = bring_in(home, path, "registrar")
            except BadValue:  # two files are broken where they come from
                told += 1
                continue
            loaded += not done.stopped
            told += done.stopped
            assert done.stopped == (home.store.head().seq == 0)
    assert loaded > 15
    assert told < len(paths)
