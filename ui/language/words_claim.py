"""How claims are said, for the catalogues. `claim.py` finds them in answers.

The English of each is that of `graph/answer/answer.py`; a test holds them together.
"""

from .wording import translatable

DENIED = "it is denied that {claim}"
FORMS = {
    "lies over": "{one} lies over {other}",
    "cuts": "{one} cuts {other}",
    "fills": "{one} fills {other}",
    "bridges": "{one} bridges {other}",
    "later than": "{one} is later than {other}",
    "impression of": "{one} is an impression of {other}",
    "ghost of": "{one} is a ghost of {other}",
    "lies under": "{one} lies under {other}",
    "cut by": "{one} is cut by {other}",
    "trapped in": "{one} is trapped in {other}",
    "earlier than": "{one} is earlier than {other}",
    "abuts": "{one} abuts {other}",
    "passes through": "{one} passes through {other}",
    "touches": "{one} touches {other}",
    "held by": "{one} is held by {other}",
    "part of": "{one} is part of {other}",
    "same stuff as": "{one} is the same stuff as {other}",
    "same hand as": "{one} is by the same hand as {other}",
    "matches": "{one} matches {other}",
    "continues across": "{one} continues across {other}",
    "stood against": "{one} stood against {other}",
    "as made": "{one} is as made",
    "made in": "{one} was made in {other}",
    "put in place in": "{one} was put in place in {other}",
    "belongs to": "{one} belongs to {other}",
    "not before": "{one} is not earlier than {other}",
    "not after": "{one} is not later than {other}",
    "dated": "{one} is dated {other}",
    "seen by then": "{one} was seen there by {other}",
    "absent on": "{one} was looked for and absent on {other}",
    "replaces": "{one} replaces {other}",
    "reused from": "{one} was reused from {other}",
    "moved from": "{one} was moved from {other}",
    "copied as": "{one} was copied as {other}",
    "arranged as": "{one} was arranged as {other}",
    "counted as": "{one} was counted as {other}",
    "made of": "{one} is made of {other}",
    "may belong to": "{one} may belong to {other}",
    "supports": "{one} supports {other}",
    "opposes": "{one} opposes {other}",
    "disputes": "{one} disputes {other}",
}
"""By relation: what is said of one thing and another, a date, a phase or words."""

translatable(__name__)
