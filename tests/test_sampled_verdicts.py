"""What the answer to `assess` says of itself where it could not be exact."""

import json
from collections.abc import Iterator
from pathlib import Path

import pytest

from vestige.graph.answer.assessment import AssessmentOf, assess_of, why_of
from vestige.graph.collection import Collection
from vestige.graph.errors import Refused
from vestige.graph.ledger import State as Say
from vestige.graph.reasoning import Params, SamplingRules
from vestige.graph.record import (
    Claim,
    Element,
    ElementSort,
    MuseumObject,
    Record,
    Relation,
    Strength,
)
from vestige.ui.command.words import why as in_words

TOO_WIDE = Params(budget=10)
PARTS = ("LID", "BOX", "FOOT", "HASP")


def records() -> dict[str, Record]:
    found: dict[str, Record] = {"OBJ": MuseumObject(number="X.1", name="chest")}
    for number, part in enumerate(PARTS):
        found[part] = Element(
            number=f"E-{number}",
            object="OBJ",
            name=part.lower(),
            sort=ElementSort.PART,
            core=part == "BOX",
            touches=PARTS[:number],
        )
        found[f"SAID{number}"] = Claim(
            number=f"O-{number}",
            about=part,
            relation=Relation.AS_MADE,
            strength=Strength.STRONG,
            by="conservator",
        )
    return found


@pytest.fixture
def chest(tmp_path: Path) -> Iterator[Collection]:
    with Collection.create(tmp_path / "archive") as collection:
        acts = [Say(one.kind, key, one.body()) for key, one in records().items()]
        collection.record("conservator", acts)
        yield collection


def test_an_exact_answer_says_exact(chest: Collection) -> None:
    answer = assess_of(chest.around("OBJ"), "OBJ")
    assert answer.method == "exact"
    assert answer.sampling is None
    assert {one.error for one in answer.verdicts} == {0.0}


def test_a_wide_case_is_answered_by_sampling_and_says_how_well(chest: Collection) -> None:
    state = chest.around("OBJ")
    exact = assess_of(state, "OBJ")
    said: list[str] = []
    answer = assess_of(
        state,
        "OBJ",
        params=TOO_WIDE,
        rules=SamplingRules(room=250),
        beforehand=said.append,
    )
    assert ["2560 draws" in one for one in said] == [True]
    assert answer.method.startswith("sampled, as the case is too wide")
    assert "standard error" in answer.method
    assert "effective sample size" in answer.method
    assert answer.sampling is not None
    assert 0 < answer.sampling.error < 0.05
    assert any("sampled" in one for one in answer.warnings)
    for one, other in zip(exact.verdicts, answer.verdicts, strict=True):
        if one.word == other.word:
            assert abs(one.probability - other.probability) <= 4 * other.error + 1e-9
    told = json.loads(answer.model_dump_json())
    assert AssessmentOf.model_validate(told) == answer
    assert set(told["sampling"]) == {"error", "effective", "draws", "rhat", "apart"}


def test_where_sampling_may_not_be_paid_for_there_is_one_sentence(
    chest: Collection,
) -> None:
    with pytest.raises(Refused, match="nothing was drawn"):
        assess_of(
            chest.around("OBJ"),
            "OBJ",
            params=TOO_WIDE,
            rules=SamplingRules(room=250, most_work=10),
        )


def test_a_sampled_verdict_has_its_reasons(chest: Collection) -> None:
    state = chest.around("OBJ")
    exact = why_of(state, "LID")
    why = why_of(state, "LID", params=TOO_WIDE, rules=SamplingRules(room=250))
    assert exact.method == "exact"
    assert why.method.startswith("sampled")
    assert why.speaks_for[0].claim == exact.speaks_for[0].claim
    weights = why.speaks_for[0], exact.speaks_for[0]
    assert abs(weights[0].weight - weights[1].weight) <= 4 * weights[0].error + 0.02
    assert "inference: sampled" in in_words(why, numbers=True)
    assert "inference" not in in_words(exact)
