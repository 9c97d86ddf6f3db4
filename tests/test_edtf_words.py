"""Dates said in plain English."""

import pytest

from vestige.graph.record import Edtf


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("1985-04-12", "12 April 1985"),
        ("1985-04-12T23:20:30Z", "12 April 1985, 23:20:30Z"),
        ("1770~/1790~", "about 1770 to about 1790"),
        ("178X", "some time in the 1780s"),
        ("178X~", "about the 1780s"),
        ("16XX?", "some time in the 1600s (uncertain)"),
        ("160X", "some time in 1600 to 1609"),
        ("[1897-05..]", "May 1897 or later"),
        ("[..1760-12-03]", "3 December 1760 or earlier"),
        ("1985/", "from 1985, end not known"),
        ("1985/..", "from 1985 and still open"),
        ("/1985", "until 1985, beginning not known"),
        ("../1985", "until 1985, beginning open"),
        ("1985-04-XX", "some day in April 1985"),
        ("1985-XX", "some month in 1985"),
        ("156X-12-25", "25 December, some year in the 1560s"),
        ("1984-1X", "some day from 1 October 1984 to 31 December 1984 (written 1984-1X)"),
        ("-0999", "1000 BC"),  # the year 0 is 1 BC (ISO 8601)
        ("0785", "AD 785"),
        ("1950S2", "some time from 1900 to 1999, estimated 1950"),
        ("2001-29", "spring 2001 (southern hemisphere)"),
        ("2001-34", "second quarter of 2001"),
        ("2004-06-~11", "11 June 2004 (day approximate)"),
        ("?2004-06-~11", "11 June 2004 (day approximate, year uncertain)"),
        ("2004-06~-11", "11 June 2004 (year and month approximate)"),
        ("[1667,1668,1670..1672]", "one of: 1667, 1668, 1670 to 1672"),
        ("{1960,1961-12..}", "all of: 1960, December 1961 and later"),
    ],
)
def test_dates_are_said_in_plain_english(text: str, words: str) -> None:
    assert Edtf.parse(text).in_words() == words
