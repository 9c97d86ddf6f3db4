"""What a person probably meant by a date that EDTF does not know.

Only for messages: nothing here is ever taken as the date itself.
"""

import re
from collections.abc import Callable
from typing import Final

_DAY_FIRST = re.compile(r"(\d{1,2})[./ -](\d{1,2})[./ -](\d{4})")


def _day_first(found: re.Match[str]) -> str:
    first, second, year = int(found[1]), int(found[2]), found[3]
    readings = [
        f"{year}-{month:02d}-{day:02d}"
        for day, month in ((first, second), (second, first))
        if 1 <= month <= 12 and 1 <= day <= 31
    ]
    wanted = " or ".join(dict.fromkeys(readings)) or f"{year}-MM-DD"
    why = "day and month can be mistaken for each other; " if len(readings) > 1 else ""
    return f"{why}write the year first: {wanted}"


def _short_parts(found: re.Match[str]) -> str:
    month, day = int(found[2]), found[3]
    tail = f"-{int(day):02d}" if day else ""
    return f"month and day have two digits each: write {found[1]}-{month:02d}{tail}"


def _century(found: re.Match[str]) -> str:
    return f"write {int(found[1]) - 1:02d}XX (the years {int(found[1]) - 1}00 onwards)"


_Say = Callable[[re.Match[str]], str]


def _fixed(text: str) -> _Say:
    return lambda found: found.expand(text)


def _unspecified(found: re.Match[str]) -> str:
    return f"a digit that is not known is a capital X: write {found[0].upper()}".replace(
        "U", "X"
    )


_LEAVE = "a date that is not recorded is left empty; "
_HINTS: Final[tuple[tuple[re.Pattern[str], _Say], ...]] = tuple(
    (re.compile(pattern, re.IGNORECASE), say)
    for pattern, say in (
        (r"", _fixed(_LEAVE + "here nothing was written")),
        (r"(?:un?known|none|n/?a|undated)", _fixed(_LEAVE + "nothing stands for it")),
        (
            r"([^/]*)/(?:unk?nown|none)",
            _fixed(r"an end that is not known is left empty: write \1/"),
        ),
        (
            r"(?:unk?nown|none)/([^/]*)",
            _fixed(r"a beginning that is not known is left empty: write /\1"),
        ),
        (r"([^/]*)/open", _fixed(r"an open end is two dots: write \1/..")),
        (r"open/([^/]*)", _fixed(r"an open beginning is two dots: write ../\1")),
        (r"open", _fixed("open is two dots, after or before a stroke: write 1985/..")),
        (r"-?[0-9ux]{4}(?:-[0-9ux]{2}){0,2}", _unspecified),
        (r"(y-?\d+(?:e\d+)?(?:s\d+)?)", lambda found: _long_year(found[0])),
        (
            r"(\d{4})(\d\d)(\d\d)",
            _fixed(r"the form without dashes is not allowed: write \1-\2-\3"),
        ),
        (_DAY_FIRST.pattern, _day_first),
        (r"(-?\d{4})-(\d{1,2})(?:-(\d{1,2}))?", _short_parts),
        (r"(?:c|ca|circa|about)\.?\s*(-?\d{4})", _fixed(r"for about \1 write \1~")),
        (r"(\d{4})(?:\?~|~\?)", _fixed(r"uncertain and approximate together: write \1%")),
        (r"(\d{3})0s", _fixed(r"for the decade write \1X")),
        (r"([1-9]\d?)(?:st|nd|rd|th)\s*c(?:\.|ent\.?|entury)?", _century),
        (r"(\d{4})\s*(?:-|–|to)\s*(\d{4})", _fixed(r"for a span write \1/\2")),
        (r"(\d{1,3})", lambda found: f"a year has four digits: write {int(found[1]):04d}"),
        (
            r"(-?\d{5,})",
            _fixed(r"a year of more than four digits begins with Y: write Y\1"),
        ),
        (r"\+(.*)", _fixed(r"a date bears no plus sign: write \1")),
        (r"(.*)\^.*", _fixed("a season of one hemisphere has its own number, 25 to 32")),
        (r"\d{4}-\d\d-\d\d[tT ].*", _fixed("a time is written 1985-04-12T23:20:30Z")),
    )
)


def _long_year(text: str) -> str:
    digits = re.fullmatch(r"Y(-?)0*(\d{1,4})", text.upper())
    if digits:
        return f"Y is for years of more than four digits: write {digits[1]}{digits[2]:0>4}"
    return f"the letters are capitals: write {text.upper()}"


def hint(text: str) -> str:
    """What would be right instead of a text that is no EDTF date; one sentence."""
    for pattern, say in _HINTS:
        found = pattern.fullmatch(text)
        if found:
            return say(found)
    if re.search(r"\s", text):
        return "a date holds no blanks; write it as 1985, 1985-04, 1985-04-12 or 1985/1990"
    return "write it as 1985, 1985-04, 1985-04-12, 1985/1990, 1985~ or 198X"
