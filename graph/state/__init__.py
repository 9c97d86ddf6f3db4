"""What the entries add up to at a moment."""

from .change import HOME_WORDS, Change, change_of
from .state import Held, State

__all__ = ["HOME_WORDS", "Change", "Held", "State", "change_of"]
