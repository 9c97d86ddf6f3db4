"""How dates are said, for the catalogues. `spoken.py` fills them in."""

from .wording import translatable

# a date; {date} is a day, a month or a year, already in the reader's language
ABOUT = "about {date}"
UNCERTAIN = "{date} (uncertain)"
PARTLY = "{date} (in part uncertain or approximate: {written})"
BC, AD = "{year} BC", "AD {year}"
DECADE = "the {year}s"
SOME_MONTH, SOME_DAY = "some month in {date}", "some day in {date}"
SEASONS = ("spring {year}", "summer {year}", "autumn {year}", "winter {year}")
ESTIMATED = "some time from {start} to {end}, estimated {date}"
SOME_TIME = "some time from {start} to {end} (written {written})"
AT_CLOCK = "{date}, {clock}"

# from one date to another, or sets of dates
SPAN = "{start} to {end}"
STILL_OPEN, END_UNKNOWN = "from {start} and still open", "from {start}, end not known"
BEGUN_OPEN, BEGUN_UNKNOWN = (
    "until {end}, beginning open",
    "until {end}, beginning not known",
)
OR_EARLIER, OR_LATER = "{date} or earlier", "{date} or later"
AND_EARLIER, AND_LATER = "{date} and earlier", "{date} and later"
ONE_OF, ALL_OF = "one of: {dates}", "all of: {dates}"
NEITHER_END = "neither beginning nor end known ({written})"

translatable(__name__)
