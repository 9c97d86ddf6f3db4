"""How the parts stood to each other in each phase, as far as anybody says.

Only what is said is listed: accounts of one phase side by side, each with its independent
sources. A source that copies another is no second voice. Nothing is resolved here. What
changed from one phase to the next is read from the best supported account of each.
"""

from collections.abc import Iterable
from itertools import pairwise
from typing import ClassVar

from ..record import Claim, Element, Phase, Relation, Stance, Strength
from ..state import State
from .answer import Answer, Plain, Said, Thing, as_known, first_sources, said, thing
from .arrangement_change import Changed, changes, read_arrangement
from .caution import warnings

ORDER = list(Strength)
"""Strength words, the strongest first."""


class Account(Plain):
    """One arrangement that somebody reports of a phase.

    Attributes:
        words: the arrangement as it was written, e.g. "A-B-C-D".
        strength: word of its strongest claim; None where all speak against it.
        voices: sources for it that do not copy each other.
        speaks_for, speaks_against: the claims.
    """

    words: str
    strength: str | None
    voices: tuple[Thing, ...]
    speaks_for: tuple[Said, ...]
    speaks_against: tuple[Said, ...]


class Stage(Plain):
    """The accounts of one phase, the best supported first.

    Attributes:
        phase: None where the claims name no phase.
        disputed: True where more than one account has a claim for it.
        stood: claims that two parts stood against each other in this phase.
    """

    phase: Thing | None
    accounts: tuple[Account, ...]
    disputed: bool
    stood: tuple[Said, ...] = ()


class Between(Plain):
    """What changed from one state to the next, by the best supported account of each.

    Attributes:
        before, after: the two arrangements as written.
        changes: what became of each piece that does not stand as before.
        reason: why they could not be compared; empty where they were.
        disputed: True where one of the two has another account that is spoken for.
    """

    earlier: Thing
    later: Thing
    before: str
    after: str
    changes: tuple[Changed, ...]
    reason: str
    disputed: bool


class Arrangements(Answer):
    """Answer to `vestige arrangements OBJECT`."""

    FORM: ClassVar[str] = "vestige.arrangements/1"
    about: Thing
    stages: tuple[Stage, ...]
    between: tuple[Between, ...] = ()


def arrangements_of(state: State, key: str) -> Arrangements:
    """Every reported arrangement of an object, by phase."""
    phases: dict[str | None, dict[str, list[str]]] = {}
    stood = _stood(state, key)
    for phase in stood:
        phases.setdefault(phase, {})
    for claim_key, claim in state.all_of(Claim):
        if claim.relation is Relation.ARRANGED and claim.about == key and claim.value:
            accounts = phases.setdefault(claim.phase, {})
            accounts.setdefault(_plain(claim.value), []).append(claim_key)
    ordered = sorted(phases, key=lambda phase: _order(state, phase))
    stages = [_stage(state, one, phases[one], stood.get(one, [])) for one in ordered]
    return Arrangements(
        form=Arrangements.FORM,
        as_known=as_known(state),
        cautions=warnings(state, key),
        about=thing(state, key),
        stages=tuple(stages),
        between=tuple(_between(*pair) for pair in pairwise(_compared(stages))),
    )


def _order(state: State, phase: str | None) -> tuple[int, str]:
    held = phase is not None and phase in state and state.held(phase).record
    return (held.order if isinstance(held, Phase) else 0, phase or "")


def _stood(state: State, object_key: str) -> dict[str | None, list[str]]:
    """Claims that two elements of the object stood against each other, by phase."""
    found: dict[str | None, list[str]] = {}
    for key, claim in state.all_of(Claim):
        held = claim.about in state and state.held(claim.about).record
        here = isinstance(held, Element) and held.object == object_key
        if here and claim.relation is Relation.STOOD_AGAINST:
            found.setdefault(claim.phase, []).append(key)
    return found


def _compared(stages: Iterable[Stage]) -> list[Stage]:
    """The stages of a known phase of which somebody this reader may hear says anything."""
    return [one for one in stages if one.phase and one.accounts and _open(one.accounts[0])]


def _between(earlier: Stage, later: Stage) -> Between:
    assert earlier.phase is not None
    assert later.phase is not None
    words = [one.accounts[0].words for one in (earlier, later)]
    read = [read_arrangement(one) for one in words]
    lost = [word for word, one in zip(words, read, strict=True) if one is None]
    reason = f"'{lost[0]}' is no list of pieces such as A-B-C" if lost else ""
    return Between(
        earlier=earlier.phase,
        later=later.phase,
        before=words[0],
        after=words[1],
        changes=() if lost else changes(read[0] or (), read[1] or ()),
        reason=reason,
        disputed=earlier.disputed or later.disputed,
    )


def _stage(
    state: State, phase: str | None, accounts: dict[str, list[str]], stood: list[str]
) -> Stage:
    told = [_account(state, keys) for keys in accounts.values()]
    told.sort(key=_support)
    return Stage(
        phase=thing(state, phase) if phase else None,
        accounts=tuple(told),
        disputed=sum(_open(one) for one in told) > 1,
        stood=tuple(said(state, key) for key in stood),
    )


def _open(account: Account) -> bool:
    """Whether this reader may know what the account says, and somebody says it."""
    return bool(account.speaks_for) and not account.words.startswith("restricted:")


def _account(state: State, keys: list[str]) -> Account:
    claims = [state.record(key, Claim) for key in keys]
    pairs = list(zip(keys, claims, strict=True))
    speaks_for = [key for key, one in pairs if one.stance is Stance.FOR]
    words = [state.record(key, Claim).strength for key in speaks_for]
    return Account(
        words=claims[0].value or "",
        strength=str(min(words, key=ORDER.index)) if words else None,
        voices=tuple(thing(state, one) for one in _voices(state, speaks_for)),
        speaks_for=tuple(said(state, key) for key in speaks_for),
        speaks_against=tuple(said(state, key) for key in keys if key not in speaks_for),
    )


def _voices(state: State, keys: Iterable[str]) -> list[str]:
    """Sources at the beginning of every line of copying, each once."""
    found: dict[str, None] = {}
    for key in keys:
        source = state.record(key, Claim).source
        if source is not None:
            found.update(dict.fromkeys(first_sources(state, source) or [source]))
    return list(found)


def _support(account: Account) -> tuple[int, int]:
    """For sorting: the strongest word first, then the number of independent voices."""
    if account.strength is None:
        return len(ORDER), 0
    return ORDER.index(Strength(account.strength)), -len(account.voices)


def _plain(words: str) -> str:
    return "".join(words.split()).casefold()
