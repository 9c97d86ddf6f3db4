"""What a custody drawing says in words: the heading, the description, the table."""

from __future__ import annotations

from .custody_data import SIGHTINGS, CustodyData, CustodyStay
from .svg import Table

__all__ = ["described", "heading_words", "table_of"]


def heading_words(data: CustodyData) -> str:
    """The line under the heading."""
    stays, gaps = len(data.stays), len(data.gaps)
    words = f"{stays} stay{'s' * (stays != 1)}, "
    words += f"{gaps or 'no'} gap{'s' * (gaps != 1)} in the record"
    if data.sightings:
        words += f", {len(data.sightings)} sighting{'s' * (len(data.sightings) != 1)}"
    return words + "."


def described(data: CustodyData) -> str:
    """The whole drawing in sentences; names every place, stay, gap and sighting."""
    labels = {p.key: p.label for p in data.places}
    words = [f"{data.title}. {heading_words(data)}"]
    words.append(f"Places: {'; '.join(labels.values()) or 'none recorded'}.")
    words += [f"{labels[s.place]}: {s.words}, {_basis(s)}{_open(s)}." for s in data.stays]
    words += [f"Gap, place not recorded: {g.words}." for g in data.gaps]
    words += [f"{labels[s.place]}: {s.words}, {SIGHTINGS[s.kind]}." for s in data.sightings]
    return " ".join(words)


def table_of(data: CustodyData) -> Table:
    """One row a stay, gap or sighting, by year."""
    labels = {p.key: p.label for p in data.places}
    rows = [
        (_first(s), (labels[s.place], "stay", s.words, _basis(s) + _open(s)))
        for s in data.stays
    ]
    rows += [(g.start, ("not recorded", "gap", g.words, "")) for g in data.gaps]
    rows += [
        (s.year, (labels[s.place], "sighting", s.words, SIGHTINGS[s.kind]))
        for s in data.sightings
    ]
    ordered = sorted(rows, key=lambda row: row[0])
    return ("Place", "What", "When", "How known"), tuple(cells for _, cells in ordered)


def _first(stay: CustodyStay) -> float:
    known: list[float] = [*(stay.begins or ()), *(stay.ends or ())]
    return min(known)


def _basis(stay: CustodyStay) -> str:
    return "inferred" if stay.inferred else "recorded"


def _open(stay: CustodyStay) -> str:
    words = "" if stay.begins else ", beginning not recorded"
    if stay.still:
        return words + ", still there"
    return words if stay.ends else words + ", end not recorded"
