"""How verdicts are said, for the catalogues. `verdict.py` finds them in answers.

The English of each is the English of the assessment (`graph/reasoning/account.py` and
`verdict.py`); a test holds them together.
"""

from .wording import translatable

ORIGINAL = "original"
ORIGINAL_OPEN = "original, whether moved or not is open"
ADDED, CAME, WAS_IN = "added in {phase}", "came in {phase}", "in {phase}"
OLD_LATER = "old material brought in later, in {phase}"
LATER = "later, open between {phases}"
UNTOLD = "later, cannot be told between use-life repair and restoration"
OPEN_BETWEEN = "open between {accounts}"
OPEN_FAILS = "open: {account} does not hold throughout"
CORE = "{account}: by definition, it is the object's core"
GRADED = "{account} ({grade})"
NOT_ORIGINAL, ORIGINAL_ANYHOW = "not original in any case", "original in any case"
ANYHOW = "{account} in any case"
LAST_OF = "{first} and {last}"

translatable(__name__)
