"""What could be looked at next is ranked; it is never recommended and never called safe."""

from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

import numpy as np
import numpy.typing as npt
import pytest
from chest_archive import ASK, Chest, claim, no_sample, opened, result
from scipy.stats import entropy
from worked_case import refixed_object, single_part, small_quarrel

from vestige.graph.answer.next_examination import Next, OnElement, next_of
from vestige.graph.errors import BadValue
from vestige.graph.reasoning import STANDARD_EXAMINATIONS, Assessment, Touch, assess
from vestige.graph.reasoning.account import states_apart
from vestige.graph.reasoning.evidence import Aspect, Reading
from vestige.graph.reasoning.examination import Examination, read_examinations
from vestige.graph.reasoning.expected_gain import expected_gains
from vestige.graph.reasoning.factor_graph import FactorGraph
from vestige.graph.reasoning.influence import value_of_information
from vestige.graph.reasoning.junction_tree import plan, solve
from vestige.graph.record import (
    Container,
    Relation,
    Sample,
    SampleState,
    Source,
    SourceKind,
)
from vestige.graph.state import State, closed
from vestige.ui.command.words_next import next_looks

BY_NAME = {one.name: one for one in STANDARD_EXAMINATIONS}


@pytest.fixture
def chest(tmp_path: Path) -> Iterator[Chest]:
    with opened(tmp_path) as one:
        yield one


def asked(chest: Chest) -> Next:
    return next_of(chest.collection.around("OBJ"), "OBJ")


def on(answer: Next, name: str, number: str) -> OnElement:
    [look] = [one for one in answer.examinations if one.name == name]
    [found] = [one for one in look.elements if one.thing.number == number]
    return found


# ------------------------------------------------------------------ the list


@pytest.mark.parametrize(
    ("method", "names"),
    [
        ("SEM-EDX", {"pigment by Raman or electron microscope"}),
        ("section, light microscopy", {"cross-section"}),
        ("X-ray fluorescence", {"X-ray fluorescence of elements"}),
        ("X-radiograph", {"X-radiography"}),
        ("UV and spot test", {"ultraviolet light",
                              "binder, resin or adhesive by FTIR or spot test"}),
        ("survey of the gallery", set()),
    ],
)  # fmt: skip
def test_a_method_is_known_by_what_people_call_it(method: str, names: set[str]) -> None:
    """Names of methods: common practice, no source."""
    assert {e.name for e in STANDARD_EXAMINATIONS if e.is_method(method)} == names


def test_every_row_names_its_basis() -> None:
    assert all(one.basis and one.tells and one.synonyms for one in STANDARD_EXAMINATIONS)


def test_the_list_covers_every_cost_to_the_object() -> None:
    assert {one.touch for one in STANDARD_EXAMINATIONS} == set(Touch)


@pytest.mark.parametrize(
    ("change", "wrong"),
    [
        ('touch = "none"', 'touch = "gently"'),
        ("right = 0.8", "right = 1.8"),
        ('kinds = ["part"]', 'kinds = ["chair"]'),
        ('tells = "much"\n', ""),
    ],
)
def test_a_row_that_cannot_be_is_refused_by_name(change: str, wrong: str) -> None:
    good = (
        '[[examination]]\nname = "looking"\ntells = "much"\ntouch = "none"\n'
        'kinds = ["part"]\naspect = "made"\nresult = 0.5\nright = 0.8\nneeds = []\n'
        'synonyms = ["look"]\nbasis = "own"\n'
    )
    assert len(read_examinations(good)) == 1
    with pytest.raises(BadValue, match="looking"):
        read_examinations(good.replace(change, wrong))


def test_tree_rings_are_for_wood_and_what_may_be_wood() -> None:
    rings = BY_NAME["tree rings"]
    assert [rings.suits(stuff) for stuff in ("oak board", "iron", None)] == [
        True, False, True,
    ]  # fmt: skip


# ------------------------------------------------------------------ the gains


def accounts_of(assessment: Assessment, thing: str) -> npt.NDArray[np.float64]:
    """P(account, made, placed) of a thing, account by account."""
    kind = assessment.case.thing(thing).kind
    return np.stack(
        [
            np.where(states, assessment.beliefs[thing], 0.0)
            for states in states_apart(assessment.case, kind)
        ]
    )


def test_the_gain_about_a_thing_is_the_mutual_information_of_entropies() -> None:
    """Outside check: H(X) + H(Y) - H(X, Y) with the entropies of SciPy."""
    assessment = assess(refixed_object())
    gains = expected_gains(assessment, STANDARD_EXAMINATIONS)
    for one in gains[:10]:
        cells = accounts_of(assessment, one.thing)
        has_making = assessment.case.thing(one.thing).kind.has_making
        made = has_making and one.examination.aspect is Aspect.MADE
        joint = cells.sum(axis=2 if made else 1)
        outcome = one.examination.outcomes(joint.shape[1] - made, made) @ joint.T
        expected = (
            entropy(outcome.sum(axis=0), base=2)
            + entropy(outcome.sum(axis=1), base=2)
            - entropy(outcome.ravel(), base=2)
        )
        assert one.bits == pytest.approx(expected, abs=1e-9)


def test_the_gain_over_the_object_is_that_of_every_thing_asked_by_itself() -> None:
    """By another road: an unknown "account" for one thing after another, pinned."""
    assessment = assess(small_quarrel())
    gains = [one for one in expected_gains(assessment, STANDARD_EXAMINATIONS)
             if one.over_object is not None][:3]  # fmt: skip
    assert gains
    for gain in gains:
        total = sum(
            _about(assessment, thing.id, gain.thing, gain.examination)
            for thing in assessment.case.things
            if not thing.core
        )
        assert gain.over_object == pytest.approx(total, abs=1e-5)


def _about(assessment: Assessment, asked: str, looked: str, way: Examination) -> float:
    model = assessment.model
    graph = FactorGraph()
    for name, states in zip(model.graph.names, model.graph.cards, strict=True):
        graph.add_variable(name, states)
    rows = zip(model.graph.scopes, model.graph.tables, model.graph.labels, strict=True)
    for scope, table, label in rows:
        graph.add_factor(scope, table, label)
    kind = model.case.thing(asked).kind
    classes = states_apart(model.case, kind)
    target = graph.add_variable("account", len(classes))
    placed = model.times[Reading(asked, Aspect.PLACED)]
    tables = np.stack(classes, axis=-1).astype(float)
    if kind.has_making:
        made = model.times[Reading(asked, Aspect.MADE)]
        graph.add_factor([made, placed, target], tables + 1e-300, "account")
    else:
        count = len(model.case.phases)
        when = tables[np.arange(1, count + 1), np.arange(count)]
        graph.add_factor([placed, target], when + 1e-300, "account")
    posterior = solve(plan(graph), graph.tables)
    has_making = model.case.thing(looked).kind.has_making
    aspect = way.aspect if has_making else Aspect.PLACED
    count = len(model.case.phases)
    test = model.times[Reading(looked, aspect)], way.outcomes(count, aspect is Aspect.MADE)
    return float(value_of_information(posterior, target, [test])[0])


def test_what_is_learnt_of_all_is_no_less_than_of_one() -> None:
    for one in expected_gains(assess(refixed_object()), STANDARD_EXAMINATIONS):
        assert one.bits >= 0
        assert one.over_object is None or one.over_object >= one.bits - 1e-9


def test_the_core_is_not_asked_about() -> None:
    gains = expected_gains(assess(refixed_object()), STANDARD_EXAMINATIONS)
    assert "body" not in {one.thing for one in gains}


def test_an_examination_that_tells_more_often_gains_more() -> None:
    assessment = assess(single_part())
    often, seldom = BY_NAME["tree rings"], BY_NAME["tree rings read on the object"]
    gains = {one.examination.name: one.bits
             for one in expected_gains(assessment, [often, seldom])}  # fmt: skip
    assert gains[often.name] > gains[seldom.name] > 0


# ------------------------------------------------------------------ the answer


def test_what_touches_least_comes_first(chest: Chest) -> None:
    order = [str(touch) for touch in Touch]
    told = [order.index(one.touch) for one in asked(chest).examinations]
    assert told == sorted(told)
    assert len(set(told)) > 2


def test_a_result_by_that_technique_is_named_and_ranked_behind(chest: Chest) -> None:
    chest.say(1, R1=result("R-1", "V1", "FT-IR"))
    found = on(asked(chest), "binder, resin or adhesive by FTIR or spot test", "CH-4")
    assert [one.thing.number for one in found.results] == ["R-1"]
    assert on(asked(chest), "ultraviolet light", "CH-4").results == ()


def test_a_closed_result_is_named_with_the_role_to_ask_and_nothing_more(
    chest: Chest,
) -> None:
    """Otherwise the object would be sampled again for what is known already."""
    chest.say(1, S9=Source(number="S-9", name="report", sort=SourceKind.ANALYSIS),
              R1=result("R-1", "V1", "FT-IR"))  # fmt: skip
    held = chest.collection.around("OBJ")
    shut = closed(held.held("R1").record, ASK)
    state = State([replace(held.held(key), record=shut) if key == "R1" else held.held(key)
                   for key in held])  # fmt: skip
    found = on(next_of(state, "OBJ"), "cross-section", "CH-4").results
    assert [one.found for one in found] == [f"restricted: ask {ASK}"]


def test_a_claim_seen_by_that_technique_is_named(chest: Chest) -> None:
    chest.say(1, C3=claim("O-3", "COAT", Relation.LIES_OVER, other="LID", method="UV"))
    found = on(asked(chest), "ultraviolet light", "CH-4")
    assert [one.number for one in found.seen] == ["O-3"]


def test_a_kept_sample_is_offered_until_it_is_used_up(chest: Chest) -> None:
    box = Container(number="BX-1", name="sample box")
    sample = chest.collection.around("OBJ").record("V1", Sample)
    chest.say(1, BOX=box, V1=sample.model_copy(update={"container": "BOX"}))
    offered = on(asked(chest), "cross-section", "CH-4").samples
    assert [one.number for one in offered] == ["V1"]
    assert on(asked(chest), "ultraviolet light", "CH-4").samples == ()
    gone = {"container": "BOX", "state": SampleState.CONSUMED}
    chest.say(2, V1=sample.model_copy(update=gone))
    assert on(asked(chest), "cross-section", "CH-4").samples == ()


def test_a_restriction_forbids_with_the_role_to_ask(chest: Chest) -> None:
    chest.say(1, STOP=no_sample("COAT"))
    found = on(asked(chest), "cross-section", "CH-4")
    assert [one.ask for one in found.forbidden] == [ASK]
    assert on(asked(chest), "ultraviolet light", "CH-4").forbidden == ()


def test_the_words_rank_and_neither_recommend_nor_call_safe(chest: Chest) -> None:
    chest.say(1, STOP=no_sample("COAT"))
    said = next_looks(asked(chest), numbers=True)
    assert "recommends nothing" in said
    assert "safe" not in said
    assert "should" not in said
    assert f"ask {ASK}" in said
