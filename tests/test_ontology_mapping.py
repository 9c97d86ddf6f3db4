"""The mapping table keeps to the standards: each term exists, each step is allowed.

Checked against the standards' own files (RDFS of CIDOC CRM 7.1.3, CRMsci 3.2, CRMinf
1.2.1, PROV-O) where a folder with them is named in VESTIGE_STANDARDS or lies beside the
checkout; and always against the table of CIDOC CRM 7.1 terms in the package cromulent.
"""

import csv
import os
from collections.abc import Iterator
from functools import cache
from importlib.resources import files
from pathlib import Path

import pytest
import rdflib
from rdflib import RDF, RDFS

from vestige.graph.record import KINDS
from vestige.ontology.mapping import (
    FieldTerm,
    KindTerm,
    Sort,
    full,
    kind_terms,
    own_terms,
    prefixes,
    table,
)
from vestige.ontology.own_ontology import context, ontology_page, ontology_turtle

ROOT = Path(__file__).parent.parent
STANDARDS = Path(
    os.environ.get("VESTIGE_STANDARDS", ROOT.parent / "shared" / "data" / "standards")
)
FILES = {
    "CIDOC_CRM_v7.1.3.rdf": "xml",
    "CRMsci_v3.2.rdf": "xml",
    "CRMinf_v1.2.1.rdf": "xml",
    "prov-o.ttl": "turtle",
}
PUBLISHED = ("crm", "sci", "inf", "prov")
needs_standards = pytest.mark.skipif(
    not all((STANDARDS / name).is_file() for name in FILES),
    reason="the standards' RDFS files are not here; set VESTIGE_STANDARDS to their folder",
)
Checked = tuple[str, tuple[str, ...], str, tuple[str, ...]]


@cache
def standards() -> rdflib.Graph:
    graph = rdflib.Graph()
    for name, form in FILES.items():
        graph.parse(STANDARDS / name, format=form)
    graph.parse(data=ontology_turtle(), format="turtle")
    return graph


def iri(term: str) -> rdflib.URIRef:
    return rdflib.URIRef(full(term))


def above(graph: rdflib.Graph, cls: str) -> set[object]:
    return set(graph.transitive_objects(iri(cls), RDFS.subClassOf))


def start_classes(kind: KindTerm, words: frozenset[str], field: str) -> tuple[str, ...]:
    """Classes that a record surely has where a path is written."""
    sure = [*kind.parents, kind.term]
    for sort in kind.sorts:
        if sort.field == field and not sort.words and not sort.absent:
            sure += sort.classes
    return (*sure, *by_words(kind.sorts, words))


def by_words(sorts: tuple[Sort, ...], words: frozenset[str]) -> tuple[str, ...]:
    """A class that is meant for all of the words; of several, that which all share."""
    if not words:
        return ()
    each = [
        {c for sort in sorts if word in sort.words for c in sort.classes} for word in words
    ]
    common = set.intersection(*each) if each else set()
    return tuple(sorted(common)) or ("|".join(sorted(set().union(*each))),)


def targets(field: FieldTerm, to: frozenset[str]) -> list[tuple[str, ...]]:
    """Classes of each thing to which a path may be written."""
    if field.value == "word":
        return [("crm:E55_Type",)]
    found: list[tuple[str, ...]] = []
    element = kind_terms()["element"]
    for kind in field.points_to:
        if kind != "element":
            if not to or kind in to:
                found.append(kind_terms()[kind].parents)
            continue
        sorts = [one for one in element.sorts if not to or one.words & to]
        found += [one.classes for one in sorts]
    return found


def steps_of_the_table() -> Iterator[
    tuple[str, tuple[str, ...], str, list[tuple[str, ...]]]
]:
    """Where each step starts (classes), its property, where it may end (classes)."""
    for kind in kind_terms().values():
        for field in kind.fields.values():
            for path in field.paths:
                place = f"{kind.kind}.{field.name}"
                classes = start_classes(kind, path.words, field.name)
                for step in path.steps:
                    ends = end_of(field, step.property, path.to)
                    if step.cls:
                        ends = [(step.cls,)]
                    yield place, classes, step.property, ends
                    classes = (step.cls,)


def end_of(field: FieldTerm, last: str, to: frozenset[str]) -> list[tuple[str, ...]]:
    if field.value == "date" and last == "crm:P4_has_time-span":
        return [("crm:E52_Time-Span",)]
    if last == "crm:P43_has_dimension":
        return [("crm:E54_Dimension",)]
    if field.value in ("record", "word") and last != "inf:J5_holds_to_be":
        return targets(field, to)
    return [("rdfs:Literal",)]


def test_the_table_speaks_of_nouns_and_fields_that_exist() -> None:
    assert set(table()["class"]) <= set(KINDS)
    assert [row for row in table()["sort"] if row["kind"] not in KINDS] == []
    for row in table()["path"]:
        kinds = KINDS if row["kinds"] == ["*"] else row["kinds"]
        assert any(row["field"] in KINDS[kind].model_fields for kind in kinds), row


def test_words_of_the_table_are_words_of_the_lists() -> None:
    from vestige.graph.record.record import word_list

    for kind, term in kind_terms().items():
        for sort in term.sorts:
            words = word_list(KINDS[kind].model_fields[sort.field])
            assert not sort.words or (words and sort.words <= {*words}), (kind, sort)


@needs_standards
def test_every_published_term_exists_in_the_standards_files() -> None:
    graph = standards()
    used = {one for kind in kind_terms().values() for one in kind.parents}
    used |= {c for k in kind_terms().values() for s in k.sorts for c in s.classes}
    used |= {one for own in own_terms() for one in (*own.parents, own.domain, own.range)}
    for _, classes, prop, ends in steps_of_the_table():
        used |= {prop, *(one for c in classes for one in c.split("|"))}
        used |= {one for end in ends for one in end}
    published = {one for one in used if one.split(":")[0] in PUBLISHED}
    assert len(published) > 60
    assert [one for one in sorted(published) if (iri(one), None, None) not in graph] == []


@needs_standards
def test_every_step_keeps_to_the_declared_domain_and_range() -> None:
    graph = standards()
    wrong = []
    for place, classes, prop, ends in steps_of_the_table():
        domain = set(graph.objects(iri(prop), RDFS.domain))
        starts = [one.split("|") for one in classes]
        fits = any(all(above(graph, c) & domain for c in some) for some in starts)
        if domain and not fits:
            wrong.append((place, classes, prop, "domain"))
        reach = set(graph.objects(iri(prop), RDFS.range))
        for end in ends:
            held = {one for c in end for one in above(graph, c)} | {iri(c) for c in end}
            if reach and not held & reach:
                wrong.append((place, end, prop, "range"))
    assert wrong == []


@needs_standards
def test_an_own_property_is_no_wider_than_the_one_above_it() -> None:
    graph = standards()
    wrong = []
    for prop in graph.subjects(RDF.type, RDF.Property):
        if not str(prop).startswith(prefixes()["ves"]):
            continue
        for parent in graph.objects(prop, RDFS.subPropertyOf):
            for which in (RDFS.domain, RDFS.range):
                wide = set(graph.objects(parent, which))
                mine = [
                    one
                    for cls in graph.objects(prop, which)
                    for one in graph.transitive_objects(cls, RDFS.subClassOf)
                ]
                if wide and not wide & set(mine):
                    wrong.append((str(prop), str(parent), str(which)))
    assert wrong == []


@needs_standards
def test_a_step_that_the_standard_refuses_is_found() -> None:
    """CIDOC CRM 7.1.3: P55 has current location is for E19, which S20 and E26 are not."""
    graph = standards()
    domain = set(graph.objects(iri("crm:P55_has_current_location"), RDFS.domain))
    assert not above(graph, "sci:S20_Rigid_Physical_Feature") & domain


@cache
def registry_terms() -> dict[str, dict[str, str]]:
    """CIDOC CRM 7.1 as the package cromulent 1.0.1 tabulates it."""
    place = files("cromulent").joinpath("data/crm_vocab.tsv")
    csv.field_size_limit(1_000_000)
    rows = csv.DictReader(place.read_text("utf-8").splitlines(), delimiter="\t")
    return {row["term"]: row for row in rows}


def test_every_crm_term_is_in_the_table_of_a_registry_package() -> None:
    terms = registry_terms()
    used = {prop for _, _, prop, _ in steps_of_the_table()}
    used |= {c for _, classes, _, _ in steps_of_the_table() for c in classes}
    crm = {one[4:] for one in used if one.startswith("crm:") and "|" not in one}
    assert len(crm) > 40
    assert sorted(crm - set(terms)) == []


def test_crm_steps_keep_to_domain_and_range_of_the_registry_package() -> None:
    checked, wrong = 0, []
    for place, classes, prop, ends in steps_of_the_table():
        row = registry_terms().get(prop[4:])
        known = in_registry(classes)
        if row is None or not prop.startswith("crm:") or not known:
            continue
        if len(known) < len([c for c in classes if not c.startswith("ves:")]):
            continue  # the class of another model decides, which this table does not have
        checked += 1
        reached = [inside for end in ends if (inside := in_registry(end))]
        pairs = [(known, row["domain"]), *((one, row["range"]) for one in reached)]
        wrong += [(place, some, prop) for some, wide in pairs if not within(some, wide)]
    assert checked > 40
    assert wrong == []


def in_registry(classes: tuple[str, ...]) -> list[str]:
    return [one[4:] for one in classes if one[4:] in registry_terms()]


def within(classes: list[str], wide: str) -> bool:
    """Whether one of some classes is, or lies under, another."""
    todo, seen = list(classes), set()
    while todo:
        one = todo.pop()
        if one in registry_terms() and one not in seen:
            seen.add(one)
            todo += (registry_terms()[one]["subPropertyOf"] or "").split("|")
    return wide in seen


def test_every_noun_and_field_has_label_definition_and_parent_in_the_ontology() -> None:
    graph = rdflib.Graph().parse(data=ontology_turtle(), format="turtle")
    skos = rdflib.Namespace(prefixes()["skos"])
    terms = [k.term for k in kind_terms().values()]
    terms += [f.term for k in kind_terms().values() for f in k.fields.values()]
    assert len(terms) == len(set(terms)) > 250
    for term in terms:
        assert graph.value(iri(term), RDFS.label), term
        assert graph.value(iri(term), skos.definition), term
        above_it = [
            graph.value(iri(term), p) for p in (RDFS.subClassOf, RDFS.subPropertyOf)
        ]
        assert any(above_it), term


def test_the_page_and_the_context_speak_of_every_field() -> None:
    page, words = ontology_page(), context()
    for kind in kind_terms().values():
        assert kind.term in page
        for field in kind.fields.values():
            assert f"`{field.term}`" in page
            assert field.value in ("text", "measure") or field.term in words
