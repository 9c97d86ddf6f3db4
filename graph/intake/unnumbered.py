"""Tell rows without a number apart, and find them again in the archive.

A move or a look is the same as one in the archive when what its kind is ``same_by`` is
the same, for example: what was moved, to where, and when.
"""

from collections.abc import Mapping, Sequence

from ..record import KINDS, KeyMaker, Record, pointing_fields
from ..store import Stated
from .numbering import Numbering
from .sheet_row import SheetRow

Built = Sequence[tuple[SheetRow, Record]]


def find_unnumbered(built: Built, numbering: Numbering, keys: KeyMaker) -> None:
    """Give rows without a number their keys: those of the archive, or new ones.

    A row that now bears a number is also found, where its record bears none yet.
    """
    for kind in {row.kind.kind: None for row, _ in built}:
        if KINDS[kind].same_by == ("number",):
            continue
        open_rows = [
            (row, record)
            for row, record in built
            if row.kind.kind == kind and row.old is None
        ]
        archived = _archived(kind, open_rows, numbering)
        seen: dict[tuple[object, ...], SheetRow] = {}
        for row, record in open_rows:
            mark = _mark(kind, record.body())
            found = archived.get(mark)
            if found is not None and not (row.number and found.body.get("number")):
                row.old, row.key = found, found.key
            row.key = row.key or keys.new()
            if not row.number:
                _note_twice(row, seen.setdefault(mark, row))


def _note_twice(row: SheetRow, first: SheetRow) -> None:
    if first is not row:
        row.wrong(
            row.kind.same_by[0],
            "row twice",
            f"This says the same as row {first.place.row}.",
            "Delete one of them, or give them numbers if both are meant.",
        )


def _archived(
    kind: str, rows: Built, numbering: Numbering
) -> Mapping[tuple[object, ...], Stated]:
    """Records of the archive that could be one of these rows, by what tells them apart."""
    model, store = KINDS[kind], numbering.store
    if store is None or not rows:
        return {}
    pointing = pointing_fields(model)
    home = next(name for name in model.same_by if name in pointing)
    targets = {
        key
        for _, record in rows
        for name, _, named in record.references()
        if name == home
        for key in named
    }
    edges = store.edges(sorted(targets), [pointing[home].word], "in")
    found = store.get(sorted({edge.record for edge in edges}))
    return {_mark(kind, one.body): one for one in found if one.kind == kind}


def _mark(kind: str, body: Mapping[str, object]) -> tuple[object, ...]:
    said = (body.get(name) for name in KINDS[kind].same_by)
    return tuple(tuple(one) if isinstance(one, list) else one for one in said)
