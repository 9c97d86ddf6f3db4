"""A question over the whole collection: which elements, happenings, results fit it.

One object after the other, each as its reader may know it, so that no answer hangs on the
size of the archive but for the time. Every row can be cited: it names the ledger entry
that said it, and the claims that made it fit.
"""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from typing import ClassVar

from ..errors import VestigeError
from ..record import (
    Claim,
    Edtf,
    Element,
    Fragment,
    Happening,
    KeptPart,
    Record,
    Relation,
    Result,
    Sample,
    Stance,
    iso,
)
from ..state import State
from .answer import Answer, Plain, Said, Thing, as_known, said, thing
from .assessment import assess_of
from .belonging import belonging
from .window import window_of

__all__ = ["Survey", "Surveyed", "Wanted", "survey_of", "surveyed"]

LISTED = (Element, Happening, KeptPart, Sample, Result, Fragment)
"""Kinds of records that a survey lists."""


@dataclass(frozen=True, slots=True)
class Wanted:
    """What is asked for; an empty text and None ask for nothing.

    Attributes:
        words: each must stand in the record, or in a claim about it.
        kind: kind of record.
        material: stands in its material.
        relation: relation word of a claim about it, with `value` where given.
        value: value of that claim; a date is met by any date within it.
        by: role that saw or did it.
        source: key of a source that speaks of it.
        verdict: stands in its verdict; an open one answers to "open" only.
        after, before: first day on or after which, last day on or before which it must
            lie wholly, days since 1970-01-01.
    """

    words: str = ""
    kind: str = ""
    material: str = ""
    relation: Relation | None = None
    value: str = ""
    by: str = ""
    source: str = ""
    verdict: str = ""
    after: int | None = None
    before: int | None = None


class Surveyed(Plain):
    """One record that fits.

    Attributes:
        object: the object that it belongs to.
        material: its material; null where not recorded.
        date: the date that the record bears; null where not recorded.
        earliest, latest: ISO days of the window of an element or happening, from all that
            is claimed; null where nothing bounds that side.
        verdict: words of the verdict on an element; "" where it was not asked for.
        claims: the claims that made it fit.
        entry: ledger entry that said it; recorded_by: role that recorded it.
    """

    thing: Thing
    object: Thing
    material: str | None
    date: str | None
    earliest: str | None
    latest: str | None
    verdict: str
    claims: tuple[Said, ...]
    entry: int
    recorded_by: str


class Survey(Answer):
    """Answer to `vestige survey`.

    Attributes:
        asked: the question, in words.
        rows: what fits, object by object in the order in which they were recorded.
        undated: how many fitted but for a date, and bear none.
        mark: where the record ended when the question was asked, for a citation.
    """

    FORM: ClassVar[str] = "vestige.survey/1"
    asked: str
    rows: tuple[Surveyed, ...]
    undated: int
    mark: str


def survey_of(
    objects: Iterable[tuple[State, str]], wanted: Wanted, asked: str, mark: str
) -> Survey:
    """Ask of one object after the other.

    Args:
        objects: the state around each object, and its key.
        wanted: the question.
        asked: the question in words.
        mark: end of the record, as `Collection.mark` says it.
    """
    rows: list[Surveyed] = []
    undated = 0
    known: str | None = None
    for state, key in objects:
        known = as_known(state)
        found, without = surveyed(state, key, wanted)
        rows += found
        undated += without
    return Survey(
        form=Survey.FORM,
        as_known=known,
        asked=asked,
        rows=tuple(rows),
        undated=undated,
        mark=mark,
    )


def surveyed(state: State, key: str, wanted: Wanted) -> tuple[list[Surveyed], int]:
    """What fits on one object, and how many fit but for a date that is not recorded."""
    fits = list(_plain_fits(state, key, wanted))
    if wanted.verdict and fits:
        texts = {one.thing.key: one.text for one in assess_of(state, key).verdicts}
        told = [(row, texts.get(row.thing.key, "")) for row in fits]
        fits = [
            row.model_copy(update={"verdict": text})
            for row, text in told
            if _is_verdict(text, wanted.verdict)
        ]
    if wanted.after is None and wanted.before is None:
        return fits, 0
    dated = [_windowed(state, row) for row in fits]
    bounded = [row for row in dated if row.earliest or row.latest]
    return [row for row in bounded if _within(row, wanted)], len(dated) - len(bounded)


def _is_verdict(text: str, asked: str) -> bool:
    """Whether a verdict says what is asked; an open one says only that it is open."""
    said_text, words = text.casefold(), asked.casefold()
    if said_text.startswith("open") and not words.startswith("open"):
        return False
    return bool(said_text) and words in said_text


def _plain_fits(state: State, key: str, wanted: Wanted) -> Iterator[Surveyed]:
    for one in sorted(belonging(state, key), key=lambda one: state.held(one).seq):
        held = state.held(one)
        record = held.record
        if not isinstance(record, LISTED) or wanted.kind not in ("", record.kind):
            continue
        claims = [
            claim
            for claim, told in state.about(one, Claim)
            if told.about == one and told.stance is Stance.FOR
        ]
        met = [claim for claim in claims if _claim_fits(state, claim, wanted)]
        spoken = (state.record(claim, Claim).words() for claim in claims)
        text = " ".join([record.words(), *spoken]).casefold()
        if not _record_fits(record, text, met, wanted):
            continue
        asks = wanted.relation or wanted.value or wanted.by or wanted.source
        yield Surveyed(
            thing=thing(state, one),
            object=thing(state, key),
            material=getattr(record, "material", None),
            date=str(_own_date(record)) if _own_date(record) else None,
            earliest=None,
            latest=None,
            verdict="",
            claims=tuple(said(state, claim) for claim in met) if asks else (),
            entry=held.seq,
            recorded_by=held.by,
        )


def _record_fits(record: Record, text: str, met: list[str], wanted: Wanted) -> bool:
    if not all(word in text for word in wanted.words.casefold().split()):
        return False
    material = str(getattr(record, "material", None) or "").casefold()
    if wanted.material.casefold() not in material:
        return False
    if wanted.relation or wanted.value:
        return bool(met)
    if wanted.by and wanted.by != getattr(record, "by", None) and not met:
        return False
    return not (
        wanted.source and wanted.source != getattr(record, "source", None) and not met
    )


def _claim_fits(state: State, key: str, wanted: Wanted) -> bool:
    claim = state.record(key, Claim)
    if wanted.relation and claim.relation is not wanted.relation:
        return False
    if wanted.by and claim.by != wanted.by:
        return False
    if wanted.source and claim.source != wanted.source:
        return False
    return not wanted.value or _meets(claim.value or "", wanted.value)


def _meets(value: str, asked: str) -> bool:
    """Whether a value is the one asked for: a date within a date, or words in words."""
    try:
        one, whole = Edtf.parse(value), Edtf.parse(asked)
    except VestigeError:
        return asked.casefold() in value.casefold()
    if None in (one.earliest, one.latest, whole.earliest, whole.latest):
        return value == asked
    # Around "about 1938" lies more than the year; its own year is what it means.
    middle = (one.earliest or 0) + ((one.latest or 0) - (one.earliest or 0)) // 2
    return (whole.earliest or 0) <= middle <= (whole.latest or 0)


def _own_date(record: Record) -> Edtf | None:
    for name in ("when", "taken_when", "removed_when", "found_when"):
        value = getattr(record, name, None)
        if isinstance(value, Edtf):
            return value
    return None


def _windowed(state: State, row: Surveyed) -> Surveyed:
    record = state.held(row.thing.key).record
    if isinstance(record, (Element, Happening)):
        window = window_of(state, row.thing.key)
        ends = {"earliest": window.earliest.day, "latest": window.latest.day}
        if any(ends.values()):
            return row.model_copy(update=ends)
    date = _own_date(record)
    if date is None:
        return row
    ends = {
        "earliest": iso(date.earliest) if date.earliest is not None else None,
        "latest": iso(date.latest) if date.latest is not None else None,
    }
    return row.model_copy(update=ends)


def _within(row: Surveyed, wanted: Wanted) -> bool:
    if wanted.after is not None and (
        row.earliest is None or _day(row.earliest) < wanted.after
    ):
        return False
    return wanted.before is None or (
        row.latest is not None and _day(row.latest) <= wanted.before
    )


def _day(text: str) -> int:
    day = Edtf.parse(text).earliest
    assert day is not None  # an ISO day has both its ends
    return day
