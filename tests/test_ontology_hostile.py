"""Files and questions that mean harm, or have no end: bounded, refused, and said."""

import time

import pytest

from vestige.graph.errors import BadValue, Refused
from vestige.ontology.linked_art import is_linked_art
from vestige.ontology.own_reader import read_back
from vestige.ontology.query import ask, refuse_harm
from vestige.ontology.rdf_file import DEEPEST, LONGEST_LITERAL, parsed
from vestige.ontology.record_writer import Written

RDF = 'xmlns:rdf="http://www.w3.org/1999/02/22-rdf-syntax-ns#" xmlns:x="urn:x:"'
DEEP = 100_000


def read(data: str, form: str) -> int:
    return len(list(parsed(data.encode(), form, "hostile")))


def things(count: int) -> Written:
    triples = [(f"<urn:x:{n}>", "<urn:p>", f"<urn:x:{n + 1}>") for n in range(count)]
    return Written("<urn:g>", tuple(triples))


def test_an_entity_bomb_is_refused() -> None:
    """The "billion laughs" of XML, and an entity that reaches for a file (XXE)."""
    bomb = (
        '<!DOCTYPE lolz [<!ENTITY a "ha"><!ENTITY b "&a;&a;&a;">]>'
        f"<rdf:RDF {RDF}>&b;</rdf:RDF>"
    )
    reach = f'<!DOCTYPE r [<!ENTITY a SYSTEM "file:///x">]><rdf:RDF {RDF}>&a;</rdf:RDF>'
    for data in (bomb, reach):
        with pytest.raises(Refused, match="entities"):
            read(data, "RDF_XML")


def test_xml_without_an_end_is_refused_at_once() -> None:
    inside, out = "<rdf:Description><x:p>", "</x:p></rdf:Description>"
    start = time.monotonic()
    with pytest.raises(Refused, match=f"more than {DEEPEST} deep"):
        read(f"<rdf:RDF {RDF}>{inside * DEEP}{out * DEEP}</rdf:RDF>", "RDF_XML")
    assert time.monotonic() - start < 5


def test_blank_nodes_in_blank_nodes_are_read_without_a_crash() -> None:
    nested = "[ <urn:p> " * DEEP + "1" + " ]" * DEEP
    assert read(f"<urn:a> <urn:p> {nested} .", "TURTLE") == DEEP + 1
    looped = "_:a <urn:p> _:b . _:b <urn:p> _:a ."
    assert read(looped, "TURTLE") == 2


def test_json_without_an_end_is_refused() -> None:
    with pytest.raises(Refused, match="deep"):
        read('{"@id":"urn:a","urn:p":' + "[" * DEEP + "]" * DEEP + "}", "JSON_LD")


@pytest.mark.parametrize(
    "context",
    ['"http://example.org/c"', '["http://example.org/c"]', '{"@import":"http://e.org/c"}',
     '{"a":{"@id":"urn:p","@context":"http://example.org/c"}}'],
)  # fmt: skip
def test_a_context_is_never_fetched(context: str, monkeypatch: pytest.MonkeyPatch) -> None:
    def reached(*args: object) -> None:
        raise AssertionError("the network was asked")

    monkeypatch.setattr("socket.socket.connect", reached)
    with pytest.raises(Refused, match="fetches nothing"):
        read('{"@context":' + context + ',"@id":"urn:a","a":{"b":1}}', "JSON_LD")


def test_a_text_of_a_novel_s_length_is_refused() -> None:
    with pytest.raises(Refused, match="signs"):
        read(f'<urn:a> <urn:p> "{"x" * (LONGEST_LITERAL + 1)}" .', "N_TRIPLES")


def test_a_broken_file_says_in_which_line() -> None:
    with pytest.raises(BadValue, match="line 2"):
        read("<urn:a> <urn:b> <urn:c> .\n<urn:a> <urn:b> nonsense .", "TURTLE")


def test_records_that_are_not_of_vestige_s_making_end_in_sentences() -> None:
    ves = "https://w3id.org/vestige/ns#"
    bad = (
        f"<urn:e> a <{ves}Record> ; <{ves}key> 'K' ; <{ves}states> <urn:t> ;"
        f" <{ves}sequence> 'many' ; <{ves}list_order> '[[[' .\n"
        f"<urn:t> a <{ves}Element> ; <{ves}element_core> 'maybe' ;"
        f" <{ves}element_sort> <urn:none> ; <{ves}element_name> 'a', 'b' ."
    )
    back = read_back(list(parsed(bad.encode(), "TURTLE", "bad.ttl")), "bad.ttl")
    said = " ".join(str(one) for one in back.problems)
    assert back.held == ()
    for words in ("no word of it", "2 values in 'name'", "order of lists", "Elements"):
        assert words in said


def test_a_linked_art_context_as_a_number_is_no_linked_art() -> None:
    assert not is_linked_art({"@context": 5})
    assert not is_linked_art([1, 2])


@pytest.mark.parametrize(
    "sparql",
    [
        "SELECT * { SERVICE <http://example.org/> { ?a ?b ?c } }",
        "SELECT * { SERVICE SILENT ?x { ?a ?b ?c } }",
        "SELECT * { \\u0053ERVICE <http://example.org/> { ?a ?b ?c } }",
        "SELECT * { # x\nsErViCe<http://example.org/> { ?a ?b ?c } }",
        "DELETE WHERE { ?a ?b ?c }",
        "INSERT DATA { <urn:a> <urn:b> <urn:c> }",
        "LOAD <http://example.org/>",
        "CLEAR ALL",
        "SELECT " + "{" * 500,
        "SELECT " + "x" * 200_000,
    ],
)
def test_a_query_that_writes_or_reaches_out_is_refused(sparql: str) -> None:
    with pytest.raises(Refused):
        refuse_harm(sparql)


@pytest.mark.parametrize(
    "sparql",
    [
        'ASK { ?s ?p "SERVICE <http://example.org/>" }',
        "SELECT ?service { ?service <urn:x:load> <http://example.org/SERVICE> }",
        "SELECT * { ?s ?p ?o } # DELETE\n",
        "SELECT * { ?s voc:Move ?o ; ves:load ?x }",
    ],
)
def test_a_word_inside_a_text_or_a_name_is_no_order(sparql: str) -> None:
    refuse_harm(sparql)


def test_a_question_without_an_end_is_ended_and_that_is_said() -> None:
    start = time.monotonic()
    with pytest.raises(Refused, match="not answered in 1 seconds"):
        ask([things(2000)], "SELECT (COUNT(*) AS ?n) { ?a ?b ?c . ?d ?e ?f . ?g ?h ?i }", 1)
    assert time.monotonic() - start < 15


def test_a_question_that_grows_without_end_is_ended_and_that_is_said() -> None:
    start = time.monotonic()
    endless = "SELECT * { ?a ?b ?c . ?d ?e ?f . ?g ?h ?i } ORDER BY ?i ?a"
    with pytest.raises(Refused, match="ended"):
        ask([things(400)], endless, 5)
    assert time.monotonic() - start < 20


def test_no_more_rows_are_given_than_allowed() -> None:
    found = ask([things(50)], "SELECT * { ?a ?b ?c }", rows=7)
    assert (len(found.rows), found.cut) == (7, True)
