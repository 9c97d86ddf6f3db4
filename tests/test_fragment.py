"""Loose fragments: what fits, what does not, and what was said of them.

Tolerances, families of materials and the length of boxes are common practice, no source;
the tests hold that they are told and kept to. Lengths in inches are checked against the
inch of 25.4 mm (international yard and pound agreement, 1959).
"""

import os
from collections.abc import Iterator
from pathlib import Path

import pytest
from click.testing import CliRunner, Result
from loose_things import Archive

from vestige.graph.answer.caution import cautions_of
from vestige.graph.answer.fragment import CandidatePlace, FragmentMatch, match_of
from vestige.graph.answer.fragment_walk import MOST_FOR_A_WORD
from vestige.graph.errors import NotRecorded
from vestige.graph.keeping.fragment_material import Alike, alike
from vestige.graph.record import (
    Caution,
    CautionSort,
    Claim,
    KeptPart,
    Known,
    Measure,
    Relation,
    Stance,
    Status,
    Strength,
)
from vestige.graph.state import PUBLIC, Reader
from vestige.ui.command import cli


@pytest.fixture
def archive(tmp_path: Path) -> Iterator[Archive]:
    made = Archive(tmp_path / "a")
    with made.collection:
        yield made


def matched(
    archive: Archive, key: str, home: str | None = None, reader: Reader = PUBLIC
) -> FragmentMatch:
    state, elements, cut = archive.collection.around_fragment(
        key, home, known=None, reader=reader
    )
    return match_of(state, key, elements, home, cut)


def fit(place: CandidatePlace, of: str) -> str:
    return next(one.fit for one in place.facts if one.of == of)


def claimed(archive: Archive, about: str, other: str, **more: object) -> Claim:
    said = {"number": f"K-{about[-4:]}", "relation": Relation.MAY_BELONG_TO, **more}
    return Claim.model_validate(
        {**said, "about": about, "other": other, "strength": Strength.WEAK,
         "source": archive.source}
    )  # fmt: skip


@pytest.mark.parametrize(
    ("one", "other", "found"),
    [
        ("porcelain", "Porcelain, glazed", Alike.SAME),
        ("brass", "copper-zinc-lead alloy", Alike.POSSIBLE),
        ("galvanised iron", "iron", Alike.SAME),
        ("zinc-coated steel", "iron", Alike.POSSIBLE),
        ("brass", "galvanised iron", Alike.CLASH),
        ("aluminium", "brass", Alike.CLASH),
        ("three-ply", "plywood", Alike.SAME),
        ("softwood", "wood", Alike.POSSIBLE),
        ("beech", "elm", Alike.DIFFERENT),
        ("bone", "antler", Alike.DIFFERENT),
        ("porcelain", "glass", Alike.CLASH),
        ("grey stuff", "brass", Alike.UNKNOWN),
        (None, "brass", Alike.UNKNOWN),
    ],
)
def test_materials_are_compared_by_their_names(
    one: str | None, other: str, found: Alike
) -> None:
    assert alike(one, other) is found
    assert alike(other, one) is found


def test_a_chip_as_thick_as_the_wall_and_smaller_than_the_loss_fits(
    archive: Archive,
) -> None:
    archive.element("E-1", "wall", "part", material="porcelain", thickness="2.4 mm",
                    core=True)  # fmt: skip
    archive.element("E-2", "loss at the rim", size="18 x 9 mm")
    key = archive.fragment("b05", material="porcelain", size="17 x 9 mm",
                           thickness="2.4 mm")  # fmt: skip
    found = matched(archive, key)
    [best] = found.candidates
    assert best.element.number == "E-2"
    assert {fit(best, of) for of in ("material", "thickness", "size")} == {"fits"}
    assert best.points == sum(fact.points for fact in best.facts)
    assert "not joined" in found.conclusion
    assert found.standing == "unassigned"


def test_a_thickness_beyond_the_tolerance_rejects_with_the_reason(
    archive: Archive,
) -> None:
    archive.element("E-2", "loss at the rim", size="18 x 9 mm", thickness="2.4 mm")
    key = archive.fragment("b09", size="16 x 8 mm", thickness="3.2 mm")
    found = matched(archive, key)
    assert found.candidates == ()
    [place] = found.rejected
    assert place.rejected == ("thickness: 3.2 mm; 2.4 mm, beyond ± 0.32 mm",)
    assert "nobody's yet" in found.conclusion


def test_the_tolerance_that_a_measure_states_is_the_one_kept_to(archive: Archive) -> None:
    archive.element("E-2", "loss", thickness="2.4 ± 0.5 mm")
    near = archive.fragment("b1", thickness="3.2 ± 0.4 mm")
    far = archive.fragment("b2", thickness="3.2 ± 0.2 mm")
    assert len(matched(archive, near).candidates) == 1
    assert len(matched(archive, far).rejected) == 1


def test_inches_and_millimetres_are_compared_as_lengths(archive: Archive) -> None:
    archive.element("E-2", "loss", thickness="0.1 in")
    assert matched(archive, archive.fragment("b1", thickness="2.54 mm")).candidates
    assert matched(archive, archive.fragment("b2", thickness="25.4 mm")).rejected


def test_another_metal_rejects(archive: Archive) -> None:
    archive.element("E-3", "screw", "fixing", material="iron", size="50 mm",
                    status=Status.UNDOCUMENTED)  # fmt: skip
    key = archive.fragment("b02", material="brass", size="50 mm")
    [place] = matched(archive, key).rejected
    assert place.rejected == ("material: brass; iron: different materials",)


def test_what_is_not_recorded_neither_fits_nor_rejects(archive: Archive) -> None:
    archive.element("E-2", "loss at the rim", size="18 x 9 mm")
    key = archive.fragment("b1", size="17 x 9 mm")
    [place] = matched(archive, key).candidates
    thickness = next(one for one in place.facts if one.of == "thickness")
    assert (thickness.fit, thickness.points) == ("says nothing", 0)
    assert "not recorded" in thickness.words


def test_a_size_larger_by_ten_is_a_question_and_no_rejection(archive: Archive) -> None:
    archive.element("E-2", "loss at the rim", size="18 x 9 mm", thickness="2.4 mm")
    key = archive.fragment("b1", size="180 x 90 mm", thickness="2.4 mm")
    [place] = matched(archive, key).candidates
    size = next(one for one in place.facts if one.of == "size")
    assert size.fit == "to be asked"
    assert "factor of ten" in size.words
    assert "unit" in size.words


def test_a_size_that_no_box_holds_is_asked_about_and_left_as_it_is(
    archive: Archive,
) -> None:
    archive.element("E-2", "lost roller", "part", size="1,120 mm", material="plywood")
    key = archive.fragment("b14", "rod", size="1,120 mm", material="3-ply")
    found = matched(archive, key)
    assert found.question is not None
    assert found.question.startswith("1,120 mm as recorded would hardly fit into BX-1")
    assert found.described.size == "1,120 mm"
    [place] = found.candidates
    assert fit(place, "size") == "to be asked"
    assert fit(place, "material") == "fits"


@pytest.mark.parametrize(("length", "asked"), [("420 mm", False), ("53 cm", True)])
def test_the_inside_of_the_box_says_what_can_lie_in_it(
    archive: Archive, length: str, asked: bool
) -> None:
    # the diagonal of 400 x 300 x 120 mm is 514 mm (Pythagoras)
    from vestige.graph.record import Container

    archive.box = archive.put(
        Container(number="BX-2", sort="box", size=Measure.parse("400 x 300 x 120 mm"))
    )
    found = matched(archive, archive.fragment("b1", size=length))
    assert (found.question is not None) is asked


def test_nobodys_yet_is_an_answer(archive: Archive) -> None:
    found = matched(archive, archive.fragment("b01", "splinter", material="softwood"))
    assert found.candidates == found.rejected == ()
    assert found.conclusion.startswith("nobody's yet")


def test_a_part_that_is_there_is_no_place_for_a_fragment(archive: Archive) -> None:
    hinge = archive.element("E-4", "hinge", "fixing", material="iron", status=Status.KEPT)
    archive.put(KeptPart(number="BG-1", element=hinge, container=archive.box))
    archive.element("E-5", "strap", "fixing", material="iron", status=Status.DISCARDED)
    key = archive.fragment("b1", material="iron")
    assert matched(archive, key, archive.bowl).candidates == ()


def test_a_claim_stands_beside_the_facts_and_changes_none(archive: Archive) -> None:
    loss = archive.element("E-2", "loss", thickness="2.4 mm")
    key = archive.fragment("b09", thickness="3.2 mm")
    before = matched(archive, key).rejected[0]
    archive.put(claimed(archive, key, loss, stance=Stance.AGAINST))
    after = matched(archive, key)
    assert after.standing == "tested and rejected"
    assert after.rejected[0].facts == before.facts
    assert len(after.rejected[0].claims) == 1


def test_a_fragment_is_suspected_of_what_lies_on_its_possible_object(
    archive: Archive,
) -> None:
    archive.element("E-2", "loss")
    hole = archive.element("E-3", "peg hole")
    dusty, clean = archive.element("E-6", "bar", "part"), archive.element("E-7", "rail")
    for number, about, known in (
        ("C-1", dusty, Known.KNOWN),
        ("C-2", clean, Known.NEGATIVE),
    ):
        archive.put(
            Caution(number=number, about=(about,), sort=CautionSort.HAZARD, what="arsenic",
                    known=known)
        )  # fmt: skip
    key = archive.fragment("b11")
    places = archive.collection.places_of
    assert cautions_of(places(key), key).cautions == ()
    archive.put(claimed(archive, key, hole))
    [warned] = cautions_of(places(key), key).cautions
    assert (warned.number, warned.known) == ("C-1", "suspected")
    assert warned.how == "of what it may belong to"
    inside = archive.collection.inside_of(archive.box)
    assert {one.number for one in cautions_of(inside, archive.box).cautions} == {"C-1"}


def test_a_closed_claim_says_nothing_to_who_may_not_read_it(archive: Archive) -> None:
    loss = archive.element("E-2", "loss")
    key = archive.fragment("b1")
    claim = archive.put(claimed(archive, key, loss, note="told in confidence"))
    archive.put(
        Caution(number="C-9", about=(claim,), sort=CautionSort.RESTRICTION, what="closed",
                ask="CCL", hide=True)
    )  # fmt: skip
    assert "confidence" not in matched(archive, key).model_dump_json()
    theirs = matched(archive, key, reader=Reader("CCL"))
    assert "told in confidence" in theirs.model_dump_json()


def test_only_elements_whose_record_speaks_of_a_loss_are_read(
    archive: Archive, monkeypatch: pytest.MonkeyPatch
) -> None:
    for number in range(30):
        archive.element(f"P-{number}", "board", "part", status=Status.IN_PLACE)
    archive.element("E-2", "loss", thickness="2.4 mm", touches=())
    key = archive.fragment("b1", thickness="2.4 mm")
    store = archive.collection.store
    for name in ("of_kind", "entries"):
        monkeypatch.setattr(store, name, lambda *_: pytest.fail("reads the whole archive"))
    assert [one.element.number for one in matched(archive, key).candidates] == ["E-2"]


def test_more_places_than_can_be_looked_at_are_owned_up_to(archive: Archive) -> None:
    from vestige.graph.ledger import State
    from vestige.graph.record import Element, ElementSort

    many = [
        Element(number=f"H-{n}", object=archive.bowl, name="worm hole",
                sort=ElementSort.FEATURE)
        for n in range(MOST_FOR_A_WORD + 1)
    ]  # fmt: skip
    archive.collection.record(
        "tester", [State(one.kind, archive.keys.new(), one.body()) for one in many]
    )
    key = archive.fragment("b1", thickness="1 mm")
    assert matched(archive, key).cut_short == ("hole",)
    whole = matched(archive, key, archive.bowl)
    assert whole.cut_short == ()
    assert whole.silent == MOST_FOR_A_WORD + 1


def test_only_a_loose_fragment_is_matched(archive: Archive) -> None:
    with pytest.raises(NotRecorded, match="no fragment"):
        matched(archive, archive.element("E-2", "loss"))


def run(archive: Archive, *words: str) -> Result:
    before = os.environ.pop("VESTIGE_ARCHIVE", None)
    try:
        return CliRunner().invoke(cli, [*words, "--archive", str(archive.at)])
    finally:
        if before is not None:
            os.environ["VESTIGE_ARCHIVE"] = before


SAID = ("--strength", "weak", "--source", "S-1", "--by", "OC", "--reason", "tried dry")


def test_assigning_is_a_claim_and_a_later_one_supersedes_it(archive: Archive) -> None:
    archive.element("E-2", "loss")
    key = archive.fragment("b1")
    assert run(archive, "assign", "b1", "E-2", *SAID).exit_code == 0
    assert matched(archive, key).standing == "with a candidate parent"
    done = run(archive, "assign", "b1", "E-2", *SAID, "--rejected",
               "--supersedes", "b1-whose-1")  # fmt: skip
    assert done.exit_code == 0, done.output
    found = matched(archive, key)
    assert found.standing == "tested and rejected"
    assert len(found.claims) == 1
    said = archive.collection.store.history(found.claims[0].key)
    assert [one.body.get("stance") for one in said] == ["for", "against"]
    assert said[1].reason == "tried dry"


def test_settled_and_denied_of_one_place_is_shown_as_disputed(archive: Archive) -> None:
    archive.element("E-2", "loss")
    key = archive.fragment("b1")
    assert run(archive, "assign", "b1", "E-2", *SAID, "--settled").exit_code == 0
    assert matched(archive, key).standing == "assigned to an element"
    assert run(archive, "assign", "b1", "E-2", *SAID, "--rejected").exit_code == 0
    assert matched(archive, key).standing.startswith("disputed")


@pytest.mark.parametrize(
    ("words", "told"),
    [
        (("b1", "S-1", *SAID), "needed here: element"),
        (("E-2", "E-2", *SAID), "needed here: fragment"),
        (("b1", "E-9", *SAID), "nothing is recorded under 'E-9'"),
        (("b1", "E-2", "--strength", "huge", *SAID[2:]), "is no strength"),
        (("b1", "E-2", *SAID, "--supersedes", "S-1"), "no claim about b1"),
        (("b1", "E-2", *SAID, "--when", "last May"), "last May"),
    ],
)
def test_a_wrong_assignment_is_refused_and_nothing_is_recorded(
    archive: Archive, words: tuple[str, ...], told: str
) -> None:
    archive.element("E-2", "loss")
    archive.fragment("b1")
    before = archive.collection.store.head()
    ran = run(archive, "assign", *words)
    assert ran.exit_code != 0
    assert told in f"{ran.output} {ran.exception}"
    assert archive.collection.store.head() == before
