"""Where things are: parts that came off, samples, boxes, and who saw them last."""

from .breach import Breach
from .caution import Carried, came_from, cautions
from .contents import Lacking, Lying, contents, missing
from .disposal import Depends, dependents
from .lawful import breaches
from .life import Life, lacking, life
from .recall import Reach, Touch, Wanted, recall
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
from .turn import Sort, Turn, turns_of
from .whereabouts import Certainty, Look, Spell, Whereabouts, looks_for, spells, whereabouts

__all__ = [
    "ENDED",
    "LAWFUL",
    "Branch",
    "Breach",
    "Carried",
    "Certainty",
    "Depends",
    "Lacking",
    "Life",
    "Look",
    "Lying",
    "Reach",
    "Remainder",
    "Sort",
    "Spell",
    "Stage",
    "Step",
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
    "looks_for",
    "missing",
    "object_of",
    "recall",
    "remainder",
    "results_of",
    "sample_trees",
    "spells",
    "steps_of",
    "turns_of",
    "unusable",
    "uses_of",
    "whereabouts",
]
