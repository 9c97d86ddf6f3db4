"""The `vestige` command: one verb for each question, and the housekeeping verbs."""

import sys

import click

from .accounts import ACCESS
from .ask import QUESTIONS
from .asking import plainly
from .auditing import AUDITING
from .carrying import CARRYING
from .clicking import CLICKING
from .demo import demo
from .evidence import EVIDENCE
from .fragments import FRAGMENT_COMMANDS
from .house import HOUSE
from .keeping import KEEPING_QUESTIONS
from .labels import LABELS
from .likeness import LIKENESS_QUESTIONS
from .linking import LINKED
from .marking import MARK_QUESTIONS
from .moving import MOVING
from .open_ends import OPEN_ENDS
from .serving import SERVING
from .surveying import SURVEYING

SHAPES = {
    "assess": ("assessment", "AssessmentOf"),
    "why": ("assessment", "WhyOf"),
    "why --after": ("sequence", "WhyLater"),
    "sequence": ("sequence", "SequenceAnswer"),
    "arrangements": ("arrangement", "Arrangements"),
    "arrangements --from-marks": ("mark_row", "RowsFromMarks"),
    "marks": ("mark", "Marks"),
    "match": ("mark_match", "Match"),
    "match --all": ("mark_match", "Matches"),
    "window": ("window", "Window"),
    "locate": ("whereabouts", "Location"),
    "contents": ("whereabouts", "Contents"),
    "missing": ("whereabouts", "Missing"),
    "cautions": ("caution", "Cautions"),
    "find": ("found", "Found"),
    "survey": ("survey", "Survey"),
    "samples": ("sample", "Samples"),
    "custody": ("custody", "Custody"),
    "depends": ("dependence", "Depends"),
    "treatment": ("treatment", "Treatments"),
    "sources": ("source", "Sources"),
    "due": ("due", "DueOf"),
    "recall": ("recall", "Recall"),
    "compare": ("likeness", "Comparison"),
    "alike": ("likeness", "Alike"),
    "evidence": ("evidence", "EvidenceGuide"),
    "life": ("life", "LifeOf"),
    "move": ("acting", "ActOf"),
    "audit result": ("round", "RoundOf"),
    "manifest status": ("round", "RoundOf"),
    "tasks": ("round", "Tasks"),
    "match-fragment": ("fragment", "FragmentMatch"),
    "label": ("label", "Labels"),
    "conflicts": ("conflict", "Conflicts"),
    "unknowns": ("unknown", "Unknowns"),
    "next": ("next_examination", "Next"),
    "decisions": ("decision", "Decisions"),
    "changes": ("change", "ChangesOf"),
    "report": ("report", "ReportOf"),
}
"""Which answer each question gives, and the module of `vestige.graph.answer` it is in."""


SECTIONS = {
    "Begin": "demo new template evidence check import serve",
    "What is original, and why": "assess why sequence arrangements marks mark-page match "
    "window conflicts unknowns next decisions changes sources depends treatment "
    "compare alike",
    "Where it is, and who has it": "locate contents missing life custody samples due "
    "tasks cautions match-fragment",
    "Record what was done": "move seen notseen became manifest audit assign label",
    "Across the collection": "find survey recall query",
    "Paper and exchange": "report export ontology vocabulary",
    "Who may see what": "account views",
    "Keep the archive": "account views verify rebuild backup carry shape completion",
}
"""Headings of the help, each with its commands in the order of a day's work."""


class InOrder(click.Group):
    """Lists its commands under headings, in the order of a day's work."""

    def format_commands(self, ctx: click.Context, formatter: click.HelpFormatter) -> None:
        """Write the commands under their headings; what has none comes last."""
        left = dict(self.commands)
        for heading, names in (*SECTIONS.items(), ("Also", " ".join(left))):
            found = [(name, left.pop(name)) for name in names.split() if name in left]
            if found:
                with formatter.section(heading):
                    room = formatter.width - 18
                    formatter.write_dl(
                        [(name, one.get_short_help_str(room)) for name, one in found]
                    )

    def list_commands(self, ctx: click.Context) -> list[str]:
        """Names in the order in which they were added."""
        return list(self.commands)


@click.group(
    cls=InOrder,
    context_settings={"help_option_names": ["-h", "--help"], "max_content_width": 92},
    epilog=(
        "Begin with 'vestige demo'. "
        "Completion: see 'vestige completion --help'. "
        "Exit codes: 0 done, 1 not done, 2 wrong use, 3 refused by access, "
        "4 problems found."
    ),
)
@click.version_option(package_name="vestige", prog_name="vestige")
def cli() -> None:
    """What is original on an object, what came later, and where everything is now.

    Vestige records and reasons; decisions belong to people. It recommends no treatment.
    """


@click.command()
@click.argument("shell", type=click.Choice(["bash", "zsh", "fish"]))
def completion(shell: str) -> None:
    """Print the line that completes commands in your shell; add it to its start file."""
    from click.shell_completion import get_completion_class

    kind = get_completion_class(shell)
    assert kind is not None
    click.echo(kind(cli, {}, "vestige", "_VESTIGE_COMPLETE").source())


@click.command()
@click.argument("question", type=click.Choice(sorted(SHAPES)))
def shape(question: str) -> None:
    """Print the JSON Schema of an answer: what --json gives, field by field."""
    import importlib
    import json

    module, name = SHAPES[question]
    answer = getattr(importlib.import_module(f"vestige.graph.answer.{module}"), name)
    click.echo(json.dumps(answer.model_json_schema(), ensure_ascii=False, indent=2))


for command in (
    demo,
    *SERVING,
    *QUESTIONS,
    *MARK_QUESTIONS,
    *MOVING,
    *AUDITING,
    *KEEPING_QUESTIONS,
    *LIKENESS_QUESTIONS,
    *OPEN_ENDS,
    *EVIDENCE,
    *FRAGMENT_COMMANDS,
    *LABELS,
    *LINKED,
    *SURVEYING,
    *CLICKING,
    *HOUSE,
    *CARRYING,
    *ACCESS,
    shape,
    completion,
):
    cli.add_command(command)


def main() -> None:
    """Entry point of the command."""
    sys.exit(plainly(lambda: cli.main(prog_name="vestige", standalone_mode=False)))
