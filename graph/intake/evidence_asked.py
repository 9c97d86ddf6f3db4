"""What an entry of evidence is asked: how strong, and derived from what.

A person's own word always stands. Where the strength was left empty the usual word of
that kind of evidence is taken, and the row is queried, so that nobody's word is put into
their mouth unseen. A paper that is second-hand, or of a kind that usually repeats others,
is asked once what it was derived from: a copy that is not known as one counts twice.
"""

from collections.abc import Iterator, Mapping, Sequence
from typing import Final

from ..record import (
    Claim,
    Hand,
    Relation,
    Source,
    SourceKind,
    guide_for,
    usual_strength,
)
from .resolution import Resolution
from .sheet_row import SheetRow

REPEATING: Final = frozenset(
    {
        SourceKind.CATALOGUE,
        SourceKind.PUBLICATION,
        SourceKind.DEALER,
        SourceKind.TRADITION,
    }
)
"""Kinds of source that as a rule repeat earlier ones: common practice, no source."""


def fill_strength(rows: Sequence[SheetRow], who: Resolution) -> None:
    """Take the usual strength where a new observation was given none, and query it."""
    for row in rows:
        relation = row.values.get("relation")
        if row.kind is not Claim or row.old is not None or "strength" in row.values:
            continue
        if "strength" in row.bad or not isinstance(relation, Relation):
            continue
        source = _kind_of(row.values.get("source"), who)
        usual = usual_strength(relation, source)
        row.values["strength"] = usual
        rivals = [rival for kind in guide_for(relation, source) for rival in kind.rivals]
        row.doubt(
            "strength",
            "strength not given",
            f"No strength is given; '{usual}' is taken, the usual word for '{relation}'.",
            "Write the word that you mean."
            + (f" What else could explain it: {'; '.join(rivals)}?" if rivals else ""),
        )


def ask_derived(rows: Sequence[SheetRow], who: Resolution) -> None:
    """Ask of every new second-hand source, once, what it was derived from."""
    repeating = set(_repeating(rows))
    spoken = [row for row in rows if row.kind is Claim and row.old is None]
    for row in rows:
        if row.kind is not Source or row.key not in repeating or row.old is not None:
            continue
        says = [one for one in spoken if one.values.get("source") == row.key]
        bare = [one for one in says if "derived_from" not in one.values]
        if bare:
            row.doubt(
                "copies",
                "derived from?",
                f"{row.number} speaks at second hand (observations: {len(bare)}), and "
                "nothing says what it repeats.",
                "Name the sources that it copies in 'copies', or the observation repeated "
                "in 'derived from'; a copy that is not known as one counts twice.",
            )


def _repeating(rows: Sequence[SheetRow]) -> Iterator[str]:
    for row in rows:
        if row.kind is not Source or row.values.get("copies"):
            continue
        second = row.values.get("hand") is Hand.SECOND
        if second or (row.values.get("sort") in REPEATING and "hand" not in row.values):
            yield row.key


def _kind_of(source: object, who: Resolution) -> SourceKind | None:
    if not isinstance(source, str):
        return None
    kind, said = who.said_of(source)
    return _sort(said) if kind == Source.kind else None


def _sort(said: Mapping[str, object]) -> SourceKind | None:
    try:
        return SourceKind(str(said.get("sort")))
    except ValueError:
        return None
