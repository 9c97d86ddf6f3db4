"""Look up the numbers in rows: which record each row is, and which records it names."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field

from ..record import KeyMaker, MuseumObject, Phase, Points, fold_number
from .cell import shorten
from .column import Column, columns_of
from .numbering import Named, Numbering, home_of, is_current
from .sheet_row import SheetRow

PHASE = Phase.kind
OBJECT = MuseumObject.kind


@dataclass(slots=True)
class Resolution:
    """Rows and the archive, and who is who in them.

    Attributes:
        rows: all rows of the papers.
        numbering: numbers of the papers and of the archive.
        keys: makes the keys of new records.
    """

    rows: Sequence[SheetRow]
    numbering: Numbering
    keys: KeyMaker
    _by_key: dict[str, SheetRow] = field(default_factory=dict)
    _phases: dict[str, list[str]] = field(default_factory=dict)
    _sole: str | None = None

    def resolve(self) -> None:
        """Give every numbered row its key, and turn the numbers it names into keys."""
        self._sole = self._sole_object()
        phases = [row for row in self.rows if row.kind is Phase]
        others = [row for row in self.rows if row.kind is not Phase]
        for row in others:
            self._number(row)
        for row in self.rows:
            self._fill_object(row)
        for row in phases:
            self._look_up(row, columns_of(Phase)["object"])
            self._name_in_full(row)
            self._number(row)
        for row in self.rows:
            self._look_up_all(row)
        for row in self.rows:
            self._look_up_phase(row)

    def row_of(self, key: str) -> SheetRow | None:
        """The row of the papers that bears a key."""
        return self._by_key.get(key)

    def said_of(self, key: str) -> tuple[str, dict[str, object]]:
        """Kind of a record and what is said of it, by the papers or else the archive."""
        row = self._by_key.get(key)
        stated = self.numbering.stated(key) if row is None or row.old else None
        said = dict(stated.body) if stated else {}
        if row is None:
            return (stated.kind if stated else ""), said
        kept = {name: value for name, value in said.items() if name not in row.given}
        return row.kind.kind, kept | row.values

    def object_of(self, key: str) -> str | None:
        """Key of the object that a record belongs to; None where it belongs to none."""
        seen: set[str] = set()
        waiting = [key]
        while waiting:
            key = waiting.pop(0)
            if key in seen:
                continue
            seen.add(key)
            kind, said = self.said_of(key)
            if kind == OBJECT:
                return key
            waiting += home_of(kind, said) if kind else ()
        return None

    def _sole_object(self) -> str | None:
        """Number of the one object that the papers are about; None for several or none."""
        objects = [row.number for row in self.rows if row.kind is MuseumObject]
        if not objects:
            named = (row.values.get("object") for row in self.rows)
            objects = [one for one in named if isinstance(one, str)]
        return objects[0] if len(set(map(fold_number, objects))) == 1 else None

    def _number(self, row: SheetRow) -> None:
        """Find out which record of the archive a row is, or that it is a new one."""
        number = row.number
        if not number:
            return
        self._recognise(row, number)
        named = Named(row.key, row.kind.kind, number, row.place)
        first = self.numbering.enter(named)
        if first is not None and first.place is not None:
            where = f"sheet {first.place.sheet}, row {first.place.row}"
            row.wrong(
                "number",
                "number twice",
                f"The number '{number}' stands in {where} already.",
                "Every record has a number of its own, whatever its kind: change one of "
                "them, or delete the row that is said twice.",
            )
        self._by_key.setdefault(row.key, row)
        for older in _texts(row.values.get("other_numbers")):
            self.numbering.enter_old(older, named)
            self._may_be_renumbered(row, older)

    def _recognise(self, row: SheetRow, number: str) -> None:
        archived = self.numbering.archived(number)
        bearing = next((one for one in archived if is_current(one, number)), None)
        if bearing is not None and bearing.kind == row.kind.kind:
            row.key, row.old = bearing.key, bearing
            return
        row.key = self.keys.new()
        if bearing is not None:
            row.wrong(
                "number",
                "number taken",
                f"The archive has '{number}' as the number of a {bearing.kind}: "
                f"{bearing.open_name}.",
                "Every record has a number of its own, whatever its kind: give this one "
                "another.",
            )
        elif archived:
            row.doubt(
                "number",
                "old number",
                f"'{number}' is an old number of {archived[0].open_name}; this row is read "
                "as a new record.",
                "If it is the same thing, write its present number.",
            )

    def _may_be_renumbered(self, row: SheetRow, older: str) -> None:
        same = [one for one in self.numbering.archived(older) if is_current(one, older)]
        if row.old is None and same and same[0].kind == row.kind.kind:
            row.doubt(
                "other_numbers",
                "perhaps renumbered",
                f"The archive has '{older}' as the present number of {same[0].open_name}; "
                "this row is read as another object.",
                "If it is the same object, correct its number in the archive first.",
            )

    def _fill_object(self, row: SheetRow) -> None:
        """Where the papers are about one object, its number need not be repeated."""
        columns = columns_of(row.kind)
        if "object" not in columns or "object" in row.values or "object" in row.bad:
            return
        if row.old is not None and "object" not in row.given:
            return
        if self._sole is not None:
            row.values["object"] = self._sole

    def _name_in_full(self, row: SheetRow) -> None:
        """The number of a phase is made from its object's and its short name."""
        short, owner = row.number, row.values.get("object")
        if not short or not isinstance(owner, str) or "object" in row.bad:
            row.values.pop("number", None)
            row.bad.add("number")
            return
        owner_number = self.numbering.number_of(owner)
        short = short.removeprefix(f"{owner_number}/")
        if "/" in short:
            row.wrong(
                "number",
                "bad name",
                f"'{shorten(short)}' holds a stroke (/), which parts the object's number "
                "from the short name.",
                "Write a short name without it, for example P1.",
            )
        row.values["number"] = f"{owner_number}/{short}"
        self._phases.setdefault(owner, []).append(short)

    def _look_up_all(self, row: SheetRow) -> None:
        for column in columns_of(row.kind).values():
            if column.points is None or column.points.to == (PHASE,):
                continue
            if row.kind is not Phase or column.field != "object":
                self._look_up(row, column)

    def _look_up(self, row: SheetRow, column: Column) -> None:
        """Turn the numbers in one cell into keys; note those that cannot be."""
        written = row.values.get(column.field)
        if written is None or column.points is None or column.field in row.bad:
            return
        keys = [self._key_of(row, column, number) for number in _texts(written)]
        once = tuple(dict.fromkeys(keys))
        row.values[column.field] = once if column.many else once[0]

    def _key_of(self, row: SheetRow, column: Column, number: str) -> str:
        to = column.points.to if column.points else ()
        found = self.numbering.find(number)
        fitting = [one for one in found if one.kind in to]
        if len(fitting) == 1:
            if fitting[0].old:
                self._say_old(row, column, number, fitting[0])
            return fitting[0].key
        if fitting:
            both = " and ".join(one.number for one in fitting)
            wrong = f"'{number}' is an old number of several records: {both}."
            row.wrong(column.field, "ambiguous number", wrong, "Write the present number.")
        elif found:
            self._say_wrong_kind(row, column, number, found[0])
        else:
            self._say_dangling(row, column, number)
        return f"?{number}"

    def _say_old(self, row: SheetRow, column: Column, number: str, one: Named) -> None:
        row.doubt(
            column.field,
            "old number",
            f"'{number}' is an old number; it was read as {one.number}.",
            f"Write {one.number} if that is meant.",
        )

    def _say_wrong_kind(
        self, row: SheetRow, column: Column, number: str, one: Named
    ) -> None:
        to = column.points.to if column.points else ()
        row.wrong(
            column.field,
            "wrong kind",
            f"'{number}' is the number of a {one.kind}, and that cannot stand here.",
            f"Here belongs the number of: {_either(to)}.",
        )

    def _say_dangling(self, row: SheetRow, column: Column, number: str) -> None:
        close = self.numbering.close_to(number)
        meant = f"Did you mean '{close}'? " if close else ""
        kinds = _either(column.points.to if column.points else ())
        row.wrong(
            column.field,
            "dangling reference",
            f"No record has the number '{shorten(number)}', neither here nor in the "
            "archive.",
            f"{meant}Add a row for it ({kinds}), or correct the number.",
        )

    def _look_up_phase(self, row: SheetRow) -> None:
        for column in columns_of(row.kind).values():
            points: Points | None = column.points
            if points is None or points.to != (PHASE,) or column.field in row.bad:
                continue
            written = row.values.get(column.field)
            if isinstance(written, str):
                row.values[column.field] = self._phase_of(row, column.field, written)

    def _phase_of(self, row: SheetRow, name: str, written: str) -> str:
        """Key of the phase that a short name means on the object the row is about."""
        homes = home_of(row.kind.kind, row.values)
        owners = [self.object_of(key) for key in homes if not key.startswith("?")]
        owner = next((one for one in owners if one), None)
        if owner is None and self._sole is not None:
            owner = next((one.key for one in self.numbering.find(self._sole)), None)
        owner_number = self.numbering.number_of(owner) if owner else ""
        for number in (f"{owner_number}/{written}", written):
            for found in self.numbering.find(number):
                if found.kind == PHASE:
                    return found.key
        if any(key.startswith("?") for key in homes):
            row.bad.add(name)  # the object is not known; that was said already
            return f"?{written}"
        if owner is None:
            row.wrong(
                name,
                "dangling reference",
                f"The phase '{shorten(written)}' cannot be told: this row is about "
                "nothing that belongs to one object.",
                "Write the object's number before it, for example ABC.1931.44/P1.",
            )
            return f"?{written}"
        known = ", ".join(self._phases.get(owner, ()))
        row.wrong(
            name,
            "dangling reference",
            f"The object {owner_number} has no phase '{shorten(written)}'.",
            f"Here it has {known}." if known else "Add it to the sheet Phases.",
        )
        return f"?{written}"


def _texts(value: object) -> Iterable[str]:
    if isinstance(value, str):
        return (value,)
    return (
        [one for one in value if isinstance(one, str)] if isinstance(value, tuple) else ()
    )


def _either(kinds: Sequence[str]) -> str:
    return ", ".join(kinds[:-1]) + f" or {kinds[-1]}" if len(kinds) > 1 else "".join(kinds)
