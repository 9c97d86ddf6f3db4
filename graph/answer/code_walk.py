"""The code on a label, typed or scanned: as printed, and what a slip may have meant."""

from collections.abc import Set

from ..errors import BadValue
from ..record import read_label_code, swaps_that_fit
from ..store import Store

__all__ = ["as_code", "refuse_slip"]


def as_code(text: str) -> str:
    """A label's code as it is printed, however it was typed; other texts as they are."""
    try:
        tail = read_label_code(text)
    except BadValue:
        return text
    return f"V-{tail[:5]}-{tail[5:]}-{text.strip()[-1].upper()}"


def refuse_slip(store: Store, code: str, gone: Set[str]) -> None:
    """Refuse a label code whose check character does not fit, and say what would.

    Args:
        store: where labels are looked for.
        code: what was typed.
        gone: keys of records that are not there at all for who typed it.

    Raises:
        BadValue: where it does not fit.
    """
    try:
        read_label_code(code)
    except BadValue as wrong:
        meant = []
        for fits, one, other in swaps_that_fit(code):
            seen = [found for found in store.named(fits) if found.key not in gone]
            if seen:
                meant.append(
                    f"with {one} and {other} exchanged it is {fits}, the label of "
                    f"{seen[0].open_name}; type it again if that is meant"
                )
        raise BadValue("; ".join([str(wrong), *meant])) from None
