"""Refuse a use of a sample, or a preparation from it, that is larger than what was left."""

from collections.abc import Iterator, Mapping, Sequence

from ..errors import BadValue
from ..keeping.sample import Use, remainder
from ..record import Measure, Record, Result, Sample
from .numbering import Numbering
from .resolution import Resolution
from .sheet_row import SheetRow

_FIELDS: Mapping[type[Record], tuple[str, str]] = {
    Result: ("of", "amount_used"),
    Sample: ("made_from", "parent_used"),
}
"""For each kind that uses up a sample: the field that names it, and that of the amount."""


def note_amounts(rows: Sequence[SheetRow], who: Resolution) -> None:
    """Note every row by which more of a sample would be used up than there was.

    The uses of the archive come first, in the order of recording, then those of the
    papers; each sample is told once, at the first use that is too large, or at the
    sample's own row where that is all that the papers say of it.
    """
    seen: set[str] = set()
    for row in rows:
        for key in _touched(row):
            if key not in seen:
                seen.add(key)
                _check(key, rows, who)


def _touched(row: SheetRow) -> Iterator[str]:
    if row.kind is Sample and row.key and "amount" in row.values:
        yield row.key
    if row.kind in _FIELDS:
        named = row.values.get(_FIELDS[row.kind][0])
        if isinstance(named, str):
            yield named


def _check(key: str, rows: Sequence[SheetRow], who: Resolution) -> None:
    kind, said = who.said_of(key)
    if kind != Sample.kind:
        return
    amount = _measure(said.get("amount"))
    uses = [*_archived(key, who), *_in_papers(key, rows)]
    rest = remainder(amount, uses)
    if rest.over is None or rest.had is None or rest.over.amount is None:
        return
    row = who.row_of(rest.over.by) or who.row_of(key)
    row = row or next((one for one in rows if key in _touched(one)), None)
    if row is None:
        return
    field = _FIELDS[row.kind][1] if row.kind in _FIELDS and row.key != key else "amount"
    number = who.numbering.number_of(key)
    tell = row.doubt if rest.rough else row.wrong
    tell(
        field,
        "more than is left",
        f"{rest.over.amount} of sample {number} is more than what was left of it: "
        f"{rest.had} (of {amount} taken, by the uses recorded before).",
        "Correct this amount, or an earlier use, or the amount of the sample.",
    )


def _archived(key: str, who: Resolution) -> list[Use]:
    """Uses that the archive records and the papers do not speak of again."""
    numbering: Numbering = who.numbering
    if numbering.store is None:
        return []
    edges = numbering.store.edges([key], ["result of", "prepared from"], "in")
    keys = sorted({edge.record for edge in edges if who.row_of(edge.record) is None})
    stated = sorted(numbering.store.get(keys), key=lambda one: one.seq)
    fields = {"result": "amount_used", "sample": "parent_used"}
    return [
        Use(one.key, _measure(one.body.get(fields[one.kind])))
        for one in stated
        if one.kind in fields
    ]


def _in_papers(key: str, rows: Sequence[SheetRow]) -> Iterator[Use]:
    for row in rows:
        if row.kind not in _FIELDS or row.key == key:
            continue
        names, amount = _FIELDS[row.kind]
        said = dict(row.old.body) if row.old else {}
        said = {name: one for name, one in said.items() if name not in row.given}
        said |= {name: one for name, one in row.values.items() if name not in row.bad}
        if said.get(names) == key:
            yield Use(row.key, _measure(said.get(amount)))


def _measure(value: object) -> Measure | None:
    if isinstance(value, Measure):
        return value
    if not isinstance(value, str):
        return None
    try:
        return Measure.parse(value)
    except BadValue:
        return None
