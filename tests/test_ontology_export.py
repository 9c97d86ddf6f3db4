"""What an export says and what it keeps to itself, and the commands around it."""

from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from vestige.graph.collection import Collection
from vestige.graph.ledger import State as Statement
from vestige.graph.state import PUBLIC, Reader
from vestige.ontology.rdf_file import ENDINGS, FORMATS, ntriples, parsed, serialized
from vestige.ontology.term import key_in, node
from vestige.ontology.time_span import span_of
from vestige.ontology.whole_export import Keeper, written_archive
from vestige.ui.command import cli
from vestige.ui.command.linking import LINKED_DATA

SECRET = "the invented name of a giver"


def run(*words: str | Path) -> Result:
    return CliRunner().invoke(cli, [str(one) for one in words], catch_exceptions=True)


def restricted() -> Collection:
    from vestige.graph.store import SqliteStore

    home = Collection(SqliteStore(":memory:"))
    keys = [home.keys.new() for _ in range(4)]
    source: dict[str, object]
    source = {"number": "S1", "name": SECRET, "sort": "letter or diary", "access": "R2",
              "note": SECRET}  # fmt: skip
    thing: dict[str, object]
    thing = {"number": "X.1", "name": "invented box", "source": keys[0]}
    claim: dict[str, object]
    claim = {"number": "K1", "about": keys[1], "relation": "noted", "value": SECRET,
             "strength": "weak", "stance": "for"}  # fmt: skip
    caution: dict[str, object]
    caution = {"number": "C1", "about": [keys[2]], "sort": "restriction", "what": "closed",
               "ask": "R2", "hide": True}  # fmt: skip
    kinds = ("source", "object", "claim", "caution")
    bodies = (source, thing, claim, caution)
    acts = [Statement(k, key, b) for k, key, b in zip(kinds, keys, bodies, strict=True)]
    home.record("registrar", acts)
    return home


@pytest.mark.parametrize("form", list(FORMATS))
def test_restricted_content_leaves_no_trace_in_any_form(form: str) -> None:
    home = restricted()
    public = serialized(list(written_archive(home, PUBLIC)), form).decode()
    assert SECRET not in public
    assert "letter-or-diary" not in public
    assert "Relation-noted" not in public
    for reader in (Reader("R2"), Keeper()):
        assert SECRET in serialized(list(written_archive(home, reader)), form).decode()


def test_a_closed_record_says_whom_to_ask_and_nothing_else() -> None:
    said = ntriples(list(written_archive(restricted(), PUBLIC))).splitlines()
    closed = [one.split()[0] for one in said if 'ns#restricted> "R2"' in one]
    assert len(closed) == 2
    for entry in closed:
        about = [one.split()[1].rsplit("#")[-1] for one in said if one.startswith(entry)]
        assert set(about) <= {"restricted>", "key>", "states>", "sequence>", "type>"}
        assert not [one for one in said if one.startswith(entry.replace("#record", ""))]


def test_a_claim_goes_with_its_source_strength_date_and_recorder() -> None:
    home = restricted()
    said = ntriples(list(written_archive(home, Keeper())))
    for words in (
        "J4_that", "I17_One-Proposition_Set", "J32_has_property_type", "Strength-weak",
        'J5_holds_to_be> "true"', "generatedAtTime", 'recorded_by> "registrar"',
    ):  # fmt: skip
        assert words in said


def test_what_was_looked_at_and_found_not_so_is_held_to_be_false() -> None:
    home = restricted()
    about = home.store.of_kind("object")[0].key
    body = {"number": "K2", "about": about, "relation": "as made", "strength": "strong",
            "stance": "against"}  # fmt: skip
    home.record("conservator", [Statement("claim", home.keys.new(), body)])
    said = ntriples(list(written_archive(home, Keeper())))
    assert 'J5_holds_to_be> "false"' in said


def said_of(date: str) -> dict[str, str]:
    return {p.split("/")[-1][:4].rstrip("_"): v.split('"')[1] for p, v in span_of(date)}


@pytest.mark.parametrize(
    ("date", "bounds"),
    [
        # EDTF specification (Library of Congress, 2019), level 0 and 1 examples; bounds
        # worked out by hand.
        ("1985-04", {"P82": "1985-04", "P82a": "1985-04-01T00:00:00Z",
                     "P82b": "1985-04-30T23:59:59Z"}),
        ("1964/2008", {"P82": "1964/2008", "P82a": "1964-01-01T00:00:00Z",
                       "P82b": "2008-12-31T23:59:59Z", "P81a": "1964-12-31T23:59:59Z",
                       "P81b": "2008-01-01T00:00:00Z"}),
        ("1985/..", {"P82": "1985/..", "P82a": "1985-01-01T00:00:00Z"}),
        ("/2006", {"P82": "/2006", "P82b": "2006-12-31T23:59:59Z"}),
        ("-0999", {"P82": "-0999", "P82a": "-0999-01-01T00:00:00Z",
                   "P82b": "-0999-12-31T23:59:59Z"}),
    ],
)  # fmt: skip
def test_a_date_has_outer_and_inner_bounds(date: str, bounds: dict[str, str]) -> None:
    assert said_of(date) == bounds


def test_an_approximate_date_never_claims_firm_bounds() -> None:
    firm, about = said_of("1770"), said_of("1770~")
    assert about["P82a"] < firm["P82a"]
    assert about["P82b"] > firm["P82b"]
    assert "P81a" not in said_of("1770~/1790~")


def test_a_phase_has_the_outer_bounds_of_its_beginning_and_its_end() -> None:
    home = restricted()
    thing = home.store.of_kind("object")[0].key
    body = {"number": "P1", "object": thing, "order": 1, "name": "making",
            "span": "making", "begins": "1770", "ends": "1790-05"}  # fmt: skip
    home.record("r", [Statement("phase", home.keys.new(), body)])
    said = ntriples(list(written_archive(home, Keeper())))
    assert 'P82a_begin_of_the_begin> "1770-01-01T00:00:00Z"' in said
    assert 'P82b_end_of_the_end> "1790-05-31T23:59:59Z"' in said


def test_an_iri_is_made_from_the_key_and_gives_it_back() -> None:
    home = restricted()
    for key in home.whole(reader=Keeper()):
        assert key_in(node(key)) == key
    assert key_in("urn:uuid:9b2e1a40-0000-4000-8000-000000000000") is None
    assert node("a key of another form") != node("another")


@pytest.mark.filterwarnings("ignore::DeprecationWarning")  # rdflib's own
def test_the_json_ld_holds_its_context_and_rdflib_reads_the_same() -> None:
    """rdflib's JSON-LD reader as the outside library."""
    import rdflib

    rdflib.NORMALIZE_LITERALS = False
    written = list(written_archive(restricted(), Keeper()))
    graph = rdflib.Dataset(default_union=True)
    graph.parse(data=serialized(written, "jsonld"), format="json-ld")
    ours = {(str(q.subject).strip("<>"), q.predicate.value) for q in
            parsed(serialized(written, "nquads"), ENDINGS[".nq"], "x")}  # fmt: skip
    assert {(str(s), str(p)) for s, p, _ in graph.triples((None, None, None))} == ours


def test_the_command_writes_a_file_that_another_archive_takes_in_whole(
    museum: Path, tmp_path: Path
) -> None:
    out = tmp_path / "museum.ttl"
    ran = run("export", "--everything", "--out", out, "--archive", museum)
    assert ran.exit_code == 0, ran.output
    assert run("new", tmp_path / "b").exit_code == 0
    took = run("import", out, "--by", "registrar", "--archive", tmp_path / "b")
    assert took.exit_code == 0, took.output
    words = ("assess", "FEN.1931.44", "--json", "--archive")
    assert run(*words, museum).stdout == run(*words, tmp_path / "b").stdout


def test_an_export_never_overwrites_and_a_partial_one_is_not_imported(
    museum: Path, tmp_path: Path
) -> None:
    out = tmp_path / "museum.nq"
    words = ("export", "--format", "nquads", "--out", out, "--archive", museum)
    assert "not the whole" in run(*words).stdout
    before = out.read_bytes()
    again = run(*words)
    assert again.exit_code != 0
    assert out.read_bytes() == before
    run("new", tmp_path / "b")
    took = run("import", out, "--by", "registrar", "--archive", tmp_path / "b")
    assert took.exit_code != 0
    assert "may not see" in str(took.exception)


def test_endings_of_linked_data_are_the_same_everywhere() -> None:
    assert set(ENDINGS) == LINKED_DATA


def test_ontology_page_shapes_and_words_are_printed() -> None:
    import rdflib

    for words in (["ontology"], ["ontology", "--shapes"], ["vocabulary"]):
        told = run(*words)
        assert told.exit_code == 0
        assert len(rdflib.Graph().parse(data=told.stdout, format="turtle")) > 500
    assert run("ontology", "--page").stdout.startswith("# How Vestige stands")
    assert run("ontology", "--page", "--shapes").exit_code == 2


def test_one_object_goes_with_its_verdicts(museum: Path, tmp_path: Path) -> None:
    out = tmp_path / "screen.trig"
    words = ["export", "FEN.1931.44", "--verdicts", "--format", "trig", "--everything"]
    assert run(*words, "--out", out, "--archive", museum).exit_code == 0
    text = out.read_text("utf-8")
    assert "ves:grade" in text
    assert "I5_Inference_Making" in text
    run("new", tmp_path / "b")
    took = run("import", out, "--by", "registrar", "--archive", tmp_path / "b")
    assert took.exit_code == 0
    assert "computed anew" in took.stdout
