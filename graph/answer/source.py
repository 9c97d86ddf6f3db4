"""Who said so, and who copied whom: the sources behind a thing, or what rests on one."""

from typing import ClassVar

from ..reasoning.premises import USUAL_RELIABILITY
from ..record import Claim, Hand, Source, SourceKind
from ..state import State
from .answer import Answer, Plain, Said, Thing, as_known, first_sources, said, thing
from .caution import warnings


class Behind(Plain):
    """One source and what it contributes.

    Attributes:
        soundness: reliability word; `usual` tells that nobody recorded one, so that it is
            the usual one of its kind of source.
        copies: sources that it copies directly.
        first: sources at the begin of its chains of copies; empty where it copies none.
        copied_by: sources that copy it.
        claims: what is said on its word.
    """

    thing: Thing
    sort: str
    dated: str | None
    by: str | None
    hand: str
    soundness: str
    usual: bool
    access: str | None
    copies: tuple[Thing, ...]
    first: tuple[Thing, ...]
    copied_by: tuple[Thing, ...]
    claims: tuple[Said, ...]
    records: tuple[Thing, ...]


class Sources(Answer):
    """Answer to `vestige sources ID`.

    Attributes:
        voices: how many independent sources speak: copies add none.
        unsourced: claims that name no source.
    """

    FORM: ClassVar[str] = "vestige.sources/1"
    about: Thing
    sources: tuple[Behind, ...]
    voices: int
    unsourced: tuple[Said, ...]
    repeated: tuple[Said, ...]


def sources_of(state: State, key: str, things: tuple[str, ...] = ()) -> Sources:
    """The sources behind claims about things, or all that rests on one source.

    Args:
        state: must hold the claims and their sources.
        key: what is asked about.
        things: keys of all things whose claims count; the key alone where empty.
    """
    asked = state.held(key).record
    claims = _claims(state, things or (key,))
    if isinstance(asked, Source):
        claims = [(one, c) for one, c in state.all_of(Claim) if c.source is not None]
        named = [key, *_copiers(state, key), *_copied(state, key)]
    else:
        named = [claim.source for _, claim in claims if claim.source]
        named += [one for source in named for one in _copied(state, source)]
    found = tuple(
        _behind(state, source, claims, isinstance(asked, Source))
        for source in dict.fromkeys(named)
        if source in state
    )
    speaking = [one for one in found if one.claims]
    origins = {first.key for one in speaking for first in (one.first or (one.thing,))}
    return Sources(
        form=Sources.FORM,
        as_known=as_known(state),
        cautions=warnings(state, key) if asked.kind != "source" else (),
        about=thing(state, key),
        sources=found,
        voices=len(origins),
        unsourced=tuple(said(state, one) for one, claim in claims if not claim.source),
        repeated=tuple(said(state, one) for one, claim in claims if claim.derived_from),
    )


def _claims(state: State, things: tuple[str, ...]) -> list[tuple[str, Claim]]:
    found = [pair for one in things for pair in state.about(one, Claim, "about")]
    found += [pair for one in things for pair in state.about(one, Claim, "names")]
    once = dict(found)
    return sorted(once.items(), key=lambda pair: pair[1].number)


def _behind(
    state: State, key: str, claims: list[tuple[str, Claim]], asked_source: bool
) -> Behind:
    one = state.record(key, Source)
    usual = USUAL_RELIABILITY[SourceKind(one.sort)]
    records = [
        says
        for _, says in state.pointing(key, "according to")
        if says in state and not isinstance(state.held(says).record, Claim)
    ]
    return Behind(
        thing=thing(state, key),
        sort=str(one.sort),
        dated=str(one.dated) if one.dated else None,
        by=one.by,
        hand=str(one.hand or Hand.UNKNOWN),
        soundness=str(one.reliability or usual),
        usual=one.reliability is None,
        access=one.access,
        copies=tuple(thing(state, other) for other in one.copies),
        first=tuple(thing(state, other) for other in first_sources(state, key)),
        copied_by=tuple(
            thing(state, other) for other, _ in state.about(key, Source, "copies")
        ),
        claims=tuple(said(state, c) for c, claim in claims if claim.source == key),
        records=tuple(thing(state, says) for says in dict.fromkeys(records))
        if asked_source
        else (),
    )


def _copied(state: State, source: str) -> list[str]:
    """Every source in the chains of copies that lead to a source."""
    found: list[str] = []
    waiting = [source]
    while waiting:
        step = waiting.pop(0)
        more = state.record(step, Source).copies if step in state else ()
        fresh = [one for one in more if one not in found]
        found += fresh
        waiting += fresh
    return found


def _copiers(state: State, source: str) -> list[str]:
    """Every source that copies a source, directly or through another."""
    found: list[str] = []
    waiting = [source]
    while waiting:
        step = waiting.pop(0)
        fresh = [k for k, _ in state.about(step, Source, "copies") if k not in found]
        found += fresh
        waiting += fresh
    return found
