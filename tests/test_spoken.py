"""Dates and numbers in the reader's locale.

German and Japanese long dates: Unicode CLDR, as printed in its by-type charts (from
memory); the EDTF texts are examples of the Library of Congress specification (2019).
"""

from collections.abc import Iterator

import pytest
from hypothesis import given
from hypothesis import strategies as st

from vestige.graph.errors import BadValue
from vestige.graph.record import Edtf, Measure
from vestige.ui.language import (
    Catalogue,
    catalogue_of,
    date,
    figures,
    number,
    own_name,
    quantity,
    speak,
)
from vestige.ui.page import shown


@pytest.fixture(autouse=True)
def _in_english() -> Iterator[None]:
    yield
    speak(None)


@pytest.mark.parametrize(
    ("edtf", "said"),
    [
        ("1985-04-12", "12. April 1985"),
        ("1985-04", "April 1985"),
        ("1985", "1985"),
        ("1880~", "um 1880"),
        ("1984?", "1984 (unsicher)"),
        ("2004-06~", "um Juni 2004"),
        ("2004-06-11%", "um 11. Juni 2004 (unsicher)"),
        ("2004-06-~11", "11. Juni 2004 (zum Teil unsicher oder ungefähr: 2004-06-~11)"),
        ("188X", "1880er Jahre"),
        ("17XX", "1700 bis 1799"),
        ("2004-XX", "ein Monat, 2004"),
        ("1985-04-XX", "ein Tag, April 1985"),
        ("1985-XX-XX", "ein Tag, 1985"),
        ("2001-21", "Frühling 2001"),
        ("1964/2008", "1964 bis 2008"),
        ("2004-02-01/2005", "1. Februar 2004 bis 2005"),
        ("1770~/1790~", "um 1770 bis um 1790"),
        ("1985-04-12/..", "von 12. April 1985 an, noch andauernd"),
        ("1985/", "von 1985 an, Ende nicht bekannt"),
        ("../1900", "bis 1900, Beginn offen"),
        ("/1900", "bis 1900, Beginn nicht bekannt"),
        ("[..1900]", "1900 oder früher"),
        ("[1760..]", "1760 oder später"),
        ("[1667,1668,1670..1672]", "eines von: 1667; 1668; 1670 bis 1672"),
        ("{1960,1961-12}", "alle von: 1960; Dezember 1961"),
        ("-0099", "100 v. Chr."),
        ("0079", "79 n. Chr."),
        ("1950S2", "irgendwann von 1900 bis 1999, geschätzt 1950"),
        ("1985-04-12T23:20:30", "12. April 1985, 23:20:30"),
        ("1XXX-12", "irgendwann von 1. Dezember 1000 bis 31. Dezember 1999 "
         "(geschrieben 1XXX-12)"),
        ("before the war", "before the war"),
    ],
)  # fmt: skip
def test_a_date_is_said_in_german_and_stays_as_vague_as_it_was(
    edtf: str, said: str
) -> None:
    speak(catalogue_of("de"))
    assert date(edtf) == said


def test_a_long_date_follows_the_locale_even_without_a_catalogue() -> None:
    speak(Catalogue("ja"))
    assert date("1931-03-05") == "1931年3月5日"
    assert date("1931-03") == "1931年3月"
    speak(Catalogue("en_GB"))
    assert date("1931-03-05") == "5 March 1931"
    assert date("1880~") == "about 1880"


def test_english_dates_are_those_of_the_record() -> None:
    speak(None)
    for text in ("1985-04-12", "1880~", "[..1900]", "1985/", "2004-06-~11"):
        assert date(text) == Edtf.parse(text).in_words()


@given(
    year=st.integers(-3000, 3000),
    month=st.integers(1, 12) | st.sampled_from([21, 24, 25, 33, 41]),
    sign=st.sampled_from(["", "?", "~", "%"]),
)
def test_every_month_of_every_year_can_be_said(year: int, month: int, sign: str) -> None:
    speak(catalogue_of("de"))
    written = f"{'-' if year < 0 else ''}{abs(year):04d}-{month:02d}{sign}"
    told = date(written) if written[:5] != "-0000" else "0000"
    shown = str(year) if year > 0 else str(1 - year)
    assert shown in told or written.rstrip("?~%") in told or shown.zfill(4) in told
    assert ("unsicher" in told) is (sign in ("?", "%"))


def test_numbers_have_the_signs_of_the_locale() -> None:
    assert (number(12345.6, 1), figures(0.0341), figures(123.0)) == (
        "12,345.6",
        "0.034",
        "120",
    )
    speak(catalogue_of("de"))
    assert (number(12345.6, 1), figures(0.0341), number(0)) == ("12.345,6", "0,034", "0")


@pytest.mark.parametrize(
    ("written", "said"),
    [
        ("12.50 mm", "12,50 mm"),
        ("1,800 x 560 mm", "1.800 x 560 mm"),
        ("1,234.5 mm", "1.234,5 mm"),
        ("0,4 g", "0,4 g"),
        ("about 18 ± 0.5 mm", "about 18 ± 0,5 mm"),
        ("1 1/2 in", "1 1/2 in"),
        ("3½ in", "3½ in"),
    ],
)
def test_an_amount_is_read_as_the_record_reads_it(written: str, said: str) -> None:
    assert quantity(Measure(written)) == written
    speak(catalogue_of("de"))
    assert quantity(Measure(written)) == said


def test_a_language_is_called_by_its_own_name() -> None:
    assert [own_name(one) for one in ("en", "de", "fr", "ar", "hi", "zh", "zz")] == [
        "English", "Deutsch", "Français", "العربية", "हिन्दी", "中文", "zz",
    ]  # fmt: skip


@pytest.mark.parametrize("text", ["1.234,5 mm", "1,234.5,6 mm", "1.234.567 mm"])
def test_a_number_that_is_written_in_no_known_way_is_refused(text: str) -> None:
    with pytest.raises(BadValue):
        Measure(text)


def test_a_saved_table_keeps_the_forms_that_machines_read() -> None:
    # RFC 4180 has no types: what stands in a cell is all that another program gets
    speak(catalogue_of("de"))
    seen = {
        shown.date("1880~"): ("1880~", "um 1880"),
        shown.word("removed and kept"): ("removed and kept", "abgenommen und aufbewahrt"),
        shown.verdict("added in P2 (probable)"): (
            "added in P2 (probable)",
            "hinzugefügt in P2 (wahrscheinlich)",
        ),
        shown.date("before the <war>"): ("before the <war>", "before the &lt;war&gt;"),
    }
    for cell, (machine, reader) in seen.items():
        assert shown.bare(cell) == machine
        assert reader in cell
