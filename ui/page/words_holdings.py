"""Sentences about what there is too much of to show at once."""

from ..language import translatable

LAST_OF = (
    "The {shown} last recorded or corrected, of {all}. Search finds any other by its "
    "number or words."
)
LAST_ASKED = (
    "The {shown} last recorded open questions; {all} questions are recorded in all, "
    "answered ones among them."
)
NOT_RECKONED_OF_MANY = (
    "Reckoned for the {shown} objects last recorded or corrected, of {all}. Open another "
    "object to see its verdicts."
)
MANY_KEPT = (
    "{count} things are kept. To answer this, each of them is looked at, which may take "
    "minutes; so it is done when you ask for it."
)
LOOK_THROUGH = "Look through all {count}"
LOOKING_THROUGH = "Looking through all that is kept..."
LOOKED_AT_ENTRY = (
    "This is how it stood at entry {then}; {count} entries were recorded since. Look "
    "through again for how it stands now."
)
RECKONING = "Reckoning the verdicts..."
FIND_ELEMENT = "Find an element by number or name"
WHICH_VERDICT = "Which verdicts"
VERDICT_COUNT = "{verdict}: {count}"
ELEMENTS_OF = "The first {shown} of {all} elements; find others by number, name or verdict."
NO_SUCH_ELEMENT = "No element of this object has that in its number or name."
OBJECT_NUMBER = "Number of another object"

translatable(__name__)
