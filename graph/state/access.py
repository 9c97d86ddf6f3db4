"""Who may see what: restricted content is closed before anything reads the state.

Whatever is built from a state (answers, pages, papers, exports) can therefore show no
more than its reader may see. A closed record keeps its place in the graph and says
"restricted: ask ROLE", as far as the authority allows even that.
"""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace

from ..record import (
    Caution,
    CautionSort,
    Record,
    Source,
    pointing_fields,
    word_list,
)
from .state import Held

NONE_ELSE: Mapping[str, str] = {}
KEPT_OPEN = frozenset({"number", "order", "scale"})


@dataclass(frozen=True, slots=True)
class Reader:
    """Who reads.

    Attributes:
        role: the role in which somebody reads; None for the public.
        also: authorities whose restricted content is opened to them besides.
    """

    role: str | None = None
    also: frozenset[str] = frozenset()

    @property
    def public(self) -> bool:
        """Whether nothing restricted is open to this reader."""
        return self.role is None and not self.also

    @property
    def names(self) -> str:
        """The role and the authorities in which they read, for a log."""
        own = [] if self.role is None else [self.role]
        return "; ".join([*own, *sorted(self.also)])

    def may_read(self, ask: str | None) -> bool:
        """Whether what only ``ask`` may open is open to this reader."""
        if ask is None:
            return True
        names = [*self.also] if self.role is None else [self.role, *self.also]
        return ask.casefold() in {one.casefold() for one in names}


PUBLIC = Reader()


def open_to(
    reader: Reader, held: Iterable[Held], also: Mapping[str, str] = NONE_ELSE
) -> list[Held]:
    """The same records, with what this reader may not see closed.

    Args:
        reader: who reads.
        held: the records, with the cautions among them.
        also: keys that are closed by what is not among them, with the role to ask: an
            earlier view is closed by what was closed since.
    """
    records = list(held)
    asks = {**closed_content(records), **also}
    return [
        one
        if reader.may_read(asks.get(one.key))
        else replace(one, record=closed(one.record, asks[one.key]))
        for one in records
    ]


def closed_content(held: Iterable[Held]) -> dict[str, str]:
    """Keys of records whose content is closed, with the role to ask."""
    asks: dict[str, str] = {}
    for one in held:
        record = one.record
        if isinstance(record, Source) and record.access:
            asks[one.key] = record.access
        if not isinstance(record, Caution) or record.sort is not CautionSort.RESTRICTION:
            continue
        if record.hide:
            asks |= dict.fromkeys(
                record.about, record.ask or record.authority or "registrar"
            )
    return asks


def closed(record: Record, ask: str) -> Record:
    """A record with its words and files taken out; numbers and edges stay."""
    notice = f"restricted: ask {ask}"
    pointing = pointing_fields(type(record))
    emptied: dict[str, object] = {}
    for name, field in type(record).model_fields.items():
        value = getattr(record, name)
        if name in pointing or name in KEPT_OPEN or word_list(field) is not None:
            continue
        if isinstance(value, str):
            emptied[name] = (
                notice if field.is_required() or name in ("name", "note") else None
            )
        elif not field.is_required() and value is not None:
            emptied[name] = field.get_default()
    if "value" in emptied:
        emptied["value"] = notice
    return record.model_copy(update=emptied)
