"""What was done and taken off, from forms to records, without a browser."""

import re
from dataclasses import replace
from pathlib import Path

import pytest
from filled_form import SCREEN, form

from vestige.graph.answer.treatment import treatment_of
from vestige.graph.errors import BadValue, Conflict, NotRecorded, Refused
from vestige.graph.keeping.treatment import carrying_out
from vestige.graph.ledger import State as Statement
from vestige.graph.record import (
    KINDS,
    Batch,
    Caution,
    Choice,
    Claim,
    Decision,
    Happening,
    HappeningSort,
    KeptPart,
    Material,
    Relation,
    Sample,
)
from vestige.graph.state import Reader
from vestige.ui.page import Desk, Drafts, correction, recording, treated
from vestige.ui.page import words_treatment as told
from vestige.ui.page.act import records_of
from vestige.ui.page.entry import form_of as claim_form
from vestige.ui.page.entry import merged, relations_by_use
from vestige.ui.page.meanwhile import end_of_record, since
from vestige.ui.page.waiting import waiting
from vestige.ui.page.written import form_of, record_of

STRIP = "SCR-16"


def decided(desk: Desk, choice: Choice = Choice.REMOVE) -> str:
    """A decision about the edge strip of the screen; its number."""
    about = desk.collection.find(STRIP)
    made = Decision(
        number="D-99", about=(about,), choice=choice, reason="hides the edge", by="OC",
        when="2026-11-20",
    )  # fmt: skip
    recording.act(desk, "OC", [made])
    return made.number


def treated_as(desk: Desk, **said: str) -> str:
    """A treatment recorded from a form; its number."""
    filled = form(desk, number="T-99", name="strip lifted", sort="removal", elements=STRIP,
                  when="2026-11-21", **said)  # fmt: skip
    made = treated.happening_of(desk, SCREEN, filled)
    treated.record(desk, "OC", filled, made)
    return made.number


def taken_off(desk: Desk, **said: str) -> KeptPart:
    filled = form(desk, what="part", number="RM-99", element=STRIP, happening="T-99",
                  when="2026-11-21", **said)  # fmt: skip
    made = treated.taken_of(desk, filled)
    treated.record(desk, "OC", filled, made)
    assert isinstance(made, KeptPart)
    return made


def test_a_treatment_takes_over_what_its_decision_says(desk: Desk) -> None:
    decision = decided(desk)
    state, _, _ = desk.around(SCREEN)
    begun = treated.begin(state, decision, "OC")
    assert begun["sort"] == HappeningSort.REMOVAL
    assert (begun["elements"], begun["why"]) == (STRIP, "hides the edge")
    assert treated.begin(state, "", "OC")["sort"] == HappeningSort.TREATMENT


def test_decision_and_treatment_lead_to_each_other(desk: Desk) -> None:
    decision = decided(desk)
    done = treated_as(desk, carries_out=decision)
    state, key = desk.about(decision)
    assert [state.number(one) for one in carrying_out(state, key)] == [done]
    [told_of] = treatment_of(state, state.named(done) or "").treatments
    linked = [one.thing.number for one in told_of.decisions if one.linked]
    assert linked == [decision]


def test_a_treatment_that_is_only_meant_to_be_done_is_refused(desk: Desk) -> None:
    with pytest.raises(BadValue, match=r"in the future.*is a decision"):
        treated.happening_of(
            desk, SCREEN, {"name": "x", "sort": "treatment", "when": "2999"}
        )


def test_what_lacks_is_named_by_its_column(desk: Desk) -> None:
    with pytest.raises(BadValue, match="fill in 'kind'"):
        treated.happening_of(desk, SCREEN, {"name": "cleaned"})
    with pytest.raises(BadValue, match="how many"):
        treated.taken_of(desk, {"number": "RM-99", "element": STRIP, "how_many": "some"})
    with pytest.raises(BadValue, match="is of the kind object"):
        treated.taken_of(desk, {"number": "RM-99", "element": SCREEN})


def test_a_removal_is_not_documented_until_all_six_are_recorded(desk: Desk) -> None:
    """Reason, consent, original position, label, container, review date (issue text)."""
    treated_as(desk)
    part = taken_off(desk)
    state, _, _ = desk.around(SCREEN)
    assert set(treated.lacks_of(state, part)) == set(told.LACKED)
    life = desk.life("RM-99")
    assert life.stage == "whereabouts not recorded"  # no container: nobody knows where
    key = desk.collection.find("RM-99")
    said = {
        "container": "RL-005", "reason": "hides the edge", "consent": "CU",
        "label_text": "RM-99 strip", "review": "2028",
    }  # fmt: skip
    now = {**form_of(state, key), **said, "key": key, correction.REASON: "found it"}
    now["replaces"] = str(desk.about(key)[0].held(key).seq)
    correction.record(desk, "OC", now, correction.corrected(desk, now))
    assert desk.about(key)[0].record(key, KeptPart).reason == "hides the edge"
    life = desk.life("RM-99")
    assert (life.stage, life.lacks) == ("removal not documented", ("original position",))
    now |= {"original_position": "left edge, 0 to 340 mm"}
    now["replaces"] = str(desk.about(key)[0].held(key).seq)
    correction.record(desk, "OC", now, correction.corrected(desk, now))
    assert desk.life("RM-99").stage == "removed and kept"


def test_a_sample_is_recorded_in_its_happening(desk: Desk) -> None:
    treated_as(desk)
    filled = form(desk, what="sample", number="SA-99", element=STRIP, happening="T-99",
                  question="binder", amount="2 mg", when="2026-11-21")  # fmt: skip
    made = treated.taken_of(desk, filled)
    treated.record(desk, "OC", filled, made)
    assert isinstance(made, Sample)
    state, _, _ = desk.around(SCREEN)
    [one] = treatment_of(state, state.named("T-99") or "").treatments
    assert [each.thing.number for each in one.samples if each.linked] == ["SA-99"]


def test_a_new_material_is_recorded_once_with_its_treatment(desk: Desk) -> None:
    filled = form(desk, name="cleaned", sort="treatment", used="acetone, 20 % gel")
    for _ in range(2):  # a second press of the button
        made = treated.happening_of(desk, SCREEN, filled)
        treated.record(desk, "OC", filled, made)
    [material] = desk.collection.store.of_kind("material")
    assert material.body["name"] == "acetone, 20 % gel"
    done = desk.collection.store.of_kind("happening")[-1]
    assert done.body["used"] == [material.key]
    assert treated.new_materials(desk, {"used": str(material.body["number"])}) == []


def test_words_written_call_for_a_usual_caution_that_recommends_nothing(desk: Desk) -> None:
    assert treated.usual(desk, {"technique": "swabs with ACETONE"}) == ["solvent"]
    assert treated.usual(desk, {"name": "retouched over orpiment"}) == ["pigment"]
    assert treated.usual(desk, {"note": "dust of an old pesticide"}) == ["pesticide"]
    assert treated.usual(desk, {"used": "acetone gel"}) == ["solvent"]
    assert treated.usual(desk, {"name": "photographed"}) == []
    for text in told.USUAL.values():
        assert "Local rules" in text
        assert not re.search(r"\b(un)?safe(ly)?\b|recommend|\buse\b", text)


def test_recorded_cautions_of_what_is_chosen_are_shown(desk: Desk) -> None:
    state, _, _ = desk.around(SCREEN)
    [lead] = [one for one in treated.cautions(desk, state, [SCREEN]) if "lead" in one.what]
    assert lead.known == "suspected"


def test_a_caution_on_a_material_is_shown_with_the_batches_of_it(desk: Desk) -> None:
    material = Material(number="M-90", name="old fumigant")
    recording.act(desk, "OC", [material])
    key = desk.collection.find("M-90")
    caution = Caution(
        number="C-90", about=(key,), sort="hazard", what="arsenic", known="known"
    )  # fmt: skip
    recording.act(desk, "OC", [Batch(number="B-90", material=key), caution])
    state, _, _ = desk.around(SCREEN)
    for chosen in ("M-90", "B-90"):
        found = [one.what for one in treated.cautions(desk, state, [chosen])]
        assert found == ["arsenic"], chosen
    assert treated.usual(desk, {"used": "B-90"}) == ["pesticide"]


@pytest.mark.parametrize("number", ["T-99", "RM-99", "D-99", "SA-99"])
def test_two_who_correct_one_record_of_any_kind_lose_nothing(
    desk: Desk, number: str
) -> None:
    decided(desk)
    treated_as(desk)
    taken_off(desk)
    filled = form(desk, what="sample", number="SA-99", element=STRIP)
    treated.record(desk, "OC", filled, treated.taken_of(desk, filled))
    state, key = desk.about(number)
    seq = str(state.held(key).seq)
    opened = {**form_of(state, key), "key": key, "replaces": seq}
    mine = {**opened, "note": "mine", correction.REASON: "looked again"}
    theirs = {**opened, "note": "theirs", correction.REASON: "read the card"}
    correction.record(desk, "R1", theirs, correction.corrected(desk, theirs))
    with pytest.raises(Conflict):
        correction.record(desk, "OC", mine, correction.corrected(desk, mine))
    mine["replaces"] = str(desk.about(number)[0].held(key).seq)
    correction.record(desk, "OC", mine, correction.corrected(desk, mine))
    notes = [one.body.get("note") for one in desk.collection.store.history(key)]
    assert notes == [None, "theirs", "mine"]


def test_going_on_from_their_version_keeps_what_they_changed_elsewhere(desk: Desk) -> None:
    treated_as(desk)
    state, key = desk.about("T-99")
    begun = {**form_of(state, key), "key": key, "replaces": str(state.held(key).seq)}
    theirs = {**begun, "technique": "by steam", correction.REASON: "read the card"}
    correction.record(desk, "R1", theirs, correction.corrected(desk, theirs))
    mine = {**begun, "note": "mine"}
    now = desk.about(key)[0]
    both = correction.merged(desk, mine, form_of(now, key))
    assert (both["technique"], both["note"]) == ("by steam", "mine")


def test_an_observation_goes_on_from_their_version_too(desk: Desk) -> None:
    state, key = desk.about("SV8a")
    begun = claim_form(state, key) | {"object": SCREEN, "reason": ""}
    [now] = desk.collection.store.get([key])
    body = {**now.body, "method": "by steam light"}
    desk.collection.record("R1", [Statement("claim", key, body, now.seq, "read the card")])
    theirs = claim_form(desk.about(key)[0], key)
    both = merged(desk, {**begun, "note": "mine", "reason": "seen again"}, theirs)
    assert (both["method"], both["note"]) == ("by steam light", "mine")
    assert (both["reason"], both["object"]) == ("seen again", SCREEN)
    assert both["replaces"] == theirs["replaces"] != begun["replaces"]


def test_a_correction_needs_a_reason_and_leaves_the_other_columns(desk: Desk) -> None:
    treated_as(desk)
    state, key = desk.about("T-99")
    now = {**form_of(state, key), "key": key, "replaces": str(state.held(key).seq)}
    now["technique"] = "by hand"
    with pytest.raises(Refused, match="reason"):
        correction.record(desk, "OC", now, correction.corrected(desk, now))
    made = correction.corrected(desk, {**now, correction.REASON: "it was said later"})
    assert isinstance(made, Happening)
    old = state.record(key, Happening)
    assert made == old.model_copy(update={"technique": "by hand"})


def test_a_withdrawn_record_stands_no_more_and_stays_readable(desk: Desk) -> None:
    treated_as(desk)
    state, key = desk.about("T-99")
    before = end_of_record(desk)
    at = desk.collection.store.head().at
    asked = {
        "key": key,
        "replaces": str(state.held(key).seq),
        correction.REASON: "twice recorded",
    }
    with pytest.raises(Refused):
        correction.record(desk, "OC", {**asked, correction.REASON: ""}, None)
    correction.record(desk, "OC", asked, None)
    with pytest.raises(NotRecorded):
        desk.about("T-99")
    assert int(end_of_record(desk)) > int(before)
    assert replace(desk, known=at).about("T-99")[1] == key


def test_what_others_recorded_meanwhile_is_shown_in_both_versions(desk: Desk) -> None:
    decided(desk)
    began, strip = end_of_record(desk), desk.collection.find(STRIP)
    assert since(desk, [strip], began) == []
    treated_as(desk, carries_out="D-99")
    key = desk.collection.find("D-99")
    [held] = desk.collection.store.get([key])
    body = {**held.body, "choice": "leave"}
    desk.collection.record(
        "CU", [Statement("decision", key, body, held.seq, "asked again")]
    )
    found = {
        desk.about(one.key)[0].number(one.key): one for one in since(desk, [strip], began)
    }
    assert set(found) == {"D-99", "T-99"}
    assert found["D-99"].columns == (("decision", "remove", "leave"),)
    assert found["T-99"].columns == ()
    assert since(desk, [strip], end_of_record(desk)) == []


def test_a_removed_part_is_put_back_by_the_existing_act(desk: Desk) -> None:
    treated_as(desk)
    taken_off(desk, container="RL-005")
    said = {"sort": "became", "became": "put back", "things": "RM-99", "when": "2026-11-22"}
    _, records = records_of(desk, said, "OC")
    _, receipt = recording.act(desk, "OC", records)
    assert receipt is not None
    assert desk.life("RM-99").stage == "put back"
    with pytest.raises(BadValue, match=r"Put into.*allowed.*Reason"):
        records_of(desk, {"things": "RM-99", "when": "2026-11-22"}, "OC")


def test_every_form_waits_as_a_draft(tmp_path: Path) -> None:
    drafts = Drafts(tmp_path)
    assert waiting(drafts) == []
    drafts.keep("act", {"things": "RM-27-1\nRM-27-2", "sort": "moved"})
    drafts.keep("treatment", {"name": "cleaned", "object": SCREEN})
    drafts.keep("removal", {"object": SCREEN})  # nothing is written in it yet
    assert waiting(Drafts(tmp_path)) == ["treatment", "act"]


def test_what_is_closed_to_a_reader_is_not_corrected_by_them(desk: Desk) -> None:
    public = replace(desk, reader=Reader(None))
    key = desk.collection.find("S-FM19")
    [held] = desk.collection.store.get([key])
    asked = {
        "key": key,
        "replaces": str(held.seq),
        correction.REASON: "curious",
        "note": "x",
    }
    with pytest.raises(Refused, match="closed"):
        correction.corrected(public, asked)
    with pytest.raises(Refused, match="closed"):
        correction.record(public, "OC", asked, None)


def test_the_reason_of_a_correction_is_no_column_of_any_kind() -> None:
    assert not [one for one in KINDS.values() if correction.REASON in one.model_fields]


def test_a_form_reads_back_what_it_wrote_for_every_kind(desk: Desk) -> None:
    """Each kind of record of the museum, through the texts of its form and back."""
    state = replace(desk, reader=Reader("R2")).whole()
    first: dict[str, str] = {}
    for key in state:
        first.setdefault(state.held(key).record.kind, key)
    assert len(first) > 15
    for key in first.values():
        record = state.held(key).record
        told_again = record_of(
            replace(desk, reader=Reader("R2")), type(record), form_of(state, key)
        )
        assert told_again == record


def test_the_relation_said_most_often_stands_first(desk: Desk) -> None:
    state, _, _ = desk.around(SCREEN)
    words = relations_by_use(state)
    assert sorted(words) == sorted(map(str, Relation))
    counts = [
        sum(str(one.relation) == word for _, one in state.all_of(Claim)) for word in words
    ]
    assert counts == sorted(counts, reverse=True)
    assert counts[0] > 1
