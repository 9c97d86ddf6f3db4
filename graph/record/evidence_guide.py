"""Kinds of evidence as the trade knows them: usual strength, rivals and pitfalls.

The table is ``evidence_guide.toml``. It is shown where evidence is recorded, and it gives
the strength word for a cell that was left empty; it enters no assessment by itself.
"""

import tomllib
from dataclasses import dataclass
from functools import cache
from importlib.resources import files
from typing import Any

from .word import Relation, SourceKind, Strength

__all__ = ["EvidenceKind", "evidence_guide", "guide_for", "usual_strength"]

ORDER = tuple(Strength)
"""Strength words, the strongest first."""


@dataclass(frozen=True, slots=True)
class EvidenceKind:
    """One kind of evidence.

    Attributes:
        name: what the trade calls it.
        relations: relation words that record it.
        sources: kinds of source that mark it, whatever the relation.
        usual: strength word that is taken where none is given.
        asks: what to write down with it.
        rivals: what else usually explains the same finding.
        pitfalls: what it does not say, and how it misleads.
        basis: where this comes from.
    """

    name: str
    relations: tuple[Relation, ...]
    sources: tuple[SourceKind, ...]
    usual: Strength
    asks: str
    rivals: tuple[str, ...]
    pitfalls: tuple[str, ...]
    basis: str


@cache
def evidence_guide() -> tuple[EvidenceKind, ...]:
    """Every kind of evidence, in the order of the table."""
    text = files(__package__).joinpath("evidence_guide.toml").read_text(encoding="utf-8")
    return tuple(_kind(row) for row in tomllib.loads(text)["kind"])


def _kind(row: dict[str, Any]) -> EvidenceKind:
    return EvidenceKind(
        row["name"],
        tuple(Relation(word) for word in row["relations"]),
        tuple(SourceKind(word) for word in row.get("sources", ())),
        Strength(row["usual"]),
        row["asks"],
        tuple(row["rivals"]),
        tuple(row["pitfalls"]),
        row["basis"],
    )


def guide_for(
    relation: Relation, source: SourceKind | None = None
) -> tuple[EvidenceKind, ...]:
    """The kinds that a claim is of: by its relation word, and by what its source is."""
    return tuple(
        kind
        for kind in evidence_guide()
        if relation in kind.relations or source in kind.sources
    )


def usual_strength(relation: Relation, source: SourceKind | None = None) -> Strength:
    """The strength word of a claim that was given none: the weakest of its kinds.

    A relation that speaks of other claims, or of nothing in time, is neutral.
    """
    words = [kind.usual for kind in guide_for(relation, source)]
    return max(words, key=ORDER.index, default=Strength.NEUTRAL)
