"""SHACL shapes and word lists: what they find, and that other tools read them.

pySHACL is the engine and, for the shapes themselves, the outside judge: it checks them
against the SHACL of SHACL (W3C). Labels of the thesaurus (AAT) are compared with a list
of identifiers and labels where one lies beside the checkout.
"""

import csv
import os
import tomllib
from importlib.resources import files
from pathlib import Path

import pyshacl
import pytest
import rdflib
from click.testing import CliRunner
from random_archive import random_archive

from vestige.graph.collection import Collection
from vestige.graph.errors import Refused
from vestige.graph.ledger import State as Statement
from vestige.graph.record.word import SYNONYMS, ElementSort, Relation
from vestige.ontology.mapping import prefixes
from vestige.ontology.rdf_file import ntriples
from vestige.ontology.shapes import check_triples, check_written, shapes_turtle
from vestige.ontology.vocabulary import (
    OWN_FILE,
    own_vocabulary,
    vocabulary_turtle,
    word_lists,
)
from vestige.ontology.whole_export import Keeper, written_archive
from vestige.ui.command import cli

ROOT = Path(__file__).parent.parent
LABELS = Path(
    os.environ.get(
        "VESTIGE_AAT", ROOT.parent / "shared" / "ontology-draft" / "AAT_VERIFIED.tsv"
    )
)
SKOS = rdflib.Namespace(prefixes()["skos"])
TTL = "@prefix skos: <http://www.w3.org/2004/02/skos/core#> .\n"


@pytest.fixture(scope="module")
def lines() -> str:
    """A small lawful archive as N-Triples."""
    return ntriples(list(written_archive(random_archive(11, rounds=1), Keeper())))


def test_what_vestige_writes_keeps_to_the_shapes() -> None:
    for seed in (1, 2):
        written = list(written_archive(random_archive(seed, rounds=1), Keeper()))
        assert check_written(written, "x") == ()


def test_the_shapes_are_well_formed_by_the_shapes_of_shacl() -> None:
    head, *blocks = shapes_turtle().split("\n\n")
    some = [head, *(one for one in blocks if one.startswith(("vsh:Rec", "vsh:Claim")))]
    assert len(some) == 3  # every noun's shape is made the same way
    shapes = rdflib.Graph().parse(data="\n\n".join(some), format="turtle")
    conforms, _, text = pyshacl.validate(
        rdflib.Graph(), shacl_graph=shapes, meta_shacl=True, inference="none"
    )
    assert conforms, text


@pytest.mark.parametrize(
    ("field", "change", "words"),
    [
        ("element_name", None, "'name' of an element holds words, once"),
        ("object_name", None, "'name' of an object"),
        ("claim_strength", ("Strength-", "Might-"), "holds one of these words: decisive"),
        ("element_sort", None, "'kind' of an element"),
    ],
)
def test_a_planted_fault_is_found_at_its_record_and_field(
    lines: str, field: str, change: tuple[str, str] | None, words: str
) -> None:
    mark = f"ns#{field}>"
    every = lines.splitlines(keepends=True)
    assert any(mark in one for one in every)
    if change is None:
        planted = "".join(one for one in every if mark not in one)
    else:
        planted = "".join(one.replace(*change) if mark in one else one for one in every)
    found = check_triples(planted, "x.nt")
    assert found
    assert all(words in one.wrong for one in found)
    assert all(one.place.sheet and one.place.column for one in found)


def test_a_pointer_to_the_wrong_kind_is_found() -> None:
    home = random_archive(11, rounds=1)
    claim = home.store.of_kind("claim")[0]
    other = home.store.of_kind("material")[0].key
    body = claim.body | {"about": other}
    home.record("r", [Statement("claim", claim.key, body, claim.seq, "planted")])
    found = check_written(list(written_archive(home, Keeper())), "x")
    assert any("names a record of these kinds: object" in one.wrong for one in found)


def test_too_much_to_check_at_once_is_said(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("vestige.ontology.shapes.MOST_STATEMENTS", 3)
    with pytest.raises(Refused, match="in one go"):
        check_triples("<urn:a> <urn:b> <urn:c> .\n" * 4, "x")


def test_the_command_checks_an_archive_and_a_file(tmp_path: Path) -> None:
    home, out = tmp_path / "a", tmp_path / "a.ttl"
    with Collection.create(home) as made:
        role = {"number": "OC", "name": "objects conservator"}
        made.record("r", [Statement("role", made.keys.new(), role)])
    run = CliRunner().invoke
    told = run(cli, ["check", "--shapes", "--archive", str(home)])
    assert (told.exit_code, "nothing wrong" in told.stdout) == (0, True)
    run(cli, ["export", "--out", str(out), "--archive", str(home)])
    assert run(cli, ["check", str(out)]).exit_code == 0
    text = out.read_text("utf-8").replace("ves:role_name", "ves:role_nam")
    out.write_text(text, encoding="utf-8")
    told = run(cli, ["check", str(out)])
    assert told.exit_code == 4
    assert "role OC" in told.stdout
    assert "sheet Roles" in told.stdout
    assert run(cli, ["check"]).exit_code == 2


def test_every_word_of_a_list_is_a_concept_with_its_other_spellings() -> None:
    graph = rdflib.Graph().parse(data=vocabulary_turtle(), format="turtle")
    labels = {
        str(label)
        for concept in graph.subjects(SKOS.inScheme, None)
        for label in graph.objects(concept, SKOS.prefLabel)
    }
    assert {word for words in word_lists().values() for word in words} <= labels
    others = {str(one) for one in graph.objects(None, SKOS.altLabel)}
    assert set(SYNONYMS[Relation]) | set(SYNONYMS[ElementSort]) <= others


def test_every_word_of_every_list_has_one_scope_note_of_its_own() -> None:
    graph = rdflib.Graph().parse(data=vocabulary_turtle(), format="turtle")
    for scheme in graph.subjects(rdflib.RDF.type, SKOS.ConceptScheme):
        words = list(graph.subjects(SKOS.inScheme, scheme))
        notes = [list(graph.objects(word, SKOS.scopeNote)) for word in words]
        assert {len(own) for own in notes} == {1}, scheme
        assert len({str(own[0]) for own in notes}) == len(words), scheme
        assert graph.value(scheme, SKOS.note)  # the source of the list


def test_every_relation_that_gives_an_order_has_a_scope_note_and_a_source() -> None:
    from vestige.graph.record.word import EARLIER, LATER

    graph = rdflib.Graph().parse(data=vocabulary_turtle(), format="turtle")
    for word in LATER | EARLIER:
        concept = graph.value(None, SKOS.prefLabel, rdflib.Literal(str(word), lang="en"))
        assert graph.value(concept, SKOS.scopeNote), word


@pytest.mark.skipif(not LABELS.is_file(), reason="no list of AAT labels; set VESTIGE_AAT")
def test_every_match_with_the_thesaurus_bears_the_label_that_it_has_there() -> None:
    with LABELS.open(encoding="utf-8") as opened:
        rows = {row["aat_id"]: row for row in csv.DictReader(opened, delimiter="\t")}
    text = files("vestige.ontology").joinpath("vocabulary.toml").read_text("utf-8")
    matches = tomllib.loads(text)["match"]
    for words in matches.values():
        for _, number, label in words.values():
            assert rows[str(number)]["label"] == label
            assert rows[str(number)]["ids_with_same_label"] == "1"


def test_a_museum_adds_words_and_languages_of_its_own(tmp_path: Path) -> None:
    (tmp_path / OWN_FILE).write_text(
        TTL + "<urn:x:dowel> a skos:Concept ; skos:prefLabel 'dowel'@en ; skos:broader"
        " <https://w3id.org/vestige/voc#ElementSort-fixing> .\n"
        "<https://w3id.org/vestige/voc#ElementSort-part> skos:prefLabel 'Teil'@de .",
        encoding="utf-8",
    )
    own = own_vocabulary(tmp_path)
    assert own is not None
    assert len(own.triples) == 4
    assert "dowel" in vocabulary_turtle(tmp_path)


@pytest.mark.parametrize(
    ("said", "words"),
    [
        (
            "<https://w3id.org/vestige/voc#Strength-weak> skos:prefLabel 'strong'@en .",
            "fixed",
        ),
        ("<urn:x:a> <urn:x:b> <urn:x:c> .", "no property of a vocabulary"),
        ("[] a skos:Concept .", "name of its own"),
    ],
)
def test_what_changes_our_words_or_is_no_vocabulary_is_refused(
    tmp_path: Path, said: str, words: str
) -> None:
    (tmp_path / OWN_FILE).write_text(TTL + said, encoding="utf-8")
    with pytest.raises(Refused, match=words):
        own_vocabulary(tmp_path)
