"""What the entries add up to at a moment."""

from .access import PUBLIC, Reader, closed, closed_content, closing, open_to
from .change import HOME_WORDS, Change, change_of
from .network import neighbourhood, to_networkx
from .state import Held, State
from .withholding import Closure, named_homes, with_dependents, without

__all__ = [
    "HOME_WORDS",
    "PUBLIC",
    "Change",
    "Closure",
    "Held",
    "Reader",
    "State",
    "change_of",
    "closed",
    "closed_content",
    "closing",
    "named_homes",
    "neighbourhood",
    "open_to",
    "to_networkx",
    "with_dependents",
    "without",
]
