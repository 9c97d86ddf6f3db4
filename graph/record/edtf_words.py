"""An EDTF reading said in plain English."""

from typing import Final

from .daycount import date_of
from .edtf_reader import Point, Reading, Stretch

MONTHS: Final = (
    "January", "February", "March", "April", "May", "June", "July",
    "August", "September", "October", "November", "December",
)  # fmt: skip

_SEASON_NAMES: Final = ("spring", "summer", "autumn", "winter")
_NTH: Final = ("first", "second", "third", "fourth")
_PART_NAMES: Final = ("year", "month", "day")


def in_words(reading: Reading) -> str:
    """Plain English of a reading; every sign and open side is said."""
    if reading.form == "interval":
        return _interval_words(reading.stretches[0])
    if reading.form == "date":
        return _point_words(reading.stretches[0].start)
    joint = "and" if reading.form == "all of" else "or"
    members = [_member_words(stretch, joint) for stretch in reading.stretches]
    if reading.form == "one of" and len(members) == 1:
        return members[0]
    return f"{reading.form}: " + ", ".join(members)


def _interval_words(stretch: Stretch) -> str:
    start, end = stretch.start, stretch.end
    if start and end:
        return f"{_point_words(start)} to {_point_words(end)}"
    if start:
        tail = " and still open" if stretch.end_kind == "open" else ", end not known"
        return f"from {_point_words(start)}{tail}"
    head = "beginning open" if stretch.start_kind == "open" else "beginning not known"
    if end:
        return f"until {_point_words(end)}, {head}"
    tail = "still open" if stretch.end_kind == "open" else "end not known"
    return f"{head}, {tail}"


def _member_words(stretch: Stretch, joint: str) -> str:
    start, end = stretch.start, stretch.end
    if start is end:
        return _point_words(start)
    if start is None:
        return f"{_point_words(end)} {joint} earlier"
    if end is None:
        return f"{_point_words(start)} {joint} later"
    return f"{_point_words(start)} to {_point_words(end)}"


def _point_words(point: Point | None) -> str:
    if point is None:
        return "not known"
    plain = _plain_words(point)
    signs = {mark for mark in point.marks if mark}
    if not signs:
        return plain
    if len(set(point.marks)) == 1:
        return _wholly_marked(plain, signs.pop())
    told = _partly_marked(point)
    return f"{plain} ({told})"


def _wholly_marked(plain: str, mark: str) -> str:
    loose = "~" in mark or "%" in mark
    doubtful = "?" in mark or "%" in mark
    about = f"about {plain.removeprefix('some time in ')}" if loose else plain
    return f"{about} (uncertain)" if doubtful else about


def _partly_marked(point: Point) -> str:
    told = []
    for sign, words in (("~", "approximate"), ("?", "uncertain")):
        names = [
            name
            for name, mark in zip(_PART_NAMES, point.marks, strict=False)
            if sign in mark or "%" in mark
        ]
        if names:
            told.append(f"{' and '.join(names)} {words}")
    return ", ".join(told)


def _plain_words(point: Point) -> str:
    if point.estimate is not None:
        low, high = date_of(point.earliest)[0], date_of(point.latest)[0]
        guess = _year(point.estimate)
        if low == high:
            return guess
        return f"some time from {_year(low)} to {_year(high)}, estimated {guess}"
    if len(point.parts) == 1:
        return _year_words(point)
    if len(point.parts) == 2:
        return _month_words(point)
    return _day_words(point)


def _year(number: int) -> str:
    if number <= 0:
        return f"{1 - number} BC"
    return f"AD {number}" if number < 1000 else str(number)


def _year_words(point: Point) -> str:
    year = point.parts[0]
    return f"some time in {_years(point)}" if "X" in year else _year(int(year))


def _years(point: Point) -> str:
    """The years a pattern covers: "the 1780s", "the 1600s", "1600 to 1609"."""
    year = point.parts[0]
    if "X" not in year:
        return _year(int(year))
    low, high = date_of(point.earliest)[0], date_of(point.latest)[0]
    positive = not year.startswith("-") and year[0] not in "0X"
    decade = year[3:] == "X" and year[2] not in "0X"
    century = year[2:] == "XX" and year[1] != "X" and year[:2] != "10"
    if positive and (decade or century) and "X" not in year[:2]:
        return f"the {year.replace('X', '0')}s"
    if "X" in year.rstrip("X"):
        return f"{_year(low)} to {_year(high)} (written {year})"
    return f"{_year(low)} to {_year(high)}"


def _month_words(point: Point) -> str:
    year, month = point.parts
    years = _years(point)
    if month == "XX":
        return f"some month in {years}"
    if "X" in month:
        return _between(point)
    number = int(month)
    name = MONTHS[number - 1] if number <= 12 else season_name(number)
    if "X" in year:
        return f"{name}, some year in {years}"
    return f"{name} of {years}" if number >= 33 else _hemisphere(name, years)


def _hemisphere(name: str, years: str) -> str:
    season, _, where = name.partition(" ")
    return f"{season} {years} {where}".strip()


def season_name(number: int) -> str:
    """Name of a season number 21 to 41 (EDTF, sub-year groupings)."""
    if number >= 40:
        return f"{_NTH[number - 40]} half"
    if number >= 37:
        return f"{_NTH[number - 37]} third"
    if number >= 33:
        return f"{_NTH[number - 33]} quarter"
    side = ("", " (northern hemisphere)", " (southern hemisphere)")[(number - 21) // 4]
    return _SEASON_NAMES[(number - 21) % 4] + side


def _day_words(point: Point) -> str:
    year, month, day = point.parts
    years = _years(point)
    if "X" not in month + day:
        when = f"{int(day)} {MONTHS[int(month) - 1]}"
        when = f"{when}, some year in {years}" if "X" in year else f"{when} {years}"
        return f"{when}, {point.clock}" if point.clock else when
    if day == "XX" and month == "XX":
        return f"some day in {years}"
    if day == "XX" and "X" not in month and "X" not in year:
        return f"some day in {MONTHS[int(month) - 1]} {years}"
    return _between(point)


def _between(point: Point) -> str:
    first, last = (
        f"{day} {MONTHS[month - 1]} {_year(year)}"
        for year, month, day in (date_of(point.earliest), date_of(point.latest))
    )
    return f"some day from {first} to {last} (written {'-'.join(point.parts)})"
