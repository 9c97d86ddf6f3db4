"""Which way a text runs (Unicode Standard Annex 9, bidirectional classes)."""

import unicodedata

__all__ = ["runs_left"]

_LEFTWARDS = frozenset({"R", "AL", "RLE", "RLO", "RLI"})


def runs_left(text: str) -> bool:
    """Whether something in a text runs from right to left, as Arabic or Hebrew does.

    >>> runs_left("panel"), runs_left("\\u0644\\u0648\\u062d")
    (False, True)
    """
    if text.isascii():
        return False
    return any(unicodedata.bidirectional(one) in _LEFTWARDS for one in text)
