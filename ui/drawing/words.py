"""What drawings say, where it is not what somebody recorded.

Verdicts, grades and statuses are fixed words of the trade and are said by
`language.verdict` and `language.word`. The command line draws in English.
"""

from ..language import translatable

# the board of verdicts
ONE_PART, PARTS = "1 part", "{count} parts"
SPEAK_OF = "The verdicts speak of the object {arrangement}."
ONE_GROUP, GROUPS = "1 group", "{count} groups"
FOLDED_INTO = "{count} of them are folded into {groups}; the table names each."
FOLDED = "{parts}, folded: {tally}."
FOLDED_GROUP = "Folded group."
NOT_IN_PLACE = "{count} not in place now."
WITH_CAUTION = "{count} with a caution."
BY_VERDICT = "By verdict: {tally}."
VERDICT_HEADS = (
    "Part",
    "Belongs to",
    "Verdict",
    "Grade",
    "Physical status",
    "Place",
    "Rival view",
    "Caution",
)
RIVAL, CAUTION = "rival view: {text}", "caution: {text}"
A_CAUTION = "caution"
OF_PART = "Verdict {verdict}, {grade}. Physical status: {status}."
APART = "A strip set apart from its card: not in its place on the object now."

# dates in time
LIMITS = {
    "firm": "limit",
    "about": "approximate limit",
    "open": "no limit",
    "not recorded": "not recorded",
}
WITHIN, THROUGH = "at some time within", "all through"
ENDS_SAID = "Earlier end: {start}. Later end: {end}."
LASTED, AT_SOME_TIME = "It lasted all through.", "At some time within."
ABOUT_SIGN, NO_LIMIT, NOT_RECORDED = "about", "no limit on this side", "not recorded"
SOURCE_UNSURE, UNSURE = "source unsure", "unsure"
ONE_ITEM, ITEMS = "1 dated item", "{count} dated items"
DATED = "{label}: {dates}, {sense}; earlier end: {start}, later end: {end}."
SENSE_UNSURE = "{sense}, source unsure"
WINDOW_HEADS = ("Item", "Dates", "Sense", "Earlier end", "Later end", "Source")

translatable(__name__)
