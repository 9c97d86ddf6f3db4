"""Days counted for any year."""

import datetime
from typing import Final

import pytest
from hypothesis import given
from hypothesis import strategies as st

from vestige.graph.errors import BadValue
from vestige.graph.record import Edtf, date_of, day_of, iso, month_length

UNIX_EPOCH: Final = datetime.date(1970, 1, 1)


@given(st.dates())
def test_days_are_counted_as_the_standard_library_counts_them(day: datetime.date) -> None:
    number = (day - UNIX_EPOCH).days
    assert day_of(day.year, day.month, day.day) == number
    assert date_of(number) == (day.year, day.month, day.day)
    assert iso(number) == day.isoformat()
    assert Edtf.from_date(day).earliest == number


def test_every_month_of_the_standard_calendar_agrees() -> None:
    for year in (*range(1, 9999, 7), 1600, 1700, 1900, 2000, 2100):
        for month in range(1, 13):
            first = datetime.date(year, month, 1)
            following = datetime.date(year + month // 12, month % 12 + 1, 1)
            assert day_of(year, month, 1) == (first - UNIX_EPOCH).days
            assert month_length(year, month) == (following - first).days


@given(st.integers(-(10**14), 10**14))
def test_days_of_any_age_come_back(number: int) -> None:
    assert day_of(*date_of(number)) == number


@given(st.integers(-(10**9), 10**9))
def test_four_hundred_years_are_always_as_long(year: int) -> None:
    # The Gregorian calendar repeats after 400 years of 146,097 days.
    assert day_of(year + 400, 3, 1) - day_of(year, 3, 1) == 146_097


def test_known_days_before_our_era() -> None:
    # The astronomical Julian day 0 began on 24 November of the year -4713 in the
    # proleptic Gregorian calendar, and 1970-01-01 began at 2,440,587.5 (from memory).
    assert day_of(1970, 1, 1) - day_of(-4713, 11, 24) == 2_440_588


@pytest.mark.parametrize(
    "wrong", [(1985, 13, 1), (1985, 0, 1), (1985, 2, 29), (1985, 4, 0)]
)
def test_a_day_that_does_not_exist_has_no_number(wrong: tuple[int, int, int]) -> None:
    with pytest.raises(BadValue):
        day_of(*wrong)
