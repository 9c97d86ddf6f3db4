"""The guide to kinds of evidence, as an answer."""

from typing import Literal

from ..record import EvidenceKind, evidence_guide
from .answer import Plain

__all__ = ["EvidenceGuide", "EvidenceSort", "guide_of"]


class EvidenceSort(Plain):
    """One kind of evidence; its words are those of the sheets.

    Attributes:
        relations: relation words that record it.
        sources: kinds of source that mark it.
        usual: strength word that is taken where none is given.
        asks: what to write down with it.
        rivals: what else usually explains the same finding.
        pitfalls: what it does not say, and how it misleads.
        basis: where this comes from.
    """

    name: str
    relations: tuple[str, ...]
    sources: tuple[str, ...]
    usual: str
    asks: str
    rivals: tuple[str, ...]
    pitfalls: tuple[str, ...]
    basis: str


class EvidenceGuide(Plain):
    """The kinds of evidence that speak of some words; all where none are given."""

    form: Literal["vestige.evidence/1"] = "vestige.evidence/1"
    kinds: tuple[EvidenceSort, ...]


def guide_of(words: str = "") -> EvidenceGuide:
    """The kinds of evidence that speak of all the words, in whatever order."""
    wanted = words.casefold().split()
    return EvidenceGuide(
        kinds=tuple(
            EvidenceSort(
                name=kind.name,
                relations=tuple(kind.relations),
                sources=tuple(kind.sources),
                usual=kind.usual,
                asks=kind.asks,
                rivals=kind.rivals,
                pitfalls=kind.pitfalls,
                basis=kind.basis,
            )
            for kind in evidence_guide()
            if all(word in _text(kind) for word in wanted)
        )
    )


def _text(kind: EvidenceKind) -> str:
    return " ".join((kind.name, *kind.relations, *kind.sources, *kind.rivals)).casefold()
