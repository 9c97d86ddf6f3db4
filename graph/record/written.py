"""Fields whose values are kept as their user wrote them.

``dating.Edtf``, ``measure.Measure`` and ``cord.Cord`` are read from a text and written out
as that text; pydantic needs to be told so once for all of them.
"""

from collections.abc import Callable
from typing import Any, TypeVar

from pydantic_core import CoreSchema, core_schema

from ..errors import BadValue

Value = TypeVar("Value")


def as_text_field(kind: type[Value], parse: Callable[[str], Value]) -> CoreSchema:
    """The pydantic schema of a value type that stands in records as a text.

    The field takes the text or a value of the type, refuses anything else with
    ``BadValue``, is written out as ``str(value)``, and is a string in a JSON schema.
    """

    def accept(value: Any) -> Value:
        if isinstance(value, kind):
            return value
        if not isinstance(value, str):
            raise BadValue(
                f"{value!r} cannot be read: it is of type {type(value).__name__}; "
                "write it as a text"
            )
        return parse(value)

    return core_schema.json_or_python_schema(
        json_schema=core_schema.no_info_after_validator_function(
            parse, core_schema.str_schema(strict=True)
        ),
        python_schema=core_schema.no_info_plain_validator_function(accept),
        serialization=core_schema.to_string_ser_schema(when_used="always"),
    )
