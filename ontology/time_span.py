"""An EDTF date as a CIDOC CRM time-span: the text as written, and its bounds.

P82 holds the text, typed as EDTF. P82a and P82b are outer bounds, left out where that side
is open or not known; an approximate or uncertain date is loosened by its slack, so that
the bounds never claim more than the text. P81a and P81b, inner bounds, are written only
for a firm interval that has an inside. Times end in Z; an xsd:dateTime without it would
not compare.
"""

from functools import lru_cache

from vestige.graph.record import Edtf
from vestige.graph.record.daycount import iso
from vestige.graph.record.edtf_reader import Stretch, read

from .term import named, typed


@lru_cache(maxsize=1 << 16)
def span_of(text: str) -> tuple[tuple[str, str], ...]:
    """Properties and values of the time-span of a date, as N-Triples writes them."""
    date = Edtf.parse(text)
    said = [("crm:P82_at_some_time_within", typed(text, "edtf:EDTF"))]
    if date.earliest is not None:
        said.append(
            ("crm:P82a_begin_of_the_begin", _start(date.earliest - date.start_slack))
        )
    if date.latest is not None:
        said.append(("crm:P82b_end_of_the_end", _end(date.latest + date.end_slack)))
    return tuple((named(prop), value) for prop, value in [*said, *_inner(date)])


def _inner(date: Edtf) -> list[tuple[str, str]]:
    if date.form != "interval" or date.soft:
        return []
    [stretch] = read(date.text).stretches
    inside = _inside(stretch)
    if inside is None:
        return []
    return [
        ("crm:P81a_end_of_the_begin", _end(inside[0])),
        ("crm:P81b_begin_of_the_end", _start(inside[1])),
    ]


def _inside(stretch: Stretch) -> tuple[int, int] | None:
    if stretch.start is None or stretch.end is None:
        return None
    first, last = stretch.start.latest, stretch.end.earliest
    return (first, last) if first < last else None


def _start(day: int) -> str:
    return typed(f"{iso(day).lstrip('+')}T00:00:00Z", "xsd:dateTime")


def _end(day: int) -> str:
    return typed(f"{iso(day).lstrip('+')}T23:59:59Z", "xsd:dateTime")
