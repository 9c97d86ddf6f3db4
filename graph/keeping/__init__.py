"""Where things are: parts that came off, samples, boxes, and who saw them last."""

from .breach import Breach
from .caution import Carried, came_from, cautions
from .contents import Lacking, Lying, contents, missing
from .disposal import Depends, dependents
from .lawful import breaches
from .life import Life, lacking, life
from .recall import Reach, Touch, Wanted, recall
from .round import Finding, Outcome, Round, round_of, rounds
from .sample import (
    Branch,
    Remainder,
    Use,
    by_technique,
    left_of,
    object_of,
    remainder,
    results_of,
    sample_trees,
    unusable,
    uses_of,
)
from .stage import ENDED, LAWFUL, Stage, Step, gone, steps_of
from .task import Task, open_tasks
from .turn import Sort, Turn, turns_of
from .whereabouts import Certainty, Look, Spell, Whereabouts, looks_for, spells, whereabouts
from .travel import Load, loads

__all__ = [
    "Branch",
    "Breach",
    "Carried",
    "Certainty",
    "Depends",
    "ENDED",
    "Finding",
    "LAWFUL",
    "Lacking",
    "Life",
    "Load",
    "Look",
    "Lying",
    "Outcome",
    "Reach",
    "Remainder",
    "Round",
    "Sort",
    "Spell",
    "Stage",
    "Step",
    "Task",
    "Touch",
    "Turn",
    "Use",
    "Wanted",
    "Whereabouts",
    "breaches",
    "by_technique",
    "came_from",
    "cautions",
    "contents",
    "dependents",
    "gone",
    "lacking",
    "left_of",
    "life",
    "loads",
    "looks_for",
    "missing",
    "object_of",
    "open_tasks",
    "recall",
    "remainder",
    "results_of",
    "round_of",
    "rounds",
    "sample_trees",
    "spells",
    "steps_of",
    "turns_of",
    "unusable",
    "uses_of",
    "whereabouts",
]
