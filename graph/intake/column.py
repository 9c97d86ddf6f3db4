"""The columns of a kind of record: their heads, and how their cells are to be read."""

from collections.abc import Mapping
from dataclasses import dataclass
from enum import StrEnum
from functools import cache
from types import UnionType
from typing import Literal, Union, get_args, get_origin

from ..record import (
    Cord,
    Edtf,
    Feature,
    Measure,
    Points,
    Record,
    extra_of,
    head_of,
    is_list,
    pointing_fields,
    word_list,
)

Sort = Literal[
    "text",
    "whole number",
    "yes or no",
    "word",
    "date",
    "measure",
    "cord",
    "feature",
    "name",
]
_SORTS: dict[object, Sort] = {
    str: "text",
    int: "whole number",
    bool: "yes or no",
    Edtf: "date",
    Measure: "measure",
    Cord: "cord",
    Feature: "feature",
}


@dataclass(frozen=True, slots=True)
class Column:
    """One column of a sheet.

    Attributes:
        field: name of the record's field.
        head: column head in plain words.
        note: one sentence for the person who fills it in.
        example: a value as a user would write it; may be empty.
        also: other heads that are understood.
        needed: a row without it cannot be understood.
        sort: how a cell is read; "name" is the number of a record, own or another's.
        many: a cell may hold several values, separated by ``;``.
        words: the list of allowed words, for the sort "word".
        points: what the named record is to this one; None for its own number.
    """

    field: str
    head: str
    note: str
    example: str
    also: tuple[str, ...]
    needed: bool
    sort: Sort
    many: bool
    words: type[StrEnum] | None
    points: Points | None


@cache
def columns_of(kind: type[Record]) -> Mapping[str, Column]:
    """The columns of a kind by field, in the order of the sheet."""
    pointing = pointing_fields(kind)
    columns = {}
    for name, field in kind.model_fields.items():
        extra = extra_of(field)
        columns[name] = Column(
            field=name,
            head=head_of(name, field),
            note=field.description or "",
            example=str(extra.get("example", "")),
            also=tuple(extra.get("also", ())),
            needed=field.is_required(),
            sort=_sort_of(name, field.annotation, name in pointing),
            many=is_list(field),
            words=word_list(field),
            points=pointing.get(name),
        )
    return columns


@cache
def heads_of(kind: type[Record]) -> Mapping[str, str]:
    """Field by every head that is understood, folded; proper heads win over others."""
    columns = columns_of(kind).values()
    heads = {fold_head(head): one.field for one in columns for head in one.also}
    heads |= {fold_head(one.field): one.field for one in columns}
    return heads | {fold_head(one.head): one.field for one in columns}


def fold_head(text: str) -> str:
    """A head in the form in which heads are compared; a closing ``*`` or ``:`` drops."""
    return " ".join(text.replace("_", " ").casefold().split()).rstrip("*: ")


def must_have(kind: type[Record]) -> tuple[str, ...]:
    """Fields whose columns a sheet cannot do without: those that say which row is which."""
    return kind.same_by


def _sort_of(name: str, annotation: object, points: bool) -> Sort:
    if points or name == "number":
        return "name"
    plain = _bare(annotation)
    if isinstance(plain, type) and issubclass(plain, StrEnum):
        return "word"
    return _SORTS[plain]


def _bare(annotation: object) -> object:
    """The type of one value: without None, without tuple."""
    if get_origin(annotation) in (Union, UnionType):
        return _bare(next(arm for arm in get_args(annotation) if arm is not type(None)))
    return get_args(annotation)[0] if get_origin(annotation) is tuple else annotation
