"""What pages refuse, and why."""

from ..language import translatable

NOTHING_IN = "nothing is recorded to lie in {holder}"
LIES_BEFORE = "the day as known lies before {since}; nothing lies between"
SAY_WHAT = "say what is seen: choose a word under '{field}'"
OF_NO_OBJECT = "{thing} comes from no recorded object"
NOT_ANY_MORE = "'{number}' is not recorded about this object any more"
NO_PICTURE = "this is no picture that can be kept; take one of {kinds}"
TOO_MANY_PIXELS = "this picture has more pixels than can be taken here"
WRONG_KIND = "{head}: '{number}' is of the kind {kind}; name one of: {wanted}"
FILL_IN = "fill in '{head}'"
NOT_YET = "'{day}' lies in the future: what is meant to be done is a decision"

translatable(__name__)
