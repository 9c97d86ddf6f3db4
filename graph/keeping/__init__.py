"""Where things are: parts that came off, samples, boxes, and who saw them last."""

from .breach import Breach
from .caution import Carried, came_from, cautions
from .contents import Lacking, Lying, contents, missing
from .disposal import Depends, dependents
from .fragment import PARENTAGE, Parentage, Standing, parentage, standing, suspects
from .fragment_match import Candidate, Matched, match
from .fragment_place import VACANT_WORDS
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
from .travel import Load, loads
from .turn import Sort, Turn, turns_of
from .whereabouts import Certainty, Look, Spell, Whereabouts, looks_for, spells, whereabouts

__all__ = [
    "ENDED",
    "LAWFUL",
    "PARENTAGE",
    "VACANT_WORDS",
    "Branch",
    "Breach",
    "Candidate",
    "Carried",
    "Certainty",
    "Depends",
    "Finding",
    "Lacking",
    "Life",
    "Load",
    "Look",
    "Lying",
    "Matched",
    "Outcome",
    "Parentage",
    "Reach",
    "Remainder",
    "Round",
    "Sort",
    "Spell",
    "Stage",
    "Standing",
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
    "match",
    "missing",
    "object_of",
    "open_tasks",
    "parentage",
    "recall",
    "remainder",
    "results_of",
    "round_of",
    "rounds",
    "sample_trees",
    "spells",
    "standing",
    "steps_of",
    "suspects",
    "turns_of",
    "unusable",
    "uses_of",
    "whereabouts",
]
