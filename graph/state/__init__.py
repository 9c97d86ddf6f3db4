"""What the entries add up to at a moment."""

from .access import PUBLIC, Reader, closed, closed_content, open_to
from .change import HOME_WORDS, Change, change_of
from .network import neighbourhood, to_networkx
from .state import Held, State

__all__ = [
    "HOME_WORDS",
    "PUBLIC",
    "Change",
    "Held",
    "Reader",
    "State",
    "change_of",
    "closed",
    "closed_content",
    "neighbourhood",
    "open_to",
    "to_networkx",
]
