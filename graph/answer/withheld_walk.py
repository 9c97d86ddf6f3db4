"""Which records are not there at all for a reader: asked before a number is answered to."""

from collections.abc import Sequence

from ..record import KINDS
from ..state import HOME_WORDS, Held, Reader, open_to
from ..store import Stated, Store

__all__ = ["known_to"]


def known_to(
    reader: Reader, store: Store, found: Sequence[Stated], known: int | None = None
) -> list[Stated]:
    """Those of some versions of which a reader may know that they are there.

    A record is withheld with what it belongs to, and with what it speaks of; so these are
    read too, with the cautions on them. Closed today is closed in an earlier view.
    """
    if not found:
        return []
    keys = [one.key for one in found]
    up = store.walk(keys, sorted(HOME_WORDS), "out", known=known)
    homes = sorted({*keys, *(edge.dst for edge in up), *(edge.src for edge in up)})
    named = store.edges(homes, None, "out", known=known)
    every = sorted({*homes, *(edge.dst for edge in named)})
    warned = store.edges(every, ["warns of"], "in")
    cautions = store.get(sorted({edge.src for edge in warned}))
    records = {one.key: one for one in [*store.get(every, known), *cautions, *found]}
    held = [
        Held(one.key, KINDS[one.kind].model_validate(one.body), one.seq, one.at, one.by)
        for one in records.values()
    ]
    seen = {one.key for one in open_to(reader, held)}
    return [one for one in found if one.key in seen]
