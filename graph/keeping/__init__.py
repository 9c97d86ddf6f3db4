"""Where things are: parts that came off, samples, boxes, and who saw them last."""

from .caution import Carried, came_from, cautions
from .contents import Lacking, Lying, contents, missing
from .life import Life, lacking, life
from .stage import ENDED, LAWFUL, Stage, Step, gone, steps_of
from .turn import Sort, Turn, turns_of
from .whereabouts import Certainty, Look, Spell, Whereabouts, looks_for, spells, whereabouts

__all__ = [
    "ENDED",
    "LAWFUL",
    "Carried",
    "Certainty",
    "Lacking",
    "Life",
    "Look",
    "Lying",
    "Sort",
    "Spell",
    "Stage",
    "Step",
    "Turn",
    "Whereabouts",
    "came_from",
    "cautions",
    "contents",
    "gone",
    "lacking",
    "life",
    "looks_for",
    "missing",
    "spells",
    "steps_of",
    "turns_of",
    "whereabouts",
]
