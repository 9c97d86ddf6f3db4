"""The JSON of every answer has a shape that can be asked for, and keeps to it."""

import json

import pytest
from click.testing import CliRunner

from vestige.ui.command import cli


@pytest.mark.parametrize(
    "question",
    ["assess", "why", "why --after", "sequence", "arrangements",
     "arrangements --from-marks", "marks", "match", "match --all", "window", "locate",
     "contents", "missing", "cautions", "find", "compare", "alike", "report",
     "match-fragment", "label",
     "conflicts", "unknowns", "next", "decisions", "changes",
     "life", "move", "tasks", "audit result", "manifest status",
     "samples", "recall", "custody", "due", "depends", "treatment", "sources"],
)  # fmt: skip
def test_every_answer_tells_its_shape(question: str) -> None:
    ran = CliRunner().invoke(cli, ["shape", question])
    schema = json.loads(ran.stdout)
    assert {"form", "as_known", "cautions"} <= set(schema["properties"])
    assert schema["description"]


def test_a_question_without_a_shape_is_wrong_use() -> None:
    assert CliRunner().invoke(cli, ["shape", "weather"]).exit_code == 2
