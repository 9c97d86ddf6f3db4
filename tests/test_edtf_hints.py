"""What a refused date is told would be right."""

import pytest

from vestige.graph.errors import BadValue
from vestige.graph.record import Edtf


def refusal(text: str) -> str:
    with pytest.raises(BadValue) as caught:
        Edtf.parse(text)
    return str(caught.value)


@pytest.mark.parametrize(
    ("text", "right"),
    [
        # superseded by the 2019 specification, section "Differences"
        ("198u", "write 198X"),
        ("2004-uu", "write 2004-XX"),
        ("y17e7", "write Y17E7"),
        ("1985/unknown", "write 1985/"),
        ("unknown/1985", "write /1985"),
        ("1985/open", "write 1985/.."),
        ("unknown", "left empty"),
        ("open", "two dots"),
        ("1984?~", "write 1984%"),
        ("2004-(06)?-11", "write it as"),
        # specification, "Extended format": the basic form is not permitted
        ("20050924", "write 2005-09-24"),
        # what people write; common practice, no source
        ("12.3.1998", "1998-03-12 or 1998-12-03"),
        ("31.12.1998", "write the year first: 1998-12-31"),
        ("1998-13", "months go from 01 to 12"),
        ("1770-80", "write 1770/1780"),
        ("1770-1790", "write 1770/1790"),
        ("c. 1770", "write 1770~"),
        ("1780s", "write 178X"),
        ("18th century", "write 17XX"),
        ("785", "write 0785"),
        ("1985-4-2", "write 1985-04-02"),
        ("12345", "write Y12345"),
        ("Y2006", "write 2006"),
        ("-0000", "0000"),
        ("+2006", "write 2006"),
        ("", "left empty"),
        ("/", "leave the whole date empty"),
        ("1990/1980", "write the earlier date first"),
        ("[1672..1670]", "write the earlier date first"),
        ("1985-02-29", "no such day"),
        ("19X3-02-29", "no such day"),
        ("1984-3X", "there is no month 3X"),
        ("[1985", "bracket is not closed"),
        ("[1667,..,1670]", "only at the ends"),
        ("Y1E999999999999", "years go up to"),
        ("Y1" + "0" * 5000, "years go up to"),
        ("1 985", "no blanks"),
        ("1985-04-12T24:00:00", "a time is written 1985-04-12T23:20:30Z"),
        ("2004-06-11/2004-06-12T10:00:00", "write 2004-06-12"),  # level 0: dates only
    ],
)
def test_a_refusal_says_what_would_be_right(text: str, right: str) -> None:
    assert right in refusal(text)


def test_a_refusal_quotes_what_was_written() -> None:
    assert refusal("198u").startswith("'198u' cannot be read as a date")


def test_what_a_refusal_proposes_can_be_read() -> None:
    for text in ("198u", "y17e7", "20050924", "31.12.1998", "c. 1770", "1780s", "785"):
        Edtf.parse(refusal(text).split()[-1])
