"""A finding about a record that is to be recorded."""

from dataclasses import dataclass

from ..problem import Weight


@dataclass(frozen=True, slots=True)
class Breach:
    """One finding about a record that is to be recorded.

    Attributes:
        key: key of the record.
        field: field at fault.
        code: short stable word.
        wrong: what is wrong, one sentence.
        right: what would be lawful, one sentence.
        weight: an error stops the act, a query does not.
    """

    key: str
    field: str
    code: str
    wrong: str
    right: str
    weight: Weight = Weight.ERROR
