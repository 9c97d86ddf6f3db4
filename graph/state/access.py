"""Who may see what: restricted content is closed before anything reads the state.

Whatever is built from a state (answers, pages, papers, exports) can therefore show no
more than its reader may see. A closed record keeps its place in the graph and says
"restricted: ask ROLE"; where the authority does not allow even that it is not in the
state at all (`withholding.py`).
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
from .withholding import Closure, with_dependents, without

NONE_ELSE: Mapping[str, Closure] = {}
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

    def may_read(self, closure: Closure | None) -> bool:
        """Whether what is closed so is open to this reader; None is closed to nobody."""
        if closure is None:
            return True
        names = [*self.also] if self.role is None else [self.role, *self.also]
        return closure.ask.casefold() in {one.casefold() for one in names}


PUBLIC = Reader()


def open_to(
    reader: Reader, held: Iterable[Held], also: Mapping[str, Closure] = NONE_ELSE
) -> list[Held]:
    """The same records, with what this reader may not see closed, or not among them.

    Args:
        reader: who reads.
        held: the records, with the cautions among them.
        also: keys that are closed by what is not among them: an earlier view is closed by
            what was closed since.
    """
    records = list(held)
    every = {**closed_content(records), **also}
    shut = {key: one for key, one in every.items() if not reader.may_read(one)}
    silent = {key for key, one in shut.items() if one.silent}
    if silent:
        gone = with_dependents(silent, [(one.key, one.record) for one in records])
        records = [
            replace(one, record=without(one.record, gone))
            for one in records
            if one.key not in gone
        ]
    return [
        replace(one, record=closed(one.record, shut[one.key].ask))
        if one.key in shut
        else one
        for one in records
    ]


def closed_content(held: Iterable[Held]) -> dict[str, Closure]:
    """Keys of records whose content is closed, and how.

    Where several close the same record the last decides whom to ask; one that says
    nothing to others is enough for silence.
    """
    found: dict[str, Closure] = {}
    for one in held:
        closure = closing(one.record)
        if closure is None:
            continue
        keys = one.record.about if isinstance(one.record, Caution) else (one.key,)
        for key in keys:
            before = found.get(key)
            silent = closure.silent or (before is not None and before.silent)
            found[key] = Closure(closure.ask, silent)
    return found


def closing(record: Record) -> Closure | None:
    """How a source that is closed, or a caution that closes something, closes it."""
    if isinstance(record, Source) and record.access:
        return Closure(record.access)
    if not isinstance(record, Caution) or record.sort is not CautionSort.RESTRICTION:
        return None
    if not record.hide:
        return None
    return Closure(record.ask or record.authority or "registrar", bool(record.silent))


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
