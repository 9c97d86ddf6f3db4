"""The code on a label, typed or scanned: as printed, and what a slip may have meant."""

from ..errors import BadValue
from ..record import read_label_code, swaps_that_fit
from ..state import Reader
from ..store import Store
from .withheld_walk import known_to

__all__ = ["as_code", "refuse_slip"]


def as_code(text: str) -> str:
    """A label's code as it is printed, however it was typed; other texts as they are."""
    try:
        tail = read_label_code(text)
    except BadValue:
        return text
    return f"V-{tail[:5]}-{tail[5:]}-{text.strip()[-1].upper()}"


def refuse_slip(store: Store, code: str, reader: Reader | None = None) -> None:
    """Refuse a label code whose check character does not fit, and say what would.

    Raises:
        BadValue: where it does not fit.
    """
    try:
        read_label_code(code)
    except BadValue as wrong:
        meant = []
        for fits, one, other in swaps_that_fit(code):
            found = store.named(fits)
            seen = found if reader is None else known_to(reader, store, found)
            if seen:
                meant.append(
                    f"with {one} and {other} exchanged it is {fits}, the label of "
                    f"{seen[0].open_name}; type it again if that is meant"
                )
        raise BadValue("; ".join([str(wrong), *meant])) from None
