"""What every record has in common: numbers, columns, and the links that it says.

A record is one thing that somebody wrote down: frozen, checked at birth, without any
input or output. One definition serves the ledger's JSON body, the sheet with its column
heads, the case file and the form: the column head is the field's title, the note under
it the field's description, and a field that names another record says so by `Points`.
"""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from enum import StrEnum
from types import UnionType
from typing import Any, ClassVar, Union, get_args, get_origin

from pydantic import BaseModel, ConfigDict, Field
from pydantic.fields import FieldInfo

from .dating import Edtf


@dataclass(frozen=True, slots=True)
class Points:
    """Marks a field whose value is the key of another record (or several).

    Attributes:
        word: the word on the edge, read from this record to the other.
        to: kinds of record that may be named.
        home: True where the record belongs to what it names (a layer to its object).
    """

    word: str
    to: tuple[str, ...]
    home: bool = False


@dataclass(frozen=True, slots=True)
class Link:
    """One edge that a record says.

    Attributes:
        src: key of the record at the start of the edge.
        word: relation, read from ``src`` to ``dst``.
        dst: key of the record at its end.
        earliest: first day on which it can hold, days since 1970-01-01; None: no bound.
        latest: last day on which it can have begun; None: no bound.
        source: key of the source that says so; None where none is named.
        strength: strength word of the claim; None where it is not a claim.
    """

    src: str
    word: str
    dst: str
    earliest: int | None = None
    latest: int | None = None
    source: str | None = None
    strength: str | None = None


def column(
    head: str,
    note: str = "",
    *,
    also: tuple[str, ...] = (),
    example: str = "",
    default: Any = None,
    needed: bool = False,
) -> Any:
    """Describe a field as the column of a sheet.

    Args:
        head: column head in plain trade words.
        note: one sentence for the person who fills it in.
        also: other heads that are understood.
        example: a value as a user would write it.
        default: value of an empty cell.
        needed: True where a row without it cannot be understood.
    """
    extra: dict[str, Any] = {"also": list(also), "example": example}
    if needed:
        return Field(title=head, description=note, json_schema_extra=extra)
    return Field(default=default, title=head, description=note, json_schema_extra=extra)


class Record(BaseModel):
    """Base of every noun.

    Attributes:
        kind: word by which the ledger knows this kind of record.
        sheet: name of the sheet that holds such rows.
        meaning: what one row of that sheet is, in plain words.
        same_by: fields that tell two rows apart where they bear no number.
    """

    model_config = ConfigDict(frozen=True, extra="forbid", str_strip_whitespace=True)
    kind: ClassVar[str]
    sheet: ClassVar[str]
    meaning: ClassVar[str]
    same_by: ClassVar[tuple[str, ...]] = ("number",)

    def own_number(self) -> str | None:
        """The number people call it by now; None where such records bear none."""
        return getattr(self, "number", None)

    def label(self) -> str:
        """What a person calls it: its number and its name."""
        parts = [self.own_number(), getattr(self, "name", None)]
        return " ".join(part for part in parts if part) or self.kind

    def names(self) -> tuple[str, ...]:
        """Every number under which it is found, the current one first."""
        current = self.own_number()
        older: tuple[str, ...] = getattr(self, "other_numbers", ())
        return ((current,) if current else ()) + older

    def words(self) -> str:
        """Its text for searching: every word of prose in it."""
        return " \n".join(text for text in self._texts() if text)

    def links(self, key: str) -> tuple[Link, ...]:
        """The edges that this record says when it is kept under ``key``."""
        source: str | None = getattr(self, "source", None)
        return tuple(
            Link(key, points.word, target, source=source if points.word != SOURCE else None)
            for _, points, targets in self.references()
            for target in targets
        )

    def body(self) -> dict[str, object]:
        """JSON-ready values; what is empty is left out: "not recorded" is absent."""
        return {
            name: value
            for name, value in self.model_dump(mode="json").items()
            if value not in (None, [], "", {})
        }

    def references(self) -> Iterator[tuple[str, Points, tuple[str, ...]]]:
        """Field name, what it points to, and the keys it names, for every such field."""
        for name, points in pointing_fields(type(self)).items():
            value = getattr(self, name)
            if value:
                yield name, points, (value,) if isinstance(value, str) else tuple(value)

    def _texts(self) -> Iterator[str]:
        pointing = pointing_fields(type(self))
        yield from self.names()
        for name in type(self).model_fields:
            value = getattr(self, name)
            if name in pointing or value is None:
                continue
            if isinstance(value, (str, StrEnum, Edtf)):
                yield str(value)
            elif isinstance(value, tuple):
                yield from (str(item) for item in value if isinstance(item, str))


SOURCE = "according to"


def pointing_fields(model: type[Record]) -> dict[str, Points]:
    """The fields of a record type that name other records."""
    return {
        name: meta
        for name, field in model.model_fields.items()
        for meta in field.metadata
        if isinstance(meta, Points)
    }


def is_list(field: FieldInfo) -> bool:
    """Whether a cell of this column may hold several values."""
    return any(get_origin(kind) is tuple for kind in _arms(field.annotation))


def word_list(field: FieldInfo) -> type[StrEnum] | None:
    """The list of allowed words of a column, if it has one."""
    for kind in _arms(field.annotation):
        inner = get_args(kind)[0] if get_origin(kind) is tuple else kind
        if isinstance(inner, type) and issubclass(inner, StrEnum):
            return inner
    return None


def _arms(annotation: Any) -> tuple[Any, ...]:
    if get_origin(annotation) in (Union, UnionType):
        return tuple(arm for arm in get_args(annotation) if arm is not type(None))
    return (annotation,)


def head_of(name: str, field: FieldInfo) -> str:
    """Column head of a field."""
    return field.title or name.replace("_", " ")


def extra_of(field: FieldInfo) -> Mapping[str, Any]:
    """What `column` noted beside the field: other heads and an example."""
    extra = field.json_schema_extra
    return extra if isinstance(extra, dict) else {}
