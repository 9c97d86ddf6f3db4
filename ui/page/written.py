"""From the fields of a form to a record of any kind, and back; knows nothing of pages.

A field says what a cell of the kind's sheet says: other records by their numbers, dates in
EDTF, measures with their unit. It is read by the same code as a sheet.
"""

import datetime
from collections.abc import Mapping
from typing import TYPE_CHECKING, TypeVar

from pydantic import ValidationError

from vestige.graph.errors import BadValue, VestigeError
from vestige.graph.intake import Column, columns_of, join_list
from vestige.graph.intake.cell import read_cell
from vestige.graph.record import Record

from .. import language
from . import words_refusal
from .desk import Desk

if TYPE_CHECKING:
    from vestige.graph.state import State

R = TypeVar("R", bound=Record)
Form = Mapping[str, str]


def record_of(desk: Desk, kind: type[R], form: Form, old: R | None = None) -> R:
    """The record that a form says; with *old*, that one with what the form has otherwise.

    Args:
        desk: whose reader may name records.
        kind: type of the record.
        form: texts by field; an empty one is "not recorded".
        old: the version that is corrected: what the form does not speak of stays.

    Raises:
        BadValue: naming the column that lacks or cannot be read.
    """
    values: dict[str, object] = dict(old.body()) if old else {}
    for name, column in columns_of(kind).items():
        if name not in form:
            continue
        values.pop(name, None)
        if form[name].strip():
            values[name] = _value(desk, column, form[name].strip())
    return validated(kind, values)


def _value(desk: Desk, column: Column, text: str) -> object:
    try:
        value, _ = read_cell(column, text)
    except BadValue as wrong:
        raise BadValue(f"{language.column(column.head)}: {wrong}") from None
    if column.points is None:
        return value
    numbers = value if isinstance(value, tuple) else (value,)
    keys = tuple(_key(desk, column, str(one)) for one in numbers)
    return keys if column.many else keys[0]


def _key(desk: Desk, column: Column, number: str) -> str:
    try:
        key = desk.collection.find(number, None, desk.reader)
    except VestigeError as wrong:
        raise BadValue(f"{language.column(column.head)}: {wrong}") from None
    [held] = desk.collection.store.get([key])
    if column.points is not None and held.kind not in column.points.to:
        wanted = ", ".join(map(language.word, column.points.to))
        raise BadValue(
            words_refusal.WRONG_KIND.format(
                head=language.column(column.head),
                number=number,
                kind=language.word(held.kind),
                wanted=wanted,
            )
        )
    return key


def validated(kind: type[R], values: Mapping[str, object]) -> R:
    """A record from its values.

    Raises:
        BadValue: naming the column that lacks or is wrong.
    """
    try:
        return kind.model_validate(values)
    except ValidationError as wrong:
        first = wrong.errors()[0]
        name = str(first["loc"][0]) if first["loc"] else ""
        column = columns_of(kind).get(name)
        head = language.column(column.head) if column else name
        if first["type"] == "missing":
            raise BadValue(words_refusal.FILL_IN.format(head=head)) from None
        told = str(first["msg"]).removeprefix("Value error, ")
        raise BadValue(f"{head}: {told}" if head else told) from None


def form_of(state: "State", key: str) -> dict[str, str]:
    """A recorded record as a form, empty columns with it."""
    record = state.held(key).record
    body = record.body()
    return {
        name: written(state, column, body.get(name))
        for name, column in columns_of(type(record)).items()
    }


def written(state: "State", column: Column, value: object) -> str:
    """A value as its cell would be written; other records by their numbers."""
    if value is None:
        return ""
    if isinstance(value, bool):
        return "yes" if value else "no"
    texts = [str(one) for one in (value if isinstance(value, (list, tuple)) else (value,))]
    if column.points:
        texts = [state.number(one) if one in state else one for one in texts]
    return join_list(tuple(texts)) if column.many else texts[0]


def today() -> datetime.date:
    """The day at this machine."""
    return datetime.datetime.now().astimezone().date()


def free_number(desk: Desk, kind: str, prefix: str) -> str:
    """A number for a record of a kind that nothing bears yet."""
    nth = desk.collection.store.tally().get(kind, 0) + 1
    while desk.collection.store.named(f"{prefix}{nth}"):
        nth += 1
    return f"{prefix}{nth}"


def differences(
    kind: type[Record], before: Form, after: Form
) -> list[tuple[str, str, str]]:
    """Columns in which two forms of a kind differ: head, before, after."""
    return [
        (language.column(column.head), before.get(name, ""), after.get(name, ""))
        for name, column in columns_of(kind).items()
        if before.get(name, "") != after.get(name, "")
    ]
