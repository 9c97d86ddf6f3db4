"""Modules of words that answer in the language that is spoken.

A module of words holds UPPERCASE constants in English: a text, or a tuple or mapping of
texts. With ``translatable(__name__)`` as its last line, reading one of them from outside
gives the translation (Python reference, 3.3.2.1 "Customizing module attribute access":
the class of a module may be replaced by a subclass of its type). Types and call sites
stay as they are; a module that is read at import time would keep the language of that
moment, which `tests/test_wording.py` forbids.
"""

import sys
from types import ModuleType
from typing import Any

from .catalogue import Catalogue
from .chosen import speaking

__all__ = ["Wording", "column", "english", "texts_in", "translatable", "word"]

WORD = "word"
"""Context of the fixed words of the trade."""
COLUMN = "column"
"""Context of the columns of sheets."""
_KEPT = "_kept"


class Wording(ModuleType):
    """A module whose UPPERCASE constants are read in the language that is spoken."""

    def __getattribute__(self, name: str) -> Any:
        value = super().__getattribute__(name)
        if not name.isupper():
            return value
        catalogue = speaking()
        if catalogue is None or name in super().__getattribute__(_KEPT):
            return value
        return _told(value, name, catalogue)


def translatable(module: str, keep: tuple[str, ...] = ()) -> None:
    """Make a module of words answer in the language that is spoken.

    Args:
        module: its `__name__`.
        keep: names of constants that stay as they are, since they are compared with
            what answers say or stand in addresses.
    """
    one = sys.modules[module]
    one.__class__ = Wording
    setattr(one, _KEPT, frozenset(keep))


def english(module: ModuleType, name: str) -> Any:
    """A constant as it is written, whatever is spoken."""
    return vars(module)[name]


def word(text: str) -> str:
    """A fixed word of the trade (a relation, a status, a grade) in the language spoken.

    Answers bring these words in English and keep them as keys; only what is shown is
    translated. What no catalogue knows stays in English.
    """
    catalogue = speaking()
    return text if catalogue is None else catalogue.said(text, WORD)


def column(head: str) -> str:
    """The name of a field of a record, which is the head of its column in a sheet."""
    catalogue = speaking()
    return head if catalogue is None else catalogue.said(head, COLUMN)


def texts_in(module: ModuleType) -> dict[str, list[str]]:
    """Every English text of a module of words, by the name of its constant."""
    inside = vars(module)
    kept = inside.get(_KEPT, frozenset())
    return {
        name: [text for text in _texts(value) if text]
        for name, value in inside.items()
        if name.isupper() and not name.startswith("_") and name not in kept
    }


def _texts(value: object) -> list[str]:
    if isinstance(value, str):
        return [value]
    if isinstance(value, dict):
        return [text for each in value.values() for text in _texts(each)]
    if isinstance(value, tuple):
        return [text for each in value for text in _texts(each)]
    return []


def _told(value: Any, name: str, catalogue: Catalogue) -> Any:
    if isinstance(value, str):
        return catalogue.said(value, name, "")
    if isinstance(value, tuple):
        return tuple(_told(each, name, catalogue) for each in value)
    if isinstance(value, dict):
        return {key: _told(each, name, catalogue) for key, each in value.items()}
    return value
