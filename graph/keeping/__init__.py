"""Where things are: parts that came off, samples, boxes, and who saw them last."""

from .caution import Carried, came_from, cautions
from .contents import Lacking, Lying, contents, missing
from .whereabouts import Certainty, Look, Spell, Whereabouts, looks_for, spells, whereabouts

__all__ = [
    "Carried",
    "Certainty",
    "Lacking",
    "Look",
    "Lying",
    "Spell",
    "Whereabouts",
    "came_from",
    "cautions",
    "contents",
    "looks_for",
    "missing",
    "spells",
    "whereabouts",
]
