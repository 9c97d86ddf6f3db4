"""Days as people name them in a question: the end of a day, the ends of a date."""

import datetime
from typing import Final

from ..errors import BadValue
from .dating import Edtf

DAY_MS: Final = 86_400_000


def end_of_day(text: str) -> int:
    """Record time at the end of a day, milliseconds since 1970 UTC.

    Raises:
        BadValue: where the text is no day.
    """
    try:
        day = datetime.date.fromisoformat(text)
    except ValueError:
        raise BadValue(f"'{text}' is no day; write it as 2021-07-01") from None
    return (day.toordinal() - datetime.date(1970, 1, 1).toordinal() + 1) * DAY_MS - 1


def last_day_of(text: str) -> int:
    """The last day of a date, days since 1970-01-01, for "as it was on".

    Raises:
        BadValue: where it is no date or has no end.
    """
    day = Edtf.parse(text).latest
    if day is None:
        raise BadValue(f"'{text}' has no last day; write a day, a month or a year")
    return day


def first_day_of(text: str) -> int:
    """The first day of a date, days since 1970-01-01, for "from that date on".

    Raises:
        BadValue: where it is no date or has no begin.
    """
    day = Edtf.parse(text).earliest
    if day is None:
        raise BadValue(f"'{text}' has no first day; write a day, a month or a year")
    return day
