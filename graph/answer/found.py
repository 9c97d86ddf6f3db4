"""Which records speak of some words."""

from typing import ClassVar

from ..state import State
from .answer import Answer, Thing, as_known, thing


class Found(Answer):
    """Answer to `vestige find WORDS`, the newest first."""

    FORM: ClassVar[str] = "vestige.find/1"
    words: str
    things: tuple[Thing, ...]


def found_of(state: State, keys: list[str], words: str) -> Found:
    """Name the records that a search found, as far as this reader may know of them."""
    return Found(
        form=Found.FORM,
        as_known=as_known(state),
        words=words,
        things=tuple(thing(state, key) for key in keys if key in state),
    )
