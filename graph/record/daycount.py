"""Days counted in the proleptic Gregorian calendar, for any year.

``datetime`` ends at the year 9999 and knows no year 0 or before. The day number here is
the number of days since 1970-01-01, negative before it; years are astronomical, so that
the year 0 is 1 BC and the year -999 is 1000 BC (as EDTF and ISO 8601 count).
The reckoning takes 1 March as the first day of the year, which puts the leap day last:
the days before a month are then ``(153 m + 2) // 5``, and 400 years are 146,097 days
(H. Hinnant, "chrono-compatible low-level date algorithms", from memory; checked in the
tests against ``datetime`` for the years 1 to 9999).
"""

from ..errors import BadValue

_MONTH_DAYS = (31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31)
_CYCLE = 146_097  # days in 400 years
_FROM_YEAR_ZERO = 719_468  # days from 0000-03-01 to 1970-01-01


def month_length(year: int, month: int) -> int:
    """Days in that month, 28 to 31."""
    leap = year % 4 == 0 and (year % 100 != 0 or year % 400 == 0)
    return 29 if month == 2 and leap else _MONTH_DAYS[month - 1]


def day_of(year: int, month: int, day: int) -> int:
    """Days since 1970-01-01 of a calendar day.

    Raises:
        BadValue: no such month, or no such day in that month.
    """
    if not 1 <= month <= 12:
        raise BadValue(f"there is no month {month}; months go from 1 to 12")
    if not 1 <= day <= month_length(year, month):
        raise BadValue(
            f"there is no day {day} in month {month} of {year}; "
            f"it has {month_length(year, month)} days"
        )
    counted = year - (month <= 2)
    cycle, of_cycle = divmod(counted, 400)
    of_year = (153 * ((month + 9) % 12) + 2) // 5 + day - 1
    of_days = of_cycle * 365 + of_cycle // 4 - of_cycle // 100 + of_year
    return cycle * _CYCLE + of_days - _FROM_YEAR_ZERO


def date_of(day: int) -> tuple[int, int, int]:
    """Year, month and day of a day number; the inverse of ``day_of``."""
    cycle, rest = divmod(day + _FROM_YEAR_ZERO, _CYCLE)
    of_cycle = (rest - rest // 1_460 + rest // 36_524 - rest // 146_096) // 365
    of_year = rest - (365 * of_cycle + of_cycle // 4 - of_cycle // 100)
    shifted = (5 * of_year + 2) // 153
    month = shifted + 3 if shifted < 10 else shifted - 9
    year = cycle * 400 + of_cycle + (month <= 2)
    return year, month, of_year - (153 * shifted + 2) // 5 + 1


def iso(day: int) -> str:
    """A day number as ``1985-04-12``; years beyond four digits carry a sign (ISO 8601)."""
    year, month, of_month = date_of(day)
    sign = "-" if year < 0 else "+" if year > 9999 else ""
    return f"{sign}{abs(year):04d}-{month:02d}-{of_month:02d}"
